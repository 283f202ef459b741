"""`limits` says first how things stand. Held against full checks of the written values, which share nothing with
judging again by components; the sites have faults that no value of the number mends.

Collapse: a constant-power load needs P R <= V^2 / 4 (maximum power transfer theorem; any circuit textbook).
"""

from __future__ import annotations

import json
import os
from random import Random

import pytest

from coaxwright import pace
from coaxwright.checking import check, load_site
from coaxwright.cli.main import run
from coaxwright.errors import Refusal
from coaxwright.fixes.limit_words import limit_words
from coaxwright.fixes.limits import limits_of, not_looked_into
from coaxwright.fixes.patching import applied, replace_or_add
from coaxwright.fixes.rejudging import start
from coaxwright.reading.site_reader import with_value

from . import random_sites

PARTS = """
parts:
  ladle/trunk-cam:
    kind: camera
    source: invented datasheet LA-1
    emits: [{family: tvi, mode: 1920x1080@25}]
    starts_as: {family: tvi, mode: 1920x1080@25}
    power: {kind: dc, volts: 12 V, volts_min: 10.8 V, volts_max: 13.2 V, watts_day: 9 W, watts_night: 9 W, load: constant-power}
  ladle/backed:
    kind: supply
    source: invented datasheet LA-2
    volts: 12 V
    trim_min: 11 V
    trim_max: 14 V
    amps: 10 A
    outputs: 4
    amps_per_output: 5 A
    output_protection: fuse
    battery_volts_end: 10.5 V
  ladle/unmeasured:
    kind: cable
    source: invented datasheet LA-3, which states no loss
    carries: [coax]
    impedance: 75 ohm
"""
SITE = """
site: Ladle
parts: [parts.yaml]
recorders: {r1: {part: tarnwell/none}}
supplies:
  ups: {part: ladle/backed, trim: 12.5 V, battery: 7 Ah, battery_hours: 20 h, autonomy: 4 h,
        place: {setting: indoor, ambient_min: 5 °C}}
junctions:
  t1: {power: {from: ups/1, over: [{cable: dc-0.5mm2, length: 120 m}]}}
cameras:
  a: {part: ladle/trunk-cam, power: {from: t1, over: [{cable: dc-0.5mm2, length: 5 m}]}}
  b: {part: ladle/trunk-cam, power: {from: t1, over: [{cable: dc-0.5mm2, length: 5 m}]}}
  c: {part: ladle/trunk-cam, power: {from: ups/2, over: [{cable: dc-2.5mm2, length: 5 m}]},
      video: {into: r1/1, over: [{cable: ladle/unmeasured, length: 40 m}]}}
""".replace("{part: tarnwell/none}", "{part: ladle/rec}")
RECORDER = """
  ladle/rec:
    kind: recorder
    source: invented datasheet LA-4
    inputs: [{channels: 1-4, accepts: [{family: tvi, mode: 1920x1080@25}]}]
"""


@pytest.fixture
def site(tmp_path):
    (tmp_path / "parts.yaml").write_text(PARTS + RECORDER, encoding="utf-8")
    path = tmp_path / "ladle.site.yaml"
    path.write_text(SITE, encoding="utf-8")
    return path


def limits(capsys, site, subject, *more):
    assert run(["limits", str(site), subject, *more, "--format", "json"]) == 0
    data = {each["name"]: each for each in json.loads(capsys.readouterr().out)["limits"]}
    assert run(["limits", str(site), subject, *more]) == 0
    return data, capsys.readouterr().out


def test_a_collapsed_feed_fails_now_whatever_the_number(site, capsys):
    data, text = limits(capsys, site, "junctions/t1")
    length = data["power length"]
    assert length["now"] == "fails"
    assert any(each.startswith("power/collapse on ") for each in length["fails_now"])
    assert "power length: 120 m; fails now: power/" in text
    data, text = limits(capsys, site, "cameras/a")
    assert data["load by night"]["now"] == "fails"  # the other camera alone holds the line down by day as well
    assert data["load by night"]["up"]["holds"] is None
    assert "holds up to" not in next(line for line in text.splitlines() if line.startswith("load by night"))


def test_a_battery_that_is_too_small_fails_now_and_holds_from_below(site, capsys):
    data, text = limits(capsys, site, "supplies/ups")
    wanted = data["running time without mains"]
    assert "power/autonomy-short on supplies/ups/battery" in wanted["fails_now"]
    assert "running time without mains: 4 h; fails now: power/autonomy-short; " in text
    assert "open now: power/recorder-autonomy-short, power/recorder-without-backup; apart from what is open it holds from" in text


def test_what_is_open_is_told_first(site, capsys):
    data, text = limits(capsys, site, "cameras/c")
    assert data["video length"]["now"] == "open"
    assert "cable/loss-beyond-limit on cameras/c" in data["video length"]["open_now"]
    assert "video length: 40 m; open now: cable/loss-beyond-limit" in text
    assert data["load by night"]["open_now"] == []  # how warm it gets there does not hang on the watts


def test_a_waived_finding_is_named(site, capsys):
    site.write_text(
        SITE + "waivers: [{rule: power/autonomy-short, on: supplies/ups/battery, reason: a second one is on order}]\n"
    )
    data, text = limits(capsys, site, "supplies/ups")
    assert data["running time without mains"]["waived_now"] == ["power/autonomy-short on supplies/ups/battery"]
    assert "; waived now: power/autonomy-short; " in text
    assert "apart from what is open it holds up to" in text


def keys(state, number, value):
    """Errors and opened judgements of error rules in a full check with a value written."""
    levels = {each.id: state.basis.settings.level(each) for each in state.basis.rules}
    edited = applied(state.value, [replace_or_add(state.value, number.path, number.written(value))])
    report = check(with_value(state.basis.loaded, edited), rulebook=state.basis.rulebook, today=state.basis.today)
    found = [each for each in report.findings if not each.waived]
    fails = {each.key for each in found if each.kind == "fail" and each.level == "error"}
    return fails, {each.key for each in found if each.kind == "open" and levels.get(each.rule) == "error"}


def hold_one(state, limit):
    """What a full check says at the value, at each end and one step beyond. Returns how many ends were seen."""
    number = limit.number
    fails, opened = keys(state, number, number.value)
    assert set(limit.now) <= fails
    assert set(limit.open_now) <= opened
    ends = 0
    for end in (limit.down, limit.up):
        if end.holds is None:
            continue
        there, open_there = keys(state, number, end.holds)
        assert there <= fails - set(limit.now)
        assert open_there <= opened
        if end.fails is None:
            continue
        beyond, open_beyond = keys(state, number, end.fails)
        assert abs(end.fails - end.holds) <= number.step * 1.0001
        if limit.now:
            assert beyond & set(limit.now) or beyond - fails or open_beyond - opened
        else:
            assert set(end.rules) == beyond - fails
            assert set(end.opens) == open_beyond - opened
        ends += 1
    return ends


def test_random_sites_stand_as_a_full_check_says(rulebook, parts, day):
    ends = failing = 0
    for seed in range(12 if os.environ.get("COAXWRIGHT_FULL") else 4):
        draw = Random(900 + seed)
        value = random_sites.random_site(draw)
        try:
            state = start(random_sites.load(value, parts), rulebook=rulebook, today=day)
        except Refusal:
            continue
        names = [f"{group}/{name}" for group in ("cameras", "supplies", "junctions") for name in value.get(group, {})]
        for subject in draw.sample(names, min(2, len(names))):
            for limit in limits_of(state, subject)[0]:
                if not limit.number.of_part:
                    ends += hold_one(state, limit)
                    failing += bool(limit.now)
    assert ends > 2
    assert failing > 1


class Ticks:
    """A clock that goes on by one each time it is looked at: every search stops at the same place again."""

    def __init__(self):
        self.now = 0

    def __call__(self):
        self.now += 1
        return self.now


def in_range(limit, value):
    """Whether the whole search says that this value holds."""
    for end in (limit.down, limit.up):
        reach = end if not limit.now else end.beyond
        if end.holds is None or reach is None or reach.holds is None:
            continue
        low, high = sorted((limit.number.value if not limit.now else end.holds, reach.holds))
        if low - 1e-9 <= value <= high + 1e-9:
            return True
    return False


def end_is_part(whole, limit, part, side):
    """An end of a search that was cut says no more than the end of the whole search."""
    if part.holds is not None:
        assert in_range(whole, part.holds), (limit.number.name, part)
    if not part.stopped:
        assert (part.holds, part.fails, part.rules) == (side.holds, side.fails, side.rules)
        return
    if part.fails is not None and part.holds is not None and not limit.now:
        low, high = sorted((part.holds, part.fails))
        assert low <= side.holds <= high
        assert low <= side.fails <= high
    told = limit_words(limit)
    assert "stopped by time" in told
    assert "no value of it alone" not in told


@pytest.mark.parametrize("subject", ["junctions/t1", "supplies/ups", "cameras/c"])
def test_a_search_that_time_ends_says_less_and_nothing_else(site, subject, rulebook, day):
    state = start(load_site(site), rulebook=rulebook, today=day)
    ticks = Ticks()
    with pace.within(pace.TimeLimit(1e9, ticks)):
        whole = {limit.number.path: limit for limit in limits_of(state, subject)[0]}
        assert not pace.stopped()
    assert not not_looked_into(state, subject, whole.values())
    cut = 0
    for end in range(1, ticks.now, max(1, ticks.now // (60 if os.environ.get("COAXWRIGHT_FULL") else 4))):
        with pace.within(pace.TimeLimit(end, Ticks())):
            found, sizes = limits_of(state, subject)
            assert pace.stopped()
            left = {number.path for number in not_looked_into(state, subject, found)}
            assert left | {limit.number.path for limit in found} == whole.keys()
            assert not sizes
            for limit in found:
                full = whole[limit.number.path]
                assert (limit.now, limit.open_now, limit.waived_now) == (full.now, full.open_now, full.waived_now)
                for part, side in ((limit.down, full.down), (limit.up, full.up)):
                    end_is_part(full, limit, part, side)
                    cut += part.stopped
    assert cut


def test_the_command_says_what_it_did_not_look_into(site, capsys):
    call = ["limits", str(site), "junctions/t1", "--time-limit", "0"]
    assert run(call) == 0
    text = capsys.readouterr().out
    assert "power length: not judged; stopped by time; nothing is told of it" in text
    assert "The search was stopped by time (`--time-limit`)" in text
    assert run([*call, "--format", "csv"]) == 0
    assert "power length,not judged,stopped by time" in capsys.readouterr().out
    assert run([*call, "--format", "json"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert (data["stopped"], data["limits"], data["not_looked_into"]) == ("stopped by time", [], ["power length"])
    assert run(["limits", str(site), "junctions/t1", "--format", "json"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert (data["stopped"], data["not_looked_into"]) == (None, [])


DARK = """
site: dark
parts: [parts.yaml]
recorders: {r: {part: ladle/deaf}}
cameras:
  a: {part: ladle/wide, video: {into: r/1, over: [{cable: rg59-copper, length: 90 m}]}}
"""
DEAF = """
parts:
  ladle/deaf: {kind: recorder, source: invented, inputs: [{channels: 1-4, accepts: [{family: tvi, mode: 1920x1080@25}]}]}
  ladle/wide: {kind: camera, source: invented, switched_by: [dip-switch], starts_as: {family: tvi, mode: 2592x1944@20},
    emits: [{family: tvi, mode: [2592x1944@20, 1920x1080@25]}]}
"""


def test_what_another_rule_keeps_from_being_judged_does_not_hold(tmp_path, capsys):
    """No loss limit is known while no picture comes about; 1,000 m of coax were told to hold."""
    (tmp_path / "parts.yaml").write_text(DEAF)
    dark = tmp_path / "dark.site.yaml"
    dark.write_text(DARK)
    data, text = limits(capsys, dark, "cameras/a")
    told = data["video length"]
    assert told["now"] == "open"
    assert told["open_now"] == []
    assert "cable/loss-beyond-limit on cameras/a, while signal/needs-setting fails" in told["silent_now"]
    assert "not judged while signal/needs-setting fails: cable/loss-beyond-limit; apart from what is not judged it holds" in text
    dark.write_text(DARK.replace("wide, ", "wide, set: {mode: 1920x1080@25}, "))
    data, text = limits(capsys, dark, "cameras/a")
    assert data["video length"]["silent_now"] == []
    assert "cable/loss-beyond-limit fails first" in text
