"""No change that is shown does harm: on random faulty sites with gaps in their parts, each is carried out on the file.

A few sites by default; COAXWRIGHT_FULL=1 takes 1,000. COAXWRIGHT_HARM_SEED=N draws others. The oracle is the full
check of the written file, and lists of our own of what is needed and what is lost; it shares nothing with the proof.
"""

from __future__ import annotations

import os

import pytest

from .invented_sites import made
from .judging import Sides, gone, harms_of_change, order_harms
from .losses import felt, fewer, hurt, of_camera
from .needs import dropped
from .patches import DoesNotApply, patched
from .program import Seen
from .run import many, summary, total

FULL = bool(os.environ.get("COAXWRIGHT_FULL"))
SITES = 1000 if FULL else 2
SEED = int(os.environ.get("COAXWRIGHT_HARM_SEED", "3"))
BLOCKS = 10 if FULL else 1


@pytest.mark.parametrize("block", range(BLOCKS))
def test_no_shown_change_does_harm(block):
    share = SITES // BLOCKS
    found = total(many(share, SEED, first=block * share))
    assert not found.harms, summary(found) + "\n" + "\n".join(map(str, found.harms[:20]))
    assert found.sites == share
    assert found.with_change >= share * 0.3
    assert found.refused <= share * 0.2


def test_a_seed_names_a_site_for_good():
    assert made(1, 5) == made(1, 5)
    assert made(1, 5).site != made(1, 6).site
    assert len({made(4, number).site["site"].split()[0] for number in range(60)}) == 5


# RFC 6902 appendix A, the examples by their numbers.


@pytest.mark.parametrize(
    ("document", "patch", "after"),
    [
        ({"foo": "bar"}, [{"op": "add", "path": "/baz", "value": "qux"}], {"baz": "qux", "foo": "bar"}),
        ({"foo": ["bar", "baz"]}, [{"op": "add", "path": "/foo/1", "value": "qux"}], {"foo": ["bar", "qux", "baz"]}),
        ({"baz": "qux", "foo": "bar"}, [{"op": "remove", "path": "/baz"}], {"foo": "bar"}),
        ({"foo": ["bar", "qux", "baz"]}, [{"op": "remove", "path": "/foo/1"}], {"foo": ["bar", "baz"]}),
        (
            {"baz": "qux", "foo": "bar"},
            [{"op": "replace", "path": "/baz", "value": "boo"}],
            {"baz": "boo", "foo": "bar"},
        ),
        (
            {"foo": {"bar": "baz", "waldo": "fred"}, "qux": {"corge": "grault"}},
            [{"op": "move", "from": "/foo/waldo", "path": "/qux/thud"}],
            {"foo": {"bar": "baz"}, "qux": {"corge": "grault", "thud": "fred"}},
        ),
        (
            {"foo": ["all", "grass", "cows", "eat"]},
            [{"op": "move", "from": "/foo/1", "path": "/foo/3"}],
            {"foo": ["all", "cows", "eat", "grass"]},
        ),
        ({"foo": ["bar"]}, [{"op": "add", "path": "/foo/-", "value": ["abc"]}], {"foo": ["bar", ["abc"]]}),
        ({"/": 9, "~1": 10}, [{"op": "test", "path": "/~01", "value": 10}], {"/": 9, "~1": 10}),
    ],
)
def test_patches_as_in_the_standard(document, patch, after):
    assert patched(document, patch) == after


def test_a_patch_that_does_not_apply_is_told():
    for patch in (
        [{"op": "add", "path": "/baz/bat", "value": "qux"}],
        [{"op": "remove", "path": "/baz"}],
        [{"op": "replace", "path": "/baz", "value": 1}],
        [{"op": "test", "path": "/foo", "value": "qux"}],
    ):
        with pytest.raises(DoesNotApply):
            patched({"foo": "bar"}, patch)


# The judge itself: each promise broken on purpose is noticed.

KEY = ("power/undervoltage", "cameras/a")
OTHER = ("view/density-low", "cameras/b")
SITE = {"cameras": {"a": {"part": "x/one", "wants": {"rate": "12 fps"}}, "b": {"part": "x/one"}}}


def seen(fails=None, opens=None, facts=None):
    return Seen(dict(fails or {}), dict(opens or {}), set(), facts or {})


def kinds(before, after, change=None, now=None, cleared="error", parts=None):
    sides = Sides(before, after, SITE, now or SITE, parts or {})
    return {kind for kind, _ in harms_of_change(sides, change or {}, [KEY], cleared)}


BEFORE = {KEY: ("error", -0.5), OTHER: ("error", -0.2)}


def test_the_judge_finds_each_kind():
    was = seen(BEFORE)
    mended = {OTHER: ("error", -0.2)}
    assert kinds(was, seen(mended)) == set()
    assert kinds(was, seen(BEFORE)) == {"target-fails"}
    assert kinds(was, seen(mended, {KEY: "error"})) == {"target-open"}
    assert kinds(was, seen({OTHER: ("error", -0.3)})) == {"worse-error"}
    assert kinds(was, seen({OTHER: ("error", -0.2 - 1e-9)})) == set()
    assert kinds(was, seen(mended | {("x/y", "cameras/a"): ("error", None)})) == {"new-error"}
    assert kinds(was, seen(mended, {("x/y", "cameras/a"): "error"})) == {"opened-error"}
    assert kinds(was, seen(mended | {("x/y", "cameras/a"): ("warning", None)})) == {"new-unsaid"}
    assert kinds(was, seen(mended | {("x/y", "cameras/a"): ("warning", None)}), cleared="warning") == {"new-too-high"}
    said = {"worsens": [{"rule": "x/y", "subject": "cameras/a", "level": "warning"}]}
    assert kinds(was, seen(mended | {("x/y", "cameras/a"): ("warning", None)}), said) == set()


def test_the_judge_finds_what_is_gone_and_given_up():
    was, after = seen(BEFORE), seen({})
    without = {"cameras": {"b": SITE["cameras"]["b"]}}
    assert kinds(was, after, now=without) == {"target-gone", "need-unsaid"}
    assert kinds(was, after, {"gives_up": ["camera a"]}, now=without) == set()
    less = {"cameras": {"a": {"part": "x/one", "wants": {"rate": "8 fps"}}, "b": SITE["cameras"]["b"]}}
    assert kinds(was, after, now=less) == {"need-unsaid"}
    assert gone(("power/collapse", "cameras/a/power"), {"cameras": {"a": {"power": {}}}}, {"cameras": {"a": {}}})
    assert list(dropped({"retention": "30 days"}, {"retention": "9 days"})) == ["retention: 30 days -> 9 days"]


def test_the_judge_finds_what_is_lost():
    facts = {"cameras/a": {"settled": {"width": 1920, "height": 1080, "recorded_fps": 25.0}, "sound_works": True}}
    now = {"cameras/a": {"settled": {"width": 960, "height": 576, "recorded_fps": 25.0}, "sound_works": False}}
    assert len(list(felt(facts, now))) == 2
    assert kinds(seen(BEFORE, facts=facts), seen({}, facts=now)) == {"loss-unsaid"}
    assert kinds(seen(BEFORE, facts=facts), seen({}, facts=now), {"loses": ["a: half the pixels"]}) == {"loss-unsaid"}
    words = {"loses": ["a: half the pixels", "a: no sound"]}
    assert kinds(seen(BEFORE, facts=facts), seen({}, facts=now), words) == set()
    moving = {"control": {"moves": True}, "housing": {"rated": "outdoor"}}
    assert list(fewer("a", of_camera(moving), of_camera({"housing": {"rated": "indoor"}}))) == [
        ("a moves: 1 -> not known", True),
        ("a outdoor: 1 -> 0", False),
    ]
    volts = ({"cameras/a": {"volts_nominal": 12.0, "volts_idle": each}} for each in (13.8, 27.0))
    assert len(list(hurt(*volts))) == 1


def test_order_is_held():
    fixes = [{"gives_up": ["it"]}, {}, {"hides": True}]
    assert [kind for kind, _ in order_harms(fixes, [False, False, False])] == ["need-not-last"]
    assert [kind for kind, _ in order_harms([{}, {}], [True, False])] == ["order"]


def test_sites_have_gaps_and_many_shapes():
    drawn = [made(2, number) for number in range(80)]
    unstated = [
        part for each in drawn for part in each.parts.values() if part["kind"] == "cable" and "rated" not in part
    ]
    assert len(unstated) > 10
    groups = {group for each in drawn for group in each.site}
    assert {"junctions", "switches", "boxes", "monitors", "waivers", "rules", "retention"} <= groups
