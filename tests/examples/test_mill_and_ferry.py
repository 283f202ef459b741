"""The paper mill and the ferry terminal by hand: the figures of their pages, and that the program comes to the same.

Sources: TIA-568-C.2 and ARRL Handbook losses (tables of the parts), IEC 60028, Ohm's law, ISO/IEC 11801, IEEE 802.3.
"""

from __future__ import annotations

import math

import pytest
from tests.examples.sites import facts, page, report

MILL = page("paper-mill")
FERRY = page("ferry-terminal")


def between(low, high, mhz):
    """A straight line on log-log paper."""
    (a, x), (b, y) = low, high
    return x * (y / x) ** (math.log(mhz / a) / math.log(b / a))


PAIR = between((31.25, 11.7), (62.5, 17.0), 37.125) * 1.08 / 100
HOUSE = between((8, 8.5), (10, 9.7), 9.0) * 1.08 / 100
COAX = between((10, 3.61), (100, 11.15), 37.125) * 1.0392 / 100
WAYS = {
    "vat": 45 * PAIR + 1.0,
    "gate": 120 * PAIR + 1.0,
    "drum": 85 * HOUSE + 1.0,
    "weir": 260 * PAIR - 30.0,
    "loft": 40 * COAX + 0.5 + 35 * PAIR,
}


@pytest.mark.parametrize("camera", WAYS)
def test_losses_of_the_mill(camera):
    assert facts("paper-mill", f"cameras/{camera}")["loss"] == pytest.approx(WAYS[camera], abs=1e-6)
    assert f"| {WAYS[camera]:.2f} |" in MILL
    for each in (PAIR, HOUSE, COAX):
        assert f"{each * 100:.5g}" in MILL


@pytest.mark.parametrize(("camera", "metres"), [("vat", 45), ("gate", 120)])
def test_volts_over_three_pairs(camera, metres):
    ohms = 2 * metres * 0.0938 * 1.0786 / 3
    volts = 6.6 + math.sqrt(6.6**2 - 4.5 * ohms)
    assert facts("paper-mill", f"cameras/{camera}")["volts_night"] == pytest.approx(volts, abs=1e-6)
    assert f"{ohms:.4f} ohm" in MILL
    assert f"= {volts:.3f} V" in MILL


def test_days_of_the_mill():
    rate = 5 * 1920 * 1080 * 15 * 0.042 + 960 * 576 * 15 * 0.042
    days = 6e12 * 0.93 * 8 / (rate * 86400)
    assert facts("paper-mill", "cameras/vat")["days_kept"] == pytest.approx(days, rel=1e-9)
    assert f"**{days:.1f} days**" in MILL


def test_the_ferry_terminal_adds_up():
    recorder = facts("ferry-terminal", "recorders/rack")
    coax = 11 * (1920 * 1080 * 25 * 0.042 + 5e5) + 9 * (2592 * 1944 * 12 * 0.042 + 5e5)
    assert recorder["bitrate"] == pytest.approx(coax + 10 * 5.5e6)
    assert recorder["incoming"] == pytest.approx(55e6)
    assert recorder["outgoing"] == pytest.approx(4 * 9 * 0.5e6)
    assert recorder["decode_needed"] == pytest.approx(18 * 2560 * 1440 * 20)
    days = 3 * 8e12 * 0.93 * 8 / (recorder["bitrate"] * 86400)
    assert facts("ferry-terminal", "cameras/office")["days_kept"] == pytest.approx(days)
    total = recorder["bitrate"] / 1e6
    for text in (f"**{days:.1f} days**", "**55 Mb/s**", "**18 Mb/s**", "**1327.1 Mpx/s**", f"**{total:.2f}**"):
        assert text in FERRY


def test_the_ferry_terminal_network_and_line():
    switches = {name: facts("ferry-terminal", f"switches/{name}")["load"] for name in ("office-sw", "gate-sw")}
    assert switches == {"office-sw": 55e6, "gate-sw": 22e6}
    bus = facts("ferry-terminal", "recorders/rack/rs485")
    assert (bus["metres"], bus["unit_loads"], bus["addresses_shared"]) == (130.0, 4.0, 1)
    height = 27 * 0.0254 * 1080 / math.hypot(1920, 1080)
    sharp = height / (1080 * math.tan(math.radians(1 / 60)))
    assert facts("ferry-terminal", "monitors/desk-left")["distance_sharp"] == pytest.approx(sharp)
    assert f"{sharp:.4f} m" in FERRY


@pytest.mark.parametrize(
    ("name", "page"), [("paper-mill", MILL), ("ferry-terminal", FERRY)]
)
def test_every_error_stands_on_its_page(name, page):
    errors = {each.rule for each in report(name).findings if each.level == "error" and each.kind in ("fail", "open")}
    assert errors
    assert [rule for rule in sorted(errors) if f"`{rule}`" not in page] == []
