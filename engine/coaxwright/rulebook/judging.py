"""Judges: one sweep per rule over all its subjects; what the sweep leaves unsettled is asked of the exact
evaluator.

A judgement that did not pass is a record of rule and subject; sentences, values and margins are made from it
on demand, since most are never printed. Nothing here knows files, levels set by a site, or waivers.

Order: rules by id; within a rule subjects in the order of the site file.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, Literal

from coaxwright.facts.sheets import SHEETS, Sheet, Site
from coaxwright.immutable import immutable
from coaxwright.language.checked import Checked, Fault, Unknown
from coaxwright.language.effort import MOST_UNCOUNTED, Steps, for_subjects
from coaxwright.language.evaluating import evaluate
from coaxwright.language.sweeping import Sweep, bind_sweep
from coaxwright.language.syntax import Macro, walk
from coaxwright.language.templates import Template, fill
from coaxwright.rulebook.library import LoadedRule, Silence
from coaxwright.rulebook.limits import Limits, LimitValue
from coaxwright.rulebook.subjects import FactSource, bindings, subjects

Kind = Literal["pass", "fail", "open", "fault", "not-applicable"]
HOP = "hop"
_PLAIN = (bool, int, float, str)


@immutable
class Judgement:
    """What a rule came to on one subject.

    `missing` are document paths to supply, in order; `fault` what went wrong.
    """

    rule: LoadedRule
    kind: Kind
    subject: Any
    frame: Frame
    missing: tuple[str, ...] = ()
    fault: str = ""


@immutable
class Frame:
    """What is the same for all subjects of a rule on one site: the site's sheet, the limits in force, and the
    steps left for telling its judgements.
    """

    site: Any
    limit: Any
    telling: Steps = field(default_factory=Steps, compare=False, repr=False)

    def bind(self, rule: LoadedRule, subject: object) -> dict[str, Any]:
        """The variables of the rule's expressions for one subject."""
        return bindings(rule.scope, subject, self.site, self.limit)


@dataclass(slots=True, eq=False, repr=False)
class Verdict:
    """One rule on one site: counts, and the judgements that did not pass."""

    rule: LoadedRule
    frame: Frame
    passed: int = 0
    not_applicable: int = 0
    judgements: list[Judgement] = field(default_factory=list)

    def of(self, kind: Kind) -> list[Judgement]:
        """Judgements of one kind."""
        return [each for each in self.judgements if each.kind == kind]

    def add(self, judgement: Judgement) -> None:
        """Count a judgement, and keep it unless it passed or does not apply."""
        if judgement.kind == "pass":
            self.passed += 1
        elif judgement.kind == "not-applicable":
            self.not_applicable += 1
        else:
            self.judgements.append(judgement)


def frame_of(rule: LoadedRule, facts: FactSource, limits: Mapping[str, LimitValue] | None = None) -> Frame:
    """The frame of a rule on a site; `limits` are those in force where the site sets others."""
    sheets = facts.by_kind("site")
    return Frame(sheets[0] if sheets else Site.__new__(Site), Limits((limits or rule.limits).values()))


def judge_rule(
    rule: LoadedRule,
    facts: FactSource,
    limits: Mapping[str, LimitValue] | None = None,
    only: Sequence[Any] | None = None,
) -> Verdict:
    """The verdict of one rule on all its subjects, or on those in `only` (sheets, joints or paths of its
    scope).
    """
    judged = subjects(rule.scope, facts) if only is None else only
    frame = frame_of(rule, facts, limits)
    verdict = Verdict(rule, frame)
    if not judged:
        return verdict
    sweep = _swept(rule, judged, frame, facts)
    verdict.passed, verdict.not_applicable = sweep.passed, sweep.not_applicable
    if sweep.failed or sweep.unsettled:
        _add_unsettled(verdict, rule, judged, frame, sweep)
    return verdict


def _add_unsettled(
    verdict: Verdict, rule: LoadedRule, judged: Sequence[Any], frame: Frame, sweep: Sweep
) -> None:
    """The rest of a sweep, in the order of the subjects."""
    failed, unsettled = set(map(id, sweep.failed)), set(map(id, sweep.unsettled))
    steps = for_subjects(len(judged))
    given = steps.left
    for subject in judged:
        if id(subject) in failed:
            verdict.add(Judgement(rule, "fail", subject, frame))
        elif id(subject) in unsettled:
            verdict.add(judge_exactly(rule, subject, frame, steps))
    rule.took(given - steps.left, len(unsettled))


def _swept(rule: LoadedRule, judged: Sequence[Any], frame: Frame, facts: FactSource) -> Sweep:
    """What the rule's loop leaves; everything, where there is too little to judge for making the loop, or the loop
    could run on and on, which only the exact evaluator notices.
    """
    if not rule.pays_to_compile(len(judged)) or not _stays_small(rule, len(judged), facts):
        return Sweep(0, 0, [], list(judged))
    try:
        constants = {name: frame.limit if name == "limit" else frame.site for name in rule.constants}
        return bind_sweep(rule.sweep, constants)(judged)
    except Exception:  # noqa: BLE001 - a rule that crashes must not stop the others; the exact evaluator tells why
        return Sweep(0, 0, [], list(judged))


def _stays_small(rule: LoadedRule, count: int, facts: FactSource) -> bool:
    """Whether the rule's loop over so many subjects ends soon, whatever the lists of the site hold."""
    if rule.degree is None:
        return False
    return rule.degree < 2 or count * _longest(facts) ** rule.degree <= MOST_UNCOUNTED


def _longest(facts: FactSource) -> int:
    """No list of a fact sheet is longer than the sheets of some kind are many."""
    return max(len(facts.by_kind(kind)) for kind in SHEETS)


def judge_exactly(rule: LoadedRule, subject: object, frame: Frame, steps: Steps | None = None) -> Judgement:
    """The judgement of one subject by the exact evaluator, within the steps. Never raises: a crash is a fault of this
    rule.
    """
    try:
        return _judged(rule, subject, frame, steps or Steps())
    except Exception as error:  # noqa: BLE001 - a rule that crashes becomes a finding of its own, the rest go on
        return Judgement(rule, "fault", subject, frame, fault=f"{type(error).__name__}: {error}")


def _judged(rule: LoadedRule, subject: object, frame: Frame, steps: Steps) -> Judgement:
    bound = frame.bind(rule, subject)
    if rule.when is not None:
        applies = evaluate(rule.when, bound, steps)
        if applies is not True:
            return _without_value(rule, subject, frame, applies, "not-applicable")
    holds = evaluate(rule.require, bound, steps)
    return (
        Judgement(rule, "pass", subject, frame)
        if holds is True
        else _without_value(rule, subject, frame, holds, "fail")
    )


def _without_value(rule: LoadedRule, subject: object, frame: Frame, value: object, otherwise: Kind) -> Judgement:
    if isinstance(value, Unknown):
        return Judgement(rule, "open", subject, frame, missing=missing_paths(value))
    if isinstance(value, Fault):
        return Judgement(rule, "fault", subject, frame, fault=value.what)
    if value is not False:
        return Judgement(rule, "fault", subject, frame, fault=f"the condition came to {value!r}")
    return Judgement(rule, otherwise, subject, frame)


def silence_of(judgement: Judgement) -> Silence | None:
    """Why a judgement that is not applicable was not made: the first rule whose failing left nothing to ask.

    None for any other judgement, and where the rule does not concern the subject anyway.
    """
    rule = judgement.rule
    if judgement.kind != "not-applicable" or not rule.silences:
        return None
    bound = judgement.frame.bind(rule, judgement.subject)
    if rule.applies is not None and evaluate(rule.applies, bound) is False:
        return None
    return next((each for each in rule.silences if evaluate(each.condition, bound) is True), None)


def missing_paths(unknown: Unknown) -> tuple[str, ...]:
    """What to supply, by document path, in the order in which the expression reads it, each once."""
    found: dict[str, None] = {}
    for sheet, name in unknown.missing:
        paths = sheet.missing(name) if isinstance(sheet, Sheet) else (name,)
        found.update(dict.fromkeys(paths))
    return tuple(found)


def judge(
    rules: Iterable[LoadedRule],
    facts: FactSource,
    limits: Mapping[str, Mapping[str, LimitValue]] | None = None,
) -> list[Verdict]:
    """Verdicts of several rules, in their order; `limits` by rule id are those that the site sets."""
    changed = limits or {}
    return [judge_rule(rule, facts, changed.get(rule.id)) for rule in rules]


# What is told of a judgement.


def told(judgement: Judgement, template: Template) -> str:
    """A sentence of the rule for this judgement; `hop` is the first hop that decides, where there is one."""
    bound = judgement.frame.bind(judgement.rule, judgement.subject)
    if judgement.rule.scope.form == "path":
        hops = [each for each in deciding(judgement) if getattr(each, "kind", "") == HOP]
        if hops:
            bound[HOP] = hops[0]
    return fill(template, bound, judgement.frame.telling)


def values(judgement: Judgement) -> dict[str, Any]:
    """The known plain values that the rule compared, by dotted name, in base units; items of lists are left
    out.
    """
    bound = judgement.frame.bind(judgement.rule, judgement.subject)
    found: dict[str, Any] = {}
    for dotted, variable, names in judgement.rule.compared:
        value = bound.get(variable)
        for name in names:
            value = getattr(value, name, None)
        if isinstance(value, _PLAIN):
            found[dotted] = value
    return found


def margin(judgement: Judgement) -> float | None:
    """Room left as a share, negative on a fail; None where the rule states none or it cannot be known."""
    rule = judgement.rule
    if rule.margin is None:
        return None
    steps = judgement.frame.telling
    before = steps.left
    value = evaluate(rule.margin, judgement.frame.bind(rule, judgement.subject), steps)
    steps.forgive(before)
    return value if isinstance(value, float) and math.isfinite(value) else None


def deciding(judgement: Judgement) -> list[Any]:
    """The sheets in a list that decided a fail: those an `all` was not true of, or an `exists` was."""
    rule = judgement.rule
    bound = judgement.frame.bind(rule, judgement.subject)
    found: dict[int, Any] = {}
    for node in walk(rule.require.syntax):
        if isinstance(node, Macro) and node.operation in ("all", "exists", "exists_one"):
            wanted = node.operation != "all"
            found.update((id(item), item) for item in _items(rule.require, node, bound, wanted, judgement.frame.telling))
    return list(found.values())


def _items(checked: Checked, macro: Macro, bound: Mapping[str, Any], wanted: bool, steps: Steps) -> list[Any]:
    try:
        items = evaluate(replace(checked, syntax=macro.source), bound, steps)
        body = replace(checked, syntax=macro.body)
        listed = items if isinstance(items, list | tuple) else ()
        return [
            item
            for item in listed
            if isinstance(item, Sheet) and evaluate(body, {**bound, macro.variable: item}, steps) is wanted
        ]
    except KeyError:  # a macro inside another: its variables are not bound here
        return []
