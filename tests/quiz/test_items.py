"""Items: each has one defensible key, judged again from the print alone; slips can be reproduced; topics are covered.

With COAXWRIGHT_FULL=1 over 10,000 items, otherwise over some dozens.
"""

from __future__ import annotations

import hashlib
import re
from collections import Counter

import pytest

from coaxwright.quiz import answers, options, posing, spotting
from coaxwright.quiz.bank import Bank
from coaxwright.quiz.checks import complaints
from coaxwright.quiz.formats import markdown
from coaxwright.quiz.items import Item
from coaxwright.quiz.making import Order, make_item
from coaxwright.quiz.papers import Paper
from coaxwright.quiz.printed import sheet_of

from . import by_hand
from .conftest import FULL

COUNT = 10_000 if FULL else 92


def printed(item: Item) -> by_hand.Read:
    """The item as a stranger reads it off a sheet of paper."""
    paper = Paper("A", "Print", 1, "sha256:" + "0" * 64, "0", (item,))
    return by_hand.read_paper(markdown.paper(sheet_of(paper)))[0]


def named(pattern: str, text: str) -> str:
    match = re.search(pattern, text)
    assert match, text
    return match[1]


def by_formula(item: Item, read: by_hand.Read) -> float | str | None:
    """The key by the formulas of `by_hand`, None for patterns that have none there."""
    stem = read.stem
    match item.pattern:
        case "power/volts-at-camera" | "power/volts-entered":
            return by_hand.volts_at(read, named(r"arrives? at ([a-z]+) after", stem))
        case "power/supply-current":
            return by_hand.supply_amps(read)
        case "power/longest-run":
            return by_hand.longest_run(read, named(r"run to ([a-z]+) may", stem))
        case "power/least-conductor":
            of = list(item.posed.asked.pattern.form.least.of)  # type: ignore[union-attr]
            return by_hand.least_conductor(read, named(r"keeps ([a-z]+) working", stem), of)
        case "storage/days-kept" | "storage/days-entered":
            return by_hand.days(read)
        case "storage/rate-doubled":
            return by_hand.days(read, 1.5)
        case "cable/loss-of-run":
            return by_hand.coax_loss(read, named(r"coax from ([a-z]+) lose", stem))
        case "power/enough-volts":
            name = named(r"this: ([a-z]+) gets", stem)
            if "not given" in by_hand.row_of(read, "Cameras", name)["power run"]:
                return answers.OPEN
            enough = by_hand.volts_at(read, name) >= by_hand.number(by_hand.model(read, name)["works from"])
            return answers.TRUE if enough else answers.FALSE
    return None


def judge_again(item: Item) -> str:
    """Empty where exactly the key stands when worked out by hand from the print; `-` where no formula is at hand."""
    read = printed(item)
    value = by_formula(item, read)
    if value is None:
        return "-"
    if isinstance(value, str):
        found = [letter for letter, text in read.options.items() if text == value]
        return "" if found == [item.key] else f"by hand {value}, key {item.key} of {read.options}"
    if item.numeric:
        key = item.posed.key.number or 0.0
        return "" if abs(value - key) <= 0.005 * abs(key) else f"by hand {value}, key {key}"
    off = {letter: abs(by_hand.number(text) - value) for letter, text in read.options.items()}
    decimals = max(len(by_hand.digits(text).partition(".")[2]) for text in read.options.values())
    near = [letter for letter, gap in off.items() if gap <= max(0.02 * abs(value), 0.51 * 10.0**-decimals)]
    return "" if near == [item.key] else f"by hand {value}: {near}, key {item.key} of {read.options}"


def reproduced(bank: Bank, item: Item) -> list[str]:
    """Options whose slip, followed anew, does not come to what is printed."""
    asked, form = item.posed.asked, item.posed.asked.pattern.form
    wrong = []
    for option in item.options:
        if not option.slip:
            continue
        if form.kind == "spot-fault":
            wrong += [] if _spot_holds(bank, item, option.answer.text) else [option.answer.text]
        elif form.kind == "which-change":
            word = spotting.outcome(bank, asked, option.by)[0]
            wrong += [] if word in ("fails", "harms") else [option.answer.text]
        elif form.kind == "true-or-open":
            again = list(posing.wrong_verdicts(bank, asked, item.posed.key))
            wrong += (
                [] if any(o.answer == option.answer and o.slip == option.slip for o in again) else [option.answer.text]
            )
        elif option.by >= 0:
            found = answers.wrong_answer(bank, asked, asked.pattern.slips[option.by])
            wrong += [] if found is not None and found.text == option.answer.text else [option.answer.text]
        else:
            again = [each for each in posing.wrong_results(bank, asked) if each.slip == option.slip]
            wrong += [] if any(each.answer == option.answer for each in again) else [option.answer.text]
    return wrong


def _spot_holds(bank: Bank, item: Item, text: str) -> bool:
    """A wrong option of `spot the fault` names at least one thing that holds, or the whole plan although it fails."""
    facts = item.posed.asked.plan.facts()
    if text == spotting.SOUND:
        return bool(spotting.found_in(bank, facts))
    holding = [proof for proof in item.posed.proofs if spotting.label(bank, proof) in text]
    return any(answers.verdict(bank, facts, *spotting.place_of(proof)) == "pass" for proof in holding)


def test_items_have_one_key_and_pass_every_check(bank: Bank) -> None:
    """Nothing is printed that fails a check; keys agree with the formulas of `by_hand`; slips come out the same."""
    tally: Counter[str] = Counter()
    faults: list[str] = []
    for number in range(COUNT):
        pattern = bank.patterns[number % len(bank.patterns)]
        item = make_item(
            bank, Order(pattern, f"many/{number}", number // len(bank.patterns), "small" if number % 2 else "medium")
        )
        tally[item.topic] += 1
        said = judge_again(item)
        tally["by hand"] += said != "-"
        faults += [f"{item.pattern}: {said}"] if said not in ("", "-") else []
        if not FULL or number % 10 == 0:
            faults += [f"{item.pattern}: {each} is not reproduced" for each in reproduced(bank, item)]
            faults += list(complaints(bank, item))
    assert not faults, faults[:5]
    assert tally["by hand"] >= COUNT // 10
    print(dict(tally))


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
             "cures-by-harming",
             "unknown-taken-as-fine", "unknown-taken-as-bad", "printed-value-overlooked", "verdict-turned-round"}  # fmt: skip
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
