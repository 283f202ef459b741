"""Power over the coax of a picture: centre and braid in series, against the closed form.

A load of constant power P holds V on a supply of V0 up to R = (V0 - V) V / P: 3 W at 10.8 V of 12 V 4.32 ohm, 6 W at 18 V of 24 V
18 ohm (circuit theory). With 45 ohm/km of centre and braid together that is 96 m and 400 m at 20 degC.
"""

from __future__ import annotations

from typing import Any

import pytest


def _feed(build: Any, volts: float, watts: float, metres: float, warm: float = 20, **cable: Any) -> Any:
    camera = {"kind": "camera", "source": "invented", "emits": [{"family": "tvi", "mode": "1920x1080@25"}],
              "power": {"volts": f"{volts} V", "watts_day": f"{watts} W", "watts_night": f"{watts} W", "load": "constant-power",
                        "over_coax": True}}  # fmt: skip
    coax = {"kind": "cable", "source": "invented", "carries": ["coax"], "braid_resistance": "12 ohm/km",
            "conductor": {"material": "copper", "resistance": "33 ohm/km"}, **cable}  # fmt: skip
    coax = {name: value for name, value in coax.items() if value is not None}
    psu = {"kind": "supply", "source": "invented", "volts": f"{volts} V", "amps": "2 A", "outputs": 1}
    box = {"kind": "box", "source": "invented", "does": "splitter", "resistance": "0 ohm", "injects_power": True}
    over = [{"box": "x"}, {"cable": "aa/coax", "length": f"{metres} m", "temperature": f"{warm} °C"}]
    site = {"supplies": {"p": {"part": "aa/psu"}}, "boxes": {"x": {"part": "aa/box"}},
            "cameras": {"c": {"part": "aa/cam", "power": {"from": "p/1", "over": over}}}}  # fmt: skip
    return build(site, {"aa/cam": camera, "aa/coax": coax, "aa/psu": psu, "aa/box": box}).sheet("cameras/c", "feed")


@pytest.mark.parametrize(("volts", "watts", "metres", "least"), [(12, 3, 96, 10.8), (24, 6, 400, 18)])
def test_the_reach_of_the_closed_form(build, volts, watts, metres, least):
    feed = _feed(build, volts, watts, metres)
    assert feed.ohms == pytest.approx((volts - least) * least / watts)
    assert feed.volts_night == pytest.approx(least)
    assert feed.injected


def test_each_metal_has_its_own_coefficient(build):
    """At 60 degC: 33 x (1 + 40 x 0.00393) + 12 x (1 + 40 x 0.00403) ohm/km, IEC 60028 and aluminium's (from memory)."""
    feed = _feed(build, 12, 1, 100, 60, braid="aluminium")
    assert feed.ohms == pytest.approx(3.3 * (1 + 40 * 0.00393) + 1.2 * (1 + 40 * 0.00403))


def test_a_braid_of_which_nobody_says_is_open(build):
    feed = _feed(build, 12, 3, 96, braid_resistance=None)
    assert feed.known("ohms") is None
    assert feed.missing("ohms") == ("parts/aa/coax/braid_resistance",)
