"""How one property of two parts is compared: what the new part lacks of what the old one states.

Each comparison looks at stated values only. What the old part does not state cannot be lost; what only the new
one leaves out is said to be not known. Which properties count of which kind of part is in `part_losses`.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Sequence
from typing import Any, NamedTuple

from coaxwright.immutable import immutable
from coaxwright.model.part_base import PartBase
from coaxwright.model.quantities import format_pair, format_quantity


class Loss(NamedTuple):
    """One thing that is lost: of what, in words; `known` is false where the new part does not state it."""

    about: str
    words: str
    known: bool


Read = Callable[[Any], Any]
Compare = Callable[[str, Any, Any], str]
"""Property, old value, new value (both stated) to words; empty where nothing is lost."""


def _nothing(value: object) -> bool:
    """Nothing that could be lost: no, an empty list, none of what is counted. A temperature of 0 is something."""
    return value is False or value == () or (isinstance(value, int) and value == 0)


@immutable
class Trait:
    """A property: its name, how it is read of a part (None: not stated), how two are compared, how one is told.

    `nothing` tells a value that cannot be lost; `tells_unknown` is false where another property says it already.
    """

    about: str
    read: Read
    compare: Compare
    shown: Callable[[Any], str]
    nothing: Callable[[Any], bool] = _nothing
    tells_unknown: bool = True

    def loss(self, old: object, new: object) -> Loss | None:
        """What the new part lacks of this property."""
        before = self.stated(old)
        return None if before is None else self.without(before, new)

    def stated(self, old: object) -> object:
        """What the old part has of it; None where that is not stated or nothing that could be lost."""
        before = self.read(old)
        return None if before is None or self.nothing(before) else before

    def without(self, before: object, new: object) -> Loss | None:
        """What the new part lacks of what is stated of the old one."""
        after = self.read(new)
        if after is None:
            if not self.tells_unknown:
                return None
            return Loss(self.about, f"{self.about} not known (was {self.shown(before)})", known=False)
        words = self.compare(self.about, before, after)
        return Loss(self.about, words, known=True) if words else None


def field(path: str) -> Read:
    """Reads `night.lamp` and the like; None where any step is not stated."""
    steps = path.split(".")

    def read(part: object) -> object:
        for step in steps:
            part = getattr(part, step, None)
            if part is None:
                return None
        return part

    return read


def more(about: str, read: Read, unit: str = "1") -> Trait:
    """The more of it the better, in the base unit `unit`."""
    return Trait(about, read, _less_than(unit), lambda value: format_quantity(value, unit))


def fewer(about: str, read: Read, unit: str) -> Trait:
    """The less of it the better: a least illumination, a lowest temperature."""

    def compare(name: str, before: float, after: float) -> str:
        if after <= before:
            return ""
        shown = format_pair(after, before, unit)
        return f"{name} {shown[0]} in place of {shown[1]}"

    return Trait(about, read, compare, lambda value: format_quantity(value, unit))


def _less_than(unit: str) -> Compare:
    def compare(name: str, before: float, after: float) -> str:
        if after >= before:
            return ""
        shown = format_pair(after, before, unit)
        return f"{name} {shown[0]} in place of {shown[1]}"

    return compare


def counted(about: str, read: Read) -> Trait:
    """Numbers of things: `bays: 1 in place of 4`."""

    def number(part: PartBase) -> int | None:
        value = read(part)
        return value if value is None or isinstance(value, int) else len(value)

    def compare(name: str, before: int, after: int) -> str:
        return f"{name}: {after or 'none'} in place of {before}" if after < before else ""

    return Trait(about, number, compare, str)


def has(about: str, read: Read, without: str = "") -> Trait:
    """Something that is there or not: only what was there can be lost."""

    def compare(name: str, before: bool, after: bool) -> str:
        return (without or f"no {name}") if before and not after else ""

    return Trait(about, read, compare, lambda value: "there" if value else "not there")


def ranked(about: str, read: Read, order: Sequence[str]) -> Trait:
    """Words in an order, worst first."""
    places = {word: place for place, word in enumerate(order)}

    def compare(name: str, before: str, after: str) -> str:
        return f"{name}: {after} in place of {before}" if places[after] < places[before] else ""

    return Trait(about, read, compare, str, lambda value: places[value] == 0)


def same(about: str, read: Read, unit: str = "") -> Trait:
    """Another one is a loss whichever way: a plug, an impedance."""

    def shown(value: object) -> str:
        return format_quantity(value, unit) if unit and isinstance(value, int | float) else str(value)

    def compare(name: str, before: object, after: object) -> str:
        return "" if before == after else f"{name} {shown(after)}, not {shown(before)}"

    return Trait(about, read, compare, shown)


def every(about: str, read: Read, capitals: bool = False) -> Trait:
    """Members of a set, each of which can be lost."""

    def told(members: Collection[Any]) -> str:
        words = ", ".join(dict.fromkeys(str(each) for each in members))
        return words.upper() if capitals else words

    def compare(name: str, before: Collection[Any], after: Collection[Any]) -> str:
        gone = [each for each in before if each not in after]
        return f"no {told(gone)} {name}" if gone else ""

    return Trait(about, lambda part: _members(read(part)), compare, told)


def _members(value: Iterable[object] | str | None) -> tuple[Any, ...] | None:
    if value is None:
        return None
    return (value,) if isinstance(value, str) else tuple(value)
