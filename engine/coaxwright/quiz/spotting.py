"""Faults put into sound plans, and remedies: what the whole rulebook must and must not find is proved for each.

A fault is an edit tied to a rule (`rules/quiz/faults.yaml`). With it the engine must find exactly the wanted and
nothing else of level error or warning; a herring is an edit that looks like a fault and after which all still holds.
"""

from __future__ import annotations

import random
import re
from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations

from coaxwright.errors import Refusal
from coaxwright.facts.binding import Facts
from coaxwright.fixes.comparing import harms, standing_of
from coaxwright.language.evaluating import evaluate
from coaxwright.language.templates import NOT_KNOWN
from coaxwright.quiz import answers, wishes
from coaxwright.quiz.answers import Answer, Asked
from coaxwright.quiz.bank import Bank, LoadedPattern, condition
from coaxwright.quiz.forms import Fault
from coaxwright.quiz.items import Posed, Wrong
from coaxwright.quiz.names import following
from coaxwright.quiz.plans import NoSuchPlace, Plan, edited
from coaxwright.quiz.posing import Ground, asked_of, sources
from coaxwright.rulebook import judging
from coaxwright.rulebook.judging import Judgement, told
from coaxwright.rulebook.scope import kind_scope
from coaxwright.rulebook.subjects import bindings, subjects

SOUND = "whole plan: It holds as it is drawn"
Place = tuple[str, str]
"""A rule and the subject that it fails or holds on."""
Odd = Mapping[Place, str]
"""What holds in a plan though it looks wrong, and why it looks so."""
MOST_SUBJECTS = 6
"""On so many things a fault is tried, or so often on few."""


def found_in(bank: Bank, facts: Facts, topic: str = "") -> list[Judgement]:
    """Everything of level error or warning that does not pass, by rule, in the order of the plan.

    Of the topic that is asked about, notes count as well where faults are tied to them.
    """
    notes = {fault.rule for fault in faults_of(bank, topic)}
    rules = [rule for rule in bank.rulebook.rules if rule.level != "note" or rule.id in notes]
    return [judgement for verdict in judging.judge(rules, bank.rulebook.own.onto(facts)) for judgement in verdict.judgements]


def place_of(judgement: Judgement) -> Place:
    """Rule and subject of a judgement."""
    return judgement.rule.id, judgement.subject.subject


def faults_of(bank: Bank, topic: str) -> list[Fault]:
    """Faults tied to rules of a topic."""
    return [fault for fault in bank.faults if _topic(fault) == topic]


def _topic(fault: Fault) -> str:
    return fault.rule.partition("/")[0]


def _subjects(fault: Fault, facts: Facts) -> list[str]:
    fits, site = condition(fault), facts.by_kind("site")[0]
    scope = kind_scope(fault.about)
    return [
        sheet.subject for sheet in facts.by_kind(fault.about)
        if fits is None or evaluate(fits, bindings(scope, sheet, site, None)) is True
    ]  # fmt: skip


def put_in(
    bank: Bank, plan: Plan, fault: Fault, draw: random.Random, besides: Sequence[Place] = ()
) -> tuple[Plan, list[Judgement]] | None:
    """The plan with the fault in it, proved: exactly it and `besides` are found, on one thing, or on both that share it.
    None where it cannot be put in.
    """
    chosen = _subjects(fault, plan.facts())
    draw.shuffle(chosen)
    for subject in (chosen * MOST_SUBJECTS)[:MOST_SUBJECTS]:
        try:
            spoiled = edited(plan, fault.edits, tuple(subject.split("/")[:2]), draw)
            found = found_in(bank, spoiled.facts(), _topic(fault))
        except (NoSuchPlace, Refusal):
            continue
        if fault.leaves_open:
            found = [each for each in found if each.kind != "open"]
        new = [each for each in found if place_of(each) not in besides]
        alone = len(new) == 1 or (fault.of_two and len(new) == 2)
        if alone and len(found) == len(besides) + len(new) and all(_is_found(fault, each) for each in new):
            return spoiled, new
    return None


def _is_found(fault: Fault, judgement: Judgement) -> bool:
    return judgement.rule.id == fault.rule and judgement.kind == "fail"


def with_herrings(bank: Bank, plan: Plan, faults: Sequence[Fault], draw: random.Random) -> tuple[Plan, Odd]:
    """The plan with things in it that look wrong and are proved to hold: one of each rule at most, as far as they fit."""
    odd: dict[Place, str] = {}
    for fault in draw.sample(list(faults), len(faults)):
        done = _with_herring(bank, plan, fault, odd) if fault.rule not in {rule for rule, _ in odd} else None
        if done is not None:
            plan, place = done
            odd[place] = fault.looks
    return plan, odd


def _with_herring(bank: Bank, plan: Plan, fault: Fault, odd: Odd) -> tuple[Plan, Place] | None:
    topic = _topic(fault)
    before = {place_of(each) for each in found_in(bank, plan.facts(), topic)} if fault.herring else set[Place]()
    taken = {subject for _, subject in odd}
    for subject in _subjects(fault, plan.facts()) if fault.herring else ():
        try:
            changed = edited(plan, fault.herring, tuple(subject.split("/")[:2]), random.Random(subject))
            facts = changed.facts()
        except (NoSuchPlace, Refusal):
            continue
        holding = _holding_for(bank, plan, facts, fault.rule, subject) if subject not in taken else None
        kept = all(_still_holds(bank, facts, place) for place in odd)
        if holding and kept and {place_of(each) for each in found_in(bank, facts, topic)} == before:
            return changed, place_of(holding)
    return None


def _still_holds(bank: Bank, facts: Facts, place: Place) -> bool:
    found = answers.judged(bank, facts, *place)
    return found is not None and found.kind == "pass"


def _holding_for(bank: Bank, plan: Plan, facts: Facts, rule: str, subject: str) -> Judgement | None:
    """What holds of a rule after a herring: on its subject, or on a thing of the same device, or on what is judged new
    (an output that was not in use before), or on the one thing that there is.
    """
    holding = [each for each in _all_judged(bank, facts, rule) if each.kind == "pass"]
    known = {each.subject.subject for each in _all_judged(bank, plan.facts(), rule) if each.kind == "pass"}
    own = [each for each in holding if each.subject.subject == subject]
    own = own or [each for each in holding if each.subject.subject.startswith(f"{subject}/")]
    own = own or [each for each in holding if each.subject.subject not in known]
    return own[0] if own else holding[0] if len(holding) == 1 else None


def _all_judged(bank: Bank, facts: Facts, rule: str) -> Iterator[Judgement]:
    loaded, facts = bank.rulebook.rule(rule), bank.rulebook.own.onto(facts)
    frame = judging.frame_of(loaded, facts)
    for subject in subjects(loaded.scope, facts):
        yield judging.judge_exactly(loaded, subject, frame)


def pose_fault(ground: Ground, pattern: LoadedPattern) -> Posed | None:
    """Spot the fault: one or two in the plan, or none at all; the rest of the options hold, proved.

    Where rules are wished for, each of them could be the one (of two faults the one that holds) on this same plan.
    """
    count = pattern.form.faults
    faults = [each for each in faults_of(ground.bank, pattern.topic) if count == 1 or not each.alone]
    rules = list(dict.fromkeys(fault.rule for fault in faults))
    pool = _worth_a_look(faults, rules) if count == 2 else rules
    named = wishes.some(ground.wish, pool, max(count + 1, pattern.form.options - 1))
    if named is None:
        return _hidden(ground, pattern, rules, None if not ground.sound or count == 2 else ())
    ways: list[tuple[str, ...]] = [*combinations(named, count), *([] if count == 2 else [()])]
    wanted = () if ground.sound and count == 1 else tuple(named[:count])
    posed = _hidden(ground, pattern, named, wanted)
    others = (_hidden(ground, pattern, named, each) for each in ways if each != wanted)
    return posed if posed is not None and None not in others else None


def _worth_a_look(faults: Sequence[Fault], rules: Sequence[str]) -> Sequence[str]:
    """The rules for which something can look wrong and hold, where these suffice: who is told that a run of copper is clad
    sees at a glance that it is not, and of three pairs has one left.
    """
    found = [rule for rule in rules if any(each.herring for each in faults if each.rule == rule)]
    return found if len(found) > 2 else rules


def _hidden(ground: Ground, pattern: LoadedPattern, named: Sequence[str], hidden: Sequence[str] | None) -> Posed | None:
    """The question with faults of these rules in the plan, of any of those named for None; the others hold."""
    bank, draw, faults = ground.bank, ground.draw, faults_of(ground.bank, pattern.topic)
    there, count = (named, pattern.form.faults) if hidden is None else (hidden, len(hidden))
    placed = _spoiled(ground, [each for each in faults if each.rule in there], count)
    if placed is None:
        return None
    plan, wanted = placed
    gone = {rule for rule, _ in wanted}
    plan, odd = with_herrings(bank, plan, [each for each in faults if each.rule in named and each.rule not in gone], draw)
    posed = faults_on(bank, pattern, following(ground.plan, plan), odd, draw, named)
    found = [place_of(each) for each in posed.proofs if each.kind == "fail"]
    offered = {each.rule.id for each in posed.proofs}
    complete = hidden is None or offered.issuperset(named)
    return posed if sorted(found) == sorted(wanted) and complete else None


def faults_on(
    bank: Bank, pattern: LoadedPattern, plan: Plan, odd: Odd, draw: random.Random, named: Sequence[str] = ()
) -> Posed:
    """The question on exactly this plan, with whatever fails in it; of what holds, rules of `named` alone are options."""
    faults, facts = faults_of(bank, pattern.topic), plan.facts()
    failing = [each for each in found_in(bank, facts, pattern.topic) if each.kind == "fail"]
    offered = [fault for fault in faults if not named or fault.rule in named]
    rivals = _rivals(bank, facts, offered, [place_of(each) for each in failing], odd, draw)
    told_of = list({each.rule.id: each for each in reversed(failing)}.values())[::-1]
    key, wrongs = _options(bank, told_of, rivals, odd, pattern.form.faults)
    shows = tuple(dict.fromkeys(each for fault in faults for each in fault.shows))
    return Posed(
        Asked(pattern, plan, "site"), pattern.form.ask, Answer(key), tuple(wrongs), tuple(_fault_lines(bank, failing, rivals)),
        sources=tuple(dict.fromkeys((*sources(pattern), *_rule_sources(failing)))), shows=shows,
        proofs=(*failing, *rivals),
    )  # fmt: skip


def _spoiled(ground: Ground, faults: Sequence[Fault], count: int) -> tuple[Plan, list[Place]] | None:
    plan, wanted, rules = ground.plan, list[Place](), set[str]()
    for fault in ground.draw.sample(list(faults), len(faults)):
        if len(rules) == count:
            break
        done = put_in(ground.bank, plan, fault, ground.draw, wanted) if fault.rule not in rules else None
        if done is not None:
            plan = done[0]
            rules.add(fault.rule)
            wanted += [place_of(each) for each in done[1]]
    return (plan, wanted) if len(rules) == count else None


def _rivals(
    bank: Bank, facts: Facts, faults: Sequence[Fault], wanted: Sequence[Place], odd: Odd, draw: random.Random
) -> list[Judgement]:
    """Rules of the same topic that hold, one thing each; what looks wrong before the rest."""
    found: list[Judgement] = []
    told = {fault.rule for fault in faults if fault.of_two} & {rule for rule, _ in wanted}
    for rule in dict.fromkeys(fault.rule for fault in faults if fault.rule not in told):
        holding = [
            each for each in _all_judged(bank, facts, rule) if each.kind == "pass" and place_of(each) not in wanted
        ]
        herrings = [each for each in holding if place_of(each) in odd]
        if holding:
            found.append(draw.choice(herrings or holding))
    draw.shuffle(found)
    return sorted(found, key=lambda each: place_of(each) not in odd)


def label(bank: Bank, judgement: Judgement) -> str:
    """How an option names a fault: the thing, and the rule's title or what `faults.yaml` says instead."""
    rule = judgement.rule
    said = next((fault.named for fault in bank.faults if fault.rule == rule.id and fault.named), rule.title)
    return f"{thing(judgement.subject.subject)}: {said}"


_PORTS = {"supplies": "output", "switches": "port"}


def thing(subject: str) -> str:
    """A subject in few words: `gate`, `input 3 of rec1`, `output 2 of psu1`, `disks of rec1`, `power run of gate`."""
    group, *steps = subject.split("/")
    if len(steps) < 2:
        return steps[0] if steps else "the site"
    part = steps[1]
    if part.isdecimal():
        part = f"{_PORTS.get(group, 'input')} {part}"
    elif steps[-1].isdecimal():
        part = f"{'coax' if part == 'video' else part} run"
    return f"{part} of {steps[0]}"


_SUBJECT = re.compile(r"\b(?:cameras|recorders|supplies|switches|monitors|junctions)(?:/[A-Za-z0-9_-]+)+")


def in_words(text: str) -> str:
    """A sentence of a rule with its paths as things: `input 3 of rec1` for `recorders/rec1/3`."""
    said = _SUBJECT.sub(lambda found: thing(found[0]), text)
    return f"{said[:1].upper()}{said[1:]}" if _SUBJECT.match(text) else said


def _options(
    bank: Bank, failing: Sequence[Judgement], rivals: Sequence[Judgement], odd: Odd, count: int
) -> tuple[str, list[Wrong]]:
    if count == 2:
        return _pairs(bank, failing, [each for each in rivals if place_of(each) in odd] or rivals, odd)
    key = label(bank, failing[0]) if failing else SOUND
    wrongs = [_rival(bank, each, odd) for each in rivals if label(bank, each) != key]
    if failing:
        wrongs.append(Wrong(Answer(SOUND), "fault-overlooked", bank.slips["fault-overlooked"].feedback))
    return key, wrongs


def _rival(bank: Bank, judgement: Judgement, odd: Odd) -> Wrong:
    looks = odd.get(place_of(judgement))
    slip = "fault-elsewhere" if looks is None else "looks-wrong-holds"
    said = [looks] if looks else []
    said += [bank.slips[slip].feedback, *_holding(bank, judgement)]
    return Wrong(Answer(label(bank, judgement)), slip, " ".join(said))


def _holding(bank: Bank, judgement: Judgement) -> list[str]:
    """The working of a rule that holds, where it tells of more than failing."""
    if any(fault.quiet for fault in bank.faults if fault.rule == judgement.rule.id):
        return []
    lines = [told(judgement, line) for line in judgement.rule.working[:1]]
    return [f"{line[:1].upper()}{line[1:]}." for line in lines if line and NOT_KNOWN not in line]


def _pairs(bank: Bank, failing: Sequence[Judgement], rivals: Sequence[Judgement], odd: Odd) -> tuple[str, list[Wrong]]:
    """Two faults and one thing that holds give three pairs, each of which could be the key by its words."""

    def text(*pair: Judgement) -> str:
        return "; and ".join(sorted(label(bank, each) for each in pair))

    wrongs = []
    for rival in rivals[:3]:
        looks = [odd[place_of(rival)]] if place_of(rival) in odd else []
        feedback = " ".join([*looks, bank.slips["fault-elsewhere"].feedback, *_holding(bank, rival)])
        wrongs += [Wrong(Answer(text(one, rival)), "fault-elsewhere", feedback) for one in failing]
    return text(*failing), wrongs


def _fault_lines(bank: Bank, failing: Sequence[Judgement], rivals: Sequence[Judgement]) -> Iterator[str]:
    for judgement in failing:
        yield f"fails: {judgement.rule.id} on {judgement.subject.subject}: {told(judgement, judgement.rule.says)}"
        yield from filter(None, (told(judgement, line) for line in judgement.rule.working))
    for judgement in rivals[:4]:
        line = " ".join(_holding(bank, judgement))
        yield f"holds: {judgement.rule.id} on {judgement.subject.subject}" + (f": {line}" if line else "")


def _rule_sources(failing: Sequence[Judgement]) -> Iterator[str]:
    for judgement in failing:
        for source in judgement.rule.plain["sources"]:
            parts = [source["title"], source.get("edition"), source.get("clause")]
            yield ", ".join(part for part in parts if part) + (f": {source['for']}" if source.get("for") else "")


def pose_change(ground: Ground, pattern: LoadedPattern) -> Posed | None:
    """Which change clears the fault: exactly one of the options does, and brings nothing new; proved for each."""
    wished = wishes.changes(ground.wish, pattern.form.changes, pattern.form.options)
    asked = asked_of(ground, pattern, pattern.form.changes[wished[0]].cause if wished else ())
    return None if asked is None else change_on(ground.bank, asked, ground.draw, wished)


def change_on(bank: Bank, asked: Asked, draw: random.Random, wished: Sequence[int] | None = None) -> Posed | None:
    """The question on exactly this plan; None unless its rule fails there, alone, and a change clears it. Of the changes
    those that are wished for are offered, and the first of them has to be the one.
    """
    form, facts = asked.pattern.form, asked.plan.facts()
    found = found_in(bank, facts, asked.pattern.topic)
    if len(found) != 1 or found[0].rule.id != form.rule or found[0].kind != "fail":
        return None
    fault = found[0]
    tried = [(place, *outcome(bank, asked, place)) for place in wished or range(len(form.changes))]
    clearing = [place for place, word, _ in tried if word == "clears"]
    if not clearing or (wished is not None and clearing != [wished[0]]):
        return None
    chosen = draw.choice(clearing)
    wrongs = [_no_remedy(bank, asked, *each) for each in tried if each[1] not in ("clears", "impossible")]
    seen = answers.told(asked, facts, form.symptom) if form.symptom else in_words(told(fault, fault.rule.says))
    return Posed(
        asked, f"{seen} {answers.told(asked, facts, form.ask)}",
        Answer(_change_text(asked, chosen)), tuple(wrongs),
        tuple(f"{_change_text(asked, place)}: {line}" for place, _, line in sorted(tried)),
        wanted=tuple(_parts_named(asked.pattern)),
        sources=tuple(dict.fromkeys((*sources(asked.pattern), *_rule_sources([fault])))), shows=form.shows,
    )  # fmt: skip


def _change_text(asked: Asked, place: int) -> str:
    return answers.told(asked, asked.plan.facts(), asked.pattern.form.changes[place].says)


def _parts_named(pattern: LoadedPattern) -> Iterator[str]:
    for change in pattern.form.changes:
        for edit in change.edits:
            values = edit.put if isinstance(edit.put, list | tuple) else [edit.put]
            yield from (value for value in values if isinstance(value, str))


def outcome(bank: Bank, asked: Asked, place: int, printed: bool = False) -> tuple[str, str]:
    """What a change does: `clears`, `fails` (not enough, or nothing to do with it), `harms`, `impossible`.

    On a plan `printed` in part, what stays open is no harm: it was left out because the question does not need it.
    """
    form = asked.pattern.form
    try:
        plan = edited(asked.plan, form.changes[place].edits, asked.device)
        if (plan.site, plan.parts) == (asked.plan.site, asked.plan.parts):
            return "impossible", "it is so already"
        facts = plan.facts()
        after = found_in(bank, facts, asked.pattern.topic)
    except (NoSuchPlace, Refusal):
        return "impossible", "cannot be done here"
    before = found_in(bank, asked.plan.facts(), asked.pattern.topic)
    still = [each for each in after if each.rule.id == form.rule]
    if still:
        return "fails", f"{form.rule} still fails: {told(still[0], still[0].rule.says)}"
    gone = [each for each in before if each.rule.id == form.rule and answers.judged(bank, facts, *place_of(each)) is None]
    if gone:
        return "fails", f"{form.rule} has nothing left to judge: {gone[0].subject.subject} is gone"
    worse = harms(standing_of(before, {}), standing_of(after, {}))
    harm = next((each for each in worse if each.how != "open" or not printed), None)
    if harm is not None:
        found = next(each for each in after if place_of(each) == harm.key)
        how = "makes worse" if harm.how == "less-room" else "brings"
        return "harms", f"clears it and {how} {harm.rule}: {told(found, found.rule.says)}"
    return "clears", "clears it, and nothing new is found"


def _no_remedy(bank: Bank, asked: Asked, place: int, word: str, line: str) -> Wrong:
    slip = asked.pattern.form.changes[place].slip
    if word == "harms":
        slip = "cures-by-harming"
    return Wrong(Answer(_change_text(asked, place)), slip, f"{bank.slips[slip].feedback} Here: {line}", place)
