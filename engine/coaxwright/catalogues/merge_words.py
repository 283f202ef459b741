"""What a list would change in the catalogue, as a document and as plain data."""

from __future__ import annotations

from typing import Any

from coaxwright.catalogues.merging import Change, Merge
from coaxwright.show.figures import count
from coaxwright.show.tree import Block, Document, Section, Table


def merge_document(merge: Merge, ending: str) -> Document:
    """Counts first, then new parts, prices, other changes, what the list says otherwise, and what it no longer has."""
    blocks: list[Block] = []
    if merge.new:
        new = [(name, str(values.get("price", "no price"))) for name, values in merge.new.items()]
        blocks.append(Section("New", (Table(("part", "price"), new),)))
    told = {"Changed": _set(merge), "Added to what is there": _added(merge), "Said otherwise and kept": _kept(merge)}
    for heading, rows in told.items():
        if rows:
            blocks.append(Section(heading, (Table(("part", "field", "there", "in the list"), rows),)))
    if merge.missing:
        blocks.append(Section("No longer in the list", (Table(("part", "file"), list(merge.missing.items())),)))
    return Document("What the list changes", tuple(blocks), verdict(merge, ending), titled=False)


def verdict(merge: Merge, ending: str) -> str:
    """How many of each, in one line."""
    prices = sum("price" in each.set for each in merge.changes)
    gone = sum(each.set.get("retired", (None, None))[1] is True for each in merge.changes)
    told = [
        count(len(merge.new), "new part"), count(prices, "changed price"), f"{gone} no longer sold",
        f"{merge.same} unchanged", f"{len(merge.missing)} no longer in the list",
    ]  # fmt: skip
    return f"{', '.join(told)}; {ending}."


def _set(merge: Merge) -> list[tuple[str, str, str, str]]:
    return [
        (each.part, key, "nothing" if old is None else str(old), str(new))
        for each in merge.changes
        for key, (old, new) in each.set.items()
    ]


def _added(merge: Merge) -> list[tuple[str, str, str, str]]:
    return [(each.part, key, "nothing", str(new)) for each in merge.changes for key, new in each.added.items()]


def _kept(merge: Merge) -> list[tuple[str, str, str, str]]:
    return [(each.part, key, str(old), str(new)) for each in merge.changes for key, (old, new) in each.differs.items()]


def merge_data(merge: Merge) -> dict[str, Any]:
    """The comparison as plain values."""
    return {
        "format": 2,
        "new": {name: dict(values) for name, values in merge.new.items()},
        "changes": [_data(each) for each in merge.changes],
        "missing": dict(merge.missing),
        "unchanged": merge.same,
    }


def _data(one: Change) -> dict[str, Any]:
    return {
        "part": one.part, "file": one.file, "added": dict(one.added),
        "set": {key: {"old": old, "new": new} for key, (old, new) in one.set.items()},
        "kept": {key: {"there": old, "list": new} for key, (old, new) in one.differs.items()},
    }  # fmt: skip
