"""The form of a fact sheet: slots that are unset until known, each with a unit and a sentence.

A rule reads sheets and nothing else. An unset slot means "not known"; `absent` then names what has to be supplied.
"""

from __future__ import annotations

import dataclasses
from typing import Any, ClassVar, Literal, TypeVar, dataclass_transform


class Sheet:
    """One subject's facts.

    `subject` is the path used in findings and waivers (`cameras/slipway`), `pointer` the document path of the place
    meant, `absent` maps an unset field to the document paths (or part fields) that would supply it.
    """

    __slots__ = ("absent", "pointer", "subject")
    kind: ClassVar[str] = ""
    subject: str
    pointer: tuple[str | int, ...]
    absent: dict[str, tuple[str, ...]]

    def known(self, name: str) -> Any:
        """The value of a field, or None where it is not known."""
        return getattr(self, name, None)

    def lacks(self, name: str, *supply: str) -> None:
        """Record what would have to be supplied for `name` to be known."""
        try:
            absent = self.absent
        except AttributeError:
            absent = self.absent = {}
        earlier = absent.get(name)
        if earlier is None and len(supply) < 2:
            absent[name] = supply
        else:
            absent[name] = tuple(dict.fromkeys((*(earlier or ()), *supply)))

    def missing(self, name: str) -> tuple[str, ...]:
        """What to supply so that `name` becomes known; the field itself where nobody recorded it."""
        try:
            return self.absent[name]
        except (AttributeError, KeyError):
            return (f"{self.subject}/{name}",)


def fact(
    doc: str,
    unit: str = "",
    *,
    ref: str = "",
    many: str = "",
    choices: tuple[str, ...] = (),
    init: Literal[False] = False,
) -> Any:
    """Declare a field: what it says, its unit, or the kind of sheet (`ref`) or sheets (`many`) that it points to.

    `init` tells type checkers that no field is a constructor argument.
    """
    metadata = {"doc": doc, "unit": unit, "ref": ref, "many": many, "choices": choices}
    return dataclasses.field(init=init, metadata=metadata)


_S = TypeVar("_S")


@dataclass_transform(field_specifiers=(fact,))
def sheet(cls: type[_S]) -> type[_S]:
    """Make a class of `fact` fields into slots without constructor arguments: create empty, then set what is known."""
    return dataclasses.dataclass(slots=True, init=False, eq=False, repr=False)(cls)
