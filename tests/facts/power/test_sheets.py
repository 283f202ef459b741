"""Supplies, outputs, runs and cameras as sheets: counts, limits, orphans, assumptions, conductors."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from coaxwright.facts.binding import Facts

Build = Callable[..., Facts]
CABLE = "hollin/flex-0.75"


def test_outputs_and_supply(build: Build, kit: Any) -> None:
    cameras = {
        "a": kit.fed("fennick/six", "psu1/1", kit.run(CABLE, 20)),
        "b": kit.fed("fennick/six", "psu1/1", kit.run(CABLE, 10)),
        "c": kit.fed("fennick/six", "psu1/9", kit.run(CABLE, 10)),
        "d": kit.fed("fennick/six", "psu1/8", kit.run(CABLE, 10)),
    }
    facts = build(
        {
            "cameras": cameras,
            "supplies": {"psu1": {"part": "tarnwell/dc12"}, "idle": {"part": "tarnwell/dc12"}},
        }
    )
    one: Any = facts.sheet("supplies/psu1/1")
    nine: Any = facts.sheet("supplies/psu1/9")
    assert (one.number, one.exists, one.runs, one.cameras, one.amps_max) == (1, True, 2, 2, 5.0)
    assert (nine.exists, nine.runs) == (False, 1)
    eight: Any = facts.sheet("supplies/psu1/8")
    assert eight.exists is True
    feeds = [kit.feed(facts, name) for name in ("a", "b")]
    assert one.amps_night == pytest.approx(sum(feed.amps_night for feed in feeds))
    assert one.feeds == feeds
    assert feeds[0].output is one
    supply: Any = facts.sheet("supplies/psu1")
    assert (supply.outputs, supply.outputs_used, supply.cameras) == (8, 3, 4)
    assert (supply.amps_max, supply.watts_max, supply.volts, supply.trimmed) == (20.0, 240.0, 12.0, False)
    assert supply.members == [one, nine, eight]
    idle: Any = facts.sheet("supplies/idle")
    assert (idle.outputs_used, idle.amps_night, idle.collapsed, idle.cameras) == (0, 0.0, False, 0)


def test_orphans_as_facts(build: Build, kit: Any) -> None:
    bare = {"part": "fennick/any"}
    site = {
        "cameras": {"a": bare},
        "boxes": {"spare": {"part": "hollin/b"}},
        "junctions": {"j": {"power": {"from": "psu1/1"}}},
    }
    facts = build(site, {"hollin/b": kit.box_part(1), "fennick/any": kit.camera_part(6, None)})
    camera: Any = facts.sheet("cameras/a", "camera")
    assert (camera.has_video, camera.has_power) == (False, False)
    assert camera.missing("feed") == ("cameras/a/power",)
    assert "load-kind" not in {used.assumption.name for used in facts.assumed}
    assert camera.watts_night == 6.0
    assert facts.sheet("boxes/spare").used == 0  # type: ignore[union-attr]
    assert facts.sheet("junctions/j").children == 0  # type: ignore[union-attr]
    assert facts.sheet("supplies/psu1/1").cameras == 0  # type: ignore[union-attr]
    assert facts.by_kind("feed") == []


def test_collapse_on_one_output_leaves_the_others_alone(build: Build, kit: Any) -> None:
    cameras = {
        "far": kit.fed("fennick/six", "psu1/1", kit.run(CABLE, 300)),
        "near": kit.fed("fennick/six", "psu1/2", kit.run(CABLE, 10)),
    }
    facts = build({"cameras": cameras})
    assert kit.feed(facts, "far").collapsed is True
    assert kit.feed(facts, "near").collapsed is False
    assert kit.feed(facts, "near").volts_night > 11.0
    supply: Any = facts.sheet("supplies/psu1")
    assert supply.collapsed is True
    assert supply.margin_night == kit.feed(facts, "far").margin_night < 1.0


def test_collapse_on_alternating_current(build: Build, kit: Any) -> None:
    """S = Vs^2 / (2 R (1 + pf)): 24 V, 4 ohm, power factor 1: 36 VA at most."""
    power = {"kind": "ac", "volts": "24 V", "power_factor": 1}
    site = {"supplies": {"psu1": {"part": "tarnwell/ac24"}}, "boxes": {"b1": {"part": "hollin/b1"}},
            "cameras": {"c1": kit.fed("fennick/it", "psu1/1", {"box": "b1"})}}  # fmt: skip
    facts = build(site, {"hollin/b1": kit.box_part(4.0), "fennick/it": kit.camera_part(40.0, **power)})
    feed = kit.feed(facts, "c1")
    assert (feed.collapsed, feed.volts_night) == (True, 0.0)
    assert feed.margin_night == pytest.approx(0.9, abs=1e-8)
    assert feed.amps_night == pytest.approx(40 / 24, rel=1e-9)  # what is stated, at 24 V


@pytest.mark.parametrize(
    ("kind", "supply", "meets"),
    [("dc", "tarnwell/dc12", True), ("dc", "tarnwell/ac24", False), ("ac", "tarnwell/dc12", False),
     ("ac", "tarnwell/ac24", True), ("dc-or-ac", "tarnwell/dc12", True), ("dc-or-ac", "tarnwell/ac24", True),
     ("poe", "tarnwell/dc12", False)],
)  # fmt: skip
def test_kinds_of_current(build: Build, kit: Any, kind: str, supply: str, meets: bool) -> None:
    site = {"supplies": {"psu1": {"part": supply}}, "cameras": {"c": kit.fed("fennick/it", "psu1/1")}}
    facts = build(site, {"fennick/it": kit.camera_part(6, kind=kind)})
    assert kit.feed(facts, "c").kinds_meet is meets


def test_assumptions_are_counted(build: Build, kit: Any) -> None:
    runs = [kit.run(CABLE, 10, None), kit.run(CABLE, 10, None)]
    cameras = {
        "a": kit.fed("fennick/it", "psu1/1", *runs),
        "b": kit.fed("fennick/it", "psu2/1", kit.run(CABLE, 10)),
    }
    supplies = {"psu1": {"part": "tarnwell/dc12"}, "psu2": {"part": "tarnwell/dc12", "trim": "12.5 V"}}
    facts = build({"cameras": cameras, "supplies": supplies}, {"fennick/it": kit.camera_part(6, None)})
    counts = {used.assumption.name: used.count for used in facts.assumed}
    expected = {"conductor-temperature": 2, "load-kind": 2, "source-resistance": 2, "supply-trim": 1}
    assert {name: counts.get(name) for name in expected} == expected
    assert all(used.assumption.source for used in facts.assumed)
    assert kit.feed(facts, "a").temperature == 40.0


def test_power_factor_is_assumed_on_alternating_current_only(build: Build, kit: Any) -> None:
    for supply, expected in (("tarnwell/dc12", 0), ("tarnwell/ac24", 1)):
        site = {"supplies": {"psu1": {"part": supply}}, "cameras": {"c": kit.fed("fennick/it", "psu1/1")}}
        facts = build(site, {"fennick/it": kit.camera_part(6, kind="dc-or-ac")})
        assert {u.assumption.name: u.count for u in facts.assumed}.get("power-factor", 0) == expected


def test_the_site_sets_assumptions_and_is_named_as_their_source(build: Build, kit: Any) -> None:
    camera = kit.fed("fennick/six", "psu1/1", kit.run(CABLE, 60, None))
    facts = build({"cameras": {"a": camera}, "assume": {"conductor_temperature": "20 °C"}})
    assert kit.feed(facts, "a").volts_night == pytest.approx(10.156921938, abs=2e-9)
    (used,) = [used for used in facts.assumed if used.assumption.name == "conductor-temperature"]
    assert (used.assumption.source, used.assumption.written) == ("the site file, under `assume`", "20 °C")


@pytest.mark.parametrize(
    ("size", "stranding", "material", "ohm_per_km"),
    [
        ("0.5 mm2", "flexible", "copper", 39.0),  # IEC 60228:2004 Table 3
        ("0.75 mm2", "solid", "copper", 24.5),  # IEC 60228:2004 Table 1
        ("1.5 mm2", "stranded", "copper", 12.1),  # IEC 60228:2004 Table 2
        ("4 mm2", "flexible", "copper", 4.95),  # IEC 60228:2004 Table 3
        ("18 AWG", "solid", "copper", 20.9482),  # ASTM B258, NBS Handbook 100
        ("24 AWG", "solid", "copper", 84.2151),  # ASTM B258, NBS Handbook 100
        ("16 AWG", "stranded", "copper", 13.1745 * 1.02),  # lay of strands: NEC ch. 9 Table 8 within 0.5 %
        ("0.75 mm2", "flexible", "copper-clad-aluminium", 26.0 * 1.5898),  # ASTM B566 class 10A
        ("0.6 mm2", "solid", "copper", 1000 / 58 / 0.6),  # IEC 60028
        ("0.6 mm2", "stranded", "copper", 1000 / 58 / 0.6 * 1.02),  # lay of strands, as above
    ],
)
def test_conductor_resistance(
    build: Build, kit: Any, size: str, stranding: str, material: str, ohm_per_km: float
) -> None:
    site = {"cameras": {"c": kit.fed("fennick/six", "psu1/1", kit.run("hollin/it", 10))}}
    facts = build(site, {"hollin/it": kit.cable_part(size, stranding, material)})
    assert kit.feed(facts, "c").ohms == pytest.approx(2 * 0.010 * ohm_per_km, rel=2e-5)


def test_stated_resistance_temperature_and_pairs(build: Build, kit: Any) -> None:
    """1 + 0.00393 (t - 20) (IEC 60028); 9.38 ohm/100 m and two pairs: 9.38 ohm loop for 100 m (TIA-568)."""
    part = {"kind": "cable", "source": "invented", "carries": ["network"],
            "conductor": {"resistance": "93.8 ohm/km", "material": "copper"}}  # fmt: skip
    runs = {"cool": kit.run("hollin/net", 100), "warm": kit.run("hollin/net", 100, 60)}
    for each in runs.values():
        each["pairs"] = 2
    cameras = {name: kit.fed("fennick/tiny", f"psu1/{n}", each) for n, (name, each) in enumerate(runs.items(), 1)}
    facts = build({"cameras": cameras}, {"hollin/net": part, "fennick/tiny": kit.camera_part(0.5)})
    assert kit.feed(facts, "cool").ohms == pytest.approx(9.38)
    assert kit.feed(facts, "warm").ohms == pytest.approx(9.38 * 1.1572, rel=1e-5)
    run: Any = facts.sheet("cameras/cool/power/over/0", "run")
    assert (run.fits_use, run.use, run.owner) == (True, "power", "cameras/cool")


def test_runs(build: Build, kit: Any) -> None:
    hop = {**kit.run("hollin/strand-1", 10), "setting": "outdoor"}
    cameras = {
        "a": {**kit.fed("fennick/six", "psu1/1", hop, kit.run(CABLE, 5)), "place": {"setting": "indoor"}},
        "b": kit.fed("fennick/six", "psu1/2", kit.run("rg59-copper", 5)),
    }
    facts = build({"cameras": cameras})
    first, second, coax = facts.by_kind("run")
    assert first.subject == "cameras/a/power/over/0"
    assert (first.setting, second.setting) == ("outdoor", "indoor")  # type: ignore[attr-defined]
    assert (first.metres, first.conductor_size, first.conductor_material) == (10.0, 1.0, "copper")  # type: ignore[attr-defined]
    assert first.amps_night == kit.feed(facts, "a").amps_night  # type: ignore[attr-defined]
    # 1 mm2 as a cord (DIN VDE 0298-4 Table 11); 20 °C are written, and cool air is not credited.
    assert first.amps_max == pytest.approx(10.0)  # type: ignore[attr-defined]
    assert coax.fits_use is False  # type: ignore[attr-defined]
    assert coax.missing("setting") == ("cameras/b/power/over/0/setting", "cameras/b/place/setting")
    assert kit.feed(facts, "a").conductor_size == 0.75
    assert kit.feed(facts, "a").cable == "hollin/strand-1"


def test_runs_of_one_cable_keep_their_own_list_of_what_is_missing(build: Build, kit: Any) -> None:
    cameras = {"a": kit.fed("fennick/six", "psu1/1", kit.run(CABLE, 5), {"cable": CABLE})}
    first, second = build({"cameras": cameras}).by_kind("run")
    assert first.known("metres") == 5.0
    assert second.missing("metres") == ("cameras/a/power/over/1/length",)
    assert first.missing("metres") == ("cameras/a/power/over/0/metres",)


def test_recorders_and_boxes_load_the_trunk_too(build: Build, kit: Any) -> None:
    """6 W of a box and 6 W of a recorder at one junction pull as two cameras do."""
    recorder = {
        "kind": "recorder",
        "source": "invented",
        "power": {"volts": "12 V", "watts_day": "6 W"},
        "inputs": [{"channels": "1-4", "accepts": [{"family": "tvi", "mode": "1920x1080@25"}]}],
    }
    active = {**kit.box_part(1), "power": {"volts": "12 V", "watts_day": "6 W", "load": "constant-power"}}
    trunk = {"j": {"power": {"from": "psu1/1", "over": [kit.run(CABLE, 10)]}}}
    others = {
        "recorders": {"rec": {"part": "tarnwell/rec", "power": {"from": "j", "over": []}}},
        "boxes": {"amp": {"part": "hollin/amp", "power": {"from": "j", "over": []}}},
    }
    one = build(
        {"junctions": trunk, "cameras": {"c": kit.fed("fennick/six", "j")}, **others},
        {"tarnwell/rec": recorder, "hollin/amp": active},
    )
    volts = kit.feed(one, "c").volts_night
    three = build({"junctions": trunk, "cameras": {n: kit.fed("fennick/six", "j") for n in ("c", "d", "e")}})
    assert volts == pytest.approx(kit.feed(three, "c").volts_night, abs=1e-9)
    assert one.sheet("junctions/j").cameras == 1  # type: ignore[union-attr]
    assert one.sheet("junctions/j").children == 3  # type: ignore[union-attr]


def test_facts_container(build: Build, kit: Any) -> None:
    facts = build({"cameras": {"a": kit.fed("fennick/six", "psu1/1", kit.run(CABLE, 5))}})
    assert {each.kind for each in facts.of("cameras/a")} >= {"camera", "feed"}
    assert facts.of("cameras/z") == ()
    assert facts.sheet("cameras/a", "supply") is None
    assert "supplies/psu1/1" in facts.subjects()
    with pytest.raises(KeyError):
        facts.by_kind("balloon")
