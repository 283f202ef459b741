"""Rules that a failing one keeps from judging what a number moves: of that number nobody can say that it holds."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from coaxwright.facts.binding import Facts
from coaxwright.facts.sheets import by_subject
from coaxwright.findings import LEVELS
from coaxwright.fixes.comparing import Key
from coaxwright.fixes.rejudging import SiteState
from coaxwright.rulebook.dependencies import DependencyMap
from coaxwright.rulebook.silent import Silent, silent_in


class Silences:
    """What is not judged in a state, of rules of at least a level; found once for all numbers that are asked about."""

    def __init__(self, state: SiteState, level: str) -> None:
        counted = LEVELS[: LEVELS.index(level) + 1]
        rules = (rule for rule in state.basis.rules if rule.level in counted)
        self._silent = list(silent_in(rules, state.facts, state.basis.settings.limits))
        self._reads = DependencyMap(state.facts, state.basis.rulebook)

    def moved(self, states: Iterable[SiteState]) -> Mapping[Key, str]:
        """Those that read a fact which is another in one of these states, each with the rule that fails. The states are
        not asked for where nothing is silent.
        """
        others = [state.facts for state in states] if self._silent else []
        return {
            (each.rule.id, each.subject.subject): each.silence.rule
            for each in self._silent
            if any(self._differs(each, facts) for facts in others)
        }

    def _differs(self, each: Silent, facts: Facts) -> bool:
        for node in self._reads.read(each.rule, each.subject, each.frame):
            sheet = facts.sheet(node.sheet.subject, node.sheet.kind)
            if sheet is not None and by_subject(sheet.known(node.name)) != by_subject(node.sheet.known(node.name)):
                return True
        return False
