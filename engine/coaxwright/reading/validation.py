"""From plain values to models, with every complaint in our words and at its place.

The model library checks; its wording is never shown, because it names types and branches that no user wrote.
Not here: which parts exist (`site_reader`), and what a text means as a quantity (`model/quantities`).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from coaxwright.errors import Problem, Refusal, Span
from coaxwright.reading.complaints import complaint
from coaxwright.reading.model_paths import expected_at
from coaxwright.reading.yaml_source import Document

MAX_PROBLEMS = 100
M = TypeVar("M", bound=BaseModel)
Steps = tuple[str | int, ...]


def validated(model: type[M], document: Document) -> M:
    """The document's value as a model. Raises Refusal with all that is wrong, in order of place."""
    return validated_value(model, document.value, document)


def validated_value(model: type[M], value: Mapping[str, Any], document: Document) -> M:
    """Another value as a model, its places told by the nearest ones of this document. Raises Refusal."""
    try:
        return model.model_validate(value)
    except ValidationError as error:
        raise refusal(problems_of(error, model, value, document)) from None


def refusal(problems: Iterable[Problem]) -> Refusal:
    """All problems in order of place; beyond a hundred, how many more there are."""
    ordered = sorted(set(problems), key=_place)
    if len(ordered) > MAX_PROBLEMS:
        more = f"{len(ordered) - MAX_PROBLEMS} more problems are not shown"
        ordered = [*ordered[:MAX_PROBLEMS], Problem(ordered[0].file, more, "mend the first ones")]
    return Refusal(ordered)


def _place(problem: Problem) -> tuple[str, Span, str]:
    return problem.file, problem.span or Span(0, 0), problem.what


def problems_of(
    error: ValidationError, model: type[BaseModel], value: Mapping[str, Any], document: Document
) -> list[Problem]:
    """One problem for each thing that a person can mend."""
    problems = []
    for each in error.errors(include_url=False):
        where = _followed(value, each["loc"])
        if where is None:
            continue
        path, rest = where
        expected = expected_at(model, each["loc"])
        key = str(rest[-1] if rest else path[-1] if path else "")
        what, right = complaint(each, key, expected)
        problems.append(Problem(document.file, what, right, _span(document, path, each["type"]), path))
    return problems


def _span(document: Document, path: Steps, kind: str) -> Span:
    """Of an unknown key the key, of all else the value, of what is not there the nearest thing around it."""
    if kind in ("extra_forbidden", "string_pattern_mismatch_key"):
        try:
            return document.key_span(path)
        except KeyError:
            return document.nearest_span(path)
    return document.nearest_span(path)


def _followed(value: Any, steps: Sequence[str | int]) -> tuple[Steps, Steps] | None:
    """The document path of an error, and the steps that the document does not have (names of branches).

    None for a branch that cannot have been meant: the list branch of a text and the other way round.
    """
    path: list[str | int] = []
    rest: list[str | int] = []
    for step in steps:
        inside = _inside(value, step)
        if inside:
            value = value[step]
            path.append(step)
        elif isinstance(step, str) and "[" in step and step != "[key]":
            if step.startswith(("tuple[", "list[")) != isinstance(value, list):
                return None
        else:
            rest.append(step)
    return tuple(path), tuple(rest)


def _inside(value: Any, step: str | int) -> bool:
    if isinstance(step, int):
        return isinstance(value, list) and step < len(value)
    return isinstance(value, dict) and step in value
