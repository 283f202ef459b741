"""Checks of a finished question before it may be printed: an explicit list, each a rule with a name and a reason.

Source of the rules on wording and options: Haladyna, Downing and Rodriguez (2002), Applied Measurement in Education
15(3), a taxonomy of item-writing guidelines (read in part). Thresholds are our own. What concerns a whole paper is in
`papers.py`.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from statistics import median

from coaxwright.errors import Refusal
from coaxwright.immutable import immutable
from coaxwright.quiz import answers, spotting
from coaxwright.quiz.answers import Asked
from coaxwright.quiz.bank import Bank
from coaxwright.quiz.forms import LEVELS
from coaxwright.quiz.items import Item
from coaxwright.quiz.options import MOST_LENGTH, apart
from coaxwright.quiz.plans import Plan
from coaxwright.quiz.print_alone import lacking
from coaxwright.quiz.tables import plan_of


@immutable
class ItemCheck:
    """One check: its name, why it is there, and a function that says what is wrong (nothing where all is well)."""

    id: str
    why: str
    find: Callable[[Bank, Item], Iterator[str]]


def complaints(bank: Bank, item: Item) -> tuple[str, ...]:
    """All that is wrong with an item, each with the name of the check."""
    return tuple(f"{check.id}: {said}" for check in CHECKS for said in check.find(bank, item))


def _stands(bank: Bank, item: Item, plan: Plan) -> str:
    """What is wrong with the key when the question is asked on another telling of the plan; empty for nothing."""
    try:
        return _asked_again(bank, item, plan)
    except Refusal as refusal:
        return f"the plan cannot be read: {refusal.problems[0].what}"


def _asked_again(bank: Bank, item: Item, plan: Plan) -> str:
    asked = item.posed.asked.on(plan)
    if item.kind == "spot-fault":
        return _spot_stands(bank, item, plan)
    if item.kind == "which-change":
        return _change_stands(bank, item, asked)
    found = answers.answer(bank, asked)
    if found is None:
        return "there is no answer"
    if found.number is None or item.numeric:
        close = item.numeric and _within(found, item)
        return "" if found.text == item.posed.key.text or close else f"it comes to {found.text}"
    decimals = answers.shown_of(asked.pattern).decimals  # what is nearest on paper counts
    near = min(item.options, key=lambda each: abs(round(each.answer.number or 0.0, decimals) - (found.number or 0.0)))
    return "" if near.id == item.key else f"it comes to {found.text}, which is nearest to {near.answer.text}"


def _within(found: answers.Answer, item: Item) -> bool:
    key = item.posed.key.number or 0.0
    return abs((found.number or 0.0) - key) <= item.posed.asked.pattern.form.tolerance * abs(key)


def _spot_stands(bank: Bank, item: Item, plan: Plan) -> str:
    """Each option's rules on its things come to what they came to on the full plan."""
    facts = plan.facts()
    for proof in item.posed.proofs:
        rule, subject = spotting.place_of(proof)
        if spotting.label(bank, proof) not in " ".join(option.answer.text for option in item.options):
            continue
        found = answers.judged(bank, facts, rule, subject)
        if found is None or found.kind != proof.kind:
            return f"{rule} on {subject} comes to {found.kind if found else 'nothing'}, not {proof.kind}"
    return ""


def _change_stands(bank: Bank, item: Item, asked: Asked) -> str:
    for place, change in enumerate(asked.pattern.form.changes):
        text = answers.told(item.posed.asked, item.posed.asked.plan.facts(), change.says)
        option = next((each for each in item.options if each.answer.text == text), None)
        if option is None:
            continue
        clears = spotting.outcome(bank, asked, place, printed=True)[0] == "clears"
        if clears != (option.id == item.key):
            return f"`{text}` {'clears' if clears else 'does not clear'} the fault"
    return ""


def _one_key(bank: Bank, item: Item) -> Iterator[str]:
    if item.numeric:
        return
    right = [option for option in item.options if not option.slip]
    if len(right) != 1 or right[0].id != item.key:
        yield f"{len(right)} options are marked right"


def _both_ends(bank: Bank, item: Item) -> Iterator[str]:
    plan = item.posed.asked.plan
    assumed = plan.site.get("assume") or {}
    if item.numeric:
        return  # a number is entered from what is printed; the tolerance is its own margin
    shown = {
        column.at.removeprefix("assume/") for column in bank.words.columns
        if column.of == "site" and set(column.shows) & set(item.posed.shows)
    }  # fmt: skip
    for name, ends in bank.stock.ends.items():
        for end in ends if name in assumed and name in shown else ():
            other = Plan({**plan.site, "assume": {**assumed, name: end}}, plan.parts)
            said = _stands(bank, item, other)
            if said:
                yield f"with {name} {end}: {said}"


def _all_printed(bank: Bank, item: Item) -> Iterator[str]:
    said = _stands(bank, item, plan_of(item.tables, bank.words, item.posed.shows))
    if said:
        yield f"from the printed data alone: {said}"


def _apart(bank: Bank, item: Item) -> Iterator[str]:
    for place, one in enumerate(item.options):
        for other in item.options[place + 1 :]:
            if not apart(one.answer, other.answer):
                yield f"{one.answer.text} and {other.answer.text} are too near each other"


def _lengths(bank: Bank, item: Item) -> Iterator[str]:
    texts = [len(option.answer.text) for option in item.options]
    if texts and max(texts) > 12 and max(texts) > MOST_LENGTH * median(texts):
        yield f"the longest option has {max(texts)} signs, the median {median(texts):g}"


def _no_all_or_none(bank: Bank, item: Item) -> Iterator[str]:
    for option in item.options:
        if re.search(r"\b(all|none|both|neither) of (the|these)\b", option.answer.text, re.IGNORECASE):
            yield f"`{option.answer.text}`"


def _negation(bank: Bank, item: Item) -> Iterator[str]:
    for word in re.findall(r"\b(?:not|never|except|least likely)\b", item.posed.stem, re.IGNORECASE):
        if word != word.upper():
            yield f"`{word}` in the stem is not emphasised"


def _sorted(bank: Bank, item: Item) -> Iterator[str]:
    numbers = [option.answer.number for option in item.options]
    if None in numbers or not numbers:
        return
    if numbers != sorted(number for number in numbers if number is not None):
        yield "numbers do not stand in order"
    forms = {re.sub(r"[0-9]+", "0", option.answer.text) for option in item.options}
    if len(forms) > 1:
        yield f"numbers are not printed alike: {', '.join(sorted(forms))}"


_PLAIN_WORDS = re.compile(r"[a-zA-Z][a-zA-Z-]{4,}")


def _no_echo(bank: Bank, item: Item) -> Iterator[str]:
    stem = {word.lower() for word in _PLAIN_WORDS.findall(item.posed.stem)}
    words = {option.id: {word.lower() for word in _PLAIN_WORDS.findall(option.answer.text)} for option in item.options}
    others = set[str]().union(*(found for letter, found in words.items() if letter != item.key))
    for word in sorted((words.get(item.key, set()) & stem) - others):
        yield f"`{word}` stands in the stem and in the key alone"


def _articles(bank: Bank, item: Item) -> Iterator[str]:
    if re.search(r"\b(a|an)[ :?]*$", item.posed.stem):
        yield "the stem ends with an article that gives the option away"


def _no_duplicate(bank: Bank, item: Item) -> Iterator[str]:
    texts = [option.answer.text.casefold() for option in item.options]
    if len(set(texts)) != len(texts):
        yield "two options read the same"


_ABSOLUTES = re.compile(r"\b(always|never|only|every(?! other)|all|none|must|completely|impossible)\b", re.IGNORECASE)


def _no_absolutes(bank: Bank, item: Item) -> Iterator[str]:
    for option in item.options:
        found = _ABSOLUTES.search(option.answer.text)
        if found:
            yield f"`{found[0]}` in `{option.answer.text}`"


def _level(bank: Bank, item: Item) -> Iterator[str]:
    if item.level not in LEVELS:
        yield f"`{item.level}` is no level"


def _slips(bank: Bank, item: Item) -> Iterator[str]:
    for option in item.options:
        if option.id != item.key and (option.slip not in bank.slips or not option.feedback):
            yield f"{option.answer.text} has no named slip with feedback"


def _neutral(bank: Bank, item: Item) -> Iterator[str]:
    makers = {name.partition("/")[0] for name in item.posed.asked.plan.parts if "/" in name}
    named = [maker for maker in makers if not re.fullmatch(r"maker-[a-z]|generic", maker)]
    text = " ".join([item.posed.stem, *(option.answer.text for option in item.options)])
    for maker in sorted(named):
        if re.search(rf"\b{re.escape(maker)}\b", text):
            yield f"the maker `{maker}` is named in stem or options"


def _complete(bank: Bank, item: Item) -> Iterator[str]:
    texts = [item.posed.stem, *(option.answer.text for option in item.options), *(value for _, value in item.given)]
    for text in texts:
        if "not known" in text or "not computable" in text or not text.strip():
            yield f"`{text}` has a gap"


CHECKS: tuple[ItemCheck, ...] = (
    ItemCheck("one-key", "Exactly one option is marked right.", _one_key),
    ItemCheck("key-at-both-ends", "The key holds at both ends of every value that may be assumed.", _both_ends),
    ItemCheck("all-data-printed", "The key follows from the printed data alone.", _all_printed),
    ItemCheck("limits-printed", "Limits of rules and figures from tables of the trade stand on the paper.", lacking),
    ItemCheck("options-apart", "No two options are within rounding; numbers are a twentieth apart.", _apart),
    ItemCheck("option-lengths", "The longest option gives nothing away.", _lengths),
    ItemCheck("no-all-or-none", "No option stands for all or none of the others.", _no_all_or_none),
    ItemCheck("negation-emphasised", "A negation in the stem cannot be read over.", _negation),
    ItemCheck("numbers-in-order", "Numbers stand in order, in one unit, with the same decimals.", _sorted),
    ItemCheck("no-echo", "No word of the stem stands in the key alone.", _no_echo),
    ItemCheck("no-article-clue", "Grammar gives nothing away.", _articles),
    ItemCheck("no-duplicate-option", "Every option is another.", _no_duplicate),
    ItemCheck("no-absolutes", "Absolute words mark wrong options.", _no_absolutes),
    ItemCheck("level-named", "The level of thought is named, for the blueprint.", _level),
    ItemCheck("slips-named", "Every wrong option is a named slip with feedback.", _slips),
    ItemCheck("no-makers", "Nothing hangs on a maker's name.", _neutral),
    ItemCheck("nothing-missing", "Every sentence is complete.", _complete),
)
