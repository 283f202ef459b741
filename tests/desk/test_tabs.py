"""One site in two tabs, on a phone, and forgotten: who edits, what is at hand, what goes and what stays."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

Start = Callable[..., Any]
Open = Callable[..., Any]
GATE = "/cameras/gate/power/over/0/length"
HERE = f"document.getElementById('c{GATE}').dataset.text"


def enter(page: Any, text: str) -> None:
    page.locator(f'[id="c{GATE}"]').focus()
    page.keyboard.type(text)
    page.keyboard.press("Enter")


def test_the_second_tab_reads_until_it_takes_over(start: Start, tab: Open) -> None:
    running = start()
    one = tab(running)
    first = one.open()
    first.wait_for_function("() => Object.keys(localStorage).some(each => each.startsWith('tab:'))")
    second = one.context.new_page()
    second.goto(running.desk.address)
    second.wait_for_selector("text=To read: this site is edited in another tab.")
    enter(second, "30")
    second.wait_for_timeout(300)
    assert running.work.site.version == 0
    second.locator("[data-do=take-over]").click()
    second.wait_for_selector("[data-do=save]")
    enter(second, "30")
    second.wait_for_function(f"() => {HERE} === '30 m'")
    first.wait_for_selector("text=To read: this site is edited in another tab.", timeout=8000)
    first.wait_for_function(f"() => {HERE} === '30 m'", timeout=9000)
    second.close()
    first.get_by_role("button", name="Edit here instead").click()
    first.wait_for_selector("[data-do=save]")
    assert one.heard == []


def test_what_a_reading_tab_asks_to_change_is_refused(start: Start) -> None:
    from coaxwright.desk.session import EDITS, Session

    session = Session(start().work)
    for do in sorted(EDITS):
        answer = session.answer({"do": do, "version": 0, "view": {"reading": True}})
        assert not answer["ok"], do
        assert "this tab is to read" in answer["problems"][0]["what"], do
    assert session.work.site.version == 0


def test_a_phone_has_errors_undo_and_save_at_hand(start: Start, tab: Open) -> None:
    """44 px for what is pressed on a phone: common practice; WCAG 2.2, 2.5.5 Target Size (Enhanced)."""
    running = start()
    at = tab(running, viewport={"width": 390, "height": 844}, has_touch=True)
    page = at.open()
    bar = page.locator(".at-hand")
    assert bar.is_visible()
    assert "3 errors" in bar.inner_text()
    assert page.evaluate("document.querySelector('.at-hand').getBoundingClientRect().bottom <= innerHeight")
    for button in bar.locator("button, a").all():
        assert button.bounding_box()["height"] >= 44
    bar.locator("a").click()
    assert page.evaluate("document.activeElement.id") == "h-todo"
    enter(page, "30")
    at.version(1)
    assert bar.get_by_role("button", name="Save").get_attribute("aria-disabled") is None
    bar.get_by_role("button", name="Undo").click()
    at.version(2)
    assert running.work.site.text.encode() == running.site.read_bytes()
    focused = "document.activeElement.getBoundingClientRect().bottom"
    page.locator('[id="c/cameras/office#"], #grid tbody tr:last-child th').last.focus()
    assert page.evaluate(f"{focused} <= document.querySelector('.at-hand').getBoundingClientRect().top + 1")
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    wide = tab(running).open()
    assert not wide.locator(".at-hand").is_visible()


def test_forgetting_takes_the_draft_and_leaves_the_file(start: Start, tab: Open) -> None:
    running = start()
    saved = running.site.read_bytes()
    at = tab(running)
    page = at.open()
    enter(page, "30")
    at.version(1)
    page.wait_for_function("() => Object.keys(localStorage).some(each => each.startsWith('draft:'))")
    site = running.site
    page.locator("#menu summary").click()
    page.get_by_role("button", name="Forget this site").click()
    page.wait_for_selector("text=1 change that is not saved is lost.")
    page.get_by_role("button", name="Forget it").click()
    page.wait_for_selector("text=What do you want to check?")
    assert page.evaluate("Object.keys(localStorage).filter(each => each.startsWith('draft:'))") == []
    assert site.read_bytes() == saved
    assert not running.work.is_open
    assert at.heard == []
