"""Reports of the example sites and the pages on which they are worked by hand, for the tests that compare the two."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

from coaxwright import check
from coaxwright.findings import SiteReport

ROOT = Path(__file__).resolve().parents[2]


def page(name: str) -> str:
    """The text of the page on which an example is worked by hand."""
    return (ROOT / "docs" / f"worked-example-{name}.md").read_text(encoding="utf-8")


@cache
def report(name: str) -> SiteReport:
    """The report of the one site of an example."""
    (site,) = (ROOT / "examples" / name).glob("*.site.yaml")
    return check(site)


def facts(name: str, subject: str) -> Any:
    """The facts of a subject of an example."""
    return report(name).facts[subject]
