"""Refuses figures without a source: numbers written into expressions, and limits that no expression reads.

A figure belongs in a rule's `limits`, with unit and source. 0, 1, 2 and 100 (and 0.0, 1.0, 2.0, 100.0) may
stand in an expression: they count, halve and make shares, and state nothing about the trade.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from coaxwright.errors import Problem
from coaxwright.language.checked import Checked
from coaxwright.language.parsing import problem_in
from coaxwright.language.syntax import Literal, walk

LIMIT = "limit"
ALLOWED = frozenset({0, 1, 2, 100})


def unsourced(checked: Checked) -> Iterator[Problem]:
    """A problem for each number in the expression that should be a limit; spans are relative to its text."""
    for node in walk(checked.syntax):
        if isinstance(node, Literal) and _is_figure(node.value):
            what = f"{node.value} is a figure without a source"
            right = "state it under `limits` with value, unit and source, and write `limit.NAME`"
            yield problem_in(checked.text, node.start, node.end, what, right)


def _is_figure(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and abs(value) not in ALLOWED


def limits_read(expressions: Iterable[Checked]) -> set[str]:
    """Names of the limits that any of the expressions reads."""
    return {
        path[1] for checked in expressions for path in checked.paths if len(path) > 1 and path[0] == LIMIT
    }
