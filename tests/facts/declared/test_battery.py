"""The declared facts of batteries against published worked examples.

The short Peukert form appears here only, to show that it misleads.
"""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaxwright.facts.assumed import Ledger, assumable
from coaxwright.facts.declared.book import book_of
from coaxwright.facts.declared.filling import fill, value_of
from coaxwright.facts.sheets import Battery, Supply


def battery(capacity: float, rated: float = 20, amps: float = 1, degc: float = 25, most: float | None = None, loads: float = 0,
            **assumed: float) -> Any:  # fmt: skip
    """A battery that nothing has aged but what is named; `most` is what its charger gives, `loads` what is drawn beside."""
    rows = assumable(None)
    figures = {"battery_remaining": 1.0, **assumed}
    for name, value in figures.items():
        row = name.replace("_", "-")
        rows = {**rows, row: rows[row].__class__(**{**vars_of(rows[row]), "value": value})}
    sheet, supply = Battery(), Supply()
    sheet.subject, supply.subject = "supplies/p/battery", "supplies/p"
    sheet.supply, supply.amps_max, supply.amps_night = supply, 100.0, float(loads)
    sheet.capacity, sheet.rated_hours, sheet.amps, sheet.temperature = float(capacity), float(rated), float(amps), float(degc)
    if most is not None:
        sheet.charger_amps = float(most)
    fill("battery", [sheet], Ledger(rows))
    return sheet


def vars_of(row: Any) -> dict[str, Any]:
    return {name: getattr(row, name) for name in row.__slots__}


def short_form(capacity: float, amps: float, exponent: float) -> float:
    """t = C / I^k, which silently takes C as the capacity at one ampere."""
    return float(capacity / amps**exponent)


def test_rated_hour_form() -> None:
    """Peukert's law: 100 Ah at 20 h, 10 A, k 1.2 (encyclopedia example 8.7 h, from memory); 7 Ah, 1.5 A, k 1.15."""
    assert battery(100, 20, 10, peukert_exponent=1.2).hours == pytest.approx(8.705506, abs=5e-7)
    assert battery(7, 20, 1.5, peukert_exponent=1.15).hours == pytest.approx(3.751486, abs=5e-7)


def test_the_short_form_is_the_rated_form_at_one_ampere() -> None:
    """Published short-form examples: 14.5 h; 5.088631644 h (common practice). Equal only when C is the 1 A capacity."""
    assert short_form(100, 5, 1.2) == pytest.approx(14.4956, abs=5e-5)
    assert short_form(250, 20, 1.3) == pytest.approx(5.088631644, abs=5e-10)
    assert battery(250, 250, 20, peukert_exponent=1.3).hours == pytest.approx(short_form(250, 20, 1.3))
    assert battery(100, 20, 5, peukert_exponent=1.2).hours == pytest.approx(20.0)


def test_usable_capacity() -> None:
    """80 % at end of life (IEEE 450, from memory), IEEE 485 in the cold, no credit for warmth."""
    assert battery(100).usable == 100
    assert battery(100, battery_remaining=0.8).usable == 80
    assert battery(100, degc=0, battery_remaining=0.8).usable == pytest.approx(80 / 1.405)
    assert battery(100, degc=45).usable == 100
    assert battery(100, degc=-80).usable == 0


# IEEE 485 Table 1, size factors by degF (read in an open data file that transcribes it).
@pytest.mark.parametrize(
    ("fahrenheit", "factor"), [(40, 1.30), (45, 1.25), (50, 1.19), (55, 1.15), (60, 1.11), (65, 1.08), (68, 1.056), (70, 1.04)]
)
def test_size_factors_in_the_cold(fahrenheit: float, factor: float) -> None:
    assert battery(10, degc=(fahrenheit - 32) / 1.8).cold_size == pytest.approx(factor, abs=0.0095)


@pytest.mark.parametrize(("degc", "share"), [(5, 0.775), (0, 0.712), (-10, 0.589), (-20, 0.478), (25, 1.0), (30, 1.0)])
def test_what_the_cold_leaves(degc: float, share: float) -> None:
    """1 / size factor of IEEE 485, by its published polynomial; 1 from 25 degC up (common practice)."""
    assert battery(1, degc=degc).usable == pytest.approx(share, abs=6e-4)


def test_no_more_than_the_rated_capacity_is_credited() -> None:
    """Sizing by IEEE 485 without a maker's curve: longer than the rated hours t = C / I, no credit (from memory).

    24 Ah aged to 19.2 Ah, 0.2889 A: 66.46 h, where Peukert's law carried on has 79.6 h, 23 Ah out of 19.2; 65 Ah at
    10 h, 3 A: 21.67 h; faster than rated Peukert's law alone: 7 Ah, 1 A, 5.980 h.
    """
    assert battery(19.2, 20, 0.2889).hours == pytest.approx(66.46, abs=0.005)
    assert battery(65, 10, 3).hours == pytest.approx(21.67, abs=0.005)
    assert battery(7, 20, 1, peukert_exponent=1.15).hours == pytest.approx(5.980, abs=0.0005)


@given(st.floats(1, 300), st.floats(1, 100), st.floats(0.01, 50), st.floats(1, 1.5))
def test_never_more_ampere_hours_than_there_are(capacity: float, rated: float, amps: float, exponent: float) -> None:
    assert battery(capacity, rated, amps, peukert_exponent=exponent).hours * amps <= capacity * (1 + 1e-12)


@given(st.floats(1, 300), st.floats(1, 100), st.floats(1, 1.5))
def test_at_the_rated_current_it_lasts_the_rated_hours(capacity: float, rated: float, exponent: float) -> None:
    assert battery(capacity, rated, capacity / rated, peukert_exponent=exponent).hours == pytest.approx(rated)


def test_no_load_lasts_for_ever() -> None:
    idle = battery(7, amps=0)
    assert idle.hours == idle.hours_most == math.inf


def test_recharge() -> None:
    """Ah over amps left over; 80 % within 72 h or 24 h is asked of grades by EN 50131-6 (from memory)."""
    assert battery(8.5, most=1, recharge_share=1, charge_efficiency=0.85).recharge_hours == pytest.approx(10)
    assert battery(8.5, most=9, loads=99, recharge_share=1, charge_efficiency=0.85).recharge_hours == pytest.approx(10)
    assert battery(8.5, most=1, loads=101).recharge_hours == math.inf
    assert battery(8.5, degc=-80, most=1).recharge_hours == 0


def test_a_number_without_limit_is_a_value_only_where_that_is_declared() -> None:
    book = book_of("battery")
    assert book is not None
    assert {fact.name for fact in book.facts if fact.endless} == {"hours", "hours_most", "recharge_hours"}
    assert value_of(book.get("hours_most"), battery(7, amps=0)) == math.inf  # type: ignore[arg-type]
