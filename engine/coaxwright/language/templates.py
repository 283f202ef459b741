"""Sentences with placeholders: `{expression}` or `{expression|unit}`, checked when the rule loads, filled on
a finding.

`{{` and `}}` stand for braces. `{a|m} to {b|m}` of two equal numbers prints as one. Two different numbers of one unit
never print equal in one sentence. What is not known prints as "not known".
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping, Sequence
from itertools import pairwise
from typing import Any

from coaxwright.errors import Problem, Refusal, Span
from coaxwright.immutable import immutable
from coaxwright.language.checked import Checked, Fault, Unknown, from_plain, to_plain
from coaxwright.language.effort import Steps
from coaxwright.language.evaluating import evaluate
from coaxwright.language.one_or_more import behind_one
from coaxwright.language.types import PLAIN, Environment, ListOf, Num, Ref, Unit
from coaxwright.model.quantities import format_pair, format_quantity

NOT_KNOWN = "not known"
_PIECE = re.compile(r"\{\{|\}\}|\{([^{}]*)\}|[{}]")
_UNIT = re.compile(r"(?P<expression>.*[^|])\|(?P<unit>[^|]*)", re.DOTALL)


@immutable
class Placeholder:
    """One value of a sentence: its checked expression, and the base unit that it prints in ("" for none)."""

    checked: Checked
    unit: str


Template = tuple[str | Placeholder, ...]


def check_template(
    text: str, environment: Environment, check: Callable[[str, Environment], Checked]
) -> Template:
    """The parts of a sentence.

    Raises `Refusal`; spans are relative to the start of `text`, as for expressions.
    """
    parts: list[str | Placeholder] = []
    problems: list[Problem] = []
    last = 0
    for found in _PIECE.finditer(text):
        parts.append(text[last : found.start()])
        last = found.end()
        try:
            parts.append(_piece(text, found, environment, check))
        except Refusal as refusal:
            problems.extend(refusal.problems)
    if problems:
        raise Refusal(problems)
    return tuple(part for part in (*parts, text[last:]) if part != "")


def _piece(
    text: str, found: re.Match[str], environment: Environment, check: Callable[[str, Environment], Checked]
) -> str | Placeholder:
    if found[0] in ("{{", "}}"):
        return found[0][0]
    if found[1] is None:
        raise Refusal(
            [_problem(text, found.start(), found.end(), f"`{found[0]}` stands alone", "write it twice")]
        )
    split = _UNIT.fullmatch(found[1])
    expression, unit = (split["expression"], split["unit"].strip()) if split else (found[1], None)
    try:
        checked = check(expression, environment)
    except Refusal as refusal:
        raise Refusal(_shifted(problem, text, found.start(1)) for problem in refusal.problems) from None
    return Placeholder(checked, _printed_unit(text, found, checked, unit))


def _printed_unit(text: str, found: re.Match[str], checked: Checked, unit: str | None) -> str:
    kind = checked.type
    if isinstance(kind, ListOf | Ref) and not (isinstance(kind, ListOf) and not isinstance(kind.item, Ref)):
        what = f"`{checked.text}` is {kind} and cannot be printed"
        raise Refusal([_problem(text, found.start(), found.end(), what, "print a field, such as its name")])
    own = kind.unit if isinstance(kind, Num) else PLAIN
    if unit is None:
        return str(own)
    if unit == "%" and isinstance(kind, Num) and own == PLAIN:
        return "%"
    if unit and isinstance(kind, Num) and _parsed(unit) == own:
        return unit
    has = f"is in {own}" if own.powers else "has no unit"
    right = f"write `{{{checked.text}|{own}}}`" if own.powers else f"write `{{{checked.text}}}`"
    raise Refusal(
        [_problem(text, found.start(), found.end(), f"`{checked.text}` {has}, not in `{unit}`", right)]
    )


def _parsed(unit: str) -> Unit | None:
    try:
        return Unit.parse(unit)
    except ValueError:
        return None


def _problem(text: str, start: int, end: int, what: str, right: str) -> Problem:
    return Problem("", what, right, _span(text, start, end))


def _span(text: str, start: int, end: int) -> Span:
    line = text.count("\n", 0, start) + 1
    return Span(line, start - text.rfind("\n", 0, start), line, end - text.rfind("\n", 0, start), start, end)


def _shifted(problem: Problem, text: str, offset: int) -> Problem:
    span = problem.span or Span(1, 1)
    return Problem("", problem.what, problem.right, _span(text, span.start + offset, span.end + offset))


def fill(template: Template, bindings: Mapping[str, Any], steps: Steps | None = None) -> str:
    """The sentence for one subject, within the steps. Never raises for a value that is unknown or an error: it says
    so.
    """
    left = steps or Steps()
    values = [_value(part, bindings, left) if isinstance(part, Placeholder) else part for part in template]
    texts = [
        _printed(value, part.unit) if isinstance(part, Placeholder) else str(part)
        for part, value in zip(template, values, strict=True)
    ]
    _tell_apart(template, values, texts)
    _join_ranges(template, values, texts)
    for place, (part, after) in enumerate(pairwise(template)):
        if isinstance(part, Placeholder) and isinstance(after, str) and texts[place] == "1":
            texts[place + 1] = behind_one(after)
    return "".join(texts)


def _value(part: Placeholder, bindings: Mapping[str, Any], steps: Steps) -> object:
    if not {path[0] for path in part.checked.paths} <= bindings.keys():
        return Unknown(())
    before = steps.left
    value = evaluate(part.checked, bindings, steps)
    steps.forgive(before)
    return value


def _printed(value: object, unit: str) -> str:
    if isinstance(value, Unknown):
        return NOT_KNOWN
    if isinstance(value, Fault):
        return f"not computable ({value.what})"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list | tuple):
        return ", ".join(_printed(item, unit) for item in value) or "none"
    if not isinstance(value, float):
        return str(value)
    return format_quantity(value, unit if math.isfinite(value) else "")


def _tell_apart(template: Template, values: Sequence[Any], texts: list[str]) -> None:
    """More digits for numbers of one unit that differ and yet would print equal."""
    numbers = [
        place
        for place, part in enumerate(template)
        if isinstance(part, Placeholder) and isinstance(values[place], float)
    ]
    for at, first in enumerate(numbers):
        for second in numbers[at + 1 :]:
            unit = _unit_at(template, first)
            if (
                texts[first] == texts[second]
                and values[first] != values[second]
                and unit == _unit_at(template, second)
            ):
                texts[first], texts[second] = format_pair(values[first], values[second], unit)


def _join_ranges(template: Template, values: Sequence[Any], texts: list[str]) -> None:
    """A range from a number to the same number is one number."""
    for place in range(len(template) - 2):
        first, word, last = template[place : place + 3]
        numbers = isinstance(first, Placeholder) and isinstance(last, Placeholder) and isinstance(values[place], float)
        if word == " to " and numbers and texts[place] == texts[place + 2]:
            texts[place + 1] = texts[place + 2] = ""


def _unit_at(template: Template, place: int) -> str:
    part = template[place]
    return part.unit if isinstance(part, Placeholder) else ""


def template_to_plain(template: Template) -> list[Any]:
    """JSON data that `template_from_plain` turns back."""
    return [part if isinstance(part, str) else [to_plain(part.checked), part.unit] for part in template]


def template_from_plain(plain: Sequence[Any]) -> Template:
    """The template that `template_to_plain` gave."""
    return tuple(
        part if isinstance(part, str) else Placeholder(from_plain(part[0]), part[1]) for part in plain
    )
