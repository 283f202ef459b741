"""What became of a finding that a change took away: it passes, it does not apply (and why), or its subject is gone."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any, Literal

from coaxwright.fixes.comparing import Key
from coaxwright.fixes.components import GROUPS, Entry, named_elsewhere
from coaxwright.fixes.parts_of_facts import entry_of
from coaxwright.fixes.rejudging import SiteState, Trial, judgement_of
from coaxwright.immutable import immutable
from coaxwright.language.checked import Checked
from coaxwright.language.evaluating import evaluate
from coaxwright.language.syntax import Has, Logic, Macro, Node, Select, children
from coaxwright.rulebook.judging import Judgement


@immutable
class Cleared:
    """How a finding went: it passes, does not apply, or has no subject; `reason` is empty where it passes."""

    rule: str
    subject: str
    how: Literal["passes", "does-not-apply", "gone"]
    reason: str = ""

    @property
    def key(self) -> Key:
        """Rule and subject."""
        return self.rule, self.subject

    @property
    def named(self) -> bool:
        """Whether this clears the finding."""
        return self.how == "passes" or bool(self.reason)


def cleared_how(trial: Trial, key: Key, judgement: Judgement) -> Cleared:
    """What became of a finding that neither fails nor is open after a trial."""
    now = judgement_of(trial.after, judgement.rule, key[1])
    if now is None:
        return Cleared(*key, "gone", _why_gone(trial, key[1]))
    if now.kind == "pass":
        return Cleared(*key, "passes")
    return Cleared(*key, "does-not-apply", " and ".join(_why_not(judgement, now)) if now.kind == "not-applicable" else "")


def _why_not(before: Judgement, now: Judgement) -> Iterator[str]:
    """What changed in the conditions of the rule that are not met any more, in the words of the facts.

    Where none of what they name by itself changed, the conditions as the rule writes them.
    """
    when = now.rule.when
    if when is None:
        return
    bound, was = (each.frame.bind(each.rule, each.subject) for each in (now, before))
    syntax = when.syntax
    unmet = [part for part in _conditions(syntax) if _value(when, part, bound) is False] or [syntax]
    reads = dict.fromkeys(read for part in unmet for read in _reads(part))
    changed = [(read, old, new) for read in reads if (old := _value(when, read, was)) != (new := _value(when, read, bound))]
    told = dict.fromkeys(words for each in changed if (words := _change(when, *each, bound)))
    yield from told or (f"`{when.text[part.start : part.end].strip()}` is not so any more" for part in unmet)


def _conditions(node: Node) -> Iterator[Node]:
    """The conditions that have to be met together, each by itself, however they are grouped."""
    if not isinstance(node, Logic) or node.operation != "and":
        yield node
        return
    for operand in node.operands:
        yield from _conditions(operand)


def _reads(node: Node) -> Iterator[Select]:
    """The facts that an expression reads by itself; what it reads of each of several is left out."""
    if isinstance(node, Macro | Has):
        return
    if isinstance(node, Select):
        yield node
        return
    for child in children(node):
        yield from _reads(child)


def _value(when: Checked, part: Node, bound: Mapping[str, Any]) -> object:
    return evaluate(replace(when, syntax=part), bound)


def _change(when: Checked, read: Select, old: object, new: object, bound: Mapping[str, Any]) -> str:
    """A fact that is another one now, by its sentence; nothing where it is no plain value."""
    fields = getattr(_value(when, read.operand, bound), "__dataclass_fields__", {})
    sentence = str(fields[read.field].metadata.get("doc", "")).rstrip(".") if read.field in fields else ""
    if not sentence or not isinstance(new, bool | str):
        return ""
    if isinstance(new, bool):
        return f"\"{sentence}\" {'holds now' if new else 'does not hold any more'}"
    return f"\"{sentence}\" is {new} now" + (f" and was {old}" if isinstance(old, str) else "")


def _why_gone(trial: Trial, subject: str) -> str:
    """Why a subject is not there any more; empty where that mends nothing: what it was about was only left out.

    A port that nothing names now, or a piece of cable in whose place another lies, is a reason. A camera that is
    left out is none. A device that served nothing may go.
    """
    entry = entry_of(subject)
    if entry[0] not in GROUPS:
        return ""
    if _stands(trial.after, entry):
        return f"there is no {subject} any more"
    if not _stands(trial.before, entry):  # the port of a device that is not there
        return f"nothing names {subject} any more"
    return (
        f"{entry[1]} is left out; nothing used it" if subject == "/".join(entry) and _idle(trial.before, entry) else ""
    )


def _stands(state: SiteState, entry: Entry) -> bool:
    return entry[1] in getattr(state.site, entry[0])


def _idle(state: SiteState, entry: Entry) -> bool:
    """Whether it is no camera, and no other entry of the site names it."""
    return entry[0] != "cameras" and not named_elsewhere(state.value, entry)
