"""What a search for the cheapest set rests on, as plain data that `replaying` checks without the search."""

from __future__ import annotations

from typing import Any

from coaxwright.fixes.branching import numbers
from coaxwright.fixes.cutting import Learned
from coaxwright.fixes.least_cost import LeastCost
from coaxwright.show.json_text import FORMAT
from coaxwright.show.plain_data import plain


def certificate_of(search: LeastCost, level: str, bound: float | None) -> dict[str, Any]:
    """All changes that were considered, what each adds, and each cut with the changes and the judgement it was learned from."""
    return {
        "format": FORMAT,
        "level": level,
        "bound": bound,
        "changes": [
            {"title": each.title, "patch": plain(each.patch), "weight": weight, "needs": numbers(needs)}
            for each, weight, needs in zip(search.changes.pool, search.weights, search.needs, strict=True)
        ],
        "cuts": [_cut(each) for each in search.learned],
    }


def _cut(learned: Learned) -> dict[str, Any]:
    rule, subject = learned.key or (None, None)
    return {
        "rule": rule,
        "subject": subject,
        "made": numbers(learned.made),
        "taken": numbers(learned.cut.taken),
        "options": numbers(learned.cut.options),
    }
