"""Reference circuits as whole sites, from file to printed digits.

The figures are exact solutions of the circuits in closed form (Ohm's and Kirchhoff's laws; a constant-power
load on one line is the quadratic V^2 - V0 V + R P = 0), each confirmed by an independent power-flow program;
resistances are IEC 60228:2004 Tables 2 and 3. No source prints these circuits.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import pytest

from coaxwright.facts.binding import Facts

Build = Callable[..., Facts]
DIGITS = 2e-9


@pytest.mark.parametrize(
    ("load", "volts", "amps"),
    [
        ("constant-current", 10.44, 0.5),
        ("constant-power", 10.156921938, 0.590730148),
        ("resistive", 10.619469027, 0.442477876),
    ],
)
def test_single_run(build: Build, kit: Any, load: str, volts: float, amps: float) -> None:
    """12 V, 60 m of 0.75 mm2 class 5 at 20 °C (26.0 ohm/km): 3.12 ohm; 6 W at 12 V."""
    camera = kit.fed("fennick/it", "psu1/1", kit.run("hollin/flex-0.75", 60))
    facts = build({"cameras": {"c1": camera}}, {"fennick/it": kit.camera_part(6, load)})
    feed = kit.feed(facts, "c1")
    assert feed.ohms == feed.ohms_total == pytest.approx(3.12, abs=1e-12)
    for season in ("day", "night"):
        assert getattr(feed, f"volts_{season}") == pytest.approx(volts, abs=DIGITS)
        assert getattr(feed, f"amps_{season}") == pytest.approx(amps, abs=DIGITS)
    assert feed.drop_night == pytest.approx(12 - volts, abs=DIGITS)
    assert feed.volts_idle == 12.0
    assert feed.collapsed is False
    assert feed.metres == feed.metres_total == 60.0
    assert (feed.cable, feed.conductor_size, feed.temperature) == ("hollin/flex-0.75", 0.75, 20.0)


def test_margin_of_a_single_run(build: Build, kit: Any) -> None:
    """It collapses at V0^2/4R = 11.538 W, and at 115.384615 m for 6 W."""
    metres = {"near": 60, "limit": 115.384, "far": 115.385}
    at = {
        name: kit.fed("fennick/six", f"psu1/{number}", kit.run("hollin/flex-0.75", each))
        for number, (name, each) in enumerate(metres.items(), 1)
    }
    facts = build({"cameras": at})
    assert kit.feed(facts, "near").margin_night == pytest.approx(144 / (4 * 3.12) / 6, rel=1e-12)
    assert kit.feed(facts, "limit").margin_night == pytest.approx(1.0, abs=1e-5)
    assert kit.feed(facts, "limit").collapsed is False
    far = kit.feed(facts, "far")
    assert (far.collapsed, far.volts_night, far.drop_night) == (True, 0.0, 12.0)
    assert far.margin_night < 1.0
    assert far.amps_night == pytest.approx(6 / 12, rel=1e-9)  # what is stated, at the volts of the supply: Ohm's law


def _chain(kit: Any, pieces: list[dict[str, Any]]) -> dict[str, Any]:
    """Junctions j1, j2 ... one behind the other, with camera c1, c2 ... right at each."""
    junctions, cameras = {}, {}
    for number, piece in enumerate(pieces, 1):
        source = f"j{number - 1}" if number > 1 else "psu1/1"
        junctions[f"j{number}"] = {"power": {"from": source, "over": [piece]}}
        cameras[f"c{number}"] = kit.fed(f"fennick/l{number}", f"j{number}")
    return {"junctions": junctions, "cameras": cameras}


def _boxes(site: dict[str, Any], ohms: list[float], kit: Any) -> tuple[dict[str, Any], dict[str, Any]]:
    """The same with resistance as boxes, and the parts of these."""
    site["boxes"] = {f"b{number}": {"part": f"hollin/b{number}"} for number in range(1, len(ohms) + 1)}
    return site, {f"hollin/b{number}": kit.box_part(value) for number, value in enumerate(ohms, 1)}


@pytest.mark.parametrize(
    ("load", "volts"),
    [
        ("constant-current", (6957 / 625, 6414 / 625, 98099 / 10000)),
        ("constant-power", (10.948947058, 9.848468220, 9.262215388)),
        ("resistive", (11.23399048, 10.49164666, 10.11040032)),
    ],
)
def test_daisy_chain(build: Build, kit: Any, load: str, volts: tuple[float, ...]) -> None:
    """12 V, 1.0 mm2 class 2 (18.1 ohm/km) over 20, 30 and 25 m; 4.8, 3.6 and 6.0 W at 12 V."""
    site = _chain(kit, [kit.run("hollin/strand-1", metres) for metres in (20, 30, 25)])
    parts = {f"fennick/l{number}": kit.camera_part(watts, load) for number, watts in enumerate((4.8, 3.6, 6.0), 1)}
    facts = build(site, parts)
    for number, expected in enumerate(volts, 1):
        tolerance = 6e-9 if load == "resistive" else DIGITS
        assert kit.feed(facts, f"c{number}").volts_night == pytest.approx(expected, abs=tolerance)
        junction: Any = facts.sheet(f"junctions/j{number}")
        assert junction.volts_night == pytest.approx(expected, abs=tolerance)
        assert junction.depth == number - 1
        assert junction.cameras == 4 - number
    assert kit.feed(facts, "c3").metres_total == 75.0
    assert kit.feed(facts, "c3").ohms_total == pytest.approx(0.724 + 1.086 + 0.905)
    supply: Any = facts.sheet("supplies/psu1")
    assert supply.cameras == 3
    assert supply.amps_night == facts.sheet("junctions/j1").amps_night  # type: ignore[union-attr]


def test_loading_limit_of_the_daisy_chain(build: Build, kit: Any) -> None:
    """All powers times 1.529255213 is the last solvable point."""
    pieces = [kit.run("hollin/strand-1", metres) for metres in (20, 30, 25)]

    def scaled(factor: float) -> Facts:
        watts = enumerate((4.8, 3.6, 6.0), 1)
        return build(
            _chain(kit, pieces),
            {f"fennick/l{number}": kit.camera_part(factor * each) for number, each in watts},
        )

    facts = scaled(1.0)
    supply: Any = facts.sheet("supplies/psu1")
    assert supply.margin_night == pytest.approx(1.529255213, abs=1e-8)
    assert all(kit.feed(facts, name).margin_night == supply.margin_night for name in ("c1", "c2", "c3"))
    assert supply.collapsed is False
    below: Any = scaled(1.5292).sheet("supplies/psu1")
    above = scaled(1.5293)
    assert below.collapsed is False
    assert above.sheet("supplies/psu1").collapsed is True  # type: ignore[union-attr]
    assert [kit.feed(above, name).volts_night for name in ("c1", "c2", "c3")] == [0.0, 0.0, 0.0]
    asked = 1.5293 * (4.8 + 3.6 + 6.0) / 12  # what is stated, at 12 V; nothing lost on the way is in it
    assert above.sheet("supplies/psu1").amps_night == pytest.approx(asked, rel=1e-9)  # type: ignore[union-attr]


def test_integer_chain_of_boxes(build: Build, kit: Any) -> None:
    """12.5 V; 1, 1 and 2 ohm; 5.5, 5 and 4.5 W: 11, 10 and 9 V at 0.5 A each; limit x 1.364491239."""
    site, parts = _boxes(_chain(kit, [{"box": f"b{number}"} for number in (1, 2, 3)]), [1.0, 1.0, 2.0], kit)
    site["supplies"] = {"psu1": {"part": "tarnwell/dc12", "trim": "12.5 V"}}
    parts |= {f"fennick/l{number}": kit.camera_part(watts) for number, watts in enumerate((5.5, 5.0, 4.5), 1)}
    facts = build(site, parts)
    feeds = [kit.feed(facts, f"c{number}") for number in (1, 2, 3)]
    assert [feed.volts_night for feed in feeds] == pytest.approx([11, 10, 9], abs=1e-9)
    assert [feed.amps_night for feed in feeds] == pytest.approx([0.5, 0.5, 0.5], abs=1e-9)
    assert feeds[0].margin_night == pytest.approx(1.364491239, abs=1e-8)


def test_uniform_chain_of_equal_currents(build: Build, kit: Any) -> None:
    """End drop I r N (N + 1) / 2: 12 V, 0.5 A, 0.8 ohm, N = 3 give 10.8, 10.0 and 9.6 V."""
    site, parts = _boxes(_chain(kit, [{"box": f"b{number}"} for number in (1, 2, 3)]), [0.8] * 3, kit)
    parts |= {f"fennick/l{number}": kit.camera_part(6.0, "constant-current") for number in (1, 2, 3)}
    facts = build(site, parts)
    assert [kit.feed(facts, f"c{n}").volts_night for n in (1, 2, 3)] == pytest.approx([10.8, 10.0, 9.6], abs=1e-9)


def test_fibonacci_ladder(build: Build, kit: Any) -> None:
    """13 V, all series and shunt resistances 1 ohm, three sections: 5, 2 and 1 V (textbook ladder)."""
    site, parts = _boxes(_chain(kit, [{"box": f"b{number}"} for number in (1, 2, 3)]), [1.0] * 3, kit)
    site["supplies"] = {"psu1": {"part": "tarnwell/dc12", "trim": "13 V"}}
    parts |= {f"fennick/l{number}": kit.camera_part(144.0, "resistive") for number in (1, 2, 3)}
    facts = build(site, parts)
    assert [kit.feed(facts, f"c{n}").volts_night for n in (1, 2, 3)] == pytest.approx([5, 2, 1], abs=1e-9)
    assert kit.feed(facts, "c1").margin_night == math.inf


def test_shared_trunk_with_branches_and_mixed_loads(build: Build, kit: Any) -> None:
    """12.6 V behind 0.05 ohm; trunk, two branches and a second junction; three kinds of load at once."""
    site = {
        "assume": {"source_resistance": 0.05},
        "supplies": {"psu1": {"part": "tarnwell/dc12", "trim": "12.6 V"}},
        "junctions": {
            "A": {"power": {"from": "psu1/1", "over": [kit.run("hollin/strand-1.5", 40)]}},
            "B": {"power": {"from": "A", "over": [kit.run("hollin/strand-1.5", 30)]}},
        },
        "cameras": {
            "a": kit.fed("fennick/a", "A", kit.run("hollin/flex-0.5", 15)),
            "b": kit.fed("fennick/b", "A", kit.run("hollin/flex-0.75", 25)),
            "B1": kit.fed("fennick/b-1", "B"),
            "B2": kit.fed("fennick/b-2", "B"),
        },
    }
    parts = {
        "fennick/a": kit.camera_part(4.2, "constant-current"),
        "fennick/b": kit.camera_part(6.0),
        "fennick/b-1": kit.camera_part(7.2, "constant-current"),
        "fennick/b-2": kit.camera_part(2.4, "resistive"),
    }
    facts = build(site, parts)
    volts = {name: kit.feed(facts, name).volts_night for name in ("a", "b", "B1", "B2")}
    expected = {"a": 10.442721800, "b": 10.078280233, "B1": 10.292087541, "B2": 10.292087541}
    assert volts == pytest.approx(expected, abs=DIGITS)
    assert facts.sheet("junctions/A").volts_night == pytest.approx(10.852221800, abs=DIGITS)  # type: ignore[union-attr]
    assert facts.sheet("junctions/B").amps_night == pytest.approx(0.771534792, abs=DIGITS)  # type: ignore[union-attr]
    assert kit.feed(facts, "b").amps_night == pytest.approx(0.595339667, abs=DIGITS)
    supply: Any = facts.sheet("supplies/psu1")
    assert supply.amps_night == pytest.approx(1.716874460, abs=DIGITS)
    assert supply.watts_night == pytest.approx(12.514156277 * 1.716874460, abs=1e-7)
    loads = 0.35 * volts["a"] + 6.0 + 0.6 * volts["B1"] + volts["B2"] ** 2 / 60
    inner = 0.05 * supply.amps_night**2
    assert supply.watts_night - loads + inner == pytest.approx(4.036961937, abs=1e-7)


@pytest.mark.parametrize(
    ("source", "ohms", "watts", "volts"),
    [(12, 4, 8, 8), (12, 4, 9, 6), (12, 1, 11, 11), (12, 1, 20, 10), (12, 1, 27, 9), (12, 1, 32, 8),
     (12, 1, 35, 7), (12, 1, 36, 6), (24, 2, 54, 18), (24, 2, 70, 14), (24, 2, 72, 12), (24, 3, 36, 18),
     (12, 4, 9.01, 0), (12, 4, 9.5, 0)],
)  # fmt: skip
def test_one_constant_power_load(
    build: Build, kit: Any, source: float, ohms: float, watts: float, volts: float
) -> None:
    """V^2 - V0 V + R P = 0: the greater root, the double root at the limit, and none past P = V0^2/4R."""
    site = {
        "supplies": {"psu1": {"part": "tarnwell/dc12", "trim": f"{source} V"}},
        "boxes": {"b1": {"part": "hollin/b1"}},
        "cameras": {"c1": kit.fed("fennick/it", "psu1/1", {"box": "b1"})},
    }
    facts = build(site, {"hollin/b1": kit.box_part(ohms), "fennick/it": kit.camera_part(watts)})
    feed = kit.feed(facts, "c1")
    assert feed.volts_night == pytest.approx(volts, abs=1e-6)
    assert feed.collapsed is (volts == 0)
    assert feed.margin_night == pytest.approx(source**2 / 4 / ohms / watts)


def test_two_constant_power_loads(build: Build, kit: Any) -> None:
    """12 V; 1.5 and 1.0 ohm; 9 and 8 W: (9, 8) V, not (5.671, 3.039); limit x 1.180346185."""
    site, parts = _boxes(_chain(kit, [{"box": "b1"}, {"box": "b2"}]), [1.5, 1.0], kit)
    parts |= {"fennick/l1": kit.camera_part(9.0), "fennick/l2": kit.camera_part(8.0)}
    facts = build(site, parts)
    assert [kit.feed(facts, name).volts_night for name in ("c1", "c2")] == pytest.approx([9, 8], abs=1e-9)
    assert kit.feed(facts, "c1").margin_night == pytest.approx(1.180346185, abs=1e-8)


@pytest.mark.parametrize(("factor", "volts"), [(1.0, 22.198039027), (0.8, 22.557829906), (0.6, 22.911833250)])
def test_alternating_current(build: Build, kit: Any, factor: float, volts: float) -> None:
    """24 V AC, 1 ohm, 40 VA: V^4 + (2 R S pf - Vs^2) V^2 + R^2 S^2 = 0; limit S = Vs^2 / (2 R (1 + pf))."""
    power = {"kind": "ac", "volts": "24 V", "power_factor": factor}
    site = {
        "supplies": {"psu1": {"part": "tarnwell/ac24"}},
        "boxes": {"b1": {"part": "hollin/b1"}},
        "cameras": {"c1": kit.fed("fennick/it", "psu1/1", {"box": "b1"})},
    }
    parts = {"hollin/b1": kit.box_part(1.0), "fennick/it": kit.camera_part(40.0 * factor, **power)}
    facts = build(site, parts)
    feed, supply = kit.feed(facts, "c1"), facts.sheet("supplies/psu1")
    assert feed.volts_night == pytest.approx(volts, abs=DIGITS)
    assert feed.amps_night == pytest.approx(40.0 / volts, abs=DIGITS)
    assert feed.margin_night == pytest.approx(576 / (2 * (1 + factor)) / 40, rel=1e-8)
    assert feed.kinds_meet is True
    assert supply.watts_night == pytest.approx(40 * factor + (40 / volts) ** 2, abs=1e-6)  # type: ignore[union-attr]
    assert "power-factor" not in {used.assumption.name for used in facts.assumed}


def test_regulation_is_resistance_behind_a_higher_open_voltage(build: Build, kit: Any) -> None:
    """24 V at 2 A and 28 V without load (a transformer; common practice): 2 ohm behind 28 V."""
    part = {
        "kind": "supply",
        "source": "invented",
        "volts": "24 V",
        "amps": "2 A",
        "regulation": "16.666666667 %",
    }
    site = {
        "supplies": {"psu1": {"part": "tarnwell/soft"}},
        "cameras": {"c1": kit.fed("fennick/it", "psu1/1")},
    }
    parts = {"tarnwell/soft": part, "fennick/it": kit.camera_part(24.0, "constant-current")}
    facts = build(site, parts)
    feed = kit.feed(facts, "c1")
    assert feed.volts_idle == pytest.approx(28.0, abs=1e-7)
    assert feed.amps_night == pytest.approx(2.0)
    assert feed.volts_night == pytest.approx(24.0, abs=1e-7)
    assert feed.drop_night == pytest.approx(4.0, abs=1e-7)
    assert feed.margin_night == pytest.approx(28 / 4, abs=1e-6)


def test_constant_current_with_a_power_factor(build: Build, kit: Any) -> None:
    """24 W at 24 V AC and power factor 0.8 are 1.25 A, whatever the voltage; single-phase power P = V I
    pf.
    """
    power = {"kind": "ac", "volts": "24 V", "power_factor": 0.8}
    site = {
        "supplies": {"psu1": {"part": "tarnwell/ac24"}},
        "boxes": {"b1": {"part": "hollin/b1"}},
        "cameras": {"c1": kit.fed("fennick/it", "psu1/1", {"box": "b1"})},
    }
    parts = {"hollin/b1": kit.box_part(1.0), "fennick/it": kit.camera_part(24.0, "constant-current", **power)}
    feed = kit.feed(build(site, parts), "c1")
    assert feed.amps_night == pytest.approx(1.25)
    assert feed.volts_night == pytest.approx(math.sqrt(24**2 - (1.25 * 0.6) ** 2) - 1.25 * 0.8, abs=DIGITS)
