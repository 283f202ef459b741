"""Two implementations, one answer: the engine against a naive one that shares no code, on random sites.

Four kinds of sites: pictures, records and plain power, with much left open (`open`) or little (`known`), and the same with
everything else on them (`rich`, `rich-known`). 25 sites of each by default; COAXWRIGHT_FULL=1 runs 10,000 in all. The
reference is the text of docs/how-facts-are-computed.md, docs/rules/facts.md, the titles of the rules, and the tables of
`rules/tables`. Sites on which some network is within 0.3 % of collapse are not asked.
"""

from __future__ import annotations

import os
from collections import Counter

import pytest

from coaxwright.facts.sheets import SHEETS
from coaxwright.rulebook.loading import load_rulebook

from . import comparing
from .judged import RULES

KINDS = {
    "open": comparing.case_of, "known": comparing.known_case_of,
    "rich": comparing.rich_case_of, "rich-known": comparing.rich_known_case_of,
}  # fmt: skip
FULL = bool(os.environ.get("COAXWRIGHT_FULL"))
EACH, BLOCKS = (25, 100) if FULL else (12, 1)
WITHOUT_SECOND_VERDICT: dict[str, str] = {}
"""Rules that the second opinion does not judge, with the reason. There is none."""
COUNTED = {"open": 20, "known": 30, "rich": 50, "rich-known": 150}
"""Sites of each kind on which verdicts are counted."""
SUFFICE = [
    ("rich-known", (53, 30, 12, 24, 77, 41, 72, 20, 27, 54, 2, 22, 31, 97, 1, 9, 29, 33, 37, 42, 145)), ("rich", (32, 23, 0)),
    ("known", (21, 5)),
]  # fmt: skip
"""Sites of these that are counted first: chosen among all so that few are needed. What they do not show, the others have to."""
SELDOM: dict[str, str] = {
    "power/undervoltage-rectifier": "a least voltage in the volt between the crest and what a meter shows; see its cases",
}
"""Rules that do not both pass and fail on the sites counted, with what is seldom."""


@pytest.fixture(scope="module")
def rulebook():
    return load_rulebook()


@pytest.mark.parametrize("block", range(BLOCKS))
@pytest.mark.parametrize("kind", KINDS)
def test_both_opinions_agree(kind, block, rulebook):
    facts_compared = verdicts_compared = near = 0
    for seed in range(block * EACH, (block + 1) * EACH):
        case = KINDS[kind](seed)
        opinion = comparing.naive_facts(*case)
        if comparing.too_near(opinion):
            near += 1
            continue
        facts = comparing.engine_facts(*case)
        found, count = comparing.differences(opinion, facts)
        assert not found, (kind, seed, found[:10])
        wrong, naive = comparing.verdict_differences(opinion, facts, rulebook, exactly=seed % 10 == 0)
        assert not wrong, (kind, seed, wrong[:10])
        facts_compared, verdicts_compared = facts_compared + count, verdicts_compared + sum(map(len, naive.values()))
    print(f"{kind} {block}: {facts_compared} facts, {verdicts_compared} verdicts, {near} too near to collapse", flush=True)
    assert near <= 3
    assert facts_compared > 400 * EACH
    assert verdicts_compared > 80 * EACH


def test_every_rule_has_a_second_verdict(rulebook):
    rules = {rule.id: rule.scope.subject for rule in rulebook.rules}
    assert set(rules) == set(RULES) | set(WITHOUT_SECOND_VERDICT)
    assert {identifier: kind for identifier, (kind, _) in RULES.items()}.items() <= rules.items()


@pytest.mark.slow("ten seconds for all rules; each has cases that pass and fail")
def test_every_rule_passes_and_fails_somewhere():
    """Verdicts that never differ between sites would prove nothing."""
    hits = {identifier: Counter() for identifier in RULES}
    for number, (kind, seed) in enumerate(_in_turn()):
        opinion = comparing.naive_facts(*KINDS[kind](seed))
        for identifier, verdicts in comparing.verdicts(opinion).items():
            hits[identifier].update(verdicts.values())
        if not _wanting(hits):
            print(f"{number + 1} sites were enough")
            return
    assert not _wanting(hits), {identifier: dict(each) for identifier, each in hits.items()}


def _in_turn():
    """Kind and seed of the sites counted: those that suffice, then those with most on them first and in between the others."""
    first = [(kind, seed) for kind, seeds in SUFFICE for seed in seeds]
    rest = sorted(((kind, seed) for kind, count in COUNTED.items() for seed in range(count)),
                  key=lambda each: each[1] / COUNTED[each[0]])  # fmt: skip
    return dict.fromkeys([*first, *rest])


def _wanting(hits):
    """What the sites so far do not show."""
    seldom = {identifier for identifier, each in hits.items() if not each["pass"] or not each["fail"]}
    few = [word for word in ("open", "not-applicable") if sum(each[word] > 0 for each in hits.values()) <= 120]
    return [*sorted(seldom - set(SELDOM)), *few]


def test_every_plain_field_is_modelled():
    """Every field of every sheet has a value of the second opinion on some site, but for words for people."""
    seen = {kind: set() for kind in SHEETS}
    for make in (comparing.rich_case_of, comparing.rich_known_case_of):
        for seed in range(12):
            opinion = comparing.naive_facts(*make(seed))
            for (kind, _), fields in opinion.found.items():
                seen[kind].update(name for name, value in fields.items() if value is not None)
    assert not {f"{kind}.{name}" for kind in SHEETS if kind != "path" for name in comparing.own_fields(kind) - seen[kind]}


def test_a_wrong_fact_is_seen():
    """The comparison itself can fail: one figure of the naive opinion moved, one line of difference."""
    case = comparing.case_of(3)
    opinion, facts = comparing.naive_facts(*case), comparing.engine_facts(*case)
    assert comparing.differences(opinion, facts)[0] == []
    fields = next(each for (kind, _), each in opinion.found.items() if kind == "link" and each["metres"])
    fields["metres"] *= 1.0001
    assert len(comparing.differences(opinion, facts)[0]) == 1


def test_a_wrong_verdict_is_seen(rulebook):
    """One fact moved far enough, and a verdict differs."""
    case = comparing.case_of(3)
    opinion, facts = comparing.naive_facts(*case), comparing.engine_facts(*case)
    assert comparing.verdict_differences(opinion, facts, rulebook, exactly=True)[0] == []
    fields = next(each for (kind, _), each in opinion.found.items() if kind == "link" and each["joints"] is not None)
    fields["joints"] = 99
    assert any("cable/joint-count" in line for line in comparing.verdict_differences(opinion, facts, rulebook)[0])
