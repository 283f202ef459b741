"""How kinds of question did over several sittings, from their `questions.json`, which hold no names."""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from coaxwright.course.sitting_folder import QUESTIONS
from coaxwright.course.sittings import FEW_SAID, Rival, doubtful
from coaxwright.errors import Problem, Refusal
from coaxwright.immutable import immutable
from coaxwright.quiz import statistics
from coaxwright.quiz.marking import MOST_BYTES
from coaxwright.reading.json_text import json_value
from coaxwright.reading.yaml_source import decode, read_bytes
from coaxwright.show.figures import count
from coaxwright.show.json_text import FORMAT
from coaxwright.show.plain_data import plain
from coaxwright.show.tree import Block, Column, Document, Listing, Note, Section, Table

_RIGHT = "name a folder that `coaxwright course mark --all` wrote"
_EASY, _HARD = 0.9, 0.2
"""Shares right beyond which a question tells little (common practice, from memory)."""


@immutable
class Asked:
    """One question of one sitting."""

    sitting: str
    papers: int
    topic: str
    pattern: str
    items: tuple[str, ...]
    right: int
    share: float
    correlation: float | None
    rival: Rival | None


@immutable
class OfPattern:
    """One pattern over all sittings; `shares` by sitting in order of date."""

    pattern: str
    topic: str
    shares: tuple[tuple[str, float], ...]
    answers: int
    right: int
    share: float
    correlation: float | None
    remark: str


def read_history(folders: Sequence[Path]) -> list[Asked]:
    """All questions of these sittings, in order of date. Raises Refusal; the same sitting twice is one too many."""
    held = [(folder, _read(folder / QUESTIONS)) for folder in folders]
    names = Counter(_name(data) for _, data in held)
    twice = [(folder, _name(data)) for folder, data in held if names[_name(data)] > 1]
    if twice:
        folder, name = twice[-1]
        raise Refusal(
            [Problem(str(folder), f"the sitting `{name}` comes twice", "name each once, or give exams a date")]
        )
    ordered = sorted((data for _, data in held), key=lambda data: (str(data.get("date") or ""), str(data["title"])))
    return [each for data in ordered for each in _asked(data)]


def _read(path: Path) -> Mapping[str, Any]:
    data = json_value(decode(read_bytes(path, str(path), MOST_BYTES), str(path)), str(path), _RIGHT)
    questions = data.get("questions") if isinstance(data, dict) else None
    if (
        not isinstance(questions, list)
        or not all(map(_is_question, questions))
        or not isinstance(data.get("papers"), int)
    ):
        raise Refusal([Problem(str(path), "this holds no questions of a sitting", _RIGHT)])
    return dict(data)


def _is_question(each: object) -> bool:
    return (
        isinstance(each, dict) and isinstance(each.get("patterns"), list) and isinstance(each.get("items"), dict)
        and isinstance(each.get("right"), int) and isinstance(each.get("difficulty"), int | float)
        and isinstance(each.get("correlation"), int | float | None) and isinstance(each.get("topic"), str)
    )  # fmt: skip


def _name(data: Mapping[str, Any]) -> str:
    return " ".join(str(each) for each in (data.get("title"), data.get("date")) if each)


def _asked(data: Mapping[str, Any]) -> list[Asked]:
    return [
        Asked(
            _name(data), data["papers"], each["topic"], ", ".join(map(str, each["patterns"])),
            tuple(map(str, each["items"].values())), each["right"], each["difficulty"], each["correlation"],
            _rival_of(each.get("rival")),
        )
        for each in data["questions"]
    ]  # fmt: skip


def _rival_of(data: object) -> Rival | None:
    if not isinstance(data, dict) or not isinstance(data.get("chosen"), int):
        return None
    known = data.get("correlation")
    return Rival(
        str(data.get("answer") or ""), data["chosen"], float(known) if isinstance(known, int | float) else None
    )


def by_pattern(asked: Sequence[Asked]) -> list[OfPattern]:
    """All patterns in order of name."""
    found: dict[str, list[Asked]] = defaultdict(list)
    for each in asked:
        found[each.pattern].append(each)
    return [_of_pattern(name, found[name]) for name in sorted(found)]


def _of_pattern(name: str, asked: Sequence[Asked]) -> OfPattern:
    answers, right = sum(each.papers for each in asked), sum(each.right for each in asked)
    share, fit = right / answers if answers else 0.0, _pooled([(each.correlation, each.papers) for each in asked])
    rivals = [(each.rival, each.papers) for each in asked if each.rival is not None]
    fits = _pooled([(each.correlation, papers) for each, papers in rivals])
    rival = Rival("", sum(each.chosen for each, _ in rivals), fits) if rivals else None
    by_sitting: dict[str, list[Asked]] = defaultdict(list)
    for each in asked:
        by_sitting[each.sitting].append(each)
    shares = tuple((sitting, statistics.mean([each.share for each in held])) for sitting, held in by_sitting.items())
    remark = _remark(answers, share, doubtful(answers, right, fit, rival))
    return OfPattern(name, asked[0].topic, shares, answers, right, share, fit, remark)


def _pooled(found: Sequence[tuple[float | None, int]]) -> float | None:
    """Correlations of several sittings as one: the mean of Fisher's z, each weighted with n - 3 (Fisher 1921); None where none
    is known.
    """
    known = [(value, max(1, papers - 3)) for value, papers in found if value is not None]
    whole = sum(weight for _, weight in known)
    if not whole:
        return None
    return math.tanh(sum(math.atanh(max(-0.999, min(0.999, value))) * weight for value, weight in known) / whole)


def _remark(answers: int, share: float, doubted: bool) -> str:
    said = ["look at the key"] if doubted else []
    if answers and (share > _EASY or share < _HARD):
        said.append("almost all right" if share > _EASY else "hardly anyone right")
    if answers < statistics.FEW:
        said.append(FEW_SAID)
    return "; ".join(said)


def repeated(asked: Sequence[Asked]) -> list[tuple[str, str, tuple[str, ...]]]:
    """Questions that stood in more than one sitting with the very same numbers: id, pattern, sittings."""
    where: dict[tuple[str, str], list[str]] = defaultdict(list)
    for each in asked:
        for item in each.items:
            where[item, each.pattern].append(each.sitting)
    return [(item, pattern, tuple(held)) for (item, pattern), held in where.items() if len(set(held)) > 1]


def history_document(asked: Sequence[Asked]) -> Document:
    """The history as a document; it holds no names."""
    patterns, again = by_pattern(asked), repeated(asked)
    sittings = list(dict.fromkeys(each.sitting for each in asked))
    columns: list[Column | str] = [
        "kind of question", "topic", "share right by sitting", Column("answers", "number", "", 0),
        Column("share right", "number"), Column("fits the rest", "number"), "remark",
    ]  # fmt: skip
    rows = [
        (each.pattern, each.topic, ", ".join(f"{share:.0%} ({sitting})" for sitting, share in each.shares),
         float(each.answers), each.share, each.correlation, each.remark)
        for each in patterns
    ]  # fmt: skip
    blocks: list[Block] = [
        Table(columns, rows, fold="scroll"),
        Note("Shares are over all versions. Below 30 answers read them as hints. What fits the rest is a mean by Fisher's z."),
    ]  # fmt: skip
    if again:
        said = [f"{item} ({pattern}): {', '.join(held)}" for item, pattern, held in again]
        blocks.append(Section("Asked with the very same numbers before", (Listing(said),)))
    verdict = f"{count(len(sittings), 'sitting')}, {count(len(asked), 'question')} of {count(len(patterns), 'kind')}."
    doubted = [each.pattern for each in patterns if "key" in each.remark]
    return Document(
        "Questions over sittings", tuple(blocks), verdict + (f" Look at {', '.join(doubted)}." if doubted else "")
    )


def history_data(asked: Sequence[Asked]) -> dict[str, Any]:
    """The same as plain data."""
    return {
        "format": FORMAT, "sittings": list(dict.fromkeys(each.sitting for each in asked)),
        "patterns": [plain(each) for each in by_pattern(asked)],
        "repeated": [{"item": item, "pattern": pattern, "sittings": list(held)} for item, pattern, held in repeated(asked)],
    }  # fmt: skip
