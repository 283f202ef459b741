"""Judgements that a change only makes begin, and that are open for what nobody had stated before it either.

A first load on a supply asks what that supply gives in the air around it. Where nobody ever stated that air, the change did not
make it unknown: the question began with the load, and its answer lies with the person who knows the place. Such a warning counts
as a note, with what is to be stated. It never eases an error, nor what passed before: that was known, and is known no more.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from coaxwright.findings import LEVELS
from coaxwright.fixes.comparing import Harm, Stands
from coaxwright.fixes.parts_of_facts import entry_of
from coaxwright.fixes.patching import has_path
from coaxwright.fixes.rejudging import Trial, judgement_of
from coaxwright.rulebook.judging import Judgement

_ENTRY = 2
"""Steps of a path that name an entry: its group and its id."""


def eased(trial: Trial, harms: Iterable[Harm], after: Stands) -> tuple[Harm, ...]:
    """The same harms, the gravest first, with those a level lower that only begin and lack what was never stated."""
    found = [_eased(trial, harm, after[harm.key].judgement) for harm in harms]
    return tuple(sorted(found, key=lambda harm: (LEVELS.index(harm.level), harm.rule, harm.subject)))


def _eased(trial: Trial, harm: Harm, judgement: Judgement) -> Harm:
    if harm.how != "open" or harm.level != "warning" or not _lacked_before(trial, judgement.missing):
        return harm
    return replace(harm, level="note", missing=judgement.missing) if _begins(trial, judgement) else harm


def _lacked_before(trial: Trial, missing: Sequence[str]) -> bool:
    """Whether all that is missing belongs to entries that stood before, and the change wrote nothing on the way to it."""
    return bool(missing) and all(
        (known := _written(trial.before.value, path)) >= _ENTRY and known == _written(trial.after.value, path)
        for path in missing
    )


def _written(value: object, path: str) -> int:
    """How many steps of a path a document has."""
    steps = path.split("/")
    return next((count for count in range(len(steps), 0, -1) if has_path(value, steps[:count])), 0)


def _begins(trial: Trial, judgement: Judgement) -> bool:
    """Whether there was nothing to judge before: the rule did not apply, or an entry that stood had no such subject."""
    subject = judgement.subject.subject
    if not has_path(trial.before.value, list(entry_of(subject))):
        return False
    was = judgement_of(trial.before, judgement.rule, subject)
    return was is None or was.kind == "not-applicable"
