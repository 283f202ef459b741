"""How fast the rule language is: `python tests/bench/expressions.py` prints microseconds; no test needs it"""

from __future__ import annotations

import json
import marshal
import sys
import time
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "engine"))

from coaxwright.language.checked import Checked, from_plain, to_plain
from coaxwright.language.compiling import compile_expression, evaluator
from coaxwright.language.evaluating import evaluate
from coaxwright.language.sweeping import bind_sweep, compile_sweep, sweep_code
from coaxwright.language.types import (
    Environment,
    FieldSpec,
    Int,
    KindSpec,
    ListOf,
    Num,
    Ref,
    Text,
    Type,
    Unit,
)
from coaxwright.language.typing_check import check_expression

SUBJECTS = 10_000
VOLTS = Num(Unit.parse("V"))


class Sheet:
    """An invented fact sheet."""

    __slots__ = ("hops", "joints", "kind", "least", "load", "volts", "volts_min")

    def __init__(self, **fields: object) -> None:
        for name, value in fields.items():
            setattr(self, name, value)


Sheets = list[Sheet]


def _kind(kind: str, /, **fields: Type) -> KindSpec:
    return KindSpec(kind, {name: FieldSpec(name, type_, name) for name, type_ in fields.items()}, kind)


def _environment() -> Environment:
    kinds = {
        "feed": _kind("feed", volts=VOLTS, load=Ref("load"), joints=Int(), hops=ListOf(Ref("hop"))),
        "load": _kind("load", volts_min=VOLTS, kind=Text(frozenset({"camera", "recorder"}))),
        "hop": _kind("hop", kind=Text()),
        "limit": _kind("limit", least=VOLTS),
    }
    return Environment(kinds, {"feed": Ref("feed"), "limit": Ref("limit")})


def _best(work: Callable[[], object], each: int, rounds: int = 7) -> float:
    """Microseconds for one of `each` pieces of work, the best of the rounds."""
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times) / each * 1e6


RULES = {
    "one comparison": (None, "feed.volts >= feed.load.volts_min"),
    "guard and limit": (
        'feed.load.kind == "camera"',
        "feed.volts - limit.least >= 0.0 && feed.volts >= feed.load.volts_min",
    ),
    "whole numbers": (None, "feed.joints + 1 <= 4"),
    "list macro, 2 hops": (None, 'feed.hops.exists(h, h.kind == "box")'),
}


def _times(
    when: Checked | None, require: Checked, limit: Sheet, feeds: Sheets, unknown: Sheets
) -> list[float]:
    """By a sweep (guard included), alone, by the exact evaluator, and alone where a value is missing."""
    sweep = compile_sweep(when, require, "feed", {"limit": limit})
    alone = evaluator(require, ["feed", "limit"])
    return [
        _best(lambda: sweep(feeds), SUBJECTS),
        _best(lambda: [alone(feed, limit) for feed in feeds], SUBJECTS),
        _best(lambda: [evaluate(require, {"feed": feed, "limit": limit}) for feed in feeds], SUBJECTS, 2),
        _best(lambda: [alone(feed, limit) for feed in unknown], SUBJECTS, 2),
    ]


def main() -> None:
    """Print a table of times."""
    environment = _environment()
    limit = Sheet(least=10.0)
    hops = (Sheet(kind="cable"), Sheet(kind="box"))
    load = Sheet(volts_min=9.0, kind="camera")
    feeds = [Sheet(volts=12.0, load=load, joints=2, hops=hops) for _ in range(SUBJECTS)]
    unknown = [Sheet(load=load) for _ in range(SUBJECTS)]
    print(f"{'':24}{'sweep':>8}{'alone':>8}{'exact':>8}{'unknown':>9}   us a subject")
    for name, (guard, text) in RULES.items():
        when = check_expression(guard, environment) if guard else None
        times = _times(when, check_expression(text, environment), limit, feeds, unknown)
        print(f"{name:24}" + "".join(f"{value:8.3f}" for value in times))
    _loading(environment, limit)


def _loading(environment: Environment, limit: Sheet) -> None:
    guard, text = RULES["guard and limit"]
    when, require = check_expression(guard or "true", environment), check_expression(text, environment)
    plain = json.dumps(to_plain(require))
    code = marshal.dumps(sweep_code(when, require, "feed", ["limit"]))
    steps: dict[str, Callable[[], object]] = {
        "parse and type check": lambda: check_expression(text, environment),
        "from JSON": lambda: from_plain(json.loads(plain)),
        "make a function": lambda: compile_expression(require, ["feed", "limit"]),
        "make a sweep": lambda: compile_sweep(when, require, "feed", {"limit": limit}),
        "bind a marshalled sweep": lambda: bind_sweep(marshal.loads(code), {"limit": limit}),
    }
    for name, work in steps.items():
        print(f"{name:24}{_best(lambda work=work: [work() for _ in range(50)], 50):8.1f}   us each")


if __name__ == "__main__":
    main()
