"""Register of sources: where every figure of rules, limits, facts, tables and constants comes from, and how that is known.

A figure is `memory` where its source says so or names a publication that is known from memory only; else `secondary` or
`seen` by the register (table `sources`), `derivation` where it follows from physics, else `common practice`. Steps and
tolerances of the program's own are `chosen`. What says none of these is `not registered`; a test holds that there is none.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from typing import Any, NamedTuple

from coaxwright.reading.tables import Row, generic_part_files, iterate_tables, load_table
from coaxwright.reading.yaml_source import parse_document
from coaxwright.resources import data_root
from coaxwright.rulebook.library import Rulebook

KNOWN = ("not registered", "memory", "common practice", "secondary", "seen", "derivation", "chosen")
"""How a figure may be known, the least sure first."""
INVENTED = re.compile("invented datasheet|^invented|^the (site|datasheet)|^own ")
_MEMORY = re.compile("from memory|[Mm]emory")
_PRACTICE = re.compile("[Cc]ommon practice|[Jj]udgement")


class Entry(NamedTuple):
    """One figure or claim: which, its source as written, publications named there, how it is known, what superseded them."""

    figure: str
    source: str
    publications: tuple[str, ...]
    known: str
    superseded_by: str
    date: str


def register(rulebook: Rulebook) -> list[Entry]:
    """Every figure with its source: superseded first, then the least sure, then by name."""
    rows = (*_of_rules(rulebook), *_of_tables(), *_of_parts(), *_of_facts(), *_of_constants())
    entries = {_chosen(entry_of(figure, source)) for figure, source in rows if not INVENTED.search(source)}
    return sorted(entries, key=lambda each: (not each.superseded_by, KNOWN.index(each.known), each.figure, each.source))


def _chosen(entry: Entry) -> Entry:
    """A constant of the program's own that names no source is a step, a tolerance or an order."""
    own = entry.known == "not registered" and entry.figure.startswith("constant ")
    return entry._replace(known="chosen") if own else entry


def entry_of(figure: str, source: str) -> Entry:
    """What the register knows of a source as written."""
    named = publications_in(source)
    return Entry(
        figure,
        source,
        tuple(row["name"].strip() for row in named),
        known_by(source, named),
        "; ".join(dict.fromkeys(row["superseded_by"] for row in named if row["superseded_by"])),
        max((row["date"] for row in named), default=""),
    )


def publications_in(source: str) -> list[Row]:
    """Rows of the register that a source names; of two that fit at one place the longer counts."""
    names, pattern = _names()
    return [names[name] for name in dict.fromkeys(match[0] for match in pattern.finditer(source))]


@cache
def _names() -> tuple[Mapping[str, Row], re.Pattern[str]]:
    """Rows of the register by name, and a pattern of all names, the longest first."""
    names = {row["name"]: row for row in load_table("sources").rows}
    longest = "|".join(re.escape(name) for name in sorted(names, key=len, reverse=True))
    return names, re.compile(rf"(?<![\w-])(?:{longest})")


def known_by(source: str, named: Sequence[Mapping[str, Any]]) -> str:
    """The least sure of what a source says of itself and of how its publications are known."""
    if _MEMORY.search(source):
        return "memory"
    sure: list[str] = [row["known"] for row in named]
    if not sure:
        return "common practice" if _PRACTICE.search(source) else "not registered"
    return min(sure, key=KNOWN.index)


def _of_rules(rulebook: Rulebook) -> Iterator[tuple[str, str]]:
    for rule in rulebook.rules:
        for note in rule.plain["sources"]:
            words = (note["title"], note.get("edition"), note.get("clause"), note.get("for"))
            yield rule.id, ", ".join(str(word) for word in words if word)
        for limit in rule.limits.values():
            yield f"{rule.id} limit {limit.name} {limit.written}", limit.source


def _of_tables() -> Iterator[tuple[str, str]]:
    for table in iterate_tables():
        figures = bool(table.units) or "quantity" in table.rows[0]
        for row in table.rows if figures else ():
            yield f"table {table.name}: {', '.join(str(row[name]) for name in table.key)}", row["source"]


def _of_parts() -> Iterator[tuple[str, str]]:
    """Generic parts and figures within them that name a source of their own."""
    for file in generic_part_files():
        plain = parse_document(file.read_text(encoding="utf-8"), file.name).value
        for name, part in plain["parts"].items():
            yield from _sources_within(part, f"part {name}")


def _of_facts() -> Iterator[tuple[str, str]]:
    folder = data_root("rules") / "facts"
    for file in sorted(folder.iterdir(), key=lambda each: each.name):
        plain = parse_document(file.read_text(encoding="utf-8"), file.name).value
        for group in ("given", "steps", "facts"):
            for name, declared in plain.get(group, {}).items():
                note = declared.get("source")
                if note is not None:
                    yield f"fact {plain['kind']}.{name}", ", ".join(str(word) for word in note.values())


def _sources_within(value: object, at: str) -> Iterator[tuple[str, str]]:
    if isinstance(value, Mapping):
        if isinstance(value.get("source"), str):
            yield at, value["source"]
        for key, each in value.items():
            yield from _sources_within(each, f"{at}/{key}")
    elif isinstance(value, list):
        for place, each in enumerate(value):
            yield from _sources_within(each, f"{at}/{place}")


def _of_constants() -> Iterator[tuple[str, str]]:
    """Constants at the top of modules of facts, with the sentence below them."""
    for name, text in _modules(files("coaxwright") / "facts", "facts"):
        body = ast.parse(text).body
        for place, node in enumerate(body):
            if isinstance(node, ast.Assign | ast.AnnAssign) and _is_figure(node.value):
                target = node.targets[0] if isinstance(node, ast.Assign) else node.target
                said = _sentence(body[place + 1]) if place + 1 < len(body) else ""
                if said:
                    yield f"constant {name}.{ast.unparse(target)}", said


def _modules(folder: Traversable, at: str) -> Iterator[tuple[str, str]]:
    for entry in sorted(folder.iterdir(), key=lambda each: each.name):
        if entry.is_dir():
            yield from _modules(entry, f"{at}.{entry.name}")
        elif entry.name.endswith(".py"):
            yield f"{at}.{entry.name.removesuffix('.py')}", entry.read_text(encoding="utf-8")


def _is_figure(value: ast.expr | None) -> bool:
    literals = [each.value for each in ast.walk(value) if isinstance(each, ast.Constant)] if value else []
    return any(type(each) in (int, float) for each in literals)


def _sentence(node: ast.stmt) -> str:
    if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant) and isinstance(node.value.value, str):
        return " ".join(node.value.value.split())
    return ""
