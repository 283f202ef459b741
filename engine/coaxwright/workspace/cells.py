"""The grid as a view of a site's plain value: rows with their cells, and what a typed text means there.

A cell is known by the JSON pointer of its value. A typed text becomes a patch or is refused in words; nothing here
changes a text or judges.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from typing import Any

from coaxwright.fixes.patching import MISSING, has_path, pointer, pointer_steps, value_at
from coaxwright.immutable import immutable
from coaxwright.model.quantities import KINDS, QuantityError, quoted
from coaxwright.workspace.columns import ALL, CABLES, DISKS, GROUPS, HERE, PLACES, SITE, Column, Steps

_NUMBER = re.compile(r"[+\-−]?[0-9]+(?:\.[0-9]+)?")
_PORT_NUMBER = re.compile(r"[a-z]*[0-9]+")
_USES = ("video", "network", "power", "sound", "control")
LONGEST = 2000


class Wrong(ValueError):
    """A typed text that means nothing in its cell: `what` is wrong, what would be `right`."""

    def __init__(self, what: str, right: str = "") -> None:
        super().__init__(what)
        self.what, self.right = what, right


@immutable
class Cell:
    """One value of a row: its column, where it stands, its text (empty where nothing is written).

    `locked` says why it cannot be changed here, where it cannot.
    """

    column: Column
    path: Steps
    text: str
    locked: str = ""


@immutable
class Row:
    """One row of a sheet: the subject that it is about, its name, where its entry stands, and its cells."""

    subject: str
    name: str
    path: Steps
    cells: tuple[Cell, ...]


def rows(value: Mapping[str, Any], sheet: str) -> list[Row]:
    """The rows of one sheet of `columns.ALL`, in the order of the file."""
    if sheet == "cables":
        return list(_cable_rows(value))
    if sheet == "disks":
        return list(_disk_rows(value))
    if sheet == "site":
        return [Row("site", each.name, each.at, (_cell(value, (), each),)) for each in SITE] + list(_of_places(value))
    if sheet == "places":
        return [row for group in GROUPS for row in _entries(value, group, PLACES)]
    return _entries(value, sheet, GROUPS[sheet])


def _of_places(value: Mapping[str, Any]) -> Iterator[Row]:
    """What holds in each building and each area that the site names, one value a row."""
    for group, word in (("buildings", "building"), ("areas", "area")):
        for name in _named(value, group, word):
            at = ("defaults", group, name)
            for each in HERE:
                yield Row("site", f"{word} {name}: {each.name}", (*at, *each.at), (_cell(value, at, each),))


def _named(value: Mapping[str, Any], group: str, word: str) -> list[str]:
    """Buildings or areas that an entry stands in, or that say something already, in the order of the file."""
    found: dict[str, None] = {}
    for entries in value.values():
        for entry in entries.values() if isinstance(entries, dict) else ():
            place = entry.get("place") if isinstance(entry, dict) else None
            for holder in (place, entry):
                if isinstance(holder, dict) and isinstance(holder.get(word), str):
                    found[holder[word]] = None
    own = _at(value, ("defaults", group))
    return [*found, *(name for name in own if name not in found)] if isinstance(own, dict) else list(found)


def _entries(value: Mapping[str, Any], group: str, columns: tuple[Column, ...]) -> list[Row]:
    """The entries of a group as rows."""
    entries = value.get(group)
    names = entries if isinstance(entries, dict) else {}
    return [
        Row(f"{group}/{name}", name, (group, name), tuple(_cell(value, (group, name), each) for each in columns))
        for name in names
    ]


def _cell(value: Mapping[str, Any], entry: Steps, column: Column) -> Cell:
    path = (*entry, *column.at)
    several = _several(value, path)
    if several:
        told = f"{several} pieces" if column.holds.startswith("part") else _together(value, path)
        return Cell(column, path, told, "made of several pieces: change them on the sheet Cables")
    return Cell(column, path, written(_at(value, path)))


def _several(value: object, path: Steps) -> int:
    """How many pieces the way of a cell has, where it is not one run of cable; 0 for one or none."""
    if "over" not in path:
        return 0
    hops = _at(value, path[: path.index("over") + 1])
    if not isinstance(hops, list) or not hops:
        return 0
    return len(hops) if len(hops) > 1 or (isinstance(hops[0], dict) and "box" in hops[0]) else 0


def _together(value: object, path: Steps) -> str:
    """The length of all runs of a way, where every one is given."""
    hops = _at(value, path[: path.index("over") + 1])
    lengths = [each.get("length") for each in hops if isinstance(each, dict) and "cable" in each]
    try:
        return f"{sum(KINDS['length'].read(each) for each in lengths):g} m in all"
    except QuantityError:
        return "not all given"


def _at(value: object, path: Steps) -> Any:
    return value_at(value, path) if has_path(value, path) else None


def written(value: object) -> str:
    """A value of the file as a cell shows it."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return ", ".join(map(written, value))
    return "a group" if isinstance(value, dict) else str(value)


def _cable_rows(value: Mapping[str, Any]) -> Iterator[Row]:
    """Every run of every way, in the order of the file."""
    for group in ("cameras", "recorders", "junctions", "boxes", "switches"):
        entries = value.get(group)
        for name, entry in entries.items() if isinstance(entries, dict) else ():
            for use in (*_USES, ""):
                way = entry.get(use) if use and isinstance(entry, dict) else entry
                hops = way.get("over") if isinstance(way, dict) else None
                yield from _runs((group, name, *((use,) if use else ()), "over"), hops)


def _runs(path: Steps, hops: object) -> Iterator[Row]:
    """The runs of one way; a box in it has no row."""
    runs = hops if isinstance(hops, list) else []
    for place, hop in enumerate(runs):
        if not isinstance(hop, dict) or "box" in hop:
            continue
        at = (*path, place)
        use = f" {path[2]}" if len(path) > 3 else ""
        number = f" {place + 1}" if len(runs) > 1 else ""
        cells = tuple(Cell(each, (*at, *each.at), written(hop.get(str(each.at[0])))) for each in CABLES)
        yield Row(f"{path[0]}/{path[1]}", f"{path[1]}{use}{number}", at, cells)


def _disk_rows(value: Mapping[str, Any]) -> Iterator[Row]:
    recorders = value.get("recorders")
    for name, entry in recorders.items() if isinstance(recorders, dict) else ():
        disks = entry.get("disks") if isinstance(entry, dict) else None
        for place, disk in enumerate(disks if isinstance(disks, list) else ()):
            path = ("recorders", name, "disks", place)
            yield Row(f"recorders/{name}", f"{name} disk {place + 1}", path, (Cell(DISKS[0], path, written(disk)),))


def column_at(path: Steps) -> Column:
    """The column that the value at a path belongs to. Wrong where no sheet has it."""
    group = GROUPS.get(str(path[0])) if path else None
    for columns, length in ((group, 2), (PLACES if group else None, 2), (SITE, 0)):
        for column in columns or ():
            if path[length:] == column.at:
                return column
    if path[:1] == ("defaults",) and path[1:2] in (("buildings",), ("areas",)):
        here = next((each for each in HERE if path[3:] == each.at), None)
        if here:
            return here
    if len(path) > 4 and "over" in path and path.index("over") == len(path) - 3:
        found = next((each for each in CABLES if each.at == path[-1:]), None)
        if found:
            return found
    if len(path) == 4 and path[0] == "recorders" and path[2] == "disks":
        return DISKS[0]
    raise Wrong(f"{quoted('/'.join(map(str, path)))} is no cell of a sheet", "edit the file as text")


def typed_steps(text: str) -> Steps:
    """The steps of a cell's JSON pointer, numbers of lists as numbers. Raises PatchError where it is no pointer."""
    steps = pointer_steps(text)
    lists = ("over", "disks")
    return tuple(
        int(step) if place and steps[place - 1] in lists and step.isdecimal() else step
        for place, step in enumerate(steps)
    )


def meaning(value: Mapping[str, Any], path: Steps, text: str) -> object:
    """What a typed text means as the value at a path; MISSING for an empty one. Raises Wrong."""
    column = column_at(path)
    typed = text.strip()
    if len(typed) > LONGEST:
        raise Wrong(f"this is longer than {LONGEST} signs", "shorten it")
    if not typed:
        if column.needed:
            raise Wrong(f"the {column.name} cannot be left out", "write one, or remove the row")
        return MISSING
    reader = _READERS[column.holds.partition(":")[0]] if column.holds not in KINDS else _quantity
    return reader(value, column, path, typed)


def _quantity(value: Mapping[str, Any], column: Column, path: Steps, typed: str) -> str:
    """A quantity as it is to be written: as typed, a bare number with the column's unit."""
    text = typed.replace("−", "-")
    if _NUMBER.fullmatch(text) and column.unit:
        text = f"{text} {column.unit}"
    try:
        KINDS[column.holds].read(text)
    except QuantityError as error:
        raise Wrong(error.what, error.right) from error
    return re.sub(r"^([+\-]?[0-9.]+)\s*(?=[^\W\d_]|[°%])", r"\1 ", text)


def _choice(value: Mapping[str, Any], column: Column, path: Steps, typed: str) -> object:
    found = next((each for each in column.choices if each == typed.lower()), None)
    found = found or next((each for each in column.choices if each.startswith(typed.lower())), None)
    if found is None:
        raise Wrong(f"{quoted(typed)} is none of the choices", f"write one of: {', '.join(column.choices)}")
    return int(found) if column.at == ("video_rate",) else found


def _count(value: Mapping[str, Any], column: Column, path: Steps, typed: str) -> int:
    if not (typed.isascii() and typed.isdecimal() and len(typed) < 5):
        raise Wrong(f"{quoted(typed)} is not a count", "write a whole number, such as 2")
    return int(typed)


def _port(value: Mapping[str, Any], column: Column, path: Steps, typed: str) -> str:
    """A port word; a bare number is a port of the device named there now, or of the only one there is."""
    if not _PORT_NUMBER.fullmatch(typed):
        return typed
    now = _at(value, path)
    device = now.partition("/")[0] if isinstance(now, str) else ""
    if not device:
        known = value.get("recorders" if column.holds == "port:video" else "supplies")
        names = list(known) if isinstance(known, dict) else []
        if len(names) != 1:
            raise Wrong(f"{quoted(typed)} could be on several devices", f"write device/number, {column.hint}")
        device = str(names[0])
    return f"{device}/{typed}"


def _as_typed(value: Mapping[str, Any], column: Column, path: Steps, typed: str) -> str:
    return typed


_Reader = Callable[[Mapping[str, Any], Column, Steps, str], Any]
_READERS: dict[str, _Reader] = {
    "part": _as_typed, "port": _port, "choice": _choice, "count": _count, "text": _as_typed,
}  # fmt: skip


def operation(value: Mapping[str, Any], path: Steps, new: object) -> dict[str, Any] | None:
    """The one operation that makes the value at a path be `new`, groups and lists around it made where they lack.

    None where nothing changes. Raises Wrong where the value has no place there.
    """
    if has_path(value, path):
        if new is MISSING:
            return _removal(value, path)
        same = value_at(value, path) == new and isinstance(value_at(value, path), type(new))
        return None if same else {"op": "replace", "path": pointer(path), "value": new}
    if new is MISSING:
        return None
    depth = next(length for length in range(len(path) - 1, -1, -1) if has_path(value, path[:length]))
    around = value_at(value, path[:depth])
    if around is None and depth:
        return {"op": "replace", "path": pointer(path[:depth]), "value": _nest(path[depth:], new)}
    if not isinstance(around, dict | list):
        raise Wrong(f"{quoted('/'.join(map(str, path[:depth])))} is a single value", "edit the file as text")
    _check_way(path, depth)
    return {"op": "add", "path": pointer(path[: depth + 1]), "value": _nest(path[depth + 1 :], new)}


def _nest(path: Steps, new: object) -> object:
    for step in reversed(path):
        new = [new] if isinstance(step, int) else {step: new}
    return new


def _check_way(path: Steps, depth: int) -> None:
    """A way of cable begins with the port that it leads to."""
    if len(path) > 3 and path[2] in _USES and path[3] == "over" and depth < 3:
        first = "input" if path[2] == "video" else "port that it is fed from"
        raise Wrong(f"nothing says yet where this cable leads: the {first} comes first", f"fill in the {first}")


def _removal(value: Mapping[str, Any], path: Steps) -> dict[str, Any]:
    """Taking a value away; a group that would be left empty goes with it, and with the port its whole way."""
    if path[-1] in ("into", "from"):
        path = path[:-1]
    while len(path) > (1 if path[0] == "defaults" else 3):
        around = value_at(value, path[:-1])
        if len(around) > 1 or path[-2] in ("cameras", "recorders", "supplies"):
            break
        path = path[:-1]
    return {"op": "remove", "path": pointer(path)}


def sheets() -> tuple[str, ...]:
    """Names of all sheets."""
    return tuple(ALL)
