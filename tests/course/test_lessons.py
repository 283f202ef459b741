"""Lessons: twelve topics, pictures recomputed here from printed figures, every part there, on a phone too."""

from __future__ import annotations

import itertools
import re
from collections.abc import Callable
from html import unescape
from pathlib import Path
from typing import Any

import pytest
from tests.conftest import FULL

from coaxwright.checking import load_rulebook
from coaxwright.cli.main import run
from coaxwright.course.charts import halved, stripes
from coaxwright.course.lesson_forms import load_lessons
from coaxwright.course.lessons import lesson_page, picture_of
from coaxwright.quiz.bank import Bank, load_bank


@pytest.fixture(scope="module")
def bank() -> Bank:
    return load_bank(load_rulebook())


TOPICS = (
    "power",
    "cable",
    "signal",
    "picture",
    "channels",
    "storage",
    "sound",
    "control",
    "network",
    "place",
    "view",
    "display",
)


def test_there_are_twelve(bank: Bank) -> None:
    assert tuple(load_lessons(bank)) == TOPICS


@pytest.mark.parametrize("topic", TOPICS if FULL else TOPICS[::3])
def test_a_lesson_has_all_its_parts(bank: Bank, topic: str) -> None:
    page = lesson_page(bank, topic)
    assert re.findall(r"<h2[^>]*>([^<]+)</h2>", page) == [
        "The idea", "A picture of it", "A worked example", "Usual slips", "Three questions", "Answers", "The rules behind it",
        "Sources",
    ]  # fmt: skip
    assert len(re.findall(r"<h3>Question \d</h3>", page)) == 3
    assert "For training only" in page
    assert "http" not in page.replace("http-equiv", "")


def test_the_curve_of_power_is_the_quadratic_of_a_constant_power_load(bank: Bank) -> None:
    """V = (V0 + sqrt(V0^2 - 4 R P)) / 2 falls ever faster: each step loses more than the one before."""
    found = picture_of(bank, load_lessons(bank)["power"], "power", 1)
    drops = [before[1] - after[1] for before, after in zip(found.points, found.points[1:], strict=False)]
    assert all(later > earlier > 0 for earlier, later in itertools.pairwise(drops) if later and earlier)
    assert found.limit == pytest.approx(10.8, abs=0.5)


def test_loss_is_straight_in_length_and_days_fall_as_one_over_the_rate(bank: Bank) -> None:
    """Decibels add along a run; room over rate is time."""
    loss = picture_of(bank, load_lessons(bank)["cable"], "cable", 1).points
    assert (loss[-1][1] - loss[0][1]) / (loss[-1][0] - loss[0][0]) == pytest.approx(
        (loss[1][1] - loss[0][1]) / (loss[1][0] - loss[0][0])
    )
    days = picture_of(bank, load_lessons(bank)["storage"], "storage", 1).points
    assert days[0][1] * days[0][0] == pytest.approx(days[-1][1] * days[-1][0], rel=0.02)


def test_the_chart_is_the_mean_of_neighbours() -> None:
    """By hand: stripes of one column become even grey; of two, laid across the pairs, too; of four keep black and white."""
    assert stripes(2, 8) == [1, 0, 1, 0, 1, 0, 1, 0]
    assert set(halved(stripes(2))) == {0.5}
    assert set(halved(stripes(4))) == {0.5}
    assert set(halved(stripes(8))) == {0.0, 0.5, 1.0}
    wide = halved(stripes(8))
    assert wide[::2] == wide[1::2]


def test_a_lesson_reads_on_a_phone(bank: Bank, phone: Callable[[Path], Any], tmp_path: Path, axe: str) -> None:
    for topic in ("power", "signal", "network"):
        (tmp_path / f"{topic}.html").write_text(lesson_page(bank, topic), encoding="utf-8")
        page = phone(tmp_path / f"{topic}.html")
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
        page.evaluate(axe)
        assert [each["id"] for each in page.evaluate("axe.run()")["violations"]] == []


def test_topics_are_listed_and_suggested(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["course", "lesson"]) == 0
    assert "Volts that arrive" in unescape(capsys.readouterr().out)
    assert run(["course", "lesson", "powr"]) == 2
    assert "did you mean `power`" in capsys.readouterr().err


def test_the_slider_stops_at_points_of_the_curve(bank: Bank, phone: Callable[[Path], Any], tmp_path: Path) -> None:
    """What is said at a stop is what the engine computed there, and the mark stands on the line of the drawing."""
    points = picture_of(bank, load_lessons(bank)["storage"], "storage", 1).points
    (tmp_path / "storage.html").write_text(lesson_page(bank, "storage"), encoding="utf-8")
    page = phone(tmp_path / "storage.html")
    slider = page.locator(".slider input")
    seen = set[str]()
    for stop, (x, y) in enumerate(points):
        slider.fill(str(stop))
        assert page.locator(".slider output").inner_text().startswith(f"{x:g} Mb/s: {y:.2f} d")
        mark = page.locator(".here")
        at = f"{float(mark.get_attribute('cx')):.1f} {float(mark.get_attribute('cy')):.1f}"
        assert at in page.locator("svg.chart path:not([class])").get_attribute("d")
        seen.add(at)
    assert len(seen) == len(points)
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
