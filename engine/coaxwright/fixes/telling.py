"""Advice and plans as text for a person and as JSON data. Decides nothing."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence

from coaxwright.findings import Fix
from coaxwright.fixes.advice import Advice
from coaxwright.fixes.rejudging import SiteState
from coaxwright.fixes.repair import Plan
from coaxwright.reporting.json_report import finding_data, fix_data, to_json
from coaxwright.reporting.painter import visible
from coaxwright.reporting.plain_data import plain
from coaxwright.reporting.wording import margin

_WIDTH = 100
_MOST = 4


def advice_text(state: SiteState, found: Sequence[Advice]) -> str:
    """Every finding with its fixes, best first."""
    lines = [f"{visible(state.site.site)} ({visible(state.basis.loaded.file)})", ""]
    for advice in found:
        lines += [*_advice(advice), ""]
    mended = sum(bool(advice.fixes) for advice in found)
    lines.append(f"{mended} of {len(found)} findings can be cleared by one change. {_next(found)}")
    return "\n".join(lines) + "\n"


def _next(found: Sequence[Advice]) -> str:
    if not found:
        return "Nothing to mend at this level."
    return "Next: `coaxwright fix SITE --all` looks for a set of changes that clears them together."


def _advice(advice: Advice) -> Iterator[str]:
    finding = advice.finding
    line = f", line {finding.span.line}" if finding.span else ""
    yield f"{finding.level.upper()}  {finding.rule}  {visible(finding.subject)}{line}"
    yield from _wrapped(visible(finding.message), "")
    for number, fix in enumerate(advice.fixes, 1):
        yield from _wrapped(f"{number}. {visible(fix.title)}", "  ")
        yield from _wrapped(_brings(fix), "     ")
    if advice.why:
        yield from _wrapped(f"No fix: {advice.why}.", "  ")
    if finding.caution:
        yield from _wrapped(f"CAUTION  {visible(finding.caution)}", "  ")


def _wrapped(text: str, indent: str) -> list[str]:
    return textwrap.wrap(
        text, _WIDTH, break_on_hyphens=False, initial_indent=indent, subsequent_indent=indent + "   " * bool(indent)
    )


def _brings(fix: Fix) -> str:
    """What a fix does, in one sentence or two."""
    said = ["hides it: the need is given up"] if fix.hides else []
    said.append(f"clears {_listed(fix.clears)}")
    said.append(f"newly breaks {_listed(fix.introduces)}" if fix.introduces else "breaks nothing")
    if fix.stays_open:
        said.append(f"stays open: {_listed(fix.stays_open)}")
    said.append(_cost(fix.cost, fix.currency))
    room = margin(fix.margin)
    if room:
        said.append(f"then {room}")
    return visible("; ".join(said))


def _listed(names: Sequence[str]) -> str:
    more = len(names) - _MOST
    return ", ".join(names[:_MOST]) + (f" and {more} more" if more > 0 else "")


def _cost(amount: float | None, currency: str | None) -> str:
    if amount is None:
        return "cost not known"
    if not amount:
        return "no parts to buy"
    word = "saves" if amount < 0 else "costs"
    return f"{word} {abs(amount):g} {currency or ''}".rstrip()


def advice_data(state: SiteState, found: Sequence[Advice]) -> str:
    """The same as JSON."""
    data = {
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
    }
    return to_json(data)


def plan_text(state: SiteState, plan: Plan, level: str) -> str:
    """The steps of a plan, what they come to, and what is left."""
    lines = [f"{visible(state.site.site)} ({visible(state.basis.loaded.file)})", ""]
    for number, step in enumerate(plan.steps, 1):
        lines += _wrapped(f"{number}. {visible(step.title)}", "  ")
    before, after = state.report().summary, plan.after.report().summary
    lines += ["", f"Errors {before.error} -> {after.error}, warnings {before.warning} -> {after.warning}, "
              f"notes {before.note} -> {after.note}, open {before.open} -> {after.open}. "
              f"{_cost(plan.cost.amount, plan.cost.currency).capitalize()}."]  # fmt: skip
    for key, why in plan.in_the_way:
        lines += _wrapped(visible(f"Left: {' on '.join(key)}: {why}."), "  ")
    lines.append(_quality(plan, level))
    return "\n".join(lines) + "\n"


def _quality(plan: Plan, level: str) -> str:
    """How good the plan is known to be."""
    if plan.in_the_way:
        return f"No set of changes that clears every finding was found ({plan.trials} trials)."
    if not plan.steps:
        return f"Nothing to mend at level {level}."
    if plan.best:
        return f"No better set exists among the changes that the rules propose ({plan.trials} trials)."
    return f"The best set found within {plan.trials} trials; a better one may exist (`--budget` looks longer)."


def plan_data(state: SiteState, plan: Plan, level: str) -> str:
    """The same as JSON; `patch` is one RFC 6902 patch for all steps."""
    data = {
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
    }
    return to_json(data)
