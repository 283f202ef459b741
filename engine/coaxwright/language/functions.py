"""What each resolved operation computes: strict, pure functions on known values, shared by both evaluators.

Integers are 64 bits with sign and overflow is a fault; doubles follow IEEE 754 with infinities and NaN.
Sources: Common Expression Language specification, "Values" and "Standard Definitions"; IEEE 754-2019, clause
7.3 (division by zero). Nothing here knows sheets, unknowns or syntax.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping, Sequence
from operator import eq
from typing import Any

from coaxwright import portable

LEAST_INT, GREATEST_INT = -(2**63), 2**63 - 1
_DECIMAL = re.compile(r"-?[0-9]+\Z")
_DOUBLE = re.compile(r"-?[0-9]+(?:\.[0-9]+)?(?:[eE][+-]?[0-9]+)?\Z")


class OperationFault(ArithmeticError):
    """An operation has no value for these operands; `args[0]` says why."""


def in_range(value: int) -> int:
    """The value if it fits 64 bits with sign; OperationFault otherwise."""
    if LEAST_INT <= value <= GREATEST_INT:
        return value
    raise OperationFault("the result does not fit a whole number of 64 bits")


def divide_int(left: int, right: int) -> int:
    """Quotient truncated towards zero."""
    if right == 0:
        raise OperationFault("division by zero")
    quotient = abs(left) // abs(right)
    return in_range(quotient if (left < 0) == (right < 0) else -quotient)


def modulo_int(left: int, right: int) -> int:
    """Remainder with the sign of the dividend."""
    if right == 0:
        raise OperationFault("division by zero")
    if left == LEAST_INT and right == -1:
        raise OperationFault("the result does not fit a whole number of 64 bits")
    remainder = abs(left) % abs(right)
    return -remainder if left < 0 else remainder


def divide_double(left: float, right: float) -> float:
    """IEEE 754 quotient: signed infinity, or NaN for 0/0."""
    if right != 0.0:
        return left / right
    if left == 0.0 or left != left:
        return math.nan
    return math.copysign(math.inf, left) * math.copysign(1.0, right)


def add_list(left: Sequence[object], right: Sequence[object]) -> list[object]:
    """One list after the other."""
    return [*left, *right]


def equal_list(left: object, right: Any) -> bool:
    """Whether lists have equal items in the same order (a NaN equals nothing, itself included)."""
    if not isinstance(left, list | tuple):
        return bool(left == right)
    same = equal_list if left and isinstance(left[0], list | tuple) else eq
    return len(left) == len(right) and all(map(same, left, right))


def not_equal_list(left: object, right: object) -> bool:
    """The opposite of `equal_list`."""
    return not equal_list(left, right)


def in_doubles(item: float, items: Sequence[float]) -> bool:
    """Whether an item is numerically equal; a NaN is in no list."""
    return any(item == other for other in items)


def in_sheets(item: object, items: Sequence[object]) -> bool:
    """Whether the very sheet is in the list."""
    return any(item is other for other in items)


def item_at(items: Sequence[object], position: int) -> object:
    """The item at a place counted from 0; OperationFault when there is none."""
    if 0 <= position < len(items):
        return items[position]
    raise OperationFault(f"there is no item {position} in a list of {len(items)}")


def int_of_double(value: float) -> int:
    """Truncated towards zero; -2^63 itself is out of range, as in the specification's conformance tests.

    Those from memory; two of the independent implementations that tests compare with agree.
    """
    if not -(2.0**63) < value < 2.0**63:
        raise OperationFault("the number does not fit a whole number of 64 bits")
    return int(value)


def int_of_text(text: str) -> int:
    """Decimal digits with an optional minus sign, nothing else."""
    if not _DECIMAL.match(text) or len(text) > 40:
        raise OperationFault("the text is not a whole number")
    return in_range(int(text))


def double_of_text(text: str) -> float:
    """Decimal digits with optional sign, point and exponent, nothing else; must fit a double."""
    if not _DOUBLE.match(text) or len(text) > 400:
        raise OperationFault("the text is not a number")
    value = float(text)
    if math.isinf(value):
        raise OperationFault("the number does not fit a double")
    return value


def text_of_double(value: float) -> str:
    """The shortest digits that read back as the same double; no point when whole, exponent from 1e16 on."""
    return repr(value).removesuffix(".0")


def text_of_bool(value: bool) -> str:
    """`true` or `false`."""
    return "true" if value else "false"


def least_of_list(values: Sequence[Any]) -> object:
    """The least; NaN when any is NaN."""
    return _extreme(values, min)


def greatest_of_list(values: Sequence[Any]) -> object:
    """The greatest; NaN when any is NaN."""
    return _extreme(values, max)


def _extreme(values: Sequence[Any], choose: Callable[[Sequence[Any]], Any]) -> object:
    if not values:
        raise OperationFault("an empty list has no least or greatest")
    for value in values:
        if value != value:
            return value
    return choose(values)


def least(*values: object) -> object:
    """The least of the arguments."""
    return least_of_list(values)


def greatest(*values: object) -> object:
    """The greatest of the arguments."""
    return greatest_of_list(values)


def sum_int(values: Sequence[int]) -> int:
    """Total from left to right, each step within 64 bits."""
    total = 0
    for value in values:
        total = in_range(total + value)
    return total


def sum_double(values: Sequence[float]) -> float:
    """Total from left to right, rounded at each step, as `a + b + c` is."""
    total = 0.0
    for value in values:
        total += value
    return total


def square_root(value: float) -> float:
    """The square root; OperationFault below zero."""
    if value < 0.0:
        raise OperationFault("a number below zero has no square root")
    return math.sqrt(value)


def power(base: float, exponent: float) -> float:
    """`base` to the power of `exponent`; OperationFault where that is no real number, or does not fit a double."""
    try:
        found = math.pow(base, exponent)
    except ValueError:
        raise OperationFault("the power is no real number") from None
    except OverflowError:
        raise OperationFault("the power does not fit a double") from None
    ordinary = base > 0.0 and math.isfinite(base) and math.isfinite(exponent) and math.isfinite(found)
    return portable.power(base, exponent) if ordinary else found


def tangent(degrees: float) -> float:
    """The tangent of an angle in degrees; OperationFault for one that is not finite."""
    if not math.isfinite(degrees):
        raise OperationFault("the angle is not finite")
    try:
        return portable.tangent(degrees)
    except ValueError:
        raise OperationFault("a right angle has no tangent") from None


def _geometry() -> dict[str, Callable[..., Any]]:
    return {
        "square": lambda value: value * value,
        "sqrt": square_root,
        "pow": power,
        "hypot": math.hypot,
        "atan": lambda value: portable.arctangent(value) if math.isfinite(value) else math.degrees(math.atan(value)),
        "tan": tangent,
    }


def _arithmetic() -> dict[str, Callable[..., Any]]:
    return {
        "negate_int": lambda value: in_range(-value),
        "negate_double": lambda value: -value,
        "add_int": lambda left, right: in_range(left + right),
        "subtract_int": lambda left, right: in_range(left - right),
        "multiply_int": lambda left, right: in_range(left * right),
        "divide_int": divide_int,
        "modulo_int": modulo_int,
        "add_double": lambda left, right: left + right,
        "subtract_double": lambda left, right: left - right,
        "multiply_double": lambda left, right: left * right,
        "divide_double": divide_double,
        "add_text": lambda left, right: left + right,
        "add_list": add_list,
        "abs_int": lambda value: in_range(abs(value)),
        "abs_double": abs,
        "sum_int": sum_int,
        "sum_double": sum_double,
        "least": least,
        "greatest": greatest,
        "least_of_list": least_of_list,
        "greatest_of_list": greatest_of_list,
    }


def _comparison() -> dict[str, Callable[..., Any]]:
    return {
        "not": lambda value: not value,
        "less": lambda left, right: left < right,
        "less_equal": lambda left, right: left <= right,
        "greater": lambda left, right: left > right,
        "greater_equal": lambda left, right: left >= right,
        "equal": lambda left, right: left == right,
        "not_equal": lambda left, right: left != right,
        "equal_list": equal_list,
        "not_equal_list": not_equal_list,
        "equal_sheet": lambda left, right: left is right,
        "not_equal_sheet": lambda left, right: left is not right,
        "in": lambda item, items: item in items,
        "in_doubles": in_doubles,
        "in_sheets": in_sheets,
    }


def _text_and_conversion() -> dict[str, Callable[..., Any]]:
    return {
        "size": len,
        "contains": lambda text, part: part in text,
        "starts_with": lambda text, part: text.startswith(part),
        "ends_with": lambda text, part: text.endswith(part),
        "itself": lambda value: value,
        "int_of_double": int_of_double,
        "int_of_text": int_of_text,
        "double_of_int": float,
        "double_of_text": double_of_text,
        "text_of_int": str,
        "text_of_double": text_of_double,
        "text_of_bool": text_of_bool,
    }


OPERATIONS: Mapping[str, Callable[..., Any]] = {**_arithmetic(), **_geometry(), **_comparison(), **_text_and_conversion()}
"""Every strict operation by name. `and`, `or`, choices and macros are not strict: the evaluators have
them.
"""
