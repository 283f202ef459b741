"""Checks sites: read, wire up, compute facts, judge, and tell what did not pass, each thing at its place in
the file.

The one entry for commands and for Python callers. What findings say, and their order: see `telling`.
"""

from __future__ import annotations

import datetime
import signal
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import fields, replace
from functools import partial
from pathlib import Path
from typing import Any, cast

from coaxwright import __version__, pace
from coaxwright.errors import Problem, Refusal
from coaxwright.facts.binding import Facts, compute_facts
from coaxwright.facts.contradictions import contradictions_of
from coaxwright.facts.provenance import Provenance
from coaxwright.facts.provenance import provenance as whence
from coaxwright.facts.sheets import Sheet
from coaxwright.facts.unused import unused_of_site
from coaxwright.findings import LEVELS, Assumed, Finding, Level, Report, RuleInfo, SiteReport, Summary
from coaxwright.immutable import immutable
from coaxwright.reading.collector import collector_off
from coaxwright.reading.defaults import Defaulted
from coaxwright.reading.site_reader import LoadedSite, parts_used, read_site
from coaxwright.rulebook import judging
from coaxwright.rulebook.builtin import BUILT_IN
from coaxwright.rulebook.judging import Verdict
from coaxwright.rulebook.library import LoadedRule, Rulebook
from coaxwright.rulebook.loading import load_rulebook
from coaxwright.rulebook.own_facts import NONE
from coaxwright.rulebook.settings import SiteSettings, WaiverBook, day_of_today, read_settings
from coaxwright.rulebook.silent import silent_in
from coaxwright.telling import Telling, in_order, sources_of
from coaxwright.topology.wiring import build_topology

__all__ = [
    "FactShown", "LoadedSite", "Rulebook", "SilenceShown", "Telling", "check", "check_many", "explain_subject", "facts_of",
    "load_rulebook", "load_site", "report_of", "rule_infos", "rules_in_force", "silent_about",
]  # fmt: skip


def load_site(path: str | Path) -> LoadedSite:
    """Read a site file with its parts. Raises Refusal with every problem and its place."""
    return read_site(path)


def facts_of(site: LoadedSite, rulebook: Rulebook | None = None) -> Facts:
    """Every fact of a site that was read, with those that users add to a rulebook.

    Raises Refusal where the wiring makes no sense.
    """
    facts = compute_facts(site, build_topology(site))
    return facts if rulebook is None else rulebook.own.onto(facts)


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
    with collector_off():
        facts = facts_of(loaded, rules)
        verdicts = judging.judge(rules_in_force(rules, settings), facts, settings.limits)
        report = report_of(loaded, settings, verdicts, facts, today or day_of_today())
        return with_remarks(report, loaded)


def with_remarks(report: SiteReport, loaded: LoadedSite) -> SiteReport:
    """The report with what is wrong in the parts that the site uses, and what is stated there and not used."""
    return replace(report, contradictions=contradictions_in(loaded), not_used=unused_of_site(loaded))


def contradictions_in(loaded: LoadedSite) -> tuple[str, ...]:
    """Errors within the part entries that a site uses, each once with its place, as `parts check` words them."""
    return contradictions_of(loaded.catalogue, parts_used(loaded.site))


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
    findings = Telling(loaded, settings, WaiverBook(settings, today), facts).findings(verdicts)
    return SiteReport(
        site=loaded.site.site,
        file=loaded.file,
        text=loaded.document.text,
        summary=_summary(verdicts, findings),
        findings=in_order(findings),
        assumed=(*_assumed(facts), *_changed(settings), *_by_default(loaded)),
        facts=SiteFacts(facts),
    )


def _summary(verdicts: Sequence[Verdict], findings: Sequence[Finding]) -> Summary:
    """Counts of all judgements; a fault of a rule counts once for each subject that it was about."""
    waived = sum(finding.waived is not None for finding in findings)
    counted = [finding for finding in findings if finding.waived is None]
    fails = {
        level: sum(each.kind == "fail" and each.level == level for each in counted) for level in LEVELS
    }
    return Summary(
        **fails,
        open=sum(finding.kind == "open" for finding in counted),
        waived=waived,
        passed=sum(verdict.passed for verdict in verdicts),
        not_applicable=sum(verdict.not_applicable for verdict in verdicts),
        fault=sum(len(verdict.of("fault")) for verdict in verdicts),
    )


def _assumed(facts: Facts) -> Iterator[Assumed]:
    for used in facts.assumed:
        row = used.assumption
        yield Assumed(row.about or row.name, row.written, row.source, used.count)


def _changed(settings: SiteSettings) -> Iterator[Assumed]:
    for change in settings.changes:
        yield Assumed(f"{change.what} of {change.rule}", change.value, f"this site's file: {change.reason}")


def _by_default(loaded: LoadedSite) -> Iterator[Assumed]:
    """Values from `defaults` of the site file, each once with how many entries it stands for."""
    found: dict[tuple[str, str, str], int] = {}
    for each in loaded.defaulted:
        key = each.what, _as_written(loaded, each), each.where
        found[key] = found.get(key, 0) + 1
    for (what, value, where), count in found.items():
        yield Assumed(what, value, f"this site's file, under `{where}`", count)


def _as_written(loaded: LoadedSite, each: Defaulted) -> str:
    """A value as the site file has it, with its unit."""
    node: Any = loaded.document.value
    for step in each.where.split("/"):
        node = node.get(step) if isinstance(node, dict) else None
    return node if isinstance(node, str) else each.value


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
        taken: set[str] = set()
        for sheet in sheets:
            if sheet.kind == "link":
                values["settled"] = _settled(sheet)
            values.update((name, value) for name, value in _plain_values(sheet) if name not in taken)
            taken.update(values, getattr(sheet, "absent", ()))  # the length of a way that is open is not that of the next way
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
        value = sheet.known(entry.name)
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
    day = today or day_of_today()
    if jobs > 1 and len(paths) > 1:
        results = _spread(paths, jobs, (rules.folders, facts), day)
    else:
        results = [_check_or_problems(path, rules, day) for path in pace.counted(paths, "sites")]
    sites = tuple(result for result in results if isinstance(result, SiteReport))
    unread = tuple(problem for result in results if isinstance(result, tuple) for problem in result)
    return Report(__version__, rules.digest, rule_infos(rules), sites, unread, day.isoformat())


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
        return list(pace.counted(results, "sites", len(paths)))
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
    from coaxwright.workers import settle_in

    settle_in()
    _worker.update(rulebook=load_rulebook(folders), facts=facts)


def _check_in_worker(path: str | Path, today: datetime.date) -> SiteReport | tuple[Problem, ...]:
    result = _check_or_problems(path, _worker["rulebook"], today)
    if isinstance(result, tuple):
        return result
    return replace(result, facts=dict(result.facts) if _worker["facts"] else {})


def rule_infos(rulebook: Rulebook) -> tuple[RuleInfo, ...]:
    """What reports tell of every rule of a rulebook, and of those that every one has."""
    infos = [
        RuleInfo(
            rule.id,
            rule.topic,
            rule.title,
            cast(Level, rule.level),
            rule.why,
            sources_of(rule, SiteSettings()),
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


@immutable
class SilenceShown:
    """A rule that says nothing of a subject, the rule that fails there instead, and why nothing is left to ask."""

    rule: str
    silenced_by: str
    because: str


@immutable
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
    provenance: Provenance | None = None


def explain_subject(
    site: LoadedSite, subject: str, *, provenance: bool = False, rulebook: Rulebook | None = None
) -> list[FactShown]:
    """Every fact of one subject, known or not, with those that users add to a rulebook.

    Raises Refusal where the site has no such subject.

    With `provenance` each tells what it rests on too, which takes some hundred small computations.
    """
    facts = facts_of(site, rulebook)
    sheets = facts.of(subject)
    if not sheets:
        from coaxwright.reading.suggest import did_you_mean

        right = (
            did_you_mean(subject, facts.subjects()) or f"`coaxwright explain {site.file}` lists its subjects"
        )
        raise Refusal([Problem(site.file, f"there is no `{subject}` here", right)])
    finish = NONE.onto if rulebook is None else rulebook.own.onto
    rests = whence(site, facts, subject, finish) if provenance else {}
    return [shown for sheet in sheets for shown in _shown(facts, sheet, rests)]


def silent_about(site: LoadedSite, subject: str, rulebook: Rulebook | None = None) -> list[SilenceShown]:
    """Rules that say nothing of a subject because another one fails there, each with that one and the reason.

    In order of id. Raises Refusal when the rules or the settings of the site cannot be used.
    """
    rules = rulebook or load_rulebook()
    settings, facts = read_settings(rules, site.site, site.document, site.file), facts_of(site, rules)
    silent = silent_in(rules_in_force(rules, settings), facts, settings.limits, subject)
    return [SilenceShown(each.rule.id, each.silence.rule, each.silence.because) for each in silent]


def _shown(facts: Facts, sheet: Sheet, rests: Mapping[tuple[str, str], Provenance]) -> Iterator[FactShown]:
    for entry in fields(sheet):  # type: ignore[arg-type]
        about = entry.metadata
        steps = facts.working(sheet, entry.name)
        yield FactShown(
            f"{sheet.kind}.{entry.name}", _named(sheet.known(entry.name)), about["unit"], about["doc"], steps, _source(steps),
            rests.get((sheet.kind, entry.name)),
        )  # fmt: skip


def _source(steps: Sequence[str]) -> str | None:
    """Where the figures of a working are from, as it says itself; None where it names nothing."""
    return next((step.removeprefix(_SOURCE) for step in steps if step.startswith(_SOURCE)), None)


_SOURCE = "source: "


def _named(value: object) -> object:
    """A value with sheets replaced by their subject paths."""
    if isinstance(value, Sheet):
        return value.subject
    return [_named(item) for item in value] if isinstance(value, list | tuple) else value
