"""Several numbers at once: what a site comes to for each value of one setting, or each pair of values of two."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import product
from typing import Any

from coaxwright.errors import Problem, Refusal
from coaxwright.findings import Finding
from coaxwright.fixes.patching import PatchError
from coaxwright.fixes.rejudging import SiteState
from coaxwright.fixes.what_if import operation_of
from coaxwright.immutable import immutable
from coaxwright.reading.yaml_source import parse_document
from coaxwright.show.json_text import FORMAT
from coaxwright.show.tree import Column, Document, Paragraph, Table

MOST = 400
"""Combinations judged at most."""


@immutable
class Tried:
    """One combination: the values as written, what the site comes to, and the first error; `refused` where it is no site."""

    values: tuple[Any, ...]
    error: int = 0
    warning: int = 0
    open: int = 0
    first: Finding | None = None
    refused: str = ""

    @property
    def holds(self) -> bool:
        """No error."""
        return not self.error and not self.refused


def varied(state: SiteState, asked: Sequence[str]) -> tuple[list[str], list[Tried]]:
    """The paths of `PATH=V1,V2,...` and what each combination comes to, in the order written.

    Raises Refusal for what cannot be read, and for more than 400 combinations.
    """
    paths, found = combinations("--vary", asked, MOST)
    return paths, [_tried(state, paths, values) for values in found]


def combinations(option: str, asked: Sequence[str], most: int) -> tuple[list[str], list[tuple[Any, ...]]]:
    """The paths of `PATH=V1,V2,...` and every combination of their values, in the order written.

    Raises Refusal for what cannot be read, and for more combinations than `most`; `option` is named in it.
    """
    read = [_read(option, text) for text in asked]
    return [path for path, _ in read], combined(option, [values for _, values in read], most)


def combined(option: str, lists: Sequence[Sequence[Any]], most: int) -> list[tuple[Any, ...]]:
    """Every combination of a value from each list. Raises Refusal for more than `most`."""
    count = math.prod(map(len, lists))
    if count > most:
        raise Refusal([Problem(option, f"{count} combinations are too many", f"ask for at most {most}")])
    return list(product(*lists))


def _read(option: str, text: str) -> tuple[str, list[Any]]:
    path, equals, written = text.partition("=")
    if not equals or not written.strip():
        right = "write path=value,value,... as in supplies/psu1/trim=12V,12.8V,13.2V"
        raise Refusal([Problem(option, f"`{text}` lists no values", right)])
    return path.strip(), list(parse_document(f"value: [{written}]\n", option).value["value"])


def with_values(state: SiteState, paths: Sequence[str], values: Sequence[Any]) -> SiteState | str:
    """The site with these values, or why it is no site then."""
    try:
        for path, value in zip(paths, values, strict=True):
            state = state.after([operation_of(state, path, value)]).after
    except (Refusal, PatchError) as refused:
        return refused.problems[0].what if isinstance(refused, Refusal) else str(refused)
    return state


def _tried(state: SiteState, paths: Sequence[str], values: tuple[Any, ...]) -> Tried:
    trial = with_values(state, paths, values)
    if isinstance(trial, str):
        return Tried(values, refused=trial)
    report = trial.report()
    errors = [each for each in report.findings if each.kind == "fail" and each.level == "error" and each.waived is None]
    summary = report.summary
    return Tried(values, summary.error, summary.warning, summary.open, errors[0] if errors else None)


def varied_document(paths: Sequence[str], found: Sequence[Tried], form: str = "text") -> Document:
    """A row for each combination; of two paths, before that, which pairs hold (not as CSV, which is the rows alone)."""
    counts = [Column(name, "number", decimals=0) for name in ("errors", "warnings", "open")]
    heads: list[Column | str] = [*paths, *counts, "first error"]
    rows = [[*map(str, each.values), *_counts(each), _first(each)] for each in found]
    holding = sum(each.holds for each in found)
    told = Paragraph(f"{holding} of {len(rows)} hold without an error.")
    return Document("What if", (*(_crossed(paths, found) if form != "csv" else ()), Table(heads, rows), told))


def _crossed(paths: Sequence[str], found: Sequence[Tried]) -> tuple[Table, ...]:
    """Of two paths with several values each: the values of one down, of the other across, and what holds."""
    sides = [list(dict.fromkeys(str(each.values[side]) for each in found)) for side in range(len(paths))]
    if len(sides) != 2 or min(map(len, sides)) < 2 or len(sides[1]) > _ACROSS:
        return ()
    held = {tuple(map(str, each.values)): each for each in found}
    rows = [[down, *(_held(held[down, across]) for across in sides[1])] for down in sides[0]]
    return (Table([paths[0], *sides[1]], rows, caption=f"What holds; across: {paths[1]}"),)


_ACROSS = 10
"""Columns that still fit a page."""


def _held(each: Tried) -> str:
    return "holds" if each.holds else "no site" if each.refused else f"{each.error} error{'s' * (each.error != 1)}"


def _counts(each: Tried) -> list[int | None]:
    return [None] * 3 if each.refused else [each.error, each.warning, each.open]


def _first(each: Tried) -> str:
    if each.refused:
        return f"cannot be checked: {each.refused}"
    return f"{each.first.rule} on {each.first.subject}" if each.first is not None else ""


def varied_data(paths: Sequence[str], found: Iterable[Tried]) -> dict[str, Any]:
    """The same as JSON data."""
    rows = [
        {"values": [str(value) for value in each.values], "holds": each.holds, "error": each.error, "warning": each.warning,
         "open": each.open, "first_error": _first(each) if each.first else None, "refused": each.refused or None}
        for each in found
    ]  # fmt: skip
    return {"format": FORMAT, "paths": list(paths), "rows": rows}
