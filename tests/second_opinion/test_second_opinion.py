"""Two implementations, one answer: the engine against a naive one that shares no code, on random sites.

150 sites by default, half of them with much left open; COAXWRIGHT_FULL=1 runs 10,000. The reference is the text of
docs/how-facts-are-computed.md and
the tables of `rules/tables`. Currents of a network that collapses, and sites within 0.3 % of collapse, are not asked.
"""

from __future__ import annotations

import os

import pytest

from coaxwright.rulebook.loading import load_rulebook

from . import comparing

SITES = 10_000 if os.environ.get("COAXWRIGHT_FULL") else 150
BLOCKS = 5
EACH = SITES // BLOCKS // 2


@pytest.fixture(scope="module")
def rulebook():
    return load_rulebook()


@pytest.mark.parametrize("block", range(BLOCKS))
@pytest.mark.parametrize("make", [comparing.case_of, comparing.known_case_of], ids=["open", "known"])
def test_both_opinions_agree(make, block, rulebook):
    facts_compared = verdicts_compared = near = 0
    rules = set()
    for seed in range(block * EACH, (block + 1) * EACH):
        case = make(seed)
        opinion = comparing.naive_facts(*case)
        if comparing.too_near(opinion):
            near += 1
            continue
        facts = comparing.engine_facts(*case)
        found, count = comparing.differences(opinion, facts)
        assert not found, (seed, found[:10])
        wrong, judged, seen = comparing.verdict_differences(opinion, facts, rulebook)
        assert not wrong, (seed, wrong[:10])
        facts_compared, verdicts_compared, rules = facts_compared + count, verdicts_compared + judged, rules | seen
    print(f"{facts_compared} facts, {verdicts_compared} verdicts of {len(rules)} rules, {near} too near to collapse")
    assert near <= EACH // 20 + 1
    assert facts_compared > 400 * EACH
    assert len(rules) >= 40


def test_a_wrong_fact_is_seen():
    """The comparison itself can fail: one figure of the naive opinion moved, one line of difference."""
    case = comparing.case_of(3)
    opinion, facts = comparing.naive_facts(*case), comparing.engine_facts(*case)
    assert comparing.differences(opinion, facts)[0] == []
    fields = next(each for (kind, _), each in opinion.found.items() if kind == "link" and each["metres"])
    fields["metres"] *= 1.0001
    assert len(comparing.differences(opinion, facts)[0]) == 1
