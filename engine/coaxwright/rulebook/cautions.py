"""Usual cautions, given by what a change makes a person do: a ladder, the mains, a battery, a wall to be drilled.

All of it is data: the words (table `cautions`), what is touched (`caution-places`), what a rule's changes touch
(`caution-fixes`), and what goes with a rule's matter (`caution-rules`). What no table names gets a caution of its own.
"""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator, Mapping
from functools import cache
from typing import Any

from coaxwright.facts.sheets import kind_at
from coaxwright.reading.tables import Row, load_table
from coaxwright.rulebook.scope import scope_of

NOT_LISTED = "a change not listed"
Path = tuple[str, ...]


def told(rule: Mapping[str, Any]) -> str | None:
    """The caution of the findings of a rule (plain data of its file): its own words, then those of the tables; None for none."""
    return joined(rule.get("caution"), (*_of_matter(rule["id"]), *_of_fixes(rule)))


def joined(own: str | None, names: Iterable[str]) -> str | None:
    """A caution, and after it those of these names that it does not say already."""
    said = (own or "").strip()
    for name, words in worded(names):
        if not _says(said, name):
            said = f"{said} {words}".strip()
    return said or None


def apart(cautions: Iterable[str], only: Container[str] | None = None) -> tuple[str, ...]:
    """Cautions of several findings taken apart: what rules say themselves, then the sentences of the table, each once; those
    of `only`, where that is given.
    """
    own: dict[str, None] = {}
    names = []
    for said in cautions:
        rest = said
        for row in load_table("cautions").rows:
            if row["words"] in rest:
                names.append(row["name"])
                rest = rest.replace(row["words"], "")
        own[" ".join(rest.split())] = None
    return (*(each for each in own if each), *(words for name, words in worded(names) if only is None or name in only))


def worded(names: Iterable[str]) -> tuple[tuple[str, str], ...]:
    """Cautions of these names with their words, each once, in the order of the table."""
    wanted = set(names)
    return tuple((row["name"], row["words"]) for row in load_table("cautions").rows if row["name"] in wanted)


def _says(said: str, name: str) -> bool:
    """Whether this caution is said already."""
    row = load_table("cautions").row(name)
    return row["words"] in said or any(phrase in said for phrase in row["said_by"] or ())


def _of_matter(rule: str) -> tuple[str, ...]:
    """Cautions of the longest row that fits the id of a rule."""
    rows = load_table("caution-rules").rows
    fitting = [row for row in rows if rule == row["rules"] or (row["rules"][-1] == "*" and rule.startswith(row["rules"][:-1]))]
    return tuple(max(fitting, key=lambda row: len(row["rules"]))["cautions"]) if fitting else ()


def _of_fixes(rule: Mapping[str, Any]) -> Iterator[str]:
    """Cautions of what the declared changes of a rule touch on every site."""
    for do, kind in declared(rule):
        for place in touches(do, kind):
            yield from at_place(tuple(place.split("/")), ("always",))


def declared(rule: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    """The changes that a rule declares: the word, and the kind of thing that is changed."""
    scope = scope_of(rule["about"])
    kinds = dict(scope.variables)
    for fix in rule.get("fixes", ()):
        first, *steps = str(fix.get("of") or scope.subject).split(".")
        kind = kinds.get(first, first)
        for step in steps:
            kind = kind_at(kind, step)
        yield fix["do"], kind


def touches(do: str, kind: str) -> tuple[str, ...]:
    """Places that a declared kind of change touches; one that the table does not have touches what no row names."""
    table = load_table("caution-fixes")
    row = table.get(do, kind) or table.get(do, "*")
    return ("?",) if row is None else tuple(row["touches"] or ())


def at_place(path: Path, where: Iterable[str]) -> tuple[str, ...]:
    """Names of cautions for a change at a path of the site file, under those of the conditions that hold there."""
    rows = _longest(path)
    if not rows:
        return (NOT_LISTED,)
    return tuple(name for row in rows if row["where"] in where for name in row["cautions"] or ())


def conditions(path: Path) -> tuple[str, ...]:
    """The conditions that have to be known for a path."""
    return tuple(row["where"] for row in _longest(path))


def _longest(path: Path) -> tuple[Row, ...]:
    """Rows of the longest place that a path lies at or below."""
    by_place = _by_place()
    for length in range(len(path), 0, -1):
        for place, rows in by_place.get(length, ()):
            if all(step in ("*", other) for step, other in zip(place, path[:length], strict=True)):
                return rows
    return ()


@cache
def _by_place() -> Mapping[int, tuple[tuple[Path, tuple[Row, ...]], ...]]:
    """Rows of each place, by the length of the place."""
    found: dict[Path, list[Row]] = {}
    for row in load_table("caution-places").rows:
        found.setdefault(tuple(row["place"].split("/")), []).append(row)
    lengths = sorted({len(place) for place in found})
    return {length: tuple((place, tuple(rows)) for place, rows in found.items() if len(place) == length) for length in lengths}
