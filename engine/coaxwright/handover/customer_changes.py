"""Changes that were tried on the plan, as a customer reads them: for which cameras, what is done, what it costs.

Without names of parts and rules. What somebody gives up stands before the price; what nobody priced is said to be so.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from decimal import Decimal

from coaxwright.findings import Finding, Fix
from coaxwright.handover.bill import cents
from coaxwright.reporting import ordering
from coaxwright.show.figures import count, named_apart
from coaxwright.show.tree import Block, Column, Paragraph, Section, Table

_MOST = 12
Names = Callable[[Sequence[Finding]], str]
Does = Callable[[Finding], str]


def changes(findings: Iterable[Finding], names: Names, does: Does) -> Iterator[Section]:
    """The section of tried changes; nothing where nobody tried any. `names` says whom
    findings are about, `does` what is done."""
    errors = [each for each in findings if each.kind == "fail" and each.level == "error" and each.waived is None]
    tried: dict[str, list[tuple[Finding, Fix]]] = {}
    for each in errors:
        best = _best(each)
        if best is not None:
            tried.setdefault(repr(best.patch), []).append((each, best))
    if not tried:
        return
    rows = [_row([each for each, _ in group], group[0][1], names, does) for group in tried.values()]
    heads = ("for", "what we change", "what it brings", Column("to pay", "number"))
    blocks: list[Block] = [Paragraph("Each was tried on a copy of this plan, by itself; together they may cost less.")]
    blocks.append(Table(heads, rows[:_MOST]))
    left = len(rows) - _MOST
    blocks += [Paragraph(f"{count(left, 'more change')}: see the engineer's report.")] if left > 0 else []
    without = len(errors) - sum(map(len, tried.values()))
    blocks += [Paragraph(f"{count(without, 'point')} without a change that holds yet: we look for one.")] if without else []
    yield Section("What we would change, and what it costs", tuple(blocks))


def _best(finding: Finding) -> Fix | None:
    """The change that harms and loses least and clears most."""
    proven = [fix for fix in finding.fixes if fix.proven and not fix.hides]
    return max(proven, key=lambda fix: (-len(fix.gives_up), -len(fix.harms), -len(fix.loses), len(fix.clears)), default=None)


def _row(findings: Sequence[Finding], fix: Fix, names: Names, does: Does) -> tuple[str, str, str, str]:
    brings = f"mends {count(len(fix.clears), 'point')}"
    lost = [*(("something that was asked for is given up",) if fix.gives_up else ()), *_lost(fix.loses)]
    return names(findings), does(findings[0]), "; ".join([*lost, brings]), _cost(fix)


def _lost(loses: Sequence[str]) -> tuple[str, ...]:
    return (f"{count(len(loses), 'thing')} the camera could do before is lost",) if loses else ()


def _cost(fix: Fix) -> str:
    if fix.cost is None:
        return "not known yet"
    amount = cents(Decimal(repr(fix.cost)))
    if not amount:
        return "nothing to buy"
    return f"{abs(amount):.2f} {fix.currency or ''}".rstrip() + (" less" if amount < 0 else "")


def cameras_named(findings: Iterable[Finding], name: Callable[[str], str]) -> str:
    """The cameras that findings are about or lead to, else the system."""
    found = [name(subject) for subject in sorted(ordering.cameras_of(findings))]
    more = f" and {len(found) - 3} more" if len(found) > 3 else ""
    return named_apart(found[:3]) + more if found else "the system"
