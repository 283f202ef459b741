"""Runs the cases that stand beside the facts of a user: figures in, one fact out, or what it still asks for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from types import SimpleNamespace
from typing import Any

from coaxwright.errors import Problem
from coaxwright.facts.declared.cases import agrees, read_figure, told
from coaxwright.facts.declared.filling import value_of
from coaxwright.language.checked import Unknown
from coaxwright.language.types import Bool, Int, KindSpec, ListOf, Num, Ref, Type
from coaxwright.model.facts import OwnCase, OwnDeclaration, OwnFactFile
from coaxwright.model.quantities import QuantityError
from coaxwright.reading.suggest import did_you_mean
from coaxwright.reading.validation import validated
from coaxwright.reading.yaml_source import Document
from coaxwright.rulebook.library import Rulebook
from coaxwright.rulebook.own_checking import document_of, is_of_facts
from coaxwright.rulebook.own_facts import Kinds, OwnFact
from coaxwright.rulebook.rule_files import find_rule_files


def failing(rulebook: Rulebook) -> list[Problem]:
    """A problem at the place of each case of a user's facts that does not hold."""
    if not rulebook.own:
        return []
    files = (file for file in find_rule_files(rulebook.folders) if file.in_facts)
    documents = (document for file in files if is_of_facts(document := document_of(file)))
    return [problem for document in documents for problem in _of_file(rulebook, document)]


def _of_file(rulebook: Rulebook, document: Document) -> Iterator[Problem]:
    model = validated(OwnFactFile, document)
    for section, declarations in (("steps", model.steps), ("facts", model.facts)):
        for name, declaration in declarations.items():
            fact = rulebook.own.of(model.kind, name)
            if fact is not None:
                yield from _of_fact(rulebook, document, fact, (section, declaration))


def _of_fact(
    rulebook: Rulebook, document: Document, fact: OwnFact, stated: tuple[str, OwnDeclaration]
) -> Iterator[Problem]:
    section, declaration = stated
    kinds = _with_steps(rulebook, fact.declared.kind)
    for place, case in enumerate(declaration.cases):
        path = (section, fact.declared.name, "cases", place)
        try:
            wrong = _wrong(fact, case, kinds)
        except QuantityError as error:
            wrong = f"{error.what}; {error.right}" if error.right else error.what
        if wrong:
            yield Problem(document.file, f"{fact.id}: {wrong}", "", document.nearest_span(path), path)


def _with_steps(rulebook: Rulebook, kind: str) -> Kinds:
    """The kinds of sheet, with the steps of this one as fields: a case may give them."""
    spec = rulebook.own.kinds[kind]
    steps = {each.declared.name: each.spec for each in rulebook.own.facts if each.step and each.declared.kind == kind}
    return {**rulebook.own.kinds, kind: KindSpec(kind, {**spec.fields, **steps}, spec.doc)}


def _wrong(fact: OwnFact, case: OwnCase, kinds: Kinds) -> str:
    """What does not hold, in words; "" where all does."""
    read = {path[1] for path in fact.declared.whole.paths if path[0] == fact.declared.kind and len(path) > 1}
    unread = [name for name in case.given if name not in read]
    if unread:
        return f"the fact does not read `{unread[0]}`"
    value = value_of(fact.declared, _sheet(fact.declared.kind, case.given, kinds))
    if case.open is not None:
        lacking = tuple(field for _, field in value.missing) if isinstance(value, Unknown) else ()
        found = f"asks for {', '.join(lacking)}" if lacking else f"is {told(value)}"
        return "" if lacking == case.open else f"it {found}, and the case says that it asks for {', '.join(case.open)}"
    if case.gives is None:
        return "the case says neither `gives` nor `open`"
    return "" if agrees(value, case.gives, fact.declared.unit) else f"it is {told(value)}, and the case says {case.gives}"


def _sheet(kind: str, given: Mapping[str, Any], kinds: Kinds) -> SimpleNamespace:
    """A stand-in of that kind on which nothing but these fields is known. QuantityError for what cannot be read."""
    sheet: Any = SimpleNamespace(kind=kind, subject="case")
    for name, written in given.items():
        spec = kinds[kind].fields.get(name)
        if spec is None:
            raise QuantityError(f"a {kind} has no field `{name}`", did_you_mean(name, kinds[kind].fields))
        setattr(sheet, name, _value(name, spec.type, written, kinds))
    found: SimpleNamespace = sheet
    return found


def _value(name: str, kind: Type, written: object, kinds: Kinds) -> object:
    """What is written for a field, as the field holds it."""
    match kind:
        case Num() if isinstance(written, int | float | str) and not isinstance(written, bool):
            return read_figure(written, str(kind.unit))
        case Ref() if isinstance(written, Mapping):
            return _sheet(kind.kind, written, kinds)
        case ListOf() if isinstance(written, list | tuple):
            return [_value(name, kind.item, each, kinds) for each in written]
        case Bool() if isinstance(written, bool):
            return written
        case Int() if isinstance(written, int) and not isinstance(written, bool):
            return written
        case Bool() | Int() | Num() | Ref() | ListOf():
            pass
        case _ if isinstance(written, str):
            return written
    raise QuantityError(f"`{name}` is {kind}", "write it as that")
