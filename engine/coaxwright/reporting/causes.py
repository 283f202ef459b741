"""What several findings come from, so that it is told once: their cause in words, and which findings stand together."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from coaxwright.findings import Finding, Related

WORD = re.compile(r"[^\s,;:()]+")
"""A word of a sentence; names and paths are words."""
_RESTS = {"assumed": "an assumed value, see below", "from memory": "a figure from memory, not compared with its source"}


class Causes:
    """The causes that two findings or more share."""

    def __init__(self, findings: Iterable[Finding]) -> None:
        members: dict[str, list[Finding]] = {}
        for finding in findings:
            members.setdefault(finding.cause, []).append(finding)
        self._members = {cause: found for cause, found in members.items() if cause and len(found) > 1}

    def of(self, finding: Finding) -> Sequence[Finding]:
        """All findings with the cause of this one; none where it has it alone."""
        return self._members.get(finding.cause, ())

    def parts(self, group: Iterable[Finding]) -> list[list[Finding]]:
        """The findings of one rule: those that come from one thing together, those with a cause of their own together."""
        found: dict[str, list[Finding]] = {}
        for finding in group:
            found.setdefault(finding.cause if self.of(finding) else "", []).append(finding)
        return list(found.values())

    def told(self, finding: Finding) -> str:
        """The cause that this one shares, in a sentence with the number of those that come from it; empty where it shares
        none. Where another rule came first the sentence points there.
        """
        members = self.of(finding)
        if not members:
            return ""
        first = members[0].rule
        if first != finding.rule:
            return f"the same as of {first} on {members[0].subject}: {named(finding)}"
        return f"{sentence(finding)}; {len(members)} findings come from it"


def without_names(finding: Finding) -> str:
    """What is told of a finding without the name of its device and the places that it names."""
    places = {each.subject for each in finding.related} | {*finding.subject.split("/")[1:2]}
    return WORD.sub(lambda word: "" if word[0] in places else word[0], finding.message)


def named(finding: Finding) -> str:
    """The code of a cause in words, with its root: `trunk drop, supplies/psu1/1`."""
    code, _, root = finding.cause.partition(":")
    return f"{code.replace('-', ' ')}, {root}"


def sentence(finding: Finding) -> str:
    """The cause in a sentence with its place."""
    root = finding.cause.partition(":")[2]
    place = next((each for each in finding.related if each.subject == root), None)
    return named(finding) if place is None else f"{place.message} ({where(place)})"


def where(place: Related) -> str:
    """A related place: its subject and line."""
    return f"{place.subject}, line {place.span.line}" if place.span else place.subject


def brief(finding: Finding, told: str = "", most: int = 3) -> list[str]:
    """The first related places, a line each, and how many more; without the one whose sentence was told with the cause."""
    others = [each for each in finding.related if each.message not in told]
    shown = [f"{where(each)}: {each.message}" for each in others[:most]]
    return [*shown, f"and {len(others) - most} more"] if len(others) > most else shown


def rests(finding: Finding) -> str:
    """What makes it less sure than what is stated; empty where nothing does."""
    return _RESTS.get(finding.confidence, "")
