"""What warm air leaves of supplies and of the devices in their outputs, against published design figures.

Worked figures: a design guide of power supplies (full to 50 °C, -2.5 % a kelvin to half at 70 °C; a second shape full to
40 °C and half at 60 °C): 10 A give 8.75 A at 55 °C, 7.0 A at 62 °C, and 6.25 A at 55 °C by the second. Polymer devices:
typical curves, from memory (1.1 A hold 0.68 A at 60 °C, 2.5 A hold 1.8 A at 50 °C). Trip at two to three times the
holding current: published pairs 0.10/0.30, 0.20/0.50, 0.35/0.75 A (common practice).
"""

from __future__ import annotations

import math

import pytest

from coaxwright.facts.power.warm_air import opens_at, share_at

GUIDE = ((50.0, 1.0), (70.0, 0.5))


@pytest.mark.parametrize(("air", "amps"), [(-10, 10.0), (50, 10.0), (55, 8.75), (62, 7.0), (70, 5.0)])
def test_the_first_published_shape(air, amps):
    assert 10 * share_at(GUIDE, air) == pytest.approx(amps)


def test_nothing_is_known_beyond_the_last_point():
    assert share_at(GUIDE, 70.1) is None


def _psu(build, **more):
    part = {"kind": "supply", "source": "invented", "volts": "12 V", "amps": "10 A", "outputs": 2, "amps_per_output": "1.1 A",
            "output_protection": more.pop("protection", "resettable")}  # fmt: skip
    place = more.pop("place", {"ambient_max": "55 °C"})
    emits = [{"family": "tvi", "mode": "1920x1080@25"}]
    camera = {"kind": "camera", "source": "invented", "emits": emits,
              "power": {"volts": "12 V", "watts_day": "6 W", "watts_night": "6 W"}}  # fmt: skip
    way = {"from": "psu1/1", "over": [{"cable": "dc-1.5mm2", "length": "5 m"}]}
    site = {"supplies": {"psu1": {"part": "aa/psu", "place": place}}, "cameras": {"c": {"part": "aa/cam", "power": way}}}
    return build(site, {"aa/psu": {**part, **more}, "aa/cam": camera})


def test_the_second_published_shape_stands_for_a_supply_without_a_curve(build):
    supply = _psu(build).sheet("supplies/psu1", "supply")
    assert (supply.air, supply.amps_warm) == (55, pytest.approx(6.25))


def test_a_stated_curve_goes_before(build):
    assert _psu(build, derating=[[50, 1], [70, 0.5]]).sheet("supplies/psu1", "supply").amps_warm == pytest.approx(8.75)


@pytest.mark.parametrize(("air", "amps"), [(60, 0.682), (50, 0.792), (20, 1.1), (90, None)])
def test_a_resettable_element(build, air, amps):
    output = _psu(build, place={"ambient_max": f"{air} °C"}).sheet("supplies/psu1/1", "output")
    assert output.known("amps_warm") == (None if amps is None else pytest.approx(amps))


def test_a_place_that_nobody_wrote_leaves_both_open(build):
    facts = _psu(build, place={})
    supply, output = facts.sheet("supplies/psu1", "supply"), facts.sheet("supplies/psu1/1", "output")
    assert (supply.known("amps_warm"), output.known("amps_warm")) == (None, None)
    assert output.missing("amps_warm") == ("supplies/psu1/place/ambient_max", "supplies/psu1/place/setting")


@pytest.mark.parametrize(("protection", "amps"), [("resettable", 3.3), ("fuse", 1.485), ("electronic", 1.1), ("none", math.inf)])
def test_what_opens_it_for_certain(build, protection, amps):
    (run,) = (each for each in _psu(build, protection=protection).by_kind("run") if each.use == "power")
    assert run.amps_opening == pytest.approx(amps)


def test_published_trip_currents_lie_within_the_factor():
    assert all(trip / hold <= opens_at("resettable") + 1e-9 for hold, trip in ((0.1, 0.3), (0.2, 0.5), (0.35, 0.75)))
