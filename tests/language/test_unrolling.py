"""Sweeps whose macros are plain loops come to what the exact evaluator comes to, guard and condition, known or not."""

from __future__ import annotations

import ast
import random
from types import SimpleNamespace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coaxwright.language.checked import Checked
from coaxwright.language.compiling import emit
from coaxwright.language.evaluating import evaluate
from coaxwright.language.sweeping import compile_sweep
from coaxwright.language.types import Bool
from coaxwright.language.typing_check import check_expression
from coaxwright.language.unrolling import branch

ATOMS = [
    "feed.live",
    "feed.volts >= limit.least",
    "feed.hops.exists(h, h.blocks_sound)",
    "feed.hops.all(h, h.loss <= limit.loss)",
    "feed.hops.all(feed, feed.loss <= limit.loss)",
    "feed.hops.exists(limit, limit.blocks_sound)",
    "feed.hops.exists(h, h.loss > limit.loss && feed.hops.all(g, g.loss <= h.loss))",
    "feed.hops.exists(h, feed.hops.exists(h, h.blocks_sound) && h.blocks_sound)",
    "sum(feed.hops.map(h, h.loss)) <= limit.loss",
    "sum(feed.hops.map(feed, feed.loss)) * sum(feed.lengths) <= sum(feed.hops.map(h, h.metres)) * limit.loss",
    "limit.loss - sum(feed.hops.map(h, h.loss)) > sum(feed.hops.map(g, g.loss)) - limit.loss",
    "(feed.live ? sum(feed.hops.map(h, h.loss)) : limit.loss) < limit.loss",
    "feed.hops.exists_one(h, h.blocks_sound)",
    "feed.hops.filter(h, h.blocks_sound).all(h, h.loss < limit.loss)",
]


@st.composite
def conditions(draw: Any, depth: int = 3) -> str:
    if depth == 0 or draw(st.booleans()):
        return str(draw(st.sampled_from(ATOMS)))
    parts = draw(st.lists(conditions(depth - 1), min_size=1, max_size=4))
    joint = draw(st.sampled_from([" && ", " || "]))
    return draw(st.sampled_from(["!", ""])) + "(" + joint.join(f"({part})" for part in parts) + ")"


def _sheets(sheet_class: Any, seed: int, missing: float) -> list[Any]:
    chance = random.Random(seed)

    def made(sheet: str, **fields: Any) -> Any:
        return sheet_class(sheet, **{name: value for name, value in fields.items() if chance.random() >= missing})

    def hop() -> Any:
        return made("hop", blocks_sound=chance.random() < 0.3, loss=chance.choice([0.5, 1.0, 2.0]), metres=10.0)

    return [
        made(
            f"f{number}", live=chance.random() < 0.5, volts=chance.choice([9.0, 10.0, 12.0]), lengths=(20.0,),
            hops=tuple(hop() for _ in range(chance.randrange(4))),
        )
        for number in range(12)
    ]  # fmt: skip


def _expected(when: Checked, require: Checked, bound: dict[str, Any]) -> str:
    applies = evaluate(when, bound)
    if type(applies) is not bool:
        return "unsettled"
    if not applies:
        return "not applicable"
    holds = evaluate(require, bound)
    return "unsettled" if type(holds) is not bool else "passed" if holds else "failed"


@settings(max_examples=200, deadline=None)
@given(when=conditions(), require=conditions(), seed=st.integers(0, 99), missing=st.sampled_from([0.0, 0.0, 0.1, 0.5]))
def test_sorted_as_by_the_exact_evaluator(
    world: SimpleNamespace, sheet_class: Any, when: str, require: str, seed: int, missing: float
) -> None:
    """What it settles it settles alike; what is not known it leaves; where all is known nothing is left."""
    guard, held = (check_expression(text, world.environment, Bool()) for text in (when, require))
    limit = sheet_class("limit", least=10.0, loss=1.0)
    feeds = _sheets(sheet_class, seed, missing)
    sweep = compile_sweep(guard, held, "feed", {"limit": limit})(feeds)
    left = set(map(id, sweep.unsettled))
    told = {id(feed): _expected(guard, held, {"feed": feed, "limit": limit}) for feed in feeds}
    assert {each for each, what in told.items() if what == "unsettled"} <= left
    settled = [what for each, what in told.items() if each not in left]
    assert sweep.passed == settled.count("passed")
    assert sweep.not_applicable == settled.count("not applicable")
    assert [id(feed) for feed in sweep.failed] == [id(f) for f in feeds if told[id(f)] == "failed" and id(f) not in left]
    assert missing or not left


def _unrolled(text: str, world: SimpleNamespace) -> str:
    checked = check_expression(text, world.environment, Bool())
    then: list[ast.stmt] = [ast.Expr(ast.Name("yes", ast.Load()))]
    otherwise: list[ast.stmt] = [ast.Expr(ast.Name("no", ast.Load()))]
    made = branch(emit(checked.syntax, frozenset({"feed", "limit"})), then, otherwise, frozenset({"v_feed", "v_limit"}))
    return ast.unparse(ast.fix_missing_locations(ast.Module(made, [])))


def test_form(world: SimpleNamespace) -> None:
    assert _unrolled("!feed.live || feed.hops.all(h, h.blocks_sound)", world) == (
        "if v_feed.live:\n"
        "    for v_h in v_feed.hops:\n"
        "        if not v_h.blocks_sound:\n"
        "            no\n"
        "            break\n"
        "    else:\n"
        "        yes\n"
        "else:\n"
        "    yes"
    )


@pytest.mark.parametrize("name", ["feed", "limit"])
def test_a_loop_does_not_take_the_name_of_what_lives_longer(name: str, world: SimpleNamespace) -> None:
    told = _unrolled(f"feed.live && feed.hops.all({name}, {name}.blocks_sound)", world)
    assert f"all((v_{name}.blocks_sound for v_{name} in v_feed.hops))" in told


@pytest.mark.parametrize("count", [1, 7, 8, 9, 30])
def test_many_loops_in_a_row(count: int, world: SimpleNamespace, sheet_class: Any) -> None:
    """More than Python takes inside one another stay an expression."""
    text = " && ".join("feed.hops.exists(h, h.loss > limit.loss)" for _ in range(count))
    checked = check_expression(text, world.environment, Bool())
    limit = sheet_class("limit", loss=1.0)
    sweep = compile_sweep(checked, checked, "feed", {"limit": limit})(_sheets(sheet_class, 3, 0.0))
    assert not sweep.unsettled
    assert sweep.passed
    assert sweep.not_applicable
