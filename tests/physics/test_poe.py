"""Power over Ethernet against the class figures of IEEE 802.3-2022 clauses 33 and 145."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaxwright.facts.physics import poe


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
def test_constant_power_device(watts, volts, ohm, high, low):
    got = poe.pd_volts_for_load(watts, volts, ohm)
    assert got == pytest.approx(high, abs=6e-4)
    assert volts - got == pytest.approx(low, abs=6e-4)
    assert poe.pse_watts_for_load(watts, volts, ohm) == pytest.approx(volts * low / ohm, rel=1e-4)


def test_overload_has_no_answer():
    assert poe.pd_volts_for_load(25, 44, 20) is None
    assert poe.pse_watts_for_load(25, 44, 20) is None


@given(st.floats(1, 95), st.floats(44, 57), st.floats(0.1, 5))
def test_the_device_gets_what_the_channel_leaves(source, volts, ohm):
    """P - (P / V)^2 R, the formula behind the class figures of IEEE 802.3-2022, answered the other way round."""
    watts = source - (source / volts) ** 2 * ohm
    assert poe.pse_watts_for_load(watts, volts, ohm) == pytest.approx(source, rel=1e-9)
    assert poe.pd_volts_for_load(watts, volts, ohm) == pytest.approx(volts - source / volts * ohm, rel=1e-9)
