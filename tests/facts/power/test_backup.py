"""Batteries, cold starts and protective devices bound from site files; their workings compute again."""

from __future__ import annotations

import itertools
import math
import re
from typing import Any

import pytest

from coaxwright.facts.power.backup_working import BACKUP_WORKINGS

WIRE = {
    "kind": "cable", "source": "invented", "carries": ["power"],
    "conductor": {"size": "2 mm2", "material": "copper", "stranding": "solid", "resistance": "10 ohm/km", "amps": "3 A"},
}  # fmt: skip
SUPPLY = {
    "kind": "supply", "source": "invented", "volts": "12 V", "amps": "10 A", "outputs": 4, "amps_per_output": "4 A",
    "output_protection": "fuse", "inrush_amps": "12 A", "charge_amps": "1 A", "class2": True,
}  # fmt: skip


def _site(kit: Any, **psu: Any) -> dict[str, Any]:
    """A trunk of 1 ohm with two cameras of 0.5 A behind 0.5 ohm each."""
    run = kit.run
    return {
        "wiring_code": "nec-2020",
        "supplies": {"psu1": {"part": "tarnwell/psu", "battery": "25 Ah", "autonomy": "8 h",
                              "place": {"ambient_min": "15 °C"}, **psu}},
        "junctions": {"j": {"power": {"from": "psu1/1", "over": [run("hollin/wire", 50)]}, "protective_device": "2 A"}},
        "cameras": {"a": kit.fed("fennick/cc", "j", run("hollin/wire", 25)),
                    "b": kit.fed("fennick/cc", "j", run("hollin/wire", 25))},
    }  # fmt: skip


def _parts(kit: Any, **supply: Any) -> dict[str, Any]:
    stated = {name: value for name, value in {**SUPPLY, **supply}.items() if value is not None}
    return {"tarnwell/psu": stated, "hollin/wire": WIRE, "fennick/cc": kit.camera_part(6.0, "constant-current", inrush="1.5 A")}


def test_a_battery_whose_capacity_nobody_states(build, kit):
    facts = build(_site(kit, battery=None), _parts(kit, battery_backed=True))
    (battery,) = facts.by_kind("battery")
    for field in ("capacity", "usable"):
        assert battery.known(field) is None
        assert battery.missing(field) == ("supplies/psu1/battery",)


def test_a_battery_by_hand(build, kit):
    """25 Ah x 0.8 (IEEE 450, from memory) / 1.1157 (IEEE 485 at 15 °C) = 17.926 Ah; 20 h (17.926 / 20)^1.15 = 17.634 h
    (Peukert).
    """
    facts = build(_site(kit), _parts(kit))
    (battery,) = facts.by_kind("battery")
    assert (battery.subject, battery.capacity, battery.rated_hours, battery.wanted) == ("supplies/psu1/battery", 25.0, 20.0, 8.0)
    assert battery.usable == pytest.approx(17.926, abs=5e-4)
    assert battery.amps == pytest.approx(1.0)
    assert battery.hours == pytest.approx(17.634, abs=5e-4)
    assert battery.hours_most == pytest.approx(17.926, abs=5e-4)
    assert battery.recharge_hours == pytest.approx(17.926 * 0.8 / 0.85, abs=1e-3)
    assert battery.volts_end == pytest.approx(10.8)
    # 10.8 V - 1 A x 1 ohm - 0.5 A x 0.5 ohm
    assert kit.feed(facts, "a").volts_battery == pytest.approx(9.55)
    names = {used.assumption.name for used in facts.assumed}
    assert {"peukert-exponent", "battery-remaining", "battery-cold-loss", "battery-end", "battery-rated-hours"} <= names


def test_without_a_battery_nothing_is_assumed_of_one(build, kit):
    facts = build(_site(kit, battery=None), _parts(kit))
    assert facts.by_kind("battery") == []
    assert not [used for used in facts.assumed if used.assumption.name.startswith(("battery", "peukert"))]
    assert kit.feed(facts, "a").source.has_battery is False


def test_a_setting_stands_for_the_cold(build, kit):
    """IEC 62676-1-1 class I (its range from memory): 5 °C, so 25 Ah x 0.8 / 1.2904 (IEEE 485) = 15.50 Ah."""
    (battery,) = build(_site(kit, place={"setting": "indoor"}), _parts(kit)).by_kind("battery")
    assert (battery.temperature, battery.usable) == (5.0, pytest.approx(15.50, abs=0.005))


def test_never_more_than_it_holds(build, kit):
    """24 Ah aged to 19.2 Ah: 12 V x 0.28888 A lasts 66.46 h, not the 79.6 h of Peukert's law carried on (IEEE 485)."""
    parts = _parts(kit) | {"fennick/cc": kit.camera_part(0.28888 * 6, "constant-current")}
    (battery,) = build(_site(kit, battery="24 Ah", autonomy="72 h", place={"ambient_min": "25 °C"}), parts).by_kind("battery")
    assert battery.amps == pytest.approx(0.28888)
    assert battery.hours == battery.hours_most == pytest.approx(66.46, abs=0.005)


def test_frozen_it_gives_nothing(build, kit):
    (battery,) = build(_site(kit, place={"ambient_min": "-80 °C"}), _parts(kit)).by_kind("battery")
    assert (battery.usable, battery.hours) == (0.0, 0.0)


def test_no_place_leaves_it_open(build, kit):
    (battery,) = build(_site(kit, place=None), _parts(kit)).by_kind("battery")
    assert battery.missing("usable") == battery.missing("hours") == ("supplies/psu1/place/ambient_min",)
    assert battery.missing("recharge_hours") == ("supplies/psu1/place/ambient_min",)


def test_loads_that_leave_nothing_never_fill_it(build, kit):
    (battery,) = build(_site(kit), _parts(kit, amps="1 A")).by_kind("battery")
    assert battery.charge_amps == 0.0
    assert battery.recharge_hours == math.inf


def test_constant_power_draws_more_from_a_low_battery(build, kit):
    """6 W behind 0.5 ohm: at 10.8 V U = 5.4 + sqrt(29.16 - 3) = 10.515 V; at 12 V it draws 6 / 11.745 = 0.511 A."""
    site = _site(kit)
    site["junctions"] = {}
    site["cameras"] = {"a": kit.fed("fennick/six", "psu1/1", kit.run("hollin/wire", 25))}
    facts = build(site, _parts(kit))
    (battery,) = facts.by_kind("battery")
    assert kit.feed(facts, "a").volts_battery == pytest.approx(5.4 + math.sqrt(26.16))
    assert battery.amps == pytest.approx(6.0 / (6.0 + math.sqrt(33.0)))


def test_alternating_current_has_no_battery_here(build, kit):
    (battery,) = build(_site(kit), _parts(kit, gives="ac", volts="24 V")).by_kind("battery")
    assert "not computed" in battery.missing("amps")[0]
    assert battery.known("hours") is None


def test_cold_start(build, kit):
    facts = build(_site(kit), _parts(kit))
    supply, (output,) = facts.sheet("supplies/psu1"), facts.by_kind("output")
    assert (supply.inrush_stated, supply.amps_start, supply.amps_start_max) == (2, 3.0, 12.0)
    assert (output.inrush_stated, output.amps_start, output.protection) == (2, 3.0, "fuse")


def test_a_start_that_nobody_stated_costs_nothing_and_says_nothing(build, kit):
    parts = {**_parts(kit), "fennick/cc": kit.camera_part(6.0, "constant-current")}
    supply = build(_site(kit), parts).sheet("supplies/psu1")
    assert supply.inrush_stated == 0
    assert supply.known("amps_start") is None


def test_what_a_start_lacks_is_named_for_its_output_alone(build, kit):
    site = _site(kit)
    site["cameras"]["c"] = kit.fed("fennick/cc", "psu1/2", {"cable": "hollin/wire"})
    facts = build(site, _parts(kit))
    first, second = sorted(facts.by_kind("output"), key=lambda output: output.number)
    assert first.amps_start == 3.0
    assert second.missing("amps_start") == ("cameras/c/power/over/0/length",)
    assert facts.sheet("supplies/psu1").missing("amps_start") == ("cameras/c/power/over/0/length",)


def test_protective_devices_before_a_run(build, kit):
    facts = build(_site(kit), _parts(kit))
    assert {run.owner: run.amps_protective for run in facts.by_kind("run")} == {
        "junctions/j": 4.0, "cameras/a": 2.0, "cameras/b": 2.0}  # fmt: skip
    assert facts.sheet("junctions/j").amps_protective == 2.0


@pytest.mark.parametrize(("stated", "trunk", "tap"), [("none", math.inf, 2.0), (None, None, None)])
def test_outputs_without_a_device(build, kit, stated, trunk, tap):
    facts = build(_site(kit), _parts(kit, output_protection=stated))
    runs = {run.owner: run.known("amps_protective") for run in facts.by_kind("run")}
    assert (runs["junctions/j"], runs["cameras/a"]) == (trunk, tap)


@pytest.mark.parametrize(("code", "volts", "amps"), [
    ("nec-2020", 12, 5.0), ("nec-2023", 20, 5.0), ("nec-2020", 24, 100 / 24), ("nec-2020", 60, 100 / 60),
    ("nec-2020", 61, 0.005), ("nec-2026", 24, 100 / 24), ("nec-2026", 251, 0.0), ("iec-60364", 12, None)])  # fmt: skip
def test_class_2_by_code_and_voltage(build, kit, code, volts, amps):
    """NEC chapter 9 Table 11(B), from memory."""
    site = {**_site(kit, trim=f"{volts} V"), "wiring_code": code}
    supply = build(site, _parts(kit)).sheet("supplies/psu1")
    assert supply.wiring_code == code
    assert supply.known("class2_amps") == (None if amps is None else pytest.approx(amps))


@pytest.mark.parametrize(("volts", "amps"), [(12, 5.0), (24, 100 / 24), (28, 100 / 28), (48, 0.005)])
def test_class_2_of_alternating_current(build, kit, volts, amps):
    """NEC chapter 9 Table 11(A), from memory."""
    site = {**_site(kit, trim=f"{volts} V"), "wiring_code": "nec-2023"}
    supply = build(site, _parts(kit, gives="ac")).sheet("supplies/psu1")
    assert supply.known("class2_amps") == pytest.approx(amps)


def _evaluated(line: str) -> tuple[float, float] | None:
    """Both sides of a line, by Python's own arithmetic; None where it is no equation."""
    left, sign, right = line.rpartition(" = ")
    if not sign:
        return None
    left = re.sub(r"\((?:[a-z]+|port [0-9]+|[0-9.]+ degC)\)", "", left)
    left = left.rpartition(": ")[2].removeprefix("the lesser of ")
    left = re.sub(r"^.* charger and ", "", left).replace("ohm/km", "* 0.001").replace(" x ", " * ").replace("^", "**")
    left = re.sub(r"(?<=[0-9]) (?:V2|Ah|VA|[VAWhKm]|ohm)(?![a-z/])", "", left)
    match = re.match(r"[0-9.]+", right)
    assert match, line
    return float(eval(left, {"__builtins__": {}, "sqrt": math.sqrt})), float(match[0])  # noqa: S307


def test_workings_compute_again(build, kit):
    site = _site(kit)
    site["switches"] = {"sw1": {"part": "hollin/sw"}}
    site["cameras"]["p"] = kit.fed("fennick/poe", "sw1/1", {**kit.run("hollin/pair", 40.0, 35.0)})
    site["supplies"]["psu1"]["trim"] = "24 V"
    pair = {**WIRE, "carries": ["network"], "pairs": 4, "conductor": {**WIRE["conductor"], "resistance": "93.8 ohm/km"}}
    poe = kit.camera_part(11.0, kind="poe", poe_class=3)
    switch = {"kind": "switch", "source": "invented", "ports": 4, "poe_ports": 4, "poe_watts": "60 W", "poe_class_port": 4}
    parts = {**_parts(kit), "hollin/pair": pair, "fennick/poe": poe, "hollin/sw": switch}
    trimmed = build(site, parts)
    site["supplies"]["psu1"].pop("trim")
    shown, equations = set(), 0
    for facts, (kind, name) in itertools.product((trimmed, build(site, parts)), BACKUP_WORKINGS):
        for sheet in facts.by_kind(kind):
            lines = facts.working(sheet, name) if sheet.known(name) is not None else ()
            if lines:
                shown.add((kind, name))
            for found in filter(None, map(_evaluated, lines)):
                assert found[0] == pytest.approx(found[1], rel=2e-4), lines
                equations += 1
    assert shown == set(BACKUP_WORKINGS)
    assert equations >= 12
