"""docs/walk.md holds all forty points, their commands and scores; some outputs are made anew, with COAXWRIGHT_FULL=1 all."""

from __future__ import annotations

import os
import re

import pytest
from tests.project.walk_page import PAGE, ROOT, block, blocks, head, heading
from tests.project.walk_points import POINTS

QUICK = {2, 7, 8}
AGAIN = [n for n, each in enumerate(POINTS, 1) if n in QUICK or (os.environ.get("COAXWRIGHT_FULL") and not each.measured)]


def test_every_point_stands_there_with_its_score() -> None:
    page = PAGE.read_text(encoding="utf-8")
    assert len(POINTS) == len(blocks()) == 40
    assert page.startswith(head())
    for number, (point, made) in enumerate(zip(POINTS, blocks(), strict=True), 1):
        assert heading(number, point) in page
        assert made.startswith(f"```\n$ {point.command}\n")
        assert bool(point.lacks) is (point.score < 2)


def test_the_tests_that_are_named_exist() -> None:
    named = {each for point in POINTS for each in re.findall(r"tests/[\w/]+\.py", point.command)}
    assert [each for each in named if not (ROOT / each).is_file()] == []


@pytest.mark.parametrize("number", AGAIN)
def test_what_is_printed_today(number: int) -> None:
    assert blocks()[number - 1] == block(POINTS[number - 1])
