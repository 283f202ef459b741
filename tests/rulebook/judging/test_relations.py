"""Every relation and path that rules may be about, on one site made by hand, judged one by one and by the loop."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

import pytest

from coaxwright.facts.sheets import SHEETS
from coaxwright.rulebook import judging
from coaxwright.rulebook.judging import judge_rule
from coaxwright.rulebook.scope import FEEDING, PATHS

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
from handmade import Facts, make, rule


class All(Facts):
    """As on a real site: a kind without sheets is asked for too."""

    def by_kind(self, kind: str) -> list[Any]:
        assert kind in SHEETS
        return list(super().by_kind(kind))


def _site() -> Facts:
    """Cameras c1, c2 on recorder a (inputs 1, 2), c3 on b; c1, c3 on output 1 of p, c2 on junction j behind output 2; one
    feed and one link whose device is not known.
    """
    cameras = [make("camera", f"cameras/c{n}", name=f"c{n}") for n in (1, 2, 3)]
    supply, junction = make("supply", "supplies/p", name="p"), make("junction", "junctions/j", name="j")
    outputs = [make("output", f"supplies/p/{n}", number=n) for n in (1, 2)]
    recorders = [make("recorder", f"recorders/{name}", name=name) for name in "ab"]
    inputs = [make("input", f"recorders/a/{n}", number=n, recorder=recorders[0]) for n in (1, 2)]
    groups = [make("disk_group", f"{each.subject}/disks", recorder=each) for each in recorders]
    feeds = [
        make("feed", "cameras/c1", load=cameras[0], source=supply, output=outputs[0], metres=10.0),
        make("feed", "cameras/c2", load=cameras[1], source=supply, output=outputs[1], junction=junction, metres=20.0),
        make("feed", "cameras/c3", load=cameras[2], source=supply, output=outputs[0], metres=30.0),
        make("feed", "cameras/c4"),
    ]
    outputs[0].feeds, outputs[1].feeds = [feeds[0], feeds[2], feeds[3]], [feeds[1]]
    links = [
        make("link", "cameras/c1", camera=cameras[0], recorder=recorders[0], input=inputs[0], metres=11.0, hops=[]),
        make("link", "cameras/c2", camera=cameras[1], recorder=recorders[0], input=inputs[1], metres=12.0, hops=[]),
        make("link", "cameras/c3", camera=cameras[2], recorder=recorders[1], hops=[]),
        make("link", "cameras/c4", recorder=recorders[1]),
        make("link", "cameras/c5", camera=make("camera", "cameras/c5", name="c5")),
    ]
    links[2].lacks("metres", "cameras/c3/video/over/0/length")
    return All(*cameras, supply, junction, *outputs, *recorders, *inputs, *groups, *feeds, *links)


PAIRS = {
    "output": ["supplies/p/1 > cameras/c1", "supplies/p/1 > cameras/c3", "supplies/p/2 > cameras/c2"],
    "supply": ["supplies/p > cameras/c1", "supplies/p > cameras/c2", "supplies/p > cameras/c3"],
    "junction": ["junctions/j > cameras/c2"],
    "recorder": ["recorders/a > cameras/c1", "recorders/a > cameras/c2", "recorders/b > cameras/c3"],
    "input": ["recorders/a/1 > cameras/c1", "recorders/a/2 > cameras/c2"],
    "disk_group": ["recorders/a/disks > cameras/c1", "recorders/a/disks > cameras/c2", "recorders/b/disks > cameras/c3"],
}


def _kinds(verdict: Any) -> list[tuple[str, str]]:
    return [(each.kind, each.subject.subject) for each in verdict.judgements]


def test_every_relation_is_tried_here() -> None:
    assert {kind for kind, _ in FEEDING} == set(PAIRS)
    assert {(along, end) for _, along, end in PATHS} == set(ENDS)


@pytest.mark.parametrize("kind", PAIRS)
@pytest.mark.parametrize("looped", [False, True])
def test_relations(kind: str, looped: bool) -> None:
    every = rule(about=f"{{kind: {kind}, feeding: camera}}", require="camera.name == 'nobody'")
    assert not looped or every.pays_to_compile(50)
    verdict = judge_rule(every, _site())
    assert _kinds(verdict) == [("fail", name) for name in PAIRS[kind]]
    assert ("sweep" in every.__dict__) == looped
    assert verdict.judgements[0].subject.pointer[0] == "cameras"


@pytest.mark.parametrize("looped", [False, True])
def test_guards_lists_choices_and_macros_of_a_relation(looped: bool) -> None:
    """Variables are found wherever they stand; a macro's own variable of the same name hides the outer one."""
    pair = rule(
        about="{kind: output, feeding: camera}",
        when="output.number in [1, 2] && camera.name in ['c1', 'c2', 'c3']",
        require="'(output.number == 2 ? size(camera.name) == 2 : camera.name == \"c1\")"
        " && output.feeds.filter(camera, has(camera.load)).exists(camera, camera.load.name != \"c9\")'",
    )
    assert not looped or pair.pays_to_compile(50)
    verdict = judge_rule(pair, _site())
    assert (verdict.passed, verdict.not_applicable) == (2, 0)
    assert _kinds(verdict) == [("fail", "supplies/p/1 > cameras/c3")]


ENDS = {
    ("video", "recorder"): (["cameras/c1", "cameras/c2", "cameras/c3"], [11.0, 12.0, None]),
    ("video", "input"): (["cameras/c1", "cameras/c2"], [11.0, 12.0]),
    ("power", "supply"): (["cameras/c1", "cameras/c2", "cameras/c3"], [10.0, 20.0, 30.0]),
    ("power", "output"): (["cameras/c1", "cameras/c2", "cameras/c3"], [10.0, 20.0, 30.0]),
    ("power", "junction"): (["cameras/c2"], [20.0]),
}


@pytest.mark.parametrize(("along", "end"), ENDS)
@pytest.mark.parametrize("looped", [False, True])
def test_paths(along: str, end: str, looped: bool) -> None:
    names, metres = ENDS[along, end]
    every = rule(about=f"{{from: camera, along: {along}, to: {end}}}", require="path.metres <= 0.0 && camera.name != ''")
    assert not looped or every.pays_to_compile(50)
    verdict = judge_rule(every, _site())
    assert [each.subject.subject for each in verdict.judgements] == names
    assert [each.subject.first.known("metres") for each in verdict.judgements] == metres
    assert [each.kind for each in verdict.judgements] == ["open" if each is None else "fail" for each in metres]
    assert all(each.missing == ("cameras/c3/video/over/0/length",) for each in verdict.judgements if each.kind == "open")
    assert [each.subject.third.kind for each in verdict.judgements] == [end] * len(names)


def test_runs_without_a_length_are_open_hop_by_hop() -> None:
    camera, supply = make("camera", "cameras/c1", name="c1"), make("supply", "supplies/p", name="p")
    feed = make("feed", "cameras/c1", load=camera, source=supply, metres=60.0)
    run = make("run", "cameras/c1/power/over/0", owner="cameras/c1", use="power", cable="dc")
    run.lacks("metres", "cameras/c1/power/over/0/length")
    long = rule(about="{from: camera, along: power, to: supply}", require="path.hops.all(h, h.metres > 0.0)")
    (found,) = judge_rule(long, All(camera, supply, feed, run)).judgements
    assert (found.kind, found.missing) == ("open", ("cameras/c1/power/over/0/length",))


# Faults and crashes


def test_a_loop_that_crashes_leaves_all_to_the_exact_evaluator(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: Any) -> Any:
        raise RecursionError("too deep")

    named = rule(about="camera", require="camera.name == 'c1'")
    assert named.pays_to_compile(50)
    monkeypatch.setattr(judging, "bind_sweep", broken)
    verdict = judge_rule(named, _site())
    assert (verdict.passed, verdict.not_applicable) == (1, 0)
    assert _kinds(verdict) == [("fail", "cameras/c2"), ("fail", "cameras/c3")]


@pytest.mark.parametrize("wanted", ["when", "require"])
def test_a_condition_that_is_neither_true_nor_false_is_a_fault(monkeypatch: pytest.MonkeyPatch, wanted: str) -> None:
    """No expression of the rule language comes to anything else; should one, the rule is at fault and the site is not."""
    named = rule(about="camera", when="camera.name != ''", require="camera.name == 'c1'")
    at = getattr(named, wanted)
    evaluate = judging.evaluate
    monkeypatch.setattr(judging, "evaluate", lambda checked, *rest: "maybe" if checked is at else evaluate(checked, *rest))
    verdict = judge_rule(named, _site())
    assert [each.kind for each in verdict.judgements] == ["fault"] * 3
    assert verdict.judgements[0].fault == "the condition came to 'maybe'"


def test_values_that_may_grow_are_never_left_to_the_loop() -> None:
    """A macro that makes a list of what it walked last: the exact evaluator counts it."""
    growing = rule(about="output", require="output.feeds.map(f, [output.number, f.load.name.size()]).all(p, p[0] < 2)")
    assert growing.degree is None
    fixed = rule(about="output", require="output.feeds.map(f, [1, 2]).all(p, p[0] < 2)")
    assert fixed.degree is not None
    assert growing.pays_to_compile(50)
    verdict = judge_rule(growing, _site())
    assert "sweep" not in growing.__dict__
    assert [each.kind for each in verdict.judgements] == ["open", "fail"]


# What is told


def test_a_path_without_a_hop_that_decides_has_no_hop_to_name() -> None:
    named = rule(
        about="{from: camera, along: video, to: recorder}",
        require="camera.name == 'c9'",
        says="{camera.name} to {recorder.name} by {hop.name}",
    )
    verdict = judge_rule(named, _site())
    assert judging.told(verdict.judgements[0], named.says) == "c1 to a by not known"


def test_items_of_a_macro_inside_another_are_not_named() -> None:
    inner = rule(
        about="recorder",
        require="recorder.links.all(l, l.hops.all(h, h.is_box && l.metres > 0.0))",
    )
    camera, recorder = make("camera", "cameras/c1"), make("recorder", "recorders/a", name="a")
    hop = make("hop", "cameras/c1/video/over/0", is_box=False)
    link = make("link", "cameras/c1", camera=camera, recorder=recorder, metres=1.0, hops=[hop])
    recorder.links = [link]
    (found,) = judge_rule(inner, All(recorder, link)).judgements
    assert found.kind == "fail"
    assert judging.deciding(found) == [link]
