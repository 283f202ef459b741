"""What counts as the source of a figure, and walkers that find figures without one: data, rules, constants in code."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

BASIS = re.compile(
    r"IEC |IEEE |ITU-[RT] |SMPTE |CTA-861|ASTM |ANSI/|NEC |NFPA |TIA[- ]|EN \d|UFC |NBS |SNIA |MIL-|UL |ARRL |RCA |SI\b"
    r"|Home Office|Proc\. SPIE |Fresnel equations|probability theory"
    r"|Amerasinghe, |Bertsekas|Jeeninga|Peukert's law|SARIF"
    r"|skin[- ]effect|circuit theory|sampling theorem|layered-conductor|transmission-line|maximum power transfer"
    r"|geometrical optics|inverse square law|handbook|Handbook|[Cc]ommon practice|from memory|invented datasheet"
)
"""A published standard, handbook or law of physics, or the two words for where there is none."""
FIGURE = re.compile(r"[+\-]?[0-9]")
# A figure in prose counts when a unit follows it: `Class 2` and `IEC 60529` are names.
MEASURED = re.compile(
    r"(?<![\w.,/-])(\d+(?:\.\d+)?)(?= ?(?:to \d+(?:\.\d+)? ?)?"
    r"(?:ohm|VA|V|A|W|%|mm2|mm|cm|m|km|°C|K|hours|h|fps|dB|MHz|lux|days|Mb/s|TB|J|px/m|degrees)(?![\w/]))"
)


def unsourced_cells(value: Any, source: str = "", at: str = "") -> Iterator[str]:
    """Places of figures in plain data with no `source` beside or above them that names its basis; heads of columns
    have words and units only.
    """
    if isinstance(value, Mapping):
        own = value.get("source")
        source = own if isinstance(own, str) else source
        for key, each in value.items():
            if key not in ("source", "key", "columns"):
                yield from unsourced_cells(each, source, f"{at}/{key}")
    elif isinstance(value, list):
        for place, each in enumerate(value):
            yield from unsourced_cells(each, source, f"{at}/{place}")
    elif _is_figure(value) and not BASIS.search(source):
        yield f"{at}: {value}"


def _is_figure(value: Any) -> bool:
    """A number, or a text that begins with one, as quantities do."""
    if isinstance(value, str):
        return FIGURE.match(value) is not None
    return isinstance(value, int | float) and not isinstance(value, bool)


def unsourced_in_rule(rule: Mapping[str, Any]) -> Iterator[str]:
    """Limits and sources of a rule without a basis, and measured figures in its prose that neither of them has."""
    for name, limit in rule.get("limits", {}).items():
        if not BASIS.search(limit["source"]):
            yield f"limit {name}: {limit['source']}"
    for note in rule["sources"]:
        if not BASIS.search(" ".join(note.values())):
            yield f"source {note['title']}"
    backed = " ".join([*(str(v) for note in rule["sources"] for v in note.values()), str(rule.get("limits", ""))])
    prose = [rule[key] for key in ("title", "says", "why", "caution") if key in rule] + [*rule.get("working", ())]
    prose += [fix["says"] for fix in rule.get("fixes", ()) if "says" in fix]
    for text in prose:
        for found in MEASURED.finditer(re.sub(r"\{[^{}]*\}", " ", text)):
            if not re.search(rf"(?<![\d.]){re.escape(found[1])}(?![\d.])", backed):
                yield f"{found[0]} in: {text[:60]}"


PLAIN = frozenset((0, 0.5, 1, 2, 3, 4, 8, 10, 20, 60, 100, 180, 1000, 3600, 1_000_000, 1e-9))
"""Counts, factors of units (bits in a byte, seconds in an hour, half a turn, prefixes) and 20 °C, to which conductors
are referred (IEC 60028); decibels take 10 and 20."""


def unsourced_constants(source: str) -> Iterator[str]:
    """Figures in code whose docstring, comment, function or module names no basis."""
    tree, lines = ast.parse(source), source.splitlines()
    if BASIS.search(ast.get_docstring(tree) or ""):
        return
    for place, node in enumerate(tree.body):
        if isinstance(node, ast.FunctionDef | ast.ClassDef):
            yield from _in_definition(node, lines)
        elif isinstance(node, ast.Assign | ast.AnnAssign):
            words = _said_after(tree.body, place) + " ".join(lines[max(0, node.lineno - 4) : node.end_lineno])
            if not BASIS.search(words):
                yield from (f"line {node.lineno}: {figure}" for figure in _figures(node))


def _in_definition(node: ast.FunctionDef | ast.ClassDef, lines: list[str]) -> Iterator[str]:
    if BASIS.search(ast.get_docstring(node) or ""):
        return
    if isinstance(node, ast.ClassDef):
        for each in node.body:
            if isinstance(each, ast.FunctionDef):
                yield from _in_definition(each, lines)
        return
    for figure in _figures(node):
        if not BASIS.search(" ".join(lines[max(0, figure.lineno - 3) : figure.lineno])):
            yield f"line {figure.lineno}: {figure}"


def _said_after(body: list[ast.stmt], place: int) -> str:
    """The docstring of a constant: the next string that stands alone, other constants between them."""
    for node in body[place + 1 :]:
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant) and isinstance(node.value.value, str):
            return node.value.value
        if not isinstance(node, ast.Assign):
            return ""
    return ""


class Figure(float):
    """A literal with its line."""

    lineno = 0


def _figures(node: ast.AST) -> Iterator[Figure]:
    for each in ast.walk(node):
        if not isinstance(each, ast.Constant) or isinstance(each.value, bool | str):
            continue
        if isinstance(each.value, int | float) and each.value not in PLAIN:
            found = Figure(each.value)
            found.lineno = each.lineno
            yield found


def modules(folder: Path) -> list[Path]:
    """Every module below a folder."""
    return sorted(folder.rglob("*.py"))
