"""Makes the pictures of docs/pictures again from the examples: `python tests/report/make_pictures.py`.

Needs Chromium, playwright and poppler's `pdftoppm`. Look at every picture before it is committed.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

ROOT = Path(__file__).resolve().parents[2]
TO = ROOT / "docs" / "pictures"
SITE = "examples/fish-market/gannet-bay.site.yaml"


def made(folder: Path, *sites: str) -> Path:
    """The page of some sites, made as a user makes it."""
    path = folder / "page.html"
    call = [sys.executable, "-m", "coaxwright", "report", *sites, "--replace", "--output", str(path)]
    subprocess.run(call, cwd=ROOT, env={**os.environ, "PYTHONPATH": str(ROOT / "engine")}, check=True)
    return path


def shot(page: Page, selector: str, name: str, most: int = 900) -> None:
    """One part of the page, as far down as `most` pixels."""
    box = page.locator(selector).first.bounding_box()
    assert box is not None
    clip = {"x": 0, "y": box["y"], "width": page.viewport_size["width"], "height": min(box["height"], most)}
    page.screenshot(path=str(TO / f"{name}.png"), full_page=True, clip=clip)


def main() -> None:
    """Every picture."""
    TO.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as scratch, sync_playwright() as playwright:
        folder = Path(scratch)
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox", "--disable-gpu"])
        page = browser.new_page(viewport={"width": 1280, "height": 900})
        page.goto(made(folder, SITE).as_uri())
        page.screenshot(path=str(TO / "report-first-screen.png"))
        shot(page, "section.drawing", "report-drawing", 1000)
        shot(page, "[aria-labelledby=s1_cameras]", "report-cameras", 700)
        shot(page, "[aria-labelledby=s1_power] .pictures", "report-volts", 800)
        shot(page, "[aria-labelledby=s1_recorders]", "report-recorders")
        shot(page, "[aria-labelledby=s1_views]", "report-views", 800)
        page.pdf(path=str(folder / "page.pdf"), prefer_css_page_size=True, format="A4")
        text = subprocess.run(["pdftotext", str(folder / "page.pdf"), "-"], capture_output=True, text=True, check=True).stdout
        sheet = next(at for at, words in enumerate(text.split("\f"), 1) if "How it hangs together" in words)
        for number, name in ((1, "report-printed-first"), (sheet, "report-printed-drawing")):
            call = ["pdftoppm", "-r", "80", "-f", str(number), "-l", str(number), "-singlefile", "-png"]
            subprocess.run([*call, str(folder / "page.pdf"), str(TO / name)], check=True)
        narrow = browser.new_page(viewport={"width": 320, "height": 900})
        narrow.goto((folder / "page.html").as_uri())
        narrow.screenshot(path=str(TO / "report-narrow.png"))
        dark = browser.new_page(viewport={"width": 1280, "height": 900}, color_scheme="dark")
        dark.goto((folder / "page.html").as_uri())
        dark.screenshot(path=str(TO / "report-dark.png"))
        page.goto(made(folder, "examples/boatyard", "examples/cider-press", "examples/fish-market").as_uri())
        shot(page, ".index", "report-index")
        browser.close()


if __name__ == "__main__":
    main()
