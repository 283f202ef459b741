"""JSON after the project's contract, SARIF after its published schema, Markdown after CommonMark."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from jsonschema.validators import validator_for
from markdown_it import MarkdownIt

from coaxwright.errors import Problem, Span
from coaxwright.findings import Finding, Report
from coaxwright.reporting import sarif
from coaxwright.reporting.formats import FORMATS, Setting, render
from coaxwright.show.markdown import escaped
from coaxwright.show.painter import visible
from coaxwright.show.plain_data import plain

Make = Callable[..., Finding]
MakeReport = Callable[..., Report]
SARIF_SCHEMA = Path(__file__).resolve().parents[3] / "shared" / "standards" / "sarif-schema-2.1.0.json"
# The contract: keys that programs may count on.
SUMMARY = {"error", "warning", "note", "open", "waived", "judged"}
FINDING = {"rule", "level", "kind", "subject", "pointer", "line", "column", "message", "why", "working",
           "margin", "values", "sources", "caution", "fixes"}  # fmt: skip
FIX = {"title", "patch", "cost", "clears", "introduces"}


def _refuse(constant: str) -> None:
    raise AssertionError(f"{constant} is not JSON")


def as_json(made: Report) -> Any:
    return json.loads(render("json", made, Setting()), parse_constant=_refuse)


def test_json_keys(every_kind: Report) -> None:
    data = as_json(every_kind)
    assert data["tool"] == {"name": "coaxwright", "version": "0.1.0", "rulebook": "sha256:00"}
    site = data["sites"][0]
    assert {"site", "file", "summary", "findings", "facts", "assumed"} <= set(site)
    assert set(site["summary"]) >= SUMMARY
    assert all(set(found) >= FINDING for found in site["findings"])
    fixes = [fix for found in site["findings"] for fix in found["fixes"]]
    assert fixes
    assert all(set(fix) >= FIX for fix in fixes)
    assert site["facts"] == {"cameras/slipway": {"volts_night": 10.04}}
    assert site["assumed"][0]["source"] == "common practice"


def test_json_lists_proven_fixes_only(make_finding: Make, make_report: MakeReport) -> None:
    found = as_json(make_report(make_finding()))["sites"][0]["findings"][0]
    assert [fix["title"] for fix in found["fixes"]] == ["1.5 mm2 instead of 0.75 mm2"]
    assert found["could_try"] == ["raise the trim of psu1"]


def test_json_counts_add_up(every_kind: Report) -> None:
    summary = as_json(every_kind)["sites"][0]["summary"]
    assert sum(number for name, number in summary.items() if name != "judged") == summary["judged"] == 16


def test_json_has_no_nan(make_finding: Make, make_report: MakeReport) -> None:
    endless = {"a": float("nan"), "b": [float("inf"), 1.5], "c": (True, None)}
    found = as_json(make_report(make_finding(values=endless, margin=float("-inf"))))["sites"][0]["findings"][0]
    assert found["values"] == {"a": None, "b": [None, 1.5], "c": [True, None]}
    assert found["margin"] is None


def test_json_and_sarif_are_ascii_whatever_a_user_wrote(make_finding: Make, make_report: MakeReport) -> None:
    nasty = "船 \x1b[2J \x7f \x9b \u202e \udcff"
    for name in ("json", "sarif"):
        text = render(name, make_report(make_finding(message=nasty, subject=nasty, file=nasty)), Setting())
        assert text.isascii()
        assert all(character == "\n" or character.isprintable() for character in text)
        json.loads(text)
    assert as_json(make_report(make_finding(message=nasty)))["sites"][0]["findings"][0]["message"] == nasty


def test_order_does_not_hang_on_the_order_found(make_finding: Make, make_report: MakeReport) -> None:
    found = [make_finding(subject=f"cameras/c{n}", span=Span(n % 5 + 1, 3)) for n in range(20)]
    for name in FORMATS:
        assert render(name, make_report(*found), Setting()) == render(name, make_report(*reversed(found)), Setting())


def test_plain_data_refuses_what_has_no_form() -> None:
    with pytest.raises(TypeError, match="no JSON form"):
        plain(object())
    assert plain({"s": {"b", "a"}, "p": Path("x/y")}) == {"s": ["a", "b"], "p": "x/y"}


def as_sarif(made: Report, status: int = 1) -> Any:
    return json.loads(render("sarif", made, Setting(exit_status=status)), parse_constant=_refuse)


def _results(made: Report) -> list[Any]:
    results: list[Any] = as_sarif(made)["runs"][0]["results"]
    return results


@pytest.fixture(scope="module")
def sarif_schema() -> Any:
    if not SARIF_SCHEMA.is_file():
        pytest.skip("the published SARIF schema is not beside the project")
    return json.loads(SARIF_SCHEMA.read_text(encoding="utf-8"))


def _valid(schema: Any, data: Any) -> None:
    errors = list(validator_for(schema)(schema).iter_errors(data))
    assert not errors, errors[0]


def test_sarif_follows_the_schema(sarif_schema: Any, every_kind: Report) -> None:
    """OASIS SARIF 2.1.0 errata 01, JSON Schema."""
    _valid(sarif_schema, as_sarif(every_kind))


def test_the_schema_test_can_fail(sarif_schema: Any, every_kind: Report) -> None:
    data = as_sarif(every_kind)
    data["runs"][0]["results"][0]["level"] = "fatal"
    with pytest.raises(AssertionError):
        _valid(sarif_schema, data)


def test_sarif_follows_the_schema_with_odd_input(
    sarif_schema: Any, make_finding: Make, make_report: MakeReport
) -> None:
    odd = [
        make_finding(span=Span(1, 1, 1, 1), file="/tmp/odd name#?.yaml"),
        make_finding(span=Span(3, 2, 9, 1), file="a:b.yaml", why=" ", caution=None),
        make_finding(span=None, file="\udcff.yaml", message="\x1b", values={"x": float("nan")}),
    ]
    problems = (Problem("x.yaml", "wrong", "right", Span(2, 3)), Problem("no.yaml", "absent"))
    _valid(sarif_schema, as_sarif(make_report(*odd, unread=problems), 2))
    _valid(sarif_schema, as_sarif(replace(make_report(), sites=(), rules=()), 2))


def test_sarif_kind_and_level(make_finding: Make, make_report: MakeReport) -> None:
    """SARIF 2.1.0, 3.27.9 and 3.27.10: the level is `none` unless the kind is `fail`."""
    results = _results(make_report(make_finding(level="warning"), make_finding(kind="open", missing=("a/b",))))
    assert {(each["kind"], each["level"]) for each in results} == {("fail", "warning"), ("open", "none")}
    assert any("supply a/b" in each["message"]["text"] for each in results)


def test_sarif_suppression_carries_the_reason(every_kind: Report) -> None:
    suppressed = [each["suppressions"] for each in _results(every_kind) if "suppressions" in each]
    assert suppressed == [
        [{"kind": "inSource", "status": "accepted", "justification": "riser cannot be re-pulled",
          "properties": {"by": "J. Alder", "until": "2027-06-01"}}]
    ]  # fmt: skip


def test_sarif_faults_are_notifications(every_kind: Report) -> None:
    run = as_sarif(every_kind, 2)["runs"][0]
    invocation = run["invocations"][0]
    assert invocation["executionSuccessful"] is False
    assert invocation["exitCode"] == 2
    assert "division by zero" in invocation["toolExecutionNotifications"][0]["message"]["text"]
    assert len(run["results"]) == 5


def test_sarif_fingerprint_forgets_the_line(make_finding: Make, make_report: MakeReport) -> None:
    found = [
        make_finding(),
        make_finding(span=Span(90, 1), message="other"),
        make_finding(subject="cameras/quay"),
        make_finding(rule="power/other"),
    ]
    results = [_results(make_report(each))[0] for each in found]
    prints = [result["partialFingerprints"]["coaxwrightFinding/v1"] for result in results]
    assert prints[0] == prints[1]
    assert len(set(prints)) == 3


def test_sarif_rule_index_fits(every_kind: Report) -> None:
    run = as_sarif(every_kind)["runs"][0]
    rules = run["tool"]["driver"]["rules"]
    assert all(rules[each["ruleIndex"]]["id"] == each["ruleId"] for each in run["results"])
    assert all("helpUri" not in rule and rule["help"]["text"] for rule in rules)


@pytest.mark.parametrize(
    ("file", "uri"),
    [
        ("a/b.site.yaml", "a/b.site.yaml"),
        ("a b#c?.yaml", "a%20b%23c%3F.yaml"),
        ("a:b.yaml", "./a%3Ab.yaml"),
        ("船.yaml", "%E8%88%B9.yaml"),
        ("\udcff.yaml", "%FF.yaml"),
        ("100%.yaml", "100%25.yaml"),
    ],
)
def test_sarif_uri(file: str, uri: str) -> None:
    """RFC 3986, 4.2: a relative reference; a colon may not stand in its first segment."""
    assert sarif.relative_uri(file).removeprefix("./") == uri.removeprefix("./")


def test_sarif_uri_of_an_absolute_path(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "real").mkdir()
    (tmp_path / "link").symlink_to(tmp_path / "real")
    monkeypatch.chdir(tmp_path)
    assert sarif.relative_uri(str(tmp_path / "link" / "x.yaml")) == "real/x.yaml"


MARKDOWN_PAYLOADS = [
    "a | b", "`code`", "**bold**", "_em_", "<script>alert(1)</script>", "<b>x</b>", "[text](http://a.example)",
    "![img](http://a.example/x.png)", "http://a.example/x", "www.a.example", "# head", "1. item", "- item",
    "+ item", "* item", "> quote", "~~~", "---", "===", "&lt;", "&#35;", "a\\", "\\*", "$x$", "@name",
    "12) x", "| --- |",
    ": x", "`", "``` x", "    code", "\ttab", "a  ", "{{7*7}}", "<!-- x", "\u202e",
]  # fmt: skip


@pytest.mark.parametrize("payload", MARKDOWN_PAYLOADS, ids=ascii)
def test_markdown_shows_exactly_the_characters(payload: str) -> None:
    """Oracle: markdown-it, an implementation of the CommonMark specification, with tables."""
    parser = MarkdownIt("commonmark", {"html": True}).enable(["table", "strikethrough"])
    expected = visible(payload.strip())
    for before, after in (("", ""), ("- ", ""), ("| head |\n| --- |\n| ", " |")):
        tokens = parser.parse(before + escaped(payload) + after)
        inline = [token for token in tokens if token.type == "inline"][-1]
        children = inline.children or []
        assert {token.type for token in children} <= {"text", "text_special"}
        assert "".join(token.content for token in children) == expected
        assert not [token for token in tokens if token.type in {"html_block", "fence", "code_block", "heading_open"}]


def test_markdown_table_keeps_its_shape(make_finding: Make, make_report: MakeReport) -> None:
    found = [make_finding(message=payload, subject=payload) for payload in MARKDOWN_PAYLOADS]
    tokens = MarkdownIt("commonmark").enable("table").parse(render("md", make_report(*found), Setting()))
    kinds = [token.type for token in tokens]
    assert kinds.count("table_open") == 1
    assert kinds.count("td_open") == 6 * len(found)
    assert "html_block" not in kinds


def test_markdown_tells_all(every_kind: Report) -> None:
    text = render("md", every_kind, Setting())
    for word in ("Open: a fact is missing", "Waived", "riser cannot", "Rules that could not", "**Caution:**",
                 "could be tried", "Assumed", "16 judgements", "60 degC"):  # fmt: skip
        assert word in text


@pytest.mark.parametrize("name", sorted(FORMATS))
def test_same_input_same_bytes(name: str, every_kind: Report) -> None:
    assert render(name, every_kind, Setting()) == render(name, every_kind, Setting())


def test_unknown_format_is_a_key_error(every_kind: Report) -> None:
    with pytest.raises(KeyError):
        render("telex", every_kind, Setting())
