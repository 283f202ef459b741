"""The page of planted mistakes holds every one of them, and what the language server says of it today."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.editor.client import Client
from tests.editor.mistakes_page import KINDS, PAGE, page
from tests.editor.test_yaml_server import PLANTED, REAL, ROOT, SERVER, SETTINGS


def test_every_planted_mistake_has_its_row() -> None:
    """At least thirty, each with what is said of it; an answer that is empty would be a mistake that nobody hears of."""
    rows = [line.split(" | ") for line in PAGE.read_text(encoding="utf-8").splitlines() if line.startswith(("| `", "| (left"))]
    assert len(rows) == len(PLANTED) >= 30
    assert all(row[-1].strip(" |") for row in rows)
    assert {base for base, *_ in PLANTED} == set(KINDS)


@REAL
def test_the_page_says_what_the_server_says(tmp_path: Path) -> None:
    """`python -m tests.editor.mistakes_page` writes it anew."""
    if not SERVER.exists():
        pytest.skip("yaml-language-server (npm) is not there: COAXWRIGHT_CLIENTS names the folder that it is installed in")
    with Client([str(SERVER), "--stdio"], ROOT, SETTINGS) as client:
        assert page(client, tmp_path) == PAGE.read_text(encoding="utf-8")
