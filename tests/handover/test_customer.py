"""The report for a customer: what may stand in it and what may not, its counts against those of `check --format json`, its
sums against its own lines, its pages as a browser prints them. What a customer should find there: common practice.
"""

from __future__ import annotations

import json
import re
import shutil
import subprocess
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from lxml import html

from coaxwright import load_site
from coaxwright.cli.main import run

ROOT = Path(__file__).resolve().parents[2]
EXAMPLES = sorted((ROOT / "examples").glob("*/*.site.yaml"))
RULE = re.compile(r"\b(cable|power|picture|storage|view|sound|place|network|signal|channels|display|practice|control)/[a-z-]+")
NEVER = ("undervoltage", "reduced width", "overvoltage", "loop", "safe", "protected", ".yaml", "careless")


@pytest.fixture(scope="module")
def reports(tmp_path_factory: pytest.TempPathFactory) -> Callable[[Path], Path]:
    made: dict[Path, Path] = {}

    def report(site: Path) -> Path:
        if site not in made:
            path = tmp_path_factory.mktemp("reports") / "r.html"
            assert run(["report", str(site), "--for", "customer", "--output", str(path), "--today", "2026-12-01"]) == 0
            made[site] = path
        return made[site]

    return report


def _words(path: Path) -> str:
    body = html.document_fromstring(path.read_bytes()).find("body")
    return " ".join(" ".join(body.itertext()).split())


@pytest.mark.parametrize("site", EXAMPLES, ids=lambda site: site.stem)
def test_plain_words_only(site: Path, reports: Callable[[Path], Path]) -> None:
    """No rule, no file, no part id; names and labels are the customer's own words and are taken out first."""
    words, loaded = _words(reports(site)), load_site(site)
    for name, each in loaded.site.cameras.items():
        words = words.replace(each.label or name.replace("-", " "), "")
    assert not RULE.search(words)
    for part in {each.part for each in loaded.site.cameras.values()} | {each.part for each in loaded.site.recorders.values()}:
        assert part not in words
    for word in NEVER:
        assert word not in words.lower(), word
    for wanted in ("What works, and what does not", "What it costs", "Take care", "under local wiring rules", "agreed, name"):
        assert wanted in words


@pytest.mark.parametrize("site", EXAMPLES, ids=lambda site: site.stem)
def test_counts_are_those_of_the_check(
    site: Path, reports: Callable[[Path], Path], capfd: pytest.CaptureFixture[str]
) -> None:
    capfd.readouterr()
    run(["check", str(site), "--format", "json", "--today", "2026-12-01"])
    findings = json.loads(capfd.readouterr().out)["sites"][0]["findings"]
    bad, unknown = (_cameras(findings, kind) for kind in ("fail", "open"))
    unknown -= bad
    whole = len(load_site(site).site.cameras)
    words = _words(reports(site))
    for number, told in ((len(bad), "falls? short"), (len(unknown), "not known"), (whole - len(bad) - len(unknown), "works?")):
        assert re.search(rf"\b{number} cameras? {told}\b", words), (number, told)
    assert ("Not ready to order" in words) == any(
        each["kind"] == "fail" and each["level"] == "error" and not each["waived"] for each in findings
    )


def _cameras(findings: list[dict[str, Any]], kind: str) -> set[str]:
    found = set()
    for each in findings:
        if each["kind"] == kind and each["level"] == "error" and not each["waived"]:
            paths = [each["pointer"].strip("/"), *(place["subject"] for place in each["related"])]
            found |= {"/".join(path.split("/")[:2]) for path in paths[:1] if path.startswith("cameras/")}
            found |= {path for path in paths[1:] if path.startswith("cameras/") and path.count("/") == 1}
    return found


def test_the_sums_add_up(priced_yard: Path, tmp_path: Path) -> None:
    assert run(["report", str(priced_yard), "--for", "customer", "--output", str(tmp_path / "r.html")]) == 0
    page = html.document_fromstring((tmp_path / "r.html").read_bytes())
    (table,) = [each for each in page.xpath("//table") if "All together" in each.text_content()]
    rows = {row[0].text_content(): Decimal(row[1].text_content()) for row in table.xpath(".//tbody/tr")}
    assert sum(rows.values()) - rows["All together"] == rows["All together"]
    words = _words(tmp_path / "r.html")
    assert "prices valid until 2027-01-31" in words
    assert "Two-core cable 1 mm2" in words


def test_changes_that_were_tried_have_their_price(priced_yard: Path, tmp_path: Path) -> None:
    """85 m of a cable for 1.00, less 10 %, in place of one for 0.50, less 10 %: 38.25 more. Nothing but words of a customer."""
    text = priced_yard.read_text(encoding="utf-8")
    assert "dc-1.5mm2, length: 85 m" in text
    priced_yard.write_text(text.replace("dc-1.5mm2, length: 85 m", "dc-0.5mm2, length: 85 m"), encoding="utf-8")
    prices = priced_yard.with_name("prices.yaml")
    more = "dc-1.5mm2: 1.00\n  dc-0.5mm2: 0.50\n  dc-0.75mm2: 1.00\n  dc-1mm2: 1.00\n  dc-2.5mm2: 9\n  dc-4mm2: 9"
    prices.write_text(prices.read_text(encoding="utf-8").replace("dc-1.5mm2: 0.9", more), encoding="utf-8")
    call = ["report", str(priced_yard), "--for", "customer", "--today", "2026-12-01", "--output"]
    assert run([*call, str(tmp_path / "plain.html")]) == 0
    assert "What we would change" not in _words(tmp_path / "plain.html")
    assert run([*call, str(tmp_path / "r.html"), "--fixes"]) == 0
    page = html.document_fromstring((tmp_path / "r.html").read_bytes())
    (table,) = [each for each in page.xpath("//table") if "what it brings" in each.text_content()]
    rows = [[cell.text_content() for cell in row] for row in table.xpath(".//tbody/tr")]
    (row,) = rows
    assert row[0] == "Slipway and crane"
    assert row[2:] == ["mends 1 point", "38.25 EUR"]
    assert not RULE.search(_words(tmp_path / "r.html"))
    assert "mm2" not in table.text_content()


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("site", EXAMPLES, ids=lambda site: site.stem)
def test_two_to_four_pages(site: Path, paper: str, reports: Callable[[Path], Path], browser: Any, tmp_path: Path) -> None:
    """Up to 16 cameras two to four pages, each with its number and foot; more cameras take more rows."""
    if shutil.which("pdftotext") is None:
        pytest.skip("no pdftotext here: apt-get install poppler-utils")
    page = browser.new_page()
    page.goto(reports(site).as_uri())
    page.pdf(path=str(tmp_path / "p.pdf"), format=paper)
    call = ["pdftotext", "-layout", str(tmp_path / "p.pdf"), "-"]
    text = subprocess.run(call, capture_output=True, text=True, check=True).stdout
    sheets = text.split("\f")[:-1]
    assert 2 <= len(sheets) <= (4 if len(load_site(site).site.cameras) <= 16 else 6)
    for number, sheet in enumerate(sheets, 1):
        assert f"page {number} of {len(sheets)}" in " ".join(sheet.split())
        assert "for the customer" in sheet
        assert len(sheet.split()) > 25
    assert "What works" in sheets[0]


@pytest.mark.parametrize("width", [320, 1280])
def test_on_a_screen(width: int, reports: Callable[[Path], Path], watched: Callable[..., Any]) -> None:
    watch = watched(viewport={"width": width, "height": 700})
    page = watch.open(reports(EXAMPLES[1]))
    assert watch.heard == []
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")


def test_strange_words_do_no_harm(priced_yard: Path, tmp_path: Path) -> None:
    text = priced_yard.read_text(encoding="utf-8").replace("label: Fuel berth", "label: '<img src=x> & </svg>'")
    priced_yard.write_text(text, encoding="utf-8")
    for form in ("html", "md"):
        output = str(tmp_path / f"r.{form}")
        assert run(["report", str(priced_yard), "--for", "customer", "--format", form, "--output", output]) == 0
    assert "<img" not in (tmp_path / "r.html").read_text(encoding="utf-8")


def test_one_site_only(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    assert run(["report", str(EXAMPLES[0]), str(EXAMPLES[1]), "--for", "customer"]) == 2
    assert "is of one site" in capfd.readouterr().err


LONG = "Slipway, crane, and the wooden gangway to the boats"


def _relabelled(site: Path) -> None:
    """The first camera gets a long name with commas in it, and more days are wanted than the disks hold."""
    text = re.sub(r"label: .*", f'label: "{LONG}"', site.read_text(encoding="utf-8"), count=1)
    site.write_text(re.sub(r"retention: \d+ days", "retention: 400 days", text, count=1), encoding="utf-8")


def test_long_names_are_whole_and_apart(priced_yard: Path, tmp_path: Path) -> None:
    """Every letter of a name stands in the picture; names with commas are divided by semicolons."""
    _relabelled(priced_yard)
    assert run(["report", str(priced_yard), "--for", "customer", "--output", str(tmp_path / "r.html")]) == 0
    page = html.document_fromstring((tmp_path / "r.html").read_bytes())
    drawn = " ".join(each.text for each in page.xpath("//*[@class='tiles']//*[local-name()='text']"))
    assert LONG in drawn
    assert "…" not in drawn
    lists = [cell for cell in page.xpath("//table[contains(@class,'stacked')]//tbody//th/text()") if LONG in cell]
    assert lists
    assert all(cell == LONG or f"{LONG}; " in cell or f"; {LONG}" in cell for cell in lists)


def test_a_box_stays_with_its_word(priced_yard: Path, browser: Any, tmp_path: Path) -> None:
    """However narrow the column gets, no box to tick is parted from the word beside it."""
    _relabelled(priced_yard)
    assert run(["report", str(priced_yard), "--for", "customer", "--output", str(tmp_path / "r.html")]) == 0
    page = browser.new_context(bypass_csp=True).new_page()
    page.goto((tmp_path / "r.html").as_uri())
    parted = page.evaluate(
        """() => { const cell = [...document.querySelectorAll('td.box')].find(each => each.textContent.includes('□'));
        const text = cell.firstChild, found = [];
        const top = at => { const range = document.createRange(); range.setStart(text, at); range.setEnd(text, at + 1);
          return range.getBoundingClientRect().top; };
        for (let wide = 30; wide < 160; wide += 3) {
          cell.style.cssText = `display:block;min-width:0;width:${wide}px`;
          for (let at = text.data.indexOf('□'); at >= 0; at = text.data.indexOf('□', at + 1))
            if (Math.abs(top(at) - top(at + 2)) > 4) found.push(wide);
        }
        return found; }"""
    )
    assert parted == []
