"""Frame rates and frame sizes as the trade compares them: nominal rates, frame families, reduced width.

Not for what a given recorder takes or stores: that is its own data.
"""

from __future__ import annotations

from functools import lru_cache

from coaxwright.model.common import VideoMode

FRAMES_25 = (12.5, 25.0, 50.0)
FRAMES_30 = (7.5, 15.0, 30.0, 60.0)
"""Rates of 625-line and of 525-line countries, with their halves: common practice on ITU-R BT.470."""
_DROP = 1.001
"""525-line systems run at 1000/1001 of the nominal rate: ITU-R BT.470."""


def nominal_rate(fps: float) -> float:
    """The nominal rate meant by `fps`: 29.97 is 30, 59.94 is 60, 14.985 is 15; any other rate is itself.

    Rates come within 0.002 of twice the nominal one when they are its 1000/1001 part: ITU-R BT.470.
    """
    twice = 2.0 * fps * _DROP
    whole = round(twice)
    near = abs(twice - whole) < 0.002 and abs(2.0 * fps - round(2.0 * fps)) > 1e-9
    return whole / 2.0 if near else fps


@lru_cache(maxsize=1000)
def nominal(mode: VideoMode) -> VideoMode:
    """`mode` at its nominal rate, so that 29.97 and 30 frames a second meet."""
    return VideoMode(mode.width, mode.height, nominal_rate(mode.fps))


def frame_family(fps: float) -> int:
    """25 or 30: the frame family of a rate; 0 where it belongs to neither (18 and 20 run everywhere: common practice)."""
    rate = nominal_rate(fps)
    return 25 if rate in FRAMES_25 else 30 if rate in FRAMES_30 else 0


def suits(fps: float, video_rate: int) -> bool:
    """True unless the rate belongs to the frame family of the other countries."""
    return frame_family(fps) in (0, video_rate)


def halved(width: int) -> int:
    """Columns left when every other one is dropped."""
    return width // 2


def spoken(mode: VideoMode) -> str:
    """A mode as it is read aloud: `2560x1440 at 25 frames a second`."""
    return f"{mode.width}x{mode.height} at {mode.fps:g} frames a second"
