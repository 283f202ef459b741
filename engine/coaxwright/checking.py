"""Checks sites: read, wire up, compute facts, judge, and tell what did not pass, each thing at its place in
the file.

The one entry for commands and for Python callers. Findings are ordered: faults of rules first, then fails
from error to note, then what is open; within these by rule id, and by subject as a person would sort them (c2
before c10).
"""

from __future__ import annotations

import datetime
import re
import signal
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, fields, replace
from functools import partial
from pathlib import Path
from typing import Any, cast

from coaxwright import __version__
from coaxwright.errors import Problem, Refusal, Span
from coaxwright.facts.binding import Facts, compute_facts
from coaxwright.facts.sheets import Sheet
from coaxwright.findings import (
    Assumed,
    Finding,
    Fix,
    Level,
    Report,
    RuleInfo,
    SiteReport,
    Source,
    Summary,
    Waived,
)
from coaxwright.model.site import Waiver
from coaxwright.reading.site_reader import LoadedSite, read_site
from coaxwright.rulebook import judging
from coaxwright.rulebook.builtin import BUILT_IN, EXPIRED, RULE_OFF, UNUSED, BuiltIn
from coaxwright.rulebook.judging import Judgement, Verdict
from coaxwright.rulebook.library import LoadedRule, Rulebook
from coaxwright.rulebook.loading import load_rulebook
from coaxwright.rulebook.settings import SiteSettings, WaiverBook, read_settings
from coaxwright.topology.wiring import build_topology

__all__ = [
    "FactShown", "LoadedSite", "Rulebook", "Telling", "check", "check_many", "explain_subject", "facts_of",
    "load_rulebook", "load_site", "report_of", "rules_in_force",
]  # fmt: skip

_KIND_RANK = {"fault": 0, "fail": 1, "open": 2}
_LEVEL_RANK = {"error": 0, "warning": 1, "note": 2}


def load_site(path: str | Path) -> LoadedSite:
    """Read a site file with its parts. Raises Refusal with every problem and its place."""
    return read_site(path)


def facts_of(site: LoadedSite) -> Facts:
    """Every fact of a site that was read. Raises Refusal where the wiring makes no sense."""
    return compute_facts(site, build_topology(site))


def check(
    site: LoadedSite | str | Path, *, rulebook: Rulebook | None = None, today: datetime.date | None = None
) -> SiteReport:
    """Check one site by a rulebook (the program's own otherwise) on a day (today otherwise; it matters to
    waivers).

    Raises Refusal when the site, its settings or the rules cannot be used.
    """
    rules = rulebook or load_rulebook()
    loaded = site if isinstance(site, LoadedSite) else load_site(site)
    settings = read_settings(rules, loaded.site, loaded.document, loaded.file)
    facts = facts_of(loaded)
    verdicts = judging.judge(rules_in_force(rules, settings), facts, settings.limits)
    return report_of(loaded, settings, verdicts, facts, today or datetime.date.today())


def rules_in_force(rulebook: Rulebook, settings: SiteSettings) -> list[LoadedRule]:
    """The rules that the site has not switched off."""
    return [rule for rule in rulebook.rules if rule.id not in settings.off]


def report_of(
    loaded: LoadedSite,
    settings: SiteSettings,
    verdicts: Sequence[Verdict],
    facts: Facts,
    today: datetime.date,
) -> SiteReport:
    """The report on a site whose rules in force came to these verdicts."""
    findings = Telling(loaded, settings, WaiverBook(settings, today)).findings(verdicts)
    return SiteReport(
        site=loaded.site.site,
        file=loaded.file,
        text=loaded.document.text,
        summary=_summary(verdicts, findings),
        findings=tuple(sorted(findings, key=_order)),
        assumed=(*_assumed(facts), *_changed(settings)),
        facts=SiteFacts(facts),
    )


def _order(finding: Finding) -> tuple[Any, ...]:
    return (_KIND_RANK[finding.kind], _LEVEL_RANK[finding.level], finding.rule, natural_key(finding.subject))


def natural_key(text: str) -> list[tuple[int, int, str]]:
    """A key that sorts numbers within names by their value: c2 before c10."""
    pieces = re.findall(r"[0-9]+|[^0-9]+", text)
    return [(0, int(piece), piece) if piece[0] in "0123456789" else (1, 0, piece) for piece in pieces]


def _summary(verdicts: Sequence[Verdict], findings: Sequence[Finding]) -> Summary:
    """Counts of all judgements; a fault of a rule counts once for each subject that it was about."""
    waived = sum(finding.waived is not None for finding in findings)
    counted = [finding for finding in findings if finding.waived is None]
    fails = {
        level: sum(each.kind == "fail" and each.level == level for each in counted) for level in _LEVEL_RANK
    }
    return Summary(
        **fails,
        open=sum(finding.kind == "open" for finding in counted),
        waived=waived,
        passed=sum(verdict.passed for verdict in verdicts),
        not_applicable=sum(verdict.not_applicable for verdict in verdicts),
        fault=sum(len(verdict.of("fault")) for verdict in verdicts),
    )


@dataclass(frozen=True, slots=True)
class Telling:
    """Makes findings of judgements: sentence, working, place."""

    loaded: LoadedSite
    settings: SiteSettings
    waivers: WaiverBook

    def findings(self, verdicts: Sequence[Verdict]) -> list[Finding]:
        """All findings of a site, its own about waivers and settings among them."""
        found = [finding for verdict in verdicts for finding in self._of(verdict)]
        found += [self._unused(use.place, use.waiver, use.rule) for use in self.waivers.unused()]
        found += [self._expired(use.place, use.waiver, use.rule) for use in self.waivers.expired()]
        found += [self._off(rule, reason) for rule, reason in self.settings.off.items()]
        return found

    def _of(self, verdict: Verdict) -> Iterator[Finding]:
        for judgement in verdict.judgements:
            if judgement.kind != "fault":
                yield self.finding(judgement)
        faults = verdict.of("fault")
        if faults:
            yield self._fault(faults[0], len(faults) - 1)

    def finding(self, judgement: Judgement) -> Finding:
        """What is told of a fail or of what stayed open; its waiver is counted as used."""
        rule, subject = judgement.rule, judgement.subject.subject
        failed = judgement.kind == "fail"
        waiver = self.waivers.waiver(rule.id, subject)
        bare = self._bare(judgement, _message(judgement))
        return replace(
            bare,
            kind="fail" if failed else "open",
            working=_working(judgement) if failed else (),
            margin=judging.margin(judgement) if failed else None,
            values=judging.values(judgement),
            missing=judgement.missing,
            fixes=tuple(_declared(judgement)) if failed else (),
            waived=_waived(waiver) if waiver else None,
        )

    def _bare(self, judgement: Judgement, message: str) -> Finding:
        rule = judgement.rule
        pointer = _pointer(judgement)
        return Finding(
            rule=rule.id,
            title=rule.title,
            level=cast(Level, self.settings.level(rule)),
            kind="fault",
            subject=judgement.subject.subject,
            pointer=json_pointer(pointer),
            file=self.loaded.file,
            span=self._span(pointer),
            message=message,
            why=rule.why,
            sources=_sources(rule, self.settings),
            caution=rule.caution,
        )

    def _fault(self, judgement: Judgement, more: int) -> Finding:
        also = f", and for {more} more" if more else ""
        message = (
            f"this rule could not be carried out for {judgement.subject.subject}{also}: {judgement.fault}"
        )
        return self._bare(judgement, message)

    def _span(self, pointer: Sequence[str | int]) -> Span:
        return self.loaded.document.nearest_span(pointer)

    def _own(self, about: BuiltIn, subject: str, pointer: tuple[str | int, ...], message: str) -> Finding:
        return Finding(
            rule=about.id,
            title=about.title,
            level=cast(Level, about.level),
            kind="fail",
            subject=subject,
            pointer=json_pointer(pointer),
            file=self.loaded.file,
            span=self._span(pointer),
            message=message,
            why=about.why,
        )

    def _unused(self, place: int, waiver: Waiver, rule: str) -> Finding:
        message = f"the waiver of {rule} on {waiver.on} answers for no finding"
        if rule in self.settings.off:
            message += ": the rule is off"
        return self._own(UNUSED, f"waivers/{place}", ("waivers", place), message)

    def _expired(self, place: int, waiver: Waiver, rule: str) -> Finding:
        message = f"the waiver of {rule} on {waiver.on} ran out on {waiver.until}"
        return self._own(EXPIRED, f"waivers/{place}", ("waivers", place, "until"), message)

    def _off(self, rule: str, reason: str) -> Finding:
        return self._own(RULE_OFF, f"rules/{rule}", ("rules", rule), f"{rule} is off at this site: {reason}")


def _message(judgement: Judgement) -> str:
    if judgement.kind == "fail":
        return judging.told(judgement, judgement.rule.says)
    return f"cannot be judged until this is given: {', '.join(judgement.missing)}"


def _working(judgement: Judgement) -> tuple[str, ...]:
    lines = [judging.told(judgement, template) for template in judgement.rule.working]
    names = [getattr(sheet, "name", sheet.subject) for sheet in judging.deciding(judgement)]
    return (*lines, f"decided by: {', '.join(names)}") if names else tuple(lines)


def _declared(judgement: Judgement) -> Iterator[Fix]:
    stated = judgement.rule.plain.get("fixes", ())
    for fix, sentence in zip(stated, judgement.rule.fix_sentences, strict=True):
        if sentence is not None:
            yield Fix(judging.told(judgement, sentence))
        else:
            words = [
                fix["do"].replace("_", " ").replace("-", " "),
                *(f"of {fix['of']}" for _ in [0] if "of" in fix),
            ]
            yield Fix(" ".join(words) + (f": {fix['to']}" if "to" in fix else ""))


def _waived(waiver: Waiver) -> Waived:
    return Waived(waiver.reason, waiver.until.isoformat() if waiver.until else None, waiver.by)


def _sources(rule: LoadedRule, settings: SiteSettings) -> tuple[Source, ...]:
    stated = [
        Source(source["title"], source.get("clause"), source.get("edition"), source.get("for"))
        for source in rule.plain["sources"]
    ]
    limits = settings.limits.get(rule.id, rule.limits).values()
    by_site = {change.what.removeprefix("limit ") for change in settings.changes if change.rule == rule.id}
    stated += [
        Source(
            "this site's file" if limit.name in by_site else limit.source,
            basis=f"{limit.about or limit.name}: {limit.written}",
        )
        for limit in limits
    ]
    return tuple(stated)


def _pointer(judgement: Judgement) -> tuple[str | int, ...]:
    """The document path of what the finding is about: the hop that decides, else the subject and the rule's
    `at`.
    """
    if judgement.kind == "fail" and judgement.rule.scope.form == "path":
        hops = [sheet.pointer for sheet in judging.deciding(judgement) if hasattr(sheet, "pointer")]
        if hops:
            return tuple(hops[0])
    below = str(judgement.rule.plain.get("at", ""))
    steps = [int(step) if step.isdecimal() else step for step in below.split("/") if step]
    return (*judgement.subject.pointer, *steps)


def json_pointer(path: Sequence[str | int]) -> str:
    """RFC 6901: each step after a stroke, `~` and `/` within a step written `~0` and `~1`."""
    return "".join("/" + str(step).replace("~", "~0").replace("/", "~1") for step in path)


def _assumed(facts: Facts) -> Iterator[Assumed]:
    for used in facts.assumed:
        row = used.assumption
        yield Assumed(row.about or row.name, row.written, row.source, used.count)


def _changed(settings: SiteSettings) -> Iterator[Assumed]:
    for change in settings.changes:
        yield Assumed(f"{change.what} of {change.rule}", change.value, f"this site's file: {change.reason}")


class SiteFacts(Mapping[str, Mapping[str, Any]]):
    """Named plain values by subject path, made when asked for: what `check --format json` prints under
    `facts`.
    """

    def __init__(self, facts: Facts) -> None:
        self._facts = facts

    @property
    def sheets(self) -> Facts:
        """The sheets themselves, for reports that need more than plain values: who hangs on whom."""
        return self._facts

    def __getitem__(self, subject: str) -> Mapping[str, Any]:
        sheets = self._facts.of(subject)
        if not sheets:
            raise KeyError(subject)
        values: dict[str, Any] = {}
        for sheet in sheets:
            if sheet.kind == "link":
                values["settled"] = _settled(sheet)
            values.update((name, value) for name, value in _plain_values(sheet) if name not in values)
        return values

    def __iter__(self) -> Iterator[str]:
        return iter(self._facts.subjects())

    def __len__(self) -> int:
        return len(self._facts.subjects())


_SETTLED = ("outcome", "family", "width", "height", "acquired_fps", "recorded_fps")


def _settled(link: Sheet) -> dict[str, Any]:
    return {name: link.known(name) for name in _SETTLED}


def _plain_values(sheet: Sheet) -> Iterator[tuple[str, Any]]:
    for entry in fields(sheet):  # type: ignore[arg-type]
        value = sheet.known(entry.name) if entry.metadata else None
        if isinstance(value, bool | int | float | str):
            yield entry.name, value


def check_many(
    paths: Sequence[str | Path],
    *,
    rulebook: Rulebook | None = None,
    jobs: int = 1,
    today: datetime.date | None = None,
    facts: bool = True,
) -> Report:
    """Check several sites; what cannot be read is in `unread` and the others go on.

    `jobs` processes share the work where it is more than 1; then facts are carried over as plain values, or
    left out where `facts` is false. Raises Refusal when the rules cannot be used.
    """
    rules = rulebook or load_rulebook()
    day = today or datetime.date.today()
    if jobs > 1 and len(paths) > 1:
        results = _spread(paths, jobs, (rules.folders, facts), day)
    else:
        results = [_check_or_problems(path, rules, day) for path in paths]
    sites = tuple(result for result in results if isinstance(result, SiteReport))
    unread = tuple(problem for result in results if isinstance(result, tuple) for problem in result)
    return Report(__version__, rules.digest, _rule_infos(rules), sites, unread)


def _check_or_problems(
    path: str | Path, rulebook: Rulebook, today: datetime.date | None
) -> SiteReport | tuple[Problem, ...]:
    try:
        return check(path, rulebook=rulebook, today=today)
    except Refusal as refusal:
        return refusal.problems


_MOST_AT_ONCE = 32
"""Sites handed to a process at a time: an interruption waits for no more than these."""

_worker: dict[str, Any] = {}


def _spread(
    paths: Sequence[str | Path], jobs: int, setup: tuple[Sequence[Path], bool], today: datetime.date
) -> list[SiteReport | tuple[Problem, ...]]:
    """What each path came to, in order, worked out by several processes."""
    from concurrent.futures import ProcessPoolExecutor

    chunk = max(1, min(_MOST_AT_ONCE, len(paths) // (jobs * 8)))
    pool = ProcessPoolExecutor(jobs, initializer=_start_worker, initargs=setup)
    try:
        with _interrupts_held():
            results = pool.map(partial(_check_in_worker, today=today), paths, chunksize=chunk)
        return list(results)
    finally:
        pool.shutdown(cancel_futures=True)


@contextmanager
def _interrupts_held() -> Iterator[None]:
    """Hold Ctrl-C back while processes start: they inherit that, so it reaches this process alone."""
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _start_worker(folders: Sequence[Path], facts: bool) -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    _worker.update(rulebook=load_rulebook(folders), facts=facts)


def _check_in_worker(path: str | Path, today: datetime.date) -> SiteReport | tuple[Problem, ...]:
    result = _check_or_problems(path, _worker["rulebook"], today)
    if isinstance(result, tuple):
        return result
    return replace(result, facts=dict(result.facts) if _worker["facts"] else {})


def _rule_infos(rulebook: Rulebook) -> tuple[RuleInfo, ...]:
    infos = [
        RuleInfo(
            rule.id,
            rule.topic,
            rule.title,
            cast(Level, rule.level),
            rule.why,
            _sources(rule, SiteSettings()),
            rule.caution,
            rule.cases_count,
        )
        for rule in rulebook.rules
    ]
    own = [
        RuleInfo(
            each.id, each.id.partition("/")[0], each.title, cast(Level, each.level), each.why, (), None, 0
        )
        for each in BUILT_IN.values()
    ]
    return (*infos, *own)


@dataclass(frozen=True, slots=True)
class FactShown:
    """One fact as `explain` shows it: `value` in base unit `unit` (None where it is not known), how it came
    about.
    """

    name: str
    value: Any
    unit: str
    doc: str
    working: tuple[str, ...]
    source: str | None


def explain_subject(site: LoadedSite, subject: str) -> list[FactShown]:
    """Every fact of one subject, known or not. Raises Refusal where the site has no such subject."""
    facts = facts_of(site)
    sheets = facts.of(subject)
    if not sheets:
        from coaxwright.reading.suggest import did_you_mean

        right = (
            did_you_mean(subject, facts.subjects()) or f"`coaxwright explain {site.file}` lists its subjects"
        )
        raise Refusal([Problem(site.file, f"there is no `{subject}` here", right)])
    return [shown for sheet in sheets for shown in _shown(facts, sheet)]


def _shown(facts: Facts, sheet: Sheet) -> Iterator[FactShown]:
    for entry in fields(sheet):  # type: ignore[arg-type]
        if entry.metadata:
            value, about = sheet.known(entry.name), entry.metadata
            steps = facts.working(sheet, entry.name)
            name = f"{sheet.kind}.{entry.name}"
            yield FactShown(name, _named(value), about["unit"], about["doc"], steps, None)


def _named(value: Any) -> Any:
    """A value with sheets replaced by their subject paths."""
    if isinstance(value, Sheet):
        return value.subject
    return [_named(item) for item in value] if isinstance(value, list | tuple) else value
