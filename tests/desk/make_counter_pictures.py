"""Makes the pictures of the counter and the course in docs/pictures again: `python tests/desk/make_counter_pictures.py`.

Needs Chromium, playwright and pdftoppm. Look at every picture before it is committed.
"""

from __future__ import annotations

import shutil
import subprocess
import tempfile
from pathlib import Path
from typing import Any

from playwright.sync_api import sync_playwright

from coaxwright.desk.serving import Desk
from coaxwright.desk.session import Session
from coaxwright.workspace.project import Workspace
from coaxwright.workspace.store import FolderStore

ROOT = Path(__file__).resolve().parents[2]
TO = ROOT / "docs" / "pictures"
SIZES = ((1280, 860), (390, 844))


def asked(page: Any) -> None:
    """The first question of a counter."""
    page.wait_for_selector("nav >> text=Counter")
    page.click("nav >> text=Counter")
    page.focus("#q-camera")
    page.keyboard.type("fenn tur")
    page.wait_for_selector("#pick [aria-selected=true]")
    page.keyboard.press("Enter")
    page.focus("#q-recorder")
    page.keyboard.type("hyb")
    page.wait_for_selector("#pick [aria-selected=true]")
    page.keyboard.press("Enter")
    page.wait_for_selector("#h-answer")
    page.fill("#q-length", "90 m")
    page.wait_for_selector("text=90 m of rg59-copper holds")


def printed(page: Any, scratch: Path) -> None:
    """The printed answer on both papers."""
    page.click("text=Print this answer")
    page.wait_for_selector("text=Reference CX-")
    for paper in ("A4", "Letter"):
        file = scratch / f"{paper}.pdf"
        page.pdf(path=str(file), format=paper)
        name = TO / f"desk-counter-{paper.lower()}"
        subprocess.run(["pdftoppm", "-r", "60", "-png", "-singlefile", file, name], check=True)


COURSE = (
    ("practice", "/course/practice/power/1/3/0", ".option", 1280), ("diagnosis", "/course/diagnosis/2/m0.m3.h", "", 1280),
    ("lesson", "/course/lessons/power", "", 390),
)  # fmt: skip


def course(page: Any) -> None:
    """A question answered, a diagnosis on its way, a lesson on a phone."""
    for name, address, press, wide in COURSE:
        page.set_viewport_size({"width": wide, "height": 860})
        page.evaluate("to => { location.hash = to; }", address)
        page.wait_for_selector("text=question 4 of 8" if press else "main h2")
        page.wait_for_timeout(1500)
        if press:
            page.locator(press).nth(1).click()
            page.wait_for_selector("#course-said .said")
        page.evaluate("scrollTo(0, 0)")
        page.screenshot(path=str(TO / f"desk-course-{name}.png"))


def main() -> None:
    """Every picture."""
    with tempfile.TemporaryDirectory() as scratch, sync_playwright() as playwright:
        folder = Path(scratch) / "yard"
        shutil.copytree(ROOT / "examples" / "boatyard", folder)
        desk = Desk(Session(Workspace(FolderStore(folder))))
        desk.start()
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox"])
        for width, height in SIZES:
            page = browser.new_page(viewport={"width": width, "height": height})
            page.goto(desk.address)
            asked(page)
            page.screenshot(path=str(TO / f"desk-counter-{width}.png"))
            if width == SIZES[0][0]:
                printed(page, Path(scratch))
        course(page)
        browser.close()
        desk.stop()


if __name__ == "__main__":
    main()
