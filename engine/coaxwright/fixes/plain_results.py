"""What `limits` and `what-if` found as plain data, for JSON and for Python callers. Decides nothing."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from coaxwright import pace
from coaxwright.fixes.against import Beside
from coaxwright.fixes.limits import End, Limit, Smallest
from coaxwright.fixes.proving import worsened
from coaxwright.fixes.what_if import Differences
from coaxwright.reporting.json_report import finding_data, worsened_data
from coaxwright.show.json_text import FORMAT
from coaxwright.show.plain_data import plain


def limits_values(
    subject: str, found: Sequence[Limit], sizes: Sequence[Smallest], left: Sequence[str]
) -> dict[str, Any]:
    """Every number of a subject with both ends of its range; `left` names those that nobody looked into."""
    return {
        "format": FORMAT,
        "subject": subject,
        "limits": [_limit(limit) for limit in found],
        "smallest": plain(sizes),
        "stopped": pace.stopped() or None,
        "not_looked_into": list(left),
    }


def against_values(subject: str, paths: Sequence[str], found: Sequence[Beside]) -> dict[str, Any]:
    """The ranges beside other values, a row for each combination; the fields of `limits_values` stand empty beside them."""
    rows = [
        {"values": plain(each.values), "present": each.present, "limits": [_limit(limit) for limit in each.limits],
         "besides": _keys(each.besides), "refused": each.refused or None}
        for each in found
    ]  # fmt: skip
    return {**limits_values(subject, (), (), ()), "paths": list(paths), "against": rows}


def _limit(limit: Limit) -> dict[str, Any]:
    return {
        "path": "/".join(map(str, limit.number.path)),
        "name": limit.number.name,
        "unit": limit.number.unit,
        "value": limit.number.value,
        "now": limit.stands,
        "fails_now": _keys(limit.now),
        "open_now": _keys(limit.open_now),
        "waived_now": _keys(limit.waived_now),
        "silent_now": [f"{rule} on {subject}, while {by} fails" for (rule, subject), by in sorted(limit.silent_now.items())],
        "down": _end(limit.down),
        "up": _end(limit.up),
    }


def _end(end: End) -> dict[str, Any]:
    return {
        "holds": end.holds,
        "fails": end.fails,
        "rules": _keys(end.rules),
        "again": end.again,
        "opens": _keys(end.opens),
        "beyond": None if end.beyond is None else _end(end.beyond),
        "stopped": end.stopped,
    }


def _keys(keys: Iterable[tuple[str, str]]) -> list[str]:
    return [" on ".join(key) for key in keys]


def what_if_values(found: Differences) -> dict[str, Any]:
    """Findings and facts that an edit changes."""
    return {
        "format": FORMAT,
        "cleared": [finding_data(each) for each in found.cleared],
        "introduced": [finding_data(each) for each in found.introduced],
        "told_otherwise": [
            {"before": finding_data(before), "after": finding_data(after)} for before, after in found.told
        ],
        "worsens": [worsened_data(worsened(harm)) for harm in found.worse],
        "opens": [f"{harm.rule} on {harm.subject} ({harm.level})" for harm in found.worse if harm.how == "open"],
        "gives_up": list(found.gives_up),
        "loses": list(found.loses),
        "facts": plain(found.facts),
    }
