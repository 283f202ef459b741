"""One thing is told as one: "1 disk is fitted". What is right is common English."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest

from coaxwright.language.one_or_more import NOUNS, behind_one
from coaxwright.language.templates import Placeholder
from coaxwright.language.types import Int
from coaxwright.rulebook.loading import load_rulebook

NOT_COUNTED = {
    *("is", "its", "makes", "means", "needs", "stands", "stores"),
    *("takes", "this", "times", "wants", "was", "works"),
}
"""Words that end like several things and are none."""


@pytest.mark.parametrize(
    ("said", "right"),
    [
        (" disks are fitted", " disk is fitted"),
        (" network cameras and has room", " network camera and has room"),
        (" boxes have no power", " box has no power"),
        (" are planned", " is planned"),
        (" supplies.", " supply."),
        (" of 4 inputs are left", " of 4 inputs are left"),
        (" times the limit", " times the limit"),
        (" network", " network"),
        ("x wide", "x wide"),
    ],
)
def test_what_follows_a_one(said, right):
    assert behind_one(said) == right


def test_every_noun_that_a_rule_counts_is_known():
    unknown = set()
    for rule in load_rulebook().rules:
        for template in (rule.says, *rule.working, *(each for each in rule.fix_sentences if each is not None)):
            for part, after in pairwise(template):
                if isinstance(part, Placeholder) and isinstance(part.checked.type, Int) and isinstance(after, str):
                    word = re.match(r" (?:[a-z]+ )?([a-z]+s)\b", after)
                    if word and word[1] not in NOUNS | NOT_COUNTED:
                        unknown.add((rule.id, after[:40]))
    assert not unknown
