"""What-if: exactly the differences between two full checks, and nothing else."""

from __future__ import annotations

from random import Random

import pytest
from tests.conftest import FULL

from coaxwright.checking import check
from coaxwright.errors import Refusal
from coaxwright.fixes.rejudging import start
from coaxwright.fixes.what_if import differences, tried
from coaxwright.reading.site_reader import with_value

from . import random_sites
from .test_limits import SITE


@pytest.fixture
def state(rulebook, parts, day):
    return start(random_sites.load(SITE, parts), rulebook=rulebook, today=day)


def test_findings_and_facts_are_those_of_two_full_checks(rulebook, parts, day):
    compared = 0
    for seed in range(60 if FULL else 25):
        draw = Random(500 + seed)
        try:
            loaded = random_sites.load(random_sites.random_site(draw), parts)
            before = start(loaded, rulebook=rulebook, today=day)
            name = draw.choice(list(loaded.site.cameras))
            trial = tried(
                before, [f"cameras/{name}/power/over/0/length={draw.randint(1, 300)}m", f"cameras/{name}/heater=true"]
            )
        except Refusal:
            continue
        found = differences(trial)
        one, other = (
            check(with_value(loaded, each.value), rulebook=rulebook, today=day) for each in (trial.before, trial.after)
        )
        keys = [{each.key for each in report.findings} for report in (one, other)]
        assert {each.key for each in found.cleared} == keys[0] - keys[1]
        assert {each.key for each in found.introduced} == keys[1] - keys[0]
        values = [
            {
                (subject, field): value
                for subject, facts in report.facts.items()
                for field, value in facts.items()
                if field != "settled"
            }
            for report in (one, other)
        ]
        changed = {key for key in values[0].keys() | values[1].keys() if values[0].get(key) != values[1].get(key)}
        told = {(each.subject, each.name.partition(".")[2]) for each in found.facts}
        assert changed <= told
        compared += 1
    assert compared > (20 if FULL else 8)


def test_values_are_read_as_the_site_file_reads_them(state):
    trial = tried(state, ["cameras/c1/set={family: tvi, mode: 1920x1080@25}", "cameras/c1/place/setting=outdoor"])
    camera = trial.after.site.cameras["c1"]
    assert camera.set.family == "tvi"
    assert camera.place.setting == "outdoor"


@pytest.mark.parametrize(
    ("setting", "says"),
    [
        ("cameras/c1", "is no setting"),
        ("cameras/c1/part/more=1", "single value"),
        ("parts/0=x", "part file"),
        ("cameras/c1/part=nobody/nothing", "there is no part"),
        ("cameras/c1/power/over/0/length=12", "m"),
        ("=1", "names nothing"),
    ],
)
def test_what_cannot_be_set_is_refused(setting, says, state):
    with pytest.raises(Refusal, match=says):
        tried(state, [setting])


def test_what_is_not_there_cannot_be_removed(state):
    with pytest.raises(Refusal, match="there is no `c7`"):
        tried(state, [], ["cameras/c7"])
