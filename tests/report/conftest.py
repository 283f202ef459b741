"""Pages of real sites, and a real browser to open them in.

The browser is Debian's Chromium; without it, or without the package that drives it, the tests that need it are skipped
and say so. `.ci/run` installs both, and axe-core, so there nothing is skipped. It has one face only, so that what is
measured does not hang on the fonts of the machine.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from coaxwright.checking import check_many
from coaxwright.findings import Report
from coaxwright.reporting.page.document import document

ROOT = Path(__file__).resolve().parents[2]
sys.path.append(str(ROOT / "tests" / "bench"))
sys.path.append(str(ROOT / "tests" / "report"))
from fonts import only_dejavu  # noqa: E402

EXAMPLES = sorted((ROOT / "examples").rglob("*.site.yaml"))
LAUNCH = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync",
]  # fmt: skip
SIZES = (1, 4, 16, 64, 128)


def relative(report: Report) -> Report:
    """File names without the folder where the checkout happens to lie."""
    root = f"{ROOT}/"
    sites = tuple(
        replace(
            site,
            file=site.file.removeprefix(root),
            findings=tuple(replace(each, file=each.file.removeprefix(root)) for each in site.findings),
        )
        for site in report.sites
    )
    return replace(report, sites=sites)


@pytest.fixture(scope="session")
def reports(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str | int], Report]:
    """The report of an example by the stem of its file, or of an invented site by its number of cameras."""
    from big_sites import write_site

    folder = tmp_path_factory.mktemp("sites")
    by_name = {path.name.removesuffix(".site.yaml"): path for path in EXAMPLES}
    made: dict[str | int, Report] = {}

    def report(which: str | int) -> Report:
        if which not in made:
            path = write_site(which, folder) if isinstance(which, int) else by_name[which]
            made[which] = relative(check_many([path]))
        return made[which]

    return report


@pytest.fixture(scope="session")
def pages(reports: Callable[[str | int], Report], tmp_path_factory: pytest.TempPathFactory) -> Callable[[str | int], Path]:
    """The page of such a report as a file."""
    folder = tmp_path_factory.mktemp("pages")

    def page(which: str | int) -> Path:
        path = folder / f"{which}.html"
        if not path.exists():
            path.write_text(document(reports(which)), encoding="utf-8")
        return path

    return page


@pytest.fixture(scope="session")
def one_face(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str] | None:
    """The environment in which a browser has DejaVu and no other face."""
    return only_dejavu(tmp_path_factory.mktemp("face"))


@pytest.fixture
def measured(one_face: dict[str, str] | None) -> None:
    """For tests that measure lettering: it has to be of a known face."""
    if one_face is None:
        pytest.skip("no DejaVu Sans here: apt-get install fonts-dejavu-core")


@pytest.fixture(scope="session")
def browser(chromium: Callable[..., Any], one_face: dict[str, str] | None) -> Iterator[Any]:
    launched = chromium(args=LAUNCH, env=one_face)
    yield launched
    launched.close()


@pytest.fixture(scope="session")
def axe() -> str:
    """The source of axe-core; never part of a report."""
    places = [os.environ.get("COAXWRIGHT_AXE", ""), str(ROOT / ".venv" / "axe" / "node_modules" / "axe-core" / "axe.min.js")]
    found = next((Path(place) for place in places if place and Path(place).is_file()), None)
    if found is None:
        pytest.skip("no axe-core here: npm install --prefix .venv/axe axe-core@4.14.1")
    return found.read_text(encoding="utf-8")


class Watched:
    """A page that notes every request, console message, error and dialog."""

    def __init__(self, browser: Any, **context: Any) -> None:
        self.context = browser.new_context(**{"offline": True, **context})
        self.page = self.context.new_page()
        self.heard: list[str] = []
        self.page.on("request", lambda request: self._request(request.url))
        self.page.on("console", lambda message: self.heard.append(f"console: {message.text}"))
        self.page.on("pageerror", lambda error: self.heard.append(f"error: {error}"))
        self.page.on("dialog", lambda dialog: self._dialog(dialog))

    def _request(self, url: str) -> None:
        if url != self.page_url:
            self.heard.append(f"request: {url}")

    def _dialog(self, dialog: Any) -> None:
        self.heard.append(f"dialog: {dialog.message}")
        dialog.dismiss()

    page_url = ""

    def open(self, path: Path) -> Any:
        self.page_url = path.as_uri()
        self.page.goto(self.page_url)
        return self.page


@pytest.fixture
def watched(browser: Any) -> Iterator[Callable[..., Watched]]:
    made: list[Watched] = []

    def watch(**context: Any) -> Watched:
        made.append(Watched(browser, **context))
        return made[-1]

    yield watch
    for each in made:
        each.context.close()
