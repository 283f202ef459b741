"""What stays open when something is not known, and only that. Rules of our own making."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from coaxwright.facts.binding import Facts

Build = Callable[..., Facts]
CABLE = "hollin/flex-0.75"
NO_LENGTH = {"cable": CABLE}
TAP = "cameras/b/power/over/0/length"


def _known(sheet: Any, *fields: str) -> bool:
    return all(sheet.known(field) is not None for field in fields)


def test_a_missing_length_opens_its_own_feed_only(build: Build, kit: Any) -> None:
    cameras = {
        "a": kit.fed("fennick/six", "psu1/1", kit.run(CABLE, 20)),
        "b": kit.fed("fennick/six", "psu1/2", NO_LENGTH),
    }
    facts = build({"cameras": cameras})
    a, b = kit.feed(facts, "a"), kit.feed(facts, "b")
    assert _known(a, "volts_day", "volts_night", "margin_night", "collapsed", "ohms_total", "metres_total")
    assert b.volts_idle == 12.0
    open_fields = (
        *("volts_day", "volts_night", "drop_night", "amps_day", "amps_night", "collapsed", "margin_night"),
        *("ohms", "ohms_total", "metres", "metres_total"),
    )
    for field in open_fields:
        assert b.known(field) is None, field
        assert b.missing(field) == (TAP,), field
    supply: Any = facts.sheet("supplies/psu1")
    assert supply.known("amps_night") is None
    assert supply.missing("amps_night") == supply.missing("collapsed") == (TAP,)
    assert facts.sheet("supplies/psu1/1").amps_night == a.amps_night  # type: ignore[union-attr]
    assert facts.sheet("supplies/psu1/2").missing("amps_night") == (TAP,)  # type: ignore[union-attr]
    run: Any = facts.sheet("cameras/b/power/over/0", "run")
    assert (run.missing("metres"), run.missing("amps_night")) == ((TAP,), (TAP,))


def _trunk(kit: Any, trunk: dict[str, Any], tap_b: dict[str, Any], part_b: str = "fennick/six") -> dict[str, Any]:
    return {
        "junctions": {"j": {"power": {"from": "psu1/1", "over": [trunk]}}},
        "cameras": {
            "a": kit.fed("fennick/six", "j", kit.run(CABLE, 5)),
            "b": kit.fed(part_b, "j", tap_b),
            "far": kit.fed("fennick/six", "psu1/2", kit.run(CABLE, 9)),
        },
    }


def test_a_missing_tap_opens_all_that_shares_its_trunk(build: Build, kit: Any) -> None:
    facts = build(_trunk(kit, kit.run(CABLE, 10), NO_LENGTH))
    a, junction = kit.feed(facts, "a"), facts.sheet("junctions/j")
    assert a.missing("volts_night") == a.missing("margin_night") == (TAP,)
    assert a.known("volts_night") is None
    assert a.metres_total == 15.0
    assert a.ohms_total == pytest.approx(15 * 2 * 0.026)
    assert junction.missing("volts_day") == (TAP,)  # type: ignore[union-attr]
    assert _known(kit.feed(facts, "far"), "volts_night", "margin_night")


def test_a_missing_trunk_opens_all_behind_it(build: Build, kit: Any) -> None:
    facts = build(_trunk(kit, NO_LENGTH, kit.run(CABLE, 5)))
    for name in ("a", "b"):
        feed = kit.feed(facts, name)
        assert feed.missing("volts_night") == ("junctions/j/power/over/0/length",)
        assert feed.missing("metres_total") == ("junctions/j/power/over/0/length",)
        assert feed.metres == 5.0
    assert _known(kit.feed(facts, "far"), "volts_night")


def test_constant_current_behind_an_unknown_length_troubles_nobody_else(build: Build, kit: Any) -> None:
    """It draws the same through any length: the others are as with 1 m or with 30 m."""
    parts = {"fennick/steady": kit.camera_part(3.6, "constant-current")}
    solved = []
    for tap in (NO_LENGTH, kit.run(CABLE, 1), kit.run(CABLE, 30)):
        facts = build(_trunk(kit, kit.run(CABLE, 10), tap, "fennick/steady"), parts)
        a, b, supply = kit.feed(facts, "a"), kit.feed(facts, "b"), facts.sheet("supplies/psu1")
        solved.append((a.volts_night, a.amps_day, facts.sheet("junctions/j").volts_night, supply.amps_night))  # type: ignore[union-attr]
        assert b.amps_night == pytest.approx(0.3)
        if tap is NO_LENGTH:
            assert b.missing("volts_night") == b.missing("collapsed") == (TAP,)
            assert a.collapsed is False
            assert a.missing("margin_night") == (TAP,)
    assert solved[0] == pytest.approx(solved[1], abs=1e-9)
    assert solved[1] == pytest.approx(solved[2], abs=1e-9)


def test_branches_depend_on_each_other_through_the_supply(build: Build, kit: Any) -> None:
    cameras = {
        "a": kit.fed("fennick/six", "psu1/1", kit.run(CABLE, 20)),
        "b": kit.fed("fennick/six", "psu1/2", NO_LENGTH),
    }
    facts = build({"cameras": cameras, "assume": {"source_resistance": 0.05}})
    assert kit.feed(facts, "a").missing("volts_night") == (TAP,)


def test_a_junction_right_at_the_supply_shares_nothing(build: Build, kit: Any) -> None:
    site = _trunk(kit, kit.run(CABLE, 10), NO_LENGTH)
    site["junctions"]["j"]["power"]["over"] = []
    facts = build(site)
    a, junction = kit.feed(facts, "a"), facts.sheet("junctions/j")
    assert _known(a, "volts_night", "margin_night")
    assert junction.volts_night == 12.0  # type: ignore[union-attr]
    assert junction.missing("amps_night") == (TAP,)  # type: ignore[union-attr]


def test_path_not_written_and_path_without_cable(build: Build, kit: Any) -> None:
    cameras = {
        "a": {"part": "fennick/six", "power": {"from": "psu1/1"}},
        "b": kit.fed("fennick/six", "psu1/2"),
    }
    facts = build({"cameras": cameras})
    a, b = kit.feed(facts, "a"), kit.feed(facts, "b")
    assert a.missing("volts_night") == a.missing("metres") == a.missing("cable") == ("cameras/a/power/over",)
    assert b.volts_night == 12.0
    assert b.ohms == b.metres == 0.0


@pytest.mark.parametrize(
    ("conductor", "missing"),
    [
        ({"size": "1 mm2", "material": "copper"}, ("parts/hollin/odd/conductor/stranding",)),
        ({"size": "1 mm2", "stranding": "solid"}, ("parts/hollin/odd/conductor/material",)),
        ({"material": "copper", "stranding": "solid"}, ("parts/hollin/odd/conductor/size",)),
        (None, ("parts/hollin/odd/conductor",)),
    ],
)
def test_cable_that_says_too_little(build: Build, kit: Any, conductor: Any, missing: tuple[str, ...]) -> None:
    part = {"kind": "cable", "source": "invented", "carries": ["power"]}
    if conductor:
        part["conductor"] = conductor
    facts = build({"cameras": {"a": kit.fed("fennick/six", "psu1/1", kit.run("hollin/odd", 9))}}, {"hollin/odd": part})
    assert kit.feed(facts, "a").missing("volts_night") == missing


def test_length_and_part_are_asked_for_together(build: Build, kit: Any) -> None:
    part = {"kind": "cable", "source": "invented", "carries": ["power"]}
    site = {"cameras": {"b": kit.fed("fennick/six", "psu1/1", {"cable": "hollin/odd"}, {"box": "x"})},
            "boxes": {"x": {"part": "hollin/box"}}}  # fmt: skip
    facts = build(site, {"hollin/odd": part, "hollin/box": kit.box_part(None)})
    wanted = (TAP, "parts/hollin/odd/conductor", "parts/hollin/box/resistance")
    assert kit.feed(facts, "b").missing("volts_night") == wanted


def _night(build: Build, kit: Any, part: dict[str, Any], **camera: Any) -> tuple[Any, Facts]:
    entry = {**kit.fed("fennick/it", "psu1/1", kit.run(CABLE, 20)), **camera}
    facts = build({"cameras": {"c": entry}}, {"fennick/it": part})
    return facts.sheet("cameras/c", "camera"), facts


def _part(kit: Any, night: dict[str, Any] | None = None, **power: Any) -> dict[str, Any]:
    part = kit.camera_part(None, watts_day=3, **power)
    return {**part, "night": night} if night else part


def test_night_power_that_nobody_gave_is_open(build: Build, kit: Any) -> None:
    for lamp in (None, {"lamp": "infrared"}, {"lamp_range": "30 m"}):
        camera, facts = _night(build, kit, _part(kit, lamp))
        assert camera.watts_day == 3.0
        assert camera.missing("watts_night") == ("parts/fennick/it/power/watts_night",)
        feed = kit.feed(facts, "c")
        assert _known(feed, "volts_day", "amps_day")
        assert feed.missing("volts_night") == feed.missing("margin_night") == camera.missing("watts_night")


def test_a_camera_without_lamps_draws_by_night_what_it_draws_by_day(build: Build, kit: Any) -> None:
    camera, facts = _night(build, kit, _part(kit, {"lamp": "none"}))
    assert camera.watts_night == 3.0
    assert ("lampless-night", 1) in [(used.assumption.name, used.count) for used in facts.assumed]


def test_day_power_that_nobody_gave_leaves_the_night_known(build: Build, kit: Any) -> None:
    camera, facts = _night(build, kit, kit.camera_part(None, watts_night=6))
    assert camera.missing("watts_day") == ("parts/fennick/it/power/watts_day",)
    assert _known(kit.feed(facts, "c"), "volts_night", "collapsed_by_night", "margin_night")
    assert kit.feed(facts, "c").missing("collapsed") == camera.missing("watts_day")
    assert kit.feed(facts, "c").missing("volts_day") == camera.missing("watts_day")


def test_heater_and_motors(build: Build, kit: Any) -> None:
    part = kit.camera_part(None, watts_day=3, watts_night=5, watts_heater=8, watts_motor=4)
    assert _night(build, kit, part)[0].watts_night == 9.0
    assert _night(build, kit, part, heater=True)[0].watts_night == 17.0
    assert _night(build, kit, part, heater=True)[0].watts_day == 7.0
    camera = _night(build, kit, kit.camera_part(5), heater=True)[0]
    assert camera.missing("watts_night") == ("parts/fennick/it/power/watts_heater",)


def test_part_without_power_and_load_without_nominal_volts(build: Build, kit: Any) -> None:
    bare = {key: value for key, value in kit.camera_part(5).items() if key != "power"}
    camera, facts = _night(build, kit, bare)
    assert camera.missing("watts_day") == camera.missing("volts_min") == ("parts/fennick/it/power",)
    assert kit.feed(facts, "c").missing("kinds_meet") == ("parts/fennick/it/power",)
    steady = kit.camera_part(5, "constant-current", volts=None)
    assert _night(build, kit, steady)[0].missing("watts_night") == ("parts/fennick/it/power/volts",)


def test_regulation_without_rated_current_opens_the_volts(build: Build, kit: Any) -> None:
    part = {"kind": "supply", "source": "invented", "volts": "12 V", "regulation": "5 %"}
    site = {
        "supplies": {"psu1": {"part": "tarnwell/odd"}},
        "cameras": {"a": kit.fed("fennick/six", "psu1/1")},
    }
    facts = build(site, {"tarnwell/odd": part})
    feed, supply = kit.feed(facts, "a"), facts.sheet("supplies/psu1")
    assert feed.volts_idle == pytest.approx(12.6)
    assert feed.missing("volts_night") == ("parts/tarnwell/odd/amps",)
    for field in ("amps_max", "watts_max", "watts_night"):
        assert supply.missing(field) == ("parts/tarnwell/odd/amps",)  # type: ignore[union-attr]
    output = facts.sheet("supplies/psu1/1")
    assert output.missing("exists") == ("parts/tarnwell/odd/outputs",)  # type: ignore[union-attr]
    assert output.missing("amps_max") == ("parts/tarnwell/odd/amps_per_output",)  # type: ignore[union-attr]


def test_below_a_junction_that_nobody_feeds(build: Build, kit: Any) -> None:
    site = {
        "junctions": {
            "lost": {},
            "next": {"power": {"from": "lost", "over": [kit.run(CABLE, 4)]}},
            "idle": {},
        },
        "cameras": {"c": kit.fed("fennick/six", "next", kit.run(CABLE, 9))},
    }
    facts = build(site)
    feed, lost, after = kit.feed(facts, "c"), facts.sheet("junctions/lost"), facts.sheet("junctions/next")
    assert feed.missing("volts_night") == feed.missing("source") == ("junctions/lost/power",)
    assert (feed.metres, feed.metres_total, feed.own_output, feed.junction) == (9.0, 13.0, False, after)
    assert (lost.powered, lost.children, lost.cameras) == (False, 1, 1)  # type: ignore[union-attr]
    assert (after.powered, after.children, after.cameras) == (True, 1, 1)  # type: ignore[union-attr]
    assert facts.sheet("junctions/idle").children == 0  # type: ignore[union-attr]
    assert [each.name for each in facts.by_kind("junction")] == ["lost", "next", "idle"]  # type: ignore[attr-defined]
