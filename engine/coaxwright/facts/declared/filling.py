"""Computes declared facts: one generated loop over all sheets of a kind sets the slots, in order of need.

What cannot be known stays unset, and the reason is looked for when somebody asks (`Sheet.missing`): the exact evaluator
then names the fields that would decide it, and each of those what it lacks itself.
"""

from __future__ import annotations

import ast
import math
import sys
from collections.abc import Callable, Collection, Iterable
from functools import cache, partial

from coaxwright.facts.assumed import Ledger
from coaxwright.facts.declared.book import Book, Declared, book_of
from coaxwright.facts.declared.resting import assumptions, is_step, may_assume
from coaxwright.facts.sheets import Sheet
from coaxwright.language.checked import Fault, Unknown
from coaxwright.language.compiling import bound, emit, function_code, loaded, parameter_name, variable
from coaxwright.language.effort import MAX_STEPS, Steps
from coaxwright.language.evaluating import evaluate


def fill(kind: str, sheets: Collection[Sheet], ledger: Ledger | None = None) -> None:
    """Set every declared fact of these sheets, all of one kind, that can be known.

    With a ledger the given figures that are assumptions are set from it, and counted where a fact rests on them.
    """
    loop, book = _loop_of(kind), book_of(kind)
    if loop is None or book is None:
        return
    assumed = [] if ledger is None else [(name, ledger.values[row].value) for name, row in book.assumed.items()]
    for name, value in assumed:
        for sheet in sheets:
            setattr(sheet, name, value)
    loop(sheets)
    if ledger is not None:
        _count(kind, book, sheets, ledger)


def _count(kind: str, book: Book, sheets: Iterable[Sheet], ledger: Ledger) -> None:
    """Count every assumption once for each sheet of which a fact rests on it."""
    resting = _resting(kind)
    for sheet in sheets if resting else ():
        known = (fact for fact in resting if hasattr(sheet, fact.name))
        for name in dict.fromkeys(row for fact in known for row in assumptions(book, fact, sheet)):
            ledger.take(name)


@cache
def _resting(kind: str) -> tuple[Declared, ...]:
    """The facts of a kind that may rest on assumptions."""
    book = book_of(kind)
    return () if book is None else tuple(each for each in book.facts if not is_step(book, each) and may_assume(book, each))


@cache
def _loop_of(kind: str) -> Callable[[Iterable[Sheet]], None] | None:
    book = book_of(kind)
    return None if book is None else loop_of(kind, book)


def loop_of(kind: str, book: Book) -> Callable[[Iterable[Sheet]], None]:
    """A function that fills sheets of the kind by these declarations."""
    steps: list[ast.stmt] = [_step(kind, place, fact) for place, fact in enumerate(book.facts)]
    target = ast.Name(parameter_name(kind), ast.Store())
    code = function_code("fill", ["subjects"], [ast.For(target, loaded("subjects"), steps, [], None)])
    return bound(code, {"settle": partial(_settle, book)})


def _step(kind: str, place: int, fact: Declared) -> ast.stmt:
    """`try: sheet.field = expression`, and where that raises, the exact way."""
    slot = ast.Attribute(variable(kind), fact.name, ast.Store())
    fast = ast.Assign([slot], emit(fact.whole.syntax, frozenset((kind,))))
    exact = ast.Expr(ast.Call(loaded("settle"), [ast.Constant(place), variable(kind)], []))
    return ast.Try([fast], [ast.ExceptHandler(loaded("Exception"), None, [exact])], [], [])


def _settle(book: Book, place: int, sheet: Sheet) -> None:
    """What the fast way could not do, called while its exception is at hand: that a field is missing may be all there is."""
    fact = book.facts[place]
    if not fact.certain or not isinstance(sys.exc_info()[1], AttributeError):
        value = value_of(fact, sheet)
        if not isinstance(value, Unknown | Fault):
            setattr(sheet, fact.name, value)
            return
    sheet.lacks_by(fact.name, partial(missing, fact))


def value_of(fact: Declared, sheet: object, steps: int | Steps = MAX_STEPS) -> object:
    """The exact value of a fact, `Unknown` or `Fault`; a number without limit is one where the fact may have none."""
    value = evaluate(fact.whole, fact.scope(sheet), steps)
    if not isinstance(value, float) or math.isfinite(value) or (fact.endless and math.isinf(value)):
        return value
    return Fault("the number is not finite")


def missing(fact: Declared, sheet: Sheet) -> tuple[str, ...]:
    """What to supply so that the fact becomes known; where it has no value though all is known, what is declared."""
    value = value_of(fact, sheet)
    if not isinstance(value, Unknown):
        return (fact.supply or f"{sheet.subject}/{fact.name}",)
    return tuple(dict.fromkeys(path for each, field in value.missing for path in each.missing(field)))  # type: ignore[attr-defined]
