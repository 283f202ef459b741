"""From plain values to models, with every complaint in our words and at its place.

The model library checks; its wording is never shown, because it names types and branches that no user wrote.
Not here: which parts exist (`site_reader`), and what a text means as a quantity (`model/quantities`).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import partial
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from coaxwright.errors import Problem, Refusal, Span
from coaxwright.model.site import WANTED
from coaxwright.reading.collector import collector_off
from coaxwright.reading.complaints import Words, complaint
from coaxwright.reading.model_paths import expected_at
from coaxwright.reading.yaml_source import Document

MAX_PROBLEMS = 100
_AT_KEY = frozenset({"extra_forbidden", "missing", "union_tag_not_found"})
M = TypeVar("M", bound=BaseModel)
Steps = tuple[str | int, ...]


def validated(model: type[M], document: Document) -> M:
    """The document's value as a model. Raises Refusal with all that is wrong, in order of place."""
    return validated_value(model, document.value, document)


def validated_value(model: type[M], value: Mapping[str, Any], document: Document) -> M:
    """Another value as a model, its places told by the nearest ones of this document. Raises Refusal."""
    try:
        with collector_off():
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
    """One problem for each thing that a person can mend; see `worded`."""
    found = []
    for each in error.errors(include_url=False):
        path = _followed(value, _as_written(each["loc"]))
        if path is not None and not _follows_from_others(each):
            found.append((_span(document, path, each), path, partial(_words, each, model, path)))
    return worded(document.file, found)


def _words(error: Mapping[str, Any], model: type[BaseModel], path: Steps) -> Words:
    last = error["loc"][-1:] if error["type"] == "missing" else path[-1:]
    return complaint(error, str(last[0]) if last else "", expected_at(model, error["loc"]))


def worded(file: str, found: Iterable[tuple[Span, Steps, Callable[[], Words]]]) -> list[Problem]:
    """Problems by span, path and how they are worded, in order of place.

    Those beyond a hundred are only counted (`refusal`) and get no words: near names are not looked for where nobody
    reads them.
    """
    problems: dict[Problem, None] = {}
    for span, path, words in sorted(found, key=lambda each: each[0]):
        what, right = words() if len(problems) < MAX_PROBLEMS else ("", "")
        problems[Problem(file, what, right, span, path)] = None
    return list(problems)


def _span(document: Document, path: Steps, error: Mapping[str, Any]) -> Span:
    """The key, where a key is wrong or something lacks under it; otherwise the value."""
    if error["type"] in _AT_KEY or error["loc"][-1:] == ("[key]",):
        return _key_span(document, path)
    return document.nearest_span((*path, "kind") if error["type"] == "union_tag_invalid" else path)


def _key_span(document: Document, path: Steps) -> Span:
    """The key at this path, for what is wrong with a key or lacking under it."""
    try:
        return document.key_span(path) if path else document.nearest_span(("",))
    except KeyError:
        return document.nearest_span(path)


def _follows_from_others(error: Mapping[str, Any]) -> bool:
    """Too few entries after those that are wrong were set aside; each of them is told of anyway."""
    return bool(error["type"] == "too_short" and len(error["input"]) >= error["ctx"]["min_length"])


def _as_written(steps: Sequence[str | int]) -> Sequence[str | int]:
    """A location in the document: cameras without a part stand among the others there."""
    return ("cameras", *steps[1:]) if steps[:1] == (WANTED,) else steps


def _followed(value: Any, steps: Sequence[str | int]) -> Steps | None:
    """The document path of an error; steps that the document does not have (names of branches) are left out.

    None for a branch that cannot have been meant: the list branch of a text and the other way round.
    """
    path: list[str | int] = []
    for step in steps:
        if _inside(value, step):
            value = value[step]
            path.append(step)
        elif _is_branch(step) and str(step).startswith(("tuple[", "list[")) != isinstance(value, list):
            return None
    return tuple(path)


def _is_branch(step: str | int) -> bool:
    return isinstance(step, str) and "[" in step and step != "[key]"


def _inside(value: object, step: str | int) -> bool:
    if isinstance(step, int):
        return isinstance(value, list) and step < len(value)
    return isinstance(value, dict) and step in value
