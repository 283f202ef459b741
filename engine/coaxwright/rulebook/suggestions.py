"""The changes that a rule declares, without those that the case itself rules out.

A second supply "for part of the cameras" is no advice where one camera hangs on it, and another signal family none where the
makers differ. The rule file says so under `when` of the change.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from coaxwright.language.templates import Template
from coaxwright.rulebook.judging import Judgement
from coaxwright.rulebook.related import evaluated


def suggestions(judgement: Judgement) -> Iterator[tuple[Mapping[str, Any], Template | None]]:
    """Each change as declared with its sentence, in the order of the file; one whose condition is not known stays."""
    rule = judgement.rule
    stated = rule.plain.get("fixes", ())
    for fix, sentence, guard in zip(stated, rule.fix_sentences, rule.fix_guards, strict=True):
        if guard is None or evaluated(judgement, guard) is not False:
            yield fix, sentence
