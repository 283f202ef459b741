"""Data tables of a question: what of a plan is printed, and the plan that a reader can make of the print alone.

Words, columns and order are data (`rules/quiz/words.yaml`). `plan_of` goes the other way, so that it can be proved
that every fact which the question needs is on the paper.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from typing import Any

from coaxwright.immutable import immutable
from coaxwright.quiz.forms import Column, Words
from coaxwright.quiz.plans import Plan, Steps, below, with_at, with_words
from coaxwright.reading.tables import load_generic_parts

DEVICES = ("cameras", "recorders", "supplies", "junctions", "boxes", "switches", "monitors")
PARTS = ("camera", "recorder", "supply", "disk", "cable", "box", "pickup", "switch", "monitor")
EMPTY = "-"
_ONE = {
    "cameras": "camera",
    "recorders": "recorder",
    "supplies": "supply",
    "junctions": "junction",
    "boxes": "box",
    "switches": "switch",
    "monitors": "screen",
}
NOT_GIVEN = "not given"
Stands = Mapping[str, Mapping[str, Any]]


@immutable
class Table:
    """One printed table: what it is of, its title, its columns (first the name), its rows."""

    of: str
    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def tables_of(plan: Plan, words: Words, shows: Sequence[str], wanted: Iterable[str] = ()) -> tuple[Table, ...]:
    """The tables of a plan with the columns that are shown; `wanted` are parts printed though no device names them."""
    columns = [column for column in words.columns if set(column.shows) & set(shows)]
    used = {*_named_parts(plan, columns), *wanted}
    made = []
    for of in ("site", *DEVICES, *PARTS):
        own = [column for column in columns if column.of == of]
        rows = dict(_entries(plan, of, used))
        if own and rows:
            made.append(_table(of, words.titles[of], own, rows))
    return tuple(table for table in made if table is not None)


def _named_parts(plan: Plan, columns: Sequence[Column]) -> set[str]:
    """Every part that a shown property of a device names."""
    shown = [
        below(entry, _path(column)) for column in columns if column.of in DEVICES
        for entry in plan.site.get(column.of, {}).values()
    ]  # fmt: skip
    return {value for value in _texts(shown) if value in plan.parts or f"generic/{value}" in plan.parts}


def _texts(value: object) -> Iterator[str]:
    if isinstance(value, Mapping):
        for each in value.values():
            yield from _texts(each)
    elif isinstance(value, list | tuple):
        for each in value:
            yield from _texts(each)
    elif isinstance(value, str):
        yield value


def _entries(plan: Plan, of: str, used: set[str]) -> Iterator[tuple[str, Mapping[str, Any]]]:
    if of == "site":
        yield "", plan.site
    elif of in DEVICES:
        yield from plan.site.get(of, {}).items()
    else:
        for name, part in plan.parts.items():
            bare = name.removeprefix("generic/")
            if part["kind"] == of and (bare in used or name in used):
                yield bare, part


def _table(of: str, title: str, columns: Sequence[Column], rows: Mapping[str, Mapping[str, Any]]) -> Table | None:
    kept = [column for column in columns if any(below(row, _path(column)) is not None for row in rows.values())]
    if not kept:
        return None
    cells = tuple(
        (name, *(_cell(row, column) for column in kept)) for name, row in rows.items()
        if any(below(row, _path(column)) is not None for column in kept)
    )  # fmt: skip
    return Table(of, title, (_ONE.get(of, "name"), *(c.label for c in kept)), cells)


def _path(column: Column) -> Steps:
    return tuple(int(step) if step.isdecimal() else step for step in column.at.split("/"))


def _cell(row: Mapping[str, Any], column: Column) -> str:
    value = below(row, _path(column))
    return EMPTY if value is None else _WRITE[column.form](value)


def plan_of(tables: Sequence[Table], words: Words, shows: Sequence[str]) -> Plan:
    """The plan that the printed tables state. ValueError for a cell that cannot be read.

    What a part needs in order to be read at all, and the question does not show, is filled with stand-ins
    (`needed` in words.yaml): the key must not hang on them. What it shows and leaves empty stays empty.
    """
    stands = _stand_ins(words, shows)
    site: dict[str, Any] = {"site": "printed"}
    parts: dict[str, Any] = {}
    by_label = {(column.of, column.label): column for column in words.columns}
    for table in tables:
        columns = [by_label[table.of, label] for label in table.heads[1:]]
        for name, *cells in table.rows:
            entry = _entry(table.of, columns, cells, stands)
            if table.of == "site":
                site.update(entry)
            elif table.of in DEVICES:
                site.setdefault(table.of, {})[name] = entry
            else:
                parts[name] = entry
    site = _without_unknown(site)
    parts = {**dict(_stubs(site, stands)), **parts}
    # Other names, so that what is printed of a generic part counts, not what the program knows of it.
    clashing = {name: f"printed.{name}" for name in parts if name in load_generic_parts()}
    return Plan(with_words(site, clashing), {clashing.get(name, name): part for name, part in parts.items()})


_KIND_AT = {"cable": "cable", "pickup": "pickup", "disks": "disk"}
_KIND_OF = {
    "cameras": "camera", "recorders": "recorder", "supplies": "supply", "boxes": "box", "switches": "switch",
    "monitors": "monitor",
}  # fmt: skip


def _stand_ins(words: Words, shows: Sequence[str]) -> dict[str, dict[str, Any]]:
    shown = {(each.of, each.at.partition("/")[0]) for each in words.columns if set(each.shows) & set(shows)}
    always = {"emits", "inputs", "volts", "capacity", "carries", "does"}  # without these a part is none
    return {
        kind: {name: value for name, value in held.items() if name in always or (kind, name) not in shown}
        for kind, held in words.needed.items()
    }


def _stubs(site: Mapping[str, Any], stands: Stands) -> Iterator[tuple[str, dict[str, Any]]]:
    """Parts that are named and not printed: as little as a part may state."""
    for group in _KIND_OF:
        for entry in site.get(group, {}).values():
            yield from ((name, _stub(kind, stands)) for name, kind in _named(entry, group))


def _stub(kind: str, stands: Stands) -> dict[str, Any]:
    return {"kind": kind, "source": "as printed", **stands.get(kind, {})}


def _named(value: object, group: str) -> Iterator[tuple[str, str]]:
    """Part names below an entry, with the kind that each place takes."""
    if isinstance(value, list | tuple):
        for each in value:
            yield from _named(each, group)
    if isinstance(value, Mapping):
        for key, each in value.items():
            kind = _KIND_OF[group] if key == "part" else _KIND_AT.get(key)
            if kind is not None:
                yield from ((name, kind) for name in _listed(each))
            else:
                yield from _named(each, group)


def _without_unknown(site: dict[str, Any]) -> dict[str, Any]:
    """Devices that need a part and print none cannot be read: left out."""
    for group in DEVICES:
        held = {name: entry for name, entry in site.get(group, {}).items() if "part" in entry or group == "junctions"}
        if held:
            site[group] = held
        else:
            site.pop(group, None)
    return site


def _entry(of: str, columns: Sequence[Column], cells: Sequence[str], stands: Stands) -> dict[str, Any]:
    entry: Any = {}
    if of in PARTS:
        entry = _stub(of, stands)
    for column, cell in zip(columns, cells, strict=True):
        if cell != EMPTY:
            entry = _placed(entry, _path(column), _READ[column.form](cell))
    return dict(entry)


def _placed(entry: object, path: Steps, value: object) -> dict[str, Any]:
    """Set a value; a place in a list that is not there yet makes a list of one."""
    for place, step in enumerate(path):
        if isinstance(step, int) and not isinstance(below(entry, path[:place]), list):
            entry = with_at(entry, path[:place], [{}])
    found: dict[str, Any] = with_at(entry, path, value)
    return found


# How each form is written and read back.


def write_run(hops: Sequence[Mapping[str, Any]]) -> str:
    """`40 m of power-1mm2, then box iso1, then 20 m of power-1mm2 (2 joints)`."""
    return ", then ".join(map(_hop, hops))


def _hop(hop: Mapping[str, Any]) -> str:
    if hop.get("box"):
        return f"box {hop['box']}"
    notes = [f"{hop['joints']} joints"] if hop.get("joints") else []
    notes += [str(hop["setting"])] if hop.get("setting") else []
    said = f" ({', '.join(notes)})" if notes else ""
    return f"{hop.get('length') or 'length ' + NOT_GIVEN} of {hop.get('cable') or 'cable ' + NOT_GIVEN}{said}"


_HOP = re.compile(r"(?P<length>.+?) of (?P<cable>[^()]+?)(?: \((?P<notes>[^()]*)\))?")


def read_run(text: str) -> list[dict[str, Any]]:
    """The hops of a written run. ValueError."""
    return [_read_hop(piece) for piece in text.split(", then ")]


def _read_hop(text: str) -> dict[str, Any]:
    if text.startswith("box "):
        return {"box": text[4:]}
    found = _HOP.fullmatch(text)
    if found is None:
        raise ValueError(f"`{text}` is no run")
    hop: dict[str, Any] = {name: found[name] for name in ("cable", "length") if NOT_GIVEN not in found[name]}
    for note in (found["notes"] or "").split(", "):
        if note.endswith(" joints"):
            hop["joints"] = int(note.split()[0])
        elif note:
            hop["setting"] = note
    return hop


def _listed(value: object) -> list[Any]:
    return list(value) if isinstance(value, list | tuple) else [value]


def _commas(value: object) -> str:
    return ", ".join(map(str, _listed(value))) or "none"


def _write_modes(rows: list[Any]) -> str:
    return "; ".join(f"{_commas(row['family'])}: {_commas(row['mode'])}" for row in rows)


def _write_accepts(rows: list[Any]) -> str:
    def one(row: Mapping[str, Any]) -> str:
        notes = ["reduced width"] if row.get("width") == "reduced" else []
        notes += [f"after setting {row['after']}"] if row.get("after") else []
        notes += [f"maker {row['maker']}"] if row.get("maker", "any") != "any" else []
        return f"{_commas(row['family'])}: {_commas(row['mode'])}" + (f" ({', '.join(notes)})" if notes else "")

    return "; ".join(map(one, rows))


_ROW = re.compile(r"(?P<families>[a-z, ]+): (?P<modes>[^()]+?)(?: \((?P<notes>[^()]*)\))?")


def _read_accepts(text: str) -> list[dict[str, Any]]:
    rows = []
    for piece in text.split("; "):
        found = _ROW.fullmatch(piece)
        if found is None:
            raise ValueError(f"`{piece}` is no row of modes")
        row: dict[str, Any] = {"family": found["families"].split(", "), "mode": found["modes"].split(", ")}
        for note in (found["notes"] or "").split(", "):
            if note == "reduced width":
                row["width"] = "reduced"
            elif note.startswith("after setting "):
                row["after"] = note.removeprefix("after setting ")
            elif note:
                row["maker"] = note.removeprefix("maker ")
        rows.append(row)
    return rows


def _write_asks(rows: list[Any]) -> str:
    return "; ".join(
        f"{_commas(row['family'])}: {row['wanted']} of cameras of "
        f"{'its own maker' if row.get('maker', 'own') == 'own' else row['maker']}"
        f" that send {_commas(row['seen']) if row.get('seen') else 'any mode'}"
        for row in rows
    ) or "never"  # fmt: skip


_ASK = re.compile(r"(?P<families>[a-z, ]+): (?P<wanted>\S+) of cameras of (?P<maker>.+?) that send (?P<seen>.+)")


def _read_asks(text: str) -> list[dict[str, Any]]:
    rows = []
    for piece in [] if text == "never" else text.split("; "):
        found = _ASK.fullmatch(piece)
        if found is None:
            raise ValueError(f"`{piece}` is no row of what is asked")
        row: dict[str, Any] = {"family": found["families"].split(", "), "wanted": found["wanted"]}
        row["maker"] = "own" if found["maker"] == "its own maker" else found["maker"]
        if found["seen"] != "any mode":
            row["seen"] = found["seen"].split(", ")
        rows.append(row)
    return rows


def _write_encodes(rows: list[Any]) -> str:
    return "; ".join(
        f"{row['up_to']}: {row['rate']}"
        + (" (larger frames at half their columns)" if row.get("width") == "reduced" else "")
        for row in rows
    )


def _read_encodes(text: str) -> list[dict[str, Any]]:
    rows = []
    for piece in text.split("; "):
        size, _, rate = piece.partition(": ")
        half = rate.endswith(" (larger frames at half their columns)")
        row = {"up_to": size, "rate": rate.partition(" (")[0]}
        rows.append({**row, "width": "reduced"} if half else row)
    return rows


def _write_outputs(rows: list[Any]) -> str:
    return "; ".join(f"{row['connector']} {row['mode']}" for row in rows)


def _read_outputs(text: str) -> list[dict[str, str]]:
    return [dict(zip(("connector", "mode"), piece.split(), strict=True)) for piece in text.split("; ")]


def _write_loss(points: list[Any]) -> str:
    return "; ".join(f"{loss:g} dB at {frequency:g} MHz" for frequency, loss in points)


def _read_loss(text: str) -> list[list[float]]:
    pairs = [piece.removesuffix(" MHz").split(" dB at ") for piece in text.split("; ")]
    return [[float(frequency), float(loss)] for loss, frequency in pairs]


def _write_set(value: dict[str, Any]) -> str:
    return " ".join(str(value[name]) for name in ("family", "mode") if value.get(name)) or EMPTY


def _read_set(text: str) -> dict[str, str]:
    words = text.split()
    return {("mode" if "@" in word else "family"): word for word in words}


def _read_text(text: str) -> object:
    return int(text) if re.fullmatch(r"[0-9]{1,9}", text) else text


def _read_list(text: str) -> list[str]:
    return [] if text == "none" else text.split(", ")


_WRITE: dict[str, Callable[[Any], str]] = {
    "text": str, "list": _commas, "run": write_run, "set": _write_set, "modes": _write_modes, "accepts": _write_accepts,
    "asks": _write_asks, "encodes": _write_encodes, "loss": _write_loss,
    "outputs": _write_outputs, "yes": lambda value: "yes" if value else "no",
}  # fmt: skip
_READ: dict[str, Callable[[str], Any]] = {
    "text": _read_text, "list": _read_list, "run": read_run, "set": _read_set, "modes": _read_accepts,
    "accepts": _read_accepts, "asks": _read_asks, "encodes": _read_encodes, "loss": _read_loss, "outputs": _read_outputs,
    "yes": lambda text: text == "yes",
}  # fmt: skip
