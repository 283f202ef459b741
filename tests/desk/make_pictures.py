"""Makes the pictures of the desk in docs/pictures again: `python tests/desk/make_pictures.py`.

Needs Chromium and playwright. Look at every picture before it is committed.
"""

from __future__ import annotations

import shutil
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


def shot(page: Any, name: str) -> None:
    """What the window shows."""
    page.wait_for_timeout(400)
    page.screenshot(path=str(TO / f"desk-{name}.png"))


def journey(page: Any) -> None:
    """The designer's view in its states."""
    shot(page, "site")
    page.locator('[id="c/cameras/gate/power/over/0/cable"]').focus()
    page.keyboard.type("dc-1.5")
    page.wait_for_selector("#pick [role=option]")
    page.keyboard.press("ArrowDown")
    shot(page, "editing")
    page.keyboard.press("Escape")
    page.keyboard.press("Escape")
    page.get_by_role("button", name="How far can it move?").click()
    page.wait_for_selector(".lim")
    page.locator(".lim input").nth(3).focus()
    page.keyboard.press("PageDown")
    page.wait_for_selector(".trial:not(:empty)")
    shot(page, "limits")
    page.keyboard.press("Escape")
    page.get_by_role("button", name="gate gets 9.31 V").click()
    page.wait_for_selector(".change")
    shot(page, "finding")
    page.locator("[data-do=apply]").first.click()
    page.wait_for_selector("text=Applied:")
    shot(page, "applied")
    page.get_by_role("tab", name="File as text").click()
    page.wait_for_selector("#file-text")
    shot(page, "text")


def main() -> None:
    """Every picture."""
    with tempfile.TemporaryDirectory() as scratch, sync_playwright() as playwright:
        folder = Path(scratch) / "nursery"
        shutil.copytree(ROOT / "examples" / "plant-nursery", folder)
        work = Workspace(FolderStore(folder))
        desk = Desk(Session(work))
        desk.start()
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox", "--disable-gpu"])
        page = browser.new_page(viewport={"width": 1300, "height": 900})
        page.goto(desk.address)
        page.wait_for_selector("#f-start h1")
        shot(page, "start")
        page.get_by_role("button", name="rowan-bank.site.yaml").click()
        page.wait_for_selector("#grid")
        journey(page)
        page.keyboard.press("Control+z")
        page.locator("#menu summary").click()
        shot(page, "menu")
        page.context.close()
        for name, context in (
            ("dark", {"viewport": {"width": 1300, "height": 900}, "color_scheme": "dark"}),
            ("phone", {"viewport": {"width": 390, "height": 844}}),
            ("768", {"viewport": {"width": 768, "height": 1024}}),
            ("320", {"viewport": {"width": 320, "height": 640}}),
        ):
            other = browser.new_page(**context)
            other.goto(desk.address)
            other.wait_for_selector("#grid")
            shot(other, name)
            other.context.close()
        desk.stop()


if __name__ == "__main__":
    main()
