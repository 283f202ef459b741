"""The page of all facts that rules may read, made from the fact sheets; and all generated pages together."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from coaxwright.facts.declared.book import Declared, book_of
from coaxwright.facts.sheets.kinds import fact_kinds
from coaxwright.language.types import FieldSpec, KindSpec, ListOf, Num, Ref, Text, Type
from coaxwright.rulebook.examples import pairs
from coaxwright.rulebook.library import Rulebook
from coaxwright.rulebook.own_facts import NONE, OwnFacts
from coaxwright.rulebook.pages import all_pages
from coaxwright.rulebook.table_pages import tables_page

_HEAD = """\
<!-- Made from the fact sheets by `coaxwright rules docs`; edit engine/coaxwright/facts/sheets or rules/facts, not this page. -->

# Facts

What rules may read: one sheet for each subject, each field with its unit. A field that is not known makes a judgement
that needs it *open*. `coaxwright explain SITE SUBJECT` prints every fact of a subject with its working.
"""
_MORE = """
What rules may read: [all facts](facts.md). What facts are worked out with: [all tables](tables.md).
"""


def book_pages(rulebook: Rulebook) -> dict[str, str]:
    """Name and text of every generated page: the index, a page a rule, and the facts."""
    pages = all_pages(((rule.plain, rule.cases) for rule in rulebook.rules), pairs(rulebook))
    index = pages["index.md"] + _MORE
    kinds = rulebook.own.kinds if rulebook.own else fact_kinds()
    return {**pages, "index.md": index, "facts.md": facts_page(kinds, rulebook.own), "tables.md": tables_page()}


def facts_page(kinds: Mapping[str, KindSpec], own: OwnFacts = NONE) -> str:
    """All kinds of sheets as one page of Markdown, in the order of the sheets; `own` are the facts of a user."""
    return "\n".join([_HEAD, *(line for kind in kinds.values() for line in _section(kind, own))]) + "\n"


def _section(kind: KindSpec, own: OwnFacts) -> Iterable[str]:
    yield from (f"## {kind.name}", "", kind.doc, "", "| fact | unit or kind | what it says |", "| --- | --- | --- |")
    for spec in kind.fields.values():
        yield _row(kind, spec, own)
    yield ""


def _row(kind: KindSpec, spec: FieldSpec, own: OwnFacts) -> str:
    told = f"{spec.doc} {_sum(kind.name, spec.name, own)}".strip().replace("|", chr(92) + "|")
    return f"| `{kind.name}.{spec.name}` | {_measure(spec.type)} | {told} |"


def _sum(kind: str, name: str, own: OwnFacts) -> str:
    """How a declared fact is computed, and its source; "" for one that is stated, or computed otherwise."""
    book, users = book_of(kind), own.of(kind, name)
    fact = users.declared if users else book and book.get(name)
    if not fact:
        return ""
    ways = [f"`{way.value.text}`" + (f" where `{way.when.text}`" if way.when else "") for way in fact.ways]
    told = f"Computed: {', else '.join(ways)}{_sources(fact)}."
    return f"{told} Added by `{users.file}`." if users else told


def _sources(fact: Declared) -> str:
    """Where a sum and its figures are from, in brackets."""
    told = [f"source: {fact.source}"] if fact.source else []
    told += [f"`limit.{name}` is {row.written}, source: {row.source}" for name, row in fact.figures.items()]
    return f" ({'; '.join(told)})" if told else ""


def _measure(kind: Type) -> str:
    """A type in the words of the page."""
    if isinstance(kind, Num):
        return str(kind.unit) or "number"
    if isinstance(kind, Ref):
        return f"[{kind.kind}](#{kind.kind})"
    if isinstance(kind, ListOf):
        return f"list of {_measure(kind.item)}"
    if isinstance(kind, Text):
        return ", ".join(f"`{choice}`" for choice in sorted(kind.choices)) if kind.choices else "text"
    return {"Bool": "yes or no", "Int": "whole number"}[type(kind).__name__]
