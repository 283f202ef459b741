"""The page of an estate: every count is added up here again from plain reports; saved and fresh reports tell the same."""

from __future__ import annotations

import json
import shutil
from collections import Counter
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest

from .conftest import YARD, Call, edit


@pytest.fixture
def estate(sites: Path) -> Path:
    """Four sites: two sound, two with errors of which one has more; a file that cannot be read is not among them."""
    for name, metres in (("long", "285 m"), ("longer", "385 m")):
        shutil.copytree("yard", name)
        path = Path(name) / YARD.name
        edit(path, "length: 85 m", f"length: {metres}")
        edit(path, "Alder Wharf boatyard", f"{name} <yard>")
    edit(Path("longer") / YARD.name, "length: 60 m", "length: 500 m")
    return sites


def _data(call: Call, *words: str) -> dict[str, Any]:
    return json.loads(call("estate", *words, "--format", "json")[1])


def test_counts_are_those_of_the_reports(estate: Path, call: Call) -> None:
    reports = json.loads(call("check", ".", "--format", "json")[1])["sites"]
    data = _data(call, ".")
    rows = [(site["file"], each) for site in reports for each in site["findings"] if not each["waived"]]
    failing = Counter(each["rule"] for _, each in rows if each["kind"] == "fail")
    at = Counter(rule for _, rule in {(file, each["rule"]) for file, each in rows if each["kind"] == "fail"})
    assert {each["rule"]: (each["fail"], each["sites"]) for each in data["rules"] if each["fail"]} == {
        rule: (number, at[rule]) for rule, number in failing.items()
    }
    assert data["judged"] == sum(site["summary"]["judged"] for site in reports)
    errors = {site["file"]: site["summary"]["error"] for site in reports}
    assert [each["error"] for each in data["worst"]] == sorted(errors.values(), reverse=True)
    assert {each["file"]: each["error"] for each in data["worst"]} == errors
    assert data["states"] == {"error": 2, "warning": 0, "open": 0, "holds": 2}
    order = [("error", "warning", "note").index(each["level"]) for each in data["rules"]]
    assert order == sorted(order)


@pytest.mark.parametrize("form", ["json", "jsonl"])
def test_a_saved_report_tells_the_same(estate: Path, call: Call, form: str) -> None:
    (estate / "long" / "broken.site.yaml").write_text("site: [\n", encoding="utf-8")
    assert call("check", ".", "--format", form, "--output", f"kept.{form}")[0] == 2
    status, out, _ = call("estate", f"kept.{form}", "--format", "json")
    assert status == 2
    assert json.loads(out) == _data(call, ".")
    assert len(json.loads(out)["unread"]) == 1


def test_what_changed_since(estate: Path, call: Call) -> None:
    call("check", ".", "--format", "jsonl", "--output", "old.jsonl")
    edit(Path("long") / YARD.name, "length: 285 m", "length: 85 m")
    edit(Path("longer") / YARD.name, "length: 385 m", "length: 400 m")
    shutil.copytree("yard", "quay")
    changed = {Path(each["file"]).parts[0]: each for each in _data(call, ".", "--since", "old.jsonl")["since"]["sites"]}
    assert changed.keys() == {"long", "longer", "quay"}
    assert (changed["quay"]["listed"], changed["long"]["listed"]) == (False, True)
    assert ["cable/loss-beyond-limit", "cameras/slipway"] in changed["long"]["gone"]
    assert "cable/loss-beyond-limit" in {rule for rule, *_ in changed["longer"]["worse"]}
    assert _data(call, "old.jsonl", "--since", "old.jsonl")["since"]["sites"] == []


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.words: list[str] = []
        self.tags: Counter[str] = Counter()

    def handle_starttag(self, tag: str, attrs: object) -> None:
        self.tags[tag] += 1

    def handle_data(self, data: str) -> None:
        self.words.append(data)


def test_the_page(estate: Path, call: Call) -> None:
    status, out, _ = call("estate", ".", "--format", "html", "--most", "1")
    assert status == 0
    page = _Reader()
    page.feed(out)
    said = " ".join(" ".join(page.words).split())
    assert "2 of 4 sites have errors" in said
    assert "longer <yard>" in said
    assert "1 site more with findings" in said
    assert "(--most N lists more)" in said
    assert (page.tags["svg"], page.tags["script"]) == (1, 0)
    assert not {"safe", "protected"} & set(said.lower().split())


@pytest.mark.parametrize("form", ["text", "md", "csv"])
def test_other_forms(estate: Path, call: Call, form: str) -> None:
    status, out, _ = call("estate", ".", "--format", form)
    assert status == 0
    assert "cable/loss-beyond-limit" in out


@pytest.mark.parametrize("text", ["", "[]", "{}", '{"sites": 3, "tool": {}}', '{"findings": [], "summary": {}}\n', "\xff"])
def test_what_is_no_report(estate: Path, call: Call, text: str) -> None:
    Path("kept.jsonl").write_text(text, encoding="latin-1")
    status, out, said = call("estate", "kept.jsonl")
    assert (status, out) == (2, "")
    assert "kept.jsonl" in said


def test_nothing_is_never_clean(estate: Path, call: Call) -> None:
    assert call("estate", "none")[0] == 2
    (estate / "empty").mkdir()
    assert call("estate", "empty")[0] == 2
