"""Computes declared facts: one generated loop over all sheets of a kind sets the slots, in order of need.

What cannot be known stays unset, and the reason is looked for when somebody asks (`Sheet.missing`): the exact evaluator
then names the fields that would decide it, and each of those what it lacks itself.
"""

from __future__ import annotations

import ast
import math
from collections.abc import Callable, Iterable
from functools import cache, partial
from typing import Any

from coaxwright.facts.declared.book import Book, Declared, book_of
from coaxwright.facts.sheets import Sheet
from coaxwright.language.checked import Fault, Unknown
from coaxwright.language.compiling import bound, emit, function_code, loaded, parameter_name, variable
from coaxwright.language.effort import MAX_STEPS, Steps
from coaxwright.language.evaluating import evaluate


def fill(kind: str, sheets: Iterable[Sheet]) -> None:
    """Set every declared fact of these sheets, all of one kind, that can be known."""
    loop = _loop_of(kind)
    if loop is not None:
        loop(sheets)


@cache
def _loop_of(kind: str) -> Callable[[Iterable[Sheet]], None] | None:
    book = book_of(kind)
    return None if book is None else loop_of(kind, book)


def loop_of(kind: str, book: Book) -> Callable[[Iterable[Sheet]], None]:
    """A function that fills sheets of the kind by these declarations."""
    steps: list[ast.stmt] = [_step(kind, place, fact) for place, fact in enumerate(book.facts)]
    target = ast.Name(parameter_name(kind), ast.Store())
    code = function_code("fill", ["subjects"], [ast.For(target, loaded("subjects"), steps, [], None)])
    return bound(code, {"settle": partial(_settle, book.facts)})


def _step(kind: str, place: int, fact: Declared) -> ast.stmt:
    """`try: sheet.field = expression`, and where that raises, the exact way."""
    slot = ast.Attribute(variable(kind), fact.name, ast.Store())
    fast = ast.Assign([slot], emit(fact.whole.syntax, frozenset((kind,))))
    exact = ast.Expr(ast.Call(loaded("settle"), [ast.Constant(place), variable(kind)], []))
    return ast.Try([fast], [ast.ExceptHandler(loaded("Exception"), None, [exact])], [], [])


def _settle(facts: tuple[Declared, ...], place: int, sheet: Sheet) -> None:
    fact = facts[place]
    if not fact.certain:
        value = value_of(fact, sheet)
        if not isinstance(value, Unknown | Fault):
            setattr(sheet, fact.name, value)
            return
    sheet.lacks_by(fact.name, partial(missing, fact))


def value_of(fact: Declared, sheet: Sheet, steps: int | Steps = MAX_STEPS) -> Any:
    """The exact value of a fact, `Unknown` or `Fault`; a number that is not finite is a fault."""
    value = evaluate(fact.whole, fact.scope(sheet), steps)
    return Fault("the number is not finite") if isinstance(value, float) and not math.isfinite(value) else value


def missing(fact: Declared, sheet: Sheet) -> tuple[str, ...]:
    """What to supply so that the fact becomes known; where it has no value though all is known, what is declared."""
    value = value_of(fact, sheet)
    if not isinstance(value, Unknown):
        return (fact.supply or f"{sheet.subject}/{fact.name}",)
    return tuple(dict.fromkeys(path for each, field in value.missing for path in each.missing(field)))  # type: ignore[attr-defined]
