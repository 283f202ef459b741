"""A new site from a few answers: the same text as `coaxwright new` writes for them."""

from __future__ import annotations

import os

from coaxwright.desk.answers import Request
from coaxwright.errors import Problem, Refusal
from coaxwright.model.quantities import KINDS, QuantityError
from coaxwright.reading.atomic import write_atomically
from coaxwright.schedules.new_site import Answers, camera_names, new_site
from coaxwright.workspace.project import Workspace
from coaxwright.workspace.protocol import text_of

_SETTINGS = ("indoor", "sheltered", "outdoor")


def begun(work: Workspace, file: str, request: Request) -> None:
    """Write the site, and a part file to be filled in where the folder has none; then open it. Raises Refusal."""
    path = work.store.path(file)
    parts = ("parts/*.yaml",) if any(each.is_file() for each in path.parent.glob("parts/*.yaml")) else ()
    made = new_site(_answers(request, parts), path.name, path.parent)
    beside = {path.with_name(name): text for name, text in made.files.items() if name != path.name}
    taken = next((each.name for each in (path, *beside) if os.path.lexists(each)), "")
    if taken:
        raise Refusal([Problem(taken, "there is a file of that name", "choose another name")])
    try:
        for each, text in beside.items():
            write_atomically(each, text)
    except OSError as error:
        raise Refusal([Problem(file, f"cannot be written: {error.strerror or error}")]) from error
    work.create(file, made.files[path.name])


def _answers(request: Request, parts: tuple[str, ...]) -> Answers:
    setting, rate = text_of(request, "setting", "indoor"), text_of(request, "video_rate", "25")
    if setting not in _SETTINGS or rate not in ("25", "30"):
        raise Refusal([Problem("", "an answer is none of the choices", "choose one")])
    length, days = text_of(request, "length", "").strip(), text_of(request, "retention", "").strip()
    return Answers(
        text_of(request, "site"), camera_names(text_of(request, "cameras"), "cameras"), int(rate),
        _whole_days(days) if days else 14, _read("length", length, "a usual run") if length else None, setting, parts=parts,
    )  # fmt: skip


def _whole_days(text: str) -> int:
    days = _read("days", text if not text.isdecimal() else f"{text} days", "days kept")
    if days != int(days) or not 1 <= days <= 3650:
        raise Refusal([Problem("days kept", f"`{text}` is no number of whole days", "write one as in 14 days")])
    return int(days)


def _read(kind: str, text: str, what: str) -> float:
    try:
        return float(KINDS[kind].read(text))
    except QuantityError as error:
        raise Refusal([Problem(what, error.what, error.right)]) from error
