"""Hours of a UPS by its table, against hand-worked figures.

Sources: the definition of a straight line in logarithms; that a rate below the table earns no more hours: IEEE 485 sizing
by published curves (from memory). A formula with one efficiency is checked to be no substitute for the table.
"""

from __future__ import annotations

import math

import pytest

from coaxwright.facts.physics.battery import runtime_hours

TABLE = [(50.0, 13.0), (100.0, 6.0), (200.0, 2.5), (300.0, 1.5)]


@pytest.mark.parametrize(("watts", "hours"), TABLE)
def test_rows_are_what_the_maker_says(watts, hours):
    assert runtime_hours(TABLE, watts) == hours


def test_half_way_in_logarithms_is_the_geometric_mean():
    """By hand: between 100 W and 200 W at sqrt(20000) = 141.42 W: sqrt(6 h x 2.5 h) = 3.873 h."""
    assert runtime_hours(TABLE, math.sqrt(20000.0)) == pytest.approx(math.sqrt(15.0))


def test_less_than_the_least_load_earns_no_more():
    assert runtime_hours(TABLE, 1.0) == runtime_hours(TABLE, 0.0) == 13.0


def test_beyond_the_table_is_not_known():
    assert runtime_hours(TABLE, 300.1) is None
    assert runtime_hours([], 10.0) is None


def test_the_order_of_the_rows_does_not_count():
    assert runtime_hours(TABLE[::-1], 110.0) == pytest.approx(6.0 * (2.5 / 6.0) ** (math.log(1.1) / math.log(2.0)))


def test_a_row_of_no_time():
    assert runtime_hours([(50.0, 0.0), (100.0, 0.0)], 70.0) == 0.0


def test_bad_figures_are_refused():
    with pytest.raises(ValueError, match="watts"):
        runtime_hours(TABLE, -1.0)
    with pytest.raises(ValueError, match=r"positive|load|0"):
        runtime_hours([(0.0, 1.0)], 1.0)


def test_one_efficiency_over_all_loads_is_no_table():
    """A published-form estimate Ah x V x efficiency / W says 55.08 min for 24 V 9 Ah, 0.85, 200 W; batteries at 1.1 C give
    some 25 min (common practice). The table of such a UPS is believed, not the estimate."""
    assert pytest.approx(55.08) == 9 * 24 * 0.85 / 200 * 60
    assert runtime_hours([(100.0, 1.05), (200.0, 25 / 60)], 200.0) == pytest.approx(25 / 60)
