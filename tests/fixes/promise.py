"""What a proven change promises, written a second time from docs/fixes.md, over the findings of two full checks.

It shares nothing with `fixes.comparing`, `fixes.beginning` and `fixes.proving` but full checks, and the judging of one rule.
"""

from __future__ import annotations

from coaxwright.facts.binding import compute_facts
from coaxwright.rulebook.judging import frame_of, judge_exactly
from coaxwright.rulebook.subjects import subjects
from coaxwright.topology.wiring import build_topology

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


def eased(found, loaded, value, after, rulebook):
    """The same harms, warnings that only begin and lack what was never stated as notes: docs/fixes.md, point 2.

    `loaded` is the site before, `value` the plain site after. Whether a rule applied before is asked of a full set of facts.
    """
    now = by_key(after)
    return [
        (how, rule, subject, "note")
        if (how, level) == ("open", "warning")
        and now[rule, subject].missing
        and all(never_stated(loaded.document.value, value, path) for path in now[rule, subject].missing)
        and begins(loaded, rule, subject, rulebook)
        else (how, rule, subject, level)
        for how, rule, subject, level in found
    ]


def never_stated(before, after, path):
    """Whether the entry stood, and both documents end at the same step on the way to what is missing."""
    return reached(before, path.split("/")) == reached(after, path.split("/")) >= 2


def reached(value, steps):
    count = 0
    for step in steps:
        if isinstance(value, list) and step.isdecimal() and int(step) < len(value):
            value = value[int(step)]
        elif isinstance(value, dict) and step in value:
            value = value[step]
        else:
            break
        count += 1
    return count


def begins(loaded, rule, subject, rulebook):
    """Whether the rule came to nothing on that subject of an entry that stood: not to a pass."""
    group, name, *_ = subject.split("/")
    if name not in loaded.document.value.get(group, {}):
        return False
    facts = compute_facts(loaded, build_topology(loaded))
    (asked,) = (each for each in rulebook.rules if each.id == rule)
    kinds = [
        judge_exactly(asked, each, frame_of(asked, facts)).kind
        for each in subjects(asked.scope, facts)
        if each.subject == subject
    ]
    return kinds in ([], ["not-applicable"])


def allowed(found, level):
    """Whether all harms are at a level below the one that is cleared."""
    return all(RANK[each[3]] > RANK[level] for each in found)


def keeps_the_promise(rule, subject, level, before, after, easing=None):
    """Whether an applied change may be shown for a finding: points 1 and 2; `easing` as `eased` with the two sites."""
    found = harms(before, after)
    return (rule, subject) not in by_key(after) and allowed(easing(found) if easing else found, level)
