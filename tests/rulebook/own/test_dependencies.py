"""The dependency map: what a fact is worked out from, and what is worked out from it, rules included."""

# ruff: noqa: E501
from __future__ import annotations

import json
import re
import shutil
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml

from coaxwright.checking import facts_of, load_site
from coaxwright.cli.main import run
from coaxwright.facts.sheets import SHEETS, Sheet
from coaxwright.rulebook.dependencies import DependencyMap
from coaxwright.rulebook.library import Rulebook
from coaxwright.rulebook.loading import load_rulebook

sys.path.insert(0, str(Path(__file__).resolve().parent))
from drop_files import DROP, RULE

ROOT = Path(__file__).resolve().parents[3]
SITES = sorted((ROOT / "examples").glob("*/*.site.yaml"))
BOATYARD = ROOT / "examples/boatyard/alder-wharf.site.yaml"
MARKET = ROOT / "examples/fish-market/gannet-bay.site.yaml"
Book = Callable[..., Rulebook]


@pytest.fixture
def explain(capsys: pytest.CaptureFixture[str]) -> Callable[..., str]:
    """What the command prints, on standard output, or on the other where it comes to `status`."""

    def told(*words: str, status: int = 0) -> str:
        assert run(["explain", *words]) == status
        printed = capsys.readouterr()
        return printed.err if status else printed.out

    return told


def _stated() -> Iterator[tuple[str, str, str]]:
    """Kind, fact and the text of its expressions, as the files of the program's facts write them."""
    for path in sorted((ROOT / "rules/facts").glob("*.yaml")):
        file = yaml.safe_load(path.read_text(encoding="utf-8"))
        for section in ("steps", "facts"):
            for name, fact in file.get(section, {}).items():
                rows = [fact] if "is" in fact else fact["one_of"]
                yield file["kind"], name, " ".join(f"{row.get('when', '')} {row['is']}" for row in rows)


def test_a_declared_fact_uses_what_its_expression_names() -> None:
    """Compared with the text of the files: the fields that stand behind the sheet's name in it, followed by hand."""
    book = load_rulebook()
    compared = 0
    for path in SITES:
        facts = facts_of(load_site(path), book)
        found = DependencyMap(facts, book)
        for kind, name, text in _stated():
            named = {hit.split(".")[1] for hit in re.findall(rf"\b{kind}\.[a-z_.]+", text) if hit.count(".") == 1}
            for sheet in facts.by_kind(kind):
                used = {each.name for each in found.uses(found.node(sheet, name)) if each.sheet is sheet}
                assert used == named, (kind, name)
                compared += 1
    assert compared > 100


def test_used_by_is_uses_read_backwards(book: Book) -> None:
    own = book(facts__drop=DROP, own__loses=RULE)
    facts = facts_of(load_site(BOATYARD), own)
    found = DependencyMap(facts, own)
    for sheet in facts.by_kind("feed"):
        share, much = found.node(sheet, "lost_share"), found.node(sheet, "loses_much")
        assert share in found.used_by(found.node(sheet, "lost"))
        assert {each.name for each in found.above(found.node(sheet.load, "volts_nominal"))} >= {"lost", "lost_share", "loses_much"}
        assert found.used_by(share) == [much]
        seen = found.seen_by(found.above(found.node(sheet, "volts_night")))
        assert ("own/loses", sheet.subject, "loses_much") in {(each.rule, each.subject, each.node.name) for each in seen}


def test_what_a_rule_sees_is_all_that_can_change_its_judgement(book: Book) -> None:
    """Taken away in turn, no other fact of a feed changes what a rule comes to; one that it is said to see can."""
    from coaxwright.rulebook.judging import judge_rule

    own = book(facts__drop=DROP, own__loses=RULE)
    rule, changed = own.rule("own/loses"), 0
    names = [name for name in SHEETS["feed"].__dataclass_fields__ if name not in ("load", "kind")]  # type: ignore[attr-defined]
    for name in [*names, "loses_much", "lost_share"]:
        facts = facts_of(load_site(BOATYARD), own)
        found = DependencyMap(facts, own)
        (sheet, *_) = facts.by_kind("feed")
        sees = any(each.rule == rule.id for each in found.seen_by([found.node(sheet, name)]))
        before = _outcome(judge_rule(rule, facts, only=[sheet]))
        _forget(sheet, name)
        after = _outcome(judge_rule(rule, facts, only=[sheet]))
        assert sees or before == after, name
        changed += before != after
    assert changed == 1


def _forget(sheet: Sheet, name: str) -> None:
    if name in getattr(sheet, "own", {}):
        del sheet.own[name]
    elif sheet.known(name) is not None:
        delattr(sheet, name)


def _outcome(verdict: Any) -> tuple[int, int, list[str]]:
    return verdict.passed, verdict.not_applicable, [each.kind for each in verdict.judgements]


@pytest.fixture
def one_camera(tmp_path: Path) -> str:
    """The market with one of its cameras: what a fact rests on is tried with every statement of the file."""
    shutil.copytree(MARKET.parent / "parts", tmp_path / "parts")
    site = dict(load_site(MARKET).document.value)
    site["cameras"] = {"hall-2": site["cameras"]["hall-2"]}
    (tmp_path / "one.site.yaml").write_text(json.dumps(site), encoding="utf-8")
    return str(tmp_path / "one.site.yaml")


def test_text_and_json(one_camera: str, explain: Callable[..., str]) -> None:
    text = explain(one_camera, "cameras/hall-2", "density", "--uses", "--used-by")
    assert text.startswith("view.density of cameras/hall-2: 289.6 px/m (declared)\n  uses view.columns of cameras/hall-2: 2592")
    assert "\n    uses view.spread of cameras/hall-2: 1.492 (declared)\n" in text
    assert "  rests on cameras/hall-2/wants/at (" in text
    (row,) = json.loads(explain(one_camera, "cameras/hall-2", "view.width", "--uses", "--used-by", "--format", "json"))
    assert [each["fact"] for each in row["uses"]] == ["view.spread", "view.slant"]
    assert "view.density" in {each["fact"] for each in row["used_by"]}
    assert any(each["path"] == "cameras/hall-2/wants/at" for each in row["stated"])


def test_a_whole_subject_and_facts_of_a_user(mine: Callable[..., Path], explain: Callable[..., str]) -> None:
    folder = str(mine(facts__drop=DROP, own__loses=RULE))
    text = explain(str(BOATYARD), "cameras/slipway", "--used-by", "--rules", folder)
    assert "feed.volts_night of cameras/slipway: 11.72 V" in text
    assert "  used by feed.lost_share of cameras/slipway: 0.0235 (declared)" in text
    assert "  seen by rule own/loses (reads feed.loses_much): cameras/slipway" in text


@pytest.mark.parametrize(
    ("words", "wanted"),
    [
        (("cameras/slipwai",), "there is no `cameras/slipwai` here; did you mean `cameras/slipway`?"),
        (("cameras/slipway", "feed.volts"), "`cameras/slipway` has no fact `feed.volts`; did you mean `feed.volts"),
    ],
)
def test_what_is_not_there_is_told(words: tuple[str, ...], wanted: str, explain: Callable[..., str]) -> None:
    assert wanted in explain(str(BOATYARD), *words, "--uses", status=2)


def test_facts_that_branch_over_and_over_are_told_once(mine: Callable[..., Path], explain: Callable[..., str]) -> None:
    """Each rests on the two before it: told whole every time, 35 of them would make millions of lines."""
    rows = [
        f"  m{n}: {{says: x, is: 'camera.m{n - 1} + camera.m{n - 2}', cases: [{{given: {{}}, open: [m{n - 1}, m{n - 2}]}}]}}"
        for n in range(2, 35)
    ]
    first = [f"  m{n}: {{says: x, is: '1', cases: [{{given: {{}}, gives: 1}}]}}" for n in range(2)]
    folder = mine(facts__many="\n".join(["kind: camera", "facts:", *first, *rows]))
    text = explain(str(BOATYARD), "cameras/slipway", "camera.m34", "--uses", "--rules", str(folder))
    assert text.count("\n") < 120


def test_subjects_for_which_a_condition_holds(mine: Callable[..., Path], explain: Callable[..., str]) -> None:
    folder = str(mine(facts__drop=DROP))
    own = load_rulebook([Path(folder)])
    wanted = [feed.subject for feed in facts_of(load_site(BOATYARD), own).by_kind("feed") if feed.lost_share > 0.0]
    assert explain(str(BOATYARD), "--where", "feed.lost_share > 0.0", "--rules", folder).splitlines() == wanted
    told = json.loads(explain(str(MARKET), "--where", "camera.label == 'x'", "--format", "json"))
    labels = {each.subject: each.known("label") for each in facts_of(load_site(MARKET), own).by_kind("camera")}
    assert told["open"] == [subject for subject, label in labels.items() if label is None]
    assert "did you mean `volts_night`" in explain(str(BOATYARD), "--where", "feed.volts_nite > 0.0", status=2)
    assert "names no kind of sheet" in explain(str(BOATYARD), "--where", "true", status=2)
