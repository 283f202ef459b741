"""Folders of rules: what is found, what is refused, the digest, and the cache between runs."""

from __future__ import annotations

import hashlib
import json
import os
import subprocess
import sys
import textwrap
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from coaxwright.errors import Refusal
from coaxwright.language.checked import to_plain
from coaxwright.language.types import Environment
from coaxwright.language.typing_check import check_expression
from coaxwright.reading import kept
from coaxwright.rulebook import cache, rule_checks
from coaxwright.rulebook.loading import load_rulebook
from coaxwright.rulebook.rule_files import find_rule_files, own_folder

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


@pytest.fixture
def few(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A program of one rule: what is tested of the cache does not hang on how many there are."""
    (tmp_path / "own" / "plain").mkdir(parents=True)
    (tmp_path / "own" / "plain" / "low.yaml").write_text(rule_text("plain/low", **SAG))
    monkeypatch.setattr("coaxwright.rulebook.rule_files.own_folder", lambda: tmp_path / "own")


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
        if not n.endswith(".cases.yaml") and n.split("/")[0] not in ("tables", "cases", "quiz", "facts", "diagnosis", "course")
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


@pytest.mark.usefixtures("few")
def test_the_digest_tells_rules_apart_and_not_cases(extra: Path) -> None:
    before = load_rulebook([extra]).digest
    (extra / "custom" / "sag.cases.yaml").write_text(ONE_CASE)
    assert load_rulebook([extra]).digest == before
    (extra / "custom" / "sag.yaml").write_text(rule_text("custom/sag", says="else", **SAG))
    assert load_rulebook([extra]).digest != before
    assert before.startswith("sha256:")
    assert len(before) == len("sha256:") + 64


def test_the_cache_gives_the_same_rules(extra: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    first = load_rulebook([extra])
    monkeypatch.setattr(rule_checks, "check_rule_files", lambda files: pytest.fail("the cache was not used"))
    second = load_rulebook([extra])
    for ours, theirs in zip(second.rules, first.rules, strict=True):
        assert ours.record == json.loads(json.dumps(theirs.record))
        assert (ours.told, ours.cases) == (theirs.told, theirs.cases)
    assert second.digest == first.digest
    rule = second.rule("custom/sag")
    from coaxwright.rulebook.judging import judge_rule

    assert judge_rule(rule, feeds({"c1": 12.0, "c2": 1.0})).passed == 1


@pytest.mark.usefixtures("few")
def test_a_changed_rule_or_case_file_is_not_served_from_the_cache(extra: Path) -> None:
    load_rulebook([extra])
    (extra / "custom" / "sag.cases.yaml").write_text(ONE_CASE)
    assert load_rulebook([extra]).rule("custom/sag").cases_count == 1
    (extra / "custom" / "sag.yaml").write_text(rule_text("custom/sag", about="feed", require="feed.bad"))
    with pytest.raises(Refusal):
        load_rulebook([extra])


def _kept_file() -> Path:
    (path,) = (cache.cache_folder() or Path()).glob("*.json")
    return path


def _edited(text: str) -> str:
    """The condition of every rule made true, everything else as it was."""
    whole = json.loads(text)
    for record in whole["kept"]["records"]:
        record["require"] = to_plain(check_expression("true", Environment({}, {})))
    return json.dumps(whole, separators=(",", ":"))


def _nested(text: str) -> str:
    body = b"[" * 100_000
    return kept.sealed(body).decode()


def _of_another_form(records: str) -> Callable[[str], str]:
    """A file with a true seal whose records are something else."""
    return lambda _: kept.sealed(cache._START % (cache.FORMAT, len(records)) + records.encode() + b',"cases":[]}').decode()


@pytest.mark.usefixtures("few")
@pytest.mark.parametrize(
    "harm",
    [
        lambda text: "",
        lambda text: "{",
        lambda text: "[]",
        lambda text: '{"format": 1}',
        lambda text: text[:-1],
        lambda text: text[: len(text) // 2],
        lambda text: text + " ",
        lambda text: text.replace('"require":', '"requird":', 1),
        lambda text: text.replace("power/", "powes/", 1),
        lambda text: json.dumps(json.loads(text)),
        lambda text: kept.sealed(b'{"format":0,"records":[]}').decode(),
        lambda text: kept.sealed(b"").decode(),
        _of_another_form("{}"),
        _of_another_form("[3]"),
        _of_another_form("[{}]"),
        _of_another_form("[" * 100_000),
        _nested,
        _edited,
    ],
)
def test_a_cache_that_is_not_what_was_written_is_made_anew(extra: Path, harm: Callable[[str], str]) -> None:
    wanted = load_rulebook([extra])
    good = _kept_file().read_text()
    _kept_file().write_text(harm(good))
    again = load_rulebook([extra])
    assert again.digest == wanted.digest
    assert [rule.record for rule in again.rules] == [rule.record for rule in wanted.rules]
    assert _kept_file().read_text() == good, "it is written again"


@pytest.mark.usefixtures("few")
def test_the_digest_is_of_the_records_that_judge(extra: Path) -> None:
    """Whoever makes a cache with a true seal over other rules is told of by the digest: it is theirs, not ours."""
    wanted = load_rulebook([extra])
    whole = json.loads(_edited(_kept_file().read_text()))["kept"]
    records = json.dumps(whole["records"], separators=(",", ":")).encode()
    cases = json.dumps(whole["cases"], separators=(",", ":")).encode()
    body = cache._START % (cache.FORMAT, len(records)) + records + b',"cases":' + cases + b"}"
    _kept_file().write_bytes(kept.sealed(body))
    changed = load_rulebook([extra])
    assert changed.rule("custom/sag").require.text == "true", "the forged rules do judge"
    assert changed.digest != wanted.digest
    assert changed.digest == f"sha256:{hashlib.sha256(records).hexdigest()}"


@pytest.mark.usefixtures("few")
def test_a_pipe_or_a_file_that_others_may_write_is_replaced(extra: Path) -> None:
    wanted = load_rulebook([extra]).digest
    path = _kept_file()
    path.unlink()
    os.mkfifo(path)
    assert load_rulebook([extra]).digest == wanted
    assert path.is_file()
    assert path.stat().st_mode & 0o777 == 0o600
    path.chmod(0o666)
    assert load_rulebook([extra]).digest == wanted
    assert path.stat().st_mode & 0o777 == 0o600


def test_what_cannot_be_replaced_is_named(extra: Path) -> None:
    wanted = load_rulebook([extra]).digest
    path = _kept_file()
    path.unlink()
    path.mkdir()
    (path / "something").touch()
    with pytest.warns(kept.CacheWarning, match=r"cannot be used and cannot be replaced .*rules cache --clear"):
        assert load_rulebook([extra]).digest == wanted
    told = subprocess.run(
        [sys.executable, "-m", "coaxwright", "rules", "list", "--rules", str(extra)],
        env={**os.environ, "PYTHONPATH": str(ROOT / "engine")}, capture_output=True, text=True, check=True,
    )  # fmt: skip
    assert told.stderr.startswith(f"coaxwright: {path}: cannot be used")
    assert told.stderr.count("\n") == 1


@pytest.mark.usefixtures("few")
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


@pytest.mark.usefixtures("few")
def test_a_write_that_fails_leaves_nothing(extra: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(self: Path, target: Path) -> Path:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "replace", full)
    load_rulebook([extra])
    folder = cache.cache_folder()
    assert folder is not None
    assert list(folder.iterdir()) == []


@pytest.mark.usefixtures("few")
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


def test_rules_from_the_cache_cost_a_small_part_of_checking_them(extra: Path) -> None:
    """A guard against a cache that is of no use; tests/bench/check_speed.py measures a whole start."""
    started = time.process_time()
    load_rulebook([extra], use_cache=False)
    checking = time.process_time() - started
    load_rulebook([extra])
    assert min(_seconds(extra) for _ in range(5)) < checking / 5


def _seconds(folder: Path) -> float:
    started = time.process_time()
    load_rulebook([folder])
    return time.process_time() - started
