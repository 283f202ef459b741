"""How much work a rule may cost: loops inside one another, values that grow, steps that are shared and forgiven.

Figures are counted by hand from the text of each expression; what the limits are is a decision of this program.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

import pytest

from coaxwright.language import effort
from coaxwright.language.effort import (
    FREE_STEPS,
    MAX_STEPS,
    MOST_UNCOUNTED,
    STEPS_EACH,
    Steps,
    degree,
    for_subjects,
    grows,
)
from coaxwright.language.evaluating import evaluate
from coaxwright.language.functions import GREATEST_INT, LEAST_INT, OPERATIONS, OperationFault, in_range
from coaxwright.language.typing_check import check_expression
from coaxwright.rulebook import judging
from coaxwright.rulebook.environment import rule_environment
from coaxwright.rulebook.judging import judge_rule
from coaxwright.rulebook.scope import kind_scope

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
from handmade import Facts, make, rule


def _tree(text: str) -> Any:
    return check_expression(text, rule_environment(kind_scope("output"), {})).syntax


@pytest.mark.parametrize(
    ("text", "loops"),
    [
        ("output.number == 1", 0),
        ("output.number + 1 == 2 || output.number in [1, 2]", 0),
        ("output.supply.name in output.feeds.map(f, f.cable)", 1),
        ("output.feeds.all(f, f.cable == 'a')", 1),
        ("output.feeds.all(f, f.cable == 'a') && output.feeds.exists(f, f.cable == 'b')", 1),
        ("output.feeds.filter(f, f.cable == 'a').all(f, f.cable == 'b')", 1),
        ("output.feeds.all(f, output.feeds.exists(g, g.cable == f.cable))", 2),
        ("output.number == 1 ? false : output.feeds.all(f, output.feeds.exists(g, g.cable == f.cable))", 2),
        ("output.feeds.all(f, output.feeds.all(g, output.feeds.exists(h, h.cable == g.cable || h == f)))", 3),
        ("output.feeds.filter(f, output.feeds.exists(g, g.cable == f.cable)).all(f, f.own_output)", 2),
        ("output.feeds.all(f, f in output.feeds)", 2),
        ("output.feeds.all(f, f.cable in ['a', 'b'])", 1),
        ("output.supply.name.contains('a')", 1),
        ("output.feeds.all(f, f.cable.contains('a'))", 2),
        ("sum(output.feeds.map(f, f.volts_night)) > sum(output.feeds.map(f, f.volts_day))", 1),
        ("output.feeds.all(f, max(output.feeds.map(g, g.volts_night)) >= f.volts_night)", 2),
    ],
)
def test_loops_inside_one_another(text: str, loops: int) -> None:
    assert degree(_tree(text)) == loops


@pytest.mark.parametrize(
    ("text", "does"),
    [
        ("output.supply.name + 'a' == 'pa'", False),
        ("output.feeds.all(f, f.cable + 'a' == 'b')", True),
        ("output.feeds.map(f, [f.cable, 'a']).all(p, p[0] == 'a')", True),
        ("output.feeds.map(f, ['b', 'a']).all(p, p[0] == 'a')", False),
        ("output.feeds.map(f, [f.cable]) == output.feeds.map(f, ['a'])", True),
        ("output.feeds.map(f, f.cable) == ['a']", True),
        ("size(output.feeds.filter(f, f.own_output) + output.feeds) == 2", True),
        ("output.supply.name in output.feeds.map(f, f.cable)", True),
        ("output.feeds.exists(f, f.own_output) == output.feeds.all(f, f.own_output)", False),
        ("output.supply.name in ['a', 'b']", False),
        ("size(output.feeds.map(f, f.cable)) == 2", False),
    ],
)
def test_what_may_grow(text: str, does: bool) -> None:
    assert grows(_tree(text)) is does


def test_steps_are_forgiven_up_to_the_free_ones() -> None:
    for cost, left in ((FREE_STEPS - 1, 1000), (FREE_STEPS, 1000), (FREE_STEPS + 1, 1000 - FREE_STEPS - 1)):
        steps = Steps(1000)
        steps.left -= cost
        steps.forgive(1000)
        assert steps.left == left


def test_more_subjects_may_cost_more() -> None:
    assert (Steps().left, for_subjects(0).left, for_subjects(7).left) == (MAX_STEPS, MAX_STEPS, MAX_STEPS + 7 * STEPS_EACH)


# The generated loop: only where it certainly ends soon


class _Many:
    """So many feeds and one output; nothing else."""

    def __init__(self, feeds: int) -> None:
        self.feeds = feeds

    def by_kind(self, kind: str) -> range:
        return range({"feed": self.feeds, "output": 1}.get(kind, 0))


TWO = "output.feeds.all(f, output.feeds.exists(g, g.cable == f.cable))"
ONE = "output.feeds.all(f, f.cable == 'a')"


@pytest.mark.parametrize(
    ("text", "count", "feeds", "small"),
    [
        (ONE, 10**6, 10**6, True),
        (TWO, 1, 4472, True),  # 4472^2 = 19,998,784
        (TWO, 1, 4473, False),  # 4473^2 = 20,007,729
        (TWO, 5, 2000, True),  # 5 x 4,000,000, just as many as may be
        (TWO, 6, 2000, False),
        ("output.feeds.map(f, [f.cable]).all(p, p[0] == 'a')", 1, 1, False),
    ],
)
def test_where_the_loop_stays_small(text: str, count: int, feeds: int, small: bool) -> None:
    assert MOST_UNCOUNTED == 20_000_000
    assert judging._stays_small(rule(about="output", require=text), count, _Many(feeds)) is small


def test_limits_and_the_site_reach_the_loop() -> None:
    """Both are constants of the loop, each in its own place."""
    site = make("site", "site", name="Reed Quay")
    feeds = [make("feed", f"cameras/c{n}", volts_night=float(n)) for n in range(8, 15)]
    bounded = rule(
        about="feed",
        require="feed.volts_night >= limit.least && site.name == 'Reed Quay'",
        limits="{least: {value: 11 V, source: common practice}}",
    )
    assert bounded.pays_to_compile(50)
    verdict = judge_rule(bounded, Facts(site, *feeds))
    assert "sweep" in bounded.__dict__
    assert verdict.passed == 4
    facts = Facts(site, *feeds)
    swept = judging._swept(bounded, feeds, judging.frame_of(bounded, facts, None), facts)
    assert (swept.passed, swept.not_applicable, swept.failed, swept.unsettled) == (4, 0, feeds[:3], [])
    assert [(each.kind, each.subject.subject) for each in verdict.judgements] == [("fail", f"cameras/c{n}") for n in (8, 9, 10)]


def test_telling_of_many_small_things_costs_nothing() -> None:
    """A margin within the free steps leaves the steps of telling as they were."""
    camera = make("camera", "cameras/c1", name="a", volts_min=10.0, volts_max=14.0, has_power=False)
    powered = rule(about="camera", require="camera.has_power", margin="camera.volts_min / camera.volts_max")
    (found,) = judge_rule(powered, Facts(camera)).judgements
    before = found.frame.telling.left
    assert judging.margin(found) == pytest.approx(10.0 / 14.0)
    assert found.frame.telling.left == before


def test_the_one_of_which_there_has_to_be_one() -> None:
    """`exists_one` fails for none and for two: those of which it is true are named."""
    feeds = [make("feed", f"cameras/c{n}", own_output=n < 3) for n in (1, 2, 3)]
    single = rule(about="output", require="output.feeds.exists_one(f, f.own_output)")
    (found,) = judge_rule(single, Facts(make("output", "supplies/p/1", feeds=feeds), *feeds)).judgements
    assert judging.deciding(found) == feeds[:2]


# Whole numbers of 64 bits: Common Expression Language specification, "Values"


def test_the_ends_of_whole_numbers() -> None:
    assert (LEAST_INT, GREATEST_INT) == (-9223372036854775808, 9223372036854775807)
    assert in_range(LEAST_INT) == LEAST_INT
    assert in_range(GREATEST_INT) == GREATEST_INT
    for beyond in (LEAST_INT - 1, GREATEST_INT + 1):
        with pytest.raises(OperationFault):
            in_range(beyond)


@pytest.mark.parametrize(
    ("name", "values", "result"),
    [
        ("less", (1, 2), True), ("less", (2, 2), False), ("less_equal", (2, 2), True), ("less_equal", (3, 2), False),
        ("greater", (3, 2), True), ("greater", (2, 2), False), ("greater_equal", (2, 2), True), ("greater_equal", (1, 2), False),
        ("equal", (2, 2), True), ("equal", (1, 2), False), ("not_equal", (1, 2), True), ("not_equal", (2, 2), False),
        ("modulo_int", (7, 3), 1), ("modulo_int", (-7, 3), -1), ("modulo_int", (7, -3), 1), ("modulo_int", (0, 3), 0),
        ("divide_int", (-7, 2), -3), ("divide_int", (7, -2), -3), ("divide_int", (7, 2), 3),
        ("add_text", ("a", "b"), "ab"), ("contains", ("abc", "b"), True), ("starts_with", ("abc", "b"), False),
        ("starts_with", ("abc", "ab"), True), ("ends_with", ("abc", "bc"), True), ("ends_with", ("abc", "b"), False),
        ("in", ("a", ["a"]), True), ("in", ("b", ["a"]), False), ("int_of_text", ("-12",), -12),
    ],
)  # fmt: skip
def test_operations_of_the_exact_evaluator(name: str, values: tuple[Any, ...], result: Any) -> None:
    """Integer division truncates towards zero and the remainder has the sign of the dividend: the specification."""
    found = OPERATIONS[name](*values)
    assert found == result
    assert type(found) is type(result)


def test_sheets_are_equal_only_to_themselves() -> None:
    one, other = make("feed", "cameras/c1"), make("feed", "cameras/c1")
    assert OPERATIONS["equal_sheet"](one, one)
    assert not OPERATIONS["equal_sheet"](one, other)
    assert OPERATIONS["not_equal_sheet"](one, other)
    assert not OPERATIONS["not_equal_sheet"](one, one)


def test_an_evaluation_within_few_steps_is_not_forgiven_beyond_them() -> None:
    steps = Steps(10)
    checked = check_expression("output.number == 1 && output.number == 1", rule_environment(kind_scope("output"), {}))
    assert evaluate(checked, {"output": make("output", "supplies/p/1", number=1)}, steps) is True
    assert 0 <= steps.left < 10
    assert effort.MAX_STEPS > 10
