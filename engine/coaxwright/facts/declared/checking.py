"""Reads a file of declared facts: typed with units, put in order of need, or refused with every problem at its place.

Imported only by what makes the declarations or tests them: it needs the parser.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from pathlib import Path
from typing import Any, NamedTuple

from coaxwright.errors import Problem, Refusal
from coaxwright.facts.declared.branches import clash
from coaxwright.facts.declared.printing import showable
from coaxwright.facts.sheets import SHEETS
from coaxwright.facts.sheets.kinds import fact_kinds
from coaxwright.language.checked import Checked, to_plain
from coaxwright.language.figures import unsourced
from coaxwright.language.parsing import parse_expression, problem_in
from coaxwright.language.places import place_problem
from coaxwright.language.syntax import Literal, Name, Node, Select, walk
from coaxwright.language.types import Bool, Environment, FieldSpec, Int, KindSpec, ListOf, Num, Ref, Text, Type, Unit
from coaxwright.language.typing_check import check_expression
from coaxwright.model.facts import Branch, Declaration, FactFile, Given
from coaxwright.reading.suggest import did_you_mean
from coaxwright.reading.validation import validated
from coaxwright.reading.yaml_source import Document, decode, parse_document, read_bytes

PathInFile = tuple[str | int, ...]
_TYPES: Mapping[type[Type], str] = {Bool: "bool", Int: "int", Num: "float", Text: "str"}


class Read(NamedTuple):
    """A file of facts that can be meant: its document and model, the type of each field, and the plain declarations."""

    document: Document
    model: FactFile
    types: Mapping[str, str]
    plain: Mapping[str, Any]


Beside = dict[str, dict[str, FieldSpec]]
"""Fields by kind of sheet, as their declarations have them; what was made of earlier declarations is behind them."""


def read_facts(path: Path, shown: str, beside: Beside | None = None) -> Read:
    """The file at `path`, called `shown` in messages. Raises Refusal with every problem of the file."""
    return check_facts(parse_document(decode(read_bytes(path, shown), shown), shown), beside)


def check_facts(document: Document, beside: Beside | None = None) -> Read:
    """The facts of a document; its fields are put into `beside`, and those of other files are read there. Raises
    Refusal.
    """
    model = validated(FactFile, document)
    check = FileCheck(document, model, beside)
    plain = check.plain()
    check.beside[model.kind] = {name: check.fields[name] for name in model.facts if name in check.fields}
    if check.problems:
        raise Refusal(sorted(check.problems, key=lambda problem: problem.span.start if problem.span else 0))
    return Read(document, model, check.types, plain)


def counted(unit: Unit) -> Unit:
    """The unit with pixels left out: they are counted, and a count goes with a plain number."""
    return Unit(tuple(pair for pair in unit.powers if pair[0] != "px"))


class FileCheck:
    """The checks of one file; `problems` collects what is wrong, `fields` are those that its expressions may read."""

    strict = True
    """Whether a sum has to be one that a working can show figure by figure."""

    def __init__(self, document: Document, model: FactFile, beside: Beside | None = None) -> None:
        self.document, self.model, self.beside = document, model, {} if beside is None else beside
        self.problems: list[Problem] = []
        self.types: dict[str, str] = {}
        self.declared: dict[str, tuple[str, Declaration]] = {
            **{name: ("steps", each) for name, each in model.steps.items()},
            **{name: ("facts", each) for name, each in model.facts.items()},
        }
        self.fields: dict[str, FieldSpec] = {}
        self.units: dict[str, str] = {}

    def complain(self, path: PathInFile, what: str, right: str = "") -> None:
        """A problem at the value of that path."""
        self.problems.append(Problem(self.document.file, what, right, self.document.nearest_span(path), path))

    def plain(self) -> Mapping[str, Any]:
        """The declarations as plain data; what is complained about is left out."""
        if self.model.kind not in SHEETS:
            self.complain(("kind",), f"there is no kind of sheet `{self.model.kind}`", did_you_mean(self.model.kind, SHEETS))
            return {}
        kind = fact_kinds()[self.model.kind]
        self.fields = {name: spec for name, spec in kind.fields.items() if name not in self.declared}
        for name, given in self.model.given.items():
            if name in kind.fields or name in self.declared:
                self.complain(("given", name), f"`{name}` is a fact of its own", "leave it out here")
            unit = self._unit(("given", name), given.unit)
            self.fields[name] = FieldSpec(name, Int() if given.whole else Num(unit), given.says)
            self.types[name] = "int" if given.whole else "float"
        for name in self.model.steps:
            if name in self.model.facts:
                self.complain(("steps", name), f"`{name}` is declared twice", "keep one of the two")
        order = self._ordered()
        if self.problems:
            return {}
        rows = [row for name in order if (row := self.row(name)) is not None]
        units = {name: str(spec.type.unit) for name, spec in self.fields.items() if isinstance(spec.type, Num)}
        stated = self.model.given
        written = {name: each.unit for name, each in stated.items() if not each.whole}
        written |= {name: each.unit for name, (_, each) in self.declared.items() if each.unit}
        return {
            "facts": rows,
            "units": {**units, **self.units, **written},
            "assumed": {name: each.assumed for name, each in stated.items() if each.assumed},
            "constants": {name: each.value for name, each in stated.items() if each.value is not None},
            "sources": {name: _source(each) for name, each in stated.items() if each.source},
        }

    def _unit(self, path: PathInFile, text: str) -> Unit:
        try:
            return Unit.parse(text)
        except ValueError as error:
            self.complain((*path, "unit"), str(error))
            return Unit()

    # Order of need

    def _ordered(self) -> list[str]:
        """Names so that each stands after those that it reads; a circle is a problem that names it."""
        needs = {name: self._needs(name) for name in self.declared}
        done: dict[str, None] = {}

        def visit(name: str, above: tuple[str, ...]) -> None:
            if name in above:
                circle = " -> ".join([*above[above.index(name) :], name])
                self.complain((self.declared[name][0], name), f"the facts need one another: {circle}", "break the circle")
                return
            for other in needs[name] if name not in done else ():
                visit(other, (*above, name))
            done[name] = None

        for name in needs:
            visit(name, ())
        return list(done)

    def _needs(self, name: str) -> list[str]:
        """The declared names that a declaration reads, in order; what cannot be parsed is told by the check itself."""
        found: dict[str, None] = {}
        for _, text in self.texts(name):
            try:
                tree = parse_expression(text)
            except Refusal:
                continue
            found.update(dict.fromkeys(each for each in _of_own(tree, self.model.kind) if each in self.declared))
        return list(found)

    def texts(self, name: str) -> Iterable[tuple[PathInFile, str]]:
        """Every expression of a declaration with its place in the file."""
        section, declaration = self.declared[name]
        if declaration.is_ is not None:
            yield (section, name, "is"), declaration.is_
        for place, branch in enumerate(declaration.one_of or ()):
            if branch.when is not None:
                yield (section, name, "one_of", place, "when"), branch.when
            yield (section, name, "one_of", place, "is"), branch.is_

    # One declaration

    def environment(self) -> Environment:
        """What the expressions of the file may name as far as it is checked."""
        return Environment(self._kinds(), {self.model.kind: Ref(self.model.kind)})

    def row(self, name: str) -> list[Any] | None:
        """One declaration as plain data, its field added to `fields`; None after problems."""
        section, declaration = self.declared[name]
        path: PathInFile = (section, name)
        environment = self.environment()
        before = len(self.problems)
        unit = self._unit(path, declaration.unit)
        ways = self._ways(path, declaration, environment, unit) if len(self.problems) == before else []
        if not ways:
            self.fields[name] = FieldSpec(name, Num(unit), declaration.says)
            return None
        made = ways[0][1].type
        kept = Num(unit) if isinstance(made, Num) else made
        self.fields[name] = FieldSpec(name, kept, declaration.says)
        self.types[name] = _TYPES[type(made)]
        self._note_units(each for when, value, _ in ways for each in (when, value) if each is not None)
        plain = [[when and to_plain(when), to_plain(value), assumes] for when, value, assumes in ways]
        return [name, str(unit) if not declaration.unit else declaration.unit, plain, _source(declaration), declaration.supply,
                declaration.endless]  # fmt: skip

    def _kinds(self) -> Mapping[str, KindSpec]:
        """The kinds of sheets with the fields that may be read by now."""
        kinds = dict(fact_kinds())
        for kind, fields in self.beside.items():
            kinds[kind] = KindSpec(kind, {**kinds[kind].fields, **fields}, kinds[kind].doc)
        return {**kinds, self.model.kind: KindSpec(self.model.kind, dict(self.fields), kinds[self.model.kind].doc)}

    def _note_units(self, values: Iterable[Checked]) -> None:
        """Units of the fields of other sheets that these expressions read, by path; an item of a list is `*`."""
        kinds = self._kinds()
        for path in (path for each in values for path in each.paths if len(path) > 2):
            kind: Type = Ref(self.model.kind)
            for name in path[1:]:
                kind = kind.item if isinstance(kind, ListOf) else kinds[kind.kind].fields[name].type  # type: ignore[union-attr]
            if isinstance(kind, Num):
                self.units[".".join(path[1:])] = str(kind.unit)

    def _ways(
        self, path: PathInFile, declaration: Declaration, environment: Environment, unit: Unit
    ) -> list[tuple[Checked | None, Checked, str | None]]:
        if (declaration.is_ is None) == (declaration.one_of is None):
            self.complain(path, "a fact has either `is` or `one_of`", "write one of the two")
            return []
        if declaration.one_of is None:
            value = self._value((*path, "is"), str(declaration.is_), environment, unit)
            return [] if value is None else [(None, value, None)]
        found = [
            self._way((*path, "one_of", place), branch, environment, unit) for place, branch in enumerate(declaration.one_of)
        ]
        ways = [each for each in found if each is not None]
        return ways if len(ways) == len(found) and self._apart((*path, "one_of"), ways) else []

    def _way(
        self, path: PathInFile, branch: Branch, environment: Environment, unit: Unit
    ) -> tuple[Checked | None, Checked, str | None] | None:
        value = self._value((*path, "is"), branch.is_, environment, unit)
        when = None
        if branch.when is not None:
            when = self._guarded((*path, "when"), branch.when, lambda text: check_expression(text, environment, Bool()))
        return None if value is None or (branch.when is not None and when is None) else (when, value, branch.assumes)

    def _apart(self, path: PathInFile, ways: list[tuple[Checked | None, Checked, str | None]]) -> bool:
        """Whether the branches exclude each other and leave no gap."""
        conditions = [when for when, _, _ in ways if when is not None]
        rest = ways[-1][0] is None
        if len(conditions) < len(ways) - rest:
            self.complain(path, "a branch without `when` takes all other places, so it stands last, once", "give it a `when`")
            return False
        closed = {f"{self.model.kind}.{name}": values for name, values in self._closed()}
        wrong = clash(conditions, closed, rest=rest)
        if wrong:
            self.complain(path, wrong, "let each condition exclude the others, and end with a branch without `when`")
        return not wrong

    def _closed(self) -> Iterable[tuple[str, tuple[object, ...]]]:
        for name, spec in self.fields.items():
            if isinstance(spec.type, Text) and spec.type.choices:
                yield name, tuple(sorted(spec.type.choices))

    def _value(self, path: PathInFile, text: str, environment: Environment, unit: Unit) -> Checked | None:
        def check(text: str) -> Checked:
            checked = check_expression(text, environment)
            problems = list(unsourced(checked))
            if type(checked.type) not in _TYPES:
                problems.append(problem_in(text, 0, len(text), f"it is {checked.type}, which no fact can be"))
            elif isinstance(checked.type, Num) and not _nought(checked) and counted(checked.type.unit) != counted(unit):
                what = f"it is {checked.type}, and the fact {Num(unit)}"
                problems.append(problem_in(text, 0, len(text), what, f"write `unit: {checked.type.unit or 1}`, or mend the sum"))
            elif self.strict and not showable(checked.syntax):
                problems.append(problem_in(text, 0, len(text), "no working can be printed of this", "use + - * / and functions"))
            if problems:
                raise Refusal(problems)
            return checked

        return self._guarded(path, text, check)

    def _guarded(self, path: PathInFile, text: str, check: Callable[[str], Checked]) -> Checked | None:
        try:
            return check(text)
        except Refusal as refusal:
            whole = self.document.span(path)
            document = self.document
            self.problems += [
                place_problem(problem, document.file, document.text, text, whole, path) for problem in refusal.problems
            ]
            return None


def _of_own(tree: Node, kind: str) -> Iterable[str]:
    """Fields of the sheet itself that an expression reads."""
    reads = (node for node in walk(tree) if isinstance(node, Select))
    return (node.field for node in reads if isinstance(node.operand, Name) and node.operand.name == kind)


def _nought(checked: Checked) -> bool:
    """Whether it is the literal 0.0, which goes with every unit."""
    return isinstance(checked.syntax, Literal) and checked.syntax.value == 0.0


def _source(declaration: Declaration | Given) -> str:
    """The source as a working prints it."""
    note = declaration.source
    if note is None:
        return ""
    parts = (note.title, note.clause, note.edition, note.basis)
    return ", ".join(part for part in parts if part)


