"""What `rules/course/lessons.yaml` holds, read and checked."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import lru_cache
from pathlib import Path
from typing import Annotated

from pydantic import Field

from coaxwright.errors import Problem, Refusal
from coaxwright.model.common import Identifier, Strict, Text
from coaxwright.model.rules import Expression
from coaxwright.quiz.bank import Bank
from coaxwright.quiz.forms import Edit, PatternId
from coaxwright.reading.validation import validated
from coaxwright.reading.yaml_source import read_document
from coaxwright.resources import data_root

FILE = "rules/course/lessons.yaml"


class Curve(Strict):
    """A fact over an edit of a plan, point by point."""

    about: Identifier
    x: Text
    at: Text
    unit: str
    start: float = Field(alias="from")
    to: float
    step: float = Field(gt=0)
    y: Expression
    shown: Text
    scale: float = Field(1.0, gt=0)
    limit: Expression
    says: Text


class Cells(Strict):
    """A fact for each of some values that are put into a plan."""

    about: Identifier
    x: Text
    at: Text
    put: tuple[str | int, ...] = Field(min_length=2)
    before: tuple[Edit, ...] = ()
    y: Expression
    says: Text


class Lesson(Strict):
    """One lesson."""

    title: Text
    idea: Text
    curve: Curve | None = None
    cells: Cells | None = None
    stripes: bool = False
    example: PatternId
    questions: tuple[PatternId, PatternId, PatternId]
    rules: tuple[Text, ...] = Field(min_length=1)


class LessonFile(Strict):
    """`lessons.yaml`."""

    lessons: Annotated[dict[Identifier, Lesson], Field(min_length=1)]


@lru_cache(maxsize=1)
def _read() -> Mapping[str, Lesson]:
    path = Path(str(data_root("rules"))) / "course" / "lessons.yaml"
    found: LessonFile = validated(LessonFile, read_document(path, FILE))
    return found.lessons


def load_lessons(bank: Bank) -> Mapping[str, Lesson]:
    """All lessons by topic. Raises Refusal for patterns and rules that are not there."""
    lessons = _read()
    problems = list(_problems(lessons, bank))
    if problems:
        raise Refusal(problems)
    return lessons


def _problems(lessons: Mapping[str, Lesson], bank: Bank) -> Iterator[Problem]:
    patterns = {pattern.id for pattern in bank.patterns}
    for topic, lesson in lessons.items():
        for name in (lesson.example, *lesson.questions):
            if name not in patterns:
                yield Problem(FILE, f"{topic}: there is no pattern `{name}`", "name one of `coaxwright quiz patterns`")
        for rule in lesson.rules:
            if rule not in bank.rulebook.by_id:
                yield Problem(FILE, f"{topic}: there is no rule `{rule}`", "name one of `coaxwright rules list`")
