"""A newcomer at the desk, in a real browser: what is typed, what follows, and that the file ends as the command line has it."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from coaxwright.checking import load_rulebook
from coaxwright.fixes.advice import advise
from coaxwright.fixes.rejudging import start as judged
from coaxwright.fixes.what_if import operations
from coaxwright.fixes.yaml_edits import edited
from coaxwright.reading.site_reader import read_site

Start = Callable[..., Any]
Open = Callable[..., Any]
GATE = "/cameras/gate/power/over/0/length"


def verdict(page: Any) -> str:
    return str(page.locator("#f-verdict .verdict").inner_text())


class Visit:
    """Somebody at a running desk: the page, the site behind it, and the steps that every journey is made of."""

    def __init__(self, running: Any, tab: Any, until: str = "#grid") -> None:
        self.running, self.tab = running, tab
        self.page = tab.open(until)
        self.cell, self.version = tab.cell, tab.version

    @property
    def text(self) -> str:
        """The site as it stands in the desk, saved or not."""
        return str(self.running.work.site.text)

    def press(self, *keys: str) -> None:
        for key in keys:
            self.page.keyboard.press(key)

    def enter(self, path: str, text: str, then: str = "Enter", version: int | None = None) -> None:
        """Type into a cell; wait for the version that it makes, where one is named."""
        self.cell(path).focus()
        self.page.keyboard.type(text)
        self.press(then)
        if version is not None:
            self.version(version)

    def shows(self, path: str) -> str | None:
        """What a cell holds."""
        return self.cell(path).get_attribute("data-text")  # type: ignore[no-any-return]

    def focused(self, what: str = "id") -> Any:
        return self.page.evaluate(f"document.activeElement.{what}")

    def do(self, button: str | re.Pattern[str], then: str = "") -> None:
        """Click a button; wait for what it leads to, where that is named."""
        self.page.get_by_role("button", name=button).first.click()
        if then:
            self.page.wait_for_selector(then)

    def show(self, sheet: str, then: str) -> None:
        self.page.get_by_role("tab", name=sheet).click()
        self.page.wait_for_selector(then)

    def save(self) -> None:
        self.press("Control+s")
        self.page.wait_for_selector("text=Saved.")

    def bring(self, name: str, data: bytes) -> None:
        """Import a schedule from the menu."""
        self.page.locator("#menu summary").click()
        with self.page.expect_file_chooser() as chooser:
            self.page.get_by_role("button", name="Import a schedule").click()
        chooser.value.set_files({"name": name, "mimeType": "text/csv", "buffer": data})

    def heard_nothing(self) -> bool:
        """No request elsewhere, no message, error or dialog."""
        return self.tab.heard == []


@pytest.fixture
def visit(start: Start, tab: Open) -> Callable[..., Visit]:
    """Start a desk on a copy of an example, and open its page."""

    def begin(example: str = "plant-nursery", until: str = "#grid") -> Visit:
        running = start(example)
        return Visit(running, tab(running), until)

    return begin


@pytest.mark.by_default
def test_the_newcomers_journey(visit: Callable[..., Visit]) -> None:
    at = visit()
    page, running = at.page, at.running
    opened = running.site.read_bytes()
    assert "2 cameras of 5 and 1 recorder have errors" in verdict(page)
    drawing = page.locator("#f-drawing svg.plan").last.inner_html()

    at.enter(GATE, "30")
    page.wait_for_function("() => document.querySelector('.verdict').innerText.includes('1 camera of 5')")
    assert at.shows(GATE) == "30 m"
    assert page.locator("#f-drawing svg.plan").last.inner_html() != drawing
    assert "1 change not saved" in page.locator("#stands").inner_text()

    at.do("The way from glasshouse")
    at.do(re.compile("^Apply"), "text=Applied:")
    assert "Errors 2 → 1" in page.locator("#notice").inner_text()
    assert at.focused("innerText") == "Undo this"
    applied = at.text
    at.press("Enter")
    page.wait_for_function("() => document.querySelector('.verdict').innerText.includes('1 camera of 5')")
    at.press("Control+y")
    page.wait_for_function("() => !document.querySelector('.verdict').innerText.includes('1 camera of 5')")
    assert at.text == applied
    at.save()
    assert running.site.read_bytes() == _by_command(running.folder, opened)
    assert at.heard_nothing()


def _by_command(folder: Path, opened: bytes) -> bytes:
    """The same two changes as the command line makes them: `what-if --set`, then the best of `fix --on`."""
    path = folder / "by-command.site.yaml"
    path.write_bytes(opened)
    state = judged(read_site(path), rulebook=load_rulebook())
    path.write_text(edited(state.basis.loaded.document, operations(state, [f"{GATE[1:]}=30 m"], ())).text)
    state = judged(read_site(path), rulebook=load_rulebook())
    (advice,) = advise(state, on="cable/loss-beyond-limit", tries=60)
    text = edited(state.basis.loaded.document, advice.fixes[0].patch).text
    path.unlink()
    return text.encode()


def test_by_keyboard_alone(visit: Callable[..., Visit]) -> None:
    """Open a finding from its cell, apply, undo, save: no mouse."""
    at = visit()
    page = at.page
    at.cell("/cameras/gate#").focus()
    at.press("F8")
    first = at.focused()
    at.press("F8")
    assert at.focused() != first
    at.press("Shift+F8")
    assert at.focused() == first
    at.press("Alt+Enter")
    page.wait_for_selector(".change")
    assert page.evaluate("document.activeElement.getAttribute('aria-expanded')") == "true"
    for _ in range(12):
        if page.evaluate("document.activeElement.dataset.do") == "apply":
            break
        at.press("Tab")
    at.press("Enter")
    page.wait_for_selector("text=Applied:")
    at.press("Control+z")
    page.wait_for_function("() => document.getElementById('stands').innerText === 'No changes yet'")
    assert at.text.encode() == at.running.site.read_bytes()
    assert at.heard_nothing()


def test_the_grid_is_one_stop_and_moves_by_arrows(visit: Callable[..., Visit]) -> None:
    """W3C ARIA Authoring Practices, grid pattern."""
    at = visit()
    page = at.page
    assert page.locator('#grid [tabindex="0"]').count() == 1
    at.cell("/cameras/gate#").focus()
    for _ in range(14):
        at.press("ArrowRight")
    row = page.evaluate("[...document.activeElement.parentElement.cells].indexOf(document.activeElement)")
    assert row == page.evaluate("document.activeElement.parentElement.cells.length - 1")
    at.press("Home")
    assert at.focused() == "c/cameras/gate#"
    at.press("Control+End")
    assert page.evaluate("document.activeElement.parentElement.rowIndex") == page.locator("#grid tbody tr").count()
    at.press("Control+Home", "PageDown")
    assert page.evaluate("document.activeElement.parentElement.rowIndex") == page.locator("#grid tbody tr").count()
    assert page.locator('#grid [tabindex="0"]').count() == 1


def test_escape_puts_back_and_tab_keeps_and_leaves(visit: Callable[..., Visit]) -> None:
    at = visit()
    page = at.page
    at.cell(GATE).focus()
    at.press("F2")
    assert page.evaluate("getSelection().toString() || document.activeElement.value") == "70 m"
    page.keyboard.type("99")
    at.press("Escape")
    assert at.focused() == f"c{GATE}"
    assert (at.shows(GATE), at.running.work.site.version) == ("70 m", 0)
    page.keyboard.type("31")
    at.press("Tab")
    at.version(1)
    assert page.evaluate("document.activeElement.closest('#grid')") is None
    assert at.shows(GATE) == "31 m"


def test_focus_stays_in_its_cell_when_the_verdict_comes(visit: Callable[..., Visit]) -> None:
    at = visit()
    page = at.page
    at.enter(GATE, "12")
    page.keyboard.type("dc-9")
    at.version(1)
    page.wait_for_timeout(300)
    assert at.focused("value") == "dc-9"
    assert at.focused("selectionStart") == 4
    assert at.shows(GATE) == "12 m"


def test_the_last_of_two_quick_edits_stands_and_is_spoken_once(visit: Callable[..., Visit]) -> None:
    at = visit()
    page = at.page
    page.wait_for_timeout(900)
    page.evaluate(
        "() => { const live = document.getElementById('live'); window.told = [];"
        " new MutationObserver(() => window.told.push(live.textContent)).observe(live, {childList: true}); }"
    )
    for number in ("60", "30"):
        at.cell(GATE).focus()
        page.keyboard.type(number)
        at.press("Enter")
    at.version(2)
    page.wait_for_timeout(1200)
    assert at.shows(GATE) == "30 m"
    assert page.evaluate("window.told") == ["2 errors."]


REFUSED = [("70 n", "`n` is not a unit of a length"), ("ca. 40", "is not one number with a unit")]


@pytest.mark.parametrize(("typed", "says"), REFUSED)
def test_a_refused_value_stays_to_be_mended(visit: Callable[..., Visit], typed: str, says: str) -> None:
    at = visit()
    page = at.page
    at.enter(GATE, typed)
    page.wait_for_selector("#refusal")
    assert says in page.locator("#refusal").inner_text()
    field = page.evaluate("[document.activeElement.value, document.activeElement.getAttribute('aria-invalid')]")
    assert field == [typed, "true"]
    at.press("Control+a")
    page.keyboard.type("70 ft")
    at.press("Enter")
    at.version(1)
    assert at.shows(GATE) == "70 ft"
    assert page.locator("#refusal").count() == 0


def test_names_are_completed_with_their_figures(visit: Callable[..., Visit]) -> None:
    at = visit()
    page = at.page
    cable = "/cameras/gate/power/over/0/cable"
    at.cell(cable).focus()
    page.keyboard.type("dc-1.5mm2-o")
    page.wait_for_function("() => document.querySelector('#pick li')?.dataset.value === 'dc-1.5mm2-outdoor'")
    assert "13.3 ohm/km" in page.locator("#pick [role=option]").first.inner_text()
    at.press("ArrowDown")
    assert page.locator("#pick [aria-selected=true]").inner_text().startswith("dc-1.5mm2-outdoor")
    at.press("Enter")
    at.version(1)
    assert "dc-1.5mm2-outdoor, length: 70 m" in at.text


def test_a_block_from_a_spreadsheet_adds_rows_in_one_step(visit: Callable[..., Visit]) -> None:
    at = visit()
    page = at.page
    before = at.text
    at.cell("/cameras/gate#").focus()
    head = "camera\tpart\tinput\tvideo cable\tvideo length\n"
    rows = 'dock\ttarnwell/dome-2\t6\trg59-copper\t48\nramp\ttarnwell/dome-2\trec1/7\trg59-copper\t"31 m"\n'
    _paste(page, head + rows)
    at.version(1)
    value = at.running.work.site.document.value["cameras"]
    assert value["dock"]["video"] == {"into": "rec1/6", "over": [{"cable": "rg59-copper", "length": "48 m"}]}
    assert value["ramp"]["video"]["over"] == [{"cable": "rg59-copper", "length": "31 m"}]
    assert at.running.work.site.unsaved_steps == 1
    at.press("Control+z")
    at.version(2)
    assert at.text == before
    at.cell(GATE).focus()
    _paste(page, "11\n12\nca. 40\n14")
    page.wait_for_selector("text=3 cells taken, 1 cell refused.")
    assert at.running.work.site.unsaved_steps == 1


def _paste(page: Any, text: str) -> None:
    page.evaluate(
        "text => { const data = new DataTransfer(); data.setData('text/plain', text);"
        " const event = new ClipboardEvent('paste', {clipboardData: data, bubbles: true, cancelable: true});"
        " document.activeElement.dispatchEvent(event); }",
        text,
    )


def test_a_block_is_copied_and_cleared(visit: Callable[..., Visit]) -> None:
    at = visit()
    page = at.page
    at.cell("/cameras/gate/video/over/0/length").focus()
    at.press("Shift+ArrowDown")
    assert page.locator("#grid [aria-selected=true]").count() == 2
    copied = page.evaluate(
        "() => { const data = new DataTransfer();"
        " const event = new ClipboardEvent('copy', {clipboardData: data, bubbles: true, cancelable: true});"
        " document.activeElement.dispatchEvent(event);"
        " return data.getData('text/plain'); }"
    )
    assert copied == "70 m\n270 m"
    at.press("Delete")
    at.version(1)
    assert at.running.work.site.unsaved_steps == 1
    assert "2 open" in page.locator("#f-verdict").inner_text() or "open" in page.locator("#f-todo").inner_text()


def test_the_file_as_text_is_one_more_view_of_the_same(visit: Callable[..., Visit]) -> None:
    at = visit()
    page = at.page
    page.get_by_role("tab", name="File as text").click()
    field = page.locator("#file-text")
    assert field.input_value() == at.running.site.read_text()
    field.fill(field.input_value().replace("part: tarnwell/hybrid-8", "part: tarnwell/hybrid-9"))
    page.wait_for_selector("text=This file cannot be read yet")
    assert "tarnwell/hybrid-8" in page.locator(".problems").inner_text()
    assert page.locator("#f-todo .todo > li").count() > 0
    at.press("Control+z")
    page.wait_for_function("() => document.querySelector('.verdict').innerText.startsWith('Does not work')")
    assert field.input_value() == at.running.site.read_text()


def test_a_file_that_changed_on_disk_is_noticed_and_nothing_is_lost(visit: Callable[..., Visit]) -> None:
    at = visit()
    page = at.page
    at.enter(GATE, "30", version=1)
    theirs = at.running.site.read_text().replace("retention: 30 days", "retention: 12 days")
    at.running.site.write_text(theirs)
    at.press("Control+s")
    page.wait_for_selector("text=The file changed on disk.")
    assert at.running.site.read_text() == theirs
    at.do("See both", "#dialog >> text=retention: 12 days")
    assert at.running.site.read_text() == theirs
    at.press("Escape")
    at.do("Keep mine as a copy", "#copy-name")
    at.press("Enter")
    page.wait_for_selector("text=Saved.")
    copy = at.running.site.with_name("rowan-bank.copy.site.yaml")
    assert copy.read_text() == at.text
    at.press("Control+s")
    at.do("Load theirs, put mine on top", "text=Loaded.")
    assert at.text == theirs.replace("dc-0.5mm2-outdoor, length: 70 m", "dc-0.5mm2-outdoor, length: 30 m")


def test_a_desk_that_ends_leaves_the_text_in_the_page(visit: Callable[..., Visit]) -> None:
    at = visit()
    page = at.page
    at.enter(GATE, "30", version=1)
    at.running.desk.stop()
    at.enter(GATE, "25")
    page.wait_for_selector("text=The desk has stopped answering.")
    with page.expect_download() as download:
        at.do("Download a copy")
    assert Path(download.value.path()).read_text() == at.text


def test_two_windows_do_not_write_over_each_other(visit: Callable[..., Visit], tab: Open) -> None:
    one = visit()
    two = Visit(one.running, tab(one.running))
    one.enter(GATE, "30", version=1)
    two.enter("/cameras/yard/video/over/0/length", "41")
    two.page.wait_for_selector("text=The site was changed elsewhere meanwhile")
    two.page.wait_for_function(f"() => document.getElementById('c{GATE}').dataset.text === '30 m'")
    assert "length: 41 m" not in one.text


def test_a_site_from_nothing(visit: Callable[..., Visit]) -> None:
    at = visit("", "text=What do you want to check?")
    page = at.page
    page.get_by_label("Name of the site").fill("Elder Lane: school #2")
    at.do("Start", "text=No cameras yet, so there is no verdict.")
    assert (at.running.folder / "elder-lane-school-2.site.yaml").exists()
    page.get_by_role("tab", name="Recorders").click()
    at.do("Add a recorder", '[id="c/recorders/recorder-1#"]')
    assert "recorder-1" in at.text


def test_the_example_is_opened_as_a_copy(visit: Callable[..., Visit]) -> None:
    at = visit("", "text=What do you want to check?")
    at.do("Open the example", "#grid")
    assert at.running.work.site.name == "plant-nursery/rowan-bank.site.yaml"
    assert at.heard_nothing()


def test_downloads_are_what_the_command_line_writes(visit: Callable[..., Visit]) -> None:
    from coaxwright.checking import check_many
    from coaxwright.reporting.formats import Setting
    from coaxwright.reporting.html import render

    at = visit()
    page = at.page
    for name, wanted in (("The file itself", at.running.site.read_bytes()), ("Report as a page", None)):
        page.locator("#menu summary").click()
        with page.expect_download() as download:
            at.do(name)
        got = Path(download.value.path()).read_bytes()
        wanted = wanted or render(check_many([at.running.site]), Setting()).replace(f"{at.running.folder}/", "").encode()
        assert got == wanted


def test_the_page_of_an_earlier_start_says_so(start: Start, tab: Open) -> None:
    running = start()
    at = tab(running)
    at.page.goto(f"{running.desk.origin}/#k=old")
    at.page.wait_for_selector("text=This page belongs to an earlier start of the desk.")
    assert "Rowan" not in at.page.content()


def test_the_token_is_not_left_in_the_address_and_reload_keeps_the_work(visit: Callable[..., Visit]) -> None:
    at = visit()
    page = at.page
    assert at.running.desk.token not in page.url
    at.enter(GATE, "30", version=1)
    page.reload()
    page.wait_for_selector("#grid")
    assert at.shows(GATE) == "30 m"
    assert page.context.cookies() == []
    assert json.loads(page.evaluate("JSON.stringify(Object.keys(sessionStorage))")) == ["token"]


def test_a_trial_changes_nothing_until_it_is_used(visit: Callable[..., Visit]) -> None:
    at = visit()
    page = at.page
    at.cell("/cameras/gate#").focus()
    at.do("How far can it move?", ".lim")
    slider = page.get_by_role("slider", name=re.compile("^Power length"))
    assert "holds from 44 m down to 1 m" in page.locator(".lim").last.inner_text()
    slider.focus()
    at.press("Home")
    page.wait_for_selector("text=Mends: gate gets 9.31 V at night")
    assert (at.running.work.site.version, at.text.encode()) == (0, at.running.site.read_bytes())
    use = page.get_by_role("button", name=re.compile("^Use [0-9]+ m")).last
    told = use.inner_text().removeprefix("Use ")
    use.click()
    at.version(1)
    assert at.shows(GATE) == told
    assert at.running.work.site.unsaved_steps == 1
    at.press("Control+z")
    at.version(2)
    assert at.text.encode() == at.running.site.read_bytes()
    assert at.heard_nothing()


def test_a_schedule_is_imported_as_one_step(visit: Callable[..., Visit]) -> None:
    at = visit()
    page = at.page
    before = at.text
    rows = "Camera,Model,Recorder,Input,Cable,Length (m)\ndock,tarnwell/dome-2,rec1,6,rg59-copper,48\n"
    rows += "gate,tarnwell/turret-5,rec1,1,rg59-copper-outdoor,75\n"
    at.bring("cameras.csv", rows.encode())
    page.wait_for_selector("text=Imported, as one step.")
    cameras = at.running.work.site.document.value["cameras"]
    assert cameras["dock"]["video"]["into"] == "rec1/6"
    assert cameras["gate"]["video"]["over"][0]["length"] == "75 m"
    assert at.running.work.site.unsaved_steps == 1
    at.do("Undo this")
    at.version(2)
    assert at.text == before
    at.bring("x.csv", b"no,such\nheadings,here\n")
    page.wait_for_selector("text=Not done.")
    assert at.heard_nothing()


def test_back_leads_to_the_sheet_before(visit: Callable[..., Visit]) -> None:
    at = visit()
    page = at.page
    for name, sheet in (("Cables", "cables"), ("Disks", "disks")):
        at.show(name, f"#grid.{sheet}")
    page.go_back()
    page.wait_for_selector("#grid.cables")
    page.go_back()
    page.wait_for_selector("#grid.cameras")
    page.go_forward()
    page.wait_for_selector("#grid.cables")
    page.reload()
    page.wait_for_selector("#grid.cables")
    assert at.heard_nothing()


def test_changes_of_a_desk_that_ended_are_offered_again(visit: Callable[..., Visit]) -> None:
    from coaxwright.desk.serving import Desk
    from coaxwright.desk.session import Session
    from coaxwright.workspace.project import Workspace
    from coaxwright.workspace.store import FolderStore

    at = visit()
    page = at.page
    at.enter(GATE, "30", version=1)
    mine, port = at.text, at.running.desk.port
    at.running.desk.stop()
    work = Workspace(FolderStore(at.running.folder))
    work.open(at.running.work.site.name)
    at.running.work, at.running.desk = work, Desk(Session(work), port)
    at.running.desk.start()
    page.goto("about:blank")
    page = at.tab.open()
    at.do("Take them up again")
    at.version(1)
    assert work.site.text == mine
    at.save()
    page.reload()
    page.wait_for_selector("#grid")
    assert page.get_by_role("button", name="Take them up again").count() == 0


def test_every_device_of_the_drawing_leads_to_its_row(visit: Callable[..., Visit]) -> None:
    at = visit()
    page = at.page
    page.locator("#f-drawing svg.plan a[href='#at-supplies-psu2']").first.click()
    page.wait_for_selector("#grid.supplies")
    page.wait_for_function("() => document.activeElement.id === 'c/supplies/psu2#'")
    page.get_by_role("link", name="The same as a table").click()
    assert page.locator("#f-drawing table.lines").is_visible()


def test_a_changed_cell_says_what_it_was_and_every_figure_has_its_working(visit: Callable[..., Visit]) -> None:
    at = visit()
    page = at.page
    at.enter(GATE, "30", version=1)
    assert at.cell(GATE).inner_text().split("\n") == ["30 m", "was 70 m"]
    at.cell("/cameras/gate#").focus()
    at.do("Every figure", "#dialog-body .working")
    # By hand: 30 m of 0.5 mm2 at 40 °C are 2.524 ohm; 6.3 + sqrt(6.3 x 6.3 - 5.2 x 2.524) = 11.454 V.
    assert "11.45" in page.locator("#dialog-body").inner_text()
    at.press("Escape")
    at.save()
    assert at.cell(GATE).inner_text() == "30 m"
    assert at.heard_nothing()
