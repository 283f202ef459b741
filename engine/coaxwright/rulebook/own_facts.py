"""Facts that a user added (`facts/*.yaml` in a folder of rules), as a run uses them.

They are computed once all facts of the program are, in order of need, and stand on the sheets beside them: rules, reports
and `explain` read them as they read any fact. A sheet that carries them is of a class of its own, made for one rulebook,
so that two rulebooks in one process do not meet.
"""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import cached_property, partial
from typing import Any

from coaxwright.facts.binding import Facts
from coaxwright.facts.declared.book import Book, Declared, declared
from coaxwright.facts.declared.filling import missing, value_of
from coaxwright.facts.sheets import SHEETS, Sheet, fact
from coaxwright.facts.sheets.kinds import fact_kinds
from coaxwright.immutable import immutable
from coaxwright.language.checked import Fault, Unknown
from coaxwright.language.compiling import compile_expression
from coaxwright.language.effort import Steps, degree, for_subjects, grows
from coaxwright.language.types import Bool, FieldSpec, Int, KindSpec, Num, Text, Type, Unit
from coaxwright.rulebook.limits import Limits, LimitValue

Record = Mapping[str, Any]
Kinds = Mapping[str, KindSpec]
_TYPES: Mapping[str, Callable[[str], Type]] = {
    "bool": lambda unit: Bool(),
    "int": lambda unit: Int(),
    "str": lambda unit: Text(),
    "float": lambda unit: Num(Unit.parse(unit)),
}


@immutable
class OwnFact:
    """One fact of a user: its declaration, its type as Python names it, its sentence, and where it stands.

    A `step` is a figure on the way: it is computed and shown in workings, and rules cannot read it.
    """

    declared: Declared
    type: str
    says: str
    step: bool
    file: str
    line: int
    cases: int

    @property
    def id(self) -> str:
        """As people name it: `feed.drop_share`."""
        return f"{self.declared.kind}.{self.declared.name}"

    @property
    def spec(self) -> FieldSpec:
        """The field as expressions see it."""
        return FieldSpec(self.declared.name, _TYPES[self.type](self.declared.unit), self.says)


def own_fact(record: Record) -> OwnFact:
    """A fact from its record."""
    figures = {row[0]: LimitValue(*row) for row in record["limits"]}
    made = declared(record["kind"], record["row"], Limits(figures.values()) if figures else None, figures)
    return OwnFact(made, record["type"], record["says"], record["step"], record["file"], record["line"], record["cases"])


class OwnFacts:
    """All facts that the folders of one rulebook add, in order of need; false where there is none."""

    def __init__(self, records: Sequence[Record] = ()) -> None:
        self._records = records

    def __bool__(self) -> bool:
        return bool(self._records)

    @cached_property
    def facts(self) -> tuple[OwnFact, ...]:
        """Each fact and step, after those that it reads."""
        return tuple(map(own_fact, self._records))

    @cached_property
    def kinds(self) -> Kinds:
        """Every kind of sheet, with the facts of the user."""
        return extended(fact_kinds(), (each for each in self.facts if not each.step))

    def of(self, kind: str, name: str) -> OwnFact | None:
        """The fact of that kind of sheet and name; None where the user has none."""
        return next((each for each in self.facts if (each.declared.kind, each.declared.name) == (kind, name)), None)

    def onto(self, facts: Facts) -> Facts:
        """The same facts with those of the user computed; what has them already stays as it is."""
        if not self or any(type(sheet) is cls for kind, cls in self._classes.items() for sheet in facts.by_kind(kind)[:1]):
            return facts
        for kind, cls in self._classes.items():
            for sheet in facts.by_kind(kind):
                sheet.own = {}
                sheet.__class__ = cls
        for fill, each in self._fillers:
            fill(facts.by_kind(each.kind))
        return facts

    @cached_property
    def _fillers(self) -> list[tuple[Callable[[Sequence[Sheet]], None], Declared]]:
        return [(_filler(each), each.declared) for each in self.facts] if self else []

    @cached_property
    def _classes(self) -> Mapping[str, type[Sheet]]:
        kinds = dict.fromkeys(each.declared.kind for each in self.facts) if self else ()
        return {kind: _class_of(kind, [each for each in self.facts if each.declared.kind == kind]) for kind in kinds}


NONE = OwnFacts()


def extended(kinds: Kinds, facts: Iterator[OwnFact]) -> Kinds:
    """The kinds with further fields."""
    found = dict(kinds)
    for each in facts:
        kind = found[each.declared.kind]
        found[kind.name] = dataclasses.replace(kind, fields={**kind.fields, each.declared.name: each.spec})
    return found


class _OwnField:
    """A field that lies in `Sheet.own`: unset there, it is unset, as a slot is."""

    def __init__(self, name: str) -> None:
        self.name = name

    def __get__(self, sheet: Sheet | None, owner: object = None) -> object:
        if sheet is None:
            return self
        try:
            return sheet.own[self.name]
        except KeyError:
            raise AttributeError(self.name) from None


def _class_of(kind: str, own: Sequence[OwnFact]) -> type[Sheet]:
    """The class of sheets of that kind with these facts: laid out as its base, so that a sheet may change into it."""
    base = SHEETS[kind]
    shown = [(each.declared.name, each.type, fact(each.says, each.declared.unit)) for each in own if not each.step]
    made: Any = dataclasses.make_dataclass(
        base.__name__, shown, bases=(base,), namespace={"__slots__": ()}, init=False, repr=False, eq=False
    )
    for each in own:
        setattr(made, each.declared.name, _OwnField(each.declared.name))
    made.own_book = Book(kind, tuple(each.declared for each in own), _units_of(own), {}, {}, {})
    found: type[Sheet] = made
    return found


def _units_of(own: Sequence[OwnFact]) -> Mapping[str, str]:
    """Units of all that these facts read, by path from the sheet on."""
    found = {each.declared.name: each.declared.unit for each in own}
    for each in own:
        found.update((f"limit.{name}", row.unit) for name, row in each.declared.figures.items())
        for path in each.declared.whole.paths:
            spec = field_at(path, each.declared.kind)
            if spec is not None and isinstance(spec.type, Num):
                found[".".join(path[1:])] = str(spec.type.unit)
    return found


def field_at(path: Sequence[str], kind: str, kinds: Kinds | None = None) -> FieldSpec | None:
    """The field at the end of a path that begins with the variable `kind`; None for none."""
    return next((spec for _, spec in reversed(list(steps_of(path, {kind: kind}, kinds or fact_kinds())))), None)


def steps_of(path: Sequence[str], variables: Mapping[str, str], kinds: Kinds) -> Iterator[tuple[str, FieldSpec]]:
    """Each field that a path of an expression reads, with the kind of sheet that it is a field of."""
    kind: str = variables.get(path[0], "")
    for name in path[1:]:
        if name == "*":
            continue
        spec = kinds[kind].fields.get(name) if kind in kinds else None
        if spec is None:
            return
        yield kind, spec
        inner: Any = spec.type
        while hasattr(inner, "item"):
            inner = inner.item
        kind = getattr(inner, "kind", "")


def _filler(own: OwnFact) -> Callable[[Sequence[Sheet]], None]:
    """Sets the fact on the sheets on which it can be known, and records how to find out what the others lack.

    Generated code where no list is walked and no text may grow; else the exact evaluator, which counts its steps.
    """
    what, tree = own.declared, own.declared.whole.syntax
    fast = None if own.type == "str" or grows(tree) or degree(tree) else compile_expression(what.whole, tuple(what.scope(None)))

    def fill(sheets: Sequence[Sheet]) -> None:
        steps = for_subjects(len(sheets))
        for sheet in sheets:
            value = _known(what, sheet, fast, steps)
            if isinstance(value, Unknown | Fault):
                sheet.lacks_by(what.name, partial(_lacking, what))
            else:
                sheet.own[what.name] = value

    return fill


def _lacking(what: Declared, sheet: Sheet) -> tuple[str, ...]:
    """What it lacks, found once: facts that branch over and over would ask for it over and over."""
    found = sheet.absent[what.name] = missing(what, sheet)
    return found


def _known(what: Declared, sheet: Sheet, fast: Callable[..., Any] | None, steps: Steps) -> object:
    """Value, `Unknown` or `Fault`."""
    if fast is not None:
        try:
            value = fast(*what.scope(sheet).values())
        except Exception:  # noqa: BLE001 - whatever it is, the exact evaluator says why
            return value_of(what, sheet, steps)
        if not isinstance(value, float) or math.isfinite(value):
            return value
    return value_of(what, sheet, steps)
