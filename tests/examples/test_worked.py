"""Every measured figure in a finding about an example stands, worked by hand, in docs/worked-example*.md."""

from __future__ import annotations

import json
import re
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))
from expected import EXAMPLES, ROOT, expected_file

FIGURE = re.compile(
    r"(?<![\w.,/@-])-?\d+(?:\.\d+)?(?= ?(?:%|°C|mA|A|V|W|mm|m|km|dB|MHz|fps|Mpx/s|px/m|Mb/s|days|h|TB|B|J|deg|lux)(?![\w/]))"
)
NAMED = re.compile(r"`?examples/([a-z-]+)/?")


def _pages() -> dict[str, str]:
    """What is worked about each example: the page that names it at its head, and the section with its name."""
    found: dict[str, str] = {}
    for page in sorted((ROOT / "docs").glob("worked-example*.md")):
        text = page.read_text(encoding="utf-8")
        parts = re.split(r"(?m)^## (?=examples/)", text) if page.name == "worked-examples.md" else ["", text]
        for part in parts[1:]:
            named = NAMED.search(part)
            assert named is not None, page.name
            found[named[1]] = found.get(named[1], "") + part
    return found


PAGES = _pages()


def _unworked(message: str, worked: str) -> list[str]:
    return [figure for figure in FIGURE.findall(message) if not re.search(rf"(?<![\d.]){re.escape(figure)}(?![\d]|\.\d)", worked)]


@pytest.mark.parametrize("site", EXAMPLES, ids=lambda path: path.parent.name)
def test_every_figure_of_a_finding_is_worked_by_hand(site: Path) -> None:
    told = json.loads(expected_file(site).read_text(encoding="utf-8"))
    worked = PAGES[site.parent.name]
    missing = {
        (finding["rule"], finding["subject"], figure)
        for finding in told["findings"]
        if finding["kind"] == "fail"
        for figure in _unworked(finding["message"], worked)
    }
    assert missing == set()


def test_a_figure_that_nobody_worked_is_found() -> None:
    assert _unworked("x gets 7.36 V and wants 10.8 V", "by hand 7.361 V, 10.8 V") == ["7.36"]
    assert _unworked("loses 24.4 dB at 74.25 MHz of camera-4", "24.4 dB, 74.25 MHz") == []
