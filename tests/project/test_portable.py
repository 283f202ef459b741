"""What is worked out here and not by a system's library: right to the last bit, and the same bits everywhere."""

from __future__ import annotations

import math
import random
import re
from fractions import Fraction
from pathlib import Path

import pytest

from coaxwright import portable

# Identities of school geometry and arithmetic: exact in doubles where the library's own are not.
EXACT = [
    (portable.tangent(45.0), 1.0), (portable.arctangent(1.0), 45.0), (portable.sine(30.0), 0.5), (portable.cosine(60.0), 0.5),
    (portable.cosine(90.0), 0.0), (portable.sine(-90.0), -1.0), (portable.cosine(180.0), -1.0), (portable.sine(720.0), 0.0),
    (portable.arctangent(0.0), 0.0), (portable.power(4.0, 0.5), 2.0), (portable.power(0.0, 0.3), 0.0),
    (portable.power(7.0, 0.0), 1.0), (portable.power(1.0, 9.0), 1.0), (portable.power(10.0, -3.0), 0.001),
    (portable.logarithm(1.0), 0.0), (portable.common_logarithm(1000.0), 3.0), (portable.common_logarithm(0.01), -2.0),
    (portable.added([]), 0), (portable.size(3 + 4j), 5.0),
]  # fmt: skip


@pytest.mark.parametrize(("found", "right"), EXACT)
def test_what_is_known_exactly(found: float, right: float) -> None:
    assert found == right


def test_near_to_the_library_of_this_system() -> None:
    """The C library is right within about one unit in the last place (its manual); so what differs more is our fault."""
    chance = random.Random(11)
    for _ in range(400):
        base, exponent, angle = chance.uniform(1e-3, 1e3), chance.uniform(-4, 4), chance.uniform(-720, 720)
        assert portable.power(base, exponent) == pytest.approx(base**exponent, rel=1e-15)
        assert portable.logarithm(base) == pytest.approx(math.log(base), rel=1e-15, abs=1e-16)
        assert portable.sine(angle) == pytest.approx(math.sin(math.radians(angle)), abs=1e-14)
        assert portable.cosine(angle) == pytest.approx(math.cos(math.radians(angle)), abs=1e-14)
        assert portable.arctangent(base) == pytest.approx(math.degrees(math.atan(base)), rel=1e-15)
        assert portable.arctangent(-base) == -portable.arctangent(base)


def test_a_power_is_the_double_nearest_to_it() -> None:
    """Of a square root, the square of the true value is known exactly: the neighbours are farther from it."""
    chance = random.Random(5)
    for _ in range(200):
        number = chance.uniform(0.01, 100.0)
        root = portable.power(number, 0.5)
        off = [abs(Fraction(each) ** 2 - Fraction(number)) for each in (math.nextafter(root, 0), root, math.nextafter(root, 1e9))]
        assert min(off) == off[1]


def test_sums_go_from_left_to_right() -> None:
    """1e16 takes no single one: Python's own sum from 3.12 on gives 1e16 + 2 here."""
    assert portable.added([1e16, 1.0, 1.0]) == 1e16
    assert portable.added([1.0, 1.0, 1e16]) == 1e16 + 2


@pytest.mark.parametrize(("base", "exponent"), [(-1.0, 0.5), (0.0, 0.0), (0.0, -1.0), (math.nan, 1.0)])
def test_what_is_no_power_is_refused(base: float, exponent: float) -> None:
    with pytest.raises(ValueError, match="no number"):
        portable.power(base, exponent)


def test_what_has_no_tangent_or_logarithm_is_refused() -> None:
    for angle in (90.0, -270.0):
        with pytest.raises(ValueError, match="no tangent"):
            portable.tangent(angle)
    for each in (portable.logarithm, portable.common_logarithm):
        with pytest.raises(ValueError, match="no logarithm"):
            each(0.0)


ENGINE = Path(portable.__file__).parent
NAMES = "exp|expm1|exp2|log|log2|log10|log1p|pow|cbrt|sin|cos|tan|asin|acos|atan|atan2|sinh|cosh|tanh"
OF_THE_SYSTEM = re.compile(rf"math\.(?:{NAMES})\(")
DIGITS = {"facts/written.py", "facts/declared/printing.py", "model/quantities.py", "language/functions.py"}
"""Where only whole digits are counted with it, or what it gives is not kept."""


def test_no_figure_rests_on_the_systems_library() -> None:
    found = {
        path.relative_to(ENGINE).as_posix()
        for room in ("facts", "language", "model", "topology", "rulebook")
        for path in (ENGINE / room).rglob("*.py")
        if OF_THE_SYSTEM.search(path.read_text(encoding="utf-8"))
    }
    assert found <= DIGITS
