"""What an edit changes, as a document: findings and facts before and after. Decides nothing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from coaxwright.findings import Finding
from coaxwright.fixes.proving import worsened
from coaxwright.fixes.what_if import Differences, FactChange
from coaxwright.reporting.wording import worse_words
from coaxwright.show.tree import Block, Column, Document, Item, Listing, Paragraph, Section, Table
from coaxwright.show.values import value_words


def what_if_document(found: Differences, form: str = "text") -> Document:
    """Only what differs, harm before facts."""
    told: list[tuple[str, Sequence[Item | str]]] = [
        ("Cleared", list(map(_finding, found.cleared))),
        ("New", list(map(_finding, found.introduced))),
        ("Told otherwise", [_both(*each) for each in found.told]),
        ("Worse", list(_worse(found))),
        ("Gives up", list(found.gives_up)),
        ("Loses", list(found.loses)),
    ]
    sections: list[Block] = [Section(heading, (_listing(items),)) for heading, items in told if items]
    facts = [each for each in found.facts if _differs(each)]
    if facts:
        changes = _listing([_fact(each) for each in facts]) if form == "text" else _table(facts)
        sections.append(Section("Facts", (changes,)))
    return Document("What would change", tuple(sections or [Paragraph("Nothing changes.")]), titled=False)


def _listing(items: Sequence[Item | str]) -> Listing:
    return Listing(items, "none", whole=True)


def _finding(finding: Finding) -> str:
    word = finding.level if finding.kind == "fail" else finding.kind
    return f"{word} {finding.rule} on {finding.subject}: {finding.message}"


def _both(before: Finding, after: Finding) -> Item:
    return Item(_finding(before), (_listing([f"now: {_finding(after)}"]),))


def _worse(found: Differences) -> Iterator[str]:
    """What is open and was not, and what fails worse; what fails newly stands among what is new."""
    for harm in found.worse:
        if harm.how == "open":
            yield f"nobody can judge it any more: {harm.rule} on {harm.subject} ({harm.level})"
    yield from (worse_words(worsened(harm)) for harm in found.worse if harm.how == "less-room")


def _differs(change: FactChange) -> bool:
    """Whether what is printed differs: people are not told of the last digit of a float."""
    return value_words(change.before, change.unit) != value_words(change.after, change.unit)


def _fact(change: FactChange) -> str:
    before, after = (value_words(each, change.unit) for each in (change.before, change.after))
    return f"{change.subject} {change.name}: {before} -> {after}"


def _table(changes: Sequence[FactChange]) -> Table:
    rows = [
        (each.subject, each.name, value_words(each.before, each.unit), value_words(each.after, each.unit)) for each in changes
    ]
    return Table(("subject", Column("fact", wraps=False), "before", "after"), rows)
