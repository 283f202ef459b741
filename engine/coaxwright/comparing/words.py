"""A comparison as a document: findings first, then what was changed, then the facts that follow."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from coaxwright.comparing.records import Comparison, FindingChange
from coaxwright.findings import Finding
from coaxwright.reporting.wording import margin
from coaxwright.show.figures import count, plain
from coaxwright.show.tree import Block, Column, Document, Item, Level, Listing, Paragraph, Section, Table
from coaxwright.show.tree import Finding as Told
from coaxwright.show.values import value_words

_HEADINGS = {
    "new": "New findings",
    "worse": "Worse",
    "gone": "Gone",
    "better": "Better",
    "waived": "Answered for now",
    "told_otherwise": "Told otherwise",
}
_MOST_FACTS = 40
"""Rows of facts in text; other forms have all."""


def comparison_document(found: Comparison, form: str = "text") -> Document:
    """The whole comparison; text tells only the first facts, and how many more there are."""
    blocks = [*_findings(found, form), *_things(found), *_facts(found, form)]
    title = f"{found.before.site}: two versions compared"
    meta = (("before", found.before.file), ("after", found.after.file))
    return Document(title, tuple(blocks), _verdict(found), meta, titled=form != "text")


def _verdict(found: Comparison) -> str:
    if found.same:
        return f"No difference between {found.before.file} and {found.after.file}, in the plan or in what follows from it."
    changed = [
        count(len(found.devices), "device"), count(len(found.runs), "run"), count(len(found.settings), "other value"),
        count(len(found.entries), "value of part entries", "values of part entries"),
    ]  # fmt: skip
    said = [f"{len(getattr(found, name))} {word}" for name, word in _COUNTED if getattr(found, name)]
    errors = [f"{each.summary.error}" for each in (found.before, found.after)]
    differ = ", ".join(each for each in changed if not each.startswith("0 ")) or "nothing in the plan"
    return f"Changed: {differ}. Findings: {', '.join(said) or 'the same'}. Errors {errors[0]} -> {errors[1]}."


_COUNTED = (
    ("new", "new"), ("worse", "worse"), ("gone", "gone"), ("better", "better"), ("waived", "answered for now"),
    ("told_otherwise", "told otherwise"),
)  # fmt: skip


def _findings(found: Comparison, form: str) -> Iterator[Block]:
    """A line each for a screen and for search tools; with their marks elsewhere."""
    for name, heading in _HEADINGS.items():
        changes: Sequence[FindingChange] = getattr(found, name)
        if changes and form == "text":
            items = [Item(_told(each.one), _listed(_more_of(each))) for each in changes]
            yield Section(heading, (Listing(items, "none", whole=True),))
        elif changes:
            yield Section(heading, tuple(map(_marked, changes)))


def _marked(change: FindingChange) -> Told:
    one = change.one
    level: Level = "open" if one.kind == "open" else one.level
    return Told(level, one.rule, one.subject, one.message, below=_listed(_more_of(change)))


def _listed(lines: Sequence[str]) -> tuple[Block, ...]:
    return (Listing(lines, "none", whole=True),) if lines else ()


def _more_of(change: FindingChange) -> list[str]:
    """Its room before and after, what was said before, and why it stands in its list."""
    more: list[str] = []
    if change.before is not None and change.after is not None:
        rooms = [margin(each.margin) or each.kind for each in (change.before, change.after)]
        more += [f"{rooms[0]} -> {rooms[1]}"] if rooms[0] != rooms[1] else []
        if change.before.message != change.after.message:
            more.append(f"before: {change.before.message}")
    return [*more, change.because] if change.because else more


def _told(finding: Finding) -> str:
    word = finding.level if finding.kind == "fail" else f"{finding.kind} {finding.level}"
    return f"{word} {finding.rule} on {finding.subject}: {finding.message}"


def _things(found: Comparison) -> Iterator[Block]:
    if found.renamed:
        yield _section("Under another id", ("before", "after"), [(each.before, each.after) for each in found.renamed])
    if found.devices:
        rows = [(each.subject, each.what, each.before or "", each.after or "") for each in found.devices]
        yield _section("Devices", ("device", "what", "before", "after"), rows)
    if found.quantities:
        yield Section("Quantities", (_quantities(found),))
    if found.entries:
        entries = [(each.part, each.field, _value(each.before), _value(each.after)) for each in found.entries]
        yield _section("Part entries (base units)", ("part", "value", "before", "after"), entries)
    if found.runs:
        runs = [(each.subject, each.use, each.before or "not there", each.after or "not there") for each in found.runs]
        yield _section("Runs", ("of", "for", "before", "after"), runs)
    if found.settings:
        settings = [(each.path, _value(each.before), _value(each.after)) for each in found.settings]
        yield _section("Other values", ("path", "before", "after"), settings)


def _section(heading: str, heads: Sequence[str], rows: Sequence[Sequence[str]]) -> Section:
    return Section(heading, (Table(heads, rows),))


def _value(value: object) -> str:
    return "not stated" if value is None else f"{value}"


def _quantities(found: Comparison) -> Table:
    heads = ("part", Column("before", "number"), Column("after", "number"), Column("more", "number"), "in")
    rows = [
        (each.part, each.before, each.after, _more(each.after - each.before), each.unit or "pieces")
        for each in found.quantities
    ]
    return Table(heads, rows)


def _more(number: float) -> str:
    return f"{'+' if number > 0 else '−'}{plain(abs(number), 2)}"


def _facts(found: Comparison, form: str) -> Iterator[Block]:
    if not found.facts:
        return
    shown = found.facts[:_MOST_FACTS] if form == "text" else found.facts
    rows = [
        (each.subject, each.name, value_words(each.before, each.unit), value_words(each.after, each.unit)) for each in shown
    ]
    blocks: list[Block] = [Table(("of", Column("fact", wraps=False), "before", "after"), rows)]
    left = len(found.facts) - len(shown)
    if left:
        blocks.append(Paragraph(f"And {count(left, 'fact')} more: --format md, html or json tells all."))
    yield Section("Facts", tuple(blocks))
