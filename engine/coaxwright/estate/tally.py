"""What many sites come to together: counts by rule and by site, gathered line by line, and what changed since before."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from coaxwright.estate.known import Known, place_of, rows_by_key, why_worse
from coaxwright.findings import LEVELS
from coaxwright.immutable import immutable

FEW = 3
"""Rules that are named of a site."""


@immutable
class RuleCount:
    """What a rule comes to over all sites: failing, open and waived findings, and sites with a failing or an open one."""

    rule: str
    title: str
    level: str
    fail: int
    open: int
    waived: int
    sites: int
    open_sites: int


@immutable
class SiteCount:
    """One site: counts of what fails by level, open, waived and broken; `first` are rules that fail, the gravest first."""

    site: str
    file: str
    error: int
    warning: int
    note: int
    open: int
    waived: int
    fault: int
    first: tuple[str, ...]

    @property
    def state(self) -> str:
        """`error`, `warning`, `open` or `holds`: the gravest of it; notes alone are no reason against it."""
        if self.error or self.fault:
            return "error"
        return "warning" if self.warning else "open" if self.open else "holds"


@immutable
class SiteNews:
    """One site against what was found before; `listed` is false where it was not among them."""

    site: str
    file: str
    listed: bool
    new: tuple[tuple[str, str], ...]
    worse: tuple[tuple[str, str, str], ...]
    gone: tuple[tuple[str, str], ...]


@immutable
class Estate:
    """All together. `unread` are problems of files that could not be read, `rulebooks` and `days` what the lines name."""

    rules: tuple[RuleCount, ...]
    sites: tuple[SiteCount, ...]
    unread: tuple[str, ...]
    judged: int
    rulebooks: tuple[str, ...]
    days: tuple[str, ...]
    news: tuple[SiteNews, ...] = ()
    against: str = ""

    def in_state(self, state: str) -> int:
        """How many sites are in a state."""
        return sum(each.state == state for each in self.sites)


class Gathering:
    """Gathers lines, in any number; keeps a record for each site and no finding."""

    def __init__(self, known: Known | None = None, against: str = "") -> None:
        self._known, self._against = known, against
        self._states: dict[str, Counter[str]] = {}
        self._titles: dict[str, tuple[str, str]] = {}
        self._sites: list[SiteCount] = []
        self._unread: list[str] = []
        self._news: list[SiteNews] = []
        self._judged = 0
        self._rulebooks: dict[str, None] = {}
        self._days: dict[str, None] = {}

    def take(self, line: Mapping[str, Any]) -> None:
        """Take the line of one site. Raises KeyError, TypeError or ValueError for what is none."""
        for name, found in (("rulebook", self._rulebooks), ("today", self._days)):
            if line.get(name):
                found[str(line[name])] = None
        if "unread" in line:
            self._unread += [_problem(each) for each in line["unread"]]
            return
        rows, summary = line["findings"], line["summary"]
        self._count(rows)
        self._judged += int(summary.get("judged", 0))
        counts = {name: int(summary[name]) for name in (*LEVELS, "open", "waived", "fault")}
        self._sites.append(SiteCount(site=str(line["site"]), file=str(line["file"]), first=_first(rows), **counts))
        if self._known is not None:
            self._compare(line, rows)

    def _count(self, rows: Iterable[Mapping[str, Any]]) -> None:
        seen: set[tuple[str, str]] = set()
        for row in rows:
            rule, state = row["rule"], "waived" if row.get("waived") else row["kind"]
            counted = self._states.setdefault(rule, Counter())
            counted[state] += 1
            if (rule, state) not in seen:
                seen.add((rule, state))
                counted[f"sites {state}"] += 1
            self._titles[rule] = (row["title"], row["level"])

    def _compare(self, line: Mapping[str, Any], rows: Sequence[Mapping[str, Any]]) -> None:
        assert self._known is not None
        before, now = self._known.get(place_of(line["file"])), rows_by_key(rows)
        was = before or {}
        worse = tuple((*key, why) for key, each in now.items() if key in was and (why := why_worse(was[key], each)))
        new, gone = (tuple(key for key in one if key not in other) for one, other in ((now, was), (was, now)))
        if new or worse or gone or before is None:
            self._news.append(SiteNews(str(line["site"]), str(line["file"]), before is not None, new, worse, gone))

    def done(self) -> Estate:
        """All that was gathered: rules by level and by how many sites fail them, sites worst first."""
        rules = [
            RuleCount(rule, *self._titles[rule], of["fail"], of["open"], of["waived"], of["sites fail"], of["sites open"])
            for rule, of in self._states.items()
        ]
        return Estate(
            tuple(sorted(rules, key=_commonness)),
            tuple(sorted(self._sites, key=_badness)), tuple(self._unread), self._judged, tuple(self._rulebooks),
            tuple(self._days), tuple(self._news), self._against,
        )  # fmt: skip


def _problem(problem: Mapping[str, Any]) -> str:
    place = ":".join(str(each) for each in (problem["file"], problem.get("line"), problem.get("column")) if each is not None)
    return f"{place}: {problem['what']}"


def _commonness(rule: RuleCount) -> tuple[int, int, int, str]:
    """Errors before warnings before notes, each by how many sites fail them."""
    return [*LEVELS].index(rule.level), -rule.sites, -rule.fail, rule.rule  # type: ignore[arg-type]


def _badness(site: SiteCount) -> tuple[int, int, int, str]:
    return -site.fault - site.error, -site.warning, -site.open, site.file


def _first(rows: Iterable[Mapping[str, Any]]) -> tuple[str, ...]:
    """Rules that fail most gravely, and of those the ones that fail most often; no notes."""
    failing = (row for row in rows if row["kind"] == "fail" and row["level"] != "note" and not row.get("waived"))
    counted = Counter((LEVELS.index(row["level"]), row["rule"]) for row in failing)
    order = sorted(counted, key=lambda each: (each[0], -counted[each], each[1]))
    return tuple(rule for _, rule in order[:FEW])
