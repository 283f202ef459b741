"""The words of rule files (`do:`) and the generators of candidates belong together, one to one."""

from __future__ import annotations

from random import Random

import pytest

from coaxwright.errors import Refusal
from coaxwright.fixes.advice import failing
from coaxwright.fixes.candidates.bench import NEED, Bench
from coaxwright.fixes.candidates.words import GENERATORS, candidates, wanted
from coaxwright.fixes.patching import PatchError
from coaxwright.fixes.rejudging import start

from . import random_sites


def words_of(rulebook):
    return {fix["do"] for rule in rulebook.rules for fix in rule.plain.get("fixes", ())}


def test_every_word_has_a_generator_and_every_generator_a_word(rulebook):
    assert words_of(rulebook) == set(GENERATORS)


@pytest.fixture(scope="module")
def made(rulebook, parts, day):
    """Candidates by word over random faulty sites and the examples, with whether they can be applied."""
    found: dict[str, list[bool]] = {}
    for state in states(rulebook, parts, day):
        for judgement in failing(state).values():
            for candidate in candidates(Bench(state), judgement):
                tried = found.setdefault(candidate.word, [])
                if len(tried) < 12:
                    tried.append(can_be_applied(state, candidate))
                assert candidate.title.isprintable()
                assert candidate.hides == (candidate.disruption == NEED) == (candidate.word == "change_need")
    return found


def states(rulebook, parts, day):
    for seed in range(16):
        try:
            yield start(random_sites.load(random_sites.random_site(Random(seed)), parts), rulebook=rulebook, today=day)
        except Refusal:
            continue


def can_be_applied(state, candidate):
    try:
        state.after(candidate.patch)
    except (Refusal, PatchError):
        return False
    return True


RARE = {"add_pickup", "change_address", "change_codec", "change_path", "set_recorder", "lower_trim",
        "larger_battery", "plug_into_ups"}  # fmt: skip
"""Words whose findings random sites seldom have; they are tried one by one below."""


def test_every_word_makes_candidates_that_can_be_applied(made, rulebook):
    for word in words_of(rulebook) - RARE:
        assert any(made.get(word, ())), word


@pytest.mark.parametrize("word", sorted(GENERATORS))
def test_most_candidates_of_a_word_can_be_applied(made, word):
    tried = made.get(word, [True])
    assert sum(tried) * 2 >= len(tried), word


SITE = {
    "site": "Words",
    "retention": "360 days",
    "recorders": {
        "r1": {"part": "tarnwell/middle-8", "disks": ["hollin/desk-2tb"], "network_address": "10.0.0.5"},
        "r2": {"part": "tarnwell/entry-4", "network_address": "10.0.0.5"},
    },
    "supplies": {"p1": {"part": "hollin/dc12-5a-4way", "trim": "13.5 V"}},
    "boxes": {"b1": {"part": "generic/coupler-bnc"}},
    "cameras": {
        "c1": {
            "part": "brackwater/dome-2",
            "video": {"into": "r1/1", "over": [{"cable": "rg59-copper", "length": "9 m"}]},
            "power": {"from": "p1/1", "over": [{"cable": "dc-1mm2", "length": "3 m"}]},
            "sound": {"by": "coax"},
        }
    },
}


@pytest.mark.parametrize(
    ("rule", "title"),
    [
        ("cable/box-unused", "leave b1 out"),
        ("network/address-shared", "give r2 the address 10.0.0.6"),
        ("storage/retention-short", "record r1 in h264"),
        ("power/overvoltage", "lower the trim of p1 to 13.2 V"),
        (
            "sound/coax-sound-broken",
            "add hollin/pickup-line for c1 on r1/audio1 over a new run of line-screened-0.22mm2",
        ),
    ],
)
def test_rare_words(rule, title, rulebook, parts, day):
    state = start(random_sites.load(SITE, parts), rulebook=rulebook, today=day)
    found = [each for key, each in failing(state).items() if key[0] == rule]
    assert title in [each.title for judgement in found for each in candidates(Bench(state), judgement)]


def test_what_of_names_and_nobody_knows_gives_no_candidates(rulebook, parts, day):
    state = start(random_sites.load(SITE, parts), rulebook=rulebook, today=day)
    judgement = failing(state)["power/overvoltage", "cameras/c1"]
    assert wanted(judgement, {"do": "move_feed", "of": "feed.junction"}) is None
    assert wanted(judgement, {"do": "move_feed", "of": "feed.source"}).sheets[0].name == "p1"
