"""The page on limits says what the program does."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from coaxwright.model.quantities import KINDS, format_quantity
from coaxwright.reading import files, validation, yaml_builder, yaml_source

PAGE = Path(__file__).parents[2] / "docs" / "limits-of-input.md"


def units_table() -> str:
    """The table of units as it has to stand in the page."""
    lines = ["| what | units | examples | from | to |", "| --- | --- | --- | --- | --- |"]
    for kind in KINDS.values():
        unit = "%" if kind.base == "1" else kind.base
        least, most = (format_quantity(bound, unit) for bound in (kind.least, kind.greatest))
        units, examples = (
            ", ".join(f"`{each}`" for each in some) for some in (kind.spellings, kind.examples)
        )
        lines.append(f"| {kind.noun} | {units} | {examples} | {least} | {most} |")
    return "\n".join(lines)


def test_table_of_units() -> None:
    match = re.search(r"<!-- units: begin.*?-->\n(.*?)\n<!-- units: end -->", PAGE.read_text(), re.DOTALL)
    assert match
    assert match[1] == units_table()


@pytest.mark.parametrize(
    "words",
    [
        f"{yaml_source.MAX_BYTES >> 20} MiB",
        f"{yaml_builder.MAX_PROBLEMS} of the YAML, {validation.MAX_PROBLEMS} of its meaning",
        f"more than {yaml_builder.MAX_DEPTH} levels",
        f"more than {yaml_builder.MAX_NODES // 10**6} million values",
        f"more than {files.MAX_DEPTH} folders deep, more than {files.MAX_FILES} files",
    ],
)
def test_figures(words: str) -> None:
    assert words in PAGE.read_text()
