"""What a case demands of a verdict, and what is demanded of the cases of a rule together.

Runs nothing itself.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

from coaxwright.errors import Refusal
from coaxwright.facts.sheets import Sheet
from coaxwright.language.checked import Checked, Fault, Unknown
from coaxwright.language.evaluating import evaluate
from coaxwright.language.syntax import Binary, Macro, Node, children, walk
from coaxwright.language.templates import NOT_KNOWN
from coaxwright.language.types import Num
from coaxwright.model.quantities import format_quantity
from coaxwright.model.rules import Case, CaseFile, ExpectedFail, ExpectedOpen
from coaxwright.rulebook.environment import rule_environment
from coaxwright.rulebook.judging import Frame, Judgement, Verdict, judge_exactly, told
from coaxwright.rulebook.library import LoadedRule
from coaxwright.rulebook.subjects import FactSource, subjects

_ORDER = frozenset({"less", "less_equal", "greater", "greater_equal"})


def outcome_problems(rule: LoadedRule, case: Case, verdict: Verdict) -> Iterator[str]:
    """Fails and opens: exactly those expected, each with its values or what is missing; no fault."""
    for each in verdict.of("fault"):
        yield f"the rule could not be carried out on {each.subject.subject}: {each.fault}"
    failed, opened = _by_subject(verdict.of("fail")), _by_subject(verdict.of("open"))
    yield from _set_problems("fail", [expected.on for expected in case.fails], failed)
    yield from _set_problems("open", [expected.on for expected in case.opens], opened)
    for expected in case.fails:
        if expected.on in failed:
            yield from _value_problems(rule, expected, failed[expected.on])
    for expected_open in case.opens:
        if expected_open.on in opened:
            yield from _missing_problems(expected_open, opened[expected_open.on])
    for each in [*verdict.of("fail"), *verdict.of("open")]:
        yield from _sentence_problems(rule, each)


def _by_subject(judgements: Sequence[Judgement]) -> dict[str, Judgement]:
    return {each.subject.subject: each for each in judgements}


def _set_problems(word: str, expected: Sequence[str], found: Mapping[str, Judgement]) -> Iterator[str]:
    for subject in expected:
        if subject not in found:
            yield f"{subject} should {'stay open' if word == 'open' else word} and does not"
    for subject, judgement in found.items():
        if subject not in expected:
            lacking = f" (missing {', '.join(judgement.missing)})" if judgement.missing else ""
            yield f"{subject} should not {'stay open' if word == 'open' else word}{lacking}"
    if len(set(expected)) != len(expected):
        yield f"a subject is named twice among those that {word}"


def _value_problems(rule: LoadedRule, expected: ExpectedFail, judgement: Judgement) -> Iterator[str]:
    bound = judgement.frame.bind(rule, judgement.subject)
    for text, wanted in expected.values.items():
        try:
            checked = _checked(rule, text)
        except Refusal as refusal:
            yield f"`{text}`: {refusal.problems[0].what}"
            continue
        value = evaluate(checked, bound)
        if not agrees(value, wanted, checked):
            yield f"`{text}` on {expected.on} is {_shown(value, checked)}, not {wanted}"


def _checked(rule: LoadedRule, text: str) -> Checked:
    from coaxwright.language.typing_check import check_expression

    return check_expression(text, rule_environment(rule.scope, rule.limits, rule.own.kinds))


def agrees(value: object, wanted: object, checked: Checked) -> bool:
    """Whether a value equals what a case states, to the last digit that the case prints."""
    if isinstance(value, Unknown | Fault):
        return False
    if isinstance(wanted, str) and isinstance(value, float):
        return _shown(value, checked) == wanted
    if isinstance(value, bool) or isinstance(wanted, bool):
        return value is wanted
    if isinstance(value, int | float) and isinstance(wanted, int | float):
        return math.isclose(value, wanted, abs_tol=0.5 * 10.0 ** -_decimals(wanted) * (1 + 1e-9), rel_tol=0)
    return value == wanted


def _decimals(number: float) -> int:
    """Digits after the point, as a person would print the number."""
    mantissa, _, power = repr(float(number)).partition("e")
    digits = len(mantissa.partition(".")[2].rstrip("0"))
    return digits - int(power or 0)


def _shown(value: object, checked: Checked) -> str:
    if isinstance(value, Unknown):
        return "not known"
    if isinstance(value, Fault):
        return f"not computable ({value.what})"
    if isinstance(value, float) and isinstance(checked.type, Num):
        return format_quantity(value, str(checked.type.unit))
    return value.subject if isinstance(value, Sheet) else str(value)


def _missing_problems(expected: ExpectedOpen, judgement: Judgement) -> Iterator[str]:
    if expected.missing and expected.missing != judgement.missing:
        wanted, found = ", ".join(expected.missing), ", ".join(judgement.missing)
        yield f"{expected.on} should miss {wanted}, and misses {found}"


def _sentence_problems(rule: LoadedRule, judgement: Judgement) -> Iterator[str]:
    """What a rule says must be sayable wherever it fails."""
    if judgement.kind == "fail" and NOT_KNOWN in (sentence := told(judgement, rule.says)):
        yield f"its sentence on {judgement.subject.subject} has a value that is not known: {sentence}"


def silent_problems(rule: LoadedRule, case: Case, verdict: Verdict, facts: FactSource) -> Iterator[str]:
    """Passes and what does not apply: that the subjects exist, and that the rule says so of them."""
    frame = verdict.frame
    known = {subject.subject: subject for subject in subjects(rule.scope, facts)}
    for word, names in (("pass", case.passes), ("not-applicable", case.not_applicable)):
        for name in names:
            if name not in known:
                yield f"there is no {rule.scope.subject} `{name}` in this case"
                continue
            kind = judge_exactly(rule, known[name], frame).kind
            if kind != word:
                yield f"{name} should come to {word} and comes to {kind}"
    if not (case.fails or case.passes or case.opens or case.not_applicable):
        yield "the case expects nothing"
    if case.on_limit:
        yield from _limit_problems(rule, case, frame, known)


def _limit_problems(rule: LoadedRule, case: Case, frame: Frame, known: Mapping[str, Any]) -> Iterator[str]:
    named = [*(fail.on for fail in case.fails), *case.passes]
    for name in named:
        if name in known and any(_equal(pair) for pair in compared(rule, known[name], frame)):
            return
    yield "it is marked as exactly on the limit, and no two numbers that the rule compares are equal there"


def _equal(pair: tuple[float, float]) -> bool:
    return math.isclose(*pair, rel_tol=1e-9, abs_tol=1e-12)


def compared(rule: LoadedRule, subject: Sheet, frame: Frame) -> Iterator[tuple[float, float]]:
    """The numbers that `require` compares by order on this subject, in pairs, list macros included."""
    yield from _compared(rule.require, rule.require.syntax, frame.bind(rule, subject))


def _compared(checked: Checked, node: Node, bound: Mapping[str, Any]) -> Iterator[tuple[float, float]]:
    if isinstance(node, Macro):
        items = evaluate(replace(checked, syntax=node.source), bound)
        for item in items if isinstance(items, list | tuple) else ():
            yield from _compared(checked, node.body, {**bound, node.variable: item})
        return
    if isinstance(node, Binary) and node.operation in _ORDER:
        sides = [evaluate(replace(checked, syntax=side), bound) for side in (node.left, node.right)]
        if all(isinstance(side, int | float) for side in sides):
            yield sides[0], sides[1]  # type: ignore[misc]
    for child in children(node):
        yield from _compared(checked, child, bound)


def demands(rule: LoadedRule, cases: CaseFile) -> Iterator[str]:
    """What is missing from the cases of a rule taken together."""
    if not any(case.fails for case in cases.cases):
        yield "no case shows it failing"
    if not any(case.passes and case.near_miss for case in cases.cases):
        yield "no case is marked near_miss: one step inside the limit, passing"
    if compares_numbers(rule) and not any(case.on_limit for case in cases.cases):
        yield "it compares numbers, and no case is marked on_limit: exactly on the limit"
    opened = any(case.opens for case in cases.cases)
    if not opened and cases.never_open is None:
        yield "no case leaves it open; add one, or say under `never_open` why no fact it reads can be missing"
    if opened and cases.never_open is not None:
        yield "`never_open` is stated, and a case leaves it open"
    names = [case.name for case in cases.cases]
    yield from (f"two cases are named `{name}`" for name in dict.fromkeys(names) if names.count(name) > 1)


def compares_numbers(rule: LoadedRule) -> bool:
    """Whether `require` orders numbers anywhere."""
    return any(isinstance(node, Binary) and node.operation in _ORDER for node in walk(rule.require.syntax))
