"""What a question comes to on a plan: computed from the facts and rules of the engine, never typed.

One function for every kind of question that asks for a result; the wrong methods go the same way over a misread plan.
An answer that cannot be computed (a fact is missing, no length holds, no part suffices) is None.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from coaxwright.errors import Refusal
from coaxwright.facts.binding import Facts
from coaxwright.facts.sheets import Sheet
from coaxwright.immutable import immutable
from coaxwright.language.evaluating import evaluate
from coaxwright.language.templates import NOT_KNOWN, fill
from coaxwright.model.quantities import KINDS
from coaxwright.quiz.bank import Bank, LoadedPattern
from coaxwright.quiz.forms import Edit, Search, Shown, Slip, SlipUsed
from coaxwright.quiz.plans import NoSuchPlace, Plan, Steps, edited, put_at
from coaxwright.rulebook import judging
from coaxwright.rulebook.judging import Judgement
from coaxwright.rulebook.subjects import bindings, subjects

TRUE, FALSE, OPEN = "The statement is true", "The statement is false", "A needed fact is missing"
_VERDICTS: Mapping[str, str] = {"pass": TRUE, "fail": FALSE, "open": OPEN}
METRES = Shown(unit="m", decimals=0)


@immutable
class Answer:
    """A result as it is printed; `number` is its value in the printed unit, not rounded, where it is one."""

    text: str
    number: float | None = None


@immutable
class Asked:
    """A question of a pattern about one subject of a plan; `members` are the devices that an `order` ranks."""

    pattern: LoadedPattern
    plan: Plan
    subject: str
    members: tuple[str, ...] = ()

    @property
    def device(self) -> Steps:
        """Group and name of the device that `@` stands for."""
        return tuple(self.subject.split("/")[:2])

    def on(self, plan: Plan) -> Asked:
        """The same question on another plan."""
        return replace(self, plan=plan)


def answer(bank: Bank, asked: Asked, text: str | None = None, before: bool = False) -> Answer | None:
    """What the question comes to; `text` is another expression to answer with, `before` leaves a change out."""
    try:
        return _ANSWERS[asked.pattern.form.kind](bank, asked, text, before)
    except (Refusal, NoSuchPlace):
        return None


def wrong_answer(bank: Bank, asked: Asked, used: SlipUsed) -> Answer | None:
    """What a named wrong method comes to: the engine's result on the plan as the slip misreads it."""
    slip = bank.slips[used.slip]
    if used.when is not None and evaluated(asked, asked.plan.facts(), used.when) is not True:
        return None
    try:
        plan = edited(asked.plan, slip.edits if used.edits is None else used.edits, asked.device)
    except NoSuchPlace:
        return None
    found = answer(bank, asked.on(plan), used.answer, used.before)
    return None if found is None else _rescaled(found, used, slip, shown_of(asked.pattern))


def _rescaled(found: Answer, used: SlipUsed, slip: Slip, shown: Shown) -> Answer:
    factor = used.scale or slip.scale
    return found if factor is None or found.number is None else numbered(found.number * factor, shown)


def shown_of(pattern: LoadedPattern) -> Shown:
    """How the numbers of a pattern are printed."""
    if pattern.form.longest is not None:
        return METRES
    return pattern.form.printed or Shown(unit="", decimals=2)


def numbered(number: float, shown: Shown) -> Answer:
    """A number as it is printed."""
    digits = f"{number:.{shown.decimals}f}"
    return Answer(f"{digits} {shown.unit}".rstrip(), number)


def scale_of(unit: str) -> float:
    """The size of a printed unit in its base unit; 1 for a unit that is none of a quantity."""
    for kind in KINDS.values():
        if unit in kind.units:
            return float(kind.units[unit].scale)
    return 1.0


def find(facts: Facts, kind: str, subject: str) -> Sheet | None:
    """The sheet of a kind and subject; None where there is none."""
    return facts.sheet(subject, kind)


def bound(asked: Asked, facts: Facts, subject: str = "") -> dict[str, Any] | None:
    """The variables of the pattern's expressions for its subject; None where it is not there."""
    sheet = find(facts, asked.pattern.form.about, subject or asked.subject)
    if sheet is None:
        return None
    return bindings(asked.pattern.scope, sheet, facts.by_kind("site")[0], None)


def evaluated(asked: Asked, facts: Facts, text: str, subject: str = "") -> object:
    """The value of an expression of the pattern; None where it cannot be known."""
    variables = bound(asked, facts, subject)
    if variables is None:
        return None
    value = evaluate(asked.pattern.expression(text), variables)
    return value if isinstance(value, bool | int | float | str) else None


def told(asked: Asked, facts: Facts, text: str) -> str:
    """A sentence of the pattern about its subject."""
    variables = bound(asked, facts)
    return fill(asked.pattern.template(text), variables) if variables is not None else NOT_KNOWN


def _value(bank: Bank, asked: Asked, text: str | None, before: bool) -> Answer | None:
    after: Sequence[Edit] = () if before else asked.pattern.form.after
    plan = edited(asked.plan, after, asked.device)
    value = evaluated(asked, plan.facts(), text or asked.pattern.form.answer or "")
    if not isinstance(value, int | float) or isinstance(value, bool) or not math.isfinite(value):
        return None
    shown = shown_of(asked.pattern)
    return numbered(float(value) / scale_of(shown.unit), shown)


def _picture(bank: Bank, asked: Asked, text: str | None, before: bool) -> Answer | None:
    said = told(asked, asked.plan.facts(), text or asked.pattern.form.answer or "")
    return None if NOT_KNOWN in said or "not computable" in said else Answer(said)


def judged(bank: Bank, facts: Facts, rule: str, subject: str) -> Judgement | None:
    """What a rule comes to on a subject; None where it judges nothing of that name."""
    loaded, facts = bank.rulebook.rule(rule), bank.rulebook.own.onto(facts)
    found = next((each for each in subjects(loaded.scope, facts) if each.subject == subject), None)
    return None if found is None else judging.judge_exactly(loaded, found, judging.frame_of(loaded, facts))


def verdict(bank: Bank, facts: Facts, rule: str, subject: str) -> str:
    """`pass`, `fail`, `open`, `not-applicable`, `fault`, or `none` where there is nothing to judge.

    A rule about another kind of thing than the subject holds when it holds for all of its own.
    """
    judgement = judged(bank, facts, rule, subject)
    if judgement is not None:
        return judgement.kind
    loaded = bank.rulebook.rule(rule)
    kinds = {
        judging.judge_exactly(loaded, each, judging.frame_of(loaded, facts)).kind
        for each in subjects(loaded.scope, facts)
    }
    worst = [kind for kind in ("fault", "fail", "open", "pass", "not-applicable") if kind in kinds]
    return worst[0] if worst else "none"


def _holds(bank: Bank, asked: Asked, plan: Plan, rules: Sequence[str]) -> bool:
    facts = plan.facts()
    return all(verdict(bank, facts, rule, asked.subject) in ("pass", "not-applicable") for rule in rules)


def _longest(bank: Bank, asked: Asked, text: str | None, before: bool) -> Answer | None:
    """The longest whole length that holds, by halving: rules on length hold below a bound and fail above it."""
    search = asked.pattern.form.longest
    assert search is not None
    low, high = 1, search.most
    if not _holds_at(bank, asked, search, low) or _holds_at(bank, asked, search, high):
        return None
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if _holds_at(bank, asked, search, middle) else (low, middle)
    return numbered(float(low), METRES)


def _holds_at(bank: Bank, asked: Asked, search: Search, length: int) -> bool:
    put = put_at(search.at, f"{length} {search.unit}")
    return _holds(bank, asked, edited(asked.plan, (put,), asked.device), search.rules)


def _least(bank: Bank, asked: Asked, text: str | None, before: bool) -> Answer | None:
    choice = asked.pattern.form.least
    assert choice is not None
    for part in choice.of:
        plan = edited(asked.plan, (put_at(choice.at, part),), asked.device)
        if _holds(bank, asked, plan, choice.rules):
            return Answer(part)
    return None


def _statement(bank: Bank, asked: Asked, text: str | None, before: bool) -> Answer | None:
    worlds = asked.pattern.form.worlds
    assert worlds is not None
    found = verdict(bank, asked.plan.facts(), worlds.rule, asked.subject)
    return Answer(_VERDICTS[found]) if found in _VERDICTS else None


def ranked(asked: Asked, facts: Facts, text: str) -> list[tuple[float, str]] | None:
    """The members with their values, greatest first; None where one is not known."""
    found = []
    for member in asked.members:
        value = evaluated(asked, facts, text, member)
        if not isinstance(value, int | float):
            return None
        found.append((float(value), member.rpartition("/")[2]))
    return sorted(found, key=lambda pair: -pair[0])


def _order(bank: Bank, asked: Asked, text: str | None, before: bool) -> Answer | None:
    ranking = asked.pattern.form.order
    assert ranking is not None
    found = ranked(asked, asked.plan.facts(), text or ranking.by)
    if found is None or len({value for value, _ in found}) < len(found):
        return None
    return Answer(", ".join(name for _, name in found))


_ANSWERS: Mapping[str, Callable[[Bank, Asked, str | None, bool], Answer | None]] = {
    "value": _value, "numeric": _value, "what-if": _value, "picture": _picture, "longest-run": _longest,
    "which-part": _least, "true-or-open": _statement, "order": _order,
}  # fmt: skip
