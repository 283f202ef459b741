"""Rule pages: fresh, one for each rule, read as Markdown the way they were meant."""

from __future__ import annotations

import re
from pathlib import Path

from markdown_it import MarkdownIt

from coaxwright.reading.tables import table_names
from coaxwright.rulebook import fact_pages, pages, table_pages
from coaxwright.rulebook.builtin import BUILT_IN
from coaxwright.rulebook.loading import load_rulebook

ROOT = Path(__file__).resolve().parents[2]
RULE = {
    "id": "power/sag",
    "title": "Camera | sags",
    "level": "error",
    "about": {"from": "camera", "along": "power", "to": "supply"},
    "when": "path.metres > 0.0",
    "require": "path.metres <= limit.far || 1 < 2",
    "says": "{path.metres|m} is {{far}}",
    "why": "Because\n  it is so.",
    "limits": {"far": {"value": "50 m", "source": "IEC 1 | 2"}, "on": {"value": True, "source": "s", "about": "a | b"}},
    "working": ["{path.metres|m} of {limit.far|m}"],
    "fixes": [{"do": "move_feed", "of": "camera", "prefer": "nearest"}, {"do": "x", "says": "use {camera.name}"}],
    "sources": [{"title": "IEC 60228", "clause": "table 1", "for": "resistance"}],
    "caution": "Mind the mains.",
    "since": "0.1",
    "status": "deprecated",
    "replaced_by": "power/slump",
    "aliases": ["power/droop"],
}


def _wanted() -> dict[str, str]:
    return fact_pages.book_pages(load_rulebook())


def test_rule_pages_are_fresh() -> None:
    stale = pages.stale_pages(_wanted(), ROOT / "docs" / "rules")
    assert stale == [], "run: coaxwright rules docs --write docs/rules"


def test_the_index_links_to_every_page() -> None:
    wanted = _wanted()
    links = {
        token.attrGet("href")
        for block in MarkdownIt().enable("table").parse(wanted["index.md"])
        for token in block.children or ()
        if token.type == "link_open"
    }
    assert links == set(wanted) - {"index.md"}
    assert len(links - {"facts.md", "tables.md"}) == len(load_rulebook().rules)


def test_every_table_that_a_page_names_stands_on_the_page_of_tables() -> None:
    page = _wanted()["tables.md"]
    told = (ROOT / "docs" / "how-facts-are-computed.md").read_text(encoding="utf-8")
    named = set(re.findall(r"tables? `([a-z0-9-]+)`", told)) | {"assumptions", "conductors-iec60228", "wire-awg"}
    assert [name for name in sorted(named) if f"\n## {name}\n" not in page] == []
    assert table_pages.WORDS.issubset(table_names())


def test_stale_pages_are_named_written_and_removed(tmp_path: Path) -> None:
    wanted = {"index.md": "a\n", "power/sag.md": "b\n"}
    assert pages.stale_pages(wanted, tmp_path) == ["index.md", "power/sag.md"]
    assert pages.write_pages(wanted, tmp_path) == ["index.md", "power/sag.md"]
    assert pages.stale_pages(wanted, tmp_path) == []
    (tmp_path / "power" / "gone.md").write_text("c\n")
    (tmp_path / "index.md").write_text("changed\n")
    assert pages.stale_pages(wanted, tmp_path) == ["index.md", "power/gone.md"]
    pages.write_pages(wanted, tmp_path)
    assert sorted(path.name for path in tmp_path.rglob("*.md")) == ["index.md", "sag.md"]


def test_a_page_has_every_part_of_its_rule() -> None:
    cases = [{"name": "long run", "outcome": "fails"}, {"name": "short run", "outcome": "passes"}]
    html = MarkdownIt().enable("table").render(pages.rule_page(RULE, cases))
    for text in (
        "<h1>power/sag</h1>",
        "Camera | sags",
        "every path along power from camera to supply",
        "0.1 (deprecated)",
        "<code>power/slump</code>",
        "<code>power/droop</code>",
        "Because it is so.",
        "path.metres &lt;= limit.far || 1 &lt; 2",
        "<code>{path.metres|m}</code> is {far}",
        "<td>IEC 1 | 2</td>",
        "<td>true</td>",
        "move feed of <code>camera</code> (nearest first)",
        "use <code>{camera.name}</code>",
        "Mind the mains.",
        "Fails: long run.",
        "Passes: short run.",
        "IEC 60228, table 1: resistance",
    ):
        assert text in html, text
    assert html.count("<table>") == 2


def test_findings_of_the_programs_own_have_pages() -> None:
    book = load_rulebook()
    for name, about in BUILT_IN.items():
        assert about.why in book.page(name)
