"""What looks wrong in a catalogue: values that cannot be, units mistaken, entries twice, facts that leave rules open.

Limits are bounds of plausibility from common practice; a value beyond one may still be right, so those are
warnings. Contradictions within an entry are errors. Not here: what a file may hold at all (`reading`).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any, Literal

from coaxwright import pace
from coaxwright.catalogues.contradictions import CONTRADICTIONS
from coaxwright.catalogues.open_facts import open_facts
from coaxwright.catalogues.units import MISTAKES
from coaxwright.errors import Span
from coaxwright.facts.picture.signals import pairs
from coaxwright.immutable import immutable
from coaxwright.reading.catalogue import Catalogue, PartSource
from coaxwright.rulebook.library import Rulebook

Level = Literal["error", "warning", "note"]
_SAY_NOTHING = ("title", "source", "aliases", "price", "currency", "retired")


@immutable
class Remark:
    """One thing about one part: where, how bad, what, and what would be right."""

    file: str
    span: Span
    part: str
    path: tuple[str | int, ...]
    level: Level
    about: Literal["impossible", "unit", "duplicate", "open"]
    what: str
    right: str = ""

    def __str__(self) -> str:
        """`file:line:column: level: part: what; right`, on one line."""
        head = f"{self.file}:{self.span.line}:{self.span.column}: {self.level}: {self.part}: {self.what}"
        return f"{head}; {self.right}" if self.right else head


def remarks_on(catalogue: Catalogue, rulebook: Rulebook | None = None) -> list[Remark]:
    """Everything that looks wrong in the part files of a catalogue, in order of file and place.

    With a rulebook, facts too that an entry lacks and that leave rules open.
    """
    found: list[Remark] = []
    entries = [(source, name, part) for source in catalogue.sources for name, part in source.entries.parts.items()]
    for source, name, part in pace.counted(entries, "parts"):
        found += _values(source, name, part)
        if rulebook is not None:
            found += _open(source, catalogue, name, rulebook)
            found += _unsettled(source, name, part)
    found += _duplicates(catalogue)
    return sorted(found, key=lambda each: (each.file, each.span, each.what))


def _remark(source: PartSource, name: str, path: Iterable[str | int], level: Level, about: Any, *words: str) -> Remark:
    whole = ("parts", name, *path)
    return Remark(source.file, source.document.nearest_span(whole), name, tuple(path), level, about, *words)


def _values(source: PartSource, name: str, part: Any) -> Iterator[Remark]:
    for check in CONTRADICTIONS.get(part.kind, ()):
        for path, what, right in check(part):
            yield _remark(source, name, path, "error", "impossible", what, right)
    written = source.document.value["parts"][name]
    for suspect in MISTAKES.get(part.kind, ()):
        for path, what, right in suspect(part, written):
            yield _remark(source, name, path, "warning", "unit", what, right)


def _open(source: PartSource, catalogue: Catalogue, name: str, rulebook: Rulebook) -> Iterator[Remark]:
    network = getattr(catalogue.part(name), "network", None) is not None and catalogue.kind(name) == "camera"
    for field, rules in open_facts(catalogue, name, rulebook).items():
        if network and field in _COAX_ONLY:
            continue
        shown = ", ".join(sorted(rules)[:4]) + (" and more" if len(rules) > 4 else "")
        what = f"`{field}` is not stated, which leaves {len(rules)} rules open: {shown}"
        yield _remark(source, name, (), "note", "open", what, "state it if the datasheet does")


_COAX_ONLY = ("emits", "starts_as", "switched_by", "heeds_asks")
"""What a network camera does not state."""


def _unsettled(source: PartSource, name: str, part: Any) -> Iterator[Remark]:
    """A coax camera of several signals whose factory setting is not stated: its picture is open wherever nobody sets it."""
    if part.kind != "camera" or part.starts_as:
        return
    signals = {pair for row in part.emits for pair in pairs(row.family, row.mode)}
    if len(signals) > 1:
        which = f"which of its {len(signals)} signals it sends out of the box stays open"
        what = f"`starts_as` is not stated: {which}, and its picture with it"
        yield _remark(source, name, (), "note", "open", what, "state the factory setting")


def _duplicates(catalogue: Catalogue) -> Iterator[Remark]:
    """Entries that say the same under two ids, words and prices apart."""
    seen: dict[Any, str] = {}
    for source in catalogue.sources:
        for name, part in source.entries.parts.items():
            said = part.model_copy(update=dict.fromkeys(_SAY_NOTHING, None))
            key = (part.kind, said.model_dump_json(exclude_none=True))
            first = seen.setdefault(key, name)
            if first != name:
                what = f"says the same as {first}, words and prices apart"
                yield _remark(source, name, (), "warning", "duplicate", what, "keep one, or state what differs")
