"""The promise of a change, held from outside: every harm that a shown change does, by kind.

| kind | what was promised |
| --- | --- |
| target-fails, target-open, target-gone | the finding that it is for passes or does not apply; its subject is still there |
| clears-untrue | what it says it clears fails, is open or is gone |
| new-error, opened-error, worse-error | no judgement at level error is new, opened or worse |
| new-too-high | nothing new, opened or worse has the level of what was cleared (what only begins may) |
| new-unsaid | what is new, opened or worse at a lower level is named |
| need-unsaid, need-not-last | a need that is dropped is named as given up, and stands last |
| order | what makes something worse stands after what does not |
| loss-unsaid, loss-unknown-unsaid | what a person loses is named; so is what is no longer known |
| hurts | no device sees far more than its nominal voltage |
| does-not-apply, cannot-be-checked | the patch applies to the file, and the file can be checked then |
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from .losses import felt, hurt, named, of_parts
from .needs import WAYS, dropped
from .program import LEVELS, Key, Seen

SLACK = 1e-6
Data = dict[str, Any]


@dataclass(frozen=True)
class Harm:
    """One promise broken: its kind, the site, what was being cleared, by what, and what is wrong."""

    kind: str
    site: str
    command: str
    target: str
    title: str
    detail: str

    def __str__(self) -> str:
        return f"{self.kind} | {self.site} | {self.command} | {self.target} | {self.title} | {self.detail}"


@dataclass
class Sides:
    """A site before and after a change: what was seen, and the plain documents."""

    before: Seen
    after: Seen
    was: Data
    now: Data
    parts: dict[str, Data]


def said(change: Data, *names: str) -> list[Any]:
    """What a change, or any of its steps, says under these names."""
    found: list[Any] = []
    for part in (change, *change.get("steps", ())):
        for name in names:
            found += part.get(name) or ()
    return found


def gives_up(change: Data) -> bool:
    return bool(said(change, "gives_up")) or change.get("hides") is True


def named_worse(change: Data) -> set[str]:
    """Keys that a change says to be new, worse or open after it, as `RULE on SUBJECT`."""
    found = {f"{each['rule']} on {each['subject']}" for each in said(change, "worsens")}
    found |= {str(each).rpartition(" (")[0] for each in said(change, "introduces", "opens")}
    return found | set(map(str, said(change, "stays_open")))


def gone(key: Key, was: Data, now: Data) -> bool:
    """Whether the entry, or the way of it, that a judgement was about is no longer there."""
    steps = key[1].split("/")
    if len(steps) < 2 or steps[0] in ("waivers", "rules"):
        return False
    old, new = (side.get(steps[0], {}).get(steps[1]) for side in (was, now))
    if old is None:
        return False
    way = steps[2] if len(steps) > 2 and steps[2] in WAYS else ""
    return new is None or (way in old and way not in new)


def worsened(sides: Sides) -> Iterator[tuple[str, Key, str, str]]:
    """Every judgement that is worse than before: how, which, its level now, and in words."""
    before, after = sides.before, sides.after
    for key, (level, margin) in after.fails.items():
        if key in before.waived:
            continue
        if key not in before.fails:
            yield "new", key, level, "was open" if key in before.opens else "was not there"
            continue
        old, room = before.fails[key]
        if margin is not None and room is not None and margin < room - SLACK:
            yield "worse", key, level, f"margin {room:g} -> {margin:g}"
        elif LEVELS.index(level) > LEVELS.index(old):
            yield "worse", key, level, f"{old} -> {level}"
    for key, level in after.opens.items():
        if key not in before.opens and key not in before.fails and key not in before.waived:
            yield "opened", key, level, "was judged"


def target_harm(key: Key, sides: Sides, giving_up: bool) -> str:
    """What is wrong with how a finding is cleared; empty where nothing is."""
    if key in sides.after.fails:
        return "fails"
    if key in sides.after.opens:
        return "open"
    return "gone" if gone(key, sides.was, sides.now) and not giving_up else ""


def harms_of_change(sides: Sides, change: Data, targets: Iterable[Key], cleared: str) -> Iterator[tuple[str, str]]:
    """Kinds and words of every harm of one change for these findings; `cleared` is the level of what is cleared."""
    up = gives_up(change)
    for key in targets:
        wrong = target_harm(key, sides, up)
        if wrong:
            yield f"target-{wrong}", " on ".join(key)
    for text in change.get("clears", ()):
        rule, _, subject = str(text).partition(" on ")
        if target_harm((rule, subject), sides, up) and (rule, subject) not in targets:
            yield "clears-untrue", text
    yield from worse_harms(sides, change, cleared)
    if not up:
        yield from (("need-unsaid", what) for what in dropped(sides.was, sides.now))
    yield from (("hurts", what) for what in hurt(sides.before.facts, sides.after.facts))
    if not up:
        texts = list(map(str, said(change, "loses")))
        lost = [(what, False) for what in felt(sides.before.facts, sides.after.facts)]
        for what, unknown in (*lost, *of_parts(sides.was, sides.now, sides.parts)):
            if not named(what, texts):
                yield "loss-unknown-unsaid" if unknown else "loss-unsaid", what


def worse_harms(sides: Sides, change: Data, cleared: str) -> Iterator[tuple[str, str]]:
    named = named_worse(change)
    for how, key, level, words in worsened(sides):
        detail = f"{' on '.join(key)} ({level}): {words}"
        if level == "error":
            yield f"{how}-error", detail
        elif LEVELS.index(level) >= LEVELS.index(cleared) and not (how == "opened" and begins(key, change, sides)):
            yield "new-too-high", f"{how} {detail}"
        elif " on ".join(key) not in named:
            yield "new-unsaid", f"{how} {detail}"


def begins(key: Key, change: Data, sides: Sides) -> bool:
    """Whether a change says what is to be stated for a question that it only begins, and nobody had stated it before."""
    said_of = [each for each in said(change, "worsens") if (each["rule"], each["subject"]) == key]
    missing = [path for each in said_of for path in each.get("missing", ())]
    return bool(missing) and not any(written(side, path) for side in (sides.was, sides.now) for path in missing)


def written(value: Any, path: str) -> bool:
    """Whether a document has something at a path."""
    for step in path.split("/"):
        if not isinstance(value, dict) or step not in value:
            return False
        value = value[step]
    return True


def order_harms(fixes: list[Data], worse: list[bool]) -> Iterator[tuple[str, str]]:
    """Whether changes that make something worse, and then those that give something up, stand last."""
    ranks = [2 if gives_up(fix) else int(bad) for fix, bad in zip(fixes, worse, strict=True)]
    for one, other in pairwise(ranks):
        if one > other:
            yield ("need-not-last" if one == 2 else "order"), f"ranks {ranks}"
