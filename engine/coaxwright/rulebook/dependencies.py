"""What a fact depends on, and what depends on it: one map, read off the expressions of declared facts and of rules.

A declared fact (the program's or a user's) depends on what its expression reads, a rule on what its conditions read, both
followed along the sheets of the site. Facts that are stated, looked up or solved are where the map ends downwards: what
those rest on is found by trying (`facts.provenance`). Nothing here computes or judges.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Sequence
from functools import cached_property
from typing import Any, Literal

from coaxwright.facts.binding import Facts
from coaxwright.facts.declared.book import Book, Declared, book_of
from coaxwright.facts.sheets import SHEETS, Sheet
from coaxwright.immutable import immutable
from coaxwright.rulebook.judging import Frame, frame_of
from coaxwright.rulebook.library import LoadedRule, Rulebook
from coaxwright.rulebook.subjects import subjects

How = Literal["declared", "figure", "given"]
Path = tuple[str, ...]


@immutable
class Node:
    """One fact of one sheet. `how`: declared, a figure that a declaration works with inside, or given (stated, looked up
    or solved).
    """

    sheet: Sheet
    name: str
    how: How

    @property
    def fact(self) -> str:
        """As people name it: `feed.volts_night`."""
        return f"{self.sheet.kind}.{self.name}"

    @property
    def key(self) -> tuple[int, str]:
        """What tells it from every other of the site."""
        return id(self.sheet), self.name


@immutable
class Seen:
    """A rule that reads a fact when it judges a subject."""

    rule: str
    subject: str
    node: Node


class DependencyMap:
    """The map of one site under one rulebook."""

    def __init__(self, facts: Facts, rulebook: Rulebook) -> None:
        self.facts, self.rulebook = facts, rulebook

    def node(self, sheet: Sheet, name: str) -> Node:
        """A fact of a sheet of the site."""
        if declaration(sheet, name) is not None:
            return Node(sheet, name, "declared")
        return Node(sheet, name, "given" if name in fields_of(sheet) else "figure")

    def uses(self, node: Node) -> list[Node]:
        """What a fact reads, in the order of its expression; nothing where it is not declared."""
        fact = declaration(node.sheet, node.name)
        paths = () if fact is None else fact.whole.paths
        found = {each.key: each for path in paths if path[0] == node.sheet.kind for each in self._at(node.sheet, path[1:])}
        return list(found.values())

    def used_by(self, node: Node) -> list[Node]:
        """The declared facts that read it, in the order of the site."""
        return list(self._readers.get(node.key, ()))

    def above(self, node: Node) -> list[Node]:
        """The fact itself and every declared fact that rests on it, nearest first, each once."""
        found, waiting = {node.key: node}, [node]
        for each in waiting:
            new = [reader for reader in self.used_by(each) if reader.key not in found]
            found.update((reader.key, reader) for reader in new)
            waiting += new
        return list(found.values())

    def seen_by(self, nodes: Sequence[Node]) -> list[Seen]:
        """Rules whose conditions read any of these facts, by id and subject, each with the first fact that it reads."""
        wanted = {each.key: each for each in nodes}
        names = {each.name for each in nodes}
        return [seen for rule in self.rulebook.rules for seen in self._seen(rule, wanted, names)]

    def _seen(self, rule: LoadedRule, wanted: dict[tuple[int, str], Node], names: set[str]) -> Iterator[Seen]:
        if not any(names & set(path[1:]) for path in _facts_of(rule)):
            return
        frame = frame_of(rule, self.facts)
        for subject in subjects(rule.scope, self.facts):
            first = next((wanted[each.key] for each in self.read(rule, subject, frame) if each.key in wanted), None)
            if first is not None:
                yield Seen(rule.id, subject.subject, first)

    def read(self, rule: LoadedRule, subject: Sheet, frame: Frame) -> Iterator[Node]:
        """Every fact that the conditions of a rule can read of a subject, those on the way to others as well."""
        bound = frame.bind(rule, subject)
        for path in _facts_of(rule):
            yield from self._at(bound.get(path[0]), path[1:], whole=True)

    @cached_property
    def _readers(self) -> dict[tuple[int, str], list[Node]]:
        found: dict[tuple[int, str], list[Node]] = {}
        for kind in SHEETS:
            for sheet in self.facts.by_kind(kind):
                for fact in (fact for book in books(sheet) for fact in book.facts):
                    reader = Node(sheet, fact.name, "declared")
                    for each in self.uses(reader):
                        found.setdefault(each.key, []).append(reader)
        return found

    def _at(self, value: object, names: Sequence[str], *, whole: bool = False) -> Iterator[Node]:
        """The facts at the end of a path from a sheet on; with `whole` those on the way as well."""
        if isinstance(value, list | tuple):
            for item in value:
                yield from self._at(item, names[names[0] == "*" :] if names else names, whole=whole)
        elif isinstance(value, Sheet) and names:
            if whole or len([name for name in names if name != "*"]) == 1:
                yield self.node(value, names[0])
            yield from self._at(value.known(names[0]), names[1:], whole=whole)


def paths_of(rule: LoadedRule) -> Iterator[Path]:
    """What the conditions of a rule read: guard, requirement and margin."""
    for checked in (rule.when, rule.require, rule.margin):
        if checked is not None:
            yield from checked.paths


def _facts_of(rule: LoadedRule) -> Iterator[Path]:
    return (path for path in paths_of(rule) if path[0] != "limit")


def books(sheet: Sheet) -> list[Book]:
    """The declarations of a sheet: the program's, and the user's."""
    return [book for book in (book_of(sheet.kind), sheet.own_book) if book is not None]


def declaration(sheet: Sheet, name: str) -> Declared | None:
    """The declaration of a fact; None where it is not declared."""
    return next((fact for book in books(sheet) if (fact := book.get(name)) is not None), None)


def unit_of(sheet: Sheet, name: str) -> str:
    """The unit of a fact or of a figure inside a declaration."""
    entry = fields_of(sheet).get(name)
    if entry is not None:
        return str(entry.metadata.get("unit", ""))
    return next((book.units[name] for book in books(sheet) if name in book.units), "")


def fields_of(sheet: Sheet) -> dict[str, Any]:
    """The fields of a sheet by name."""
    return {entry.name: entry for entry in dataclasses.fields(sheet)}  # type: ignore[arg-type]
