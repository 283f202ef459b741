"""Hostile names through every form of a report: what was written reads back equal, and nothing becomes a formula or markup.

Readers are others' (csv of the standard library, openpyxl, lxml, markdown-it, the published SARIF schema). Kinds of attack:
OWASP ASVS 5.0, V1 (encoding; formulas 1.2.10); Unicode TR 36, bidirectional spoofing. Forms of the quiz are tested there,
pages in a browser in test_hostile.
"""

from __future__ import annotations

import csv
import dataclasses
import io
import json
import re
import zipfile
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from urllib.parse import unquote

import openpyxl
import pytest
from jsonschema.validators import validator_for
from lxml import etree, html
from markdown_it import MarkdownIt
from tests.conftest import FULL

from coaxwright.checking import check_many
from coaxwright.cli.main import run
from coaxwright.findings import Report
from coaxwright.reading.site_reader import read_site
from coaxwright.reporting.formats import Setting, render
from coaxwright.reporting.page.document import document
from coaxwright.show.painter import visible

SARIF_SCHEMA = Path(__file__).resolve().parents[3] / "shared" / "standards" / "sarif-schema-2.1.0.json"
NAMES = [
    "=1+1", "+1+1", "-1+1", "@SUM(A1:A9)", "=HYPERLINK(\"//example.invalid\")", "=cmd|' /C calc'!A0", "'=1",
    "'+x", "-", "+5", "-5", "＝1+1", " =1", "=1;=2", "a,b", "a;b", "a\"b\"\"c", "'single'",
    "</script><script>alert(1)</script>", "]]><x>", "<![CDATA[x]]>", "--><b>x</b><!--", "\" onload=\"alert(1)",
    "' onload='alert(1)", "<a href=javascript:alert(1)>", "&lt;b&gt; &amp; &#60;", "a|b|c", "`code`",
    "``` fence", "| --- | --- |", "**bold** _em_ ~~gone~~", "[x](//example.invalid)", "![x](//example.invalid)",
    "# head", "1. item", "{0} {x} {{y}}", "[1](2)", "%s %(x)s ${x}", "C:\\x\\y", "\\", "船着場 🚤", "e\u0301 é",
    "long " * 80 + "end",
]  # fmt: skip
LINES = ["line\nbreak", "=1\n=2", "a\n\n| --- |\n- b", "```\ncode\n```"]
UNSEEN = ["\u202egnp.exe", "\u2066x\u2069", "a\u200bb", "soft\xadhyphen", "\x1b[31mred", "cr\r\n=1", "\t=1", "a\0b"]
"""What a site file may not hold; a rule's working or a file's name may."""


def some(words: list[str], first: int) -> list[str]:
    """Every third, from another one on in each test: all of them are tried, not each in every form. The long form: all."""
    return words if FULL else words[first::3]


def _short(words: str) -> str:
    return ascii(words[:20])


SITE = """\
site: {x}
video_rate: 25
retention: 30 days
notes: {x}
parts: [parts.yaml]
recorders:
  rec: {{part: own/rec, label: {x}, disks: [own/disk], place: {{building: hall, setting: indoor}}}}
supplies:
  psu: {{part: generic/dc12-10a-9way, label: {x}, trim: 12 V, place: {{building: hall, setting: indoor}}}}
cameras:
  near:
    label: {x}
    part: own/cam
    video: {{into: rec/1, over: [{{cable: rg59-copper, length: 900 m}}]}}
    power: {{from: psu/1, over: [{{cable: dc-0.5mm2, length: 200 m}}]}}
    place: {{setting: outdoor, building: hall}}
  far:
    label: {x}
    part: own/cam
    video: {{into: rec/2, over: [{{cable: rg59-copper}}]}}
waivers:
  - {{rule: cable/loss-beyond-limit, on: cameras/near, reason: {x}, by: {x}}}
"""
PARTS = """\
parts:
  own/rec:
    kind: recorder
    title: {x}
    source: {x}
    inputs: [{{channels: 1-2, accepts: [{{family: tvi, mode: 1920x1080@25}}]}}]
    encodes: [{{up_to: 1920x1080, rate: 12 fps}}]
    codecs: [h265]
    bays: 2
    disk_max: 8 TB
  own/disk: {{kind: disk, title: {x}, source: {x}, capacity: 1 TB}}
  own/cam:
    kind: camera
    title: {x}
    source: {x}
    emits: [{{family: tvi, mode: 1920x1080@25}}]
    starts_as: {{family: tvi, mode: 1920x1080@25}}
    power: {{kind: dc, volts: 12 V, volts_min: 10.8 V, volts_max: 13.2 V, watts_day: 3 W, watts_night: 7 W}}
"""


def _site(folder: Path, words: str) -> Path:
    """A site whose every free text field says `words`."""
    folder.mkdir(parents=True, exist_ok=True)
    told = json.dumps(words, ensure_ascii=False)
    (folder / "parts.yaml").write_text(PARTS.format(x=told), encoding="utf-8")
    path = folder / "a.site.yaml"
    path.write_text(SITE.format(x=told), encoding="utf-8")
    return path


def _report(folder: Path, words: str) -> Report:
    made = check_many([_site(folder, words)])
    assert made.sites, made.unread
    return made


def _file(words: str) -> str:
    return words.replace("/", "_")


def _poisoned(report: Report, words: str) -> Report:
    """The report with `words` in messages, workings, reasons and file names, as a stranger's rule could put them there."""
    sites = [
        dataclasses.replace(site, site=words, file=_file(words), findings=tuple(
            dataclasses.replace(
                each, message=words, why=words, working=(words,), file=_file(words), missing=(words,) if each.missing else (),
                waived=dataclasses.replace(each.waived, reason=words) if each.waived else None,
            )
            for each in site.findings
        ))
        for site in report.sites
    ]  # fmt: skip
    rules = tuple(dataclasses.replace(rule, title=words, why=words) for rule in report.rules)
    return dataclasses.replace(report, sites=tuple(sites), rules=rules)


@pytest.fixture(scope="module")
def harmless(tmp_path_factory: pytest.TempPathFactory) -> Report:
    return _report(tmp_path_factory.mktemp("harmless"), "harmless")


# Schedules: CSV and workbooks


def _exported(folder: Path, words: str, name: str) -> tuple[Path, Any]:
    site = _site(folder, words)
    assert run(["schedule", "export", str(site), "--output", str(folder / name)]) == 0
    return folder / name, read_site(site)


def _formula(text: str) -> bool:
    """What a spreadsheet takes for a formula: OWASP, CSV injection; a plain number is none."""
    return text[:1] in ("=", "+", "-", "@", "\t", "\r", "\n") and not re.fullmatch(r"[-+][0-9.]+", text)


@pytest.mark.parametrize("words", some(NAMES + LINES, 1), ids=_short)
def test_csv(words: str, tmp_path: Path) -> None:
    folder, loaded = _exported(tmp_path, words, "schedules")
    cells = [
        cell
        for path in folder.glob("*.csv")
        for row in csv.reader(io.StringIO(path.read_bytes().decode("utf-8-sig"), newline=""), strict=True)
        for cell in row
    ]
    assert not [cell for cell in cells if _formula(cell)]
    assert _imported(folder, tmp_path) == loaded.document.value


@pytest.mark.parametrize("words", some(NAMES + LINES, 2), ids=_short)
def test_workbook(words: str, tmp_path: Path) -> None:
    path, loaded = _exported(tmp_path, words, "schedules.xlsx")
    rows = [row for sheet in openpyxl.load_workbook(path) for row in sheet.iter_rows()]
    cells = [cell for row in rows for cell in row if cell.value is not None]
    assert {cell.data_type for cell in cells} <= {"s", "n"}
    assert all(cell.hyperlink is None for cell in cells)
    with zipfile.ZipFile(path) as book:
        roots = [etree.fromstring(book.read(name)) for name in book.namelist() if name.endswith((".xml", ".rels"))]
    tags = {etree.QName(each).localname for root in roots for each in root.iter(etree.Element)}
    assert not tags & {"f", "hyperlink", "externalReference", "ddeLink", "oleLink"}
    assert _imported(path, tmp_path) == loaded.document.value


def _imported(exported: Path, folder: Path) -> Any:
    """The schedules as a site again, by the command."""
    back = folder / "back.site.yaml"
    assert run(["schedule", "import", str(exported), "--output", str(back)]) == 0
    return read_site(back).document.value


# Pages and drawings


def _elements(page: str) -> Counter[str]:
    return Counter(str(each.tag) for each in html.document_fromstring(page).iter() if each.tag != "title")


@pytest.mark.parametrize("words", some(NAMES + LINES, 0), ids=_short)
def test_page_and_drawing(words: str, tmp_path: Path, harmless: Report) -> None:
    page = document(_report(tmp_path, words))
    assert _elements(page) == _elements(document(harmless))
    found = html.document_fromstring(page)
    assert visible(words).strip() in found.text_content()
    assert not [name for each in found.iter(etree.Element) for name in each.attrib if name.startswith("on")]
    assert {href[:1] for href in found.xpath("//@href")} <= {"#"}
    assert not found.xpath("//@src")
    drawings = re.findall(r"<svg.*?</svg>", page, re.DOTALL)
    assert drawings
    for drawing in drawings:
        _check_svg(etree.fromstring(drawing.encode()))
    shown = [text for drawing in drawings for text in etree.fromstring(drawing.encode()).itertext()]
    assert [text for text in shown if visible(words) in text]


DRAWN = {
    "svg", "g", "a", "title", "desc", "path", "rect", "line", "circle", "ellipse", "polyline", "polygon", "text", "tspan",
}  # fmt: skip


def _check_svg(root: Any) -> None:
    """SVG 2: only shapes, text, groups, links within the page, titles and descriptions."""
    assert {etree.QName(each).localname for each in root.iter()} <= DRAWN
    for each in root.iter():
        for name, value in each.attrib.items():
            local = etree.QName(name).localname
            assert not local.startswith("on")
            assert local not in {"style", "src"}
            assert local != "href" or re.fullmatch(r"#[\w-]+", value), value


@pytest.mark.parametrize("words", UNSEEN, ids=_short)
def test_page_shows_what_is_not_seen(words: str, harmless: Report) -> None:
    page = document(_poisoned(harmless, words))
    assert not [each for each in page if each != "\n" and each in words and not each.isprintable()]
    assert visible(words) in html.document_fromstring(page).text_content()


# SARIF


def _texts(value: Any) -> Iterator[str]:
    """Every message string: `text` of message, multiformatMessageString."""
    if isinstance(value, dict):
        if isinstance(value.get("text"), str):
            yield value["text"]
        for each in value.values():
            yield from _texts(each)
    elif isinstance(value, list):
        for each in value:
            yield from _texts(each)


LINK = re.compile(r"(?<!\\)\[(?:[^\[\]\\]|\\.)*\]\([^)]*\)")
"""An embedded link: SARIF 2.1.0, 3.11.6 (from memory)."""


def _read(text: str) -> str:
    """A message string as a viewer shows it: SARIF 2.1.0, 3.11.5 (braces doubled), 3.11.6 (from memory)."""
    assert not LINK.search(text), "a link"
    assert not re.search(r"(?<!\{)\{(?:\{\{)*(?!\{)", text), "a placeholder"
    return text.replace("{{", "{").replace("}}", "}").replace("\\](", "](")


@pytest.mark.parametrize("words", some(NAMES + LINES + UNSEEN, 1), ids=_short)
def test_sarif(words: str, harmless: Report) -> None:
    made = _poisoned(harmless, words)
    told = render("sarif", made, Setting())
    assert told.isascii()
    data = json.loads(told)
    (sarif_run,) = data["runs"]
    shown = {_read(text) for text in _texts(data)}
    assert visible(words) in shown
    assert all(text == "\n".join(map(visible, text.split("\n"))) for text in shown)
    found = made.sites[0].findings
    assert len(sarif_run["results"]) == len(found)
    assert {each["properties"]["working"][0] for each in sarif_run["results"]} == {words}
    uris = {each["locations"][0]["physicalLocation"]["artifactLocation"]["uri"] for each in sarif_run["results"]}
    assert {unquote(uri, errors="surrogateescape").removeprefix("./") for uri in uris} == {_file(words)}
    assert all(re.fullmatch(r"(?:[A-Za-z0-9._~/:-]|%[0-9A-F]{2})+", uri) for uri in uris), "RFC 3986, 3.3"
    if SARIF_SCHEMA.is_file():
        schema = json.loads(SARIF_SCHEMA.read_text(encoding="utf-8"))
        assert not list(validator_for(schema)(schema).iter_errors(data))


# Markdown


def _markdown(told: str) -> tuple[Counter[str], list[str]]:
    """Kinds of tokens, and the text of each piece, by another's parser."""
    tokens = MarkdownIt("commonmark", {"html": True}).enable(["table", "strikethrough"]).parse(told)
    inner = [child for token in tokens for child in token.children or ()]
    texts = ["".join(child.content for child in token.children or ()) for token in tokens if token.type == "inline"]
    return Counter(token.type for token in [*tokens, *inner] if token.type not in ("text", "text_special")), texts


@pytest.mark.parametrize("words", some(NAMES + LINES + UNSEEN, 2), ids=_short)
def test_markdown(words: str, harmless: Report) -> None:
    kinds, texts = _markdown(render("md", _poisoned(harmless, words), Setting()))
    assert kinds == _markdown(render("md", _poisoned(harmless, "harmless"), Setting()))[0]
    shown = visible(" ".join(words.split("\n")).strip())
    assert [text for text in texts if text == shown]


FORMATTED = {"html_inline", "html_block", "link_open", "image", "code_inline", "fence", "em_open", "strong_open", "s_open"}


@pytest.mark.parametrize("words", some(NAMES + LINES, 0), ids=_short)
@pytest.mark.parametrize("form", ["md", "csv"])
def test_pair(words: str, form: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    _site(tmp_path, words)
    assert run(["pair", "own/cam", "own/rec", "--parts", str(tmp_path / "parts.yaml"), "--format", form]) == 0
    told = capsys.readouterr().out
    shown = f"own/cam: {visible(words if form == 'csv' else ' '.join(words.split(chr(10))))}"
    if form == "csv":
        rows = list(csv.reader(io.StringIO(told), strict=True))
        assert {len(row) for row in rows} == {2}
        assert not [cell for row in rows for cell in row if _formula(cell)]
        assert [row for row in rows if row[0] == "Sources" and shown in row[1]]
        return
    kinds, texts = _markdown(told.replace("<br>", " - "))
    assert kinds["table_open"] == 1
    assert not set(kinds) & FORMATTED
    assert [text for text in texts if shown.strip() in text]
