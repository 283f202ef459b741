"""The peers of the benchmark find what the rulebook finds: 100 cameras, those whose libraries are installed. Nothing is timed.

Oracles: each library is an implementation of its own of the five rules.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

sys.path.insert(0, str(Path(__file__).resolve().parent))

from peers.hand import Hand
from peers.race import PEERS, Runner, race
from peers.rows import Rows, facts, rows_of

from coaxwright.checking import load_rulebook
from coaxwright.rulebook.judging import judge_rule

RULES = {
    "loss": "cable/loss-beyond-limit",
    "shared": "channels/input-shared",
    "output": "power/output-overloaded",
    "picture": "signal/no-picture",
}


@pytest.fixture(scope="module")
def found(tmp_path_factory: pytest.TempPathFactory) -> Any:
    return facts(100, tmp_path_factory.mktemp("site"))


@pytest.fixture(scope="module")
def rows(found: Any) -> Rows:
    return rows_of(found)


def asked(subject: Any) -> bool:
    """The peers judge outputs of which nothing collapses; the rulebook's rule asks the others for the watts stated."""
    return not any(feed.known("collapsed") for feed in getattr(subject, "feeds", ()))


def test_hand_written_finds_what_the_rulebook_finds(found: Any, rows: Rows) -> None:
    broken = Hand().judge(rows)
    assert all(broken.values())
    rulebook = load_rulebook()
    for name, rule in RULES.items():
        told = [each.subject.subject for each in judge_rule(rulebook.rule(rule), found).of("fail") if asked(each.subject)]
        assert sorted(broken[name]) == sorted(told), rule
    recorders = found.by_kind("recorder")
    assert broken["encode"] == [each.subject for each in recorders if each.encode_demand > each.encode_total]


@pytest.mark.parametrize("make", PEERS, ids=lambda make: make.name)
def test_peer_finds_the_same(make: Callable[[], Any], rows: Rows) -> None:
    try:
        peer = make()
    except ImportError as error:
        pytest.skip(f"not installed (extra `bench`): {error}")
    counts = race([Runner(peer)], rows, 1)
    assert all(counts.values())


def test_a_peer_that_finds_something_else_is_told(rows: Rows) -> None:
    class Blind(Hand):
        def judge(self, rows: Rows) -> Any:
            return {**super().judge(rows), "loss": []}

    with pytest.raises(AssertionError, match="hand-written"):
        race([Runner(Blind())], rows, 1)
