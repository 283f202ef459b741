"""A filled survey sheet read into a site: what was measured of each old run goes into its `measured:`, what cannot is named.

Every cell is read before anything is given back; with one bad cell there is nothing. A kind that the catalogue does not know
is never taken for one that it knows: it becomes a part that states no figures, which the call names, and what needs them
stays open.
"""

from __future__ import annotations

import copy
from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from typing import Any

from coaxwright.errors import Problem, Refusal
from coaxwright.fixes.patching import PatchError, value_at
from coaxwright.handover.filled import Reading, number_of, table_with
from coaxwright.immutable import immutable
from coaxwright.reading.cable_names import near_cables
from coaxwright.reading.catalogue import Catalogue
from coaxwright.reading.spreadsheet import Cell, Sheet, tidy
from coaxwright.reading.suggest import did_you_mean

LENGTH, LOOP, LOSS, LOSS_AT = "length, m", "loop, ohm, far end joined", "loss, db", "at, mhz"
DEGC, KIND, JOINTS = "degc", "kind, as printed on the sheath", "joints"
INSULATION, VOLTS, STATE, REMARK = "mohm, ends apart", "ac volts to earth", "state", "remark"
_NUMBERS = {LENGTH: ("length", "m"), LOOP: ("loop", "ohm"), LOSS: ("loss", "dB"), LOSS_AT: ("loss_at", "MHz"),
            DEGC: ("temperature", "°C")}  # fmt: skip
_TOLD = {INSULATION: "Mohm with the ends apart", VOLTS: "V AC to earth", STATE: "", REMARK: ""}
_WET = 1.0
"""Mohm with both ends apart below which an old cable is wet or damaged (common practice, from memory)."""
_TOUCH = 50.0
"""V AC between screen and earth above which nobody goes on: limit of extra-low voltage, IEC 60364-4-41 (from memory)."""
_UNKNOWN = frozenset({"unknown", "?", "not known", "illegible", "none"})


@immutable
class Surveyed:
    """A site as plain values with what was measured, what was read by run, runs of unknown cable, and what has to be reviewed."""

    value: dict[str, Any]
    read: tuple[str, ...]
    open: tuple[str, ...]
    warnings: tuple[str, ...]
    remarks: tuple[str, ...]


@immutable
class _Row:
    """One row of the sheet: its cells by heading, and the run that its code names."""

    sheet: Sheet
    number: str
    code: str
    cells: Mapping[str, Cell]

    def text(self, head: str) -> str:
        """What was written into a box; empty for none."""
        return tidy(self.cells[head].text).removeprefix("'") if head in self.cells else ""

    def place(self, head: str) -> str:
        """The cell, for people."""
        return self.sheet.place(self.cells[head])


@immutable
class Marks:
    """What a call says besides the sheet: the day and the name written beside what was measured, and the part that stands for
    a cable that nobody knows; empty where it says nothing.
    """

    on: str = ""
    by: str = ""
    unknown: str = ""


def read_survey(path: str, site: Mapping[str, Any], catalogue: Catalogue, marks: Marks) -> Surveyed:
    """The site with what the sheet says of its runs. Raises Refusal with every cell that cannot be understood."""
    found = table_with(path, ("code", LENGTH))
    if found is None:
        right = "give the sheet `Survey` of a pack, as .csv or .xlsx, with its headings"
        raise Refusal([Problem(path, f"has no row with the headings `code` and `{LENGTH}`", right)])
    value = copy.deepcopy(dict(site))
    problems: list[Problem] = []
    read, opened, warnings, remarks = list[str](), list[str](), list[str](), list[str]()
    for row in _rows(*found):
        hop = _hop(value, row.code)
        if hop is None:
            problems += _lost(row, value)
            continue
        told, wrong = _measured(row)
        kind, strange = _kind(row, catalogue, marks.unknown)
        joints, bad = _joints(row)
        problems += [*wrong, *strange, *bad]
        changed = _lay_over(catalogue, hop, told, kind, joints, marks)
        read += [f"{row.number} ({row.code}): {', '.join(changed)}"] if changed else []
        opened += [f"{row.number} ({row.code}): {row.text(KIND)}"] if kind and kind == marks.unknown else []
        warnings += _warnings(row)
        remarks += [f"{row.number}: {row.text(REMARK)}"] if row.text(REMARK) else []
    if problems:
        raise Refusal(problems)
    return Surveyed(value, tuple(read), tuple(opened), tuple(warnings), tuple(remarks))


def _rows(sheet: Sheet, head: int, heads: Mapping[str, int]) -> Iterator[_Row]:
    """Rows in which somebody wrote something."""
    wanted = {*_NUMBERS, *_TOLD, KIND, JOINTS} - {LOSS_AT}
    for cells in sheet.rows[head + 1 :]:
        filled = {name: cells[at] for name, at in heads.items() if at < len(cells) and tidy(cells[at].text)}
        code = tidy(filled["code"].text).removeprefix("'") if "code" in filled else ""
        number = tidy(filled["no."].text).removeprefix("'") if "no." in filled else code
        if wanted & set(filled):
            yield _Row(sheet, number, code, filled)


def _hop(value: Mapping[str, Any], code: str) -> dict[str, Any] | None:
    """The run that a code names, to be written into; None for no such run."""
    words = code.split("/")
    steps = [int(each) if each.isdigit() and before == "over" else each for before, each in pairwise(["", *words])]
    try:
        hop = value_at(value, steps) if code else None
    except PatchError:
        return None
    return hop if isinstance(hop, dict) and "box" not in hop else None


def _lost(row: _Row, value: Mapping[str, Any]) -> Iterator[Problem]:
    """A row of a run that is not in this site: its first filled cell is named."""
    cell = next(iter(row.cells.values()))
    if row.code:
        right = did_you_mean(row.code, [*_codes(value)]) or "make the pack anew: the plan has changed since"
        yield Problem(row.sheet.place(cell), f"`{row.code}` is no run of this site", right)
        return
    right = "draw that run in the site file, make the pack anew and put the values into its row"
    yield Problem(row.sheet.place(cell), f"row {row.number or '?'} names a cable that the plan does not have", right)


def _codes(value: object, path: tuple[str, ...] = ()) -> Iterator[str]:
    """The codes of all runs of a site."""
    pairs: Sequence[tuple[Any, Any]] = (
        [*value.items()] if isinstance(value, dict) else [*enumerate(value)] if isinstance(value, list) else []
    )
    for key, each in pairs:
        here = (*path, str(key))
        if len(here) > 1 and here[-2] == "over":
            yield "/".join(here)
        else:
            yield from _codes(each, here)


# Boxes of a row


def _measured(row: _Row) -> tuple[dict[str, str], list[Problem]]:
    """What was measured, as a site writes it."""
    found: dict[str, str] = {}
    problems = []
    for head, (name, unit) in _NUMBERS.items():
        text = row.text(head)
        if not text or (head == LOSS_AT and not row.text(LOSS)):
            continue
        reading = _reading(row, head, text)
        if isinstance(reading, Problem):
            problems.append(reading)
        else:
            found[name] = f"{reading.value:g} {unit}"
    if "loss" in found and not row.text(LOSS_AT):
        right = "a loss is measured at a frequency: fill both boxes or none"
        problems.append(Problem(row.place(LOSS), f"stands without `{LOSS_AT}`", right))
    return found, problems


def _reading(row: _Row, head: str, text: str) -> Reading | Problem:
    """One number; an open line is no number that a site could be judged with."""
    cold = head == DEGC and text.startswith(("-", "−"))
    value = number_of(text[1:] if cold else text)
    if value is None:
        right = "write the number, as in 11.6, or leave the box empty"
        return Problem(row.place(head), f"`{text}` is no measured value", right)
    if value == float("inf"):
        right = "mend it first, or write it under remark"
        return Problem(row.place(head), "the line is open: nothing can be said of its cable", right)
    return Reading(row.code, -value if cold else value, row.place(head))


def _kind(row: _Row, catalogue: Catalogue, unknown: str) -> tuple[str, list[Problem]]:
    """The cable as printed on its sheath; the part for unknown ones where the catalogue does not have it."""
    text = row.text(KIND)
    if not text or catalogue.has(text):
        return text, []
    if unknown:
        return unknown, []
    what = "a cable that nobody knows" if text.lower() in _UNKNOWN else f"`{text}` is no cable of the catalogue"
    near = near_cables(text, catalogue.parts) if text.lower() not in _UNKNOWN else ""
    right = "name with --unknown a cable part that states no figures: what needs them stays open"
    return "", [Problem(row.place(KIND), what, f"{near}; or {right}" if near else right)]


def _joints(row: _Row) -> tuple[int | None, list[Problem]]:
    text = row.text(JOINTS)
    if not text:
        return None, []
    if text.isascii() and text.isdigit() and int(text) <= 100:
        return int(text), []
    return None, [Problem(row.place(JOINTS), f"`{text}` is no number of joints", "write how many, as in 2")]


def _lay_over(
    catalogue: Catalogue, hop: dict[str, Any], told: Mapping[str, str], kind: str, joints: int | None, marks: Marks
) -> list[str]:
    """Write into a run what was found, and say what; a value that stands there already is not told again."""
    before = dict(hop.get("measured") or {})
    said = {name: each for name, each in (("on", marks.on), ("by", marks.by)) if each}
    if told and {**before, **told} != before:
        hop["measured"] = {**before, **told, **said}
    changed = [f"{name} {each}" for name, each in told.items() if before.get(name) != each]
    if kind and (not hop.get("cable") or catalogue.full_id(kind) != catalogue.full_id(hop["cable"])):
        changed.append(f"cable {kind}" + (f" in place of {hop['cable']}" if hop.get("cable") else ""))
        hop["cable"] = kind
    if joints is not None and hop.get("joints", 0) != joints:
        changed.append(f"joints {joints}")
        hop["joints"] = joints
    return changed


def _warnings(row: _Row) -> Iterator[str]:
    """What has to be looked at before anybody plugs that cable in."""
    volts, apart = (number_of(row.text(head)) if row.text(head) else None for head in (VOLTS, INSULATION))
    if volts is not None and volts > _TOUCH:
        yield f"{row.number}: {row.text(VOLTS)} V AC to earth: do not touch it; this needs review by a licensed electrician"
    if apart is not None and apart < _WET:
        yield f"{row.number}: {row.text(INSULATION)} Mohm with its ends apart: wet or damaged, plan a new cable"
    if row.text(STATE) and row.text(STATE).lower() != "dry":
        yield f"{row.number}: {row.text(STATE)}"
