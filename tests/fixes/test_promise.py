"""Every clause of what a proven change promises (docs/fixes.md), each with a pair of sites: before and after.

The sites are written so that the verdicts can be read off: volts of a supply against what a camera withstands, columns
that are recorded, outputs that are there. Outside reference of the electrical ones: Ohm's law by hand.
"""

from __future__ import annotations

import os
from random import Random

import pytest

from coaxwright.checking import check
from coaxwright.fixes.advice import advise
from coaxwright.fixes.candidates.bench import DEVICE, Candidate
from coaxwright.fixes.comparing import Stood, harms
from coaxwright.fixes.patching import applied
from coaxwright.fixes.proving import change_of, prove
from coaxwright.fixes.rejudging import start
from coaxwright.fixes.repair import Search
from coaxwright.reading.site_reader import with_value
from coaxwright.reporting.wording import change_notes

from . import promise, random_sites


class Judged:
    """Stands for a judgement: the comparison reads its kind alone, its margin is set beside it."""

    def __init__(self, kind):
        self.kind = kind


def stood(kind, level="error", margin=None, waived=False):
    made = Stood(Judged(kind), level, waived)
    made.__dict__["margin"] = margin
    return made


FULL = bool(os.environ.get("COAXWRIGHT_FULL"))
SITES = 100 if FULL else 2
KEY = ("a/rule", "cameras/c1")
NOTHING = None
"""It passed, or did not apply, or was not there."""


@pytest.mark.parametrize(
    ("before", "after", "expected"),
    [
        (NOTHING, NOTHING, []),
        (NOTHING, stood("fail"), [("fails", "error")]),
        (NOTHING, stood("fail", "note"), [("fails", "note")]),
        (NOTHING, stood("fault"), [("fails", "error")]),
        (NOTHING, stood("open", "warning"), [("open", "warning")]),
        (NOTHING, stood("fail", waived=True), []),
        (stood("open"), stood("fail"), [("fails", "error")]),
        (stood("open"), stood("open"), []),
        (stood("open"), NOTHING, []),
        (stood("fail"), stood("open"), [("open", "error")]),
        (stood("fail"), NOTHING, []),
        (stood("fail", margin=-0.2), stood("fail", margin=-0.3), [("less-room", "error")]),
        (stood("fail", margin=-0.2), stood("fail", margin=-0.2 - 0.9e-6), []),
        (stood("fail", margin=-0.2), stood("fail", margin=-0.2 - 1.1e-6), [("less-room", "error")]),
        (stood("fail", margin=-0.3), stood("fail", margin=-0.2), []),
        (stood("fail", margin=-0.3), stood("fail"), []),
        (stood("fail"), stood("fail", margin=-0.3), []),
        (stood("fail", "warning"), stood("fail", "error"), [("less-room", "error")]),
        (stood("fail", "error"), stood("fail", "warning"), []),
        (stood("fail", margin=-0.1, waived=True), stood("fail", margin=-0.2, waived=True), [("less-room", "error")]),
        (stood("fail", waived=True), stood("fail"), [("fails", "error")]),
        (stood("fail", waived=True), NOTHING, []),
    ],
)
def test_what_counts_as_worse(before, after, expected):
    sides = [{} if each is None else {KEY: each} for each in (before, after)]
    assert [(harm.how, harm.level) for harm in harms(*sides)] == expected


def site(**cameras):
    return {
        "site": "Promise",
        "video_rate": 25,
        "retention": "2 days",
        "recorders": {"r1": {"part": "tarnwell/middle-8", "disks": ["generic/disk-8tb"], "record": {"codec": "h265"}}},
        "supplies": {"p1": {"part": "generic/dc12-5a-4way", "trim": "12 V"}},
        "cameras": cameras,
    }


def camera(number, **more):
    return {
        "part": "tarnwell/turret-5",
        "video": {"into": f"r1/{number}", "over": [{"cable": "rg59-copper", "length": "30 m"}]},
        "power": {"from": f"p1/{number}", "over": [{"cable": "dc-1.5mm2", "length": "10 m"}]},
        **more,
    }


def proved(value, patch, parts, rulebook, day):
    state = start(random_sites.load(value, parts), rulebook=rulebook, today=day)
    return prove(state, Candidate("a change", tuple(patch), DEVICE))


def replaced(path, value):
    return [{"op": "replace", "path": path, "value": value}]


def added(path, value):
    return [{"op": "add", "path": path, "value": value}]


def removed(path):
    return [{"op": "remove", "path": path}]


def keys(proof, how):
    return {harm.key for harm in proof.harms if harm.how == how}


def test_a_finding_that_fails_already_and_gets_worse_is_a_harm(parts, rulebook, day):
    """60 m of 0.5 mm2 fail; 90 m fail by more (the loop has half as much resistance again)."""
    far = camera(1, power={"from": "p1/1", "over": [{"cable": "dc-0.5mm2", "length": "60 m"}]})
    proof = proved(site(c1=far), replaced("/cameras/c1/power/over/0/length", "75 m"), parts, rulebook, day)
    assert ("power/undervoltage", "cameras/c1") in keys(proof, "less-room")
    assert not proof.holds("error")
    back = proved(site(c1=far), replaced("/cameras/c1/power/over/0/length", "50 m"), parts, rulebook, day)
    assert not keys(back, "less-room")


def test_what_nobody_can_judge_any_more_is_not_cleared(parts, rulebook, day):
    """The length of a run that is too long, taken out: nobody knows, so nothing is mended."""
    far = camera(1, power={"from": "p1/1", "over": [{"cable": "dc-0.5mm2", "length": "60 m"}]})
    proof = proved(site(c1=far), removed("/cameras/c1/power/over/0/length"), parts, rulebook, day)
    key = ("power/undervoltage", "cameras/c1")
    assert not proof.clears(key)
    assert key in keys(proof, "open")
    assert not proof.holds("error")


AIR = ("power/supply-derated", "supplies/p1")


def unfed(place=None):
    """A camera without power, and a supply with nothing on it."""
    plain = camera(1, place={"setting": "indoor", "building": "b"})
    value = site(c1={name: each for name, each in plain.items() if name != "power"})
    return {**value, "supplies": {"p1": {**value["supplies"]["p1"], **({"place": place} if place else {})}}}


FED = added("/cameras/c1/power", camera(1)["power"])


def test_a_first_load_on_a_supply_in_air_that_nobody_stated_may_be_shown(parts, rulebook, day):
    """The question of warm air only begins; it is a note, with what is to be stated, and the other proof agrees."""
    proof = proved(unfed(), FED, parts, rulebook, day)
    (harm,) = [each for each in proof.harms if each.key == AIR]
    assert (harm.how, harm.level) == ("open", "note")
    assert "supplies/p1/place/ambient_max" in harm.missing
    assert proof.clears(("power/camera-unpowered", "cameras/c1"))
    assert proof.holds("warning")
    assert "nobody states supplies/p1/place/ambient_max" in " ".join(change_notes(change_of(proof)))
    loaded = random_sites.load(unfed(), parts)
    now = applied(loaded.document.value, FED)
    reports = [check(each, rulebook=rulebook, today=day) for each in (loaded, with_value(loaded, now))]
    found = promise.eased(promise.harms(*reports), loaded, now, reports[1], rulebook)
    assert found == [(each.how, *each.key, each.level) for each in proof.harms]


@pytest.mark.parametrize(
    ("value", "patch", "key"),
    [
        pytest.param(
            {**site(c1=camera(1)), "supplies": {"p1": {**site()["supplies"]["p1"], "place": {"ambient_max": "30 °C"}}}},
            removed("/supplies/p1/place/ambient_max"),
            AIR,
            id="it passed before",
        ),
        pytest.param(
            unfed({"setting": "indoor", "ambient_max": "30 °C"}),
            [*FED, *replaced("/supplies/p1/place", {})],
            AIR,
            id="it was stated before",
        ),
        pytest.param(
            unfed(),
            [
                *added("/supplies/p2", {"part": "generic/dc12-5a-4way", "trim": "12 V"}),
                *added("/cameras/c1/power", {**camera(1)["power"], "from": "p2/1"}),
            ],
            ("power/supply-derated", "supplies/p2"),
            id="the change brings the supply",
        ),
    ],
)
def test_what_a_change_itself_leaves_unknown_keeps_its_level(value, patch, key, parts, rulebook, day):
    proof = proved(value, patch, parts, rulebook, day)
    (harm,) = [each for each in proof.harms if each.key == key]
    assert (harm.how, harm.level, harm.missing) == ("open", "warning", ())
    assert not proof.holds("warning")


def test_an_error_that_only_begins_keeps_its_level(parts, rulebook, day):
    """The length of the new run is the change's own to state: nobody knows the volts at the camera."""
    run = {"from": "p1/1", "over": [{"cable": "dc-1.5mm2"}]}
    proof = proved(unfed(), added("/cameras/c1/power", run), parts, rulebook, day)
    (harm,) = [each for each in proof.harms if each.key == ("power/undervoltage", "cameras/c1")]
    assert (harm.how, harm.level) == ("open", "error")


def test_a_camera_that_is_left_out_is_no_cure(parts, rulebook, day):
    far = camera(1, power={"from": "p1/1", "over": [{"cable": "dc-0.5mm2", "length": "60 m"}]})
    proof = proved(site(c1=far, c2=camera(2)), removed("/cameras/c1"), parts, rulebook, day)
    key = ("power/undervoltage", "cameras/c1")
    assert key in proof.gone
    assert not proof.clears(key)
    assert proof.gives_up == ("the camera c1",)


def test_a_port_that_nothing_names_any_more_is_a_reason(parts, rulebook, day):
    proof = proved(site(c1=camera(9)), replaced("/cameras/c1/video/into", "r1/1"), parts, rulebook, day)
    (how,) = [each for each in proof.how if each.key == ("channels/no-such-input", "recorders/r1/9")]
    assert (how.how, how.named) == ("gone", True)
    assert "there is no recorders/r1/9" in how.reason


def test_a_box_that_nothing_uses_may_go_and_says_so(parts, rulebook, day):
    value = {**site(c1=camera(1)), "boxes": {"spare": {"part": "generic/coupler-bnc"}}}
    proof = proved(value, removed("/boxes/spare"), parts, rulebook, day)
    assert proof.clears(("cable/box-unused", "boxes/spare"))
    assert proof.gives_up == ("spare",)


@pytest.mark.parametrize(
    ("before", "patch", "words"),
    [
        ({"wants": {"sound": True}}, removed("/cameras/c1/wants/sound"), "sound of c1"),
        ({"wants": {"sound": True}}, replaced("/cameras/c1/wants/sound", False), "sound of c1"),
        ({"wants": {"rate": "25 fps"}}, replaced("/cameras/c1/wants/rate", "10 fps"), "the rate wanted of c1 (10 fps"),
        ({"wants": {"rate": "10 fps"}}, replaced("/cameras/c1/wants/rate", "25 fps"), ""),
        ({"wants": {"retention": "9 days"}}, removed("/cameras/c1/wants/retention"), "the days wanted of c1 (9 days)"),
        ({"wants": {"see": "identify", "at": "9 m"}}, replaced("/cameras/c1/wants/see", "detect"), "the view class"),
        ({"sound": {"by": "coax"}}, removed("/cameras/c1/sound"), "sound of c1"),
        ({}, removed("/cameras/c1/video"), "the recording of c1"),
        ({}, removed("/cameras/c1/power"), "the power of c1"),
        ({}, removed("/cameras/c1/video/over"), "cable of the video of c1"),
        ({}, replaced("/cameras/c1/video/over/0/length", "20 m"), "cable of the video of c1"),
        ({}, replaced("/cameras/c1/video/over/0/length", "40 m"), ""),
        ({}, replaced("/retention", "1 day"), "days of recording (1 day instead of 2 days)"),
        ({}, removed("/retention"), "days of recording (2 days)"),
        ({}, added("/retention_max", "9 days"), ""),
        ({}, added("/waivers", [{"rule": "power/collapse", "on": "cameras/c1", "reason": "so"}]), "power/collapse"),
        ({}, added("/rules", {"power/collapse": {"level": "off", "reason": "so"}}), "the rule power/collapse"),
    ],
)
def test_needs_that_are_dropped_or_lowered_are_given_up(before, patch, words, parts, rulebook, day):
    proof = proved(site(c1=camera(1, **before)), patch, parts, rulebook, day)
    told = "; ".join(proof.gives_up)
    assert words in told if words else not told


def test_pixels_that_are_lost_are_named(parts, rulebook, day):
    before = camera(1, set={"family": "tvi", "mode": "2592x1944@20"})
    proof = proved(site(c1=before), replaced("/cameras/c1/set/mode", "1920x1080@25"), parts, rulebook, day)
    assert any("records 1920x1080 where it recorded" in each for each in proof.loses), proof.loses
    other = proved(site(c1=before), replaced("/cameras/c1/part", "brackwater/dome-2"), parts, rulebook, day)
    assert any("in place of" in each or "no " in each for each in other.loses)


def test_a_smaller_disk_is_named(parts, rulebook, day):
    proof = proved(site(c1=camera(1)), replaced("/recorders/r1/disks", ["generic/disk-4tb"]), parts, rulebook, day)
    assert "disks of r1: capacity 4 TB in place of 8 TB" in proof.loses
    assert any(each.startswith("r1: keeps") for each in proof.loses)


def test_nothing_is_lost_by_a_thicker_cable(parts, rulebook, day):
    proof = proved(site(c1=camera(1)), replaced("/cameras/c1/power/over/0/cable", "dc-2.5mm2"), parts, rulebook, day)
    assert (proof.loses, proof.gives_up, proof.harms) == ((), (), ())


# What is shown, over random sites: the naive promise judges the written-out site.


def test_no_plan_breaks_the_promise(parts, rulebook, day):
    """Sets of changes, whether they clear all or not, against two full checks."""
    steps = 0
    for seed in range(SITES):
        try:
            loaded = random_sites.load(random_sites.random_site(Random(8100 + seed)), parts)
            state = start(loaded, rulebook=rulebook, today=day)
        except Exception:  # noqa: BLE001 - a random site that is refused tells nothing here
            continue
        plan = Search(state, budget=120).run()
        before = check(loaded, rulebook=rulebook, today=day)
        after = check(with_value(loaded, applied(loaded.document.value, plan.patch)), rulebook=rulebook, today=day)
        assert promise.allowed(promise.harms(before, after), "error"), seed
        was, now = promise.by_key(before), promise.by_key(after)
        grave = [key for key, each in was.items() if promise.is_fail(each) and each.level == "error"]
        assert {key for key in grave if key in now} <= {key for key, _ in plan.in_the_way}, seed
        assert plan.proof is None or not plan.proof.gives_up, seed
        steps += len(plan.steps)
    assert steps > 3


def test_harmless_changes_come_first_and_what_gives_up_comes_last(parts, rulebook, day):
    """Of every finding: no harm before a harm, nothing given up before something given up."""
    seen = 0
    for seed in range(SITES if FULL else 1):
        try:
            state = start(
                random_sites.load(random_sites.random_site(Random(8300 + seed)), parts), rulebook=rulebook, today=day
            )
        except Exception:  # noqa: BLE001 - as above
            continue
        for advice in advise(state, level="warning", tries=40 if FULL else 6, most=6):
            order = [(bool(fix.gives_up), bool(fix.introduces or fix.worsens or fix.opens)) for fix in advice.fixes]
            assert order == sorted(order)
            assert [fix.hides for fix in advice.fixes] == [given for given, _ in order]
            assert not any("(error)" in each for fix in advice.fixes for each in (*fix.introduces, *fix.opens))
            assert not any(each.level == "error" for fix in advice.fixes for each in fix.worsens)
            seen += len(advice.fixes)
    assert seen > 10


def test_a_run_that_nobody_measured_is_proven_up_to_a_length(parts, rulebook, day):
    """The length that is told holds; two metres beyond it something more is worse."""
    value = site(c1=camera(1, place={"setting": "indoor", "building": "b"}))
    del value["cameras"]["c1"]["power"]
    # Stated, so that the naive promise, which eases nothing, may be asked of each length.
    value["supplies"]["p1"]["place"] = {"setting": "indoor", "building": "b", "ambient_max": "30 °C"}
    loaded = random_sites.load(value, parts)
    found = advise(start(loaded, rulebook=rulebook, today=day), level="warning", on="power/camera-unpowered")
    fixes = [fix for advice in found for fix in advice.fixes]
    assert fixes
    before = check(loaded, rulebook=rulebook, today=day)
    for fix in fixes:
        assert f"at most {fix.up_to:g} m" in fix.title
        worse = [harms_at(loaded, before, fix, fix.up_to + more, rulebook, day) for more in (-3.0, 0.0, 2.0)]
        assert promise.allowed(worse[1], "warning")
        assert set(worse[0]) <= set(worse[1])
        assert set(worse[2]) - set(worse[1]), fix.title


def harms_at(loaded, before, fix, metres, rulebook, day):
    value = applied(loaded.document.value, fix.patch)
    run = value["cameras"]["c1"]["power"]["over"][0]
    assert run["length"] == f"{fix.up_to:g} m"
    value = applied(value, replaced("/cameras/c1/power/over/0/length", f"{metres:g} m"))
    return promise.harms(before, check(with_value(loaded, value), rulebook=rulebook, today=day))
