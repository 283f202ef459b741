"""A schedule as a site: sheets recognised, entries laid over a site that is there or made into a new one.

Everything is read and checked before anything is given back: with one bad cell there is no site, and all bad
cells are told together. Not here: writing files (`writing`).
"""

from __future__ import annotations

import copy
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any

from coaxwright.errors import Problem, Refusal
from coaxwright.immutable import immutable
from coaxwright.model.quantities import quoted
from coaxwright.reading.catalogue import Catalogue
from coaxwright.reading.spreadsheet import Sheet
from coaxwright.reading.suggest import did_you_mean
from coaxwright.schedules.headings import HEADER_ROWS, Header, columns_of, find_header
from coaxwright.schedules.reading_rows import Entries, Path, read_rows

GROUPS = ("recorders", "supplies", "junctions", "boxes", "cameras")
REST = "site"
"""The sheet that holds what no other sheet has: a JSON pointer and a JSON value a row."""
KEYS = (
    "site", "video_rate", "retention", "retention_max", "parts", "recorders", "supplies", "junctions", "boxes",
    "switches", "monitors", "cameras", "waivers", "rules", "assume", "notes",
)  # fmt: skip
"""Order in which a new site is written."""


@immutable
class Recognised:
    """One sheet, what it is a schedule of, and its header."""

    sheet: Sheet
    group: str
    header: Header


@dataclass(slots=True)
class Imported:
    """A site as plain values, the cell of every value by document path, and remarks on how it was read."""

    value: dict[str, Any]
    places: dict[Path, str] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)
    rows: dict[str, int] = field(default_factory=dict)


def recognise(sheets: Sequence[Sheet], only: str | None = None) -> list[Recognised]:
    """Which sheet is what: by the names that are exported, else the one with headings of cameras. Raises Refusal."""
    if only is not None:
        sheets = [_named(sheets, only)]
    named = [(sheet, sheet.name.strip().lower()) for sheet in sheets]
    found = [_recognised(sheet, group) for sheet, group in named if group in GROUPS]
    if only is None and any(each is not None for each in found):
        return [each for each in found if each is not None]
    cameras = [each for sheet in sheets if (each := _recognised(sheet, "cameras")) is not None]
    if len(cameras) > 1:
        names = ", ".join(each.sheet.name for each in cameras)
        what = f"several sheets look like camera schedules: {names}"
        raise Refusal([Problem(sheets[0].file, what, "name one with --sheet")])
    if not cameras:
        raise _no_header(sheets)
    return cameras


def _recognised(sheet: Sheet, group: str) -> Recognised | None:
    more = 0 if sheet.name.strip().lower() == group else 1
    header = find_header(sheet, columns_of(group), more=more)
    return None if header is None else Recognised(sheet, group, header)


def rest_of(sheets: Sequence[Sheet]) -> Sheet | None:
    """The sheet of what stands in no other, where there is one."""
    named = (sheet for sheet in sheets if sheet.name.strip().lower() == REST)
    return next((sheet for sheet in named if sheet.rows and sheet.rows[0] and sheet.rows[0][0].text == "pointer"), None)


def rest_value(sheet: Sheet | None) -> dict[str, Any]:
    """What that sheet says of the site; rows that cannot be read are left out here, and told of by `imported`."""
    value: dict[str, Any] = {}
    if sheet is not None:
        _rest(sheet, value, Imported(value))
    return value


def _named(sheets: Sequence[Sheet], name: str) -> Sheet:
    for sheet in sheets:
        if sheet.name.lower() == name.lower():
            return sheet
    names = [sheet.name for sheet in sheets]
    right = did_you_mean(name, names) or f"there are: {', '.join(names) or 'none'}"
    raise Refusal([Problem(sheets[0].file, f"there is no sheet {quoted(name)}", right)])


def _no_header(sheets: Sequence[Sheet]) -> Refusal:
    """No headings were found: say what was looked for, and what was there."""
    sheet = sheets[0]
    fullest = max(sheet.rows[:HEADER_ROWS], key=lambda row: sum(bool(cell.text) for cell in row), default=[])
    there = ", ".join(cell.text for cell in fullest if cell.text)[:120]
    what = f"none of the first {HEADER_ROWS} rows has the headings of a camera schedule"
    right = "one column for the camera id and one more, such as `Camera` and `Model`"
    return Refusal([Problem(sheet.file, what, f"{right}; the fullest row holds: {there or 'nothing'}")])


def imported(
    found: Sequence[Recognised],
    rest: Sheet | None,
    base: Mapping[str, Any],
    catalogue: Catalogue,
    cables: Mapping[str, str] = MappingProxyType({}),
) -> Imported:
    """The site that the sheets make of `base` (an empty one for a new site). Raises Refusal with every bad cell.

    `cables` names the cable of runs whose row names none, by use (`video`, `power`).
    """
    value: dict[str, Any] = copy.deepcopy(dict(base))
    result = Imported(value)
    problems: list[Problem] = []
    for each in sorted(found, key=lambda one: GROUPS.index(one.group)):
        only = _only(value)
        entries = read_rows(each.sheet, each.header, each.group, catalogue, only)
        problems += [*entries.problems, *_ways_lost(value, entries)]
        _lay_over(value, entries)
        _lay_cables(value, entries, cables)
        result.places.update(entries.places)
        result.rows[each.group] = len(entries.values)
        result.notes += [*each.sheet.notes, *entries.notes]
    if rest is not None:
        problems += _rest(rest, value, result)
    problems += _unknown_devices(value, result.places)
    if problems:
        raise Refusal(problems)
    result.value = _in_order(value)
    return result


def _unknown_devices(value: Mapping[str, Any], places: Mapping[Path, str]) -> list[Problem]:
    """Ports of devices that are not on the site, told with the bad cells and not after them."""
    groups = ("recorders", "supplies", "junctions", "switches")
    known = [name for group in groups for name in value.get(group) or ()]
    problems = []
    for path, place in places.items():
        if path[2:] in (("video", "into"), ("power", "from")):
            written = str((value[str(path[0])][path[1]].get(path[2]) or {}).get(path[3], ""))
            device = written.partition("/")[0]
            if written and device not in known:
                kind = "recorder" if path[2] == "video" else "supply"
                right = (
                    did_you_mean(device, known) or f"add it to the site first: there is {', '.join(known) or 'none'}"
                )
                problems.append(Problem(place, f"there is no {kind} {quoted(device)} on this site", right))
    return problems


def _only(value: Mapping[str, Any]) -> dict[str, str]:
    """The one recorder and the one supply, for ports without a device."""
    pairs = (("video", "recorders"), ("power", "supplies"))
    return {use: next(iter(value[group])) for use, group in pairs if len(value.get(group) or ()) == 1}


def _ways_lost(value: Mapping[str, Any], entries: Entries) -> list[Problem]:
    """Ways of several pieces on the site that one cable and one length would replace."""
    problems = []
    for path, place in entries.places.items():
        if path[3:5] == ("over", 0):
            old = value.get(entries.group, {}).get(path[1], {}).get(path[2], {}).get("over") or []
            if len(old) > 1:
                what = f"the site has a way of {len(old)} pieces here, and this cell one of them"
                problems.append(
                    Problem(place, what, "write the whole of it under `video way` or `power way`, or empty the cell")
                )
    return problems


def _lay_over(value: dict[str, Any], entries: Entries) -> None:
    """Entries of a schedule over those that are there; what a schedule leaves empty stays as it is."""
    if not entries.values:
        return
    group = value.setdefault(entries.group, {})
    for name, entry in entries.values.items():
        group[name] = _merged(group.get(name, {}), entry)


def _lay_cables(value: dict[str, Any], entries: Entries, cables: Mapping[str, str]) -> None:
    """The usual cable for runs of which only the length is said."""
    for name in entries.values:
        for use, cable in cables.items():
            path = value[entries.group][name].get(use)
            for hop in (path.get("over") or []) if isinstance(path, dict) else []:
                if isinstance(hop, dict) and "cable" not in hop and "box" not in hop:
                    hop["cable"] = cable


def _merged(old: object, new: object) -> object:
    """Groups entry by entry, one-piece ways piece by piece; anything else is replaced."""
    if isinstance(old, dict) and isinstance(new, dict):
        return {**old, **{key: _merged(old.get(key), each) for key, each in new.items()}}
    if isinstance(old, list) and isinstance(new, list) and len(old) == len(new) == 1:
        return [_merged(old[0], new[0])]
    return new


def _in_order(value: dict[str, Any]) -> dict[str, Any]:
    return {key: value[key] for key in (*KEYS, *value) if key in value}


# What stands in no other sheet


def _rest(sheet: Sheet, value: dict[str, Any], result: Imported) -> list[Problem]:
    """Put every pointer and value of the sheet into the site."""
    problems = []
    for row in sheet.rows[1:]:
        cells = [cell for cell in row if cell.text]
        if not cells:
            continue
        try:
            pointer, text = cells[0].text, cells[1].text
            steps = [step.replace("~1", "/").replace("~0", "~") for step in pointer.split("/")[1:]]
            path = _set(value, steps, json.loads(text))
            result.places[path] = sheet.place(cells[-1])
        except (ValueError, IndexError, KeyError, TypeError, RecursionError):
            what = "this row holds no pointer and value"
            problems.append(Problem(sheet.place(cells[0]), what, "leave the sheet as it was exported, or delete it"))
    return problems


def _set(value: dict[str, Any], steps: list[str], new: object) -> Path:
    """Set a value at a path of keys; raises for a path that goes through something else."""
    here = value
    for step in steps[:-1]:
        here = here.setdefault(step, {})
        if not isinstance(here, dict):
            raise TypeError(step)
    here[steps[-1]] = new
    return tuple(steps)
