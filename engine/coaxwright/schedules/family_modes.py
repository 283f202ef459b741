"""Families and modes of one row of a table: which goes with which is not said there, so no mode is invented.

A price list names signal families in one cell and modes in another. Every family with every mode would make up
signals that no camera has (composite with 5 megapixels). Where both cells hold several, a family keeps the modes that
table signal-modes knows of it; what is left out, and that the table said less, is told. Not here: single cells
(`values`).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any

from coaxwright.model.common import parse_mode
from coaxwright.reading.tables import load_table

NOT_SAID = "which family carries which mode is not said there"
_ROWS = {"camera": ("emits",), "recorder": ("inputs", 0, "accepts")}


def apart(kind: str, values: Mapping[str, Any]) -> list[str]:
    """Split the one row of families and modes of an entry, in place; what was left in doubt, in words.

    Composite keeps modes of its own lines only, and no other family has those.
    """
    group: Any = values
    for step in _ROWS.get(kind, ()):
        group = _below(group, step)
    if not isinstance(group, list) or len(group) != 1:
        return []
    families, modes = group[0].get("family"), group[0].get("mode")
    if not isinstance(families, list) or not isinstance(modes, list) or len(families) < 2:
        return []
    return _split(group, families, modes)


def _below(group: object, step: str | int) -> object:
    if isinstance(step, int):
        return group[step] if isinstance(group, list) and len(group) > step else None
    return group.get(step) if isinstance(group, Mapping) else None


def _split(group: list[Any], families: list[str], modes: list[str]) -> list[str]:
    rest = {key: value for key, value in group[0].items() if key not in ("family", "mode")}
    carriers = {mode: _carriers(mode, families, len(modes)) for mode in modes}
    kept = {family: [mode for mode in modes if family in carriers[mode]] for family in families}
    whole = [family for family in families if kept[family] == modes]
    if len(whole) == len(families) and len(modes) == 1:
        return []
    rows = [{"family": whole, "mode": modes, **rest}] if whole else []
    rows += [
        {"family": family, "mode": kept[family], **rest} for family in families if 0 < len(kept[family]) < len(modes)
    ]
    if rows:
        group[:] = rows
    return [f"{doubt}; {_MEND}" for doubt in _doubts(families, modes, kept)]


def _doubts(families: list[str], modes: list[str], kept: Mapping[str, list[str]]) -> Iterator[str]:
    if len(modes) > 1:
        yield f"{NOT_SAID}; taken from the modes that are in use"
    for family in families:
        lost = [mode for mode in modes if mode not in kept[family]]
        if lost:
            yield f"{family} is left without {', '.join(lost)}, which it is not known to carry"


_MEND = "mend it in the part file by the datasheet"


def _carriers(mode: str, families: list[str], among: int) -> list[str]:
    """The families that a mode goes with: by its lines, and where several modes are named by the table too.

    A mode that the table knows of none of them stays with all that its lines allow.
    """
    read = parse_mode(mode)
    fit = [family for family in families if (family == "cvbs") == (read.height <= _COMPOSITE_LINES)]
    known = [family for family in fit if (family, read.width, read.height, read.fps) in _known()]
    return known if known and among > 1 else fit


_COMPOSITE_LINES = 576
"""Most lines of a composite picture: ITU-R BT.470, 625-line systems."""


@cache
def _known() -> frozenset[tuple[str, int, int, float]]:
    rows = load_table("signal-modes").rows
    return frozenset((row["family"], row["mode"].width, row["mode"].height, row["mode"].fps) for row in rows)
