"""Judgements that are not made since another rule fails and leaves nothing to ask."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from coaxwright.facts.sheets import Sheet
from coaxwright.immutable import immutable
from coaxwright.rulebook.judging import Frame, frame_of, judge_exactly, silence_of
from coaxwright.rulebook.library import LoadedRule, Silence
from coaxwright.rulebook.limits import LimitValue
from coaxwright.rulebook.subjects import FactSource, subjects


@immutable
class Silent:
    """A rule that says nothing of a subject, and the silence that keeps it from it."""

    rule: LoadedRule
    subject: Sheet
    frame: Frame
    silence: Silence


def silent_in(
    rules: Iterable[LoadedRule], facts: FactSource, limits: Mapping[str, Mapping[str, LimitValue]], subject: str | None = None
) -> Iterator[Silent]:
    """All of a site, or of one subject, in the order of rules and of the site."""
    for rule in rules:
        if rule.silences:
            frame = frame_of(rule, facts, limits.get(rule.id))
            for each in subjects(rule.scope, facts):
                if subject in (None, each.subject):
                    silence = silence_of(judge_exactly(rule, each, frame))
                    if silence is not None:
                        yield Silent(rule, each, frame, silence)
