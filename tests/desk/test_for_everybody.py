"""The desk for everybody: WCAG 2.2 AA by axe in every view and state, narrow screens, large text, print, hostile names."""

from __future__ import annotations

import itertools
import json
import os
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from tests.desk.hostile import PAYLOADS

ROOT = Path(__file__).resolve().parents[2]
Start = Callable[..., Any]
Open = Callable[..., Any]
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
GATE = "/cameras/gate/power/over/0/length"


ALL = {"runOnly": {"type": "tag", "values": TAGS}}
OF_COLOURS = {"runOnly": {"type": "rule", "values": ["color-contrast", "link-in-text-block"]}}
"""What a dark scheme can change: the document is the same, its colours are others."""
OF_WIDTH = {"runOnly": {"type": "rule", "values": ["target-size", "scrollable-region-focusable", "meta-viewport"]}}
"""What a narrow window can change besides: where things stand, and what scrolls."""
OF_BOTH = {"runOnly": {"type": "rule", "values": [*OF_COLOURS["runOnly"]["values"], *OF_WIDTH["runOnly"]["values"]]}}
FULL = os.environ.get("COAXWRIGHT_FULL") == "1"


def violations(page: Any, axe: str, what: Any = ALL, where: str = "html") -> list[str]:
    """What axe finds in that part of the page. The script is run in the page's own world by the driver: the policy of
    the page stays in force.
    """
    if not page.evaluate("Boolean(window.axe)"):
        page.evaluate(axe)
    found = page.evaluate("([where, what]) => axe.run(where, what)", [where, ALL if FULL else what])
    nodes = [(each["id"], node) for each in found["violations"] for node in each["nodes"]]
    return [f"{name}: {node['html'][:160]} {node['failureSummary'][:300]}" for name, node in nodes]


SHEETS = ["Recorders", "Supplies", "Cables", "Disks", "Places", "Site", "File as text"]


@pytest.mark.parametrize(("scheme", "wide", "what"), [("light", 1300, ALL), ("dark", 320, OF_BOTH)],
                         ids=["light-1300", "dark-320"])  # fmt: skip
def test_axe_finds_nothing_in_any_view(start: Start, tab: Open, axe: str, scheme: str, wide: int, what: Any) -> None:
    running = start("cider-press")
    at = tab(running, color_scheme=scheme, viewport={"width": wide, "height": 800})
    page = at.open()
    assert violations(page, axe, what) == []
    for name in SHEETS:
        page.get_by_role("tab", name=name).click()
        page.wait_for_selector(f'[role=tab][aria-selected=true]:has-text("{name}")')
        assert violations(page, axe, what, "html" if FULL else "#panel") == [], name  # around it nothing changed
    page.get_by_role("tab", name="Cameras").click()
    page.wait_for_selector("#grid.cameras")
    page.locator(".todo h3 button").first.click()
    page.wait_for_selector(".change")
    assert violations(page, axe, what) == [], "an open finding"
    page.locator("#menu summary").click()
    assert violations(page, axe, what) == [], "the menu"
    page.get_by_role("button", name="Keys").click()
    assert violations(page, axe, what) == [], "the keys"
    page.keyboard.press("Escape")


@pytest.mark.parametrize(("scheme", "what"), [("light", ALL), ("dark", OF_COLOURS)], ids=["light", "dark"])
def test_axe_finds_nothing_in_any_state(start: Start, tab: Open, axe: str, scheme: str, what: Any) -> None:
    running = start()
    at = tab(running, color_scheme=scheme)
    page = at.open()
    at.cell("/cameras/gate/power/over/0/cable").focus()
    page.keyboard.type("dc-1")
    page.wait_for_selector("#pick [role=option]")
    page.keyboard.press("ArrowDown")
    assert violations(page, axe, what) == [], "a list of parts"
    page.keyboard.press("Escape")
    page.keyboard.press("Escape")
    at.cell(GATE).focus()
    page.keyboard.type("70 n")
    page.keyboard.press("Enter")
    page.wait_for_selector("#refusal")
    assert violations(page, axe, what) == [], "a refused value"
    page.keyboard.press("Escape")
    page.locator(".todo h3 button").first.click()
    page.wait_for_selector(".change")
    page.locator("[data-do=apply]").first.click()
    page.wait_for_selector("text=Applied:")
    assert violations(page, axe, what) == [], "a change applied"
    page.get_by_role("button", name="How far can it move?").click()
    page.wait_for_selector(".lim")
    assert violations(page, axe, what) == [], "limits"
    page.keyboard.press("Escape")
    page.get_by_role("button", name="Every figure").click()
    page.wait_for_selector("#dialog-body .working")
    assert violations(page, axe, what) == [], "figures"
    page.keyboard.press("Escape")
    page.locator("#menu summary").click()
    page.get_by_role("button", name="Compare with the saved file").first.click()
    page.wait_for_selector("#dialog-body pre")
    assert violations(page, axe, what) == [], "the comparison"
    page.keyboard.press("Escape")
    running.site.write_text(running.site.read_text() + "# theirs\n")
    page.keyboard.press("Control+s")
    page.wait_for_selector("text=The file changed on disk.")
    assert violations(page, axe, what) == [], "changed on disk"
    page.get_by_role("tab", name="File as text").click()
    page.locator("#file-text").fill("site: [")
    page.wait_for_selector("text=This file cannot be read yet")
    assert violations(page, axe, what) == [], "a broken file"
    running.desk.stop()
    page.locator("#file-text").fill("site: {")
    page.wait_for_selector("text=The desk has stopped answering.")
    assert violations(page, axe, what) == [], "no answer"


def test_axe_finds_nothing_before_a_site_is_open(start: Start, tab: Open, axe: str) -> None:
    at = tab(start(""))
    page = at.open("text=What do you want to check?")
    assert violations(page, axe) == []
    page.get_by_label("Name of the site").fill("New")
    page.get_by_role("button", name="Start").click()
    page.wait_for_selector("text=No cameras yet, so there is no verdict.")
    assert violations(page, axe) == [], "an empty site"


@pytest.mark.parametrize("wide", [320, 390, 768, 1280] if FULL else [320, 768])
def test_nothing_scrolls_sideways_but_in_its_frame(start: Start, tab: Open, wide: int) -> None:
    """WCAG 2.2, 1.4.10 Reflow: 320 px is 1280 px at 400 % zoom."""
    at = tab(start("cider-press"), viewport={"width": wide, "height": 700})
    page = at.open()
    page.locator(".todo h3 button").first.click()
    page.wait_for_selector("#h-changes")
    for name in ("Cameras", *SHEETS):
        page.get_by_role("tab", name=name).click()
        page.wait_for_selector(f'[role=tab][aria-selected=true]:has-text("{name}")')
        assert page.evaluate("document.documentElement.scrollWidth") <= wide, name


LOST = """() => {
  const wide = document.documentElement.clientWidth, found = [];
  if (document.documentElement.scrollWidth > wide) found.push(`the page is ${document.documentElement.scrollWidth} of ${wide}`);
  const framed = (each) => {
    for (let at = each.parentElement; at; at = at.parentElement)
      if (['auto', 'scroll'].includes(getComputedStyle(at).overflowX)) return true;
    return false;
  };
  const fixed = (each) => each.closest('.at-hand, .top') !== null;
  const all = [...document.querySelectorAll('button, input:not([type=hidden]), select, textarea, summary, main a[href]')]
    .filter((each) => each.checkVisibility({ visibilityProperty: true }) && !each.closest('svg, .skip') && !framed(each));
  for (const each of all) {
    const box = each.getBoundingClientRect();
    if (box.width && (box.left < -1 || box.right > wide + 1)) found.push(`outside: ${each.outerHTML.slice(0, 90)}`);
  }
  const step = Math.max(1, Math.floor(all.length / 12));
  for (let place = 0; place < all.length; place += step) {
    all[place].focus();
    const one = all[place], box = one.getBoundingClientRect(), middle = box.y + Math.min(box.height, 40) / 2;
    const at = document.elementFromPoint(box.x + box.width / 2, middle);
    if (document.activeElement === one && at && fixed(at) && !fixed(one)) found.push(`covered: ${one.outerHTML.slice(0, 90)}`);
  }
  return found;
}"""
"""What a person could not see or reach: beyond the edges and in no frame that scrolls, or, with focus, below a fixed bar."""
PAIR = "camera=fennick%2Fturret-5&recorder=tarnwell%2Fhybrid-8"
PLACES = [
    "/site/cameras", "/site/text", f"/counter/pair/{PAIR}", f"/counter/print/{PAIR}", "/counter/table/among=*&recorders=*",
    "/course/practice/power/1/3/0", "/course/diagnosis/2/m0.h", "/course/seen/device1=cameras%2Fgate&symptom1=no-picture",
]  # fmt: skip
MORE_PLACES = [
    *(f"/site/{name}" for name in ("recorders", "supplies", "cables", "disks", "places", "site")), "/counter",
    "/counter/list/cameras=4+fennick%2Fturret-5", f"/counter/replace/{PAIR}&which=camera", "/course/practice",
    "/course/lessons", "/course/lessons/signal", "/course/papers/topic-power=yes&count=2", "/course/marking",
]  # fmt: skip


@pytest.mark.usefixtures("items_once")
@pytest.mark.parametrize(
    ("window", "letters"),
    [({"viewport": {"width": 320, "height": 200}, "device_scale_factor": 4}, 16),
     ({"viewport": {"width": 390, "height": 800}}, 32), ({"viewport": {"width": 1280, "height": 800}}, 32)],
    ids=["zoom-400", "letters-200-phone", "letters-200"],
)  # fmt: skip
def test_nothing_is_lost_at_large_zoom_or_with_large_letters(
    start: Start, tab: Open, window: dict[str, Any], letters: int
) -> None:
    """WCAG 2.2, 1.4.10: a window of 1280 by 800 at 400 %; 1.4.4: the browser's letters at 200 %; 2.4.11: focus not obscured."""
    page = tab(start("boatyard"), **window).open()
    page.context.new_cdp_session(page).send("Page.setFontSizes", {"fontSizes": {"standard": letters, "fixed": letters}})
    assert page.evaluate("getComputedStyle(document.body).fontSize") == f"{letters}px"
    for place in [*PLACES, *(MORE_PLACES if FULL else [])]:
        page.evaluate("to => { location.hash = to; }", place)
        page.wait_for_function(SETTLED, arg=place)
        assert page.evaluate(LOST) == [], place


SETTLED = """place => !document.body.classList.contains('judging') && location.hash === `#${place}` && (place.startsWith('/site/')
  ? document.querySelector('#f-site')?.checkVisibility() : document.querySelector('#f-room h1') !== null)"""


def test_targets_are_large_enough(start: Start, tab: Open) -> None:
    """WCAG 2.2, 2.5.8 Target Size (Minimum): 24 px; 44 px for buttons on a phone, common practice."""
    script = """least => [...document.querySelectorAll('button, summary, a.btn, input[type=text]')]
      .map(each => [each.outerHTML.slice(0, 90), each.getBoundingClientRect()])
      .filter(([, box]) => box.height && box.height < least).map(([html]) => html)"""
    for wide, least in ((1300, 24), (390, 44)):
        page = tab(start("cider-press"), viewport={"width": wide, "height": 800}).open()
        small = [each for each in page.evaluate(script, least) if "summary" not in each or wide == 1300]
        assert small == [], wide


def test_one_heading_of_each_page_and_none_skipped(start: Start, tab: Open) -> None:
    page = tab(start("cider-press")).open()
    script = "[...document.querySelectorAll('h1,h2,h3,h4')].filter(e => e.checkVisibility()).map(e => Number(e.tagName[1]))"
    levels = page.evaluate(script)
    assert levels.count(1) == 1
    assert all(after - before <= 1 for before, after in itertools.pairwise(levels))
    assert page.locator("main").count() == 1


def test_it_prints_without_its_buttons(start: Start, tab: Open, tmp_path: Path) -> None:
    if shutil.which("pdftotext") is None:
        pytest.skip("no pdftotext here: apt-get install poppler-utils")
    page = tab(start()).open()
    page.pdf(path=tmp_path / "desk.pdf", format="A4")
    call = ["pdftotext", "-layout", tmp_path / "desk.pdf", "-"]
    text = subprocess.run(call, capture_output=True, text=True, check=True).stdout
    assert "Rowan Bank plant nursery" in text
    assert "gate gets 9.31 V at night" in text
    assert "File and downloads" not in text


def test_payloads_in_every_text_of_a_file_do_nothing(start: Start, tab: Open) -> None:
    assert len(PAYLOADS) == 40
    running = start()
    name = _quoted(" ".join(PAYLOADS[:6]))
    lines = running.site.read_text().replace("site: Rowan Bank plant nursery", f"site: {name}")
    for place, payload in enumerate(PAYLOADS):
        lines += f"  p{place}:\n    label: {_quoted(payload)}\n    part: tarnwell/dome-2\n    area: a{place}\n"
    line = "  - {{rule: practice/labels-missing, on: {0}, reason: {0}, by: {0}}}\n"
    waivers = [line.format(_quoted(each)) for each in PAYLOADS]
    running.site.write_text(f"{lines}waivers:\n{''.join(waivers)}notes: {_quoted(' '.join(PAYLOADS))}\n")
    running.work.open(running.site.name)
    assert running.work.site.problems == ()
    at = tab(running)
    page = at.open()
    for name in ("Site", "Places", "File as text", "Cameras"):
        page.get_by_role("tab", name=name).click()
        page.wait_for_selector(f'[role=tab][aria-selected=true]:has-text("{name}")')
    page.locator(".todo h3 button").first.click()
    page.wait_for_selector("#h-changes")
    page.wait_for_timeout(300)
    assert at.heard == []
    assert page.locator("main img, main iframe, main object, main embed, main script, main base, main link").count() == 0


def _quoted(text: str) -> str:
    return json.dumps(text)


def test_payloads_typed_into_every_kind_of_field_do_nothing(start: Start, tab: Open) -> None:
    running = start()
    at = tab(running)
    page = at.open()
    cells = ["/cameras/gate#", "/cameras/gate/part", "/cameras/gate/video/into", GATE, "/cameras/gate/wants/rate"]
    for place, payload in enumerate(PAYLOADS):
        at.cell(cells[place % len(cells)]).focus()
        page.keyboard.press("F2")
        page.locator("#grid [data-editing] input").fill(payload.replace("\t", " "))
        page.keyboard.press("Enter")
        page.wait_for_timeout(60)
        page.keyboard.press("Escape")
        page.keyboard.press("Escape")
    page.get_by_role("tab", name="Site").click()
    page.wait_for_selector("#grid.site")
    for payload in PAYLOADS[:12]:
        at.cell("/site").focus()
        page.keyboard.press("F2")
        page.locator("#grid [data-editing] input").fill(payload)
        page.keyboard.press("Enter")
        page.wait_for_timeout(60)
    page.get_by_role("tab", name="File as text").click()
    page.locator("#file-text").fill("\n".join(f"x{place}: {each}" for place, each in enumerate(PAYLOADS)))
    page.wait_for_selector("text=This file cannot be read yet")
    page.locator("#menu summary").click()
    page.get_by_role("button", name="Save as a copy").click()
    page.locator("#copy-name").fill('<img src=x onerror=alert(1)>.site.yaml')
    page.keyboard.press("Enter")
    page.wait_for_selector("text=Not done.")
    assert at.heard == []
    assert sorted(each.name for each in running.folder.glob("*.site.yaml")) == ["rowan-bank.site.yaml"]
