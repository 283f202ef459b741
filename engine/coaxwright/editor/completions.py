"""What may be typed where the cursor stands: parts, cables, ports, modes, rules, subjects, keys, choices, units."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import Any

from lsprotocol import types

from coaxwright.checking import Rulebook
from coaxwright.editor.places import Cursor, cursor_at, offset_of, position_of
from coaxwright.editor.shapes import keys_at, shape_at
from coaxwright.editor.texts import OpenText
from coaxwright.reading.catalogue import Catalogue
from coaxwright.workspace.cells import Wrong, column_at
from coaxwright.workspace.completing import options
from coaxwright.workspace.figures import part_figures
from coaxwright.workspace.site_text import value_of

MOST = 200
_KIND_OF = {
    "cameras": "camera", "recorders": "recorder", "supplies": "supply", "boxes": "box", "switches": "switch",
    "monitors": "monitor", "disks": "disk",
}  # fmt: skip
_NUMBER = re.compile(r"[+-]?[0-9][0-9.,]*\s?$")

Offer = tuple[str, str]
"""What may stand there, and what tells it from the others."""


def complete(open_text: OpenText, place: types.Position, catalogue: Catalogue, rulebook: Rulebook) -> list[types.CompletionItem]:
    """All that may be typed at a place, nearest first."""
    offset = offset_of(open_text.text, place)
    cursor = cursor_at(open_text.text, offset)
    start = offset - len(cursor.typed)
    where = types.Range(position_of(open_text.text, start), place)
    offers = list(_values(open_text, cursor, catalogue, rulebook) if cursor.key else _keys(open_text, cursor))
    near = [each for each in offers if cursor.typed.lower() in each[0].lower()] or offers
    kind = types.CompletionItemKind.Value if cursor.key else types.CompletionItemKind.Property
    return [
        types.CompletionItem(
            name, kind=kind, detail=says or None, sort_text=f"{number:04}", filter_text=name,
            text_edit=types.TextEdit(where, name),
        )
        for number, (name, says) in enumerate(near[:MOST])
    ]  # fmt: skip


def _keys(open_text: OpenText, cursor: Cursor) -> Iterator[Offer]:
    for shape in keys_at(open_text.schema, cursor.path):
        yield f"{shape.name}: ", shape.says


def _values(open_text: OpenText, cursor: Cursor, catalogue: Catalogue, rulebook: Rulebook) -> Iterable[Offer]:
    """What the value of a key may be."""
    if open_text.schema == "site":
        found = list(_of_site(open_text, cursor, catalogue, rulebook))
        if found:
            return found
    shape = shape_at(open_text.schema, cursor.path, cursor.key)
    if shape is None:
        return []
    if shape.units and _NUMBER.match(cursor.typed):
        number = cursor.typed.strip()
        return [(f"{number} {unit}", shape.says) for unit in shape.units]
    return [(each, shape.says) for each in shape.choices]


def _of_site(open_text: OpenText, cursor: Cursor, catalogue: Catalogue, rulebook: Rulebook) -> Iterable[Offer]:
    if cursor.key == "part" and cursor.group in _KIND_OF:
        return _parts(catalogue, _KIND_OF[cursor.group])
    if cursor.key == "disks":
        return _parts(catalogue, "disk")
    if cursor.key == "rule" or cursor.path[-1:] == ("rules",):
        return [(rule.id, rule.title) for rule in rulebook.rules]
    if cursor.key == "mode":
        return _modes(open_text, cursor, catalogue)
    if cursor.key == "on":
        facts = None if open_text.site is None or open_text.site.report is None else open_text.site.report.facts
        return [(each, "") for each in facts or ()]
    return _cell(open_text, cursor, catalogue)


def _parts(catalogue: Catalogue, kind: str) -> list[Offer]:
    return [(name, part_figures(catalogue.part(name))) for name in catalogue.ids(kind)]


def _modes(open_text: OpenText, cursor: Cursor, catalogue: Catalogue) -> list[Offer]:
    """Modes that the part of the camera gives, with their families."""
    entry = _entry(open_text, cursor)
    part = entry.get("part")
    if not isinstance(part, str) or not catalogue.has(part):
        return []
    emits = getattr(catalogue.part(part), "emits", ())
    return [(str(mode), family) for each in emits for family in _listed(each.family) for mode in _listed(each.mode)]


def _listed(value: object) -> list[Any]:
    return list(value) if isinstance(value, list | tuple) and not hasattr(value, "_fields") else [value]


def _entry(open_text: OpenText, cursor: Cursor) -> dict[str, Any]:
    value = {} if open_text.site is None else value_of(open_text.site)
    entry = value.get(cursor.group, {}).get(cursor.path[1] if len(cursor.path) > 1 else "")
    return entry if isinstance(entry, dict) else {}


def _cell(open_text: OpenText, cursor: Cursor, catalogue: Catalogue) -> list[Offer]:
    """Cables and ports as the grid of the desk offers them."""
    steps = [step for step in cursor.path if step != "over"]
    path: tuple[str | int, ...] = (*steps, "over", 0, cursor.key) if cursor.key == "cable" else (*steps, cursor.key)
    if cursor.key not in ("cable", "into", "from") or open_text.site is None:
        return []
    try:
        column = column_at(path)
    except Wrong:
        return [] if cursor.key != "cable" else _parts(catalogue, "cable")
    found = options(catalogue, value_of(open_text.site), column, path, cursor.typed)
    return [(each.value, each.figures) for each in found.shown]
