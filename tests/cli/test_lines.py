"""Lists and explanations on a narrow terminal: the same words as in a pipe, no line wider unless one word is. From the
docs of the room that shows results (DEVELOPERS.md, "An output").
"""

from __future__ import annotations

import pytest

from coaxwright.cli import showing
from coaxwright.cli.main import run
from coaxwright.show.screen import Screen

SITE = "examples/boatyard/alder-wharf.site.yaml"
CALLS = (
    ["explain", SITE, "cameras/slipway"], ["explain", SITE, "cameras/slipway", "feed.volts_night", "--uses"],
    ["explain", SITE, "--failures"], ["rules", "list"], ["parts", "list"],
)  # fmt: skip


@pytest.mark.parametrize("words", CALLS, ids=" ".join)
def test_a_narrow_terminal_wraps_and_loses_nothing(
    words: list[str], monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    assert run(words) == 0
    plain = capfd.readouterr().out
    monkeypatch.setattr(showing, "screen", lambda output: Screen(44))
    assert run(words) == 0
    narrow = capfd.readouterr().out
    assert narrow.split() == plain.split()
    assert max(map(len, plain.splitlines())) > 44
    assert all(len(line) <= 44 or len(line.split()) <= 2 for line in narrow.splitlines())
    assert not plain.endswith("\n\n")
