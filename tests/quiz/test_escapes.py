"""Whatever a site or a pattern of a trainer's own says: nothing of it runs, XML parses, CSV reads back the same.

Cells that a spreadsheet takes for formulas: the list of OWASP ASVS 1.2.10 (from memory). Characters of XML: the production
Char of XML 1.0, fifth edition, 2.2.
"""

from __future__ import annotations

import csv
import io
import json
import re
import zipfile
from collections.abc import Iterator, Mapping
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as Xml

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.conftest import FULL

from coaxwright.checking import load_rulebook, load_site
from coaxwright.quiz import scenes, writing
from coaxwright.quiz.bank import Bank, load_bank
from coaxwright.quiz.formats import html, markdown, qti, qti_names, table
from coaxwright.quiz.papers import Paper, Wanted, make_papers
from coaxwright.quiz.printed import NOTE, Sheet, key_data, sheet_of
from coaxwright.quiz.tables import Table

HOSTILE = (
    "=HYPERLINK(1)", "+1+1", "-2+3", "@SUM(A1)", "\t=1", "\r=1", "\n=1", "'=1", 'a "quoted" word', "two\nlines", "a,b;c",
    "</style><script>alert(1)</script>", "<img src=x onerror=alert(1)>", "javascript:alert(1)", "&lt;b&gt; &amp;",
    "]]>", "<![CDATA[x]]>", "<!--", "--><b>", "&undefined;", "\x00\x07\x1b[31m", "\u202egnp.exe", "\ufffe\uffff", "|`*_#[x](y)",
)  # fmt: skip
ELEMENTS = frozenset(
    {
        "html", "head", "meta", "title", "style", "body", "h1", "h2", "p", "small", "div", "span", "section", "table",
        "caption", "thead", "tbody", "tr", "th", "td", "svg", "g", "path", "rect", "text", "ol", "ul", "li", "strong",
        "footer", "br", "hr",
    }
)  # fmt: skip


def spoiled(sheet: Sheet, word: str) -> Sheet:
    """The sheet with that word in every place where someone's words can stand."""
    questions = tuple(
        replace(
            each, intro=word, stem=word, topic=word, unit=word, given=((word, word),),
            tables=(*each.tables, Table("camera", word, ("name", word), ((word, word),))),
            lines=((f"{word}/1", word, word), (word, f"{word}/2", word)),
            options=tuple((letter, word) for letter, _ in each.options),
        )
        for each in sheet.questions
    )  # fmt: skip
    return replace(sheet, title=word, mark=word, questions=questions)


def spoiled_key(key: Mapping[str, Any], word: str) -> dict[str, Any]:
    """The key with that word for every text of it but letters, ids and keys."""

    def walk(value: Any, name: str = "") -> Any:
        if isinstance(value, dict):
            return {each: walk(below, each) for each, below in value.items()}
        if isinstance(value, list):
            return [walk(each, name) for each in value]
        return word if isinstance(value, str) and name not in ("key", "letter", "slip") else value

    return dict(walk(key))


@pytest.fixture(scope="module")
def paper(bank: Bank) -> Paper:
    wanted = Wanted(seed=5, blueprint=(("power", 2), ("storage", 1), ("network", 1)), size="small")
    return make_papers(bank, wanted)[0]


class Page(HTMLParser):
    """Elements, attributes and words of a page."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.elements: set[str] = set()
        self.attributes: list[tuple[str, str]] = []
        self.words: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.add(tag)
        self.attributes += [(name, value or "") for name, value in attrs]

    def handle_data(self, data: str) -> None:
        self.words.append(data)


def harmless(text: str) -> list[str]:
    """What of a page could run or load something."""
    page = Page(text)
    found = sorted(page.elements - ELEMENTS)
    found += [
        name for name, _ in page.attributes if name.startswith("on") or name in ("src", "href", "action", "style")
    ]
    return found + [value for _, value in page.attributes if "javascript:" in value.casefold()]


@pytest.mark.parametrize("word", HOSTILE)
def test_pages_hold_hostile_words_as_words(bank: Bank, paper: Paper, word: str) -> None:
    written = html.paper(spoiled(sheet_of(paper), word))
    assert harmless(written) == []
    assert harmless(html.key(spoiled_key(key_data(bank, paper), word))) == []
    if word.isprintable():
        assert any(word in said for said in Page(written).words)


@pytest.mark.parametrize("word", HOSTILE)
def test_markdown_shows_hostile_words_as_words(bank: Bank, paper: Paper, word: str) -> None:
    """CommonMark 0.31, 2.4 and 6.6: a backslash before punctuation makes it plain; no raw markup is left over."""
    for text in (
        markdown.paper(spoiled(sheet_of(paper), word)),
        markdown.key(spoiled_key(key_data(bank, paper), word)),
    ):
        outside = re.sub(r"```text\n.*?\n```", "", text, flags=re.DOTALL)
        assert not re.search(r"(?<!\\)<[a-zA-Z!/]", outside)
        assert text.count("```") % 2 == 0


def cells_of(sheet: Sheet) -> Iterator[list[str]]:
    """What the rows of a CSV paper should say, in the order of its columns."""
    for each in sheet.questions:
        options = dict(each.options)
        yield [
            str(each.number), each.id, each.topic, each.level, table.scenario(each), each.stem,
            *(options.get(letter, "") for letter in "ABCD"), each.unit, NOTE,
        ]  # fmt: skip


def read_back(text: str) -> list[list[str]]:
    """The rows of a CSV file below its heads, the quotes that keep formulas away taken off."""
    rows = list(csv.reader(io.StringIO(text, newline="")))
    return [[cell.removeprefix("'") for cell in row] for row in rows[1:]]


@pytest.mark.parametrize("word", HOSTILE)
def test_csv_reads_back_equal_and_no_cell_is_a_formula(paper: Paper, word: str) -> None:
    sheet = spoiled(sheet_of(paper), word)
    text = table.paper(sheet)
    assert read_back(text) == [[table.told(cell) for cell in row] for row in cells_of(sheet)]
    for row in csv.reader(io.StringIO(text, newline="")):
        assert not [cell for cell in row if cell[:1] in tuple("=+-@\t\r\n\0")]


@pytest.mark.parametrize("word", HOSTILE)
def test_key_as_csv_holds_no_formula(bank: Bank, paper: Paper, word: str) -> None:
    text = table.key(spoiled_key(key_data(bank, paper), word))
    for row in csv.reader(io.StringIO(text, newline="")):
        assert not [cell for cell in row if cell[:1] in tuple("=+-@\t\r\n\0")]


def xml_of(packed: bytes) -> Iterator[tuple[str, Xml.Element]]:
    with zipfile.ZipFile(io.BytesIO(packed)) as package:
        for name in package.namelist():
            yield name, Xml.fromstring(package.read(name))


@pytest.mark.parametrize("word", HOSTILE)
def test_packages_parse_and_lead_somewhere(bank: Bank, paper: Paper, word: str) -> None:
    sheet, key = spoiled(sheet_of(paper), word), spoiled_key(key_data(bank, paper), word)
    for packed in (qti.package(sheet), qti.package(sheet, key)):
        assert list(qti_names.broken_names(packed)) == []
        found = [element for _, root in xml_of(packed) for element in root.iter()]
        assert {element.tag.partition("}")[2] for element in found} & {"script", "b"} == set()
        pictures = {element.get("src") for element in found if element.tag.endswith("}img")}
        assert pictures == {f"../pictures/q{question.id}.svg" for question in sheet.questions if question.lines}
        if word.isprintable():
            assert any(word in (element.text or "") for element in found)


@settings(max_examples=150 if FULL else 50, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(word=st.text(st.characters(exclude_categories=()), min_size=1, max_size=40))
def test_any_words_at_all(bank: Bank, paper: Paper, word: str) -> None:
    """Characters that a file cannot hold at all (lone surrogates) are shown, too."""
    sheet = spoiled(sheet_of(paper), word)
    assert harmless(html.paper(sheet)) == []
    assert [name for name, _ in xml_of(qti.package(sheet))]
    text = table.paper(sheet)
    assert read_back(text) == [[table.told(cell) for cell in row] for row in cells_of(sheet)]
    json.loads(json.dumps(text)).encode()


# Through the front door: files of a trainer's own.

SITE = """\
site: "=1+1 </title><script>alert(1)</script> ]]> & \\"x\\""
retention: 10 days
recorders:
  rec1:
    part: tarnwell/r8
    label: "<b>@SUM</b>"
    disks: [tarnwell/d4]
    record: {codec: h265, schedule: continuous}
    place: {building: main, setting: indoor, ambient_min: 5 °C, ambient_max: 30 °C}
supplies:
  psu1: {part: tarnwell/s5, trim: 12 V, place: {building: main, setting: indoor, ambient_min: 5 °C, ambient_max: 30 °C}}
cameras:
  c1:
    part: brackwater/c
    label: "<img src=x onerror=alert(1)>"
    area: quay
    set: {family: tvi, mode: 1920x1080@25}
    video: {into: rec1/1, over: [{cable: hollin/coax, length: 40 m}]}
    power: {from: psu1/1, over: [{cable: hollin/power, length: 40 m}]}
    place: {setting: indoor, building: main, reach: out-of-reach, ambient_min: 5 °C, ambient_max: 30 °C}
    record: {bitrate: 4 Mb/s}
  c2:
    part: brackwater/c
    label: "=cmd|' /C calc'!A0"
    area: quay
    set: {family: tvi, mode: 1920x1080@25}
    video: {into: rec1/2, over: [{cable: hollin/coax, length: 40 m}]}
    power: {from: psu1/2, over: [{cable: hollin/power, length: 40 m}]}
    place: {setting: indoor, building: main, reach: out-of-reach, ambient_min: 5 °C, ambient_max: 30 °C}
    record: {bitrate: 4 Mb/s}
assume: {conductor_temperature: 20 °C, usable_share: 93 %}
parts: [parts.yaml]
"""
RENAMED = {
    "tarnwell/r8": "maker-a/recorder-8", "tarnwell/d4": "maker-c/disk-4tb", "tarnwell/s5": "maker-c/supply-5a",
    "brackwater/c": "maker-b/dome-2", "hollin/coax": "video-6mm", "hollin/power": "power-1.5mm2",
}  # fmt: skip
PATTERN = """\
id: power/own-volts
title: "<script>alert(1)</script>"
kind: value
level: apply
about: feed
when: feed.own_output
vary: [{at: cameras/@/power/over/0/length, between: [60 m, 110 m], step: 5}]
ask: "=HYPERLINK(1) <script>alert(2)</script> ]]> How many volts arrive at {feed.load.name}?"
answer: feed.volts_night
printed: {unit: V, decimals: 1}
given: [{label: "@SUM(A1) </td><b>", value: "-1+1|calc {feed.load.label}"}]
slips: [one-way-length, loop-doubled-twice, nominal-at-the-end]
shows: [models, power, labels]
sources: [{title: "<img src=x onerror=alert(3)>", for: "&undefined;"}]
"""


@pytest.fixture(scope="module")
def own_files(bank: Bank, tmp_path_factory: pytest.TempPathFactory) -> dict[str, dict[str, str | bytes]]:
    """Papers and keys in every format from a hostile site and a hostile pattern."""
    folder = tmp_path_factory.mktemp("own")
    (folder / "patterns" / "power").mkdir(parents=True)
    (folder / "patterns" / "power" / "own-volts.yaml").write_text(PATTERN, encoding="utf-8")
    parts = {"parts": {own: bank.stock.parts[known] for own, known in RENAMED.items()}}
    (folder / "parts.yaml").write_text(json.dumps(parts, ensure_ascii=False), encoding="utf-8")
    (folder / "own.site.yaml").write_text(SITE, encoding="utf-8")
    own = load_bank(load_rulebook(), [folder / "patterns"])
    plan = scenes.given(load_site(Path(folder / "own.site.yaml")))
    assert scenes.is_sound(own, plan)
    own = replace(own, patterns=tuple(each for each in own.patterns if each.id == "power/own-volts"))
    papers = make_papers(own, Wanted(count=2, seed=3, topics=("power",), plan=plan))
    return {form: writing.files_of(own, papers, form) for form in writing.FORMATS}


def test_own_words_reach_paper_and_key(own_files: dict) -> None:
    assert "alert(2)" in own_files["html"]["paper-A.html"]
    assert "alert(3)" in own_files["html"]["key-A.html"]
    assert "calc" in own_files["csv"]["paper-A.csv"]


def test_nothing_of_ones_own_runs(own_files: dict) -> None:
    for name, text in own_files["html"].items():
        if name.endswith(".html"):
            assert harmless(str(text)) == []
    for name in ("paper-A.md", "key-A.md"):
        assert not re.search(r"(?<!\\)<(script|img|b|/td|/title)", str(own_files["md"][name]))


def test_packages_of_ones_own_parse(own_files: dict) -> None:
    for name, packed in own_files["qti"].items():
        if name.endswith(".zip"):
            assert isinstance(packed, bytes)
            assert list(qti_names.broken_names(packed)) == []
            words = " ".join(text for _, root in xml_of(packed) for text in root.itertext())
            assert "<script>alert(2)</script> ]]>" in words


def test_tables_of_ones_own_hold_no_formula(own_files: dict) -> None:
    for name in ("paper-A.csv", "key-A.csv"):
        rows = list(csv.reader(io.StringIO(str(own_files["csv"][name]), newline="")))
        assert not [cell for row in rows for cell in row if cell[:1] in tuple("=+-@\t\r\n\0")]
    stems = [row[5] for row in csv.reader(io.StringIO(str(own_files["csv"]["paper-A.csv"]), newline=""))][1:]
    assert all(stem.startswith("'=HYPERLINK(1) <script>alert(2)</script> ]]> How many") for stem in stems)
