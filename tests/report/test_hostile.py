"""Forty hostile strings in every text field of a site, of its parts and of its report, in a real browser.

The page must then hold the same elements as with harmless words, show the words, ask for nothing, say nothing and open
no dialog. Kinds of attack: OWASP ASVS 5.0 chapter V1 (encoding), WHATWG HTML tokenization states.
"""

from __future__ import annotations

import dataclasses
import json
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from coaxwright.checking import check_many
from coaxwright.errors import Problem
from coaxwright.findings import Assumed, Finding, Fix, Report, RuleInfo, SiteReport, Source, Waived, Worsened
from coaxwright.reporting.formats import Setting
from coaxwright.reporting.markdown import render as markdown
from coaxwright.reporting.page.document import document
from coaxwright.show.painter import visible

FULL = os.environ.get("COAXWRIGHT_FULL") == "1"
HARMLESS = "harmless"
HOSTILE = [
    "<script>alert(1)</script>", "<img src=x onerror=alert(1)>", "<svg onload=alert(1)>", "\"><script>alert(1)</script>",
    "'><img src=x onerror=alert(1)>", "</title><script>alert(1)</script>", "</style><script>alert(1)</script>",
    "</textarea><script>alert(1)</script>", "</svg><script>alert(1)</script>", "--><script>alert(1)</script>",
    "]]><script>alert(1)</script>", "<!--", "<![CDATA[", "<?xml version='1.0'?>", "<!doctype html>", "javascript:alert(1)",
    "\" onfocus=alert(1) autofocus=\"", "' onmouseover='alert(1)", "` onload=alert(1)", "<iframe srcdoc='<b>x</b>'></iframe>",
    "<object data=//example.invalid>", "<embed src=//example.invalid>", "<link rel=stylesheet href=//example.invalid/a.css>",
    "<meta http-equiv=refresh content='0;url=//example.invalid'>", "<base href=//example.invalid/>",
    "<form action=//example.invalid><input type=submit>", "<math><mtext><script>alert(1)</script>",
    "<details open ontoggle=alert(1)>", "<a href=//example.invalid ping=//example.invalid>x</a>",
    "<style>@import '//example.invalid/a.css';</style>", "<div style=background:url(//example.invalid)>",
    "&lt;script&gt;alert(1)&lt;/script&gt;", "&#60;script&#62;alert(1)&#60;/script&#62;", "&NewLine;&Tab;&quot;",
    "{{7*7}}${7*7}<%=7*7%>",
    "\\u003cscript\\u003ealert(1)\\u003c/script\\u003e", "＜script＞alert(1)＜/script＞",
    "<template><script>alert(1)</script></template>",
    "<select><option><script>alert(1)</script>", "<plaintext>",
]  # fmt: skip

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
junctions:
  tap: {{label: {x}, power: {{from: psu/1, over: [{{cable: dc-0.5mm2, length: 90 m}}]}}}}
boxes:
  box: {{part: own/box, label: {x}}}
cameras:
  near:
    label: {x}
    part: own/cam
    video: {{into: rec/1, over: [{{cable: rg59-copper, length: 60 m}}, {{box: box}}, {{cable: rg59-copper, length: 300 m}}]}}
    power: {{from: tap, over: [{{cable: dc-0.5mm2, length: 40 m}}]}}
    place: {{setting: outdoor, building: hall}}
    wants: {{rate: 25 fps, see: identify, at: 9 m}}
  far:
    label: {x}
    part: own/cam
    video: {{into: rec/2, over: [{{cable: rg59-copper}}]}}
    power: {{from: psu/2, over: [{{cable: dc-0.5mm2, length: 30 m}}]}}
waivers:
  - {{rule: cable/loss-beyond-limit, on: cameras/near, reason: {x}, by: {x}}}
rules:
  channels/none-spare: {{level: note, reason: {x}}}
"""
PARTS = """\
parts:
  own/rec:
    kind: recorder
    title: {x}
    source: {x}
    inputs: [{{channels: 1-2, accepts: [{{family: tvi, mode: 1920x1080@25}}]}}]
    encodes: [{{up_to: 1920x1080, rate: 12 fps}}]
    encodes_total: 30 Mpx/s
    codecs: [h265]
    bays: 2
    disk_max: 8 TB
    record_bitrate: 64 Mb/s
  own/disk: {{kind: disk, title: {x}, source: {x}, capacity: 1 TB, continuous: true, workload: 180 TB/year}}
  own/box: {{kind: box, title: {x}, source: {x}, does: joint}}
  own/cam:
    kind: camera
    title: {x}
    source: {x}
    emits: [{{family: tvi, mode: 1920x1080@25}}]
    starts_as: {{family: tvi, mode: 1920x1080@25}}
    heeds_asks: false
    power:
      {{kind: dc, volts: 12 V, volts_min: 10.8 V, volts_max: 13.2 V, watts_day: 3 W, watts_night: 7 W, plug: {x}}}
    optics: {{focal_min: 2.8 mm, focal_max: 2.8 mm, sensor_width: 5.4 mm}}
"""

# Words cut to a width of the drawing get a `title` that holds them whole, so that its number depends on their length.
COUNT = "() => [...document.querySelectorAll('*')].map(e => e.tagName).filter(e => e !== 'title').sort().join(' ')"


def _file_report(folder: Path, words: str) -> Report:
    """A site whose every free text field says `words`, read from its files as a user's would be."""
    folder.mkdir(parents=True, exist_ok=True)
    told = json.dumps(words)
    (folder / "parts.yaml").write_text(PARTS.format(x=told), encoding="utf-8")
    path = folder / "a.site.yaml"
    path.write_text(SITE.format(x=told), encoding="utf-8")
    return check_many([path])


def _poisoned(report: Report, words: str) -> Report:
    """The same report with `words` in every text field of every record of findings, rules, assumptions and problems."""
    sites = tuple(
        dataclasses.replace(
            site, site=words, file=words, findings=tuple(_finding(each, words) for each in site.findings),
            assumed=tuple(Assumed(words, words, words, each.count) for each in site.assumed), contradictions=(words,),
            not_used=(words,),
        )
        for site in report.sites
    )  # fmt: skip
    source = Source(words, words, words, words)
    rules = tuple(RuleInfo(words, words, words, each.level, words, (source,), words, 1) for each in report.rules)
    return Report(words, words, rules, sites, (Problem(words, words, words),), today=words)


def _finding(finding: Finding, words: str) -> Finding:
    """All its texts but those that the program makes of ids (subject, pointer)."""
    source = Source(words, words, words, words)
    worse = tuple(Worsened(words, words, words, -0.1, -0.2, how) for how in ("fails", "open", "less-room", "needless"))
    proven = Fix(
        words, cost=1.0, currency=words, clears=(words,), harms=worse, stays_open=(words,), cleared_because=(words,),
        gives_up=(words,), loses=(words,), proven=True,
    )  # fmt: skip
    fixes = (proven, Fix(words))
    return dataclasses.replace(
        finding, rule=words, title=words, file=words, message=words, why=words, working=(words, words), missing=(words,),
        sources=(source,), caution=words, fixes=fixes,
        waived=Waived(words, words, words) if finding.waived else None,
    )  # fmt: skip


def _both(folder: Path, words: str) -> tuple[str, str]:
    made = _file_report(folder / str(abs(hash(words))), words)
    assert made.sites, made.unread
    return document(made), document(_poisoned(made, words))


def test_there_are_forty_and_they_differ() -> None:
    assert len(set(HOSTILE)) == len(HOSTILE) == 40


def test_every_record_is_poisoned() -> None:
    """No text field of the records of a report is left out above: a new one has to be added there."""
    texts = {
        cls.__name__: {each.name for each in dataclasses.fields(cls) if "str" in str(each.type)}
        for cls in (Finding, Fix, Worsened, Source, Waived, Assumed, RuleInfo, SiteReport, Report)
    }
    assert texts["Fix"] == {
        "title", "patch", "currency", "clears", "stays_open", "cleared_because", "gives_up", "loses",
    }  # fmt: skip
    assert texts["Worsened"] == {"rule", "subject", "level", "missing"}
    assert texts["Finding"] == {
        "rule", "title", "subject", "pointer", "file", "message", "why", "working", "values", "missing", "caution",
        "cause", "consequence",
    }  # fmt: skip
    assert texts["Waived"] == {"reason", "until", "by"}
    assert texts["Assumed"] == {"what", "value", "source"}
    assert texts["Source"] == {"title", "clause", "edition", "basis"}
    assert texts["RuleInfo"] == {"id", "topic", "title", "why", "caution"}
    assert texts["SiteReport"] == {"site", "file", "text", "facts", "contradictions", "not_used"}
    assert texts["Report"] == {"version", "rulebook", "today"}


def test_hostile_words_stay_words(tmp_path: Path, watched: Callable[..., Any]) -> None:
    watch = watched()
    path = tmp_path / "page.html"

    def elements(page: str) -> tuple[str, str]:
        path.write_text(page, encoding="utf-8")
        opened = watch.open(path)
        return opened.evaluate(COUNT), opened.evaluate("document.documentElement.textContent")

    expected = [elements(page)[0] for page in _both(tmp_path / "sites", HARMLESS)]
    assert expected[0] != expected[1]
    for place, words in enumerate(HOSTILE):
        pages = _both(tmp_path / "sites", words)
        # The report poisoned record by record differs in its fields, not in its making: every fourth string is enough.
        for page, wanted in list(zip(pages, expected, strict=True))[: 2 if FULL or place % 4 == 0 else 1]:
            found, text = elements(page)
            assert found == wanted, words
            assert visible(words) in text, words
    assert watch.heard == []


UNSEEN = ["\u202egnp.exe", "a\u0000b", "line\nbreak\rx", "\x1b[31mred", "\u2066x\u2069", "soft\xadhyphen"]


@pytest.mark.parametrize("words", UNSEEN)
def test_characters_that_are_not_seen_are_shown(words: str, every_report: Report) -> None:
    page = document(_poisoned(every_report, words))
    assert visible(words) in page
    assert not [each for each in page if each in "\u202e\u0000\r\x1b\u2066\u2069\xad"]


@pytest.fixture
def every_report(tmp_path: Path) -> Report:
    return _file_report(tmp_path, HARMLESS)


def test_markdown_stays_markdown(every_report: Report) -> None:
    """The form for tickets is the one of `check`, tested there; here: no raw element gets through.

    Ids of rules stay: they are letters, digits, `-` and `/` only, and stand in a command to be copied.
    """
    for words in HOSTILE:
        poisoned = _poisoned(every_report, words)
        found = zip(poisoned.sites[0].findings, every_report.sites[0].findings, strict=True)
        kept = tuple(dataclasses.replace(each, rule=own.rule) for each, own in found)
        told = markdown(dataclasses.replace(poisoned, sites=(dataclasses.replace(poisoned.sites[0], findings=kept),)), Setting())
        for element in ("<script", "<img", "<svg", "<iframe", "<form", "<style", "<!--"):
            assert told.count(element) == told.count(f"\\{element}")
