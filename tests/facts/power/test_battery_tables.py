"""Hours of batteries by tables of hours and currents, against figures worked outside the program.

Outside: fractions of the 20 h capacity that small valve-regulated batteries give in 1, 3, 5, 10 and 20 h (0.60, 0.75, 0.85,
0.93, 1; from memory, IEC 61056-1 has the ends), read straight in logarithms by hand; IEEE 485 for the way of reading; the
capacity over the current as the most, whatever the table.
"""

from __future__ import annotations

import math
from typing import Any

import pytest

from coaxwright.checking import facts_of
from coaxwright.facts.power.evening import taken
from coaxwright.model.rules import Case
from coaxwright.rulebook.cases import case_site, load_bases

SHARES = {1: 0.60, 3: 0.75, 5: 0.85, 10: 0.93, 20: 1.0}


def table(capacity: float) -> list[dict[str, str]]:
    return [{"amps": f"{share * capacity / hours!r} A", "hours": f"{hours} h"} for hours, share in SHARES.items()]


def battery(amps: float, capacity: float, remaining: str = "100 %", **psu: Any) -> Any:
    """Two cameras of constant current share `amps`; 25 °C."""
    site = {
        "assume": {"battery_remaining": remaining},
        "supplies": {
            "psu1": {"battery": f"{capacity} Ah", "battery_rates": table(capacity), "place": {"ambient_min": "25 °C"}, **psu}
        },
    }
    parts = {"tarnwell/case-turret-p": {"power": {"watts_night": f"{6 * amps!r} W"}}}
    loaded = case_site(load_bases(), Case(name="one", base="trunk-and-port", site=site, parts=parts))
    (found,) = facts_of(loaded).by_kind("battery")
    return found


@pytest.mark.parametrize(("amps", "hours"), [(1.0, 6.106), (2.0, 2.537), (4.2, 1.000)])
def test_seven_ampere_hours(amps: float, hours: float) -> None:
    found = battery(amps, 7)
    assert found.amps == pytest.approx(amps)
    assert found.hours == pytest.approx(hours, abs=6e-4)


def test_slower_than_the_table_no_more_than_the_capacity() -> None:
    # 24 Ah aged to 19.2 Ah at 0.2889 A: 66.46 h, where Peukert's law carried on would say 79.6 h.
    found = battery(0.2889, 24, "80 %")
    assert found.hours == pytest.approx(19.2 / 0.2889)
    assert found.hours * found.amps <= found.usable * (1 + 1e-12)


def test_faster_than_the_table_is_open() -> None:
    found = battery(5.0, 7)
    assert found.known("hours") is None
    assert found.missing("hours") == ("supplies/psu1/battery_rates",)


@pytest.mark.parametrize("amps", [0.36, 0.6, 1.1, 2.2, 3.3])
def test_never_more_than_the_capacity(amps: float) -> None:
    found = battery(amps, 7, "80 %")
    assert found.hours * found.amps <= found.usable * (1 + 1e-12)
    # What is left of it is a smaller battery: the table of one of 5.6 Ah at the same current says the same.
    assert found.hours == pytest.approx(battery(amps, 5.6).hours, rel=1e-9)


def test_the_current_of_an_old_battery_is_that_of_a_new_one_as_hard_pressed() -> None:
    found = battery(1.0, 7, "80 %")
    alike, _ = found.steps
    assert alike == pytest.approx(1.0 / 0.8)
    # 1.25 A lies between 0.85 x 7 / 5 = 1.19 A (5 h) and 0.75 x 7 / 3 = 1.75 A (3 h).
    by_hand = math.exp(math.log(5) + math.log(3 / 5) * math.log(alike / 1.19) / math.log(1.75 / 1.19))
    assert found.hours_tabled == pytest.approx(by_hand)


@pytest.mark.parametrize(("volts", "out"), [(12.8, 0.0), (12.5, 0.0), (12.0, 0.25), (11.0, 0.75), (10.5, 1.0), (10.0, 1.0)])
def test_share_out_of_a_straight_curve(volts: float, out: float) -> None:
    assert taken([(0.0, 12.5), (1.0, 10.5)], volts) == pytest.approx(out)


def test_workings_of_the_evening_end_in_their_facts() -> None:
    parts = {
        "tarnwell/case-supply-p": {"battery_curve": [[0, 12.5], [1, 10.5]]},
        "tarnwell/case-turret-p": {"power": {"volts_min": "10.75 V"}},
    }
    site = {"supplies": {"psu1": {"battery_rates": table(25)}}}
    found = facts_of(case_site(load_bases(), Case(name="one", base="trunk-and-port", site=site, parts=parts)))
    for kind, field in (("evening", "volts_needed"), ("evening", "hours"), ("battery", "hours_tabled")):
        sheet = found.by_kind(kind)[0]
        assert f"{getattr(sheet, field):.5g}" in found.working(sheet, field)[0]
