"""An answer of the counter as a site file, so that all that was not asked there can be worked out in the designer's view.

The file is the little site that the answer was judged on; parts whose files lie elsewhere are written beside it.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterable, Sequence
from itertools import count
from pathlib import Path
from typing import Any

import yaml

from coaxwright.catalogues.records import Entry
from coaxwright.desk.counter.asking import Told, names_of
from coaxwright.desk.counter.sets import ToldSet
from coaxwright.desk.counter.shelf import Shelf
from coaxwright.errors import Problem, Refusal
from coaxwright.pairing.small_sites import Seated, pair_value, set_value
from coaxwright.reading.atomic import write_atomically
from coaxwright.reading.files import SITE_SUFFIX
from coaxwright.workspace.project import Workspace

_SCHEMA_WORDS = "# Begun at the counter: add what was not asked there (places, supplies, disks, days kept).\n"


def site_of_pair(work: Workspace, shelf: Shelf, found: Told) -> str:
    """Write the site of a pair and open it; its name. Raises Refusal."""
    answer = found.answer
    value = pair_value(answer.camera, answer.recorder, answer.question, [answer.number])
    return _opened(work, shelf, value, names_of(answer))


def site_of_set(work: Workspace, shelf: Shelf, found: ToldSet) -> str:
    """Write the site of the best choice for a list and open it; its name. Cameras for which no input is left are not in
    it. Raises Refusal.
    """
    choices = found.answer.choices
    if not choices:
        raise Refusal([Problem("", "no recorder is left for this list", "name others")])
    best = choices[0]
    seated = [
        Seated(each.piece.part, each.piece.question, each.piece.name, each.box, each.seat.number)
        for each in best.placings
        if each.seat.number is not None
    ]
    if not seated:
        raise Refusal([Problem("", "no camera of this list finds an input", "name other recorders")])
    title = f"{len(seated)} cameras on {', '.join(best.recorders)}"
    cables = [each.question.cable for each in seated if each.question.cable]
    value = set_value(title, best.recorders, seated, seated[0].question.video_rate)
    return _opened(work, shelf, value, [*(each.part for each in seated), *best.recorders, *cables])


def _opened(work: Workspace, shelf: Shelf, value: dict[str, Any], parts: Iterable[str]) -> str:
    if work.is_open and work.site.unsaved_steps:
        raise Refusal([Problem(work.site.name, "has changes that are not saved", "save or undo them first")])
    name = _free(work.store.root, str(value["site"]))
    globs = _part_files(work.store.root, shelf, list(dict.fromkeys(parts)), name)
    head = {"site": value["site"], "video_rate": value["video_rate"], **({"parts": globs} if globs else {})}
    work.create(name, _SCHEMA_WORDS + _written({**head, **value}))
    return name


def _free(root: Path, title: str) -> str:
    """A name for a site file that nothing has yet."""
    plain = re.sub(r"[^a-z0-9]+", "-", title.lower()).strip("-")[:80] or "counter"
    names = (f"{plain}{f'-{number}' if number > 1 else ''}{SITE_SUFFIX}" for number in count(1))
    return next(each for each in names if not os.path.lexists(root / each))


def _part_files(root: Path, shelf: Shelf, parts: Sequence[str], site: str) -> list[str]:
    """Which part files the site names: those of the folder, and one written now for parts from elsewhere."""
    marks = ", ".join("?" * len(parts))
    entries = shelf.records().entries(f"id in ({marks})", *parts)
    inside = {each.id: _below(root, each.path) for each in entries}
    globs = sorted({place for place in inside.values() if place})
    away = [each for each in entries if not inside[each.id]]
    for currency in sorted({each.currency or "" for each in away}):
        file = f"parts/{site.removesuffix(SITE_SUFFIX)}{f'-{currency.lower()}' if currency else ''}.yaml"
        _copied(root / file, shelf, [each for each in away if (each.currency or "") == currency], currency)
        globs.append(file)
    return globs


def _below(root: Path, path: str) -> str:
    """A part file as the site beside which it lies names it; empty for one that lies elsewhere."""
    place = Path(path)
    if not place.is_absolute() or not place.is_file():
        return ""
    real = Path(os.path.realpath(place))
    return real.relative_to(root).as_posix() if real.is_relative_to(root) else ""


def _copied(file: Path, shelf: Shelf, entries: Sequence[Entry], currency: str) -> None:
    """Entries from elsewhere, as their files state them."""
    marks = ", ".join("?" * len(entries))
    values = shelf.records().values(f"id in ({marks})", *(each.id for each in entries))
    text = _written({**({"currency": currency} if currency else {}), "parts": {name: values[name] for name in sorted(values)}})
    try:
        file.parent.mkdir(exist_ok=True)
        write_atomically(file, f"# Copied from the catalogue of the counter.\n{text}")
    except OSError as error:
        raise Refusal([Problem(file.name, f"cannot be written: {error.strerror or error}")]) from error


def _written(value: object) -> str:
    return str(yaml.safe_dump(value, sort_keys=False, allow_unicode=True, width=120))
