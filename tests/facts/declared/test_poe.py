"""The declared facts of powered network ports against the class figures of IEEE 802.3-2022 clauses 33 and 145."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaxwright.facts.declared.filling import fill
from coaxwright.facts.sheets import PoePort


def port(watts: float, volts: float, ohms: float) -> Any:
    sheet = PoePort()
    sheet.subject, sheet.watts_night, sheet.volts, sheet.ohms = "switches/s/1", float(watts), float(volts), float(ohms)
    fill("poe_port", [sheet])
    return sheet


# The device draws its published power: both roots of the quadratic (the low one is never an answer).
@pytest.mark.parametrize(
    ("watts", "volts", "ohm", "high", "low"),
    [
        (12.95, 44, 20, 37.0, 7.0),
        (25.5, 50, 12.5, 42.5, 7.5),
        (51, 50, 6.25, 42.5, 7.5),
        (71.3, 52, 6.25, 41.178, 10.822),
    ],
)
def test_constant_power_device(watts: float, volts: float, ohm: float, high: float, low: float) -> None:
    got = port(watts, volts, ohm)
    assert got.volts_night == pytest.approx(high, abs=6e-4)
    assert volts - got.volts_night == pytest.approx(low, abs=6e-4)
    assert got.watts_given == pytest.approx(volts * low / ohm, rel=1e-4)


def test_overload_has_no_working_voltage() -> None:
    """At the last voltage at which anything arrives, half of 44 V, 44 V push 44 / 40 A: 48.4 W (circuit theory)."""
    got = port(25, 44, 20)
    assert (got.volts_night, got.watts_given) == (0.0, pytest.approx(48.4))


@given(st.floats(1, 95), st.floats(44, 57), st.floats(0.1, 5))
def test_the_device_gets_what_the_channel_leaves(source: float, volts: float, ohm: float) -> None:
    """P - (P / V)^2 R, the formula behind the class figures of IEEE 802.3-2022, answered the other way round."""
    got = port(source - (source / volts) ** 2 * ohm, volts, ohm)
    assert got.watts_given == pytest.approx(source, rel=1e-9)
    assert got.volts_night == pytest.approx(volts - source / volts * ohm, rel=1e-9)
