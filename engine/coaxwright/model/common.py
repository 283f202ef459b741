"""What all models share: strictness, identifiers, signal families and video modes."""

import re
from typing import Annotated, Literal, NamedTuple

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, WithJsonSchema

Family = Literal["cvbs", "ahd", "tvi", "cvi", "sdi"]
FAMILIES: tuple[str, ...] = ("cvbs", "ahd", "tvi", "cvi", "sdi")
Width = Literal["full", "reduced"]
Consequence = Literal[
    "no-picture", "no-power", "no-recording", "evidence-lost", "less-than-wanted", "sound-or-control", "wear", "neatness"
]
"""What is lost where a rule fails, the gravest first."""
Maker = Annotated[
    str, Field(pattern=r"^[a-z0-9][a-z0-9-]*$", description="A maker's id, or `own`, or `any`.")
]
Identifier = Annotated[str, Field(pattern=r"^[A-Za-z0-9][A-Za-z0-9_.-]*$", max_length=64)]
PartId = Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9./_-]*$", max_length=96)]
CableName = Annotated[
    str,
    Field(
        pattern=r"^[A-Za-z0-9][A-Za-z0-9./_ -]*$",
        max_length=96,
        description="Id of a cable part, or a name that the trade has for it, as in `RG-59/U`.",
    ),
]
Text = Annotated[str, Field(min_length=1, max_length=2000)]


class Strict(BaseModel):
    """A record in which an unknown key is an error. Its validator is built when it is first used."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)


class VideoMode(NamedTuple):
    """One picture format on the wire: columns, lines, frames a second (nominal)."""

    width: int
    height: int
    fps: float

    def __str__(self) -> str:
        """As a person writes it: `2592x1944@20`."""
        return f"{self.width}x{self.height}@{self.fps:g}"


class FrameSize(NamedTuple):
    """A stored frame: columns and lines."""

    width: int
    height: int

    def __str__(self) -> str:
        """As a person writes it: `2592x1944`."""
        return f"{self.width}x{self.height}"


_MODE = re.compile(r"([1-9][0-9]{1,4})x([1-9][0-9]{1,4})@([1-9][0-9]{0,2}(?:\.[0-9]{1,3})?)", re.ASCII)
_SIZE = re.compile(r"([1-9][0-9]{1,4})x([1-9][0-9]{1,4})", re.ASCII)
_known_modes: dict[str, VideoMode] = {}


def parse_mode(text: object) -> VideoMode:
    """`2592x1944@20` as columns, lines, frames a second; ValueError in plain words otherwise."""
    if isinstance(text, VideoMode):
        return text
    known = _known_modes.get(text) if isinstance(text, str) else None
    if known is not None:
        return known
    match = _MODE.fullmatch(text) if isinstance(text, str) else None
    if match is None:
        raise ValueError(
            f"`{text}` is not a video mode: write columns x lines @ frames a second, as in 2560x1440@25"
        )
    mode = VideoMode(int(match[1]), int(match[2]), float(match[3]))
    if len(_known_modes) < 4096:
        _known_modes[str(text)] = mode
    return mode


def parse_size(text: object) -> FrameSize:
    """`2592x1944` as columns and lines; ValueError in plain words otherwise."""
    if isinstance(text, FrameSize):
        return text
    match = _SIZE.fullmatch(text) if isinstance(text, str) else None
    if match is None:
        raise ValueError(f"`{text}` is not a frame size: write columns x lines, as in 2560x1440")
    return FrameSize(int(match[1]), int(match[2]))


Mode = Annotated[
    VideoMode,
    BeforeValidator(parse_mode),
    WithJsonSchema(
        {
            "type": "string",
            "pattern": _MODE.pattern.join(("^", "$")),
            "description": "Video mode: columns x lines @ frames a second.",
            "examples": ["2560x1440@25"],
        }
    ),
]
Size = Annotated[
    FrameSize,
    BeforeValidator(parse_size),
    WithJsonSchema(
        {
            "type": "string",
            "pattern": _SIZE.pattern.join(("^", "$")),
            "description": "Frame size: columns x lines.",
            "examples": ["2560x1440"],
        }
    ),
]
_CHANNELS = re.compile(r"([1-9][0-9]{0,3})(?:-([1-9][0-9]{0,3}))?", re.ASCII)


def parse_channels(text: object) -> tuple[int, ...]:
    """`1-8`, `3` or `1-4, 7` as channel numbers in order; ValueError in plain words otherwise."""
    if isinstance(text, tuple):
        return text
    numbers: list[int] = []
    pieces = [str(text)] if isinstance(text, int) and not isinstance(text, bool) else str(text).split(",")
    for piece in pieces:
        match = _CHANNELS.fullmatch(piece.strip())
        first, last = (int(match[1]), int(match[2] or match[1])) if match else (1, 0)
        if last < first or last > 1024:
            raise ValueError(f"`{text}` does not name channels: write one number, or a range as in 1-8")
        numbers.extend(range(first, last + 1))
    return tuple(dict.fromkeys(numbers))


Channels = Annotated[
    tuple[int, ...],
    BeforeValidator(parse_channels),
    WithJsonSchema(
        {
            "anyOf": [{"type": "integer", "minimum": 1}, {"type": "string", "pattern": "^[0-9, -]+$"}],
            "description": "Channel numbers: one number, or ranges as in `1-8` or `1-4, 7`.",
        }
    ),
]
