"""States of the page beside the journeys: nothing for axe to find in them, one verdict after two edits, levels told without
colour, regions with names, hostile answers, and the three ways out of a conflict.
"""

from __future__ import annotations

import shutil
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from tests.desk.hostile import PAYLOADS
from tests.desk.test_for_everybody import ALL, OF_COLOURS, violations

from coaxwright import pace
from coaxwright.desk.session import Session
from coaxwright.workspace.project import Workspace
from coaxwright.workspace.store import FolderStore

ROOT = Path(__file__).resolve().parents[2]
WANTS = ROOT / "tests" / "proposals" / "wants"
GATE = "/cameras/gate/power/over/0/length"
Start = Callable[..., Any]
Open = Callable[..., Any]


def slow(*_: str) -> Any:
    """A search that goes on until it is stopped."""
    while not pace.out_of_time():
        pace.step("changes tried", 3, 60)
        time.sleep(0.02)
    return None


@pytest.mark.parametrize(("scheme", "what"), [("light", ALL), ("dark", OF_COLOURS)], ids=["light", "dark"])
def test_axe_finds_nothing_in_the_states_between(start: Start, tab: Open, axe: str, scheme: str, what: Any) -> None:
    running = start()
    running.work.set_cells([("/defaults/place/reach", "tool"), ("/defaults/wants/rate", "9")])
    at = tab(running, color_scheme=scheme)
    page = at.open()
    running.work.actions = slow
    page.get_by_role("button", name="gate gets 9.31 V").click()
    page.wait_for_selector("#looking >> text=3 of 60 changes tried.")
    assert violations(page, axe, what, "#f-todo") == [], "looking for changes"
    page.locator("#looking [data-do=stop]").click()
    page.get_by_role("button", name="Look again").wait_for()
    assert violations(page, axe, what, "#f-todo") == [], "stopped"
    page.get_by_role("tab", name="Site").click()
    page.wait_for_selector("#grid.site")
    assert violations(page, axe, what, "#panel") == [], "defaults"
    running.site.write_text(running.site.read_text() + "# theirs\n")
    page.keyboard.press("Control+s")
    page.get_by_role("button", name="See both").click()
    page.wait_for_selector("#dialog-body pre")
    assert violations(page, axe, what, "#dialog") == [], "both texts"
    page.keyboard.press("Escape")
    page.locator("#menu summary").click()
    page.get_by_role("button", name="Forget this site").click()
    page.get_by_role("button", name="Forget it").wait_for()
    assert violations(page, axe, what, "#dialog") == [], "forgetting"
    page.keyboard.press("Escape")
    second = at.context.new_page()
    second.goto(running.desk.address)
    second.get_by_role("button", name="Edit here instead").wait_for()
    assert violations(second, axe, what, ".top") == [], "to read"
    assert at.heard == []


@pytest.mark.parametrize(("scheme", "what"), [("light", ALL), ("dark", OF_COLOURS)], ids=["light", "dark"])
def test_axe_finds_nothing_on_a_phone(shared: Any, tab: Open, axe: str, scheme: str, what: Any) -> None:
    page = tab(shared, color_scheme=scheme, viewport={"width": 390, "height": 844}).open()
    assert violations(page, axe, what) == []


def test_two_edits_at_once_show_one_verdict(start: Start, tab: Open) -> None:
    """The first of them is one step of the history; its verdict is never on the page."""
    running = start()
    at = tab(running)
    page = at.open()
    seen = page.evaluate(
        """async path => {
          const seen = [], cell = () => document.getElementById(path);
          const note = () => { if (seen.at(-1) !== cell().dataset.text) seen.push(cell().dataset.text); };
          note();
          const all = {subtree: true, attributes: true, childList: true};
          new MutationObserver(note).observe(document.getElementById('f-site'), all);
          cell().focus();
          for (const text of ['60', '30']) {
            const data = new DataTransfer();
            data.setData('text/plain', text);
            cell().dispatchEvent(new ClipboardEvent('paste', {clipboardData: data, bubbles: true, cancelable: true}));
            await new Promise(done => setTimeout(done, 5));
          }
          while (cell().dataset.text !== '30 m') await new Promise(done => setTimeout(done, 20));
          return seen;
        }""",
        f"c{GATE}",
    )
    assert seen == ["70 m", "30 m"]
    assert [step.name for step in running.work.site.history.done] == ["gate, power length"] * 2


def test_a_level_is_never_colour_alone(start: Start, tab: Open) -> None:
    """Each has its word beside it, and a mark of its own shape; forced colours leave both (WCAG 2.2, 1.4.1 Use of Color)."""
    page = tab(start("cider-press"), forced_colors="active").open()
    page.locator("#notes").evaluate("each => { each.open = true; }")
    words = page.evaluate("[...document.querySelectorAll('#f-todo .level')].map(each => each.innerText.trim())")
    assert words
    assert set(words) <= {"error", "warning", "note", "open", "pass"}
    shapes = page.evaluate(
        "Object.fromEntries([...document.querySelectorAll('#f-todo .level')].map(each =>"
        " [each.innerText.trim(), each.querySelector('.mark')?.outerHTML.replace(/class=\"[^\"]*\"/g, '')]))"
    )
    assert len(set(shapes.values())) == len(shapes) > 1
    assert page.locator(".mark").first.is_visible()


def test_every_region_has_a_name(shared: Any, tab: Open) -> None:
    page = tab(shared).open()
    unnamed = page.evaluate(
        """() => [...document.querySelectorAll('section, nav, [role=region], [role=group], [role=tablist], dialog')]
          .filter(each => each.checkVisibility())
          .filter(each => !(each.getAttribute('aria-label') || document.getElementById(each.getAttribute('aria-labelledby'))))
          .map(each => each.outerHTML.slice(0, 80))"""
    )
    assert unnamed == []


def test_theirs_alone_can_be_taken_back(start: Start, tab: Open) -> None:
    """Loading theirs is one step as well: what was mine comes back by Undo."""
    running = start()
    at = tab(running)
    page = at.open()
    at.cell(GATE).focus()
    page.keyboard.type("30")
    page.keyboard.press("Enter")
    at.version(1)
    mine = running.work.site.text
    theirs = running.site.read_text() + "# theirs\n"
    running.site.write_text(theirs)
    page.keyboard.press("Control+s")
    page.get_by_role("button", name="Load theirs", exact=True).click()
    at.version(2)
    assert running.work.site.text == theirs
    page.keyboard.press("Control+z")
    at.version(3)
    assert running.work.site.text == mine
    assert running.site.read_text() == theirs


def test_payloads_as_answers_to_the_first_questions_do_nothing(start: Start, tab: Open) -> None:
    running = start("")
    at = tab(running)
    page = at.open("text=What do you want to check?")
    fields = ("new-name", "new-cameras", "new-length", "new-days", "new-file")
    for place, payload in enumerate(PAYLOADS):
        for each in fields:
            page.locator(f"#{each}").fill("7" if each != fields[place % 5] else payload)
        if place % 5 == 0:
            page.locator("#new-cameras").fill("gate gate")
        page.get_by_role("button", name="Start").click()
        page.wait_for_function("() => !document.body.classList.contains('judging')")
        page.wait_for_timeout(40)
        if running.work.is_open:
            running.work.close()
            page.reload()
            page.wait_for_selector("#new-name")
    assert at.heard == []
    assert all(each.is_relative_to(running.folder) for each in running.folder.parent.rglob("*.site.yaml"))
    assert page.locator("main img, main iframe, main object, main embed, main script, main base, main link").count() == 0


def test_words_on_how_far_work_is_do_not_outlast_it(start: Start, tab: Open) -> None:
    page = tab(start()).open()
    asked: list[Any] = []
    progress: list[Any] = []
    page.route("**/ask", lambda each: asked.append(each) if '"undo"' in each.request.post_data else each.continue_())
    page.route("**/now", lambda each: progress.append(each))
    page.keyboard.press("Control+z")
    while not progress:
        page.wait_for_timeout(50)
    asked[0].continue_()
    page.wait_for_function("() => !document.body.classList.contains('judging')")
    for each in progress:
        each.continue_()
    page.wait_for_timeout(300)
    assert page.locator("#busy").is_hidden()


def test_payloads_in_what_the_page_is_asked_stay_words(tmp_path: Path) -> None:
    """Whatever comes back of an answer is text: no payload becomes an element in any fragment, part, dialog or notice."""
    shutil.copytree(WANTS, tmp_path / "folder")
    work = Workspace(FolderStore(tmp_path / "folder"))
    work.open("six.site.yaml")
    session = Session(work)
    asks = [("propose-take", "name"), ("save", "name"), ("open", "name"), ("limits-page", "subject"), ("figures", "subject"),
            ("download", "kind"), ("propose-search", "prefer"), ("options", "text"), ("paste", "text"),
            ("add", "group")]  # fmt: skip
    for payload in PAYLOADS:
        for do, field in asks:
            rest = {"path": "/cameras/till1/part", "sheet": "cameras", "cell": "c/cameras/till1#", field: payload}
            answer = session.answer({"do": do, "version": work.site.version, "view": {}, **rest})
            told = [answer.get("notice", ""), answer.get("dialog", {}).get("html", ""), *answer.get("parts", {}).values()]
            told.append((answer.get("result") or {}).get("html", "") if isinstance(answer.get("result"), dict) else "")
            if "<" in payload:
                assert all(payload not in each for each in told), (do, payload)
