"""Power over Ethernet bound from site files: classes, cables, budgets, and what stays open."""

from __future__ import annotations

from typing import Any

import pytest

# IEEE 802.3-2022 clauses 33 and 145: class, W set aside, W that the device may draw, ohm of its channel, pairs,
# least V at a device of that class (802.3bt prints 44.3 and 42.9 for classes 5 and 7).
CLASSES = [
    (0, 15.4, 12.95, 20, 2, 37.0),
    (1, 4, 3.84, 20, 2, 42.1),
    (2, 7, 6.49, 20, 2, 40.8),
    (3, 15.4, 12.95, 20, 2, 37.0),
    (4, 30, 25.5, 12.5, 2, 42.5),
    (5, 45, 40, 6.25, 4, 44.3),
    (6, 60, 51, 6.25, 4, 42.5),
    (7, 75, 62, 6.25, 4, 42.9),
    (8, 90, 71.3, 6.25, 4, 41.1),
]


def _switch(**stated: Any) -> dict[str, Any]:
    return {"kind": "switch", "source": "invented", "ports": 8, "poe_ports": 4, **stated}


def _cable(ohm_per_km: float, pairs: int | None = 4) -> dict[str, Any]:
    conductor = {"size": "24 AWG", "material": "copper", "stranding": "solid", "resistance": f"{ohm_per_km} ohm/km"}
    counted = {} if pairs is None else {"pairs": pairs}
    return {"kind": "cable", "source": "invented", "carries": ["network"], "conductor": conductor, **counted}


def _poe_camera(kit: Any, watts: float, number: int | None) -> dict[str, Any]:
    return kit.camera_part(watts, kind="poe", volts="48 V", **({} if number is None else {"poe_class": number}))


def _port(build: Any, kit: Any, parts: dict[str, Any], source: str = "sw1/1", metres: float = 100.0) -> Any:
    site = {
        "switches": {"sw1": {"part": "hollin/sw"}},
        "cameras": {"c": kit.fed("fennick/poe", source, kit.run("hollin/pair", metres))},
    }
    defaults = {"hollin/sw": _switch(poe_watts="60 W", poe_class_port=8), "hollin/pair": _cable(93.8)}
    facts = build(site, {**defaults, **parts})
    (port,) = facts.by_kind("poe_port")
    return port


@pytest.mark.parametrize(("number", "set_aside", "drawn", "ohm", "pairs", "least"), CLASSES)
def test_every_class_at_its_published_channel(build, kit, number, set_aside, drawn, ohm, pairs, least):
    """At the class's own source and its channel's resistance, the published power arrives at the published volts."""
    per_km = 10.0 * ohm * pairs / 2.0  # 100 m: ohm = 2 x 0.1 km x per_km / pairs
    parts = {
        "fennick/poe": _poe_camera(kit, drawn, number),
        "hollin/pair": _cable(per_km),
        "hollin/sw": _switch(poe_watts="400 W", poe_class_port=number),
    }
    port = _port(build, kit, parts)
    assert (port.device_class, port.watts_allotted, port.watts_class) == (number, set_aside, drawn)
    assert (port.ohms_max, port.pairs_needed, port.volts_min) == (ohm, pairs, least)
    assert port.ohms == pytest.approx(ohm)
    if number in (0, 3, 4, 6, 7, 8):
        # Published figures are rounded to 0.1 W or so, and near the limit a little power is many volts.
        assert port.watts_given == pytest.approx(set_aside, rel=2e-3)
        assert port.volts_night == pytest.approx(least, abs=2.0)
    assert port.watts_given >= port.watts_night
    assert port.volts_night > 0.5 * port.volts


def test_structured_cable_by_hand(build, kit):
    """100 m of 93.8 ohm/km at 20 degC: 9.38 ohm over two pairs. 25.5 W at 52 V least:
    U = 26 + sqrt(676 - 239.19) = 46.9 V; 52 x 25.5 / 46.9 = 28.273 W given."""
    port = _port(build, kit, {"fennick/poe": _poe_camera(kit, 25.5, 4)})
    assert port.ohms == pytest.approx(9.38)
    assert port.volts_night == pytest.approx(46.9, rel=1e-9)
    assert port.watts_given == pytest.approx(28.273, abs=0.0005)
    assert (port.pairs, port.metres, port.exists, port.takes_poe) == (4, 100.0, True, True)
    assert (port.port_class, port.watts_port, port.volts) == (8, 90.0, 52.0)


def test_four_pairs_halve_it(build, kit):
    assert _port(build, kit, {"fennick/poe": _poe_camera(kit, 40, 5)}).ohms == pytest.approx(4.69)


def test_totals_of_a_switch(build, kit):
    site = {
        "switches": {"sw1": {"part": "hollin/sw"}},
        "cameras": {
            "a": kit.fed("fennick/poe", "sw1/1", kit.run("hollin/pair", 50)),
            "b": kit.fed("fennick/poe", "sw1/5", kit.run("hollin/pair", 50)),
            "twin": kit.fed("fennick/poe", "sw1/1", kit.run("hollin/pair", 5)),
        },
    }
    parts = {
        "hollin/sw": _switch(poe_watts="20 W", poe_class_port=3),
        "hollin/pair": _cable(93.8),
        "fennick/poe": _poe_camera(kit, 6.0, 2),
    }
    facts = build(site, parts)
    (source,) = facts.by_kind("poe_source")
    first, fifth = source.members
    assert (source.subject, source.ports, source.ports_used, source.watts_max) == ("switches/sw1", 4, 2, 20.0)
    assert source.watts_allotted == 14.0
    assert source.watts_night == pytest.approx(first.watts_given + fifth.watts_given)
    assert (first.devices, fifth.devices, first.exists, fifth.exists) == (2, 1, True, False)
    assert first.subject == "switches/sw1/1"
    assert facts.by_kind("feed") == []
    assert {run.owner for run in facts.by_kind("run")} == {"cameras/a", "cameras/b", "cameras/twin"}


def test_ports_of_a_recorder(build, kit):
    recorder = {
        "kind": "recorder", "source": "invented", "inputs": [{"channels": 1, "accepts": [
            {"family": "tvi", "mode": "1920x1080@25"}]}],
        "network": {"poe_ports": 4, "poe_watts": "50 W", "poe_class_port": 4},
    }  # fmt: skip
    site = {
        "recorders": {"rec1": {"part": "tarnwell/rec"}},
        "cameras": {"c": kit.fed("fennick/poe", "rec1/poe3", kit.run("hollin/pair", 20))},
    }
    parts = {"tarnwell/rec": recorder, "hollin/pair": _cable(93.8), "fennick/poe": _poe_camera(kit, 6.0, 2)}
    (source,) = build(site, parts).by_kind("poe_source")
    assert (source.subject, source.watts_max, source.members[0].subject) == ("recorders/rec1", 50.0, "recorders/rec1/3")
    assert source.members[0].volts == 50.0


def test_a_converter_takes_it_for_a_camera_that_does_not(build, kit):
    """6 W of the camera and 1 W of the converter itself."""
    box = {"kind": "box", "source": "invented", "does": "converter",
           "power": {"kind": "poe", "poe_class": 3, "watts_day": "1 W", "watts_night": "1 W"}}  # fmt: skip
    site = {
        "switches": {"sw1": {"part": "hollin/sw"}},
        "boxes": {"conv": {"part": "hollin/conv"}},
        "cameras": {"c": kit.fed("fennick/six", "sw1/1", kit.run("hollin/pair", 50), {"box": "conv"})},
    }
    parts = {"hollin/sw": _switch(poe_class_port=4), "hollin/pair": _cable(93.8), "hollin/conv": box}
    (port,) = build(site, parts).by_kind("poe_port")
    assert (port.takes_poe, port.device_class, port.watts_night) == (True, 3, 7.0)
    assert port.ohms == pytest.approx(4.69)
    assert port.source.missing("watts_max") == ("parts/hollin/sw/poe_watts",)


def test_without_a_converter_it_is_said(build, kit):
    port = _port(build, kit, {"fennick/poe": kit.camera_part(6.0)})
    assert port.takes_poe is False
    assert port.missing("device_class") == ("parts/fennick/poe/power/poe_class",)


def test_what_is_unknown_is_named(build, kit):
    port = _port(build, kit, {"fennick/poe": _poe_camera(kit, 6.0, None), "hollin/pair": _cable(93.8, None)})
    lacking = ("parts/fennick/poe/power/poe_class",)
    for field in ("device_class", "watts_allotted", "watts_class", "ohms", "ohms_max", "pairs_needed", "volts_min"):
        assert port.known(field) is None
        assert port.missing(field) == lacking
    assert port.missing("pairs") == ("parts/hollin/pair/pairs",)
    assert port.source.missing("watts_night") == lacking
    assert port.metres == 100.0


def test_a_load_past_the_limit_collapses(build, kit):
    """12 ohm over 52 V: 52^2 / 4 / 12 = 56.3 W is the most (maximum power transfer)."""
    parts = {"hollin/pair": _cable(60.0), "fennick/poe": _poe_camera(kit, 57.0, 4)}
    port = _port(build, kit, parts, metres=200.0)
    assert port.ohms == pytest.approx(12.0)
    assert port.volts_night == 0.0
    assert _port(build, kit, {**parts, "fennick/poe": _poe_camera(kit, 56.0, 4)}, metres=200.0).volts_night > 26.0


def test_a_junction_on_a_port_powers_nothing(build, kit):
    site = {
        "switches": {"sw1": {"part": "hollin/sw"}},
        "junctions": {"j": {"power": {"from": "sw1/1", "over": [kit.run("hollin/pair", 10)]}}},
        "cameras": {"c": kit.fed("fennick/poe", "j", kit.run("hollin/pair", 50))},
    }
    parts = {"hollin/sw": _switch(), "hollin/pair": _cable(93.8), "fennick/poe": _poe_camera(kit, 6.0, 2)}
    facts = build(site, parts)
    (port,) = facts.by_kind("poe_port")
    assert (port.takes_poe, port.device) == (False, "junctions/j")
    camera = facts.sheet("cameras/c", "camera")
    assert camera.known("feed") is None
    assert camera.watts_night == 6.0
