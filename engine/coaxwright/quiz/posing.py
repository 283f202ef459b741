"""Poses a question of a pattern on a plan: draws the numbers, picks what is asked about, computes key and wrong results.

None stands for a draw that makes no question (nothing fits, no key, too few wrong results); another draw may.
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from dataclasses import replace

from coaxwright.facts.binding import Facts
from coaxwright.immutable import immutable
from coaxwright.language.templates import NOT_KNOWN
from coaxwright.quiz import answers, wishes
from coaxwright.quiz.answers import FALSE, OPEN, TRUE, Answer, Asked
from coaxwright.quiz.bank import Bank, LoadedPattern
from coaxwright.quiz.forms import Edit
from coaxwright.quiz.items import Posed, Wrong
from coaxwright.quiz.names import following
from coaxwright.quiz.plans import Plan, Steps, edited, put_at
from coaxwright.quiz.two_slips import ANOTHER_ROW, both
from coaxwright.rulebook.judging import told


@immutable
class Ground:
    """What a question is posed on: the bank, a sound plan, the draw, and where the key should come to stand.

    `sound`: where a fault may be hidden, none is. `wish`: what is wished for is drawn from it; None leaves it to the plan.
    """

    bank: Bank
    plan: Plan
    draw: random.Random
    place: int
    sound: bool = False
    wish: random.Random | None = None


def asked_of(ground: Ground, pattern: LoadedPattern, further: Sequence[Edit] = ()) -> Asked | None:
    """A subject that fits, on the plan with its numbers drawn anew; None where nothing fits."""
    fitting = fit(pattern, ground.plan, ground.plan.facts())
    if not fitting:
        return None
    subject = ground.draw.choice(fitting)
    device = tuple(subject.split("/")[:2])
    plan = following(ground.plan, edited(ground.plan, (*pattern.form.vary, *further), device, ground.draw))
    if pattern.form.vary and subject not in fit(pattern, plan, plan.facts()):
        return None
    if not _then(pattern, plan, subject, device):
        return None
    members = _members(ground, pattern, plan)
    return Asked(
        pattern, plan if pattern.form.kind == "which-change" else slim(plan, pattern.form.shows), subject, members
    )


def _then(pattern: LoadedPattern, plan: Plan, subject: str, device: Steps) -> bool:
    """Whether what the pattern wants after its change holds on this plan."""
    if pattern.form.then is None:
        return True
    changed = edited(plan, pattern.form.after, device)
    return answers.evaluated(Asked(pattern, changed, ""), changed.facts(), pattern.form.then, subject) is True


def slim(plan: Plan, shows: Sequence[str]) -> Plan:
    """The plan without what a question of these columns cannot hang on: the way of the picture, or that of the power.

    Proofs that nothing else is found need the whole plan; these questions ask for one result.
    """
    site, gone = dict(plan.site), set[str]()
    if not {"power", "feeding"} & set(shows):
        gone |= {"power", "supplies", "junctions"}
    if set(shows) <= {"models", "power"}:
        gone |= {"video", "record", "wants", "recorders", "monitors"}
    site["cameras"] = {
        name: {key: value for key, value in camera.items() if key not in gone}
        for name, camera in plan.site.get("cameras", {}).items()
    }
    return Plan({key: value for key, value in site.items() if key not in gone}, plan.parts)


def fit(pattern: LoadedPattern, plan: Plan, facts: Facts) -> list[str]:
    """Subjects of the pattern's kind for which its `when` holds."""
    form = pattern.form
    subjects = [sheet.subject for sheet in facts.by_kind(form.about)]
    if form.when is None:
        return subjects
    asked = Asked(pattern, plan, "")
    return [each for each in subjects if answers.evaluated(asked, facts, form.when, each) is True]


def _members(ground: Ground, pattern: LoadedPattern, plan: Plan) -> tuple[str, ...]:
    ranking = pattern.form.order
    fitting = fit(pattern, plan, plan.facts()) if ranking else []
    if ranking is None or len(fitting) < ranking.count:
        return ()
    return tuple(ground.draw.sample(fitting, ranking.count))


def pose_result(ground: Ground, pattern: LoadedPattern) -> Posed | None:
    """A question that asks for a result: a number, a picture, a part, an order."""
    asked = asked_of(ground, pattern)
    posed = None if asked is None else posed_on(ground.bank, asked)
    if posed is not None and pattern.form.counts and ground.wish is not None:
        return _counted(ground, posed, *pattern.form.counts)
    choice = pattern.form.least
    wished = wishes.parts(ground.wish, choice, ground.place, pattern.form.options) if choice else None
    return posed if posed is None or choice is None or wished is None else _in_window(ground.bank, posed, *wished)


def _counted(ground: Ground, posed: Posed, low: int, high: int) -> Posed | None:
    """The question with whole numbers in even steps as options; None where they would lie outside what can be. Keys that
    are drawn evenly then stand in each place as often as in the others, whatever the numbers.
    """
    key, last = round(posed.key.number or 0), posed.asked.pattern.form.options - 1
    step, place = ground.draw.choice((1, 2)), ground.place % (last + 1)
    numbers = [key + step * (each - place) for each in range(last + 1)]
    if not low <= numbers[0] <= numbers[-1] <= high:
        return None
    reached = {each.answer.text: each for each in reversed(posed.wrongs)}
    texts = [answers.numbered(float(each), answers.shown_of(posed.asked.pattern)) for each in numbers if each != key]
    missed = (Wrong(each, "miscounted", ground.bank.slips["miscounted"].feedback) for each in texts)
    return replace(posed, wrongs=tuple(reached.get(each.answer.text, each) for each in missed))


def _in_window(bank: Bank, posed: Posed, key: str, window: Sequence[str]) -> Posed | None:
    """The question with the parts wished for as options; None where another part suffices. A wrong method that leads to
    one of them is named; otherwise it is a step too small or too large.
    """
    if posed.key.text != key:
        return None
    reached = {each.answer.text: each for each in reversed(posed.wrongs)}
    steps = (reached.get(part) or _step(bank, part, window.index(part) - window.index(key)) for part in window)
    return replace(posed, wrongs=tuple(each for each in steps if each.answer.text != key))


def _step(bank: Bank, part: str, steps: int) -> Wrong:
    slip = f"{'one-step' if abs(steps) == 1 else 'two-steps'}-too-{'small' if steps < 0 else 'large'}"
    return Wrong(Answer(part), slip, bank.slips[slip].feedback)


def posed_on(bank: Bank, asked: Asked) -> Posed | None:
    """The question on exactly this plan and subject; None where it has no key."""
    if asked.pattern.form.order is not None and not asked.members:
        return None
    key = answers.answer(bank, asked)
    if key is None:
        return None
    facts = asked.plan.facts()
    return Posed(
        asked, _stem(asked, facts), key, tuple(wrong_results(bank, asked)), tuple(_working(bank, asked, facts, key)),
        wanted=(*(asked.pattern.form.least.of if asked.pattern.form.least else ()), *_parts_of_slips(bank, asked.pattern)),
        sources=sources(asked.pattern),
        shows=asked.pattern.form.shows,
    )  # fmt: skip


def _parts_of_slips(bank: Bank, pattern: LoadedPattern) -> Iterator[str]:
    """Parts that a slip takes by mistake: who works from the paper has to find them there."""
    for used in pattern.slips:
        for edit in bank.slips[used.slip].edits if used.edits is None else used.edits:
            if isinstance(edit.put, str):
                yield edit.put


def _stem(asked: Asked, facts: Facts) -> str:
    stem = answers.told(asked, facts, asked.pattern.form.ask)
    if not asked.members:
        return stem
    names = sorted(member.rpartition("/")[2] for member in asked.members)
    return f"{stem} Order these: {', '.join(names)}."


def wrong_results(bank: Bank, asked: Asked) -> Iterator[Wrong]:
    """What each wrong method of the pattern comes to, as far as it comes to anything."""
    for place, used in enumerate(asked.pattern.slips):
        if used.slip == ANOTHER_ROW:
            yield from _other_rows(bank, asked, place)
            continue
        found = answers.wrong_answer(bank, asked, used)
        if found is not None:
            yield Wrong(found, used.slip, bank.slips[used.slip].feedback, place)
    yield from both(bank, asked)
    if asked.pattern.form.least is not None:
        yield from _neighbours(bank, asked)
    if asked.members:
        yield from _near_orders(bank, asked)


def _near_orders(bank: Bank, asked: Asked) -> Iterator[Wrong]:
    """The right order with two neighbours swapped, or with one device moved past all others."""
    key = answers.answer(bank, asked)
    names = key.text.split(", ") if key is not None else []
    for place in range(len(names) - 1):
        swapped = [*names[:place], names[place + 1], names[place], *names[place + 2 :]]
        yield Wrong(Answer(", ".join(swapped)), "neighbours-swapped", bank.slips["neighbours-swapped"].feedback)
    for moved in ([*names[1:], *names[:1]], [*names[-1:], *names[:-1]]) if names else ():
        yield Wrong(Answer(", ".join(moved)), "one-out-of-line", bank.slips["one-out-of-line"].feedback)


def _other_rows(bank: Bank, asked: Asked, place: int) -> Iterator[Wrong]:
    """What the same question comes to on the other devices of the plan that it could be asked about."""
    for subject in fit(asked.pattern, asked.plan, asked.plan.facts()):
        found = answers.answer(bank, replace(asked, subject=subject)) if subject != asked.subject else None
        if found is not None:
            yield Wrong(found, ANOTHER_ROW, bank.slips[ANOTHER_ROW].feedback, place)


def _neighbours(bank: Bank, asked: Asked) -> Iterator[Wrong]:
    """Parts next to the one that suffices: plausible, and computed to be too small or larger than needed."""
    choice, key = asked.pattern.form.least, answers.answer(bank, asked)
    if choice is None or key is None:
        return
    at = choice.of.index(key.text)
    for place, slip in ((at - 1, "one-step-too-small"), (at + 1, "one-step-too-large")):
        if 0 <= place < len(choice.of):
            yield Wrong(Answer(choice.of[place]), slip, bank.slips[slip].feedback)


def sources(pattern: LoadedPattern) -> tuple[str, ...]:
    """Sources of a pattern, one line each."""
    lines = []
    for source in pattern.form.sources:
        head = ", ".join(part for part in (source.title, source.edition, source.clause) if part)
        lines.append(f"{head}: {source.basis}" if source.basis else head)
    return tuple(lines)


def _working(bank: Bank, asked: Asked, facts: Facts, key: Answer) -> Iterator[str]:
    """How the key came about: the pattern's own sentences, then the engine's working."""
    form = asked.pattern.form
    plan = edited(asked.plan, form.after, asked.device)
    facts = plan.facts() if form.after else facts
    for line in form.working:
        said = answers.told(asked.on(plan), facts, line)
        if NOT_KNOWN not in said:
            yield said
    if form.longest is not None:
        yield from _at_lengths(bank, asked, int(key.number or 0))
    elif form.least is not None:
        yield from _with_parts(bank, asked)
    elif form.order is not None:
        yield from _ranks(asked, facts)
    else:
        yield from _engine(asked, facts)


def _engine(asked: Asked, facts: Facts) -> Iterator[str]:
    """The engine's working of each field of the subject that the answer reads."""
    form = asked.pattern.form
    sheet = answers.find(facts, form.about, asked.subject)
    template = form.kind == "picture"
    paths = () if template else asked.pattern.expression(form.answer or "").paths
    for path in paths:
        if len(path) == 2 and path[0] == form.about and sheet is not None:
            yield from facts.working(sheet, path[1])


def _at_lengths(bank: Bank, asked: Asked, length: int) -> Iterator[str]:
    search = asked.pattern.form.longest
    assert search is not None
    for metres in (length, length + 1):
        plan = edited(asked.plan, (put_at(search.at, f"{metres} {search.unit}"),), asked.device)
        yield from (f"at {metres} {search.unit}: {line}" for line in rule_lines(bank, asked.on(plan), search.rules))


def _with_parts(bank: Bank, asked: Asked) -> Iterator[str]:
    choice = asked.pattern.form.least
    assert choice is not None
    for part in choice.of:
        plan = edited(asked.plan, (put_at(choice.at, part),), asked.device)
        yield from (f"{part}: {line}" for line in rule_lines(bank, asked.on(plan), choice.rules))


def rule_lines(bank: Bank, asked: Asked, rules: Sequence[str]) -> Iterator[str]:
    """For each rule whether it holds on the subject, with the first line of its working."""
    facts = asked.plan.facts()
    words = {"pass": "holds", "fail": "fails", "open": "stays open", "not-applicable": "does not apply"}
    for rule in rules:
        judgement = answers.judged(bank, facts, rule, asked.subject)
        if judgement is None:
            continue
        said = (
            [told(judgement, line) for line in judgement.rule.working[:1]] if judgement.kind in ("pass", "fail") else []
        )
        yield "; ".join(
            [f"{rule} {words.get(judgement.kind, judgement.kind)}", *(line for line in said if NOT_KNOWN not in line)]
        )


def _ranks(asked: Asked, facts: Facts) -> Iterator[str]:
    ranking = asked.pattern.form.order
    assert ranking is not None
    for value, name in answers.ranked(asked, facts, ranking.by) or ():
        shown = answers.shown_of(asked.pattern)
        yield f"{name}: {answers.numbered(value / answers.scale_of(shown.unit), shown).text}"


def pose_statement(ground: Ground, pattern: LoadedPattern) -> Posed | None:
    """A statement in one of three worlds: it holds, it fails, or a fact that it needs is missing."""
    worlds = pattern.form.worlds
    assert worlds is not None
    edits = (worlds.holds, worlds.fails, worlds.open)[ground.place % 3]
    asked = asked_of(ground, pattern, edits)
    posed = None if asked is None else statement_on(ground.bank, asked)
    return posed if posed is not None and posed.key.text == (TRUE, FALSE, OPEN)[ground.place % 3] else None


def statement_on(bank: Bank, asked: Asked) -> Posed | None:
    """The statement on exactly this plan and subject; None where its rule comes to no verdict."""
    worlds, key = asked.pattern.form.worlds, answers.answer(bank, asked)
    if key is None or worlds is None:
        return None
    return Posed(
        asked, _stem(asked, asked.plan.facts()), key, tuple(wrong_verdicts(bank, asked, key)),
        tuple(rule_lines(bank, asked, (worlds.rule,))) + tuple(_missing(bank, asked)),
        sources=sources(asked.pattern), shows=asked.pattern.form.shows,
    )  # fmt: skip


def _missing(bank: Bank, asked: Asked) -> Iterator[str]:
    worlds = asked.pattern.form.worlds
    judgement = answers.judged(bank, asked.plan.facts(), worlds.rule, asked.subject) if worlds else None
    if judgement is not None and judgement.missing:
        yield f"to be supplied: {', '.join(judgement.missing)}"


def wrong_verdicts(bank: Bank, asked: Asked, key: Answer) -> Iterator[Wrong]:
    """The two other verdicts, each reached by a named slip that the engine can follow."""
    worlds = asked.pattern.form.worlds
    assert worlds is not None
    if key.text == OPEN:
        for text, slip in ((TRUE, "unknown-taken-as-fine"), (FALSE, "unknown-taken-as-bad")):
            yield Wrong(Answer(text), slip, bank.slips[slip].feedback)
        return
    other = FALSE if key.text == TRUE else TRUE
    found = [each for each in wrong_results(bank, asked) if each.answer.text == other]
    yield (
        found[0] if found else Wrong(Answer(other), "verdict-turned-round", bank.slips["verdict-turned-round"].feedback)
    )
    blank = answers.answer(bank, asked.on(edited(asked.plan, worlds.open, asked.device)))
    if blank is not None and blank.text == OPEN:
        slip = "printed-value-overlooked"
        yield Wrong(blank, slip, bank.slips[slip].feedback)
