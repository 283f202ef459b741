"""Seldom ways through checking: the work of one process of several, platforms without signal masks, facts and counts."""

from __future__ import annotations

import dataclasses
import datetime
import pickle
import signal
from pathlib import Path
from typing import Any

import pytest

from coaxwright import check, check_many, checking, load_rulebook, load_site
from coaxwright.checking import explain_subject, facts_of
from coaxwright.errors import Problem
from coaxwright.facts.sheets import SHEETS
from coaxwright.findings import LEVELS, Assumed, Finding, Fix, Report, SiteReport, Source, Summary, Waived
from coaxwright.rulebook.builtin import BUILT_IN

EXAMPLES = sorted((Path(__file__).resolve().parents[2] / "examples").glob("*/*.site.yaml"))
DAY = datetime.date(2026, 6, 15)


@pytest.fixture
def worker(monkeypatch: pytest.MonkeyPatch) -> Any:
    """What a process of its own starts with, in this one; interruptions are let through again afterwards."""
    monkeypatch.setattr(checking, "_worker", {})
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    yield lambda facts: checking._start_worker([], facts)
    signal.signal(signal.SIGINT, before)


@pytest.mark.parametrize("facts", [True, False])
def test_a_process_of_several_checks_as_one_alone(worker: Any, facts: bool) -> None:
    worker(facts)
    assert signal.getsignal(signal.SIGINT) is signal.SIG_IGN
    found = checking._check_in_worker(EXAMPLES[0], DAY)
    alone = check(EXAMPLES[0], today=DAY)
    assert isinstance(found, SiteReport)
    assert found.findings == alone.findings
    assert found.summary == alone.summary
    assert dict(found.facts) == (dict(alone.facts) if facts else {})
    assert pickle.loads(pickle.dumps(found)).facts == found.facts


def test_a_process_of_several_hands_back_what_it_could_not_read(worker: Any, tmp_path: Path) -> None:
    worker(True)
    (tmp_path / "a.site.yaml").write_text("site: [")
    found = checking._check_in_worker(tmp_path / "a.site.yaml", DAY)
    assert isinstance(found, tuple)
    assert all(isinstance(each, Problem) for each in found)
    assert found == checking._check_or_problems(tmp_path / "a.site.yaml", load_rulebook(), DAY)


def _blocked() -> bool:
    return signal.SIGINT in signal.pthread_sigmask(signal.SIG_BLOCK, [])


def test_interruptions_wait_while_processes_start() -> None:
    assert not _blocked()
    with checking._interrupts_held():
        assert _blocked()
    assert not _blocked()


def test_platforms_without_signal_masks_go_without(monkeypatch: pytest.MonkeyPatch) -> None:
    mask = signal.pthread_sigmask
    monkeypatch.delattr(signal, "pthread_sigmask")
    with checking._interrupts_held():
        assert signal.SIGINT not in mask(signal.SIG_BLOCK, [])


def test_faults_are_counted_by_subject() -> None:
    """Faults are counted once for each subject, whether or not one finding tells of several."""
    rules = load_rulebook()
    facts = facts_of(load_site(EXAMPLES[0]))
    (broken,) = checking.judging.judge(rules.rules[:1], facts)
    subject = facts.by_kind("camera")[0]
    for _ in range(2):
        broken.add(checking.judging.Judgement(broken.rule, "fault", subject, broken.frame, fault="x"))
    assert checking._summary([broken], []).fault == 2


@pytest.mark.parametrize(("jobs", "sites", "spread"), [(1, 2, False), (2, 1, False), (2, 2, True)])
def test_more_than_one_process_only_for_more_than_one_site(
    monkeypatch: pytest.MonkeyPatch, jobs: int, sites: int, spread: bool
) -> None:
    asked: list[Any] = []

    def instead(paths: Any, jobs: int, setup: Any, today: Any) -> list[Any]:
        asked.append((len(paths), jobs, setup, today))
        return [(Problem("x", "what", "right"),)] * len(paths)

    monkeypatch.setattr(checking, "_spread", instead)
    rules = load_rulebook()
    found = check_many(EXAMPLES[:sites], rulebook=rules, jobs=jobs, today=DAY, facts=False)
    assert asked == ([(2, 2, (rules.folders, False), DAY)] if spread else [])
    assert (len(found.sites), len(found.unread)) == ((0, 2) if spread else (sites, 0))


@pytest.mark.parametrize(("sites", "jobs", "chunk"), [(4, 2, 1), (64, 2, 4), (10_000, 2, 32)])
def test_sites_are_handed_out_in_chunks(monkeypatch: pytest.MonkeyPatch, sites: int, jobs: int, chunk: int) -> None:
    """An eighth of each process's share, at least one, at most what an interruption may wait for."""
    import concurrent.futures

    told: dict[str, Any] = {}

    class Pool:
        def __init__(self, workers: int, initializer: Any, initargs: Any) -> None:
            told.update(workers=workers, start=(initializer, initargs))

        def map(self, work: Any, paths: Any, chunksize: int) -> Any:
            told.update(chunk=chunksize, held=_blocked(), day=work.keywords["today"])
            return iter(paths)

        def shutdown(self, cancel_futures: bool) -> None:
            told["cancelled"] = cancel_futures

    monkeypatch.setattr(concurrent.futures, "ProcessPoolExecutor", Pool)
    paths = [f"{number}.site.yaml" for number in range(sites)]
    assert checking._spread(paths, jobs, ([], True), DAY) == paths
    start = (checking._start_worker, ([], True))
    assert told == {"workers": jobs, "start": start, "chunk": chunk, "held": True, "day": DAY, "cancelled": True}


def test_counts_are_those_of_the_findings() -> None:
    for path in EXAMPLES:
        found = check(path, today=DAY)
        kinds = [(each.kind, each.level) for each in found.findings if each.waived is None]
        for level in ("error", "warning", "note"):
            assert getattr(found.summary, level) == kinds.count(("fail", level))
        assert found.summary.open == sum(kind == "open" for kind, _ in kinds)
        assert found.summary.waived == sum(each.waived is not None for each in found.findings)
        assert found.text == path.read_text(encoding="utf-8")


def test_facts_by_subject_are_those_of_its_sheets() -> None:
    site = load_site(EXAMPLES[0])
    facts, found = facts_of(site), check(site, today=DAY).facts
    assert list(found) == list(facts.subjects())
    assert len(found) == len(facts.subjects())
    assert found.sheets.subjects() == facts.subjects()  # type: ignore[attr-defined]
    with pytest.raises(KeyError):
        found["cameras/nobody"]
    for link in facts.by_kind("link"):
        told = found[link.subject]["settled"]
        assert list(told) == ["outcome", "family", "width", "height", "acquired_fps", "recorded_fps"]
        assert all(told[name] == link.known(name) for name in told)
    for subject, values in found.items():
        for name, value in values.items():
            known = [each.known(name) for each in facts.of(subject) if hasattr(type(each), name)]
            assert name == "settled" or value == next(each for each in known if isinstance(each, bool | int | float | str))


def test_every_fact_of_a_subject_is_shown_with_unit_and_sentence() -> None:
    site = load_site(EXAMPLES[0])
    facts = facts_of(site)
    subject = facts.by_kind("link")[0].subject
    shown = explain_subject(site, subject)
    fields = [(each, entry) for each in facts.of(subject) for entry in dataclasses.fields(each)]  # type: ignore[arg-type]
    assert [each.name for each in shown] == [f"{sheet.kind}.{entry.name}" for sheet, entry in fields]
    for each, (sheet, entry) in zip(shown, fields, strict=True):
        assert (each.unit, each.doc) == (entry.metadata["unit"], entry.metadata["doc"])
        assert each.working == facts.working(sheet, entry.name)
        value = sheet.known(entry.name)
        if entry.metadata["ref"]:
            assert each.value == (value and value.subject)
        elif entry.metadata["many"]:
            assert each.value == (None if value is None else [item.subject for item in value])


def test_every_field_of_every_sheet_says_what_it_is() -> None:
    for cls in SHEETS.values():
        for entry in dataclasses.fields(cls):  # type: ignore[arg-type]
            assert set(entry.metadata) - {"shared", "follows"} == {"doc", "unit", "ref", "many", "choices"}
            assert entry.metadata["doc"]


def _finding(**more: Any) -> Finding:
    return Finding("power/x", "T", "error", "fail", "cameras/a", "/cameras/a", "a.yaml", None, "m", "w", **more)


def test_a_finding_is_known_by_its_rule_and_subject() -> None:
    assert _finding().key == ("power/x", "cameras/a")


@pytest.mark.parametrize(
    ("source", "line"),
    [
        (Source("IEC 60228"), "IEC 60228"),
        (Source("IEC 60228", "table 1"), "IEC 60228, table 1"),
        (Source("IEC 60228", "table 1", "2023", "ohms"), "IEC 60228, 2023, table 1: ohms"),
        (Source("IEC 60228", basis="ohms"), "IEC 60228: ohms"),
    ],
)
def test_a_source_in_one_line(source: Source, line: str) -> None:
    assert str(source) == line


def test_every_judgement_is_counted_once() -> None:
    """Powers of two: a count left out, doubled or taken away shows in the sum."""
    names = [entry.name for entry in dataclasses.fields(Summary)]
    assert names == ["error", "warning", "note", "open", "waived", "passed", "not_applicable", "fault"]
    assert Summary(**{name: 1 << at for at, name in enumerate(names)}).judged == 255
    assert Summary().judged == 0
    assert all(getattr(Summary(), name) == 0 for name in names)


def test_what_is_left_out_of_records() -> None:
    """A fix is neither proven nor hidden, a finding has no fix and no margin, an assumption was used once, unless said."""
    fix = Fix("t")
    assert (fix.patch, fix.cost, fix.currency, fix.clears, fix.introduces, fix.stays_open) == ((), None, None, (), (), ())
    assert (fix.margin, fix.hides, fix.proven) == (None, False, False)
    found = _finding()
    assert (found.working, found.margin, dict(found.values), found.missing, found.sources) == ((), None, {}, (), ())
    assert (found.caution, found.fixes, found.waived) == (None, (), None)
    assert found.values is not _finding().values
    assert Assumed("w", "v", "s").count == 1
    waived = Waived("r")
    assert (waived.until, waived.by) == (None, None)
    assert Report("1", "sha256:x", (), ()).unread == ()


def test_levels_from_the_gravest_on() -> None:
    """SARIF 2.1.0 clause 3.27.10 has these three words for failures."""
    assert LEVELS == ("error", "warning", "note")


def test_findings_of_the_program_itself_have_a_topic_and_no_cases() -> None:
    rules = load_rulebook()
    infos = {each.id: each for each in check_many(EXAMPLES[:1], rulebook=rules, today=DAY).rules}
    assert set(infos) == {rule.id for rule in rules.rules} | set(BUILT_IN)
    for identifier, about in BUILT_IN.items():
        info = infos[identifier]
        assert (info.topic, info.title, info.level, info.why) == (identifier.split("/")[0], about.title, about.level, about.why)
        assert (info.sources, info.caution, info.cases) == ((), None, 0)
    for rule in rules.rules:
        info = infos[rule.id]
        assert (info.topic, info.title, info.level, info.why, info.cases) == (
            rule.topic, rule.title, rule.level, rule.why, rule.cases_count)  # fmt: skip
        stated = [each["title"] for each in rule.plain["sources"]]
        assert info.caution == rule.caution
        assert [each.title for each in info.sources][: len(stated)] == stated


def test_one_process_and_facts_unless_told(monkeypatch: pytest.MonkeyPatch) -> None:
    found = check_many(EXAMPLES[:2], today=DAY)
    assert all(isinstance(each.facts, checking.SiteFacts) for each in found.sites)
    asked: list[Any] = []
    monkeypatch.setattr(checking, "_spread", lambda paths, jobs, setup, today: asked.append((setup[1], today)) or [])
    check_many(EXAMPLES[:2], jobs=2)
    assert asked == [(True, datetime.date.today())]


def test_what_was_assumed_is_told_with_its_count() -> None:
    facts = facts_of(load_site(EXAMPLES[0]))
    told = {(each.value, each.source, each.count) for each in check(EXAMPLES[0], today=DAY).assumed}
    for used in facts.assumed:
        assert (used.assumption.written, used.assumption.source, used.count) in told
    words = [each.what for each in check(EXAMPLES[0], today=DAY).assumed]
    assert words[: len(facts.assumed)] == [used.assumption.about or used.assumption.name for used in facts.assumed]
