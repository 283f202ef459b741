"""The form of a fact sheet: slots that are unset until known, each with a unit and a sentence.

A rule reads sheets and nothing else. An unset slot means "not known"; `absent` then names what has to be supplied.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Mapping
from typing import Any, ClassVar, Literal, TypeVar, dataclass_transform

from coaxwright.facts.sheets.declared import DECLARED, STEPS, Row


class Sheet:
    """One subject's facts.

    `subject` is the path used in findings and waivers (`cameras/slipway`), `pointer` the document path of the place
    meant, `absent` maps an unset field to the document paths (or part fields) that would supply it. `steps` is what a
    solver keeps of its way to a value, for the working. `own` holds facts that a user added, where there are any;
    `own_book` then declares them.
    """

    __slots__ = ("absent", "own", "pointer", "steps", "subject")
    kind: ClassVar[str] = ""
    own_book: ClassVar[Any] = None
    of_entry: ClassVar[bool] = False
    """Its fields follow from one entry of the site file and the devices and boxes that this names, save those marked `shared`."""
    own: dict[str, Any]
    subject: str
    pointer: tuple[str | int, ...]
    absent: dict[str, Any]
    steps: Any

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

    def lacks_by(self, name: str, find: Callable[[Sheet], tuple[str, ...]]) -> None:
        """Record what finds out, when somebody asks, what would have to be supplied for `name` to be known."""
        try:
            self.absent[name] = find
        except AttributeError:
            self.absent = {name: find}

    def put(self, name: str, value: object, *supply: str) -> None:
        """Set a field; where there is no value, record what would supply it."""
        if value is None:
            self.lacks(name, *supply)
        else:
            setattr(self, name, value)

    def missing(self, name: str) -> tuple[str, ...]:
        """What to supply so that `name` becomes known; the field itself where nobody recorded it."""
        try:
            found = self.absent[name]
        except (AttributeError, KeyError):
            return (f"{self.subject}/{name}",)
        return found if type(found) is tuple else tuple(found(self))


def fact(
    doc: str,
    unit: str = "",
    *,
    ref: str = "",
    many: str = "",
    choices: tuple[str, ...] = (),
    shared: bool = False,
    follows: str = "",
    init: Literal[False] = False,
) -> Any:
    """Declare a field: what it says, its unit, or the kind of sheet (`ref`) or sheets (`many`) that it points to.

    Of a sheet of one entry (`of_entry`): `shared` where another camera, or what hangs on the same cable, can move it;
    `follows` is the one key of the entry that it follows from, where nothing else moves it.
    `init` tells type checkers that no field is a constructor argument.
    """
    metadata: dict[str, Any] = {"doc": doc, "unit": unit, "ref": ref, "many": many, "choices": choices}
    if shared or follows:
        metadata.update(shared=shared, follows=follows)
    return dataclasses.field(init=init, metadata=metadata)


_UNMADE = Row("", "", "")
"""In the place of a declaration from which `declared.writing` has made nothing yet: it imports this to make it."""


def declared(kind: str, name: str) -> Any:
    """A field whose sentence and unit stand in `rules/facts`; its place among the fields of the sheet is this one."""
    row = DECLARED.get(kind, {}).get(name, _UNMADE)
    return fact(row.says, row.unit)


_S = TypeVar("_S")


@dataclass_transform(field_specifiers=(fact,))
def sheet(cls: type[_S]) -> type[_S]:
    """Make a class of `fact` fields into slots without constructor arguments: create empty, then set what is known.

    Facts that are declared in `rules/facts` and that the class does not name follow its own fields; steps on the way to
    them have slots and are no fields.
    """
    kind = getattr(cls, "kind", "")
    for name, row in DECLARED.get(kind, {}).items():
        if name not in cls.__annotations__:
            cls.__annotations__[name] = row.type
            setattr(cls, name, fact(row.says, row.unit))
    return dataclasses.dataclass(slots=True, init=False, eq=False, repr=False)(_with_steps(cls, STEPS.get(kind, {})))


def _with_steps(cls: type[_S], rows: Mapping[str, Row]) -> type[_S]:
    """The class over a base that has slots for these, and the constants among them."""
    if not rows:
        return cls
    constants = {name: row.value for name, row in rows.items() if row.value is not None}
    slots = tuple(name for name in rows if name not in constants)
    base = type(f"{cls.__name__}Steps", cls.__bases__, {"__slots__": slots, "__module__": cls.__module__, **constants})
    own = {name: value for name, value in vars(cls).items() if name not in ("__dict__", "__weakref__")}
    return type(cls.__name__, (base,), own)


def by_subject(value: object) -> Any:
    """A value of a sheet with other sheets by their subjects: what two computations of a site can be compared by."""
    if isinstance(value, Sheet):
        return value.subject
    return tuple(map(by_subject, value)) if isinstance(value, list | tuple) else value
