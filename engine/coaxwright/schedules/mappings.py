"""How the lists of one maker are to be read: what headings mean, what stands before decimals, the currency.

A mapping is a small YAML file, `MAKER.KIND.mapping`, beside the part files of a catalogue.
"""

from __future__ import annotations

from collections.abc import Mapping as Names
from dataclasses import field
from pathlib import Path

from coaxwright.errors import Problem, Refusal
from coaxwright.fixes.yaml_text import entry
from coaxwright.immutable import immutable
from coaxwright.reading.atomic import write_atomically
from coaxwright.reading.yaml_source import Document, read_document

_KEYS = ("columns", "decimal", "currency")


@immutable
class Mapping:
    """What headings mean, by heading; `comma` or `point`, empty where it is to be evident; the currency of prices."""

    columns: Names[str, str] = field(default_factory=dict)
    decimal: str = ""
    currency: str | None = None


def mapping_file(folder: Path, maker: str, kind: str) -> Path:
    """Where the mapping of a maker's lists of one kind is kept."""
    return folder / f"{maker}.{kind}.mapping"


def read_mapping(path: Path) -> Mapping:
    """A mapping as written. Raises Refusal."""
    document = read_document(path)
    value, problems = document.value, []
    for key in value:
        if key not in _KEYS:
            problems.append(_wrong(document, key, f"there is no `{key}` here", f"write some of {', '.join(_KEYS)}"))
    columns = value.get("columns") or {}
    if not isinstance(columns, dict) or not all(isinstance(each, str) for each in columns.values()):
        problems.append(
            _wrong(document, "columns", "`columns` says what headings mean", "write `columns: {VK 2: price}`")
        )
    if value.get("decimal", "") not in ("", "comma", "point"):
        problems.append(_wrong(document, "decimal", "`decimal` is `comma` or `point`", "write one of them"))
    if problems:
        raise Refusal(problems)
    return Mapping(
        {str(key): str(each) for key, each in columns.items()}, value.get("decimal", ""), value.get("currency")
    )


def _wrong(document: Document, key: str, what: str, right: str) -> Problem:
    return Problem(document.file, what, right, document.nearest_span((key,)), (key,))


def write_mapping(path: Path, mapping: Mapping) -> None:
    """Keep a mapping. Raises Refusal where it cannot be written."""
    values = {"columns": dict(mapping.columns), "decimal": mapping.decimal, "currency": mapping.currency}
    lines = [line for key, value in values.items() if value for line in entry(key, value, "")]
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        write_atomically(path, "\n".join(lines) + "\n")
    except OSError as error:
        raise Refusal([Problem(str(path), f"cannot be written: {error.strerror or error}")]) from error
