"""Ranges of numbers, checked in full at both sides of each end, and against closed forms.

Length of coax: the loss limit over the loss of a metre (the way's own reach). Length of power: one constant-power
load on one line, V = V0/2 + sqrt(V0^2/4 - P R) (maximum power transfer theorem; any circuit textbook).
"""

from __future__ import annotations

import math

import pytest

from coaxwright.checking import check
from coaxwright.errors import Refusal
from coaxwright.fixes.limit_words import ending_words
from coaxwright.fixes.limits import End, Limit, Number, limits_of, named, numbers_of
from coaxwright.fixes.patching import applied, replace_or_add
from coaxwright.fixes.rejudging import start
from coaxwright.fixes.varying import combined
from coaxwright.reading.site_reader import with_value

from . import random_sites

SITE = {
    "site": "Limits",
    "retention": "3 days",
    "recorders": {"r1": {"part": "tarnwell/middle-8", "disks": ["generic/disk-4tb"], "record": {"codec": "h265"}}},
    "supplies": {"p1": {"part": "generic/dc12-5a-4way", "trim": "12.5 V"}},
    "cameras": {
        "c1": {
            "part": "tarnwell/turret-5",
            "video": {"into": "r1/1", "over": [{"cable": "rg59-copper", "length": "60 m"}]},
            "power": {"from": "p1/1", "over": [{"cable": "dc-1.5mm2", "length": "40 m"}]},
            "wants": {"rate": "10 fps"},
        }
    },
}


@pytest.fixture(scope="module")
def state(rulebook, parts, day):
    return start(random_sites.load(SITE, parts), rulebook=rulebook, today=day)


@pytest.fixture(scope="module")
def ranges(state):
    return {
        (subject, limit.number.name): limit
        for subject in ("cameras/c1", "supplies/p1", "site")
        for limit in limits_of(state, subject)[0]
    }


def fails(state, number, value):
    """Errors of a full check with another value."""
    edited = applied(state.value, [replace_or_add(state.value, number.path, number.written(value))])
    report = check(with_value(state.basis.loaded, edited), rulebook=state.basis.rulebook, today=state.basis.today)
    return {each.key for each in report.findings if each.kind == "fail" and each.level == "error"}


def test_every_end_is_where_a_full_check_says(state, ranges):
    ends = 0
    for limit in ranges.values():
        if limit.number.of_part:
            continue
        for end in (limit.up, limit.down):
            assert not fails(state, limit.number, end.holds)
            if end.fails is not None:
                assert fails(state, limit.number, end.fails) == set(end.rules)
                assert 0 < abs(end.fails - end.holds) <= limit.number.step * 1.0001
                ends += 1
    assert ends >= 5


def test_coax_holds_up_to_its_reach(state, ranges):
    (link,) = state.facts.by_kind("link")
    limit = ranges["cameras/c1", "video length"]
    assert limit.up.holds == math.floor(link.loss_limit / (link.loss / link.metres))
    assert [rule for rule, _ in limit.up.rules] == ["cable/loss-beyond-limit"]


def test_power_holds_up_to_the_closed_form(state, ranges):
    (feed,) = state.facts.by_kind("feed")
    per_metre = feed.ohms / feed.metres
    watts, least, source = feed.load.watts_night, feed.load.volts_min, feed.volts_idle
    longest = least * (source - least) / watts / per_metre
    volts = source / 2 + math.sqrt(source**2 / 4 - watts * longest * per_metre)
    assert volts == pytest.approx(least)
    limit = ranges["cameras/c1", "power length"]
    assert limit.up.holds == math.floor(longest)


def test_load_holds_up_to_the_closed_form(state, ranges):
    (feed,) = state.facts.by_kind("feed")
    by_volts = feed.load.volts_min * (feed.volts_idle - feed.load.volts_min) / feed.ohms
    amps = feed.output.amps_max
    most = min(by_volts, amps * (feed.volts_idle - amps * feed.ohms))
    limit = ranges["cameras/c1", "load by night"]
    assert limit.up.holds == pytest.approx(math.floor(most * 10) / 10, abs=0.11)
    assert not [name for name in state.basis.loaded.catalogue.parts if "drawing" in name]


def test_smallest_sizes_hold_and_the_next_smaller_do_not(state, rulebook, day):
    for subject, path in (
        ("cameras/c1", ("cameras", "c1", "power", "over", 0, "cable")),
        ("recorders/r1", ("recorders", "r1", "disks", 0)),
    ):
        ((_, sizes),) = [limits_of(state, subject)]
        (found,) = sizes
        smaller = {"dc-0.75mm2": "dc-0.5mm2", "dc-1mm2": "dc-0.75mm2", "generic/disk-2tb": "generic/disk-1tb"}.get(
            found.part
        )

        def errors(part, path=path):
            edited = applied(state.value, [replace_or_add(state.value, path, part)])
            report = check(with_value(state.basis.loaded, edited), rulebook=rulebook, today=day)
            return [each for each in report.findings if each.kind == "fail" and each.level == "error"]

        assert not errors(found.part)
        assert smaller is None or errors(smaller)


def test_a_subject_that_is_not_there_is_refused(state):
    with pytest.raises(Refusal, match="cameras/c1"):
        limits_of(state, "cameras/c11")


RICH = {
    **SITE,
    "recorders": {"r1": {**SITE["recorders"]["r1"], "record": {"codec": "h265", "rate": "12.5 fps"}}},
    "cameras": {"c1": {**SITE["cameras"]["c1"], "wants": {"rate": "10 fps", "retention": "4 days"},
                       "record": {"rate": "10 fps"}}},
}  # fmt: skip


def test_numbers_move_in_the_steps_that_are_written(rulebook, parts, day):
    """docs/limits-and-what-if.md: whole metres and days, tenths of a volt, a watt and an hour, half frames a second."""
    rich = start(random_sites.load(RICH, parts), rulebook=rulebook, today=day)
    found = [number for subject in ("cameras/c1", "recorders/r1", "supplies/p1", "site") for number in numbers_of(rich, subject)]
    steps = {}
    for number in found:
        steps.setdefault(number.unit, set()).add(number.step)
    assert steps == {"m": {1.0}, "d": {1.0}, "V": {0.1}, "W": {0.1}, "fps": {0.5}}
    assert [number.name for number in found if number.unit == "fps"] == ["rate wanted", "recorded rate", "recorded rate"]


def test_numbers_that_are_named_alone_or_all(state):
    every = [number.name for number in named(state, "cameras/c1", ())]
    assert len(every) > 2
    assert [number.name for number in named(state, "cameras/c1", ("rate wanted",))] == ["rate wanted"]
    with pytest.raises(Refusal, match="writes no number `rate wantedd`"):
        named(state, "cameras/c1", ("rate wantedd",))
    with pytest.raises(Refusal, match=r"its numbers: .*rate wanted"):
        named(state, "cameras/c1", ("xyzzy",))


LONG = Number(("cameras", "c1", "video", "over", 0, "length"), "video length", "m", 60.0, 1.0, 1.0, 1000.0)
ONE, OTHER, THIRD = ("a/one", "cameras/c1"), ("b/other", "cameras/c1"), ("c/third", "cameras/c1")


@pytest.mark.parametrize(
    ("limit", "told"),
    [
        (Limit(LONG, (), End(None, None, ()), End(100.0, 101.0, (ONE, ONE))), "above 100 m a/one fails"),
        (Limit(LONG, (), End(20.0, 19.0, (), 10.0, (OTHER,)), End(100.0, 101.0, (ONE,))),
         "above 100 m a/one fails; below 20 m b/other is open (holds again at 10 m)"),
        (Limit(LONG, (ONE,), End(None, None, ()), End(70.0, 69.0, (ONE,), beyond=End(90.0, 91.0, (THIRD,)))),
         "as written a/one fails; above 90 m c/third fails"),
        (Limit(LONG, (), End(None, None, ()), End(None, None, ()), (OTHER,), (THIRD,)), "open: b/other; waived: c/third"),
        (Limit(LONG, (), End(None, None, ()), End(None, None, (), stopped=True)), "stopped by time"),
        (Limit(LONG, (), End(None, None, ()), End(None, None, ())), ""),
    ],
)  # fmt: skip
def test_what_ends_a_row_in_words(limit, told):
    assert ending_words(limit) == told


def test_a_number_at_its_least_has_no_range_below(rulebook, parts, day):
    short = {**SITE["cameras"]["c1"], "video": {"into": "r1/1", "over": [{"cable": "rg59-copper", "length": "1 m"}]}}
    made = start(random_sites.load({**SITE, "cameras": {"c1": short}}, parts), rulebook=rulebook, today=day)
    (limit,) = limits_of(made, "cameras/c1", names=("video length",))[0]
    assert limit.number.value == limit.number.least == 1.0
    assert (limit.down.holds, limit.down.fails) == (1.0, None)
    assert limit.up.holds > 1.0


def test_as_many_combinations_as_are_allowed():
    assert combined("--vary", [[1, 2], [3, 4]], 4) == [(1, 3), (1, 4), (2, 3), (2, 4)]
    with pytest.raises(Refusal, match="4 combinations are too many"):
        combined("--vary", [[1, 2], [3, 4]], 3)
