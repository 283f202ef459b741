"""Rules that a failing one keeps from judging what a number moves: of that number nobody can say that it holds."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from coaxwright.facts.sheets import Sheet
from coaxwright.findings import LEVELS
from coaxwright.fixes.comparing import Key
from coaxwright.fixes.rejudging import SiteState
from coaxwright.rulebook.dependencies import DependencyMap
from coaxwright.rulebook.judging import Frame, frame_of, judge_exactly, silence_of
from coaxwright.rulebook.library import LoadedRule
from coaxwright.rulebook.subjects import subjects


def silent_on(state: SiteState, moved: Iterable[SiteState], level: str) -> Mapping[Key, str]:
    """The judgements of at least that level that are not made in `state` since another rule fails, and that read a fact
    which is another in one of the `moved` states; each with the rule that fails.
    """
    silent = list(_silent(state, level))
    if not silent:
        return {}
    reads, others = DependencyMap(state.facts, state.basis.rulebook), [each.facts for each in moved]
    found: dict[Key, str] = {}
    for rule, subject, frame, by in silent:
        for node in reads.read(rule, subject, frame):
            now = _plain(node.sheet.known(node.name))
            sheets = [facts.sheet(node.sheet.subject, node.sheet.kind) for facts in others]
            if any(sheet is not None and _plain(sheet.known(node.name)) != now for sheet in sheets):
                found[rule.id, subject.subject] = by
    return found


def _silent(state: SiteState, level: str) -> Iterator[tuple[LoadedRule, Sheet, Frame, str]]:
    counted = LEVELS[: LEVELS.index(level) + 1]
    for rule in state.basis.rules:
        if rule.silences and rule.level in counted:
            frame = frame_of(rule, state.facts, state.basis.settings.limits.get(rule.id))
            for subject in subjects(rule.scope, state.facts):
                silence = silence_of(judge_exactly(rule, subject, frame))
                if silence is not None:
                    yield rule, subject, frame, silence.rule


def _plain(value: object) -> object:
    if isinstance(value, Sheet):
        return value.subject
    return tuple(map(_plain, value)) if isinstance(value, list | tuple) else value
