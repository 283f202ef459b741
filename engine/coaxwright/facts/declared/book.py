"""The declared facts as the program runs them: made from `expressions`, nothing is parsed."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import field
from functools import cache
from typing import Any

from coaxwright.immutable import immutable
from coaxwright.language.checked import Checked, from_plain
from coaxwright.language.syntax import Choice, Logic, Macro, walk


@immutable
class Way:
    """What a fact is where `when` holds (always, where it is None), and the assumption that it then rests on."""

    when: Checked | None
    value: Checked
    assumes: str | None


@immutable
class Declared:
    """One fact (or step) of a kind of sheet. `ways` exclude each other; `whole` is their joint expression."""

    kind: str
    name: str
    unit: str
    ways: tuple[Way, ...]
    source: str
    supply: str | None
    endless: bool
    whole: Checked
    certain: bool
    """Where the generated code misses a field, there is no value: nothing in the expression absorbs what is missing."""
    limits: Any = None
    """What the variable `limit` stands for; None where no figures are stated beside the fact."""
    figures: Mapping[str, Any] = field(default_factory=dict)
    """Those figures by name, each with `written` and `source`."""

    def scope(self, sheet: object) -> dict[str, Any]:
        """The variables of its expressions for one sheet."""
        return {self.kind: sheet} if self.limits is None else {self.kind: sheet, "limit": self.limits}


@immutable
class Book:
    """The declarations of one kind of sheet, in an order in which each needs only earlier ones; units of what is given."""

    kind: str
    facts: tuple[Declared, ...]
    units: Mapping[str, str]
    """Units by field; a field of another sheet by its path, as in `recorder.bitrate` or `members.*.watts`."""
    assumed: Mapping[str, str]
    constants: Mapping[str, float]
    sources: Mapping[str, str]
    """Sources of given figures."""

    def get(self, name: str) -> Declared | None:
        """The declaration of that field, or None."""
        return next((fact for fact in self.facts if fact.name == name), None)


@cache
def book_of(kind: str) -> Book | None:
    """The declarations of a kind of sheet; None where it has none."""
    from coaxwright.facts.declared.expressions import EXPRESSIONS

    text = EXPRESSIONS.get(kind)
    return None if text is None else read_book(kind, json.loads(text))


def read_book(kind: str, plain: Mapping[str, Any]) -> Book:
    """The declarations from their plain form."""
    facts = tuple(declared(kind, row) for row in plain["facts"])
    return Book(kind, facts, *(plain[each] for each in ("units", "assumed", "constants", "sources")))


def declared(kind: str, row: list[Any], limits: object = None, figures: Mapping[str, Any] | None = None) -> Declared:
    """One declaration from its plain form: name, unit, ways, source, what supplies it where it has no value, no limit.

    `limits` are the figures stated beside it.
    """
    name, unit, plain_ways, source, supply, endless = row
    ways = tuple(
        Way(None if when is None else from_plain(when), from_plain(value), assumes) for when, value, assumes in plain_ways
    )
    whole = joint(ways)
    certain = not any(isinstance(node, Logic | Macro) for node in walk(whole.syntax))
    return Declared(kind, name, unit, ways, source, supply, endless, whole, certain, limits, figures or {})


def joint(ways: tuple[Way, ...]) -> Checked:
    """One expression of all ways: the first that applies; since they exclude each other, the order does not matter."""
    last = ways[-1].value
    tree, paths, text = last.syntax, dict.fromkeys(last.paths), last.text
    for way in reversed(ways[:-1]):
        assert way.when is not None, "only the last way goes without a condition"
        tree = Choice(0, len(text), way.when.syntax, way.value.syntax, tree)
        paths.update(dict.fromkeys((*way.when.paths, *way.value.paths)))
    return Checked(text, last.type, tuple(paths), tree)
