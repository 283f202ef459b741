"""Types of the rule language: what a fact, a limit or an expression may be, with units.

Used by the type check when a rule loads, and by whoever describes fact sheets to it. It holds no values and
evaluates nothing. Units are symbols that multiply and divide; there is no conversion (`s` and `h` differ),
because fact sheets state each figure in one fixed unit.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import field
from functools import lru_cache

from coaxwright.immutable import immutable

_TOKEN = re.compile(r"(?P<name>[A-Za-z%]+?)(?P<power>[2-9]?)\Z")
_OPAQUE = frozenset({"mm2"})
# Derived units whose products rules rely on: SI Brochure (9th edition), table 4: W = V A, ohm = V/A; an hour is a unit
# beside the SI (table 8): Ah = A h, Wh = V A h.
_DERIVED: Mapping[str, Mapping[str, int]] = {
    "Wh": {"V": 1, "A": 1, "h": 1}, "W": {"V": 1, "A": 1}, "ohm": {"V": 1, "A": -1}, "Ah": {"A": 1, "h": 1},
}  # fmt: skip


@immutable
class Unit:
    """A unit as sorted (symbol, power) pairs; no pair means a plain number. Compare with `==`."""

    powers: tuple[tuple[str, int], ...] = ()

    @staticmethod
    def parse(text: str) -> Unit:
        """The unit written as symbols joined by `*` and `/` (`V`, `bit/s`, `ohm/m`, `1/m`); "" or "1" is no
        unit.

        Each `/` divides by the one symbol after it. ValueError when the text is not of this form.
        """
        return _parse_unit(text)

    def __mul__(self, other: Unit) -> Unit:
        """The unit of a product."""
        return _unit_of([*self.powers, *other.powers])

    def __truediv__(self, other: Unit) -> Unit:
        """The unit of a quotient."""
        return _unit_of([*self.powers, *((name, -power) for name, power in other.powers)])

    def root(self) -> Unit | None:
        """The unit of a square root; None where this one is no square."""
        odd = any(power % 2 for _, power in self.powers)
        return None if odd else Unit(tuple((name, power // 2) for name, power in self.powers))

    def __str__(self) -> str:
        """The unit in its shortest usual spelling; "" for a plain number."""
        powers = _with_derived_names(dict(self.powers))
        over = [name for name, power in sorted(powers.items()) for _ in range(power)]
        under = "".join(f"/{name}" for name, power in sorted(powers.items()) for _ in range(-power))
        return ("*".join(over) or ("1" if under else "")) + under


@lru_cache(maxsize=512)
def _parse_unit(text: str) -> Unit:
    powers: list[tuple[str, int]] = []
    for sign, token in _unit_tokens(text.strip()):
        if token == "1":
            continue
        found = None if token in _OPAQUE else _TOKEN.fullmatch(token)
        if found is None and token not in _OPAQUE:
            raise ValueError(f"`{text}` is not a unit: `{token}` is not a symbol")
        name, count = (found["name"], int(found["power"] or 1)) if found else (token, 1)
        base = _DERIVED.get(name, {name: 1})
        powers += [(part, sign * count * power) for part, power in base.items()]
    return _unit_of(powers)


def _unit_tokens(text: str) -> list[tuple[int, str]]:
    pieces = re.split(r"([*/])", text) if text else []
    return [
        (-1 if place and pieces[place - 1] == "/" else 1, pieces[place].strip())
        for place in range(0, len(pieces), 2)
    ]


def _unit_of(powers: Iterable[tuple[str, int]]) -> Unit:
    total: dict[str, int] = {}
    for name, power in powers:
        total[name] = total.get(name, 0) + power
    return Unit(tuple(sorted((name, power) for name, power in total.items() if power)))


def _with_derived_names(powers: dict[str, int]) -> dict[str, int]:
    """Volts and amperes gathered into `W` or `ohm` where they fit, so that messages read as the trade
    writes.
    """
    for name, base in _DERIVED.items():
        if all(powers.get(part) == power for part, power in base.items()):
            return {**{part: power for part, power in powers.items() if part not in base}, name: 1}
    return powers


PLAIN = Unit()


@immutable
class Bool:
    """True or false."""

    def __str__(self) -> str:
        """As messages name it."""
        return "true/false"


@immutable
class Int:
    """A whole number of 64 bits with sign: a count. Python `int` on a sheet, never `bool`."""

    def __str__(self) -> str:
        """As messages name it."""
        return "a whole number"


@immutable
class Num:
    """A double (IEEE 754 binary64) in a unit. Python `float` on a sheet."""

    unit: Unit = PLAIN

    def __str__(self) -> str:
        """As messages name it."""
        return f"a number in {self.unit}" if self.unit.powers else "a number without unit"


@immutable
class Text:
    """A string; `choices` is the closed set it is one of, None when any text may stand there."""

    choices: frozenset[str] | None = None

    def __str__(self) -> str:
        """As messages name it."""
        return "text"


@immutable
class ListOf:
    """A list of values of one type. Python `tuple` or `list` on a sheet."""

    item: Type

    def __str__(self) -> str:
        """As messages name it."""
        return "an empty list" if isinstance(self.item, Nothing) else f"a list ({self.item} each)"


@immutable
class Ref:
    """Another fact sheet, of the named kind."""

    kind: str

    def __str__(self) -> str:
        """As messages name it."""
        return f"a {self.kind}"


@immutable
class Nothing:
    """The item type of an empty list, and the type of what is already reported as wrong: it fits every
    type.
    """

    def __str__(self) -> str:
        """As messages name it."""
        return "nothing"


Type = Bool | Int | Num | Text | ListOf | Ref | Nothing


@immutable
class FieldSpec:
    """One field of a kind of fact sheet. `optional` fields may be unset, which means: not known."""

    name: str
    type: Type
    doc: str
    optional: bool = True


@immutable
class KindSpec:
    """A kind of fact sheet: the fields that rules may read."""

    name: str
    fields: Mapping[str, FieldSpec]
    doc: str


@immutable
class FunctionSpec:
    """A function of the language: how it is called and what it does. `member` means `x.name()`, else
    `name(x)`.
    """

    name: str
    form: str
    doc: str
    member: bool = False
    plain: bool = True


def _standard_functions() -> Mapping[str, FunctionSpec]:
    specs = (
        FunctionSpec(
            "size", "size(text or list), x.size()", "number of code points, or of items", member=True
        ),
        FunctionSpec("contains", "text.contains(part)", "whether the part occurs in the text", True, False),
        FunctionSpec(
            "startsWith", "text.startsWith(part)", "whether the text begins with the part", True, False
        ),
        FunctionSpec("endsWith", "text.endsWith(part)", "whether the text ends with the part", True, False),
        FunctionSpec("int", "int(x)", "whole number from a plain number (towards zero) or decimal text"),
        FunctionSpec("double", "double(x)", "plain number from a whole number or decimal text"),
        FunctionSpec("string", "string(x)", "text of a whole or plain number, true/false, or text"),
        FunctionSpec(
            "min", "min(x, ...) or min(list)", "the least; NaN if one is NaN; none of an empty list"
        ),
        FunctionSpec(
            "max", "max(x, ...) or max(list)", "the greatest; NaN if one is NaN; none of an empty list"
        ),
        FunctionSpec("abs", "abs(x)", "the magnitude, in the unit of x"),
        FunctionSpec("sum", "sum(list)", "the total, added from left to right; 0 of an empty list"),
        FunctionSpec("square", "square(x)", "x times x, in the unit of x squared"),
        FunctionSpec("sqrt", "sqrt(x)", "the square root; a fault below zero, and for a unit that is no square"),
        FunctionSpec("pow", "pow(x, y)", "x to the power of y, both without unit; a fault where that is no number"),
        FunctionSpec("hypot", "hypot(x, y)", "the long side of a right angle: square root of x^2 + y^2, in their unit"),
        FunctionSpec("atan", "atan(x)", "the angle in deg whose tangent is x"),
        FunctionSpec("tan", "tan(x)", "the tangent of an angle in deg"),
    )
    return {spec.name: spec for spec in specs}


STANDARD_FUNCTIONS: Mapping[str, FunctionSpec] = _standard_functions()


@immutable
class Environment:
    """What an expression may name: kinds of sheet, variables in scope with their types, and functions."""

    kinds: Mapping[str, KindSpec]
    variables: Mapping[str, Type]
    functions: Mapping[str, FunctionSpec] = field(default_factory=lambda: STANDARD_FUNCTIONS)

    def with_variables(self, variables: Mapping[str, Type]) -> Environment:
        """The same environment with further (or other) variables."""
        return Environment(self.kinds, {**self.variables, **variables}, self.functions)
