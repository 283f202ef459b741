"""Several numbers at once: what a site comes to for each value of one setting, or each pair of values of two."""

from __future__ import annotations

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
    read = [_read(text) for text in asked]
    paths, lists = [path for path, _ in read], [values for _, values in read]
    combinations = list(product(*lists))
    if len(combinations) > MOST:
        raise Refusal([Problem("--vary", f"{len(combinations)} combinations are too many", f"ask for at most {MOST}")])
    return paths, [_tried(state, paths, values) for values in combinations]


def _read(text: str) -> tuple[str, list[Any]]:
    path, equals, written = text.partition("=")
    if not equals or not written.strip():
        right = "write path=value,value,... as in supplies/psu1/trim=12V,12.8V,13.2V"
        raise Refusal([Problem("--vary", f"`{text}` lists no values", right)])
    return path.strip(), list(parse_document(f"value: [{written}]\n", "--vary").value["value"])


def _tried(state: SiteState, paths: Sequence[str], values: tuple[Any, ...]) -> Tried:
    try:
        trial = state
        for path, value in zip(paths, values, strict=True):
            trial = trial.after([operation_of(trial, path, value)]).after
    except (Refusal, PatchError) as refused:
        said = refused.problems[0].what if isinstance(refused, Refusal) else str(refused)
        return Tried(values, refused=said)
    report = trial.report()
    errors = [each for each in report.findings if each.kind == "fail" and each.level == "error" and each.waived is None]
    summary = report.summary
    return Tried(values, summary.error, summary.warning, summary.open, errors[0] if errors else None)


def varied_document(paths: Sequence[str], found: Iterable[Tried]) -> Document:
    """A row for each combination."""
    counts = [Column(name, "number", decimals=0) for name in ("errors", "warnings", "open")]
    heads: list[Column | str] = [*paths, *counts, "first error"]
    rows = [[*map(str, each.values), *_counts(each), _first(each)] for each in found]
    holding = sum(each.holds for each in found)
    return Document("What if", (Table(heads, rows), Paragraph(f"{holding} of {len(rows)} hold without an error.")))


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
