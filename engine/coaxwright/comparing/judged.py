"""Findings of two reports: new, gone, worse, better, waived, or told otherwise. Each stands in one list."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from coaxwright.comparing.records import FindingChange
from coaxwright.comparing.renaming import Names
from coaxwright.findings import LEVELS, Finding
from coaxwright.fixes.comparing import LESS_ROOM

LISTS = ("new", "gone", "worse", "better", "waived", "told_otherwise")
Key = tuple[str, str]


def finding_changes(
    before: Collection[Finding], after: Collection[Finding], names: Names, subjects: tuple[Collection[str], Collection[str]]
) -> dict[str, tuple[FindingChange, ...]]:
    """All changes by list, in the order of the reports. `subjects` are those that either side has facts of."""
    found: dict[str, list[FindingChange]] = {name: [] for name in LISTS}
    old = {(each.rule, names.subject(each.subject)): each for each in before}
    new = {each.key: each for each in after}
    renamed = set(map(names.subject, subjects[0]))
    for key in dict.fromkeys([*new, *old]):
        for where, change in _change(old.get(key), new.get(key), key, renamed, set(subjects[1])):
            found[where].append(change)
    return {name: tuple(each) for name, each in found.items()}


def _change(
    was: Finding | None, now: Finding | None, key: Key, old: Collection[str], new: Collection[str]
) -> Iterator[tuple[str, FindingChange]]:
    if was is None:
        yield "new", FindingChange(None, now, "" if key[1] in old else "its subject is new")
    elif now is None:
        yield "gone", FindingChange(was, None, "" if key[1] in new else "its subject is gone")
    else:
        where, because = _moved(was, now)
        if where:
            yield where, FindingChange(was, now, because)


def _moved(was: Finding, now: Finding) -> tuple[str, str]:
    """In which list a finding of both sides stands, and why; an empty name where it says the same."""
    if was.waived and not now.waived:
        return "worse", "nobody answers for it any more"
    if now.waived and not was.waived:
        return "waived", f"answered for: {now.waived.reason}"
    if was.kind != now.kind:
        return "worse", "nobody can judge it any more" if now.kind == "open" else "it was open and fails"
    if was.level != now.level:
        graver = LEVELS.index(now.level) < LEVELS.index(was.level)
        return ("worse" if graver else "better"), f"{was.level} -> {now.level}"
    room = 0.0 if was.margin is None or now.margin is None else now.margin - was.margin
    if abs(room) > LESS_ROOM:
        return ("better" if room > 0 else "worse"), ""
    same = (was.message, was.missing, was.values) == (now.message, now.missing, now.values)
    return ("", "") if same else ("told_otherwise", "")
