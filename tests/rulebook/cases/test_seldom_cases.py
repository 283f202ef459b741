"""Seldom words of the case runner: values that are not known, that are sheets, limits inside macros; and odd folders."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from coaxwright.language.conforming import wrong_fields
from coaxwright.language.types import FieldSpec, KindSpec, Nothing
from coaxwright.rulebook.cases import run_cases
from coaxwright.rulebook.loading import load_rulebook
from coaxwright.rulebook.rule_files import find_rule_files

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
from handmade import make, rule_text

FAR = "{cameras: {c1: {power: {over: [{cable: dc-1.5mm2, length: 80 m}]}}}}"
RULE = {
    "about": "feed",
    "require": "feed.volts_night >= limit.least",
    "limits": "{least: {value: 11 V, source: common practice}}",
}


@pytest.fixture(autouse=True)
def _own_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))


def _problems(folder: Path, case: str, **keys: str) -> tuple[str, ...]:
    topic = folder / "rules" / "mine"
    topic.mkdir(parents=True)
    (topic / "volts.yaml").write_text(rule_text("mine/volts", **{**RULE, **keys}))
    (topic / "volts.cases.yaml").write_text(f"cases:\n  - {{name: it, {case}}}\n")
    return run_cases(load_rulebook([folder / "rules"]), ["mine/volts"])[0].problems


@pytest.mark.parametrize(
    ("value", "told"),
    [
        ("feed.junction.name: j1", "`feed.junction.name` on cameras/c1 is not known, not j1"),
        ("feed.load: x", "`feed.load` on cameras/c1 is cameras/c1, not x"),
        ("feed.load.name: x", "`feed.load.name` on cameras/c1 is c1, not x"),
        ("size(feed.load.name) / (size(feed.load.name) - 2): 1", "is not computable (division by zero), not 1"),
        ("size(feed.load.name): 3", "is 2, not 3"),
    ],
)
def test_a_value_that_is_not_as_stated_is_told(tmp_path: Path, value: str, told: str) -> None:
    case = f"site: {FAR}, fails: [{{on: cameras/c1, values: {{'{value.partition(': ')[0]}': {value.partition(': ')[2]}}}}}]"
    (problem,) = _problems(tmp_path, case)
    assert told in problem


ITEMS = "output.feeds.all(f, f.volts_night >= limit.least)"


@pytest.mark.parametrize(("least", "holds"), [("12 V", True), ("11.9 V", False)])
def test_a_limit_inside_a_macro_is_found(tmp_path: Path, least: str, holds: bool) -> None:
    """No cable between supply and camera: it has the supply's 12 V exactly, on one output."""
    near = "{cameras: {c1: {power: {over: [{cable: dc-1.5mm2, length: 0 m}]}}}}"
    limits = f"{{least: {{value: {least}, source: common practice}}}}"
    case = f"site: {near}, passes: [supplies/psu1/1], on_limit: true"
    found = _problems(tmp_path, case, about="output", require=ITEMS, limits=limits, says="it fails")
    assert (found == ()) == holds, found


def test_words_are_no_limit(tmp_path: Path) -> None:
    """Texts have an order too; what is marked as on the limit has to be on a number's."""
    case = "passes: [cameras/c1], on_limit: true"
    found = _problems(tmp_path, case, about="camera", require="camera.name <= 'c1'", says="it fails", limits="{}")
    assert found == ("it is marked as exactly on the limit, and no two numbers that the rule compares are equal there",)


def test_no_value_has_no_type() -> None:
    kind = KindSpec("camera", {"name": FieldSpec("name", Nothing(), "")}, "")
    assert len(wrong_fields(make("camera", "cameras/c1", name="c1"), kind)) == 1


def test_hidden_files_deeper_folders_and_other_files(tmp_path: Path) -> None:
    """Hidden files and files of other kinds are not looked at; what lies deeper than a topic is found, and is in no topic."""
    topic = tmp_path / "mine"
    topic.mkdir()
    (topic / "volts.yaml").write_text(rule_text("mine/volts", **RULE, says="it fails"))
    for name in (".hidden.yaml", "notes.txt", "mine/readme.md"):
        (tmp_path / name).write_text("not: [a rule")
    (tmp_path / ".git").mkdir()
    (tmp_path / ".git" / "sag.yaml").write_text("not: [a rule")
    names = [file.name for file in find_rule_files([tmp_path])]
    assert [name for name in names if not name.startswith("rules/")] == [f"{tmp_path}/mine/volts.yaml"]
    (topic / "deeper").mkdir()
    (topic / "deeper" / "sag.yaml").write_text(rule_text("mine/sag", **RULE, says="it fails"))
    later = [file.name for file in find_rule_files([tmp_path])]
    assert f"{tmp_path}/mine/deeper/sag.yaml" in later
