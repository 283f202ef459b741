"""The course in a real browser, with a server and without one; for everybody, at every width."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from tests.desk.test_counter_journey import WIDTHS, tabbed
from tests.desk.test_for_everybody import ALL, OF_BOTH, violations

from coaxwright.cli.main import run

Open = Callable[..., Any]
Start = Callable[..., Any]


pytestmark = pytest.mark.usefixtures("items_once")


def at(page: Any, address: str, until: str) -> None:
    """Go to an address of the page."""
    page.evaluate("to => { location.hash = to; }", address)
    page.wait_for_selector(until)


def journey(page: Any) -> bytes:
    """The journey of a trainer by keyboard; the case that is saved at its end."""
    page.locator("nav >> text=Practice").press("Enter")
    page.wait_for_function("() => document.activeElement?.id === 'h1'")  # the view has come, and the focus stands at its heading
    page.locator("main >> a >> text=power").press("Enter")
    page.wait_for_selector("text=question 1 of 8")
    tabbed(page, "[data-do=course-answer], #q-given")
    if page.locator("#q-given").count():
        page.keyboard.type("1")
    page.keyboard.press("Enter")
    page.wait_for_selector("#course-said .said")
    assert page.locator("#course-said").inner_text().startswith(("Right.", "Not yet."))
    if page.locator("[data-do=course-working]").count():
        page.locator("[data-do=course-working]").press("Enter")
    page.wait_for_selector("text=Working")
    page.get_by_role("button", name="Next question").press("Enter")
    page.wait_for_selector("text=question 2 of 8")
    page.go_back()
    page.wait_for_selector("text=question 1 of 8")
    at(page, "/course/diagnosis/2", "text=What the customer says")
    page.locator(".options button").first.press("Enter")
    page.wait_for_function("() => /[.]m|[/]m/.test(location.hash)")
    page.wait_for_selector("text=Nothing is measured yet.", state="detached")
    page.get_by_role("button", name=re.compile("Hint")).press("Enter")
    page.wait_for_selector("text=Hint.")
    page.get_by_role("button", name="Back one step").press("Enter")
    page.wait_for_selector("text=Hint.", state="detached")
    with page.expect_download() as download:
        page.get_by_role("button", name="Save it as a page").press("Enter")
    return Path(download.value.path()).read_bytes()


def of_command_line(tmp_path: Path) -> bytes:
    out = tmp_path / "case.html"
    assert run(["course", "diagnosis", "--seed", "2", "--output", str(out)]) == 0
    return out.read_bytes()


def test_the_journey_with_a_server(start: Start, tab: Open, tmp_path: Path) -> None:
    opened = tab(start("boatyard"))
    page = opened.open("nav >> text=Course")
    at(page, "/course", "text=Course: practice")
    assert journey(page) == of_command_line(tmp_path)
    assert opened.heard == []


def test_the_journey_from_a_static_host(of_static: Any, tmp_path: Path) -> None:
    at(of_static, "/course", "text=Course: practice")
    assert journey(of_static) == of_command_line(tmp_path)


def views(page: Any) -> Iterator[str]:
    """Every view and state of the course, one after the other."""
    places = [
        ("/course/practice", "main >> text=kinds of question"), ("/course/practice/power/1/3/0", "text=question 4 of 8"),
        ("/course/lessons", "text=(power)"), ("/course/lessons/power", "text=The idea"), ("/course/lessons/signal", "figure"),
        ("/course/diagnosis/2/m0.h", "text=Hint."), ("/course/papers/topic-power=yes&count=2", "text=Paper A"),
        ("/course/seen/device1=cameras%2Fgate&symptom1=no-picture-at-night", "#h-cause"),
        ("/course/marking", "text=Choose the key"), ("/course/practice/none", "text=no question on the topic"),
    ]  # fmt: skip
    for address, until in places:
        at(page, address, until)
        page.evaluate("for (const each of document.querySelectorAll('main details')) each.open = true")
        yield address
        if page.locator(".option[data-do=course-answer]").count():
            page.locator(".option[data-do=course-answer]").first.click()
            page.wait_for_selector("#course-said .said")
            yield f"{address}, answered"


@pytest.mark.parametrize(("scheme", "wide", "what"), [("light", 1280, ALL), ("dark", 320, OF_BOTH)],
                         ids=["light-1280", "dark-320"])  # fmt: skip
def test_axe_finds_nothing_in_any_state(start: Start, tab: Open, axe: str, scheme: str, wide: int, what: Any) -> None:
    opened = tab(start("boatyard"), color_scheme=scheme, viewport={"width": wide, "height": 800})
    page = opened.open("nav >> text=Course")
    for name in views(page):
        assert violations(page, axe, what) == [], name
        assert page.locator("h1").count() == page.locator("main").count() == 1, name
        if scheme == "light":
            scrolls_down_only(page, name)
    assert opened.heard == []


def scrolls_down_only(page: Any, name: str) -> None:
    """No state scrolls sideways at any width."""
    for each in WIDTHS:
        page.set_viewport_size({"width": each, "height": 800})
        assert page.evaluate("document.documentElement.scrollWidth") <= each, (name, each)
    page.set_viewport_size({"width": 1280, "height": 800})
