"""Items: topics, kinds and slips are covered, the key takes every place, a fault is found and nothing else.

Keys and slips are judged again from the print alone in `test_rejudging.py`.
"""

from __future__ import annotations

import hashlib
import random
from collections import Counter

import pytest

from coaxwright.quiz import answers, options, scenes, spotting
from coaxwright.quiz.bank import Bank
from coaxwright.quiz.making import Order, make_item
from coaxwright.quiz.plans import edited

from .conftest import FULL


def test_every_topic_of_the_rules_has_questions(bank: Bank) -> None:
    topics = {rule.id.partition("/")[0] for rule in bank.rulebook.rules}
    assert topics <= set(bank.topics), topics - set(bank.topics)


def test_every_kind_of_question_is_there(bank: Bank) -> None:
    kinds = {pattern.form.kind for pattern in bank.patterns}
    assert kinds == {"value", "numeric", "picture", "longest-run", "which-part", "which-change", "what-if", "true-or-open",
                     "order", "spot-fault"}  # fmt: skip


def test_every_slip_is_used_and_told(bank: Bank) -> None:
    """A slip that nothing uses is a promise that nobody keeps."""
    used = {each.slip for pattern in bank.patterns for each in pattern.slips}
    used |= {change.slip for pattern in bank.patterns for change in pattern.form.changes}
    used |= {"one-step-too-small", "one-step-too-large", "looks-wrong-holds", "fault-elsewhere", "fault-overlooked",
             "cures-by-harming", "two-steps-too-small", "two-steps-too-large", "neighbours-swapped", "one-out-of-line",
             "unknown-taken-as-fine", "unknown-taken-as-bad", "printed-value-overlooked", "verdict-turned-round",
             "miscounted", "two-slips"}  # fmt: skip
    assert used == set(bank.slips)


def test_the_place_of_the_key_is_even(bank: Bank) -> None:
    """Chi-square over seeds with two degrees of freedom: 9.21 is the 1 % point (handbook table)."""
    seen: Counter[str] = Counter()
    pattern = bank.pattern("sound/sound-arrives")
    runs = 1000 if FULL else 30
    for seed in range(runs):
        place = int(hashlib.sha256(str(seed).encode()).hexdigest(), 16) % 3
        seen[make_item(bank, Order(pattern, f"even/{seed}", place, "small")).key] += 1
    assert sum((seen[letter] - runs / 3) ** 2 / (runs / 3) for letter in "ABC") < 9.21


def test_a_distractor_too_near_is_thrown_away(item_of) -> None:
    item = item_of("power/volts-at-camera")
    key = item.posed.key
    assert not options.apart(key, answers.Answer("x", (key.number or 0) * 1.04))
    assert options.apart(key, answers.Answer("x", (key.number or 0) * 1.2))


@pytest.mark.parametrize("seed", range(2))
def test_a_fault_is_found_and_nothing_else(bank: Bank, seed: int) -> None:
    item = make_item(bank, Order(bank.pattern("storage/spot-the-fault"), f"test/{seed}", 1, "small", sound=False))
    found = spotting.found_in(bank, item.posed.asked.plan.facts())
    assert [spotting.label(bank, each) for each in found] == [item.posed.key.text]


def test_an_all_good_plan_is_all_good(bank: Bank) -> None:
    item = make_item(bank, Order(bank.pattern("storage/spot-the-fault"), "test/5", 0, "small", sound=True))
    assert item.posed.key.text == spotting.SOUND
    assert spotting.found_in(bank, item.posed.asked.plan.facts()) == []


def test_a_fault_of_two_things_is_told_of_one(bank: Bank) -> None:
    """Two devices have one address: whichever is named is right, so the other is no wrong option."""
    pattern = bank.pattern("network/spot-the-fault")
    fault = next(each for each in bank.faults if each.rule == "network/address-shared")
    plan = scenes.generate(bank, random.Random("two"), "small", "network")
    placed = spotting.put_in(bank, plan, fault, random.Random("two"))
    assert placed is not None
    label = spotting.label(bank, placed[1][0])
    for seed in range(20):
        posed = spotting.faults_on(bank, pattern, placed[0], {}, random.Random(seed))
        assert posed.key.text == label
        assert not [each for each in posed.wrongs if each.answer.text.endswith(label.partition(": ")[2])]


@pytest.mark.parametrize("topic", ["power", "signal", "view"])
def test_of_two_faults_the_third_looks_wrong_as_well(bank: Bank, topic: str) -> None:
    """What a glance at one cell refutes would leave one pair of three; so the third thing is one that looks wrong, and holds."""
    item = make_item(bank, Order(bank.pattern(f"{topic}/two-faults"), "third", 1))
    looks = {fault.looks for fault in bank.faults if fault.looks}
    wrong = [option for option in item.options if option.slip]
    assert len(wrong) == 2
    assert all(any(option.feedback.startswith(each) for each in looks) for option in wrong)


def test_volts_after_a_change_are_asked_of_a_camera_that_still_runs(bank: Bank) -> None:
    pattern = bank.pattern("power/trunk-neighbour")
    for seed in range(3):
        asked = make_item(bank, Order(pattern, f"runs {seed}", seed)).posed.asked
        (feed,) = [each for each in edited(asked.plan, pattern.form.after, asked.device).facts().by_kind("feed")
                   if each.subject == asked.subject]  # fmt: skip
        assert feed.known("volts_night") >= feed.load.known("volts_min")
