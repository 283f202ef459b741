"""The fact sheets as kinds of the rule language, made from their own declarations: no field is described in two places."""

from __future__ import annotations

import dataclasses
import hashlib
from collections.abc import Mapping
from functools import lru_cache

from coaxwright.facts.sheets import SHEETS, Sheet
from coaxwright.language.types import Bool, FieldSpec, Int, KindSpec, ListOf, Num, Ref, Text, Type, Unit


@lru_cache(maxsize=1)
def fact_kinds() -> Mapping[str, KindSpec]:
    """Every kind of fact sheet, with its fields, units and choices.

    TypeError for a field that no type fits.
    """
    return {kind: _kind_of(kind, cls) for kind, cls in SHEETS.items()}


def _kind_of(kind: str, cls: type[Sheet]) -> KindSpec:
    specs = [
        FieldSpec("kind", Text(frozenset({kind})), "Kind of the sheet.", optional=False),
        FieldSpec("subject", Text(), "Path by which findings and waivers name it.", optional=False),
    ]
    specs += [_field_of(kind, entry) for entry in dataclasses.fields(cls) if entry.metadata]  # type: ignore[arg-type]
    doc = (cls.__doc__ or "").strip().splitlines()[0]
    return KindSpec(kind, {spec.name: spec for spec in specs}, doc)


def _field_of(kind: str, entry: dataclasses.Field[object]) -> FieldSpec:
    return FieldSpec(entry.name, _type_of(f"{kind}.{entry.name}", entry), str(entry.metadata["doc"]))


def _type_of(place: str, entry: dataclasses.Field[object]) -> Type:
    about = entry.metadata
    if about["ref"]:
        return Ref(about["ref"])
    if about["many"]:
        return ListOf(Ref(about["many"]))
    name = str(entry.type)
    if name in _LISTS:
        return ListOf(_plain_type(_LISTS[name], about["unit"], about["choices"]))
    if name not in _PLAIN:
        raise TypeError(f"{place}: no type of the rule language fits `{name}`")
    return _plain_type(name, about["unit"], about["choices"])


_PLAIN = ("bool", "int", "float", "str")
_LISTS = {
    f"{outer}[{inner}{more}]": inner for inner in _PLAIN for outer, more in (("list", ""), ("tuple", ", ..."))
}


def _plain_type(name: str, unit: str, choices: tuple[str, ...]) -> Type:
    if name == "bool":
        return Bool()
    if name == "int":
        return Int()
    if name == "float":
        return Num(Unit.parse(unit))
    return Text(frozenset(choices) if choices else None)


@lru_cache(maxsize=1)
def known_units() -> Mapping[Unit, str]:
    """Every unit that a fact is stated in, with its spelling."""
    found: dict[Unit, str] = {}
    for cls in SHEETS.values():
        for entry in dataclasses.fields(cls):  # type: ignore[arg-type]
            unit = entry.metadata.get("unit", "")
            found.setdefault(Unit.parse(unit), unit)
    return found


def units_of(kinds: Mapping[str, KindSpec]) -> Mapping[Unit, str]:
    """`known_units`, and those of further fields of these kinds."""
    found = dict(known_units())
    for kind in kinds.values():
        for spec in kind.fields.values():
            if isinstance(spec.type, Num):
                found.setdefault(spec.type.unit, str(spec.type.unit))
    return found


@lru_cache(maxsize=1)
def kinds_digest() -> str:
    """A digest of all that the type check reads of the sheets; a cache made for other sheets must not be
    used.
    """
    state = hashlib.sha256()
    for kind, cls in SHEETS.items():
        for entry in dataclasses.fields(cls):  # type: ignore[arg-type]
            meta = entry.metadata
            row = (
                kind,
                entry.name,
                str(entry.type),
                *(str(meta.get(key)) for key in ("unit", "ref", "many", "choices")),
            )
            state.update(repr(row).encode())
    return state.hexdigest()
