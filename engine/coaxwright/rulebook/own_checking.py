"""Checks the files of facts that a user adds: typed, in order of need over all files, or refused at their places.

The checks of one declaration are those of the program's own facts (`facts.declared.checking`). What differs: a fact may
read any sheet that its own refers to, and the user's facts there; figures stand under `limits`, each with its source.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from coaxwright.errors import Problem, Refusal
from coaxwright.facts.declared.checking import FileCheck
from coaxwright.facts.sheets import SHEETS, Sheet
from coaxwright.facts.sheets.declared import STEPS
from coaxwright.facts.sheets.kinds import fact_kinds, known_units
from coaxwright.language.checked import Checked
from coaxwright.language.figures import LIMIT
from coaxwright.language.types import Environment, FieldSpec, KindSpec, Nothing, Ref
from coaxwright.language.typing_check import check_expression
from coaxwright.model.facts import OwnFactFile
from coaxwright.model.quantities import QuantityError
from coaxwright.reading.suggest import did_you_mean
from coaxwright.reading.validation import validated
from coaxwright.reading.yaml_source import Document, decode, parse_document
from coaxwright.rulebook.environment import limit_kind
from coaxwright.rulebook.limits import LimitValue, read_limit
from coaxwright.rulebook.own_facts import steps_of
from coaxwright.rulebook.rule_files import RuleFile
from coaxwright.rulebook.scope import PATH

Record = dict[str, Any]
Key = tuple[str, str]
DEEPEST, MOST = 40, 500
"""Facts that rest on one another in a row, and all facts of a user: the bounds of an expression (docs/rule-language.md)."""


def document_of(file: RuleFile) -> Document:
    """The file as read."""
    return parse_document(decode(file.data, file.name), file.name)


def is_of_facts(document: Document) -> bool:
    """Whether a file in a folder `facts` holds facts; a rule states what it requires."""
    value = document.value
    return not (isinstance(value, Mapping) and "require" in value)


def check_own_facts(documents: Iterable[Document]) -> tuple[list[Record], dict[str, KindSpec], list[Problem]]:
    """The records of all facts in order of need, every kind of sheet with them, and what is wrong.

    A fact that is wrong has a field all the same, so that what reads it is not complained of for that.
    """
    check = _Check()
    for document in documents:
        check.take(document)
    records = [] if check.problems else check.records()
    return records, check.kinds(), check.all_problems()


class _OwnFile(FileCheck):
    """The checks of one file of a user."""

    strict = False

    def __init__(self, document: Document, model: OwnFactFile, shared: _Check) -> None:
        super().__init__(document, model)  # type: ignore[arg-type]
        self.own, self.shared = model, shared
        self.limits: dict[str, LimitValue] = {}
        self.read: set[str] = set()

    def take_names(self) -> None:
        """Claim every name, and read the figures."""
        kind = self.model.kind
        if kind not in SHEETS or kind == PATH:
            right = did_you_mean(kind, set(SHEETS) - {PATH}) or f"there are {', '.join(sorted(set(SHEETS) - {PATH}))}"
            self.complain(("kind",), f"`{kind}` is no kind of sheet that facts can be added to", right)
            return
        self.fields = self.shared.fields.setdefault(kind, dict(fact_kinds()[kind].fields))
        for name in self.own.steps:
            if name in self.own.facts:
                self.complain(("steps", name), f"`{name}` is declared twice", "keep one of the two")
        for name, (section, declaration) in self.declared.items():
            self._claim(kind, name, section, declaration.says)
        for name, stated in self.own.limits.items():
            try:
                self.limits[name] = read_limit(name, stated.model_dump(), known_units())
            except QuantityError as error:
                self.complain(("limits", name, "value"), error.what, error.right)

    def _claim(self, kind: str, name: str, section: str, says: str) -> None:
        first = self.shared.owners.get((kind, name))
        if first is not None and first is not self:
            span = first.document.nearest_span((first.declared[name][0], name))
            what = f"the fact `{kind}.{name}` is declared by {first.document.file}:{span.line}:{span.column}"
            self.complain((section, name), what, "give one of the two another name")
        elif name in self.fields and first is None:
            self.complain((section, name), f"`{kind}.{name}` is a fact of the program", "give it another name")
        elif name in _TAKEN or name in STEPS.get(kind, ()):
            self.complain((section, name), f"the name `{name}` is taken by the program", "give it another name")
        else:
            self.shared.owners[kind, name] = self
            self.fields[name] = FieldSpec(name, Nothing(), says)

    def environment(self) -> Environment:
        kinds: dict[str, KindSpec] = self.shared.kinds(self.model.kind)
        variables: dict[str, Any] = {self.model.kind: Ref(self.model.kind)}
        if self.limits:
            kinds[LIMIT], variables[LIMIT] = limit_kind(self.limits.values()), Ref(LIMIT)
        return Environment(kinds, variables)

    def _note_units(self, values: Iterable[Checked]) -> None:
        """Nothing: `own_facts` looks them up when a working is asked for."""

    def needs(self, name: str) -> list[Key]:
        """The user's facts that a declaration reads, in order; what cannot be checked is told by the check itself."""
        found: dict[Key, None] = {}
        environment = self.environment()
        for _, text in self.texts(name):
            try:
                paths = check_expression(text, environment).paths
            except Refusal:
                continue
            self.read.update(path[1] for path in paths if path[0] == LIMIT and len(path) > 1)
            for path in paths:
                read = steps_of(path, {self.model.kind: self.model.kind}, environment.kinds)
                found.update(((kind, spec.name), None) for kind, spec in read if (kind, spec.name) in self.shared.owners)
        return list(found)

    def record(self, name: str) -> Record | None:
        """A declaration that can be meant as plain data."""
        section, declaration = self.declared[name]
        row = self.row(name)
        if row is None:
            self.fields[name] = FieldSpec(name, Nothing(), declaration.says)
            return None
        used = {path[1] for way in row[2] for part in way[:2] if part for path in part["paths"] if path[0] == LIMIT}
        limits = [self.limits[each] for each in self.limits if each in used]
        return {
            "kind": self.model.kind, "type": self.types[name], "says": declaration.says, "step": section == "steps",
            "file": self.document.file, "line": self.document.nearest_span((section, name)).line,
            "cases": len(declaration.cases), "row": row,
            "limits": [[e.name, e.value, e.unit, e.written, e.about, e.source, e.kind] for e in limits],
        }  # fmt: skip

    def unread(self) -> None:
        """Complain of figures that no expression reads."""
        for name in self.limits:
            if name not in self.read and not self.problems:
                what = f"no expression reads the limit `{name}`"
                self.complain(("limits", name), what, f"write `limit.{name}`, or remove it")


_TAKEN = frozenset(name for name in dir(Sheet) if not name.startswith("__"))


class _Check:
    """The checks of all files together; `owners` are the files that claim each fact."""

    def __init__(self) -> None:
        self.files: list[_OwnFile] = []
        self.owners: dict[Key, _OwnFile] = {}
        self.fields: dict[str, dict[str, FieldSpec]] = {}
        self.problems: list[Problem] = []

    def take(self, document: Document) -> None:
        """One more file."""
        try:
            model = validated(OwnFactFile, document)
        except Refusal as refusal:
            self.problems += refusal.problems
            return
        file = _OwnFile(document, model, self)
        file.take_names()
        self.files.append(file)

    def kinds(self, inside: str = "") -> dict[str, KindSpec]:
        """Every kind of sheet as far as it is checked; steps are fields for facts of the kind `inside` alone."""
        found = dict(fact_kinds())
        for name, fields in self.fields.items():
            seen = {key: spec for key, spec in fields.items() if name == inside or not self._is_step(name, key)}
            found[name] = KindSpec(name, seen, found[name].doc)
        return found

    def _is_step(self, kind: str, name: str) -> bool:
        file = self.owners.get((kind, name))
        return file is not None and name in file.own.steps

    def records(self) -> list[Record]:
        """Every declaration that can be meant, each after those that it reads."""
        order = self._ordered()
        if self.all_problems():
            return []
        found = [record for kind, name in order if (record := self.owners[kind, name].record(name)) is not None]
        for file in self.files:
            file.unread()
        return found

    def all_problems(self) -> list[Problem]:
        """What is wrong, file by file, each in the order of its lines."""
        own = [sorted(file.problems, key=lambda each: each.span.start if each.span else 0) for file in self.files]
        return [*self.problems, *(problem for problems in own for problem in problems)]

    def _ordered(self) -> list[Key]:
        needs = {key: file.needs(key[1]) for key, file in self.owners.items()}
        depth: dict[Key, int] = {}

        def visit(key: Key, above: tuple[Key, ...]) -> int:
            if key in above:
                self._complain(key, f"the facts need one another: {_circle(above, key)}", "break the circle")
                return 0
            if key not in depth:
                below = [visit(other, (*above, key)) for other in needs[key]] if len(above) <= DEEPEST else [DEEPEST]
                depth[key] = 1 + max(below, default=0)
            return depth[key]

        for key in needs:
            if visit(key, ()) > DEEPEST and not self.all_problems():
                self._complain(key, f"more than {DEEPEST} facts rest on one another in a row", "join some of them")
        if len(needs) > MOST:
            self._complain(next(iter(needs)), f"these are {len(needs)} facts; {MOST} is the most", "leave some out")
        return list(depth)

    def _complain(self, key: Key, what: str, right: str) -> None:
        file = self.owners[key]
        file.complain((file.declared[key[1]][0], key[1]), what, right)


def _circle(above: Sequence[Key], key: Key) -> str:
    return " -> ".join(".".join(each) for each in [*above[above.index(key) :], key])
