"""The calculator test: what a working prints in the middle, typed into a calculator, gives what it prints at the end.

The calculator is this file's own: it reads the printed text and knows nothing of expressions. Angles in degrees, as the
docs say (docs/writing-a-fact.md); arithmetic is Python's.
"""

from __future__ import annotations

import math
import operator
import random
import re
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from coaxwright.checking import facts_of, load_site
from coaxwright.facts.declared.book import Book, book_of
from coaxwright.facts.declared.expressions import EXPRESSIONS
from coaxwright.facts.declared.filling import fill
from coaxwright.facts.declared.working import line
from coaxwright.facts.sheets import SHEETS
from coaxwright.facts.sheets.declared import STEPS
from coaxwright.facts.sheets.kinds import known_units
from coaxwright.facts.written import number

ROOT = Path(__file__).parents[3]
SITES = sorted((ROOT / "examples").glob("*/*.site.yaml"))
GIVEN = {row.unit for rows in STEPS.values() for row in rows.values()}
UNITS = "|".join(sorted((re.escape(unit) for unit in {*known_units().values(), *GIVEN, "K"} if unit), key=len, reverse=True))
BUTTONS = {
    "sqrt": math.sqrt, "abs": abs, "min": min, "max": max, "atan": lambda x: math.degrees(math.atan(x)),
    "tan": lambda x: math.tan(math.radians(x)), "__builtins__": {},
}  # fmt: skip


def calculator(text: str) -> float:
    plain = re.sub(rf"(?<=[0-9]) (?:{UNITS})(?=$|[ ),])", "", text)
    assert not re.search(r"[a-z]", re.sub(r"sqrt|atan|tan|abs|min|max| x ", "", plain)), f"what is typed in: {text}"
    return float(eval(plain.replace(" x ", " * ").replace("^", " ** "), dict(BUTTONS)))  # noqa: S307


def computes_again(text: str) -> None:
    if re.search(r": (yes|no)$", text):
        holds_again(*text.split(": ")[-2:])
        return
    *middles, end = text.split(" = ")
    if len(middles) < 3:  # a name and where it is read: nothing to compute
        assert len(middles) in (1, 2), text
        return
    shown = re.fullmatch(rf"(-?[0-9.]+|unlimited)(?: x 10\^([0-9]+))?(?: (?:{UNITS}))?", end)
    assert shown, text
    if shown[1] == "unlimited":
        with pytest.raises(ZeroDivisionError):
            calculator(middles[2])
        return
    if re.search(r"atan\(.*/ 0[ )]", middles[2]):  # straight down: no calculator divides by nought
        assert shown[1] in ("90", "-90")
        return
    found = calculator(middles[2]) / 10.0 ** int(shown[2] or 0)
    # A result that ends in a 5 is rounded either way by the last bit of a double.
    assert shown[1] in {number(found * nearly) for nearly in (1.0 - 1e-14, 1.0, 1.0 + 1e-14)}, text


def holds_again(figures: str, told: str) -> None:
    """A comparison of figures, typed in."""
    pieces = re.split(r" (<=|>=|<|>|=|is not) ", figures)
    assert len(pieces) == 3, figures
    left, sign, right = pieces
    signs = {"<=": operator.le, ">=": operator.ge, "<": operator.lt, ">": operator.gt, "=": operator.eq, "is not": operator.ne}
    assert signs[sign](calculator(left), calculator(right)) == (told == "yes"), figures


@pytest.mark.parametrize("text", [
    "exists: number <= outputs: 3 <= 3: yes", "exists: number <= outputs: 3 <= 2: no", "x = a / b = 2 Ah / 0 A = unlimited h",
    "x = a = max(2, 1.5)^0.5 = 1.4142",
    "x = a = 2 x (3 m + 1 m) / (-4 m) = -2", "x = a = sqrt((3 m)^2 + (4 m)^2) = 5 m", "x = a = atan(1) = 45 deg",
    "x = a = 60 degC - 40 degC = 20 K", "x = a = (6 m / 30 m)^2 = 0.04", "x = a = 28 degC + 15 K = 43 degC",
    "x = a = 3.72 x 10^12 B x 8 bit/B / (12.5 x 10^6 bit/s x 86400 s/d) = 27.556 d",
    "x = a = 4 x 10^12 B x 0.93 = 3.72 x 10^12 B",
])  # fmt: skip
def test_the_calculator_itself(text: str) -> None:
    computes_again(text)


@pytest.mark.parametrize("text", [
    "x = a = 2 x 3 m = 7 m", "x = a = 1.5 / 0.7 = 2.1", "x = a = (6 m / 30 m)^2 = 0.4", "x: a < b: 3 < 3: yes",
])  # fmt: skip
def test_the_calculator_finds_a_wrong_line(text: str) -> None:
    with pytest.raises(AssertionError):
        computes_again(text)


def test_every_line_of_the_examples_computes_again() -> None:
    told: Counter[str] = Counter()
    for site in SITES:
        facts = facts_of(load_site(site))
        for kind in EXPRESSIONS:
            for sheet in facts.by_kind(kind):
                for fact in _book(kind).facts:
                    if sheet.known(fact.name) is not None:
                        computes_again(line(_book(kind), fact, sheet))
                        told[kind] += 1
    assert set(told) == set(EXPRESSIONS), "every topic is seen in some example"


def _book(kind: str) -> Book:
    book = book_of(kind)
    assert book is not None
    return book


def _invented(kind: str, dice: random.Random) -> Any:
    """A sheet with random figures in all that the declarations read and do not compute, some left out."""
    book, sheet = _book(kind), SHEETS[kind]()
    sheet.subject = "invented"
    made = {fact.name for fact in book.facts} | set(book.constants)
    paths = {path[1:] for fact in book.facts for path in fact.whole.paths} | {(name,) for name in STEPS.get(kind, {})}
    for path in sorted(paths):
        if len(path) > 1 or path[0] not in made:
            _set(sheet, path, dice)
    return sheet


def _set(sheet: Any, path: tuple[str, ...], dice: random.Random) -> None:
    """A random figure or word at the end of a path, nine times of ten; the sheets on the way are made."""
    about, row = SHEETS[sheet.kind].__dataclass_fields__.get(path[0]), STEPS.get(sheet.kind, {}).get(path[0])
    if about is not None and about.metadata["many"]:
        if sheet.known(path[0]) is None:
            setattr(sheet, path[0], [SHEETS[about.metadata["many"]]() for _ in range(dice.randrange(4))])
        for place, each in enumerate(getattr(sheet, path[0]) if len(path) > 1 else ()):
            each.subject = f"{sheet.subject}/{path[0]}/{place}"
            _set(each, path[2:], dice)
    elif len(path) > 1:
        if sheet.known(path[0]) is None:
            other = SHEETS[about.metadata["ref"]]()
            other.subject = f"{sheet.subject}/{path[0]}"
            setattr(sheet, path[0], other)
        _set(getattr(sheet, path[0]), path[1:], dice)
    elif dice.random() < 0.9:
        figure = round(dice.uniform(0.01, 10 ** dice.uniform(-1, 3)), dice.choice((0, 1, 2, 6)))
        words = about.metadata["choices"] if about else ()
        whole = (row.type if row else about.type) == "int"
        value = dice.choice(words) if words else dice.randrange(1, 4000) if whole else min(figure, 179.0)
        setattr(sheet, path[0], value)


@pytest.mark.parametrize("kind", sorted(EXPRESSIONS))
def test_random_sheets_compute_again(kind: str) -> None:
    dice, told = random.Random(20261130), 0
    sheets = [_invented(kind, dice) for _ in range(400)]
    fill(kind, sheets)
    for sheet in sheets:
        for fact in _book(kind).facts:
            if sheet.known(fact.name) is not None:
                computes_again(line(_book(kind), fact, sheet))
                told += 1
            else:
                assert sheet.missing(fact.name), "what is open says what it lacks"
    assert told > 200
