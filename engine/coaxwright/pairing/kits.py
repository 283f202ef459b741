"""Does a kit work as a system, up to which run length, and what is missing from its box.

A kit is laid out as a site and checked; the longest run at which no rule fails that held before is found by
checking, halving the step each time, and both sides of it are proven by a check.
"""

from __future__ import annotations

from dataclasses import dataclass

from coaxwright.checking import check, load_rulebook
from coaxwright.facts.contradictions import contradictions_of
from coaxwright.findings import Finding, SiteReport
from coaxwright.immutable import immutable
from coaxwright.pairing.kit_sites import Layout, StandIns, contents, lay_out
from coaxwright.pairing.small_sites import load_value
from coaxwright.reading.catalogue import Catalogue
from coaxwright.rulebook.library import Rulebook

SHORTEST, LONGEST = 1.0, 1000.0
STEP = 0.5
"""m: the length found holds, and this much more fails."""


@immutable
class KitAnswer:
    """What is said of a kit.

    `holds` is whether no rule fails with the cables as they are boxed (1 m where the box says no length); `metres` is
    the longest run of every camera alike, None where even the shortest fails; `beyond` means that nothing failed up to
    the longest tried. `ends` is what fails first beyond it. `contradictions` are errors of the part files in what is
    used here.
    """

    kit: str
    cameras: int
    boxed: bool
    holds: bool
    metres: float | None
    beyond: bool
    ends: tuple[Finding, ...]
    fails: tuple[Finding, ...]
    warnings: tuple[Finding, ...]
    missing: tuple[str, ...]
    left_over: tuple[str, ...]
    supply: tuple[str, ...]
    stand_ins: StandIns
    contradictions: tuple[str, ...] = ()

    @property
    def complete(self) -> bool:
        """Nothing fails and nothing is missing."""
        return self.holds and not self.missing


def check_kit(catalogue: Catalogue, kit: str, stand_ins: StandIns, rulebook: Rulebook | None = None) -> KitAnswer:
    """Lay the kit out, check it as it is boxed, and find the longest run. Raises Refusal."""
    checker = _Checker(catalogue, lay_out(catalogue, kit, stand_ins), rulebook or load_rulebook())
    layout = checker.layout
    report = checker.report(None)
    metres, ends = checker.longest()
    return KitAnswer(
        kit,
        len(layout.runs),
        layout.boxed,
        not _errors(report),
        metres,
        metres is not None and not ends,
        ends,
        _errors(report),
        tuple(each for each in report.findings if each.kind == "fail" and each.level == "warning"),
        tuple(layout.missing),
        tuple(layout.left_over),
        _part_facts(report),
        stand_ins,
        contradictions_of(catalogue, _used(catalogue, kit, stand_ins)),
    )


def _used(catalogue: Catalogue, kit: str, stand_ins: StandIns) -> list[str]:
    """The kit, what is in its box (kits within it unpacked), and the cables that stand in for what is not."""
    inside = dict.fromkeys(piece.part for piece in contents(catalogue, kit).pieces)
    return [kit, stand_ins.video, stand_ins.power, *inside]


@dataclass(slots=True)
class _Checker:
    catalogue: Catalogue
    layout: Layout
    rules: Rulebook

    def report(self, metres: float | None) -> SiteReport:
        """The check with every run so long; as boxed with None."""
        return check(load_value(self.layout.at(metres), self.catalogue), rulebook=self.rules)

    def longest(self) -> tuple[float | None, tuple[Finding, ...]]:
        """The longest run at which nothing fails that the shortest passes, and what fails beyond it."""
        first = self.report(SHORTEST)
        allowed = {each.key for each in _errors(first)}
        if any(rule.startswith(("power/", "cable/")) for rule, _ in allowed) and not _only_missing(first):
            return None, _errors(first)
        low, high = SHORTEST, LONGEST
        ends = self._new(high, allowed)
        if not ends:
            return LONGEST, ()
        while high - low > STEP:
            middle = (low + high) / 2
            found = self._new(middle, allowed)
            if found:
                high, ends = middle, found
            else:
                low = middle
        return low, ends

    def _new(self, metres: float, allowed: set[tuple[str, str]]) -> tuple[Finding, ...]:
        return tuple(each for each in _errors(self.report(metres)) if each.key not in allowed)


def _errors(report: SiteReport) -> tuple[Finding, ...]:
    return tuple(each for each in report.findings if each.kind == "fail" and each.level == "error")


def _only_missing(report: SiteReport) -> bool:
    """The failures come from what the box lacks, not from lengths."""
    lacking = ("power/camera-unpowered", "channels/camera-not-connected", "storage/no-disk")
    return all(each.rule in lacking or not each.rule.startswith(("power/", "cable/")) for each in _errors(report))


def _part_facts(report: SiteReport) -> tuple[str, ...]:
    """Facts of parts that are missing, so that something stayed open."""
    paths = (path for each in report.findings if each.kind == "open" for path in each.missing)
    return tuple(dict.fromkeys(path for path in paths if path.startswith("parts/")))
