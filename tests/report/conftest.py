"""Reports and pages of real sites; the browser to open them in is that of `tests/browsing.py`."""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from coaxwright.checking import check_many
from coaxwright.findings import Report
from coaxwright.reporting.page.document import document

ROOT = Path(__file__).resolve().parents[2]
sys.path.append(str(ROOT / "tests" / "bench"))
sys.path.append(str(ROOT / "tests" / "report"))

EXAMPLES = sorted((ROOT / "examples").rglob("*.site.yaml"))
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


@pytest.fixture
def measured(one_face: dict[str, str] | None) -> None:
    """For tests that measure lettering: it has to be of a known face."""
    if one_face is None:
        pytest.skip("no DejaVu Sans here: apt-get install fonts-dejavu-core")
