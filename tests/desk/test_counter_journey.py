"""The counter in a real browser, by keyboard alone, with a server and without one; for everybody, at every width."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from tests.desk.hostile import PAYLOADS
from tests.desk.test_for_everybody import ALL, OF_BOTH, violations

from coaxwright.cli.main import run

ROOT = Path(__file__).resolve().parents[2]
PARTS = sorted((ROOT / "examples" / "boatyard" / "parts").glob("*.yaml"))
PAIR = ("fennick/turret-5", "tarnwell/hybrid-8")
WIDTHS = (320, 390, 768, 1280)
Open = Callable[..., Any]
Start = Callable[..., Any]


def typed(page: Any, words: str, part: str) -> None:
    """Words into the field that has focus, and the first part that is found."""
    page.keyboard.type(words)
    page.wait_for_selector(f'#pick [aria-selected=true][data-value="{part}"]')
    page.keyboard.press("Enter")


def tabbed(page: Any, to: str, key: str = "Tab") -> None:
    """Tab on until an element has focus."""
    for _ in range(40):
        if page.evaluate("to => document.activeElement?.matches(to) ?? false", to):
            return
        page.keyboard.press(key)
    raise AssertionError(f"Tab does not lead to {to}")


def journey(page: Any) -> bytes:
    """The journey of a counter by keyboard; the page that is saved at its end."""
    tabbed(page, "#q-camera")
    typed(page, "fenn 5 tur", PAIR[0])
    tabbed(page, "#q-recorder")
    typed(page, "hyb", PAIR[1])
    page.wait_for_selector("#h-answer")
    assert page.locator("#h-answer").inner_text() == "Works, with a loss"
    assert 12 <= len(page.locator("#spoken").inner_text().split()) <= 75
    tabbed(page, "#q-length")
    page.keyboard.type("90 m")
    page.wait_for_selector("text=90 m of rg59-copper holds; it reaches 240 m")
    tabbed(page, "#counter-answer summary")
    page.keyboard.press("Enter")
    assert page.locator("#counter-answer details[open]").count() == 1
    tabbed(page, "[data-do=counter-file]", "Shift+Tab")
    with page.expect_download() as download:
        page.keyboard.press("Enter")
    data = Path(download.value.path()).read_bytes()
    tabbed(page, "[data-do=copy-words]", "Shift+Tab")
    page.keyboard.press("Enter")
    page.wait_for_selector("text=The words are copied.")
    tabbed(page, "[data-go^='/counter/print']", "Shift+Tab")
    page.keyboard.press("Enter")
    page.wait_for_selector("text=Reference CX-")
    assert "Not asked, so not judged: the supply" in page.locator(".sheet").inner_text()
    page.go_back()
    page.wait_for_selector("#q-camera")
    assert page.locator("#q-camera").input_value() == PAIR[0]
    page.reload()
    page.wait_for_selector("#h-answer")
    page.locator("[data-do=counter-next]").press("Enter")
    page.wait_for_function("() => document.activeElement?.id === 'q-camera' && document.activeElement.value === ''")
    assert page.locator("#q-recorder").input_value() == ""
    return data


def of_command_line(tmp_path: Path, *more: str) -> bytes:
    parts = [word for path in PARTS for word in ("--parts", str(path))]
    out = tmp_path / "out.html"
    assert run(["pair", *PAIR, *more, *parts, "--format", "html", "--output", str(out)]) == 0
    return out.read_bytes()


RUN = ("--cable", "rg59-copper", "--length", "90 m")


def test_the_journey_with_a_server(start: Start, tab: Open, tmp_path: Path) -> None:
    at = tab(start("boatyard"), viewport={"width": 390, "height": 844})
    page = at.open("nav >> text=Counter")
    page.locator("nav >> text=Counter").press("Enter")
    page.wait_for_selector("#q-camera")
    assert journey(page) == of_command_line(tmp_path, *RUN)
    assert at.heard == []


def test_the_journey_from_a_static_host_with_a_catalogue_baked_in(of_static: Any, tmp_path: Path) -> None:
    assert "7 parts" in of_static.locator(".where").inner_text()
    assert journey(of_static) == of_command_line(tmp_path, *RUN)


def test_a_list_on_its_way_is_escaped_and_an_answer_is_followed_up_by_keyboard_alone(start: Start, tab: Open) -> None:
    at = tab(start("boatyard"))
    page = at.open("nav >> text=Counter")
    page.locator("nav >> text=Counter").press("Enter")
    page.wait_for_selector("#q-camera")
    late: list[Any] = []
    page.route("**/ask", lambda each: late.append(each) if '"counter-find"' in each.request.post_data else each.continue_())
    tabbed(page, "#q-camera")
    page.keyboard.type("f")
    while not late:
        page.wait_for_timeout(20)
    page.keyboard.press("Escape")
    for each in late:
        each.continue_()
    page.wait_for_timeout(400)
    assert page.locator("#pick").count() == 0
    assert page.evaluate("[document.activeElement.id, document.activeElement.value]") == ["q-camera", "f"]
    page.unroute("**/ask")
    typed(page, "enn 5 tur", PAIR[0])
    tabbed(page, "#q-recorder")
    typed(page, "hyb", PAIR[1])
    page.wait_for_selector("#h-answer")
    tabbed(page, "[data-do=counter-site]")
    page.keyboard.press("Enter")
    page.wait_for_selector("#grid")
    page.wait_for_function("() => document.activeElement?.id === 'h-site'")
    assert len(list(at.running.folder.glob("fennick-turret-5-on-*.site.yaml"))) == 1
    page.locator("nav >> text=Course").press("Enter")
    page.locator("nav >> text=What is seen").press("Enter")
    for field, words in (("#q-device1", "cameras/camera"), ("#q-symptom1", "no picture at")):
        tabbed(page, field)
        page.keyboard.type(words)
    tabbed(page, "main button[type=submit]")
    page.keyboard.press("Enter")
    page.wait_for_function("() => document.activeElement?.id === 'h-cause'")
    assert "cameras/camera: no picture at night" in page.locator("#seen-answer").inner_text()
    assert at.heard == []


def views(page: Any) -> Iterator[str]:
    """Every view and state of the counter, one after the other."""
    page.wait_for_selector("#q-camera")
    yield "empty"
    page.focus("#q-camera")
    page.keyboard.type("t")
    page.wait_for_selector("#pick [role=option]")
    yield "a list"
    page.keyboard.press("Enter")
    page.fill("#q-camera", "")
    for field, words, part in (("#q-camera", "fenn", PAIR[0]), ("#q-recorder", "hyb", PAIR[1])):
        page.focus(field)
        typed(page, words, part)
    page.wait_for_selector("#h-answer")
    for each in page.locator("summary").all():
        each.click()
    yield "an answer"
    page.fill("#q-length", "70 n")
    page.wait_for_selector("text=is not a length")
    yield "a refusal"
    page.fill("#q-length", "400 m")
    page.wait_for_selector("text=Too long a run")
    yield "too long"
    page.get_by_role("button", name="Print this answer").click()
    page.wait_for_selector("text=Reference CX-")
    yield "print"
    page.get_by_role("button", name="Back to the counter").click()
    page.get_by_role("button", name="A whole list").click()
    page.fill("#q-cameras", "4 fennick/turret-5, sound on 2\n2 tarnwell/dome-2")
    page.get_by_role("button", name="Answer", exact=True).click()
    page.wait_for_selector("text=keeps most")
    yield "a set"
    page.get_by_role("button", name="What replaces it").click()
    page.get_by_role("button", name="What replaces the camera?").click()
    page.wait_for_selector("text=Compared as a pair only")
    yield "replacements"
    page.get_by_role("button", name="Many on many").click()
    page.wait_for_selector("[aria-current=page] >> text=Many on many")  # the view before has a field of the same name
    page.fill("#q-among", "*")
    page.get_by_role("button", name="Answer", exact=True).click()
    page.wait_for_selector("#counter-answer table")
    yield "a table"


@pytest.mark.parametrize(("scheme", "wide", "what"), [("light", 1280, ALL), ("dark", 320, OF_BOTH)],
                         ids=["light-1280", "dark-320"])  # fmt: skip
def test_axe_finds_nothing_in_any_state(start: Start, tab: Open, axe: str, scheme: str, wide: int, what: Any) -> None:
    at = tab(start("boatyard"), color_scheme=scheme, viewport={"width": wide, "height": 800})
    page = at.open("nav >> text=Counter")
    page.click("nav >> text=Counter")
    for name in views(page):
        assert violations(page, axe, what) == [], name
        assert page.locator("h1").count() == page.locator("main").count() == 1, name


def test_no_state_scrolls_sideways(start: Start, tab: Open) -> None:
    at = tab(start("boatyard"))
    page = at.open("nav >> text=Counter")
    page.click("nav >> text=Counter")
    for name in views(page):
        for wide in WIDTHS:
            page.set_viewport_size({"width": wide, "height": 800})
            page.wait_for_timeout(60)  # a list that is open is laid anew
            assert page.evaluate("document.documentElement.scrollWidth") <= wide, (name, wide)
            if wide == 390:
                small = page.evaluate(
                    "() => [...document.querySelectorAll('main button, main summary')].filter((each) =>"
                    " each.getClientRects().length && each.getBoundingClientRect().height < 44).map((each) => each.innerText)"
                )
                assert small == [], name
    assert at.heard == []


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_printed_answer_fits_one_page(start: Start, tab: Open, tmp_path: Path, paper: str) -> None:
    import subprocess

    if shutil.which("pdftotext") is None:
        pytest.skip("no pdftotext here: poppler-utils has it")
    at = tab(start("boatyard"))
    page = at.open("nav >> text=Counter")
    page.evaluate("to => { location.hash = to; }", "/counter/print/camera=fennick%2Fturret-5&recorder=tarnwell%2Fhybrid-8")
    page.wait_for_selector("text=Reference CX-")
    page.pdf(path=tmp_path / "out.pdf", format=paper)
    text = subprocess.run(["pdftotext", "-layout", tmp_path / "out.pdf", "-"], capture_output=True, text=True, check=True).stdout
    assert text.count("\f") == 1
    assert "Reference CX-" in text
    assert "Not asked, so not judged" in text
    assert "Back to the counter" not in text


def test_forty_payloads_in_every_field_do_nothing(start: Start, tab: Open) -> None:
    at = tab(start("boatyard"))
    page = at.open("nav >> text=Counter")
    page.click("nav >> text=Counter")
    page.wait_for_selector("#q-camera")
    page.click("text=More: how it is switched")
    fields = ("q-camera", "q-recorder", "q-length", "q-switched", "q-customer")
    for place, payload in enumerate(PAYLOADS):
        page.fill(f"#{fields[place % len(fields)]}", payload.replace("\t", " "))
        page.wait_for_timeout(40)
    page.get_by_role("button", name="A whole list").click()
    page.fill("#q-cameras", "\n".join(PAYLOADS))
    page.fill("#q-keep", PAYLOADS[0])
    page.get_by_role("button", name="Answer", exact=True).click()
    page.wait_for_selector("#counter-answer .problems")
    page.fill("#q-keep", "")
    page.get_by_role("button", name="Answer", exact=True).click()
    page.wait_for_timeout(300)
    assert at.heard == []
    assert page.locator("main img, main iframe, main object, main embed, main script, main base, main link").count() == 0
