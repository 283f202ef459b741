"""The page in a real browser: what it asks for, what axe says, narrow screens, keyboard, colours, print."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from coaxwright.findings import Report
from coaxwright.reporting.ordering import device_of
from coaxwright.reporting.page.document import document

ROOT = Path(__file__).resolve().parents[2]
EXAMPLES = sorted(path.name.removesuffix(".site.yaml") for path in (ROOT / "examples").rglob("*.site.yaml"))
FULL = os.environ.get("COAXWRIGHT_FULL") == "1"
SIZES = (1, 4, 16, 64, 128) if FULL else (4, 128)
Pages = Callable[[str | int], Path]
Watch = Callable[..., Any]
A4, LETTER = (595.3, 841.9), (612.0, 792.0)
EM_BOX = 1.164
"""Height of a line of DejaVu Sans over its size: (ascent 1901 + descent 483) / 2048, its own metrics."""


@pytest.mark.parametrize(
    "which", [*EXAMPLES[1:], *SIZES, pytest.param(EXAMPLES[0], marks=pytest.mark.by_default)]
)
def test_no_request_no_message_no_dialog(which: str | int, pages: Pages, watched: Watch) -> None:
    watch = watched()
    page = watch.open(pages(which))
    assert page.locator("h1").count() == 1
    assert page.locator(".plan text").count() > 0
    assert watch.heard == []


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("which", [*EXAMPLES, 128] if FULL else ["alder-wharf"])
def test_axe_is_clean(which: str | int, scheme: str, pages: Pages, watched: Watch, axe: str) -> None:
    """WCAG 2.2 A and AA as far as axe-core judges it, colour contrast (1.4.3) included, everything unfolded."""
    page = watched(bypass_csp=True, color_scheme=scheme).open(pages(which))
    page.evaluate("document.querySelectorAll('details').forEach(each => each.open = true)")
    page.add_script_tag(content=axe)
    tags = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
    found = page.evaluate("tags => axe.run({runOnly: tags})", tags)
    told = [f"{each['id']}, {len(each['nodes'])} times: {each['nodes'][0]['html'][:160]}" for each in found["violations"]]
    assert told == []
    assert any(each["id"] == "color-contrast" and each["nodes"] for each in found["passes"])


# WCAG 2.2: relative luminance, and contrast ratio (L1 + 0.05) / (L2 + 0.05); 1.4.11 wants 3:1 of graphics.
CONTRAST = """
() => {
  const lum = colour => {
    const [r, g, b] = colour.match(/[\\d.]+/g).slice(0, 3).map(v => v / 255)
      .map(v => v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const ratio = (a, b) => { const [x, y] = [lum(a), lum(b)].sort((p, q) => q - p); return (x + 0.05) / (y + 0.05); };
  const paper = getComputedStyle(document.body).backgroundColor;
  const sheets = [paper, ...[...document.querySelectorAll('.plan .band')].slice(0, 1).map(e => getComputedStyle(e).fill)];
  const low = [];
  const marks = '.plan .wire, .plan .edge, .plan .ring, .plan .bar, .plan .level-edge, .gauge .fill, .bar .notch, '
    + '.mark-edge, .chart .curve, .chart path.limit, .chart .foot, .chart .column.now';
  document.querySelectorAll(marks).forEach(e => {
    const style = getComputedStyle(e);
    const colour = style.stroke !== 'none' ? style.stroke : style.fill;
    for (const sheet of sheets) if (ratio(colour, sheet) < 3) low.push([e.getAttribute('class'), colour, sheet]);
  });
  document.querySelectorAll('.plan text, .chart text').forEach(e => {
    for (const sheet of sheets) {
      const fill = getComputedStyle(e).fill;
      if (ratio(fill, sheet) < 4.5) low.push([e.textContent, fill, sheet]);
    }
  });
  return low;
}
"""


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("which", ["gannet-bay", "quill-orchard"])
def test_contrast_of_drawings_is_computed(which: str, scheme: str, pages: Pages, watched: Watch) -> None:
    """WCAG 2.2, 1.4.3 (4.5:1 of text) and 1.4.11 (3:1 of graphics), which axe does not judge within SVG."""
    page = watched(color_scheme=scheme).open(pages(which))
    assert page.evaluate(CONTRAST) == []


@pytest.mark.usefixtures("measured")
@pytest.mark.parametrize("width", [320, 640])
@pytest.mark.parametrize("which", [*EXAMPLES, 128] if FULL else ["gannet-bay", "kestrel-reach"])
def test_reflow(which: str | int, width: int, pages: Pages, watched: Watch) -> None:
    """WCAG 2.2, 1.4.10: at 320 CSS px nothing scrolls sideways but drawings and data tables, within themselves."""
    page = watched(viewport={"width": width, "height": 640}).open(pages(which))
    page.evaluate("document.querySelectorAll('details').forEach(each => each.open = true)")
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    outside = page.evaluate(
        """() => [...document.querySelectorAll('body *')].filter(e => !e.closest('.scroll, svg, .skip, .ears, thead'))
        .filter(e => e.getBoundingClientRect().right > innerWidth + 0.5).map(e => e.outerHTML.slice(0, 120))"""
    )
    assert outside == []


FOCUSED = """
() => {
  const e = document.activeElement;
  if (!e || e === document.body) return null;
  const style = getComputedStyle(e), edge = e.querySelector('.edge, .wire');
  const box = e.getBoundingClientRect();
  const seen = style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) >= 2
    || edge && parseFloat(getComputedStyle(edge).strokeWidth) >= 3;
  return {tag: e.tagName.toLowerCase(), href: e.getAttribute('href') || '', seen: Boolean(seen),
          within: box.bottom > 0 && box.top < innerHeight, name: e.textContent.slice(0, 40)};
}
"""


@pytest.mark.parametrize("which", ["alder-wharf", "quill-orchard"])
def test_keyboard_walk(which: str, pages: Pages, watched: Watch) -> None:
    """WCAG 2.2, 2.1.1, 2.4.3, 2.4.7 and 2.4.11: every link and fold is reached in the order of the page, seen, unhidden."""
    page = watched().open(pages(which))
    wanted = page.evaluate(
        """() => [...document.querySelectorAll('a[href], summary, [tabindex="0"]')]
        .filter(e => !e.closest('details:not([open])') || e.tagName === 'SUMMARY')
        .map(e => e.getAttribute('href') || e.tagName.toLowerCase())"""
    )
    reached = []
    for _ in wanted:
        page.keyboard.press("Tab")
        focused = page.evaluate(FOCUSED)
        assert focused is not None
        assert focused["seen"], focused
        assert focused["within"], focused
        reached.append(focused["href"] or focused["tag"])
    assert reached == wanted


def test_skip_link_and_folds_by_keyboard(pages: Pages, watched: Watch) -> None:
    page = watched().open(pages("gannet-bay"))
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "Skip to the findings"
    page.keyboard.press("Enter")
    assert page.evaluate("location.hash") == "#s1_findings"
    summary = page.locator("#s1_findings ~ article summary").first
    summary.focus()
    page.keyboard.press("Enter")
    assert summary.locator("..").get_attribute("open") is not None


def test_a_node_of_the_drawing_leads_to_its_finding(pages: Pages, watched: Watch) -> None:
    page = watched().open(pages("gannet-bay"))
    node = page.locator("svg.plan a", has=page.locator("title", has_text=re.compile("^ice-6,")))
    assert node.count() == 1
    node.focus()
    page.keyboard.press("Enter")
    target = page.evaluate("document.querySelector(':target').textContent")
    assert "ice-6" in target
    assert "-24" in target


def test_targets_are_large_enough(pages: Pages, watched: Watch) -> None:
    """WCAG 2.2, 2.5.8: 24 CSS px of height for links that do not stand in a sentence or a drawing."""
    page = watched().open(pages("gannet-bay"))
    small = page.evaluate(
        """() => [...document.querySelectorAll('nav a, summary')].filter(e => e.getClientRects().length)
        .map(e => e.getBoundingClientRect().height).filter(height => height < 24)"""
    )
    assert small == []


def test_without_script_all_is_there(pages: Pages, watched: Watch) -> None:
    with_script = watched().open(pages("low-mere")).locator("body").inner_text()
    without = watched(java_script_enabled=False).open(pages("low-mere")).locator("body").inner_text()
    assert without == with_script
    assert "Does not work as drawn" in without


OVERLAPS = """
() => [...document.querySelectorAll('svg.plan:not(.sample)')].flatMap(svg => {
  const words = [...svg.querySelectorAll('text')].map(e => [e.textContent, e.getBoundingClientRect()]);
  const boxes = [...svg.querySelectorAll('.edge')].map(e => ['box', e.getBoundingClientRect()]);
  const frame = svg.getBoundingClientRect();
  const meet = (a, b) => a.left + 0.3 < b.right && b.left + 0.3 < a.right && a.top + 2.6 < b.bottom && b.top + 2.6 < a.bottom;
  const found = [];
  const all = [...words];
  all.forEach(([name, a], i) => all.slice(i + 1).forEach(([other, b]) => { if (meet(a, b)) found.push([name, other]); }));
  boxes.forEach(([, a], i) => boxes.slice(i + 1).forEach(([, b]) => {
    if (a.left + 0.6 < b.right && b.left + 0.6 < a.right && a.top + 0.6 < b.bottom && b.top + 0.6 < a.bottom)
      found.push(['box', 'box']);
  }));
  words.forEach(([name, a]) => {
    if (a.left < frame.left - 1 || a.right > frame.right + 1 || a.top < frame.top - 1 || a.bottom > frame.bottom + 1)
      found.push([name, 'outside']);
    boxes.forEach(([, b]) => {
      const inside = a.left >= b.left - 0.5 && a.right <= b.right + 0.5;
      if (meet(a, b) && !inside) found.push([name, 'edge of a box']);
    });
  });
  return found;
})
"""


@pytest.mark.usefixtures("measured")
@pytest.mark.parametrize("which", [*SIZES, *EXAMPLES])
def test_no_label_meets_another_as_the_browser_measures(which: str | int, pages: Pages, watched: Watch) -> None:
    """Real widths in a real face. Boxes of lines of text are 1.16 em high, of which 0.2 em above and below is empty."""
    page = watched(viewport={"width": 1280, "height": 900}).open(pages(which))
    assert page.evaluate(OVERLAPS) == []


# ---- print ----


Print = Callable[[str | int, tuple[float, float]], list[dict[str, Any]]]
_SHEETS: dict[tuple[str | int, tuple[float, float]], list[dict[str, Any]]] = {}


@pytest.fixture
def printed(pages: Pages, watched: Watch, tmp_path: Path) -> Print:
    """Pages of the PDF: width, height and words with their boxes, all in points, read by poppler. Each printed once."""

    def sheets(which: str | int, size: tuple[float, float]) -> list[dict[str, Any]]:
        if (which, size) not in _SHEETS:
            path = tmp_path / "p.pdf"
            page = watched(color_scheme="dark").open(pages(which))
            page.pdf(path=str(path), prefer_css_page_size=True, format={A4: "A4", LETTER: "Letter"}[size])
            _SHEETS[which, size] = [*_read(path)]
        return _SHEETS[which, size]

    if shutil.which("pdftotext") is None:
        pytest.skip("no pdftotext here: apt-get install poppler-utils")
    return sheets


def _read(path: Path) -> Iterator[dict[str, Any]]:
    text = subprocess.run(["pdftotext", "-bbox", str(path), "-"], capture_output=True, text=True, check=True).stdout
    for piece in text.split("<page ")[1:]:
        head = re.match(r'width="([\d.]+)" height="([\d.]+)"', piece)
        assert head is not None
        words = [
            (*map(float, each[:4]), each[4])
            for each in re.findall(
                r'<word xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)">(.*?)</word>', piece
            )
        ]
        yield {"wide": float(head[1]), "high": float(head[2]), "words": words}


def _landscape(sheet: dict[str, Any]) -> bool:
    return bool(sheet["wide"] > sheet["high"])


@pytest.mark.usefixtures("measured")
@pytest.mark.parametrize("size", [A4, LETTER], ids=["A4", "Letter"])
@pytest.mark.parametrize("which", [*EXAMPLES, 1, 64, 128] if FULL else ["kestrel-reach", 128])
def test_print(which: str | int, size: tuple[float, float], printed: Print) -> None:
    """The paper that was asked for, nothing clipped at its edges, no lettering below 7 pt."""
    for sheet in printed(which, size):
        assert sorted((sheet["wide"], sheet["high"])) == pytest.approx(size, abs=1.5)
        for left, top, right, bottom, word in sheet["words"]:
            assert left >= 20, word
            assert right <= sheet["wide"] - 20, word
            assert top >= 15, word
            assert bottom <= sheet["high"] - 15, word
        small = [(word, bottom - top) for _, top, _, bottom, word in sheet["words"] if bottom - top < 7.0 * EM_BOX * 0.985]
        assert small == []


@pytest.mark.usefixtures("measured")
@pytest.mark.parametrize("size", [A4, LETTER], ids=["A4", "Letter"])
@pytest.mark.parametrize("which", ["gannet-bay", 64] if FULL else ["gannet-bay"])
def test_the_drawing_of_64_cameras_is_one_landscape_page(
    which: str | int, size: tuple[float, float], printed: Print, reports: Callable[[str | int], Report]
) -> None:
    sheets = printed(which, size)
    drawn = [sheet for sheet in sheets if "How it hangs together" in " ".join(word for *_, word in sheet["words"])]
    assert len(drawn) == 1
    assert _landscape(drawn[0])
    facts = reports(which).sites[0].facts
    names = {subject.partition("/")[2] for subject in facts if re.fullmatch(r"cameras/[^/]+", subject)}
    words = [word for *_, word in drawn[0]["words"]]
    cut = [word for word in words if "…" in word]
    missing = [name for name in names if name not in words]
    assert len(names) == 64
    assert all(any(name.endswith(word.rpartition("…")[2]) for word in cut) for name in missing)
    assert len(missing) <= 4


COUNTS = {1: 6, "alder-wharf": 6, "bad-16": 8, "quill-orchard": 8, "gannet-bay": 13}
LONG_COUNTS = {each: 9 for each in EXAMPLES if each not in COUNTS} | {64: 14} if FULL else {}


@pytest.mark.usefixtures("measured")
@pytest.mark.parametrize("size", [A4, LETTER], ids=["A4", "Letter"])
@pytest.mark.parametrize("which", [*COUNTS, *LONG_COUNTS])
def test_page_count(which: str | int, size: tuple[float, float], printed: Print) -> None:
    """A bad shop of 16 cameras, and one of 7 with 41 findings, print on at most 8 pages; 64 cameras in six buildings on 13."""
    assert 3 <= len(printed(which, size)) <= {**COUNTS, **LONG_COUNTS}[which]


def test_the_short_print_names_all_that_was_found(
    pages: Pages, watched: Watch, reports: Callable[[str | int], Report]
) -> None:
    """Each finding by its rule, and each device that has it; each caution; each fact to supply; and how to get the rest."""
    page = watched().open(pages("bad-16"))
    page.emulate_media(media="print")
    said = page.inner_text("body")
    whole = re.sub(r"\s", "", said)
    site = reports("bad-16").sites[0]
    assert len({each.rule for each in site.findings if each.kind == "fail"}) >= 12
    for each in site.findings:
        assert each.rule in whole
        assert device_of(each).rpartition("/")[2] in said
        assert all(path.split("/", 2)[-1] in whole for path in each.missing if not path.startswith("parts/"))
        cautions = re.sub(r"\s", "", each.caution).split(".") if each.kind == "fail" else []
        assert all(sentence in whole for sentence in cautions), each.caution
    assert "onpaperwith--full" in whole


def test_print_in_full_unfolds_everything_and_repeats_heads(
    reports: Callable[[str | int], Report], watched: Watch, tmp_path: Path
) -> None:
    (tmp_path / "full.html").write_text(document(reports("gannet-bay"), full=True), encoding="utf-8")
    watched().open(tmp_path / "full.html").pdf(path=str(tmp_path / "p.pdf"), prefer_css_page_size=True, format="A4")
    said = [" ".join(word for *_, word in sheet["words"]) for sheet in _read(tmp_path / "p.pdf")]
    whole = " ".join(said)
    assert whole.count("loop resistance back to the supply") >= 9, "working of every finding, folded on screen"
    assert sum("acquired recorded" in text for text in said) >= 4, "head of the camera table on each of its pages"
    assert "Printed short" not in whole
    for name in ("quay-cam-11", "office-7", "ice-10"):
        assert name in whole


def test_print_is_light_even_where_the_screen_is_dark(pages: Pages, watched: Watch) -> None:
    page = watched(color_scheme="dark").open(pages("alder-wharf"))
    dark = page.evaluate("getComputedStyle(document.body).backgroundColor")
    page.emulate_media(media="print", color_scheme="dark")
    light = page.evaluate("getComputedStyle(document.body).backgroundColor")
    assert json.dumps([dark, light]) == json.dumps(["rgb(20, 26, 25)", "rgb(255, 255, 255)"])


def test_states_differ_without_colour(pages: Pages, watched: Watch) -> None:
    """WCAG 2.2, 1.4.1: marks of levels, gauges and lines differ in form, so that a grey print tells them apart."""
    page = watched().open(pages("quill-orchard"))
    marks = page.evaluate(
        """() => Object.fromEntries(['error', 'warning', 'note'].map(level =>
        [level, document.querySelector(`svg.mark.${level}`).innerHTML]))"""
    )
    assert len(set(marks.values())) == 3
    styles = page.evaluate(
        """() => ['.plan .wire.video', '.plan .wire.power'].map(each =>
        getComputedStyle(document.querySelector(each)).strokeDasharray)"""
    )
    assert styles[0] == "none"
    assert styles[1] != "none"
    words = page.evaluate("[...document.querySelectorAll('.gauge .left')].map(e => e.textContent)")
    assert words
    assert all(words)
