"""Judging: outcomes and counts, what is missing, faults, joints, paths, margins, sentences, and speed."""

from __future__ import annotations

import math
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

from coaxwright.rulebook import judging
from coaxwright.rulebook.judging import judge_rule
from coaxwright.rulebook.limits import override_limit

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
from handmade import Facts, feeds, make, rule

SAG = {"about": "feed", "require": "feed.volts_night >= feed.load.volts_min"}


def _kinds(verdict: Any) -> list[tuple[str, str]]:
    return [(each.kind, each.subject.subject) for each in verdict.judgements]


def test_pass_fail_open_and_not_applicable_are_all_counted() -> None:
    facts = feeds({"c1": 12.0, "c2": 9.0, "c3": None, "c4": 10.8, "skipped": 1.0})
    verdict = judge_rule(rule(**SAG, when="feed.load.name != 'skipped'"), facts)
    assert (verdict.passed, verdict.not_applicable) == (2, 1)
    assert _kinds(verdict) == [("fail", "cameras/c2"), ("open", "cameras/c3")]


def test_subjects_keep_the_order_of_the_file() -> None:
    facts = feeds({"z": 1.0, "a": None, "m": 1.0, "b": None})
    assert [name for _, name in _kinds(judge_rule(rule(**SAG), facts))] == [
        "cameras/z", "cameras/a", "cameras/m", "cameras/b",
    ]  # fmt: skip


def test_no_subject_gives_an_empty_verdict() -> None:
    verdict = judge_rule(rule(**SAG), Facts())
    assert (verdict.passed, verdict.not_applicable, verdict.judgements) == (0, 0, [])


def test_an_open_judgement_names_what_to_supply_in_order_each_once() -> None:
    camera = make("camera", "cameras/c1", name="c1")
    feed = make("feed", "cameras/c1", load=camera)
    feed.lacks("volts_night", "cameras/c1/power/over/0/length", "parts/dc/conductor")
    camera.lacks("volts_min", "parts/fennick/turret-5/power/volts_min", "cameras/c1/power/over/0/length")
    (found,) = judge_rule(rule(**SAG), Facts(feed)).judgements
    assert found.kind == "open"
    assert found.missing == (
        "cameras/c1/power/over/0/length", "parts/dc/conductor", "parts/fennick/turret-5/power/volts_min",
    )  # fmt: skip


def test_a_field_nobody_recorded_as_lacking_is_named_itself() -> None:
    (found,) = judge_rule(
        rule(about="camera", require="camera.has_power"), Facts(make("camera", "cameras/c1"))
    ).judgements
    assert found.missing == ("cameras/c1/has_power",)


def test_what_is_missing_does_not_matter_where_the_other_side_decides() -> None:
    camera = make("camera", "cameras/c1", has_video=True)
    either = judge_rule(rule(about="camera", require="camera.has_power || camera.has_video"), Facts(camera))
    assert (either.passed, either.judgements) == (1, [])
    both = judge_rule(rule(about="camera", require="camera.has_power && !camera.has_video"), Facts(camera))
    assert _kinds(both) == [("fail", "cameras/c1")]


def test_an_unknown_guard_leaves_the_rule_open() -> None:
    camera = make("camera", "cameras/c1", has_video=True)
    verdict = judge_rule(
        rule(about="camera", when="camera.has_power", require="camera.has_video"), Facts(camera)
    )
    assert _kinds(verdict) == [("open", "cameras/c1")]


def test_a_value_that_cannot_be_computed_is_a_fault_and_the_others_go_on() -> None:
    inputs = [make("input", f"recorders/r/{n}", number=n, camera_count=1, exists=True) for n in (0, 1, 2)]
    verdict = judge_rule(
        rule(about="input", require="2 / input.number >= input.camera_count"), Facts(*inputs)
    )
    assert verdict.passed == 2
    assert _kinds(verdict) == [("fault", "recorders/r/0")]
    assert "zero" in verdict.judgements[0].fault


def test_a_crash_is_a_fault_of_this_rule_only() -> None:
    class Hostile:
        kind = "feed"
        subject = "cameras/hostile"
        pointer = ("cameras", "hostile")

        @property
        def volts_night(self) -> float:
            raise RuntimeError("a broken sheet")

    good = feeds({"c1": 12.0})
    facts = Facts(*good.sheets, Hostile())
    verdict = judge_rule(rule(**SAG), facts)
    assert verdict.passed == 1
    assert _kinds(verdict) == [("fault", "cameras/hostile")]
    assert verdict.judgements[0].fault == "RuntimeError: a broken sheet"


def test_a_sheet_holding_a_wrong_type_is_a_fault_not_a_pass() -> None:
    verdict = judge_rule(rule(**SAG), feeds({"c1": "high"}))  # type: ignore[dict-item]
    assert [kind for kind, _ in _kinds(verdict)] == ["fault"]


SHARE = {
    "about": "feed",
    "require": "feed.volts_night >= feed.load.volts_min * (1.0 + limit.reserve)",
    "limits": "{reserve: {value: 5 %, source: common practice}}",
}


def test_limits_are_read_with_their_unit_and_a_site_may_set_another() -> None:
    facts = feeds({"c1": 11.0, "c2": 11.5})
    reserve = rule(**SHARE)
    assert [name for _, name in _kinds(judge_rule(reserve, facts))] == ["cameras/c1"]
    wider = {"reserve": override_limit(reserve.limits["reserve"], "1 %")}
    assert judge_rule(reserve, facts, wider).passed == 2
    assert judge_rule(reserve, facts).passed == 1, "the override must not stay"


def test_the_site_is_a_variable_of_every_rule() -> None:
    facts = feeds({"c1": 1.0})
    found = judge_rule(rule(about="camera", require="site.video_rate == camera.site.video_rate"), facts)
    assert found.passed == 1
    about_site = judge_rule(rule(about="site", require="site.name == 'Reed Quay'"), facts)
    assert about_site.passed == 1


def _output() -> Facts:
    cameras = [make("camera", f"cameras/c{n}", name=f"c{n}", watts_night=float(n)) for n in (1, 2, 3)]
    runs = [make("feed", camera.subject, load=camera) for camera in cameras]
    output = make("output", "supplies/psu1/1", number=1, feeds=runs[:2], amps_max=1.1)
    other = make("output", "supplies/psu1/2", number=2, feeds=runs[2:], amps_max=1.1)
    return Facts(output, other, *cameras, *runs)


def test_joints_of_an_output_and_each_camera_it_feeds() -> None:
    joint = rule(about="{kind: output, feeding: camera}", require="camera.name == 'c1' || output.number == 2")
    verdict = judge_rule(joint, _output())
    assert verdict.passed == 2
    assert _kinds(verdict) == [("fail", "supplies/psu1/1 > cameras/c2")]
    assert verdict.judgements[0].subject.pointer == ("cameras", "c2")
    assert judging.values(verdict.judgements[0]) == {"camera.name": "c2", "output.number": 1}


def test_a_macro_variable_may_bear_the_name_of_a_subject() -> None:
    shadowed = rule(
        about="{kind: output, feeding: camera}",
        require="output.feeds.exists(camera, camera.load.name != 'c1') && camera.name != 'c1'",
    )
    verdict = judge_rule(shadowed, _output())
    assert verdict.passed == 2
    assert _kinds(verdict) == [("fail", "supplies/psu1/1 > cameras/c1")]


def _paths() -> Facts:
    camera = make("camera", "cameras/c1", name="c1")
    hops = [
        make("hop", "cameras/c1/video/over/0", is_box=False, name="rg59-copper", blocks_sound=False),
        make("hop", "cameras/c1/video/over/1", is_box=True, name="iso1", blocks_sound=True),
    ]
    recorder = make("recorder", "recorders/rec1", name="rec1")
    link = make("link", "cameras/c1", camera=camera, recorder=recorder, hops=hops, metres=85.0)
    return Facts(camera, recorder, link)


def test_a_path_rule_names_the_hop_that_decides() -> None:
    blocked = rule(
        about="{from: camera, along: video, to: recorder}",
        says="{camera.name} to {recorder.name} is blocked at {hop.name}",
        require="'!path.hops.exists(h, h.is_box && h.blocks_sound)'",
    )
    (found,) = judge_rule(blocked, _paths()).judgements
    assert found.subject.subject == "cameras/c1"
    assert judging.told(found, blocked.says) == "c1 to rec1 is blocked at iso1"
    assert [hop.name for hop in judging.deciding(found)] == ["iso1"]


def test_all_is_decided_by_the_items_of_which_it_is_not_true() -> None:
    clear = rule(
        about="{from: camera, along: video, to: recorder}", require="path.hops.all(h, !h.blocks_sound)"
    )
    (found,) = judge_rule(clear, _paths()).judgements
    assert [hop.name for hop in judging.deciding(found)] == ["iso1"]


def test_a_path_without_known_hops_is_open() -> None:
    facts = _paths()
    del facts.by_kind("link")[0].hops
    facts.by_kind("link")[0].lacks("hops", "cameras/c1/video/over")
    clear = rule(
        about="{from: camera, along: video, to: recorder}", require="path.hops.all(h, !h.blocks_sound)"
    )
    (found,) = judge_rule(clear, facts).judgements
    assert (found.kind, found.missing) == ("open", ("cameras/c1/video/over",))


def test_power_paths_have_the_runs_of_the_cable_as_hops() -> None:
    camera, supply = make("camera", "cameras/c1", name="c1"), make("supply", "supplies/p", name="p")
    feed = make("feed", "cameras/c1", load=camera, source=supply, metres=60.0)
    runs = [
        make(
            "run",
            f"cameras/c1/power/over/{n}",
            owner="cameras/c1",
            use="power",
            metres=30.0 * (n + 1),
            cable="dc",
        )
        for n in (0, 1)
    ]
    other = make(
        "run", "cameras/c1/video/over/0", owner="cameras/c1", use="video", metres=500.0, cable="rg59"
    )
    long = rule(
        about="{from: camera, along: power, to: supply}",
        require="path.hops.all(h, h.metres <= limit.most)",
        limits="{most: {value: 50 m, source: common practice}}",
    )
    (found,) = judge_rule(long, Facts(camera, supply, feed, *runs, other)).judgements
    assert [hop.metres for hop in judging.deciding(found)] == [60.0]


def test_margin_values_and_sentence_of_a_fail() -> None:
    sag = rule(
        **SAG,
        says="{feed.load.name} gets {feed.volts_night|V} of {feed.load.volts_min|V}",
        margin="(feed.volts_night - feed.load.volts_min) / feed.load.volts_min",
    )
    (found,) = judge_rule(sag, feeds({"c1": 9.72}, 10.8)).judgements
    assert judging.told(found, sag.says) == "c1 gets 9.72 V of 10.8 V"
    assert math.isclose(judging.margin(found) or 0, -0.1)
    assert judging.values(found) == {"feed.volts_night": 9.72, "feed.load.volts_min": 10.8}


def test_two_values_that_differ_never_print_equal() -> None:
    sag = rule(**SAG, says="{feed.volts_night|V} against {feed.load.volts_min|V}")
    (found,) = judge_rule(sag, feeds({"c1": 10.7996}, 10.8)).judgements
    first, second = judging.told(found, sag.says).split(" against ")
    assert first != second
    assert float(first.removesuffix(" V")) < float(second.removesuffix(" V"))


def test_what_is_not_known_prints_so() -> None:
    camera = make("camera", "cameras/c1", has_power=False)
    powered = rule(about="camera", require="camera.has_power", says="{camera.name} has {camera.volts_min|V}")
    (found,) = judge_rule(powered, Facts(camera)).judgements
    assert judging.told(found, powered.says) == "not known has not known"


def test_a_margin_that_cannot_be_known_is_none() -> None:
    powered = rule(about="camera", require="camera.has_power", margin="camera.volts_min / camera.volts_max")
    facts = Facts(make("camera", "cameras/c1", has_power=False, volts_min=1.0))
    assert judging.margin(judge_rule(powered, facts).judgements[0]) is None
    zero = Facts(make("camera", "cameras/c1", has_power=False, volts_min=1.0, volts_max=0.0))
    assert judging.margin(judge_rule(powered, zero).judgements[0]) is None


def test_few_subjects_come_to_the_same_without_the_loop() -> None:
    """What a start judges exactly, to save the compiling, a large site judges by the loop."""
    facts = feeds({f"c{number}": 9.0 + number for number in range(6)})
    by_hand, by_loop = rule(**SAG), rule(**SAG)
    assert by_loop.pays_to_compile(50)
    one, other = judge_rule(by_hand, facts), judge_rule(by_loop, facts)
    assert "sweep" not in by_hand.__dict__
    assert "sweep" in by_loop.__dict__
    assert (one.passed, one.not_applicable, _kinds(one)) == (other.passed, other.not_applicable, _kinds(other))
    assert one.passed
    assert one.judgements


def test_a_rule_with_long_lists_is_worth_its_loop_sooner() -> None:
    """Two recorders, judged exactly once: their 200 links cost as much as 50 usual subjects."""
    links = [make("link", f"cameras/c{number}", loss=1.0, loss_limit=2.0) for number in range(200)]
    facts = Facts(*(make("recorder", f"recorders/r{number}", links=links[number::2]) for number in range(2)))
    short = rule(about="recorder", require="size(recorder.links) > 0", says="no")
    long = rule(about="recorder", require="'recorder.links.all(link, link.loss <= link.loss_limit)'", says="no")
    for each in (short, long):
        assert judge_rule(each, facts).passed == 2
        assert "sweep" not in each.__dict__
        assert judge_rule(each, facts).passed == 2
    assert "sweep" in long.__dict__
    assert "sweep" not in short.__dict__


def test_only_some_subjects_can_be_judged_again() -> None:
    facts = feeds({"c1": 1.0, "c2": 1.0})
    verdict = judge_rule(rule(**SAG), facts, only=facts.by_kind("feed")[1:])
    assert [name for _, name in _kinds(verdict)] == ["cameras/c2"]


def test_the_hot_path_does_not_run_away(guarded: Callable[[float], Any]) -> None:
    """A guard against a sweep that does not run compiled: it takes 0.3 us for a subject."""
    count = 10_000
    facts = feeds({f"c{number}": 12.0 for number in range(count)})
    sag = rule(**SAG, when="feed.load.name != 'skipped'")
    judge_rule(sag, facts)
    listed = facts.by_kind("feed")
    with guarded(30):
        for _ in range(7):
            assert judge_rule(sag, facts, only=listed).passed == len(listed)
