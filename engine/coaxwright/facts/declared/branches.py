"""Holds the branches of a fact apart: exactly one has to apply wherever all is known.

Every way in which the conditions can come out is gone through: fields with choices and truth values by their values,
`has` by whether the field is there, any other comparison as a thing that may or may not hold. Branches that only
arithmetic keeps apart are refused for that reason; `!(condition)` before the second one is always understood.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import product

from coaxwright.language.checked import Checked
from coaxwright.language.syntax import Binary, ListLiteral, Literal, Logic, Node, Select, Unary

MOST = 4096
"""Ways that are gone through: twelve conditions that each may hold or not; common practice to bound such a search."""
Choices = Mapping[str, tuple[object, ...]]


def clash(conditions: Sequence[Checked], closed: Choices, *, rest: bool) -> str:
    """What is wrong with these conditions, in words; "" where exactly one applies, or the last branch takes the `rest`.

    `closed` are the values of each field that has choices or is true or false.
    """
    atoms: dict[str, tuple[object, ...]] = {}
    for each in conditions:
        for name, values in _atoms(each.syntax, each.text, closed):
            atoms[name] = tuple(dict.fromkeys((*atoms.get(name, ()), *values)))
    cases = 1
    for values in atoms.values():
        cases *= len(values)
    if cases > MOST:
        return f"the branches can come out in {cases} ways: that is more than can be told apart"
    ways = (dict(zip(atoms, row, strict=True)) for row in product(*atoms.values()))
    return next((wrong for case in ways if (wrong := _wrong(conditions, case, rest))), "")


def _wrong(conditions: Sequence[Checked], case: Mapping[str, object], rest: bool) -> str:
    holding = [place + 1 for place, each in enumerate(conditions) if _holds(each.syntax, each.text, case)]
    where = " and ".join(f"{name} is {_told(value)}" for name, value in case.items())
    if len(holding) > 1:
        return f"branches {holding[0]} and {holding[1]} both apply where {where}"
    return "" if holding or rest else f"no branch applies where {where}"


def _told(value: object) -> str:
    return {True: "true", False: "false"}[value] if isinstance(value, bool) else f"'{value}'"


def _atoms(node: Node, text: str, closed: Choices) -> Iterator[tuple[str, tuple[object, ...]]]:
    match node:
        case Logic():
            for each in node.operands:
                yield from _atoms(each, text, closed)
        case Unary(operation="not"):
            yield from _atoms(node.operand, text, closed)
        case Binary() if (name := _compared(node, text)) in closed:
            yield name, closed[name]
        case Literal():
            return
        case _:
            yield _text(node, text), (True, False)


def _compared(node: Binary, text: str) -> str:
    """The field that is compared with words; "" for another comparison."""
    words = node.right.items if isinstance(node.right, ListLiteral) else (node.right,)
    named = isinstance(node.left, Select) and all(isinstance(each, Literal) for each in words)
    return _text(node.left, text) if named and node.operation in ("equal", "not_equal", "in") else ""


def _holds(node: Node, text: str, case: Mapping[str, object]) -> bool:
    match node:
        case Logic():
            results = [_holds(each, text, case) for each in node.operands]
            return all(results) if node.operation == "and" else any(results)
        case Unary(operation="not"):
            return not _holds(node.operand, text, case)
        case Binary() if (name := _compared(node, text)) in case:
            words = node.right.items if isinstance(node.right, ListLiteral) else (node.right,)
            found = case[name] in [each.value for each in words if isinstance(each, Literal)]
            return not found if node.operation == "not_equal" else found
        case Literal():
            return node.value is True
    return bool(case[_text(node, text)])


def _text(node: Node, text: str) -> str:
    """The node as written, without blanks and brackets around the whole."""
    found = "".join(text[node.start : node.end].split())
    while found.startswith("(") and _closing(found) == len(found) - 1:
        found = found[1:-1]
    return found


def _closing(text: str) -> int:
    """Where the bracket that stands first is closed."""
    depth = 0
    for place, character in enumerate(text):
        depth += (character == "(") - (character == ")")
        if not depth:
            return place
    return -1
