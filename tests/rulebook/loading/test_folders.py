"""Folders of rules: what is found, what is refused, the digest, and the cache between runs."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import textwrap
import time
from pathlib import Path

import pytest

from coaxwright.errors import Refusal
from coaxwright.reading import kept
from coaxwright.rulebook import cache, rule_checks
from coaxwright.rulebook.loading import load_rulebook
from coaxwright.rulebook.rule_files import digest_of, find_rule_files, own_folder

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
from handmade import feeds, rule_text

ROOT = Path(__file__).resolve().parents[3]
SAG = {"about": "feed", "require": "feed.volts_night >= feed.load.volts_min"}
ONE_CASE = "cases: [{name: low, fails: [{on: cameras/c1}]}]\n"


@pytest.fixture
def extra(tmp_path: Path) -> Path:
    folder = tmp_path / "mine"
    (folder / "custom").mkdir(parents=True)
    (folder / "custom" / "sag.yaml").write_text(rule_text("custom/sag", **SAG))
    return folder


@pytest.fixture(autouse=True)
def _own_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))


def _told(folder: Path) -> list[str]:
    with pytest.raises(Refusal) as caught:
        load_rulebook([folder])
    return [str(problem) for problem in caught.value.problems]


def test_a_folder_of_rules_is_added(extra: Path) -> None:
    ids = [rule.id for rule in load_rulebook([extra]).rules]
    assert "custom/sag" in ids
    assert ids == sorted(ids)
    assert len(ids) == len(list(find_rule_files())) + 1


def test_a_folder_named_after_its_topic_may_hold_rules_directly(tmp_path: Path) -> None:
    (tmp_path / "custom").mkdir()
    (tmp_path / "custom" / "sag.yaml").write_text(rule_text("custom/sag", **SAG))
    assert "custom/sag" in load_rulebook([tmp_path / "custom"]).by_id


def test_every_rule_file_of_the_program_is_found() -> None:
    names = {path.relative_to(own_folder()).as_posix() for path in own_folder().rglob("*.yaml")}
    wanted = {
        f"rules/{n}"
        for n in names
        if not n.endswith(".cases.yaml") and n.split("/")[0] not in ("tables", "cases", "quiz")
    }
    assert {file.name for file in find_rule_files()} == wanted


def test_a_folder_without_rules_or_no_folder(tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    assert _told(tmp_path / "empty") == [
        f"{tmp_path}/empty: there are no rules in this folder; a rule is a file <topic>/<name>.yaml"
    ]
    assert "no such folder" in _told(tmp_path / "none")[0]


def test_a_file_that_would_be_skipped_is_refused(extra: Path) -> None:
    (extra / "custom" / "more.yml").write_text("id: custom/more")
    assert "neither a rule nor cases" in _told(extra)[0]


def test_cases_naming_no_rule_are_refused(extra: Path) -> None:
    (extra / "custom" / "sga.cases.yaml").write_text(ONE_CASE)
    (told,) = _told(extra)
    assert (
        told == f"{extra}/custom/sga.cases.yaml: these cases name no rule; there is no `sga.yaml` beside them"
    )


def test_an_id_of_the_program_cannot_be_taken(extra: Path) -> None:
    own = find_rule_files()[0]
    (extra / own.ids[0]).parent.mkdir(parents=True, exist_ok=True)
    (extra / f"{own.ids[0]}.yaml").write_bytes(own.data)
    (told,) = _told(extra)
    assert f"the id `{own.ids[0]}` is taken by" in told
    assert own.name in told


def test_no_rules_at_all_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "bare").mkdir()
    monkeypatch.setattr("coaxwright.rulebook.rule_files.own_folder", lambda: tmp_path / "bare")
    with pytest.raises(Refusal, match="there are no rules"):
        load_rulebook()


def test_the_digest_tells_rules_apart_and_not_cases(extra: Path) -> None:
    before = digest_of(find_rule_files([extra]))
    (extra / "custom" / "sag.cases.yaml").write_text(ONE_CASE)
    assert digest_of(find_rule_files([extra])) == before
    (extra / "custom" / "sag.yaml").write_text(rule_text("custom/sag", says="else", **SAG))
    assert digest_of(find_rule_files([extra])) != before
    assert before.startswith("sha256:")
    assert len(before) == len("sha256:") + 64


def test_the_cache_gives_the_same_rules(extra: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    first = load_rulebook([extra])
    monkeypatch.setattr(rule_checks, "check_rule_files", lambda files: pytest.fail("the cache was not used"))
    second = load_rulebook([extra])
    for ours, theirs in zip(second.rules, first.rules, strict=True):
        assert {**ours.record, **ours.told, "told": ""} == {**json.loads(json.dumps(theirs.record)), "told": ""}
    assert second.digest == first.digest
    rule = second.rule("custom/sag")
    from coaxwright.rulebook.judging import judge_rule

    assert judge_rule(rule, feeds({"c1": 12.0, "c2": 1.0})).passed == 1


def test_a_changed_rule_or_case_file_is_not_served_from_the_cache(extra: Path) -> None:
    load_rulebook([extra])
    (extra / "custom" / "sag.cases.yaml").write_text(ONE_CASE)
    assert load_rulebook([extra]).rule("custom/sag").cases_count == 1
    (extra / "custom" / "sag.yaml").write_text(rule_text("custom/sag", about="feed", require="feed.bad"))
    with pytest.raises(Refusal):
        load_rulebook([extra])


@pytest.mark.parametrize(
    "content",
    [
        "",
        "{",
        "[]",
        '{"format": 1}',
        '{"format": 0, "digest": "", "records": []}',
        '{"format": 2, "records": []}',
        '{"format": 2, "digest": "", "records": {}}',
        '{"format": 2, "digest": "", "records": [3]}',
        "[" * 100_000,
    ],
)
def test_a_cache_that_is_not_one_is_ignored(extra: Path, content: str) -> None:
    wanted = [rule.id for rule in load_rulebook([extra]).rules]
    (kept,) = (cache.cache_folder() or Path()).glob("*.json")
    kept.write_text(content)
    assert [rule.id for rule in load_rulebook([extra]).rules] == wanted
    assert json.loads(kept.read_text())["format"] == cache.FORMAT, "it is written again"


def test_a_cache_that_cannot_be_written_is_no_trouble(
    extra: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    blocked = tmp_path / "a-file"
    blocked.write_text("")
    monkeypatch.setenv("XDG_CACHE_HOME", str(blocked))
    assert load_rulebook([extra]).rule("custom/sag").id == "custom/sag"
    monkeypatch.delenv("XDG_CACHE_HOME")
    monkeypatch.delenv("HOME", raising=False)
    assert cache.cache_folder() is None
    assert load_rulebook([extra]).rule("custom/sag").id == "custom/sag"


def test_a_write_that_fails_leaves_nothing(extra: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(self: Path, target: Path) -> Path:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", full)
    load_rulebook([extra])
    folder = cache.cache_folder()
    assert folder is not None
    assert list(folder.iterdir()) == []


def test_few_caches_are_kept(extra: Path) -> None:
    for number in range(cache.MAX_KEPT + 3):
        (extra / "custom" / "sag.yaml").write_text(rule_text("custom/sag", says=f"it fails {number}", **SAG))
        load_rulebook([extra])
    assert len(list((cache.cache_folder() or Path()).glob("*.json"))) == cache.MAX_KEPT


def test_the_key_depends_on_version_python_and_sheets(monkeypatch: pytest.MonkeyPatch) -> None:
    base = cache.cache_key("state")
    assert cache.cache_key("other") != base
    monkeypatch.setattr(cache, "kinds_digest", lambda: "other sheets")
    assert cache.cache_key("state") != base
    monkeypatch.undo()
    monkeypatch.setattr(kept, "__version__", "9.9.9")
    assert cache.cache_key("state") != base


def test_a_run_from_the_cache_imports_neither_parser_nor_type_check(tmp_path: Path) -> None:
    script = textwrap.dedent("""
        import sys
        from coaxwright.rulebook.loading import load_rulebook
        book = load_rulebook()
        for rule in book.rules:
            rule.sweep, rule.says, rule.working
        own = {f"coaxwright.rulebook.{name}" for name in ("typing_check", "grammar", "rule_checks")}
        heavy = own | {"lark", "networkx", "jsonschema"}
        print(sorted(heavy & set(sys.modules)))
    """)
    environment = {
        **os.environ,
        "PYTHONPATH": str(ROOT / "engine"),
        "XDG_CACHE_HOME": str(tmp_path / "cache"),
    }
    outputs = [
        subprocess.run(
            [sys.executable, "-c", script], env=environment, capture_output=True, text=True, check=True
        ).stdout
        for _ in range(2)
    ]
    assert "lark" in outputs[0]
    assert outputs[1].strip() == "[]"


def test_ninety_rules_from_the_cache_do_not_run_away(tmp_path: Path) -> None:
    """A guard: ten times the 15 ms that 90 rules may take; tests/bench/check_speed.py measures a whole start."""
    folder = tmp_path / "many"
    (folder / "many").mkdir(parents=True)
    for number in range(max(1, 90 - len(find_rule_files()))):
        keys = {
            **SAG,
            "when": "feed.load.kind == 'camera' && has(feed.metres)",
            "working": "['{feed.volts_night|V} at {feed.metres|m}']",
        }
        (folder / "many" / f"sag-{number}.yaml").write_text(
            rule_text(f"many/sag-{number}", says="{feed.load.name}", **keys)
        )
    assert len(load_rulebook([folder]).rules) >= 90
    assert min(_seconds(folder) for _ in range(5)) < 0.150


def _seconds(folder: Path) -> float:
    started = time.perf_counter()
    load_rulebook([folder])
    return time.perf_counter() - started
