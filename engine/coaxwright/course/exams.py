"""A whole exam from a project file: papers, answer sheets and keys of all versions, and what marking needs to know."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Annotated, Any

from pydantic import Field

from coaxwright.course.answer_sheets import answer_sheet
from coaxwright.course.calibration import read_calibration
from coaxwright.course.languages import language_of
from coaxwright.errors import Problem, Refusal
from coaxwright.model.common import Strict, Text
from coaxwright.quiz.bank import Bank
from coaxwright.quiz.formats import html
from coaxwright.quiz.forms import QuestionLevel
from coaxwright.quiz.marking import read_key
from coaxwright.quiz.papers import Paper, Wanted, make_papers, paper_letters
from coaxwright.quiz.printed import key_data, sheet_of
from coaxwright.quiz.writing import key_text
from coaxwright.reading.suggest import did_you_mean
from coaxwright.reading.validation import validated
from coaxwright.reading.yaml_source import read_document
from coaxwright.show.json_text import FORMAT, to_json


class ExamProject(Strict):
    """What a trainer writes of an exam."""

    title: Text
    blueprint: Annotated[dict[str, Annotated[int, Field(ge=1, le=100)]], Field(min_length=1)] = Field(
        description="Questions by topic."
    )
    levels: tuple[QuestionLevel, ...] = ()
    versions: int = Field(1, ge=1, le=26, description="Parallel papers: A, B, C ...")
    seed: int = Field(1, ge=0)
    size: Text = Field("medium", pattern="^(small|medium|large)$")
    minutes: int = Field(0, ge=0, le=600, description="Time allowed; 0 prints none.")
    points: int = Field(1, ge=1, le=20, description="Points of each question.")
    pass_mark: int | None = Field(None, ge=0, description="Points needed.")
    pass_method: Text | None = Field(None, description="Who set the pass mark and how, as in `panel of five judges`.")
    date: datetime.date | None = Field(None, description="Day of the exam; none leaves a line to write it on.")
    language: Text = Field("en", description="How dates and numbers are written, by language tag, as in `de`.")
    instructions: tuple[Text, ...] = ()
    not_patterns: tuple[Text, ...] = Field((), description="Patterns that are not asked.")
    not_from: tuple[Text, ...] = Field(
        (), description="Key files of earlier exams: no pattern of theirs is asked again."
    )
    difficulty: Text | None = Field(None, description="File of `course calibrate`, by which versions are made alike.")
    not_items_from: tuple[Text, ...] = Field(
        (), description="Key files of earlier exams: their patterns may be asked, their questions not again."
    )


def read_project(path: Path) -> ExamProject:
    """The project of a file. Raises Refusal with every problem and its place."""
    document = read_document(path, str(path))
    project: ExamProject = validated(ExamProject, document)
    count = sum(project.blueprint.values())
    if project.pass_mark is not None and project.pass_mark > count * project.points:
        what = f"pass_mark is {project.pass_mark} of {count * project.points} points"
        raise Refusal([Problem(str(path), what, "not more than there are points")])
    language_of(project.language)
    return project


def make_exam(bank: Bank, project: ExamProject, folder: Path) -> tuple[Paper, ...]:
    """All versions of an exam; earlier keys are read beside the project. Raises Refusal."""
    left = _calibrated(_without(bank, project, folder), project, folder)
    wanted = Wanted(
        seed=project.seed, levels=project.levels, blueprint=tuple(project.blueprint.items()),
        letters=paper_letters(project.versions), size=project.size, minutes=project.minutes,
        barred=frozenset(identifier for name in project.not_items_from for identifier in read_key(folder / name)["items"]),
    )  # fmt: skip
    return tuple(replace(paper, title=project.title) for paper in make_papers(left, wanted))


def _calibrated(bank: Bank, project: ExamProject, folder: Path) -> Bank:
    return replace(bank, known=read_calibration(folder / project.difficulty)) if project.difficulty else bank


def _without(bank: Bank, project: ExamProject, folder: Path) -> Bank:
    """The bank without what is not to be asked. Raises Refusal for a pattern that is not there."""
    known = {pattern.id for pattern in bank.patterns}
    for name in project.not_patterns:
        if name not in known:
            raise Refusal([Problem("not_patterns", f"there is no pattern `{name}`", did_you_mean(name, known))])
    asked = {item["pattern"] for name in project.not_from for item in read_key(folder / name)["items"].values()}
    barred = asked | set(project.not_patterns)
    return replace(bank, patterns=tuple(pattern for pattern in bank.patterns if pattern.id not in barred))


def exam_data(project: ExamProject, papers: Sequence[Paper]) -> dict[str, Any]:
    """What marking needs besides the keys."""
    return {
        "format": FORMAT, "title": project.title, "versions": [paper.letter for paper in papers],
        "questions": len(papers[0].items), "points": project.points, "pass_mark": project.pass_mark,
        "pass_method": project.pass_method, "minutes": project.minutes, "bank": papers[0].bank,
        "date": project.date.isoformat() if project.date else None, "language": project.language,
    }  # fmt: skip


def files_of(bank: Bank, project: ExamProject, papers: Sequence[Paper]) -> Mapping[str, str]:
    """Every file of an exam by name; a key never shares a file with a paper."""
    language = language_of(project.language)
    files = {"exam.json": to_json(exam_data(project, papers)), "answers.csv": blank_table(papers)}
    for paper in papers:
        sheet = language.sheet(sheet_of(paper))
        files[f"paper-{paper.letter}.html"] = html.paper(sheet, list(front(project, paper)))
        files[f"answer-sheet-{paper.letter}.html"] = answer_sheet(sheet)
        files[f"key-{paper.letter}.html"] = html.key(language.data(key_data(bank, paper)))
        files[f"key-{paper.letter}.json"] = key_text(bank, paper, "json")
    return files


def front(project: ExamProject, paper: Paper) -> Iterator[str]:
    """What stands before the first question."""
    whole = len(paper.items) * project.points
    each = "one point each" if project.points == 1 else f"{project.points} points each"
    if project.date is not None:
        yield f"Exam of {language_of(project.language).day(project.date)}."
    yield f"{len(paper.items)} questions, {each}, {whole} points in all. Answers go on the answer sheet."
    if project.pass_mark is not None:
        method = f" ({project.pass_method})" if project.pass_method else ""
        yield f"Pass mark: {project.pass_mark} of {whole} points{method}."
    yield from project.instructions


def blank_table(papers: Sequence[Paper]) -> str:
    """The head of the table of answers: learner, version, a column for each number of a question."""
    return ",".join(["learner", "version", *(str(place) for place in range(1, len(papers[0].items) + 1))]) + "\n"
