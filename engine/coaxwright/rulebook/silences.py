"""Rules that fall silent because another one fails: that each such pair is stated as data, and shown by a case.

A fact that the failing of some rule decides stands in `rules/tables/decided-facts.yaml`. A guard (`when`) that names
one would switch its rule off without a word; it belongs under `silent_when`, with the rule that fails and the reason.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from coaxwright.facts.sheets import SHEETS
from coaxwright.language.syntax import Has, Macro, Name, Node, Select, children
from coaxwright.reading.tables import load_table
from coaxwright.rulebook.judging import frame_of, judge_exactly, judge_rule, silence_of
from coaxwright.rulebook.library import LoadedRule, Rulebook, Silence
from coaxwright.rulebook.limits import LimitValue
from coaxwright.rulebook.subjects import FactSource, subjects

Kinds = Mapping[str, str]
"""Kinds of sheet by the name of a variable."""


def guard_problems(rule: LoadedRule) -> Iterator[str]:
    """Facts in the guard of a rule that the failing of another decides."""
    guard = rule.applies if rule.silences else rule.when
    if guard is None:
        return
    decided = {(row["kind"], row["fact"]): row for row in load_table("decided-facts").rows}
    for kind, fact in dict.fromkeys(_named(guard.syntax, {**dict(rule.scope.variables), "site": "site"})):
        row = decided.get((kind, fact))
        if row is not None and rule.id not in (row["rule"], *(row["may_name"] or ())):
            yield (
                f"`when` names `{kind}.{fact}`, which the failing of {row['rule']} decides; say so under `silent_when`, "
                "with the reason, or judge"
            )


def _named(node: Node, kinds: Kinds) -> Iterator[tuple[str, str]]:
    """Facts that an expression names, by kind and name; whether one is known (`has`) does not count."""
    if isinstance(node, Has):
        yield from _named(node.operand, kinds)
        return
    if isinstance(node, Macro):
        yield from _named(node.source, kinds)
        yield from _named(node.body, {**kinds, node.variable: _kind(node.source, kinds)})
        return
    if isinstance(node, Select):
        yield _kind(node.operand, kinds), node.field
    for child in children(node):
        yield from _named(child, kinds)


def _kind(node: Node, kinds: Kinds) -> str:
    """The kind of sheet that an expression gives, or that a list of it holds; empty for anything else."""
    if isinstance(node, Name):
        return kinds.get(node.name, "")
    if isinstance(node, Macro) and node.operation == "filter":
        return _kind(node.source, kinds)
    if not isinstance(node, Select):
        return ""
    fields: Mapping[str, object] = getattr(SHEETS.get(_kind(node.operand, kinds)), "__dataclass_fields__", {})
    about = getattr(fields.get(node.field), "metadata", {})
    return str(about.get("ref") or about.get("many") or "")


def silences_shown(
    rulebook: Rulebook, rule: LoadedRule, facts: FactSource, limits: Mapping[str, Mapping[str, LimitValue]]
) -> set[Silence]:
    """What silences the rule on these facts, for the reason stated, while the rule named there does fail."""
    shown: set[Silence] = set()
    if not rule.silences:
        return shown
    frame = frame_of(rule, facts, limits.get(rule.id))
    for subject in subjects(rule.scope, facts):
        silence = silence_of(judge_exactly(rule, subject, frame))
        if silence is not None and silence not in shown:
            other = rulebook.rule(silence.rule)
            if judge_rule(other, facts, limits.get(other.id)).of("fail"):
                shown.add(silence)
    return shown


def unshown(rule: LoadedRule, shown: Sequence[Silence] | set[Silence]) -> Iterator[str]:
    """What is missing: a case for each rule that silences this one, in which that one fails."""
    for silence in rule.silences:
        if silence not in shown:
            yield f"no case shows it silent while {silence.rule} fails: {silence.condition.text}"
