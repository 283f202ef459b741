"""The page on what the physics covers, its section on protection, codes and media: every rule it names exists,
and every failing case stands in one of them."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
import yaml

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs" / "physics-coverage.md").read_text(encoding="utf-8")
_MINE = PAGE.split("## Protection, codes, media")[1].split("\n## ")[0]
ROWS = [line.split("|")[1:-1] for line in _MINE.splitlines() if line.startswith("| ") and "`" in line]


def cases(rule: str) -> list[dict]:
    return yaml.safe_load((ROOT / "rules" / f"{rule}.cases.yaml").read_text(encoding="utf-8"))["cases"]


def rules_of(row: list[str]) -> list[str]:
    return re.findall(r"`([a-z]+/[a-z0-9-]+)`", row[1])


def test_the_page_has_rows() -> None:
    assert len(ROWS) >= 15


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row[0].strip()[:40])
def test_a_row_names_rules_and_a_case_that_fails(row: list[str]) -> None:
    named = rules_of(row)
    assert named
    known = [each for rule in named for each in cases(rule)]
    (case,) = {each["name"]: each for each in known if each["name"] == row[2].strip()}.values()
    assert case.get("fails")
