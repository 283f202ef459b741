"""`pair` for Python callers."""

from __future__ import annotations

import glob
import os
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import field
from pathlib import Path
from typing import Any, Literal

from coaxwright.api.results import Result
from coaxwright.api.sites import AnyRules, rules_of
from coaxwright.errors import Problem, Refusal
from coaxwright.immutable import immutable
from coaxwright.model.common import FAMILIES, parse_mode
from coaxwright.model.quantities import QuantityError, parse_quantity
from coaxwright.pairing.answers import Answer, answer
from coaxwright.pairing.cells import Clerk
from coaxwright.pairing.printing import answer_document
from coaxwright.pairing.small_sites import Question
from coaxwright.pairing.telling import as_data
from coaxwright.pairing.verdicts import verdict_words
from coaxwright.reading.catalogue import build_catalogue
from coaxwright.show.forms import rendered
from coaxwright.show.plain_data import plain


@immutable
class Paired(Result):
    """What `pair` says of one camera on one recorder.

    `outcome`: `full`, `asked-down`, `reduced-width`, `needs-setting`, `no-picture`, or None where it is open.
    `verdict`: one paragraph for the counter. `answer`: the full record, features (`sound`, `control`, ...) included.
    """

    answer: Answer = field(repr=False)

    @property
    def outcome(self) -> str | None:
        """What the picture comes to; None where nobody can tell."""
        found = self.answer.settled.get("outcome")
        return None if found is None else str(found)

    @property
    def verdict(self) -> str:
        """The first paragraph that the command prints."""
        return verdict_words(self.answer)

    def to_dict(self) -> dict[str, Any]:
        """Plain values, those of `coaxwright pair --format json` without `reference`, which names a call; rates in
        frames a second, lengths in m.
        """
        return dict(plain(as_data(self.answer)))

    def rows(self) -> Sequence[Mapping[str, Any]]:
        """One row: camera, recorder, input, and what is settled (`width`, `height` in px, rates in frames a second)."""
        head = {"camera": self.answer.camera, "recorder": self.answer.recorder, "input": self.answer.number}
        return [{**head, **self.answer.settled}]

    def page(self) -> str:
        """The answer as one HTML page that loads nothing."""
        return rendered(answer_document(self.answer, "html"), "html")

    def __str__(self) -> str:
        """What `coaxwright pair` prints."""
        return rendered(answer_document(self.answer), "text")


def pair(
    camera: str, recorder: str, *, parts: str | Iterable[str | os.PathLike[str]] = (), rules: AnyRules = (),
    family: str | None = None, mode: str | None = None, made: Iterable[str] = (), cable: str | None = None,
    length: str | None = None, video_rate: Literal[25, 30] = 25, channels: int | None = None, input: int | None = None,  # noqa: A002
) -> Paired:  # fmt: skip
    """Tell what one camera and one recorder come to: picture, rates, sound, control, reach, power, and why.

    `camera` and `recorder` are part ids. `parts` are part files, or globs for them, besides the generic parts.
    `family` (`tvi`, `cvi`, `ahd`, `cvbs`) and `mode` (`1920x1080@25`) are how the camera is switched; `made` recorder
    settings that are made. `cable` is the part id of the run and `length` a text with its unit (`"120 m"`).
    `video_rate` is 25 or 30 frames a second; `channels` how many inputs are in use, `input` which one (from 1), all
    and the best where None.

    Returns a `Paired`. Raises Refusal for a part that is not there, a length without cable, a unit or a mode that
    cannot be read.
    """
    _refuse_unreadable(family, mode, cable, length, video_rate)
    question = Question(family, mode, tuple(made), cable, length, video_rate, channels, input)
    book = rules_of(rules)
    return Paired(answer(Clerk(build_catalogue(part_files(parts)), book), camera, recorder, question, book))


def _refuse_unreadable(
    family: str | None, mode: str | None, cable: str | None, length: str | None, video_rate: int
) -> None:
    if family is not None and family not in FAMILIES:
        raise _wrong("family", family, f"is one of {', '.join(FAMILIES)}")
    if length is not None and cable is None:
        raise _wrong("length", length, "needs the cable too: cable='rg59-copper', for example")
    if video_rate not in (25, 30):
        raise _wrong("video_rate", str(video_rate), "is 25 or 30")
    try:
        if mode is not None:
            parse_mode(mode)
        if length is not None:
            parse_quantity("length", length)
    except (ValueError, QuantityError) as error:
        raise _wrong("mode or length", str(mode if mode is not None else length), str(error)) from None


def _wrong(name: str, value: str, right: str) -> Refusal:
    return Refusal([Problem("", f"{name}={value!r} cannot be used", f"{name} {right}")])


def part_files(parts: str | Iterable[str | os.PathLike[str]]) -> list[tuple[Path, str]]:
    """Part files of paths and globs, each once. Raises Refusal where one names no file."""
    found: dict[str, None] = {}
    for each in [parts] if isinstance(parts, str) else parts:
        names = [name for name in sorted(glob.glob(os.fspath(each), recursive=True)) if Path(name).is_file()]
        if not names:
            raise Refusal([Problem(os.fspath(each), "names no file", "write a path such as 'parts/*.yaml'")])
        found.update(dict.fromkeys(names))
    return [(Path(name), name) for name in found]
