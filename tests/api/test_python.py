"""The Python API as its users have it: results equal to the commands, forms, refusals, types.

What the forms have to be: pandas' own constructor, mypy --strict, and the commands themselves are outside the API.
"""

from __future__ import annotations

import datetime
import json
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Callable
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest
from tests.api import doc_pages
from tests.conftest import FULL

import coaxwright
from coaxwright import Refusal, check, compare, fix, limits, load_site, load_text, pair, propose, quiz, repair, what_if
from coaxwright.cli.main import run

ROOT = Path(__file__).resolve().parents[2]
YARD = ROOT / "examples" / "boatyard" / "alder-wharf.site.yaml"
PRESS = ROOT / "examples" / "cider-press" / "quill-orchard.site.yaml"
ENVIRONMENT = {"PYTHONPATH": str(ROOT / "engine"), "HOME": os.environ.get("HOME", "")}
"""Of a process that finds the checked rules where this one left them."""
DAY = datetime.date(2026, 11, 30)

Told = Callable[..., Any]


@pytest.fixture
def told(capsysbinary: pytest.CaptureFixture[bytes]) -> Told:
    """What a command gives as JSON."""

    def asked(*words: str) -> Any:
        capsysbinary.readouterr()
        run([*words, "--format", "json"])
        return json.loads(capsysbinary.readouterr().out)

    return asked


def test_results_equal_the_commands(told: Told) -> None:
    day = ("--today", "2026-11-30")
    camera = next(iter(load_site(PRESS).document.value["cameras"]))
    assert check(PRESS, today=DAY).to_dict() == told("check", str(PRESS), *day)
    assert fix(PRESS, today=DAY, tries=2).to_dict() == told("fix", str(PRESS), "--budget", "2", *day)
    assert limits(PRESS, f"cameras/{camera}", today=DAY).to_dict() == told("limits", str(PRESS), f"cameras/{camera}", *day)
    assert compare(PRESS, YARD, today=DAY).to_dict() == told("compare", str(PRESS), str(YARD), *day)
    removed = told("what-if", str(PRESS), "--remove", f"cameras/{camera}", *day)
    assert what_if(PRESS, remove=[f"cameras/{camera}"], today=DAY).to_dict() == removed
    assert repair(YARD, budget=6, today=DAY).to_dict() == told("fix", str(YARD), "--all", "--budget", "6", *day)
    both = told("quiz", "make", "--count", "1", "--seed", "5", "--topic", "power")
    assert quiz(count=1, seed=5, topics=["power"]).to_dict()["papers"] == [{"paper": both["paper"], "key": both["key"]}]


def test_a_pair_equals_the_command(told: Told) -> None:
    parts = str(ROOT / "examples" / "boatyard" / "parts" / "*.yaml")
    value = load_site(YARD).document.value
    camera = next(iter(value["cameras"].values()))["part"]
    recorder = next(iter(value["recorders"].values()))["part"]
    by_command = told("pair", camera, recorder, "--parts", parts, "--cable", "rg59-copper", "--length", "120 m")
    answer = pair(camera, recorder, parts=parts, cable="rg59-copper", length="120 m")
    del by_command["reference"]
    assert answer.to_dict() == by_command
    assert answer.outcome == answer.to_dict()["settled"]["outcome"]
    assert " ".join(answer.verdict.split()) in " ".join(str(answer).split())


def test_values_are_judged_as_their_file(tmp_path: Path) -> None:
    loaded = load_site(PRESS)
    from_values = check(load_text(loaded.document.value, folder=PRESS.parent), today=DAY)
    from_text = check(load_text(PRESS.read_text(encoding="utf-8"), folder=PRESS.parent), today=DAY)
    from_file = check(loaded, today=DAY)
    assert from_values.summary == from_text.summary == from_file.summary
    keys = [[each.key for each in report.failed()] for report in (from_values, from_text, from_file)]
    assert sorted(keys[0]) == sorted(keys[1]) == sorted(keys[2])
    assert keys[2]
    finding = from_values.failed()[0]
    assert finding.span is not None
    assert finding.file == "values.site.yaml"
    assert len(from_values.text.splitlines()) >= finding.span.line


@pytest.mark.parametrize("text", ["1:20", "1e3", "no", "0x1F", "007", "- x", "# none", "a: b", "é\u2028x", "'", '"', "~"])
def test_texts_in_values_stay_texts(text: str) -> None:
    """Words that YAML 1.1 readers take for something else, by its specification (yaml.org/type)."""
    site = {"site": text, "video_rate": 25, "cameras": {}, "recorders": {}}
    assert load_text(site).site.site == text


@pytest.mark.parametrize("result", ["check", "fix", "limits", "what_if", "pair", "compare", "quiz"])
def test_every_result_has_its_forms(result: str) -> None:
    pandas = pytest.importorskip("pandas")
    made = _results(result)
    frame = made.to_frame()
    assert isinstance(frame, pandas.DataFrame)
    assert len(frame) == len(made.rows()) > 0
    assert len({tuple(row) for row in made.rows()}) == 1, "every row has the same keys"
    assert made.to_dict()["format"] == 2
    json.dumps(made.to_dict(), allow_nan=False)
    shown = made._repr_html_()
    seen = _Frames()
    seen.feed(shown)
    assert seen.tags == ["iframe"], "all of a site's text stays inside the one frame"
    assert seen.inside.startswith("<!DOCTYPE html>") or seen.inside.lower().startswith("<!doctype html>")
    assert "sandbox" in shown
    assert str(made).strip()


class _Frames(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.inside = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.inside = dict(attrs).get("srcdoc") or self.inside


def _results(name: str) -> Any:
    value = load_site(PRESS).document.value
    camera = next(iter(value["cameras"]))
    recorder = next(iter(value["recorders"].values()))["part"]
    return {
        "check": lambda: check(PRESS), "fix": lambda: fix(PRESS, tries=8), "limits": lambda: limits(PRESS, f"cameras/{camera}"),
        "what_if": lambda: what_if(PRESS, remove=[f"cameras/{camera}"]),
        "pair": lambda: pair(value["cameras"][camera]["part"], recorder, parts=str(PRESS.parent / "parts" / "*.yaml")),
        "compare": lambda: compare(PRESS, YARD),
        "quiz": lambda: quiz(count=2, topics=["power"]),
    }[name]()  # fmt: skip


def test_without_pandas_a_frame_is_refused_in_words(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "pandas", None)
    with pytest.raises(Refusal, match="pandas: is not installed"):
        check(PRESS).to_frame()


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: load_text({"site": object()}), "these values cannot be written"),
        (lambda: load_text({"site": float("nan")}), "these values cannot be written"),
        (lambda: check("site: x\ncameras: {}\n"), "use load_text"),
        (lambda: check("nowhere.site.yaml"), "no such file"),
        (lambda: check({"site": "x", "camras": {}}), "camras"),
        (lambda: pair("a/b", "c/d"), "a/b"),
        (lambda: pair("a/b", "c/d", length="3 m"), "needs the cable"),
        (lambda: pair("a/b", "c/d", cable="rg59-copper", length="3 V"), "length"),
        (lambda: pair("a/b", "c/d", parts="nowhere/*.yaml"), "names no file"),
        (lambda: limits(PRESS, "cameras/nobody"), "nobody"),
        (lambda: what_if(PRESS, remove=["cameras/nobody"]), "nobody"),
        (lambda: quiz(count=0), "count is 1 to 400"),
        (lambda: quiz(topics=["weather"]), "weather"),
        (lambda: quiz(PRESS), "something is wrong with this site"),
        (lambda: quiz(count=1, topics=["power"]).paper(2), "papers are 1 to 1"),
    ],
)
def test_wrong_use_is_refused_with_what_is_right(call: Callable[[], object], says: str) -> None:
    with pytest.raises(Refusal, match=re.escape(says)):
        call()


def test_one_path_is_no_list_of_rule_folders() -> None:
    with pytest.raises(TypeError, match="list of folders"):
        check(PRESS, rules="our-rules")


def test_a_proposal_is_written_and_holds(tmp_path: Path) -> None:
    """What the command writes, and what a check says of it."""
    wants = ROOT / "tests" / "proposals" / "wants" / "six.site.yaml"
    found = propose(wants)
    assert found.complete
    written = found.write(tmp_path / "made.site.yaml")
    assert written[-1].name == "made.site.yaml"
    assert check(tmp_path / "made.site.yaml").failed("error") == ()
    assert found.to_dict()["format"] == 2
    assert found.rows()
    with pytest.raises(Refusal, match="exists already"):
        found.write(tmp_path / "made.site.yaml")


# Types


SCRIPT = '''
from pathlib import Path
from typing import Any
import coaxwright
from coaxwright import Checked, Finding, Refusal, check, fix, limits, load_site, load_text, pair, quiz, repair, what_if

def names(path: Path) -> list[str]:
    try:
        report: Checked = check(load_site(path))
    except Refusal as refusal:
        return [problem.what for problem in refusal.problems]
    worst: tuple[Finding, ...] = report.failed("error")
    lines: list[int] = [each.span.line for each in worst if each.span]
    data: dict[str, Any] = report.to_dict()
    return [each.rule for each in worst] + [str(lines), str(data), coaxwright.__version__]

outcome: str | None = pair("a/b", "c/d", video_rate=25).outcome
changes: list[str] = [each.title for advice in fix({"site": "x"}).advice for each in advice.fixes]
steps: int = len(repair("a.site.yaml").plan.steps)
least: float | None = limits("a.site.yaml", "site").limits[0].down.holds
known: bool = bool(what_if(load_text("site: x"), {"site": "y"}).found.facts)
paper: str = quiz(count=3, levels=["apply"]).paper(1, "html")
'''
MISUSE = {
    "x: int = check('a').findings": "assignment",
    "check(3)": "arg-type",
    "check('a', today='2026-11-30')": "arg-type",
    "check('a').findngs": "attr-defined",
    "load_text(3)": "arg-type",
    "pair('a')": "call-arg",
    "pair('a', 'b', video_rate=24)": "arg-type",
    "fix('a', level='bad')": "arg-type",
    "limits('a', 'b').limits[0].down.holds + 1": "operator",
    "what_if('a', ['b=c'])": "arg-type",
    "quiz(levels=['hard'])": "list-item",
    "propose('a', prefer='best')": "arg-type",
    "coaxwright.proposal": "attr-defined",
    "for f in check('a').findings: f.span.line": "union-attr",
}


def _mypy(cache: Path, *scripts: Path) -> str:
    if shutil.which("mypy") is None and not Path(sys.executable).with_name("mypy").exists():
        pytest.skip("mypy is not installed beside this Python")
    call = [sys.executable, "-m", "mypy", "--strict", "--config-file=", "--cache-dir", str(cache), "--no-error-summary",
            "--follow-imports=silent", "--ignore-missing-imports", *map(str, scripts)]  # fmt: skip
    environment = {"MYPYPATH": str(ROOT / "engine"), "PATH": ""}
    return subprocess.run(call, capture_output=True, text=True, check=False, env=environment, cwd=cache.parent).stdout


def test_a_users_script_is_typed_and_misuse_is_caught(tmp_path: Path) -> None:
    """mypy --strict finds nothing in the one script, and in the other each mistake at its line with its code."""
    good, bad = tmp_path / "user.py", tmp_path / "misuse.py"
    good.write_text(SCRIPT, encoding="utf-8")
    head = "import coaxwright\nfrom coaxwright import check, fix, limits, load_text, pair, propose, quiz, what_if\n"
    bad.write_text(head + "\n".join(MISUSE) + "\n", encoding="utf-8")
    told = _mypy(tmp_path / "cache", good, bad)
    assert "user.py" not in told
    found = dict(re.findall(r"misuse\.py:(\d+): error: .*\[([a-z-]+)\]", told))
    assert found == {str(line): code for line, code in enumerate(MISUSE.values(), 3)}


def test_the_stub_names_what_the_package_gives() -> None:
    stub = (ROOT / "engine" / "coaxwright" / "__init__.pyi").read_text(encoding="utf-8")
    listed = re.findall(r"^from coaxwright\.([\w.]+) import (\w+) as \2$", stub, re.MULTILINE)
    stubbed = {name: home for home, name in listed}
    assert sorted([*stubbed, "__version__"]) == sorted(coaxwright.__all__)
    assert stubbed == coaxwright._HOMES
    for name in coaxwright.__all__:
        assert getattr(coaxwright, name) is not None
    with pytest.raises(AttributeError, match="no attribute 'nothing'"):
        coaxwright.nothing  # noqa: B018


BEFORE = ["import coaxwright.quiz.bank", "from coaxwright import check", "import coaxwright"]


@pytest.mark.parametrize("first", BEFORE if FULL else BEFORE[:1])
def test_quiz_is_the_function_whatever_was_imported_before(first: str) -> None:
    code = f"{first}; from coaxwright import quiz; from coaxwright.quiz.papers import Wanted; import coaxwright"
    code += "; print(quiz.__module__); print(coaxwright.quiz is quiz, len(quiz(count=1, topics=['power']).papers))"
    call = [sys.executable, "-W", "error", "-c", code]
    ran = subprocess.run(call, capture_output=True, text=True, check=False, cwd=ROOT, env=ENVIRONMENT)
    assert ran.stdout.split() == ["coaxwright.api.papers", "True", "1"], ran.stderr


# Pages


def test_the_reference_is_as_the_docstrings_are() -> None:
    """`python -m tests.api.doc_pages` makes it anew."""
    assert doc_pages.PAGE.read_text(encoding="utf-8") == doc_pages.render()
    listed = {*doc_pages.FUNCTIONS, *doc_pages.RESULTS, *doc_pages.RECORDS}
    assert set(coaxwright.__all__) - listed <= {"AnyRules", "AnySite", "Rulebook", "__version__"}


def test_every_function_tells_its_arguments_and_what_it_raises() -> None:
    for name in doc_pages.FUNCTIONS:
        found = getattr(coaxwright, name)
        said = found.__doc__ or ""
        assert "Refusal" in said, name


def test_the_page_runs_as_written(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.chdir(ROOT)
    text = (ROOT / "docs" / "python" / "index.md").read_text(encoding="utf-8")
    code = "\n".join(re.findall(r"```python\n(.*?)```", text, re.DOTALL))
    exec(compile(code, "docs/python/index.md", "exec"), {})  # noqa: S102 - our own page
    assert "errors" in capsys.readouterr().out
