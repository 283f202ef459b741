"""The signal box and the quarry by hand: the figures of their pages, and that the program comes to the same.

Sources: IEC 60228 Table 3, Ohm's law, the quartic of a constant-VA load (circuit theory), IEEE 485 Table 1, Peukert's law,
EN 50174-2 (S times P), EN 50160; a UPS by the table of its part.
"""

from __future__ import annotations

import math
import re

import pytest
from tests.examples.sites import ROOT, facts, page, report

from coaxwright.checking import load_rulebook, load_site
from coaxwright.fixes.advice import advise
from coaxwright.fixes.rejudging import start

BOX = page("signal-box")
QUARRY = page("quarry")


def test_the_battery_of_the_signal_box():
    size = 1.405 - 2.4941 * 0.05 + 4.1916 * 0.05**2 - 2.8117 * 0.05**3
    usable = 17 * 0.8 / size
    hours = 20 * (usable / 20) ** 1.15
    battery = facts("signal-box", "supplies/line/battery")
    assert (battery["usable"], battery["hours"]) == (pytest.approx(usable), pytest.approx(hours))
    assert f"{usable:.3f} Ah" in BOX
    assert f"{hours:.2f} h" in BOX
    for camera, metres in (("up-line", 90), ("down-line", 60)):
        volts = 10.5 - 0.5 * 2 * metres * 7.98e-3
        assert facts("signal-box", f"cameras/{camera}")["volts_battery"] == pytest.approx(volts)
        assert f"**{volts:.2f} V**" in BOX


def test_the_ups_of_the_signal_box():
    hours = 1.2 * (0.4 / 1.2) ** (math.log(42 / 40) / math.log(2))
    assert facts("signal-box", "recorders/frame")["hours"] == pytest.approx(hours)
    assert facts("signal-box", "monitors/desk")["hours"] == pytest.approx(hours)
    assert facts("signal-box", "ups/cupboard")["volt_amps"] == pytest.approx(42 / 0.65)
    assert f"**{hours:.2f} h**" in BOX
    assert f"{42 / 0.65:.1f} VA" in BOX


def test_the_cupboard_of_the_signal_box():
    surface = 1.4 * 0.5 * 0.5 + 1.4 * 0.5 * 0.2 + 1.8 * 0.2 * 0.5
    watts = 18 + 13.5 * (1 / 0.85 - 1) + 42 * (1 / 0.9 - 1)
    air = 38 + watts / (5.5 * surface)
    cupboard = facts("signal-box", "cabinets/cupboard")
    assert (cupboard["surface"], cupboard["watts"], cupboard["air"]) == pytest.approx((surface, watts, air))
    assert facts("signal-box", "supplies/line")["share_warm"] == pytest.approx(1 - 0.5 * (air - 40) / 20)
    assert facts("signal-box", "recorders/frame")["ambient_max"] == pytest.approx(air)
    assert f"{watts:.3f} W" in BOX
    assert f"**{air:.2f} °C**" in BOX
    assert cupboard["vents_wanted"] == pytest.approx(28 * 0.05 * 8 / 1000 * 6 * 17)


def test_the_mast_of_the_quarry():
    ohm, source, watts, apparent = 1.2 + 2 * 230 * 13.3e-3 + 0.05, 24 * 1.15, 12, 20
    middle = source**2 - 2 * watts * ohm
    volts = math.sqrt((middle + math.sqrt(middle**2 - 4 * (ohm * apparent) ** 2)) / 2)
    crest = source - ohm * apparent / volts
    mast = facts("quarry", "cameras/mast")
    assert mast["volts_night"] == pytest.approx(volts)
    assert mast["volts_crest_night"] == pytest.approx(crest)
    assert f"**{volts:.2f} V**" in QUARRY
    assert f"**{crest:.2f} V**" in QUARRY
    assert f"**{source * 1.1:.2f} V**" in QUARRY


def test_the_crusher_fed_over_its_coax():
    """A constant-power load behind an injector, centre and braid (circuit theory); the loss on log-log paper."""
    ohm = 0.5 + 0.185 * (75 + 22)
    volts = (24 + math.sqrt(24**2 - 4 * ohm * 6)) / 2
    crusher = facts("quarry", "cameras/crusher")
    assert (crusher["ohms"], crusher["volts_night"]) == pytest.approx((ohm, volts))
    assert volts < 18
    assert f"**{volts:.2f} V**" in QUARRY
    assert f"**{((24 - 18) * 18 / 6 - 0.5) / 0.097:.0f} m**" in QUARRY
    loss = 3.3 * (37.125 / 10) ** (math.log(7.5 / 3.3) / math.log(5))
    assert crusher["loss"] == pytest.approx(1.85 * loss)
    assert crusher["reach_low"] == pytest.approx(18 / loss * 100)
    assert f"**{18 / loss * 100:.0f} m**" in QUARRY
    other = 0.5 + 0.185 * 31
    assert f"**{(24 + math.sqrt(24**2 - 4 * other * 6)) / 2:.2f} V**" in QUARRY
    assert f"**{185 * (1.1 - 0.7):.0f} EUR**" in QUARRY


def test_one_coax_for_picture_and_power_is_bought_once():
    loaded = load_site(ROOT / "examples" / "quarry" / "hobby-edge.site.yaml")
    (advice,) = advise(start(loaded, rulebook=load_rulebook()), on="cameras/crusher")
    (cost,) = (fix.cost for fix in advice.fixes if "coax-full" in fix.title)
    assert cost == pytest.approx(185 * (1.1 - 0.7))


def test_the_weighbridge():
    assert facts("quarry", "cameras/scale/power/over/0")["separation"] == pytest.approx(0.1 * 0.6)
    assert "**60 mm**" in QUARRY


@pytest.mark.parametrize(("name", "page"), [("signal-box", BOX), ("quarry", QUARRY)])
def test_every_finding_of_power_and_place_is_on_its_page(name, page):
    rules = {each.rule for each in report(name).findings if each.rule.startswith(("power/", "place/"))}
    assert rules == set(re.findall(r"(?:power|place)/[a-z-]+", page))
