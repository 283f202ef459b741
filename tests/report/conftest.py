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
BAD_SHOP = {
    "retention: 14 days": "retention: 200 days", "trim: 13 V": "trim: 11.5 V", "dc-1.5mm2": "dc-0.5mm2",
    "building: b1, reach: tool": "building: b2, reach: hand", "{rate: 8 fps}": "{rate: 30 fps, sound: true}",
    "{rate: 9 fps}": "{rate: 25 fps, full_width: true, night: true}", "rg59-copper, length: 9": "rg59-ccs, length: 39",
    "into: r1/13": "into: r1/40", "from: p1/5\n": "from: p1/50\n", "from: p1/6\n": "from: p1/7\n",
    "rg59-copper, length: 62 m": "rg59-copper", "12.5}\n    video:\n      into: r1/2\n": "20}\n    video:\n      into: r1/2\n",
}  # fmt: skip
"""What is done to the invented site of 16 cameras to make a bad one: some forty findings of fifteen rules, and open questions."""


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


def _bad_shop(good: Path) -> Path:
    text = good.read_text(encoding="utf-8")
    for before, after in BAD_SHOP.items():
        assert before in text, before
        text = text.replace(before, after)
    bad = good.with_name("bad-16.site.yaml")
    bad.write_text(text, encoding="utf-8")
    return bad


@pytest.fixture(scope="session")
def reports(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str | int], Report]:
    """The report of an example by the stem of its file, or of an invented site by its number of cameras."""
    from big_sites import write_site

    folder = tmp_path_factory.mktemp("sites")
    by_name = {path.name.removesuffix(".site.yaml"): path for path in EXAMPLES}
    made: dict[str | int, Report] = {}

    def report(which: str | int) -> Report:
        if which not in made:
            path = _bad_shop(write_site(16, folder)) if which == "bad-16" else None
            path = path or (write_site(which, folder) if isinstance(which, int) else by_name[which])
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
