"""What a proven change promises, written a second time from docs/fixes.md, over the findings of two full checks.

It shares nothing with `fixes.comparing` and `fixes.proving` but the reports: those are made by `check` alone.
"""

from __future__ import annotations

RANK = {"error": 0, "warning": 1, "note": 2}


def by_key(report):
    """Findings of a report by rule and subject, those about waivers left out."""
    return {(each.rule, each.subject): each for each in report.findings if not each.rule.startswith("waiver/")}


def is_fail(finding):
    """Fails, and nobody answers for it."""
    return finding is not None and finding.kind in ("fail", "fault") and finding.waived is None


def is_open(finding):
    return finding is not None and finding.kind == "open" and finding.waived is None


def harms(before, after):
    """(how, rule, subject, level) of all that got worse from one report to the other."""
    was, found = by_key(before), []
    for key, now in by_key(after).items():
        old = was.get(key)
        if is_open(now) and not (old is not None and old.kind == "open"):
            found.append(("open", *key, now.level))
        elif is_fail(now) and (old is None or old.kind == "open" or (old.waived and not now.waived)):
            found.append(("fails", *key, now.level))
        elif is_fail(now):
            less = None not in (old.margin, now.margin) and old.margin - now.margin > 1e-6
            if less or RANK[now.level] < RANK[old.level]:
                found.append(("less-room", *key, now.level))
    return found


def allowed(found, level):
    """Whether all harms are at a level below the one that is cleared."""
    return all(RANK[each[3]] > RANK[level] for each in found)


def keeps_the_promise(rule, subject, level, before, after):
    """Whether an applied change may be shown for a finding: points 1 and 2."""
    return (rule, subject) not in by_key(after) and allowed(harms(before, after), level)
