"""Working of what the levels of its codec leave a recorded stream, line by line."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from coaxwright.facts.physics.encoding import SMALLEST_CODING_UNIT, macroblocks
from coaxwright.facts.picture.stream_levels import least_level, level_rate_max
from coaxwright.facts.sheets import Camera
from coaxwright.facts.written import number
from coaxwright.reading.tables import load_table


def level_lines(camera: Camera, codecs: Sequence[str]) -> Iterator[str]:
    """The most of each codec that it may be, and what settles it where nobody says which."""
    for codec in codecs:
        yield from _of_codec(camera, codec)
    if len(codecs) > 1:
        beyond = camera.stream_rate > camera.level_rate_max
        yield f"nobody says which codec: {number(camera.stream_rate)} bit/s is {'beyond' if beyond else 'within'} each of them"


def _of_codec(camera: Camera, codec: str) -> Iterator[str]:
    width, height, fps = camera.recorded_width, camera.recorded_height, camera.recorded_fps
    most, table = level_rate_max(codec, width, height, fps), f"{codec}-levels"
    level = least_level(codec, width, height, fps)
    asked = _asked(codec, width, height)
    name = f"H.{codec[1:]}"
    yield f"{name}: {asked} a picture, x {number(fps)} fps: level {level or 'none'} is the lowest that holds them"
    yield f"the levels for them end at {number(most)} bit/s ({'High profile' if codec == 'h264' else 'the higher tier'})"
    yield f"source: {load_table(table).rows[0]['source']}"


def _asked(codec: str, width: int, height: int) -> str:
    if codec == "h264":
        return f"{macroblocks(width, height)} macroblocks"
    wide, high = (-(-side // SMALLEST_CODING_UNIT) * SMALLEST_CODING_UNIT for side in (width, height))
    return f"{wide} x {high} = {wide * high} luma samples"
