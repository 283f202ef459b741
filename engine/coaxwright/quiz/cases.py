"""Runs the cases of question patterns: on a small plan the key and the wrong results must be what was worked out
outside the program.
"""

from __future__ import annotations

import random
from collections.abc import Iterator

from coaxwright.immutable import immutable
from coaxwright.quiz.answers import Asked
from coaxwright.quiz.bank import Bank, LoadedPattern
from coaxwright.quiz.forms import PatternCase
from coaxwright.quiz.items import Posed
from coaxwright.quiz.plans import Plan
from coaxwright.quiz.posing import posed_on, statement_on
from coaxwright.quiz.spotting import change_on, faults_on
from coaxwright.rulebook.cases import merged


@immutable
class CaseResult:
    """What became of one case."""

    pattern: str
    case: str
    problems: tuple[str, ...]

    def __str__(self) -> str:
        """One line."""
        return f"{self.pattern} ({self.case}): {'; '.join(self.problems) or 'ok'}"


def run_cases(bank: Bank) -> Iterator[CaseResult]:
    """Every case of every pattern that has some."""
    for identifier, (_, held) in bank.cases.items():
        for case in held.cases:
            yield CaseResult(identifier, case.name, tuple(_problems(bank, bank.pattern(identifier), case)))


def plan_of_case(bank: Bank, case: PatternCase) -> Plan:
    """The small plan with the changes of the case."""
    parts = merged(dict(bank.stock.parts), bank.ground.parts)
    return Plan(merged(bank.ground.site, case.site), merged(parts, case.parts))


def posed_case(bank: Bank, pattern: LoadedPattern, asked: Asked) -> Posed | None:
    """The question on exactly the plan of a case, of whatever kind it is; None where it has no key."""
    draw = random.Random(asked.subject)
    if pattern.form.kind == "spot-fault":
        return faults_on(bank, pattern, asked.plan, {}, draw)
    if pattern.form.kind == "which-change":
        return change_on(bank, asked, draw)
    return statement_on(bank, asked) if pattern.form.kind == "true-or-open" else posed_on(bank, asked)


def _problems(bank: Bank, pattern: LoadedPattern, case: PatternCase) -> Iterator[str]:
    posed = posed_case(bank, pattern, Asked(pattern, plan_of_case(bank, case), case.on, case.members))
    if posed is None:
        yield f"there is no answer on {case.on}"
        return
    if posed.key.text not in (case.key, *case.others):
        yield f"the key is {posed.key.text}, not {case.key}"
    yield from _wrong(posed, case)


def _wrong(posed: Posed, case: PatternCase) -> Iterator[str]:
    for slip, text in case.wrong.items():
        found = [wrong.answer.text for wrong in posed.wrongs if wrong.slip == slip]
        if text not in found:
            yield f"{slip} comes to {', '.join(found) or 'nothing'}, not {text}"
