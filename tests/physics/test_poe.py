"""Power over Ethernet against the class figures of IEEE 802.3-2022 clauses 33 and 145."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaxwright.facts.physics import poe

# class, PSE W, PSE V, channel ohm, A, W at the device by the formula, W published, V at the device.
CLASSES = [
    ("1", 4, 44, 20, 0.0909, 3.835, 3.84, 42.182),
    ("2", 7, 44, 20, 0.1591, 6.494, 6.49, 40.818),
    ("0 and 3", 15.4, 44, 20, 0.3500, 12.950, 12.95, 37.000),
    ("4", 30, 50, 12.5, 0.6000, 25.500, 25.5, 42.500),
    ("5", 45, 50, 6.25, 0.9000, 39.938, 40.0, 44.375),
    ("6", 60, 50, 6.25, 1.2000, 51.000, 51.0, 42.500),
    ("7", 75, 52, 6.25, 1.4423, 61.998, 62.0, 42.986),
    ("8", 90, 52, 6.25, 1.7308, 71.278, 71.3, 41.183),
]


@pytest.mark.parametrize(("name", "pse", "volts", "ohm", "amps", "watts", "published", "pd_volts"), CLASSES)
def test_classes(name, pse, volts, ohm, amps, watts, published, pd_volts):
    assert pse / volts == pytest.approx(amps, abs=6e-5)
    assert poe.pd_watts(pse, volts, ohm) == pytest.approx(watts, abs=6e-4)
    assert poe.pd_watts(pse, volts, ohm) == pytest.approx(published, abs=0.07)
    assert poe.pd_volts(pse, volts, ohm) == pytest.approx(pd_volts, abs=6e-4)


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
    with pytest.raises(ValueError, match="cannot be carried"):
        poe.pd_watts(60, 44, 20)


def test_channel_of_structured_cable():
    """TIA-568.2-D: 9.38 ohm/100 m a conductor; IEEE 802.3 allows 12.5 and 6.25 ohm a channel."""
    assert poe.channel_resistance(0.0938, 100, 2) == pytest.approx(9.38)
    assert poe.channel_resistance(0.0938, 100, 4) == pytest.approx(4.69)
    with pytest.raises(ValueError, match="2 or 4"):
        poe.channel_resistance(0.0938, 100, 3)


def test_unbalance():
    """3 % of a channel (IEEE 802.3, from memory): 1.03 against 0.97 ohm."""
    assert poe.resistance_unbalance(1.03, 0.97) == pytest.approx(0.03)


@given(st.floats(1, 95), st.floats(44, 57), st.floats(0.1, 5))
def test_the_two_directions_agree(pse, volts, ohm):
    watts = poe.pd_watts(pse, volts, ohm)
    assert poe.pse_watts_for_load(watts, volts, ohm) == pytest.approx(pse, rel=1e-9)
    assert poe.pd_volts_for_load(watts, volts, ohm) == pytest.approx(poe.pd_volts(pse, volts, ohm), rel=1e-9)


def test_half_of_the_volts_is_the_last_operating_point():
    """P = V^2 / 4R at the device: 44 V, 20 ohm, 1.1 A."""
    assert poe.pd_volts(48.4, 44, 20) == pytest.approx(22)
    assert poe.pd_watts(48.4, 44, 20) == pytest.approx(24.2)
