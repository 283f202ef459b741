"""Checks a certificate of `fix --all` by full checks of edited sites. Shares nothing with the search that made it.

Three things are checked. The judgement that a cut names stands in the way after the changes made. It stands there too after sets
drawn at random that the cut forbids: with all that was taken and none of the options. And no set that costs less than the bound
is allowed by all cuts, by plain search; where that takes too long it is said that the bound was not shown again.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from random import Random
from typing import Any, Literal, NamedTuple

from pydantic import BaseModel, NonNegativeInt, ValidationError

from coaxwright import pace
from coaxwright.checking import LoadedSite, Rulebook, check
from coaxwright.errors import Problem, Refusal
from coaxwright.findings import LEVELS, Finding
from coaxwright.fixes.patching import PatchError, applied
from coaxwright.reading.json_text import json_value
from coaxwright.reading.site_reader import with_value

Key = tuple[str, str]
STEPS = 200_000
"""Sets looked at for the bound at most."""
_LESS_ROOM = 1e-6


class Change(BaseModel):
    """One change as a certificate has it."""

    title: str
    patch: list[dict[str, Any]]
    weight: float
    needs: list[NonNegativeInt] = []


class CutOf(BaseModel):
    """One cut as a certificate has it; `rule` is None where the site was refused, or a need given up."""

    rule: str | None
    subject: str | None
    made: list[NonNegativeInt]
    taken: list[NonNegativeInt]
    options: list[NonNegativeInt]


class Certificate(BaseModel):
    """A certificate as it was written."""

    level: Literal["error", "warning", "note"]
    bound: float | None
    changes: list[Change]
    cuts: list[CutOf]


def read_certificate(file: Path) -> Certificate:
    """A certificate from its file. Raises Refusal where it is none."""
    right = "take a file that `coaxwright fix SITE --all --certificate FILE` wrote"
    try:
        found = Certificate.model_validate(json_value(file.read_text(encoding="utf-8"), str(file), right))
    except (OSError, UnicodeDecodeError) as error:
        raise Refusal([Problem(str(file), f"cannot be read: {error}", right)]) from None
    except ValidationError as error:
        first = error.errors()[0]
        place = "/".join(map(str, first["loc"]))
        raise Refusal([Problem(str(file), f"`{place}`: {first['msg'][:1].lower()}{first['msg'][1:]}", right)]) from None
    used = (n for cut in found.cuts for n in (*cut.made, *cut.taken, *cut.options))
    least = max((*used, *(n for change in found.changes for n in change.needs)), default=-1)
    if least >= len(found.changes):
        raise Refusal([Problem(str(file), f"change {least} is named and there are {len(found.changes)}", right)])
    return found


class Replayed(NamedTuple):
    """What is wrong, in words; how many checks were made; whether the bound was shown again."""

    wrong: tuple[str, ...]
    checks: int
    bound_shown: bool


class Replay:
    """One certificate against one site."""

    def __init__(self, loaded: LoadedSite, certificate: Certificate, rulebook: Rulebook, today: datetime.date) -> None:
        self.loaded, self.rulebook, self.today = loaded, rulebook, today
        self.changes = certificate.changes
        self.cuts = certificate.cuts
        self.bound = certificate.bound
        self.counted = LEVELS[: LEVELS.index(certificate.level) + 1]
        self.places = [[_list_of(each) for each in change.patch] for change in self.changes]
        self.checks = 0
        self.before = self._findings(())

    def run(self, draws: int = 2, most: int = 1000, seed: int = 0) -> Replayed:
        """Check up to so many cuts, each by its own changes and by sets drawn at random."""
        draw = Random(seed)
        judged = [cut for cut in self.cuts if cut.rule is not None]
        chosen = judged if len(judged) <= most else draw.sample(judged, most)
        wrong = [words for cut in pace.counted(chosen, "cuts replayed") for words in self._wrong(cut, draw, draws)]
        below = self._below_bound()
        if below:
            wrong.append(f"changes {below} are allowed by every cut and cost less than {self.bound:g}")
        return Replayed(tuple(wrong), self.checks, below is not None)

    def _wrong(self, cut: CutOf, draw: Random, draws: int) -> Iterator[str]:
        key = (cut.rule or "", cut.subject or "")
        told = self._findings(cut.made)
        now = None if told is None else told.get(key)
        if told is not None and not self._in_the_way(key, now):
            yield f"{' on '.join(key)} does not stand in the way of changes {cut.made}"
        for made in (self._drawn(cut, draw) for _ in range(draws if now is not None else 0)):
            found = self._findings(made)
            if found is not None and not _alike(now, found.get(key)):
                yield f"{' on '.join(key)} does not stay as it is under changes {made}, which the cut forbids"

    def _drawn(self, cut: CutOf, draw: Random) -> list[int]:
        """A set that the cut forbids: what was taken, and others that are no options."""
        made = list(cut.taken)
        others = [n for n in range(len(self.changes)) if n not in cut.options and n not in made]
        draw.shuffle(others)
        for number in others[: draw.choice((1, 3, 8))]:
            if not any(self._same_place(number, each) for each in made):
                made.append(number)
        return sorted(made)

    def _same_place(self, one: int, other: int) -> bool:
        return any(a[: len(b)] == b[: len(a)] for a in self.places[one] for b in self.places[other])

    def _findings(self, made: Sequence[int]) -> dict[Key, Finding] | None:
        """What fails or is open with these changes; None where the site cannot be checked."""
        self.checks += 1
        try:
            value = self.loaded.document.value
            for number in sorted(made):
                value = applied(value, self.changes[number].patch)
            report = check(with_value(self.loaded, value), rulebook=self.rulebook, today=self.today)
        except (PatchError, Refusal, KeyError):
            return None
        return {each.key: each for each in report.findings if not each.waived}

    def _in_the_way(self, key: Key, now: Finding | None) -> bool:
        """Whether it is left or open at a level that counts; or gone, where it was, which only the site's entries can tell."""
        was = (self.before or {}).get(key)
        if now is None:
            return was is not None
        return now.level in self.counted and (now.kind != "open" or was is None or was.kind != "open")

    def _below_bound(self) -> list[int] | None:
        """A set that every cut allows and that costs less than the bound; empty: none; None: not looked through."""
        if self.bound is None:
            return []
        steps = [STEPS]
        found = self._search(frozenset(), frozenset(), 0.0, steps)
        return None if steps[0] <= 0 and not found else sorted(found or ())

    def _search(self, made: frozenset[int], closed: frozenset[int], cost: float, steps: list[int]) -> frozenset[int] | None:
        steps[0] -= 1
        saved = sum(min(0.0, each.weight) for each in self.changes)
        if cost + saved >= float(self.bound or 0.0) - 1e-6 or steps[0] <= 0:
            return None
        missed = [cut for cut in self.cuts if made.issuperset(cut.taken) and made.isdisjoint(cut.options)]
        if not missed:
            return made
        shut = set(closed)
        for number in min(missed, key=lambda cut: len(cut.options)).options:
            if number not in shut and not any(self._same_place(number, each) for each in made):
                more = made | {number, *self.changes[number].needs}
                found = self._search(more, frozenset(shut), cost + self._weight(more - made), steps)
                if found is not None:
                    return found
            shut.add(number)
        return None

    def _weight(self, made: frozenset[int]) -> float:
        return float(sum(max(0.0, self.changes[number].weight) for number in made))


def _alike(one: Finding | None, other: Finding | None) -> bool:
    """Whether a judgement stays as it is: of the same kind, with the same room."""
    if one is None or other is None or one.kind != other.kind:
        return False
    return one.margin is None or other.margin is None or abs(one.margin - other.margin) <= _LESS_ROOM


def _list_of(operation: Mapping[str, Any]) -> tuple[str, ...]:
    """Where an operation writes; of what goes into a list or out of it, the list."""
    path = tuple(str(operation.get("path", "")).split("/")[1:])
    moves = operation.get("op") != "replace" and (path[-1:] == ("-",) or "".join(path[-1:]).isdecimal())
    return path[:-1] if moves else path
