"""Seldom ways through power: open beside known, limits without end, batteries and ports that carry nothing."""

from __future__ import annotations

import math
from typing import Any

import pytest

from coaxwright.facts.written import number

PAIR = {
    "kind": "cable", "source": "invented", "carries": ["network"], "pairs": 4,
    "conductor": {"size": "24 AWG", "material": "copper", "stranding": "solid", "resistance": "93.8 ohm/km"},
}  # fmt: skip
SWITCH = {"kind": "switch", "source": "invented", "ports": 8, "poe_ports": 4, "poe_watts": "60 W", "poe_class_port": 8}


def sheet(facts: Any, subject: str, kind: str = "") -> Any:
    made = facts.sheet(subject, kind)
    assert made is not None
    return made


def test_numbers_that_never_end() -> None:
    assert number(math.inf) == "unlimited"


def test_two_pieces_that_both_lack_the_same(build, kit):
    """Two runs without a length on one way: both are asked for, each once."""
    over = [{"cable": "hollin/strand-1"}, {"cable": "hollin/strand-1"}]
    facts = build({"cameras": {"a": {"part": "fennick/six", "power": {"from": "psu1/1", "over": over}}}})
    feed = kit.feed(facts, "a")
    paths = tuple(f"cameras/a/power/over/{number}/length" for number in (0, 1))
    assert feed.missing("volts_night")[:2] == feed.missing("metres") == paths


def test_a_known_piece_after_an_open_one(build, kit):
    over = [{"cable": "hollin/strand-1"}, kit.run("hollin/strand-1", 10)]
    facts = build({"cameras": {"a": {"part": "fennick/six", "power": {"from": "psu1/1", "over": over}}}})
    feed = kit.feed(facts, "a")
    assert feed.missing("metres") == ("cameras/a/power/over/0/length",)
    assert [each.known("metres") for each in facts.by_kind("run")] == [None, 10.0]


# No limit


def _idle(kit: Any) -> dict[str, Any]:
    return {"fennick/idle": kit.camera_part(0.0)}


def test_a_load_of_nothing_has_no_limit(build, kit):
    facts = build({"cameras": {"a": kit.fed("fennick/idle", "psu1/1")}}, _idle(kit))
    feed, supply = kit.feed(facts, "a"), sheet(facts, "supplies/psu1", "supply")
    assert feed.margin_night == math.inf
    words = ("no resistance and no load that could bring the voltage down: no limit",)
    assert facts.working(feed, "margin_night") == words
    assert facts.working(supply, "margin_night") == ("nothing on it could bring the voltage down: no limit",)


def test_a_camera_without_a_lamp_draws_by_night_what_it_draws_by_day(build, kit):
    part = {**kit.camera_part(6.0), "night": {"lamp": "none"}}
    del part["power"]["watts_night"]
    facts = build({"cameras": {"a": kit.fed("fennick/dark", "psu1/1", kit.run("hollin/strand-1", 10))}}, {"fennick/dark": part})
    camera = sheet(facts, "cameras/a", "camera")
    assert camera.watts_night == camera.watts_day == 6.0
    (row,) = [used.assumption for used in facts.assumed if used.assumption.name == "lampless-night"]
    assert facts.working(camera, "watts_night")[:2] == ("6 W (day) = 6 W", row.about)
    assert row.about not in facts.working(camera, "watts_day")


# Junctions


def test_what_hangs_on_a_junction_without_a_source(build, kit):
    """Ways and ohms below it are known, volts are not; a box and a recorder have no sheet of a feed."""
    joint = {"kind": "box", "source": "s", "does": "amplifier", "power": {"volts": "12 V", "watts_day": "1 W"}}
    site = {
        "junctions": {"j": {}},
        "boxes": {"b": {"part": "hollin/box", "power": {"from": "j", "over": [kit.run("hollin/strand-1", 5)]}}},
        "cameras": {"a": kit.fed("fennick/six", "j", kit.run("hollin/strand-1", 10))},
    }
    facts = build(site, {"hollin/box": joint})
    feed = kit.feed(facts, "a")
    assert feed.missing("volts_night") == ("junctions/j/power",)
    assert feed.metres == 10.0
    # 18.1 ohm/km, there and back (IEC 60228:2023 table 2, 1 mm2): 0.362 ohm
    assert feed.ohms == pytest.approx(0.362)
    assert facts.working(feed, "ohms")[0].endswith("= 0.362 ohm")
    assert {each.subject for each in facts.by_kind("run")} == {"cameras/a/power/over/0", "boxes/b/power/over/0"}
    (taken,) = (run for run in facts.by_kind("run") if run.owner == "cameras/a")
    assert taken.missing("amps_night") == ("junctions/j/power",)


def test_current_of_devices_that_are_no_cameras_is_told_apart(build, kit):
    joint = {"kind": "box", "source": "s", "does": "amplifier", "power": {"volts": "12 V", "watts_day": "1.2 W"}}
    site = {
        "junctions": {"j": {"power": {"from": "psu1/1", "over": [kit.run("hollin/strand-1.5", 10)]}}},
        "boxes": {"b": {"part": "hollin/box", "power": {"from": "j", "over": [kit.run("hollin/strand-1", 5)]}}},
        "cameras": {"a": kit.fed("fennick/six", "j", kit.run("hollin/strand-1", 10))},
    }
    facts = build(site, {"hollin/box": joint})
    junction = sheet(facts, "junctions/j")
    words = facts.working(kit.feed(facts, "a"), "volts_night")
    (box,) = facts.by_kind("device_feed")
    camera, total = kit.feed(facts, "a").amps_night, number(junction.amps_night)
    assert f"{number(camera)} A (cameras/a) + {number(box.amps_night)} A (boxes/b) = {total} A through junctions/j" in words
    own = facts.working(box, "volts_night")
    assert any(line.endswith(f" A = {number(box.volts_night)} V at boxes/b") for line in own)
    assert f"1.2 W / {number(box.volts_night)} V = {number(box.amps_night)} A drawn by boxes/b by night (constant power)" in own
    assert junction.amps_night == pytest.approx(7.2 / 11.8, rel=0.01)


# Protection and starts


def test_starting_currents_behind_a_supply_of_unknown_strength(build, kit):
    """A stated regulation without rated amps leaves the resistance of the supply, and so the start, open."""
    supply = {"kind": "supply", "source": "s", "volts": "12 V", "outputs": 2, "regulation": "10 %"}
    parts = {"tarnwell/soft": supply, "fennick/rush": kit.camera_part(6.0, inrush="2 A")}
    site = {
        "supplies": {"psu1": {"part": "tarnwell/soft"}},
        "cameras": {"a": kit.fed("fennick/rush", "psu1/1", kit.run("hollin/strand-1", 10))},
    }
    one = sheet(build(site, parts), "supplies/psu1", "supply")
    assert one.inrush_stated == 1
    assert one.missing("amps_start") == ("parts/tarnwell/soft/amps",)


def test_runs_behind_an_output_without_a_device_are_told_so(build, kit):
    supply = {"kind": "supply", "source": "s", "volts": "12 V", "amps": "5 A", "outputs": 2, "output_protection": "none",
              "amps_per_output": "2 A"}  # fmt: skip
    site = {
        "supplies": {"psu1": {"part": "tarnwell/open"}},
        "cameras": {"a": kit.fed("fennick/six", "psu1/1", kit.run("hollin/rated", 10))},
    }
    rated = kit.cable_part("1 mm2", "stranded")
    rated["conductor"]["amps"] = "3 A"
    facts = build(site, {"tarnwell/open": supply, "hollin/rated": rated})
    (run,) = facts.by_kind("run")
    assert run.amps_protective == math.inf
    assert facts.working(run, "amps_protective") == (f"nothing between the source and {run.subject} limits the current",)


def test_an_empty_battery_that_cannot_carry_the_cables(build, kit):
    """12 V carries 12 W over 2.896 ohm (limit 144 / 4 / 2.896 = 12.43 W), 10.8 V does not (10.07 W)."""
    site = {
        "supplies": {"psu1": {"part": "tarnwell/dc12", "battery": "20 Ah", "place": {"ambient_min": "20 °C"}}},
        "cameras": {"a": kit.fed("fennick/twelve", "psu1/1", kit.run("hollin/strand-1", 80))},
    }
    facts = build(site, {"fennick/twelve": kit.camera_part(12.0)})
    feed = kit.feed(facts, "a")
    assert feed.ohms == pytest.approx(2.896)
    assert feed.volts_night > 0.0
    assert feed.volts_battery == 0.0
    (line,) = facts.working(feed, "volts_battery")
    assert line == "from 10.8 V no working voltage exists for all that shares these cables"


@pytest.mark.parametrize(
    ("volts", "line"),
    [("12 V", "5 A at 12 V"), ("24 V", "100 VA / 24 V = 4.1667 A"), ("72 V", "0.005 A at 72 V"), ("260 V", "0 A at 260 V")],
)
def test_limits_of_class_2_in_words(build, kit, volts, line):
    """NEC 2023 chapter 9 Table 11(B), from memory: 5 A to 20 V, 100 VA to 60 V, 5 mA to 250 V, nothing above."""
    supply = {"kind": "supply", "source": "s", "volts": volts, "amps": "4 A", "outputs": 1, "class2": True}
    facts = build({"wiring_code": "nec-2023", "supplies": {"psu1": {"part": "tarnwell/p"}}}, {"tarnwell/p": supply})
    (words,) = facts.working(sheet(facts, "supplies/psu1", "supply"), "class2_amps")
    assert words.startswith(f"{line}: ")
    assert "Table 11(B)" in words


# Power over Ethernet


def test_a_port_whose_cable_carries_nothing(build, kit):
    """3000 m of 93.8 ohm/km on two pairs are 281.4 ohm: 25.5 W ask for 4 x 25.5 x 281.4 = 28703 V2, 50 V give 2500."""
    strong = kit.camera_part(25.5, kind="poe", volts="48 V", poe_class=4)
    parts = {"hollin/pair": PAIR, "hollin/sw": SWITCH, "fennick/poe": strong}
    site = {
        "switches": {"sw1": {"part": "hollin/sw"}},
        "cameras": {"c": kit.fed("fennick/poe", "sw1/1", kit.run("hollin/pair", 3000))},
    }
    facts = build(site, parts)
    (port,) = facts.by_kind("poe_port")
    assert port.volts_night == 0.0
    line, why, *_ = facts.working(port, "volts_night")
    assert line == "volts night = 0 V"
    assert why == f"because watts night x ohms > (volts / 2)^2: 25.5 W x {number(port.ohms)} ohm > (52 V / 2)^2"
    given, *_ = facts.working(port, "watts_given")
    assert given.endswith(f" = {number(port.watts_given)} W")


def test_a_way_to_a_port_that_nobody_drew(build, kit):
    parts = {"hollin/pair": PAIR, "hollin/sw": SWITCH, "fennick/poe": kit.camera_part(6.0, kind="poe", volts="48 V", poe_class=2)}
    site = {"switches": {"sw1": {"part": "hollin/sw"}}, "cameras": {"c": {"part": "fennick/poe", "power": {"from": "sw1/1"}}}}
    (port,) = build(site, parts).by_kind("poe_port")
    assert port.missing("ohms") == ("cameras/c/power/over",)


def test_a_box_on_a_port_beside_a_camera(build, kit):
    """Only the camera's run carries a known current: what an amplifier takes from a network port is nothing known."""
    box = {"kind": "box", "source": "s", "does": "amplifier", "power": {"volts": "12 V", "watts_day": "1 W"}}
    parts = {"hollin/pair": PAIR, "hollin/sw": SWITCH, "hollin/box": box,
             "fennick/poe": kit.camera_part(6.0, kind="poe", volts="48 V", poe_class=2)}  # fmt: skip
    site = {
        "switches": {"sw1": {"part": "hollin/sw"}},
        "boxes": {"b": {"part": "hollin/box", "power": {"from": "sw1/2", "over": [kit.run("hollin/pair", 10)]}}},
        "cameras": {"c": kit.fed("fennick/poe", "sw1/1", kit.run("hollin/pair", 50))},
    }
    facts = build(site, parts)
    assert {port.subject: port.known("device") for port in facts.by_kind("poe_port")} == {
        "switches/sw1/1": "cameras/c", "switches/sw1/2": "boxes/b"}  # fmt: skip
    assert [run.owner for run in facts.by_kind("run") if run.known("amps_night") is not None] == ["cameras/c"]


@pytest.mark.parametrize("network", [None, {"poe_ports": 2, "poe_watts": "30 W", "poe_class_port": 4}])
def test_ports_of_a_recorder_that_states_no_network(build, kit, network):
    recorder = {"kind": "recorder", "source": "s",
                "inputs": [{"channels": "1-2", "accepts": [{"family": "tvi", "mode": "1920x1080@25"}]}]}  # fmt: skip
    if network:
        recorder["network"] = network
    parts = {"hollin/pair": PAIR, "tarnwell/rec": recorder,
             "fennick/poe": kit.camera_part(6.0, kind="poe", volts="48 V", poe_class=2)}  # fmt: skip
    camera = kit.fed("fennick/poe", "r/poe1", kit.run("hollin/pair", 50))
    site = {"recorders": {"r": {"part": "tarnwell/rec"}}, "cameras": {"c": camera}}
    facts = build(site, parts)
    (source,) = facts.by_kind("poe_source")
    known = [source.known(name) is not None for name in ("watts_max", "ports")]
    assert known.count(True) == (len(known) if network else 0), known


def test_a_converter_on_the_way_is_no_run_in_the_sum(build, kit):
    """50 m of 93.8 ohm/km there and back over two pairs of conductors each: 50 x 0.0938 = 4.69 ohm."""
    box = {"kind": "box", "source": "s", "does": "converter",
           "power": {"kind": "poe", "poe_class": 3, "watts_day": "1 W", "watts_night": "1 W"}}  # fmt: skip
    site = {
        "switches": {"sw1": {"part": "hollin/sw"}},
        "boxes": {"conv": {"part": "hollin/conv"}},
        "cameras": {"c": kit.fed("fennick/six", "sw1/1", kit.run("hollin/pair", 50), {"box": "conv"})},
    }
    facts = build(site, {"hollin/pair": PAIR, "hollin/sw": SWITCH, "hollin/conv": box})
    (port,) = facts.by_kind("poe_port")
    assert port.ohms == pytest.approx(4.69)
    assert facts.working(port, "ohms")[0].endswith(" = 4.69 ohm over 2 pairs")
    assert "conv" not in facts.working(port, "ohms")[0]


@pytest.mark.parametrize(("metres", "collapsed"), [(10, False), (200, True)])
def test_whether_a_working_voltage_exists_in_words(build, kit, metres, collapsed):
    """12 W over 200 m of 18.1 ohm/km, there and back: 7.24 ohm carry no more than 144 / 4 / 7.24 = 4.97 W."""
    cameras = {"a": kit.fed("fennick/twelve", "psu1/1", kit.run("hollin/strand-1", metres))}
    facts = build({"cameras": cameras}, {"fennick/twelve": kit.camera_part(12.0)})
    feed = kit.feed(facts, "a")
    assert feed.collapsed is collapsed
    said = facts.working(feed, "collapsed")
    assert (said == ("a working voltage exists by day and by night for all that shares these cables",)) is not collapsed


@pytest.mark.parametrize(("load", "told"), [("resistive", False), ("constant-power", True)])
def test_power_factors_are_of_loads_that_have_one(build, kit, load, told):
    """A resistance has the power factor 1: circuit theory."""
    part = kit.camera_part(6.0, load, kind="ac", volts="24 V")
    site = {"supplies": {"psu1": {"part": "tarnwell/ac24"}},
            "cameras": {"a": kit.fed("fennick/heat", "psu1/1", kit.run("hollin/strand-1", 10))}}  # fmt: skip
    facts = build(site, {"fennick/heat": part})
    assert any("power factor" in line for line in facts.working(kit.feed(facts, "a"), "volts_night")) is told
