"""Two wrong methods in one answer: what a question comes to for who makes both mistakes at once.

They are what makes options balanced. A key that is always the middle of *half, right, double* is found without the plan;
where double and four times are offered as well, the key can be the least, and for *half and a quarter* the greatest.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import combinations

from coaxwright.quiz import answers
from coaxwright.quiz.answers import Asked
from coaxwright.quiz.bank import Bank
from coaxwright.quiz.forms import SlipUsed
from coaxwright.quiz.items import Wrong

TWO_SLIPS = "two-slips"
ANOTHER_ROW = "another-row"
"""The slip that reads the row of another device: what the question comes to there."""
KINDS = frozenset({"value", "what-if", "longest-run"})


def both(bank: Bank, asked: Asked) -> Iterator[Wrong]:
    """What every two wrong methods of the pattern come to together, as far as they go together and come to anything."""
    if asked.pattern.form.kind not in KINDS:
        return
    single = [used for used in asked.pattern.slips if used.slip != ANOTHER_ROW and not used.alone]
    for one, other in combinations(single, 2):
        joined = _joined(bank, one, other)
        found = answers.wrong_answer(bank, asked, joined) if joined is not None and _fit(asked, one, other) else None
        if found is not None:
            feedback = " ".join(bank.slips[each.slip].feedback for each in (one, other))
            yield Wrong(found, TWO_SLIPS, feedback, pair=(one.slip, other.slip))


def _joined(bank: Bank, one: SlipUsed, other: SlipUsed) -> SlipUsed | None:
    """Both misreadings of the plan, then both factors on the result; None where each answers in words of its own."""
    if one.slip == other.slip or (one.answer and other.answer) or (one.before and other.before):
        return None
    factors = [used.scale or bank.slips[used.slip].scale for used in (one, other)]
    edits = [bank.slips[used.slip].edits if used.edits is None else used.edits for used in (one, other)]
    return SlipUsed(
        slip=TWO_SLIPS,
        answer=one.answer or other.answer,
        edits=(*edits[0], *edits[1]),
        scale=math.prod(each for each in factors if each) if any(factors) else None,
        before=one.before or other.before,
        when=None,
        alone=True,
    )


def _fit(asked: Asked, *used: SlipUsed) -> bool:
    facts = asked.plan.facts()
    return all(each.when is None or answers.evaluated(asked, facts, each.when) is True for each in used)
