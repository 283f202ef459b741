"""Codec levels and storage arithmetic against what an encoder really writes (libx264, through PyAV).

The encoder chooses its level by its own copy of ITU-T H.264 Table A-1, and writes it into the stream's header; nothing
of the engine is involved in that. Constant bit rate is enforced by the encoder's hypothetical reference decoder (annex C).
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

import pytest
from tests.facts.declared.disk_groups import group

from coaxwright.facts.physics.encoding import MacroblockLevel, h264_level
from coaxwright.reading.tables import load_table

av = pytest.importorskip("av", reason="PyAV (with libx264) is not installed")
if "libx264" not in av.codecs_available:
    pytest.skip("PyAV was built without libx264", allow_module_level=True)
np = pytest.importorskip("numpy")

# Width, height, frames a second: the modes that the table of signal modes has, and what recorders make of them.
MODES = [
    (352, 288, 25), (720, 576, 25), (720, 480, 30), (960, 576, 25), (960, 480, 30), (1280, 720, 25), (1280, 720, 30),
    (1280, 720, 50), (1280, 720, 60), (960, 1080, 30), (1920, 1080, 12.5), (1920, 1080, 15), (1920, 1080, 25),
    (1920, 1080, 30), (1920, 1080, 50), (1280, 1440, 25), (1280, 1440, 30), (2048, 1536, 18), (2560, 1440, 15),
    (2560, 1440, 25), (2560, 1440, 30), (1296, 1944, 20), (2592, 1944, 12), (2592, 1944, 12.5), (2592, 1944, 20),
    (2592, 1944, 30), (3840, 2160, 8), (3840, 2160, 12.5), (3840, 2160, 15), (1920, 2160, 15),
]  # fmt: skip
PICTURE = 7
"""NAL unit type of a sequence parameter set: ITU-T H.264 table 7-1."""


def _frames(width: int, height: int, count: int, noise: float) -> Iterator[object]:
    """Frames of a fixed texture with noise, the same at every run."""
    draw = np.random.default_rng(7)
    texture = draw.integers(40, 200, (height, width), dtype=np.uint8)
    for _ in range(count):
        noisy = np.clip(texture + draw.normal(0.0, noise, texture.shape), 0, 255).astype(np.uint8) if noise else texture
        planes = np.vstack([noisy, np.full((height // 2, width), 128, np.uint8)])
        yield av.VideoFrame.from_ndarray(planes, format="yuv420p")


def _stream(width: int, height: int, fps: float, count: int, noise: float = 0.0, rate: int = 0) -> bytes:
    """The bare H.264 stream of `count` frames; at constant `rate` bit/s where one is given."""
    codec = av.CodecContext.create("libx264", "w")
    codec.width, codec.height, codec.pix_fmt = width, height, "yuv420p"
    codec.framerate = Fraction(fps).limit_denominator(1001)
    codec.time_base = 1 / codec.framerate
    codec.thread_count = 1
    own = "ref=1:bframes=0:threads=1"
    if rate:
        codec.bit_rate = rate
        # A buffer of a tenth of a second: what is still in it at the end is at most 1 % of ten seconds.
        own += f":nal-hrd=cbr:vbv-maxrate={rate // 1000}:vbv-bufsize={rate // 10_000}:force-cfr=1"
    codec.options = {"preset": "ultrafast", "x264-params": own}
    sent = [bytes(packet) for frame in _frames(width, height, count, noise) for packet in codec.encode(frame)]
    return b"".join([*sent, *(bytes(packet) for packet in codec.encode(None))])


def _level_written(stream: bytes) -> str:
    """level_idc of the first sequence parameter set: 31 is level 3.1 (ITU-T H.264 clause 7.4.2.1.1)."""
    for start in range(len(stream) - 8):
        if stream[start : start + 3] == b"\0\0\1" and stream[start + 3] & 0x1F == PICTURE:
            tens, tenths = divmod(stream[start + 6], 10)
            return f"{tens}.{tenths}" if tenths else str(tens)
    raise AssertionError("the stream has no sequence parameter set")


def _levels() -> list[MacroblockLevel]:
    return [
        MacroblockLevel(row["level"], row["macroblocks_per_second"], row["frame_macroblocks"])
        for row in load_table("h264-levels").rows
    ]


@pytest.mark.parametrize("mode", MODES, ids=lambda mode: "{}x{}@{}".format(*mode))
def test_the_level_is_the_one_that_an_encoder_writes(mode: tuple[int, int, float]) -> None:
    width, height, fps = mode
    assert h264_level(width, height, fps, _levels()) == _level_written(_stream(width, height, fps, 1))


def _filled(rate: float) -> float:
    """Bytes that ten seconds at this rate need, by the declared fact."""
    return float(group(mean=float(rate), days_wanted=10 / 86400).needed)


@pytest.mark.parametrize(("fps", "rate"), [(25.0, 1_000_000), (12.5, 1_000_000), (25.0, 2_048_000)])
def test_a_constant_rate_fills_what_the_arithmetic_says(fps: float, rate: int) -> None:
    """Ten seconds at constant rate: bytes = bit/s x s / 8 (SI), within 2 %."""
    seconds = 10
    stream = _stream(640, 360, fps, int(seconds * fps), noise=4.0, rate=rate)
    assert len(stream) == pytest.approx(_filled(rate), rel=0.02)


def test_a_wrong_rate_would_be_seen() -> None:
    """The check above can fail: kilobits of 1024 bit, a common slip, are 2.4 % off."""
    stream = _stream(640, 360, 25.0, 250, noise=4.0, rate=1_000_000)
    assert len(stream) != pytest.approx(_filled(1_024_000), rel=0.02)
