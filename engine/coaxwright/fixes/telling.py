"""Advice and plans as documents and as JSON data. Decides nothing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from coaxwright import pace
from coaxwright.findings import Fix
from coaxwright.fixes.advice import Advice
from coaxwright.fixes.proving import change_of, harm_words
from coaxwright.fixes.rejudging import SiteState
from coaxwright.fixes.repair import Plan
from coaxwright.reporting.json_report import finding_data, fix_data
from coaxwright.reporting.to_do import LEAST, MOST, things_to_do, told
from coaxwright.reporting.wording import change_notes, margin
from coaxwright.show.json_text import FORMAT, to_json
from coaxwright.show.plain_data import plain
from coaxwright.show.tree import Block, Caution, Document, Item, Listing, Paragraph, Section
from coaxwright.show.tree import Finding as Shown

_MOST = 4
_MOST_OF_PLAN = 10


def advice_document(state: SiteState, found: Sequence[Advice]) -> Document:
    """Every finding with its fixes, best first."""
    mended = sum(bool(advice.fixes) for advice in found)
    ending = Paragraph(f"{mended} of {len(found)} findings can be cleared by one change. {_next(found)}")
    return Document(_title(state), (*_first(state, found), *map(_advice, found), ending))


def _first(state: SiteState, found: Sequence[Advice]) -> Iterator[Block]:
    """What to do first, where there is more than one thing to do about these findings."""
    asked = {advice.finding.key for advice in found}
    things = [thing for thing in things_to_do(state.report()) if any(each.key in asked for each in thing.findings)]
    if len(things) >= LEAST:
        yield Paragraph("To do first:")
        yield Listing(told(things[:MOST]), "number")
        if len(things) > MOST:
            yield Paragraph(f"and {len(things) - MOST} more.")


def _title(state: SiteState) -> str:
    return f"{state.site.site} ({state.basis.loaded.file})"


def _next(found: Sequence[Advice]) -> str:
    if not found:
        return "Nothing to mend at this level."
    return "Next: `coaxwright fix SITE --all` looks for a set of changes that clears them together."


def _advice(advice: Advice) -> Shown:
    finding = advice.finding
    below: list[Block] = []
    if advice.fixes:
        below.append(Listing([Item(fix.title, (Paragraph(_brings(fix)),)) for fix in advice.fixes], "number"))
    if advice.why:
        below.append(Paragraph(f"No fix: {advice.why}."))
    if finding.caution:
        below.append(Caution(finding.caution))
    line = finding.span.line if finding.span else None
    return Shown(finding.level, finding.rule, finding.subject, finding.message, line, tuple(below))


def _brings(fix: Fix) -> str:
    """What a fix does, in one sentence or two."""
    said = change_notes(fix, _MOST)
    if not fix.harms:
        said.append("breaks nothing")
    said.append(_cost(fix.cost, fix.currency))
    room = margin(fix.margin)
    if room:
        said.append(f"then {room}")
    return "; ".join(said)


def _cost(amount: float | None, currency: str | None) -> str:
    if amount is None:
        return "cost not known"
    if not amount:
        return "no parts to buy"
    word = "saves" if amount < 0 else "costs"
    return f"{word} {abs(amount):g} {currency or ''}".rstrip()


def advice_data(state: SiteState, found: Sequence[Advice]) -> str:
    """The same as JSON."""
    return to_json(advice_values(state, found))


def advice_values(state: SiteState, found: Sequence[Advice]) -> dict[str, Any]:
    """The same as plain data."""
    return {
        "format": FORMAT,
        "site": state.site.site,
        "file": state.basis.loaded.file,
        "findings": [
            {
                **finding_data(advice.finding),
                "fixes": [fix_data(fix) for fix in advice.fixes],
                "no_fix": advice.why or None,
            }
            for advice in found
        ],
        "stopped": pace.stopped() or None,
    }


def plan_document(state: SiteState, plan: Plan, level: str) -> Document:
    """The steps of a plan, what they come to, and what is left."""
    steps = Section("Changes", (Listing([step.title for step in plan.steps], "number"),))
    before, after = state.report().summary, plan.after.report().summary
    come_to = (
        f"Errors {before.error} -> {after.error}, warnings {before.warning} -> {after.warning}, "
        f"notes {before.note} -> {after.note}, open {before.open} -> {after.open}. "
        f"{_cost(plan.cost.amount, plan.cost.currency).capitalize()}."
    )
    told = [f"{note[:1].upper()}{note[1:]}." for note in _notes(plan)]
    told += [f"Left: {' on '.join(key)}: {why}." for key, why in plan.in_the_way]
    result = Listing([Item(come_to, (Listing(told, "none"),) if told else ())], "none")
    return Document(_title(state), (*([steps] if plan.steps else []), result, Paragraph(_quality(plan, level))))


def _notes(plan: Plan) -> Iterator[str]:
    """What the whole set harms, opens and loses against the site as it was, and what was taken out of it for that."""
    if plan.proof is not None:
        told = change_notes(change_of(plan.proof), _MOST_OF_PLAN)
        yield from (note for note in told if not note.startswith("clears "))
    for step, harm in plan.dropped:
        yield f"`{step.title}` is not among them: it {harm_words(harm)}"


def _quality(plan: Plan, level: str) -> str:
    """How good the plan is known to be."""
    if plan.in_the_way:
        return f"No set of changes that clears every finding was found ({plan.trials} trials{_stopped()}).{_conflict(plan)}"
    if not plan.steps:
        return f"Nothing to mend at level {level}."
    if plan.best:
        return f"No better set exists among the {plan.considered} changes that the rules propose ({plan.trials} trials)."
    longer = "--time-limit" if pace.stopped() else "--budget"
    found = f"The best set found within {plan.trials} trials{_stopped()}; a better one may exist (`{longer}` looks longer)."
    return f"{found} {_bound(plan)}".rstrip()


def _bound(plan: Plan) -> str:
    """What is known of sets that were not found."""
    among = f"the {plan.considered} changes that the rules propose"
    if plan.unpriced:
        return f"There is no proof in money: no price is known of {plan.unpriced} of {among}."
    if plan.bound is None:
        return ""
    if plan.prefer == "cheapest":
        return f"No set among {among} costs less than {plan.bound:g} {plan.cost.currency or ''}".rstrip() + "."
    return f"Each set among {among} has at least {plan.bound:g} of them."


def _conflict(plan: Plan) -> str:
    """The fewest findings that cannot be cleared together."""
    if not plan.conflict:
        return ""
    among = f"by any set of the {plan.considered} changes that the rules propose, unless something as grave gets worse"
    keys = ", ".join(map(" on ".join, plan.conflict))
    return f" {keys} cannot be cleared {among}." if len(plan.conflict) == 1 else f" Not cleared together {among}: {keys}."


def _stopped() -> str:
    return f", {pace.STOPPED}" if pace.stopped() else ""


def plan_data(state: SiteState, plan: Plan, level: str) -> str:
    """The same as JSON."""
    return to_json(plan_values(state, plan, level))


def plan_values(state: SiteState, plan: Plan, level: str) -> dict[str, Any]:
    """The same as plain data; `patch` is one RFC 6902 patch for all steps."""
    return {
        "format": FORMAT,
        "site": state.site.site,
        "file": state.basis.loaded.file,
        "level": level,
        "steps": [{"title": step.title, "patch": plain(step.patch)} for step in plan.steps],
        "patch": plain(plan.patch),
        "cost": plain(plan.cost.amount),
        "currency": plan.cost.currency,
        "before": plain(state.report().summary),
        "after": plain(plan.after.report().summary),
        "in_the_way": [{"rule": key[0], "subject": key[1], "why": why} for key, why in plan.in_the_way],
        "trials": plan.trials,
        "best": plan.best,
        "optimal": plan.best,
        "bound": plan.bound,
        "considered": plan.considered,
        "unpriced": plan.unpriced,
        "conflict": [{"rule": rule, "subject": subject} for rule, subject in plan.conflict],
        "stopped": pace.stopped() or None,
        **_harms_data(plan),
        "dropped": [{"title": step.title, "because": harm_words(harm)} for step, harm in plan.dropped],
    }


def _harms_data(plan: Plan) -> dict[str, Any]:
    """What the whole set harms, gives up and loses, under the keys of a single change."""
    told = fix_data(change_of(plan.proof) if plan.proof is not None else Fix(""))
    return {
        name: told[name] for name in ("clears", "introduces", "opens", "stays_open", "worsens", "gives_up", "loses")
    }
