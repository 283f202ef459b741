"""Counts that stand in the README are those of the program."""

from __future__ import annotations

import re
from pathlib import Path

from coaxwright.rulebook.loading import load_rulebook

ROOT = Path(__file__).resolve().parents[2]
COUNT = re.compile(r"\b(\d+) of them with their cases|\b(?:all )?(\d+) rules\b")


def counts(text: str) -> list[int]:
    return [int(next(filter(None, hit.groups()))) for hit in COUNT.finditer(text)]


def test_the_search_finds_counts() -> None:
    assert counts("Rules are data: 17 of them with their cases; all 18 rules, 19 rules.") == [17, 18, 19]


def test_the_count_of_rules_is_true() -> None:
    """In the README and the page on quality; the page on performance tells of the day it was measured."""
    rules = len(load_rulebook().rules)
    for page in ("README.md", "docs/quality.md"):
        found = counts((ROOT / page).read_text(encoding="utf-8"))
        assert found, page
        assert set(found) == {rules}, f"{page}: write {rules}"
