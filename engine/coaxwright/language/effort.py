"""How much work an expression may cost: what lets it grow, how its loops stand inside one another, steps left.

A rule may come from a stranger, so no rule may hold up a check or fill the memory. Expressions whose work stays in
proportion are judged by the generated loop; all others by the exact evaluator, which counts its steps. Nothing here
evaluates.
"""

from __future__ import annotations

from collections.abc import Iterator

from coaxwright.language.syntax import Binary, ListLiteral, Literal, Macro, Node, children, walk

MAX_STEPS = 2_000_000
"""Steps of one evaluation, and of one rule on one site; where it judges many subjects, `STEPS_EACH` more for each."""
STEPS_EACH = 500
MOST_UNCOUNTED = 20_000_000
"""Rounds of the innermost loop that the generated loop may come to: a second or two of work."""

FREE_STEPS = 200
"""Steps of one evaluation that do not count where many small ones are made for telling."""

GROWING = frozenset({"add_text", "add_list"})
_COMPARING = frozenset({"equal_list", "not_equal_list", "in", "in_doubles", "in_sheets"})
_ADDING_UP = frozenset({"sum_int", "sum_double", "least_of_list", "greatest_of_list"})
WALKING = GROWING | _COMPARING | _ADDING_UP | {"contains"}
"""Operations whose work grows with the size of a list or text."""


class Steps:
    """Steps that several evaluations share; `left` goes down, and is never below zero."""

    __slots__ = ("left",)

    def __init__(self, left: int = MAX_STEPS) -> None:
        self.left = left


    def forgive(self, before: int) -> None:
        """Take back what an evaluation cost since `left` was `before`, if it was next to nothing."""
        if before - self.left <= FREE_STEPS:
            self.left = before


def for_subjects(count: int) -> Steps:
    """The steps of one rule on one site with so many subjects."""
    return Steps(MAX_STEPS + STEPS_EACH * count)


def grows(tree: Node) -> bool:
    """Whether values could grow from one round of a macro to the next, or lists of lists be walked."""
    return any(_grows_here(node) for node in walk(tree))


def _grows_here(node: Node) -> bool:
    if isinstance(node, Macro):
        return any(_makes_greater(inner) for inner in walk(node.body))
    return _operation(node) in _COMPARING | GROWING and any(
        isinstance(inner, Macro) and inner.operation in ("map", "filter") for inner in walk(node)
    )


def _makes_greater(node: Node) -> bool:
    if isinstance(node, ListLiteral):
        return not all(isinstance(item, Literal) for item in node.items)
    return _operation(node) in GROWING


def degree(tree: Node) -> int:
    """How many loops over lists stand inside one another at most, operations that walk a list counted as loops."""
    if isinstance(tree, Macro):
        return max(degree(tree.source), 1 + degree(tree.body))
    own = int(_operation(tree) in WALKING and not _among_literals(tree))
    return max(own, *_degrees(tree), 0)


def _degrees(tree: Node) -> Iterator[int]:
    yield 0
    yield from map(degree, children(tree))


def _among_literals(node: Node) -> bool:
    """`x in ["a", "b"]`, which costs no more than `x == "a" || x == "b"`."""
    return isinstance(node, Binary) and node.operation != "add_list" and isinstance(node.right, ListLiteral)


def _operation(node: Node) -> str:
    return getattr(node, "operation", "")
