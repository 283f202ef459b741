"""What looks wrong in a catalogue: values that cannot be, units mistaken, entries twice, facts that leave rules open.

Limits are bounds of plausibility from common practice; a value beyond one may still be right, so those are
warnings. Contradictions within an entry are errors. Not here: what a file may hold at all (`reading`).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any, Literal

from coaxwright import pace
from coaxwright.catalogues.open_facts import open_facts
from coaxwright.catalogues.units import MISTAKES
from coaxwright.errors import Span
from coaxwright.facts.contradictions import CONTRADICTIONS, DOUBTS
from coaxwright.facts.makers import lets_in, maker_of
from coaxwright.facts.picture.frames import nominal
from coaxwright.facts.picture.signals import pairs
from coaxwright.facts.unused import unused_in
from coaxwright.immutable import immutable
from coaxwright.model.common import VideoMode
from coaxwright.model.parts import Part
from coaxwright.model.recorder_parts import Asks
from coaxwright.reading.catalogue import Catalogue, PartSource
from coaxwright.reading.tables import load_table
from coaxwright.rulebook.library import Rulebook

Level = Literal["error", "warning", "note"]
_SAY_NOTHING = ("title", "source", "aliases", "price", "currency", "retired", "retired_since", "successor", "articles",
                "price_date", "stock", "lead_time", "price_tiers", "warranty_years", "read")


About = Literal["impossible", "unit", "duplicate", "open", "not-used"]


@immutable
class Remark:
    """One thing about one part: where, how bad, what, and what would be right."""

    file: str
    span: Span
    part: str
    path: tuple[str | int, ...]
    level: Level
    about: About
    what: str
    right: str = ""

    def __str__(self) -> str:
        """`file:line:column: level: part: what; right`, on one line."""
        head = f"{self.file}:{self.span.line}:{self.span.column}: {self.level}: {self.part}: {self.what}"
        return f"{head}; {self.right}" if self.right else head


def remarks_on(catalogue: Catalogue, rulebook: Rulebook | None = None) -> list[Remark]:
    """Everything that looks wrong in the part files of a catalogue, in order of file and place.

    With a rulebook, facts too that an entry lacks and that leave rules open, and what it states and nothing uses.
    """
    found: list[Remark] = []
    entries = [(source, name, part) for source in catalogue.sources for name, part in source.entries.parts.items()]
    for source, name, part in pace.counted(entries, "parts"):
        found += _values(source, name, part)
        if rulebook is not None:
            found += _open(source, catalogue, name, rulebook)
            found += _unsettled(source, name, part)
            found += _without_figures(source, name, part)
            found += [_remark(source, name, path, "note", "not-used", what) for path, what in unused_in(part)]
    found += _unanswered(catalogue)
    found += _duplicates(catalogue)
    return sorted(found, key=lambda each: (each.file, each.span, each.what))


def _remark(source: PartSource, name: str, path: Iterable[str | int], level: Level, about: About, *words: str) -> Remark:
    whole = ("parts", name, *path)
    return Remark(source.file, source.document.nearest_span(whole), name, tuple(path), level, about, *words)


def _values(source: PartSource, name: str, part: Part) -> Iterator[Remark]:
    for check in CONTRADICTIONS.get(part.kind, ()):
        for path, what, right in check(part):
            yield _remark(source, name, path, "error", "impossible", what, right)
    for check in DOUBTS.get(part.kind, ()):
        for path, what, right in check(part):
            yield _remark(source, name, path, "warning", "impossible", what, right)
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
        what = f"`{field}` is not stated, which leaves {len(rules)} {'rule' if len(rules) == 1 else 'rules'} open: {shown}"
        yield _remark(source, name, (), "note", "open", what, "state it if the datasheet does")


_COAX_ONLY = ("emits", "starts_as", "switched_by", "heeds_asks")
"""What a network camera does not state."""


def _unsettled(source: PartSource, name: str, part: Part) -> Iterator[Remark]:
    """A coax camera of several signals to be switched to: what it leaves out about how it is switched.

    Its picture is open wherever nobody sets it, where its factory setting is not stated.
    """
    if part.kind != "camera":
        return
    free = (row for row in part.emits or () if row.only is None)
    signals = {pair for row in free for pair in pairs(row.family, row.mode)}
    if len(signals) > 1 and part.switched_by is None:
        what = "`switched_by` is not stated: that it can be switched to another mode stays open"
        yield _remark(source, name, (), "note", "open", what, "state by what it is switched; `[]` for nothing")
    if len(signals) > 1 and not part.starts_as:
        which = f"which of its {len(signals)} signals it sends out of the box stays open"
        what = f"`starts_as` is not stated: {which}, and its picture with it"
        yield _remark(source, name, (), "note", "open", what, "state the factory setting")


def _without_figures(source: PartSource, name: str, part: Part) -> Iterator[Remark]:
    """Modes that a camera sends and no table has a top frequency of: the reach of every run stays open in them."""
    rows = {(row["family"], row["mode"]) for row in load_table("signal-modes").rows}
    for place, row in enumerate(part.emits if part.kind == "camera" else ()):
        unknown = [(family, mode) for family, mode in pairs(row.family, row.mode) if (family, nominal(mode)) not in rows]
        for mode in dict.fromkeys(mode for _, mode in unknown):
            families = " and ".join(family for family, each in unknown if each == mode)
            near = ", ".join(sorted({str(like) for family, like in rows if (family, mode) in unknown and _alike(like, mode)}))
            what = f"no table has figures of the mode {mode} in {families}: how far it reaches on a cable stays open"
            meant = f"is {near} meant? else " if near else ""
            right = f"{meant}state them under `modes` of the recorder or the site, where its maker prints them"
            yield _remark(source, name, ("emits", place, "mode"), "note", "open", what, right)


def _alike(known: VideoMode, mode: VideoMode) -> bool:
    """Whether one may be a slip for the other: the same lines and rate and nearly the columns, or the same picture."""
    columns = abs(known.width - mode.width) <= 0.1 * mode.width
    same = known.height == mode.height, known.fps == nominal(mode).fps
    return columns and any(same) and (all(same) or known.width == mode.width)


def _unanswered(catalogue: Catalogue) -> Iterator[Remark]:
    """Modes that a recorder asks for and no camera of the catalogue that it means states."""
    makers = _makers_by_signal(catalogue)
    for source in catalogue.sources:
        for name, part in source.entries.parts.items():
            for number, group in enumerate(part.inputs if part.kind == "recorder" else ()):
                for place, ask in enumerate(group.asks):
                    if _nobody_answers(ask, maker_of(name, part), makers):
                        at = ("inputs", number, "asks", place, "wanted")
                        what = f"it asks for {ask.wanted}, which no camera of the catalogue that it means states"
                        right = "list it under the camera's `emits`, with `only: when-asked` where it is in no menu"
                        yield _remark(source, name, at, "warning", "impossible", what, right)


def _makers_by_signal(catalogue: Catalogue) -> dict[tuple[str, VideoMode | None], set[str]]:
    """Whose cameras send a family at all (mode None), and a mode in it, by themselves or on request."""
    found: dict[tuple[str, VideoMode | None], set[str]] = {}
    for name in catalogue.ids("camera"):
        part = catalogue.part(name)
        for row in part.emits:
            for family, mode in pairs(row.family, row.mode):
                for key in ((family, None), (family, nominal(mode))):
                    found.setdefault(key, set()).add(maker_of(name, part))
    return found


def _nobody_answers(ask: Asks, maker: str, makers: dict[tuple[str, VideoMode | None], set[str]]) -> bool:
    families = (ask.family,) if isinstance(ask.family, str) else ask.family

    def meant(mode: VideoMode | None) -> bool:
        return any(lets_in(ask.maker, one, maker) for family in families for one in makers.get((family, mode), ()))

    return meant(None) and not meant(nominal(ask.wanted))


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
