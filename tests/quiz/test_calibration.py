"""Difficulty before and after answers: against learners who are invented, of known ability.

Invented learners: the chance to be right is a third plus two thirds of a logistic of ability less difficulty (Birnbaum's
model with a floor for guessing: Lord and Novick 1968, from memory). What the program estimates shares nothing
with them but the item.
"""

from __future__ import annotations

import json
import math
import random
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from coaxwright.cli.main import run
from coaxwright.course.calibration import calibrated, read_calibration
from coaxwright.course.history import Asked
from coaxwright.errors import Refusal
from coaxwright.quiz.bank import Bank
from coaxwright.quiz.items import Item
from coaxwright.quiz.making import Order, make_item

PATTERNS, LEARNERS = 40, 12


def right(ability: float, hard: float) -> float:
    return 1 / 3 + 2 / 3 / (1 + math.exp(hard - ability))


def sat(draw: random.Random, hard: dict[str, float], learners: int) -> list[Asked]:
    abilities = [draw.gauss(0.5, 1) for _ in range(learners)]
    return [
        Asked("Spring", learners, "power", name, ("x",),
              sum(draw.random() < right(each, value) for each in abilities), 0.5, None, None)
        for name, value in hard.items()
    ]  # fmt: skip


def with_shares(asked: list[Asked]) -> list[Asked]:
    return [Asked(**{**{name: getattr(each, name) for name in Asked.__annotations__}, "share": each.right / each.papers})
            for each in asked]  # fmt: skip


def off(found: dict[str, float], true: dict[str, float]) -> float:
    return math.sqrt(sum((found[name] - true[name]) ** 2 for name in true) / len(true))


@pytest.mark.parametrize("seed", range(5))
def test_drawn_together_comes_nearer_than_shares_or_estimates_alone(seed: int) -> None:
    """Twelve learners and an estimate that is right up to noise: both together are nearer to what is so than either."""
    draw = random.Random(seed)
    hard = {f"p/{number:02}": draw.gauss(0, 1.2) for number in range(PATTERNS)}
    true = {name: 1 - sum(right(draw.gauss(0.5, 1), value) for _ in range(400)) / 400 for name, value in hard.items()}
    estimate = {name: min(1.0, max(0.0, value + draw.gauss(0.15, 0.1))) for name, value in true.items()}
    asked = with_shares(sat(draw, hard, LEARNERS))
    found = {each.pattern: each.difficulty for each in calibrated(asked, estimate)}
    assert off(found, true) < off({each.pattern: 1 - each.share for each in asked}, true)
    assert off(found, true) < off(estimate, true)


def test_many_answers_outweigh_the_estimate() -> None:
    """By hand: with 4,000 answers each, shares of 0.9 and 0.1 wrong stand against estimates that say the reverse."""
    asked = with_shares([
        Asked("S", 4000, "power", "p/a", (), 400, 0, None, None), Asked("S", 4000, "power", "p/b", (), 3600, 0, None, None),
    ])  # fmt: skip
    found = {each.pattern: each.difficulty for each in calibrated(asked, {"p/a": 0.2, "p/b": 0.8})}
    assert found["p/a"] == pytest.approx(0.9, abs=0.01)
    assert found["p/b"] == pytest.approx(0.1, abs=0.01)


def test_few_answers_are_drawn_to_the_others() -> None:
    """One wrong answer of one: the share is 1, and nobody would bet on it."""
    asked = with_shares([
        Asked("S", 1, "power", "p/a", (), 0, 0, None, None), *(
            Asked("S", 50, "power", f"p/{name}", (), 25, 0, None, None) for name in "bcd"
        ),
    ])  # fmt: skip
    found = {each.pattern: each for each in calibrated(asked, {f"p/{name}": 0.5 for name in "abcd"})}
    assert 0.5 < found["p/a"].difficulty < 0.7
    assert "30" in found["p/a"].remark or found["p/a"].remark
    with pytest.raises(Refusal):
        calibrated(asked, {})


def spearman(one: list[float], other: list[float]) -> float:
    """Rank correlation, ties at their mean rank (NIST/SEMATECH handbook)."""

    def ranks(values: list[float]) -> list[float]:
        return [
            sum(each < value for each in values) + (sum(each == value for each in values) + 1) / 2 for value in values
        ]

    first, second = ranks(one), ranks(other)
    middle = (len(one) + 1) / 2
    across = sum((a - middle) * (b - middle) for a, b in zip(first, second, strict=True))
    return across / math.sqrt(sum((a - middle) ** 2 for a in first) * sum((b - middle) ** 2 for b in second))


def stumbles(item: Item) -> float:
    """Chance that an invented learner is wrong who does each step rightly nine times in ten, and misses a row of every
    forty; who has gone astray takes a wrong answer, unless it is a number so far off that half of them see it.
    """
    rows = sum(len(table.rows) for table in item.tables)
    astray = 1 - 0.9**item.posed.asked.pattern.form.steps * (1 - 1 / 40) ** rows
    key = item.posed.key.number
    others = [option.answer.number for option in item.options if option.slip]
    far = [key and other and not 0.5 < other / key < 2 for other in others]
    return astray * (1 - 0.25 * sum(map(bool, far)))


def test_labels_follow_what_invented_learners_find_hard(bank: Bank, item_of: Callable[..., Item]) -> None:
    items = [item_of(pattern.id) for pattern in bank.patterns[::5] if pattern.form.kind != "numeric"]
    assert spearman([item.estimate for item in items], [stumbles(item) for item in items]) > 0.7
    assert len({item.band for item in items}) == 3


def test_a_file_is_read_again_and_moves_what_is_asked(
    bank: Bank, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """20 answers, all wrong, to a pattern: its questions count as harder than before."""
    name = "storage/order-by-rate"
    question = {
        "topic": "storage",
        "patterns": [name],
        "items": {"A": "aa"},
        "right": 0,
        "difficulty": 0.0,
        "correlation": None,
    }
    other = {**question, "patterns": ["storage/days-kept"], "items": {"A": "bb"}, "right": 20, "difficulty": 1.0}
    held = {"title": "Spring", "date": "2026-05-01", "papers": 20, "questions": [question, other]}
    (tmp_path / "questions.json").write_text(json.dumps(held))
    file = tmp_path / "calibrated.json"
    assert run(["course", "calibrate", str(tmp_path), "--format", "json", "--output", str(file)]) == 0
    known = read_calibration(file)
    assert set(known) == {name, "storage/days-kept"}
    assert known[name].difficulty > known["storage/days-kept"].difficulty
    order = Order(bank.pattern(name), "moved", 0, "small")
    before, after = (make_item(each, order).estimate for each in (bank, replace(bank, known=known)))
    assert after - before == pytest.approx(known[name].difficulty - known[name].estimate, abs=0.002)
    file.write_text('{"patterns": [{"pattern": "a/b", "difficulty": "high"}]}')
    with pytest.raises(Refusal, match="difficulties"):
        read_calibration(file)
