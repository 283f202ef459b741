"""Every form of a document: what stands in it, and that nobody's words become more than words.

Readers are others' (csv of the standard library, lxml, markdown-it). Attacks: OWASP ASVS 5.0, V1 (encoding; formulas
1.2.10); Unicode TR 36 for characters that turn text around. The names are those of the report's tests.
"""

from __future__ import annotations

import base64
import csv
import hashlib
import io
import json
import re
import unicodedata

import pytest
from lxml import html
from markdown_it import MarkdownIt
from sample import COLUMNS, sample
from test_escapes import LINES, NAMES, UNSEEN

from coaxwright.show.forms import FORMS, rendered
from coaxwright.show.painter import visible
from coaxwright.show.tree import Document, Facts, Item, Listing, Outcome, Paragraph, Section, Table

HOSTILE = [*NAMES, *LINES, *UNSEEN]
RISKY = ("=", "+", "-", "@", "\t", "\r")
TAGS = {
    "html", "head", "meta", "title", "style", "body", "div", "header", "main", "h1", "h2", "h3", "b", "p", "strong",
    "code", "dl", "dt", "dd", "nav", "ul", "ol", "li", "a", "section", "table", "caption", "thead", "tbody", "tr", "th",
    "td", "label", "input", "span", "fieldset", "legend", "script", "svg", "rect", "path", "text", "figure", "figcaption",
}  # fmt: skip


def _read(name: str) -> str:
    """A name as a reader sees it: one line, spaces as one, unseen characters as escapes."""
    return " ".join(visible(name.replace("\n", " ").strip()).split())


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("name", HOSTILE, ids=lambda name: ascii(name[:16]))
def test_nothing_unseen_gets_through(name: str, form: str) -> None:
    told = rendered(sample(name), form)
    assert told.endswith("\n")
    assert {unicodedata.category(each) for each in told} & {"Cc", "Cf", "Cs", "Zl", "Zp"} <= {"Cc"}
    assert not re.search(r"[\x00-\x09\x0b-\x1f\x7f-\x9f]", told)


@pytest.mark.parametrize("name", HOSTILE, ids=lambda name: ascii(name[:16]))
def test_a_page_holds_no_element_of_a_name(name: str) -> None:
    page = html.document_fromstring(rendered(sample(name), "html").encode())
    assert {element.tag for element in page.iter() if isinstance(element.tag, str)} <= TAGS
    assert len(page.xpath("//script")) == 1
    assert not [key for element in page.iter() for key in element.attrib if key.startswith("on")]
    for place in ("//h1", "//caption", "//dt", "//figcaption", "//*[local-name()='text']", "//ol/li/p"):
        found = {" ".join(each.text_content().split()) for each in page.xpath(place)}
        assert found & {_read(name), " ".join(visible(name.replace("\n", " ")).split()), " ".join(visible(name).split())}, place


def test_the_policy_of_a_page_names_its_style_and_script() -> None:
    page = html.document_fromstring(rendered(sample("x"), "html").encode())
    (policy,) = page.xpath("//meta[@http-equiv='Content-Security-Policy']/@content")
    assert policy.startswith("default-src 'none';")
    for part in [*page.xpath("//style"), *page.xpath("//script")]:
        digest = base64.b64encode(hashlib.sha256(part.text.encode()).digest()).decode()
        assert f"'sha256-{digest}'" in policy
    assert "unsafe" not in policy


def test_a_page_without_a_search_has_no_script() -> None:
    assert "script" not in rendered(Document("t", (Paragraph("p"),)), "html").split("</style>")[-1]


@pytest.mark.parametrize("name", HOSTILE, ids=lambda name: ascii(name[:16]))
def test_markdown_shows_a_name_and_makes_nothing_of_it(name: str) -> None:
    told = rendered(sample(name), "md")
    tokens = [each for token in MarkdownIt("commonmark").enable("table").parse(told) for each in [token, *(token.children or [])]]
    kinds = {token.type for token in tokens}
    assert not kinds & {"link_open", "image", "em_open", "fence", "html_block", "code_block", "blockquote_open", "hr"}
    assert {token.content for token in tokens if token.type == "html_inline"} <= {"<br>"}
    shown = ["".join(child.content for child in token.children or []) for token in tokens if token.type == "inline"]
    assert sum(_read(each) == _read(name) for each in shown) >= 5


@pytest.mark.parametrize("name", HOSTILE, ids=lambda name: ascii(name[:16]))
def test_csv_reads_back_and_runs_nothing(name: str) -> None:
    rows = list(csv.reader(io.StringIO(rendered(sample(name), "csv"))))
    cells = [cell for row in rows for cell in row]
    told = visible(name.replace("\n", " "))
    assert {told, f"'{told}", visible(name), f"'{visible(name)}"} & set(cells)
    assert not [cell for cell in cells if cell.startswith(RISKY) and not re.fullmatch(r"[+-]\d*\.?\d*", cell)]


def test_one_table_as_csv_is_its_rows_alone() -> None:
    table = Table(COLUMNS, [("c1", 120.0, True), ("c2", 0.123456789, None), ("c3", None, False)])
    told = rendered(Document("t", (Paragraph("prose"), table)), "csv")
    assert told == "camera,length (m),holds\nc1,120,yes\nc2,0.123457,open\nc3,,no\n"


def test_several_tables_as_csv_stand_apart_under_their_names() -> None:
    part = Section("Power", (Table(("a",), [("1",)]),))
    told = rendered(Document("t", (Facts([("x", ["y", "z"])], ("asked", "answer")), part), "it holds"), "csv")
    assert told == "asked,answer\nverdict,it holds\nx,y; z\n\nPower\na\n1\n"


def test_numbers_and_answers_stay_themselves_in_json() -> None:
    table = Table(COLUMNS, [("c1", 120.0, True), ("c2", float("inf"), None)], caption="Runs")
    data = json.loads(rendered(Document("t", (table,)), "json"))
    assert data["tables"] == [
        {
            "caption": "Runs",
            "columns": [{"name": "camera", "unit": None}, {"name": "length", "unit": "m"}, {"name": "holds", "unit": None}],
            "rows": [["c1", 120.0, True], ["c2", None, None]],
        }
    ]


def test_text_of_a_document() -> None:
    document = Document(
        "What changed",
        (
            Section("New", (Listing(["error a on b", Item("warning c on d", (Listing(["now: e"], "none"),))], "none"),)),
            Table(COLUMNS, [("c1", 120.0, True), ("camera 2", 85.25, None)]),
            Facts([("Input", ["1 of rec", "and 2"])]),
        ),
    )
    assert rendered(document, "text") == (
        "What changed\n\n"
        "New:\n  error a on b\n  warning c on d\n    now: e\n\n"
        "camera    length  holds\nc1         120 m  yes\ncamera 2  85.2 m  open\n\n"
        "input           1 of rec\n                and 2\n"
    )


def test_rows_that_are_one_tuple_are_told_for_each_name() -> None:
    row = (Outcome("full", "[=] full", "pass"),)
    table = Table(("camera", "rec"), [row, row], names=["c1", "c2"], fold="scroll")
    told = {form: rendered(Document("t", (table,)), form) for form in FORMS}
    assert told["csv"] == "camera,rec\nc1,[=] full\nc2,[=] full\n"
    for each in told.values():
        assert each.count("[=] full") + each.count(r"\[=\] full") == 2


def test_an_outcome_is_named_by_a_plain_word() -> None:
    with pytest.raises(ValueError, match="no word for an outcome"):
        rendered(Document("t", (Table(("a", "b"), [("x", Outcome("a{b}", "y"))], fold="scroll"),)), "html")


def test_an_unknown_form_is_refused() -> None:
    with pytest.raises(ValueError, match="none of text, md"):
        rendered(Document("t", ()), "pdf")
