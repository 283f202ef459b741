"""Random rule expressions: refused in words, or judged within the steps; never another exception, never long.

Texts are made of the language's own words, of rules' conditions cut and joined, and of noise. A normal run takes 2,000,
COAXWRIGHT_FULL=1 takes 100,000; COAXWRIGHT_FUZZ=600 goes on for so many seconds, COAXWRIGHT_SEED another start.
"""

from __future__ import annotations

import os
import random
import time
from collections.abc import Callable
from contextlib import suppress
from typing import Any

from coaxwright.errors import Refusal
from coaxwright.facts.sheets import SHEETS
from coaxwright.facts.sheets.kinds import fact_kinds
from coaxwright.language.checked import Fault, Unknown
from coaxwright.language.effort import Steps
from coaxwright.language.evaluating import evaluate
from coaxwright.language.typing_check import check_expression
from coaxwright.rulebook.builtin import BUILT_IN
from coaxwright.rulebook.environment import rule_environment
from coaxwright.rulebook.loading import load_rulebook
from coaxwright.rulebook.scope import kind_scope

SECONDS = float(os.environ.get("COAXWRIGHT_FUZZ", "0"))
MOST = 100_000 if os.environ.get("COAXWRIGHT_FULL") == "1" else 2_000
SEED = int(os.environ.get("COAXWRIGHT_SEED", "8"))
SIGNS = [*"()[].,?:!+-*/%<>{}|&\"'\\ \n\t", "&&", "||", "==", "!=", "<=", ">=", "//", "r'", "b'", "\"\"\"", "'''", "0x", "1e"]
WORDS = [
    *("true", "false", "null", "in", "has", "all", "exists", "exists_one", "filter", "map", "size", "contains", "startsWith"),
    *("endsWith", "int", "double", "string", "min", "max", "abs", "sum", "feed", "site", "camera", "cameras", "load", "x", "y"),
    *("__class__", "__import__", "eval", "lambda", "self", "_", "0", "1", "9223372036854775807", "1.5", "1e308"),
    *("\"a\"", "[1, 2]", "\u202e", "\x1b", "\0", "é", "😀", "\ud800", "٣"),
]
VALUES = (bool, int, float, str, list, tuple, Unknown, Fault)
MACROS = (".map(x, x + x)", ".map(x, [x, x])", ".filter(x, true)", ".exists(y, y == y)", ".all(x, x in [x])", ".size()", "[0]")


def _rules() -> list[str]:
    found = [rule for rule in load_rulebook(()).rules if rule.plain["about"] == "feed"]
    return [each.text for rule in found for each in (rule.when, rule.require, rule.margin) if each is not None]


def _text(chance: random.Random, seeds: list[str], fields: list[str]) -> str:
    kind = chance.randrange(5)
    if kind == 0:
        return "".join(chance.choice(SIGNS + WORDS + fields) for _ in range(chance.randrange(1, 40)))
    if kind == 1:
        base = chance.choice(["[1, 2]", '["a"]', "[[1]]", '"a"', "site.cameras", "[1.5]", "feed.source.members"])
        steps = "".join(chance.choice(MACROS) for _ in range(chance.randrange(1, 30)))
        return base + steps + chance.choice(["", " == 1", " == []"])
    if kind == 2:
        one, two, three = (f"({chance.choice(seeds)})" for _ in range(3))
        listed = f"[{one}, {two}].all(x, x || {three})"
        return chance.choice([f"{one} && !{two}", f"{one} || {two}", f"{one} ? {two} : {three}", listed])
    text = chance.choice(seeds)
    for _ in range(chance.randrange(1, 5)):
        place, other = chance.randrange(len(text) + 1), chance.choice(seeds)
        cut = chance.randrange(len(other) + 1)
        inserted = [chance.choice(SIGNS), chance.choice(WORDS), "." + chance.choice(fields)]
        piece = chance.choice([other[cut:], other[:cut], text, *inserted])
        text = (text[:place] + piece + text[place + chance.randrange(9) :])[:6_000]
    return text


def _sheet(kind: str) -> object:
    sheet = SHEETS[kind].__new__(SHEETS[kind])
    sheet.subject = f"{kind}s/x"
    return sheet


def test_random_expressions(guarded: Callable[[float], Any]) -> None:
    chance = random.Random(SEED)
    seeds = _rules()
    fields = sorted({name for kind in fact_kinds().values() for name in kind.fields})
    bound = {"feed": _sheet("feed"), "site": _sheet("site")}
    bound["site"].cameras = [_sheet("camera") for _ in range(50)]
    environment = rule_environment(kind_scope("feed"), {})
    end, made, judged = time.monotonic() + SECONDS, 0, 0
    slowest = (0.0, "")
    while time.monotonic() < end or (not SECONDS and made < MOST):
        made += 1
        text = _text(chance, seeds, fields)
        start = time.process_time()
        try:
            value = evaluate(check_expression(text, environment), bound, Steps(100_000))
        except Refusal:
            value = None
        judged += value is not None
        assert value is None or isinstance(value, VALUES) or hasattr(value, "subject"), text
        slowest = max(slowest, (time.process_time() - start, text))
    print(f"{made} expressions, {judged} of them judged; the slowest took {slowest[0]:.2f} s")
    assert judged >= 10
    assert made > judged
    with guarded(200), suppress(Refusal):  # the slowest once more, against plain work beside it
        evaluate(check_expression(slowest[1], environment), bound, Steps(100_000))


def test_own_findings_are_no_rules() -> None:
    """A stranger's rule cannot take the id of what the program itself finds."""
    assert BUILT_IN
    assert not set(BUILT_IN) & {rule.id for rule in load_rulebook(()).rules}
