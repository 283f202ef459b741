"""Checks rule files: read, typed, checked against the fact sheets, or refused with every problem at its place.

A rule that cannot be used is never skipped. The outcome is the plain record of each rule, which `library`
makes a rule of and `cache` keeps. Imported only where the cache has no answer: it needs the parser.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from functools import lru_cache
from typing import Any

from pydantic import ValidationError

from coaxwright.errors import Problem, Refusal
from coaxwright.facts.sheets.kinds import fact_kinds, units_of
from coaxwright.language.checked import Checked, to_plain
from coaxwright.language.figures import limits_read, unsourced
from coaxwright.language.places import place_problem
from coaxwright.language.templates import Template, check_template, template_to_plain
from coaxwright.language.types import Bool, Environment, KindSpec, ListOf, Num, Ref, Type
from coaxwright.model.quantities import QuantityError
from coaxwright.model.rules import CaseFile, Rule, ShortRule
from coaxwright.reading.validation import validated
from coaxwright.reading.yaml_source import Document, decode, parse_document
from coaxwright.rulebook.builtin import RESERVED_TOPICS
from coaxwright.rulebook.environment import rule_environment
from coaxwright.rulebook.limits import LimitValue, read_limit
from coaxwright.rulebook.own_checking import check_own_facts, document_of, is_of_facts
from coaxwright.rulebook.rule_files import RuleFile
from coaxwright.rulebook.scope import PATH, Scope, scope_of
from coaxwright.rulebook.short_rules import completed, is_short

Record = dict[str, Any]
PathInFile = tuple[str | int, ...]


def check_rule_files(files: Iterable[RuleFile], beside: Collection[str] = ()) -> list[Record]:
    """The records of all rules, in order of id. Raises Refusal with every problem of every file.

    `beside` are ids of rules that are not among the files and may be named in them.
    """
    return _rules(files, beside, fact_kinds(), [])


def check_folders(files: Iterable[RuleFile]) -> tuple[list[Record], list[Record]]:
    """The records of all rules, in order of id, and of the facts that users add. Raises Refusal with every problem."""
    rules, facts, problems = _parted(files)
    own, kinds, wrong = check_own_facts(facts)
    return _rules(rules, (), kinds if facts else fact_kinds(), [*problems, *wrong]), own


def _parted(files: Iterable[RuleFile]) -> tuple[list[RuleFile], list[Document], list[Problem]]:
    """Files of rules, and those of facts: in an added folder a file in `facts` that requires nothing."""
    rules: list[RuleFile] = []
    facts: list[Document] = []
    problems: list[Problem] = []
    for file in files:
        try:
            document = document_of(file) if file.in_facts else None
        except Refusal as refusal:
            problems += refusal.problems
            continue
        if document is None or not is_of_facts(document):
            rules.append(file)
            continue
        facts.append(document)
        if file.cases is not None:
            problems.append(Problem(file.cases_name, "cases of facts stand beside each fact", f"move them into {file.name}"))
    return rules, facts, problems


def _rules(
    files: Iterable[RuleFile], beside: Collection[str], kinds: Mapping[str, KindSpec], problems: list[Problem]
) -> list[Record]:
    documents: list[tuple[Document, Record]] = []
    for file in files:
        try:
            documents.append(_record(file, kinds))
        except Refusal as refusal:
            problems.extend(refusal.problems)
    problems += _clashes(documents, beside)
    if problems:
        raise Refusal(problems)
    return sorted((record for _, record in documents), key=lambda record: str(record["rule"]["id"]))


def _record(file: RuleFile, kinds: Mapping[str, KindSpec]) -> tuple[Document, Record]:
    """The record of one rule file with its cases; Refusal with all problems of both."""
    return _known(file) if kinds is fact_kinds() else _made(file, kinds)


@lru_cache(maxsize=1024)
def _known(file: RuleFile) -> tuple[Document, Record]:
    """The same over the program's own facts: a file whose bytes stay as they are is checked once in a process.

    A folder of own rules is most often checked with some 250 files of the program that did not change.
    """
    return _made(file, fact_kinds())


def _made(file: RuleFile, kinds: Mapping[str, KindSpec]) -> tuple[Document, Record]:
    problems: list[Problem] = []
    cases: list[dict[str, str]] = []
    try:
        cases = _case_titles(file)
    except Refusal as refusal:
        problems.extend(refusal.problems)
    try:
        document = parse_document(decode(file.data, file.name), file.name)
        record = RuleCheck(file, document, _model(file, document), kinds).record()
    except Refusal as refusal:
        raise Refusal([*refusal.problems, *problems]) from None
    if problems:
        raise Refusal(problems)
    return document, {**record, "cases": cases, "cases_count": len(cases)}


def _model(file: RuleFile, document: Document) -> Rule:
    """The rule as stated; of a short form what is left out stands there in words."""
    if not file.added or not is_short(document.value):
        return validated(Rule, document)
    short = validated(ShortRule, document)
    try:
        return completed(short, file.ids[0])
    except ValidationError:
        what = f"the id `{file.ids[0]}`, which the file's place gives, is none"
        right = "name folder and file with a to z, the file with digits and hyphens as well"
        raise Refusal([Problem(file.name, what, right, document.span(()))]) from None


def _case_titles(file: RuleFile) -> list[dict[str, str]]:
    """Name and outcome of each case, for rule pages."""
    if file.cases is None:
        return []
    document = parse_document(decode(file.cases, file.cases_name), file.cases_name)
    model = validated(CaseFile, document)
    return [{"name": case.name, "outcome": case.outcome} for case in model.cases]


def _clashes(documents: Sequence[tuple[Document, Record]], beside: Collection[str]) -> list[Problem]:
    """Ids and former ids that two rules claim, and successors that no rule has."""
    problems: list[Problem] = []
    owners: dict[str, Document] = {}
    claims = [
        (document, path, name) for document, record in documents for path, name in _names(record["rule"])
    ]
    for document, path, name in sorted(claims, key=lambda claim: len(claim[1])):
        first = owners.setdefault(name, document)
        if first is not document:
            span = first.span(("id",))
            what = f"the id `{name}` is taken by {first.file}:{span.line}:{span.column}"
            problems.append(
                Problem(document.file, what, "give one of the two another id", document.span(path), path)
            )
    for document, record in documents:
        successor = record["rule"].get("replaced_by")
        if successor and successor not in owners:
            span = document.span(("replaced_by",))
            problems.append(
                Problem(document.file, f"there is no rule `{successor}`", "", span, ("replaced_by",))
            )
    return [*problems, *_silenced_by_none(documents, {*owners, *beside})]


def _silenced_by_none(
    documents: Sequence[tuple[Document, Record]], owners: Collection[str]
) -> Iterable[Problem]:
    """Rules named under `silent_when` that nobody has."""
    for document, record in documents:
        for place, silence in enumerate(record["rule"].get("silent_when", ())):
            if silence["rule"] not in owners:
                path = ("silent_when", place, "rule")
                what = f"there is no rule `{silence['rule']}`"
                yield Problem(document.file, what, "name the rule that fails there", document.span(path), path)


def _names(rule: Mapping[str, Any]) -> list[tuple[PathInFile, str]]:
    aliases = enumerate(rule.get("aliases", ()))
    return [(("id",), rule["id"]), *((("aliases", place), alias) for place, alias in aliases)]


class RuleCheck:
    """The checks of one rule file; `problems` collects what is wrong."""

    def __init__(self, file: RuleFile, document: Document, rule: Rule, kinds: Mapping[str, KindSpec]) -> None:
        self.file, self.document, self.kinds = file, document, kinds
        self.plain: Record = rule.model_dump(mode="json", by_alias=True, exclude_none=True)
        self.problems: list[Problem] = []
        self.read: list[Checked] = []

    def record(self) -> Record:
        """The record. Raises Refusal with every problem of the file."""
        self._check_id()
        scope, limits = self._scope(), self._limits()
        if scope is not None and limits is not None:
            record = self._checked(scope, limits)
            self._check_limits_read(limits)
        if self.problems:
            raise Refusal(
                sorted(self.problems, key=lambda problem: problem.span.start if problem.span else 0)
            )
        return record

    def complain(self, path: PathInFile, what: str, right: str = "") -> None:
        """A problem at the value of that path."""
        self.problems.append(Problem(self.file.name, what, right, self.document.nearest_span(path), path))

    def _check_id(self) -> None:
        if self.plain["id"].partition("/")[0] in RESERVED_TOPICS:
            self.complain(
                ("id",),
                f"the id `{self.plain['id']}` has a topic of the program's own",
                "choose another topic",
            )
        elif self.plain["id"] not in self.file.ids:
            self.complain(
                ("id",), f"the id `{self.plain['id']}` is not that of the file", f"write `{self.file.ids[0]}`"
            )

    def _scope(self) -> Scope | None:
        try:
            return scope_of(self.plain["about"])
        except ValueError as error:
            self.complain(("about",), str(error))
            return None

    def _limits(self) -> dict[str, LimitValue] | None:
        found: dict[str, LimitValue] = {}
        for name, stated in self.plain.get("limits", {}).items():
            try:
                found[name] = read_limit(name, stated, units_of(self.kinds))
            except QuantityError as error:
                self.complain(("limits", name, "value"), error.what, error.right)
        return found if len(found) == len(self.plain.get("limits", {})) else None

    def _checked(self, scope: Scope, limits: Mapping[str, LimitValue]) -> Record:
        environment = rule_environment(scope, limits, self.kinds)
        wide = environment
        if scope.form == PATH:
            wide = environment.with_variables({"hop": Ref("hop")})
        return {
            "file": self.file.name,
            "rule": self.plain,
            "limits": [_row(limit) for limit in limits.values()],
            "when": self._whole_guard(environment),
            "applies": self._expression("when", environment, Bool()) if self.plain.get("silent_when") else None,
            "silences": self._silences(environment),
            "require": self._expression("require", environment, Bool()),
            "margin": self._expression("margin", environment, Num()),
            "says": self._sentence(("says",), wide),
            "working": [
                self._sentence(("working", at), wide) for at in range(len(self.plain.get("working", ())))
            ],
            "fixes": [self._fix(at, fix, wide) for at, fix in enumerate(self.plain.get("fixes", ()))],
            "fix_guards": [self._fix_guard(at, environment) for at in range(len(self.plain.get("fixes", ())))],
            "related": self._related(environment),
            "causes": self._causes(environment),
        }

    def _related(self, environment: Environment) -> list[Any]:
        """Of each related place: the thing meant, and its sentence."""
        paths = [("related", at) for at in range(len(self.plain.get("related", ())))]
        return [[self._thing((*path, "of"), environment), self._sentence((*path, "says"), environment)] for path in paths]

    def _causes(self, environment: Environment) -> list[Any]:
        """Of each cause: its code, the thing that it comes from, its condition and its sentence."""
        found = []
        for at, cause in enumerate(self.plain.get("cause", ())):
            path = ("cause", at)
            when = None
            if "when" in cause:
                when = self._guarded((*path, "when"), lambda text: self._check(text, environment, Bool()))
            says = self._sentence((*path, "says"), environment) if "says" in cause else None
            of = self._thing((*path, "of"), environment)
            found.append([cause.get("code"), of, None if when is None else to_plain(when), says])
        return found

    def _thing(self, path: PathInFile, environment: Environment) -> object:
        checked = self._guarded(path, lambda text: self._check(text, environment))
        if checked is None:
            return None
        kind = checked.type.item if isinstance(checked.type, ListOf) else checked.type
        if not isinstance(kind, Ref):
            what = f"`{checked.text}` is {checked.type}, no thing of the site"
            self.complain(path, what, "name a sheet, such as `feed.source`")
        return to_plain(checked)

    def _expression(self, name: str, environment: Environment, expect: Type) -> dict[str, Any] | None:
        if name not in self.plain:
            return None
        checked = self._guarded((name,), lambda text: self._check(text, environment, expect))
        return None if checked is None else to_plain(checked)

    def _silences(self, environment: Environment) -> list[Any]:
        """Of each rule whose failing silences this one: its id, the condition under which, and why."""
        found = []
        for place, silence in enumerate(self.plain.get("silent_when", ())):
            path = ("silent_when", place)
            if silence["rule"] in (self.plain["id"], *self.plain.get("aliases", ())):
                self.complain((*path, "rule"), "a rule cannot silence itself", "put the condition under `when`")
            checked = self._guarded((*path, "while"), lambda text: self._check(text, environment, Bool()))
            if checked is not None:
                found.append([silence["rule"], to_plain(checked), silence["because"]])
        return found

    def _whole_guard(self, environment: Environment) -> dict[str, Any] | None:
        """What judging asks: that the rule applies, and that nothing silences it; None where neither is stated."""
        when = [f"({self.plain['when']}\n)"] if "when" in self.plain else []
        silent = [f"!({silence['while']}\n)" for silence in self.plain.get("silent_when", ())]
        if not silent:
            return self._expression("when", environment, Bool())
        from coaxwright.language.typing_check import check_expression

        try:
            return to_plain(check_expression(" && ".join([*when, *silent]), environment, Bool()))
        except Refusal:  # the parts are checked by themselves, where their places in the file are known
            return None

    def _sentence(self, path: PathInFile, environment: Environment) -> list[Any]:
        template = self._guarded(path, lambda text: check_template(text, environment, self._check))
        return [] if template is None else template_to_plain(template)

    def _fix(self, place: int, fix: Mapping[str, Any], environment: Environment) -> object:
        if "of" in fix:
            self._guarded(("fixes", place, "of"), lambda text: self._sheet(text, environment))
        return self._sentence(("fixes", place, "says"), environment) if "says" in fix else None

    def _fix_guard(self, place: int, environment: Environment) -> dict[str, Any] | None:
        if "when" not in self.plain["fixes"][place]:
            return None
        checked = self._guarded(("fixes", place, "when"), lambda text: self._check(text, environment, Bool()))
        return None if checked is None else to_plain(checked)

    def _sheet(self, text: str, environment: Environment) -> Template:
        from coaxwright.language.parsing import problem_in

        checked = self._check(text, environment)
        if not isinstance(checked.type, Ref):
            raise Refusal(
                [problem_in(text, 0, len(text), f"`{text}` is {checked.type}, nothing that can be changed")]
            )
        return ()

    def _check(self, text: str, environment: Environment, expect: Type | None = None) -> Checked:
        from coaxwright.language.typing_check import check_expression

        checked = check_expression(text, environment, expect)
        figures = list(unsourced(checked))
        if figures:
            raise Refusal(figures)
        self.read.append(checked)
        return checked

    def _guarded(self, path: PathInFile, check: Callable[[str], Any]) -> Any:
        """What the check of the text at that path gives; None after problems, placed in the file."""
        text = self.document.value
        for step in path:
            text = text[step]  # type: ignore[index]
        try:
            return check(str(text))
        except Refusal as refusal:
            whole = self.document.span(path)
            self.problems += [
                place_problem(problem, self.file.name, self.document.text, str(text), whole, path)
                for problem in refusal.problems
            ]
            return None

    def _check_limits_read(self, limits: Mapping[str, LimitValue]) -> None:
        unread = set(limits) - limits_read(self.read)
        if self.problems:  # an expression that was refused may be the one that reads it
            return
        for name in sorted(unread):
            self.complain(
                ("limits", name),
                f"no expression reads the limit `{name}`",
                f"write `limit.{name}`, or remove it",
            )


def _row(limit: LimitValue) -> list[Any]:
    return [limit.name, limit.value, limit.unit, limit.written, limit.about, limit.source, limit.kind]
