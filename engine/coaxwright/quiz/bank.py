"""The question bank: patterns, wrong methods, faults, stock and words, read from `rules/quiz` and type-checked.

A folder of a trainer's own patterns may be added. Whatever cannot be read or names what is not there is refused at
its place; nothing is skipped. Nothing here draws or computes an answer.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property, lru_cache
from pathlib import Path
from typing import Any

from coaxwright.errors import Problem, Refusal
from coaxwright.language.checked import Checked
from coaxwright.language.templates import Template, check_template
from coaxwright.language.types import Bool, Environment, Num, Type
from coaxwright.model.quantities import KINDS
from coaxwright.quiz.forms import (
    CaseGround,
    Fault,
    FaultFile,
    Pattern,
    PatternCases,
    Slip,
    SlipFile,
    SlipUsed,
    Stock,
    Words,
)
from coaxwright.reading.suggest import did_you_mean
from coaxwright.reading.validation import validated
from coaxwright.reading.yaml_source import Document, read_document
from coaxwright.resources import data_root
from coaxwright.rulebook.environment import rule_environment
from coaxwright.rulebook.library import Rulebook
from coaxwright.rulebook.scope import Scope, kind_scope

CASES = ".cases.yaml"
FAULTS = "rules/quiz/faults.yaml"
FIXED = ("slips.yaml", "faults.yaml", "stock.yaml", "words.yaml", "case-ground.yaml")


class LoadedPattern:
    """One pattern with its expressions checked; those of slips are checked when the bank loads, too."""

    def __init__(self, form: Pattern, document: Document) -> None:
        self.form, self.document = form, document
        self.id, self.topic = form.id, form.id.partition("/")[0]
        self.slips: tuple[SlipUsed, ...] = tuple(
            SlipUsed.model_validate({"slip": each}) if isinstance(each, str) else each for each in form.slips
        )

    @cached_property
    def scope(self) -> Scope:
        """What it asks about."""
        return kind_scope(self.form.about)

    @cached_property
    def environment(self) -> Environment:
        """What its expressions may name."""
        return rule_environment(self.scope, {})

    def expression(self, text: str, expect: Type | None = None) -> Checked:
        """One of its expressions. Raises Refusal at the place of the pattern."""
        return _checked(text, self.form.about, self.document.file, expect)

    def template(self, text: str) -> Template:
        """One of its sentences. Raises Refusal at the place of the pattern."""
        return _sentence(text, self.form.about, self.document.file)


@lru_cache(maxsize=4096)
def _checked(text: str, about: str, file: str, expect: Type | None) -> Checked:
    from coaxwright.language.typing_check import check_expression

    try:
        return check_expression(text, rule_environment(kind_scope(about), {}), expect)
    except Refusal as refusal:
        raise _placed(refusal, file, text) from None


def condition(fault: Fault) -> Checked | None:
    """On which subjects a fault can be put; None for any. Raises Refusal."""
    return _checked(fault.when, fault.about, FAULTS, Bool()) if fault.when else None


@lru_cache(maxsize=4096)
def _sentence(text: str, about: str, file: str) -> Template:
    from coaxwright.language.typing_check import check_expression

    try:
        return check_template(text, rule_environment(kind_scope(about), {}), check_expression)
    except Refusal as refusal:
        raise _placed(refusal, file, text) from None


def _placed(refusal: Refusal, file: str, text: str) -> Refusal:
    return Refusal([Problem(file, f"`{text}`: {each.what}", each.right) for each in refusal.problems])


@dataclass(frozen=True)
class Bank:
    """All that questions are made of. `digest` is `sha256:...` over its files."""

    rulebook: Rulebook
    patterns: tuple[LoadedPattern, ...]
    slips: Mapping[str, Slip]
    faults: tuple[Fault, ...]
    stock: Stock
    words: Words
    ground: CaseGround
    digest: str
    cases: Mapping[str, tuple[Document, PatternCases]]
    known: Mapping[str, Any] = field(default_factory=dict)
    """What answers of learners told of patterns (`difficulty.Measured`), where a trainer gives it."""

    @property
    def topics(self) -> tuple[str, ...]:
        """Topics that have patterns, sorted."""
        return tuple(sorted({pattern.topic for pattern in self.patterns}))

    def pattern(self, identifier: str) -> LoadedPattern:
        """The pattern of that id; KeyError where there is none."""
        return next((each for each in self.patterns if each.id == identifier), None) or _missing(identifier)

    def of(self, topics: Iterable[str], levels: Iterable[str] = ()) -> list[LoadedPattern]:
        """Patterns of these topics and levels (all where none is named), by id."""
        wanted, depth = set(topics), set(levels)
        return [
            each for each in self.patterns
            if (not wanted or each.topic in wanted) and (not depth or each.form.level in depth)
        ]  # fmt: skip


def _missing(identifier: str) -> LoadedPattern:
    raise KeyError(identifier)


def own_folder() -> Path:
    """The folder of the program's own questions."""
    return Path(str(data_root("rules"))) / "quiz"


def load_bank(rulebook: Rulebook, extra: Sequence[Path] = ()) -> Bank:
    """The bank of the program with the patterns of further folders. Raises Refusal with all that is wrong."""
    root = own_folder()
    documents = {name: _own(root / name) for name in FIXED}
    slips = validated(SlipFile, documents["slips.yaml"]).slips
    found = list(_pattern_files([(root / "patterns", "rules/quiz/patterns"), *((each, str(each)) for each in extra)]))
    patterns = [LoadedPattern(validated(Pattern, document), document) for document, _ in found]
    bank = Bank(
        rulebook,
        tuple(sorted(patterns, key=lambda each: each.id)),
        slips,
        validated(FaultFile, documents["faults.yaml"]).faults,
        validated(Stock, documents["stock.yaml"]),
        validated(Words, documents["words.yaml"]),
        validated(CaseGround, documents["case-ground.yaml"]),
        _digest([*documents.values(), *(document for document, _ in found)]),
        {pattern.id: _cases(path) for pattern, (_, path) in zip(patterns, found, strict=True) if path is not None},
    )
    problems = list(_problems(bank))
    if problems:
        raise Refusal(problems)
    return bank


def _own(path: Path) -> Document:
    return read_document(path, f"rules/quiz/{path.name}")


def _pattern_files(folders: Iterable[tuple[Path, str]]) -> Iterator[tuple[Document, Path | None]]:
    """Every pattern file, with the file of its cases beside it. Raises Refusal for a folder without any."""
    for folder, shown in folders:
        files = sorted(folder.rglob("*.yaml")) if folder.is_dir() else []
        patterns = [path for path in files if not path.name.endswith(CASES)]
        if not patterns:
            raise Refusal([Problem(shown, "there are no question patterns in this folder", "a pattern is <name>.yaml")])
        stray = [path for path in files if path.name.endswith(CASES) and _pattern_of(path) not in patterns]
        if stray:
            raise Refusal([Problem(str(path), "these cases name no pattern", "name them after one") for path in stray])
        for path in patterns:
            cases = path.with_name(path.name.removesuffix(".yaml") + CASES)
            name = f"{shown}/{path.relative_to(folder).as_posix()}"
            yield read_document(path, name), cases if cases.exists() else None


def _pattern_of(cases: Path) -> Path:
    return cases.with_name(cases.name.removesuffix(CASES) + ".yaml")


def _cases(path: Path) -> tuple[Document, PatternCases]:
    document = read_document(path, str(path))
    return document, validated(PatternCases, document)


def _digest(documents: Iterable[Document]) -> str:
    state = hashlib.sha256()
    for document in documents:
        state.update(f"{document.file}:{document.sha256};".encode())
    return f"sha256:{state.hexdigest()}"


def _problems(bank: Bank) -> Iterator[Problem]:
    """What no form can see: ids twice, slips and rules that are not there, expressions of the wrong kind."""
    seen: set[str] = set()
    for pattern in bank.patterns:
        if pattern.id in seen:
            yield Problem(pattern.document.file, f"there is a pattern `{pattern.id}` already", "give it another id")
        seen.add(pattern.id)
        for slip in (*(used.slip for used in pattern.slips), *(change.slip for change in pattern.form.changes)):
            if slip not in bank.slips:
                right = did_you_mean(slip, bank.slips) or "add it to slips.yaml"
                yield Problem(pattern.document.file, f"there is no slip `{slip}`", right)
        yield from _rule_problems(bank, pattern.document.file, _rules_named(pattern.form))
        yield from _part_problems(pattern)
    yield from _rule_problems(bank, FAULTS, [fault.rule for fault in bank.faults])
    for fault in bank.faults:
        if fault.when is not None:
            try:
                condition(fault)
            except Refusal as refusal:
                yield from refusal.problems


def _rules_named(form: Pattern) -> list[str]:
    searched = [*(form.longest.rules if form.longest else ()), *(form.least.rules if form.least else ())]
    single = [each for each in (form.rule, form.worlds.rule if form.worlds else None) if each]
    return [*searched, *single]


def _rule_problems(bank: Bank, file: str, rules: Iterable[str]) -> Iterator[Problem]:
    for rule in rules:
        if rule not in bank.rulebook.by_id:
            yield Problem(file, f"there is no rule `{rule}`", did_you_mean(rule, bank.rulebook.by_id) or "")


_NEEDS: Mapping[str, tuple[str, ...]] = {
    "value": ("answer", "printed"), "numeric": ("answer", "printed"), "picture": ("answer",),
    "longest-run": ("longest",), "which-part": ("least",), "which-change": ("rule", "changes"),
    "what-if": ("answer", "printed", "after"), "true-or-open": ("worlds",), "order": ("order",), "spot-fault": (),
}  # fmt: skip


def _part_problems(pattern: LoadedPattern) -> Iterator[Problem]:
    """A pattern has what its kind needs, and its sentences and expressions can be computed."""
    form, file = pattern.form, pattern.document.file
    for name in _NEEDS[form.kind]:
        if not getattr(form, name):
            yield Problem(file, f"a `{form.kind}` question needs `{name}`", "add it")
    try:
        pattern.template(form.ask)
        for condition_text in filter(None, (form.when, form.then)):
            pattern.expression(condition_text, Bool())
        for used in pattern.slips:
            if used.when:
                pattern.expression(used.when, Bool())
        for text in _answers(pattern):
            checked = (pattern.template if form.kind == "picture" else pattern.expression)(text)
            if isinstance(checked, Checked) and form.printed is not None and text == form.answer:
                yield from _unit_problems(file, text, checked, form.printed.unit)
        for given in form.given:
            pattern.template(given.value)
        for line in form.working:
            pattern.template(line)
    except Refusal as refusal:
        yield from refusal.problems


def _unit_problems(file: str, text: str, checked: Checked, unit: str) -> Iterator[Problem]:
    """A number in a unit is printed in a unit of the same quantity; a plain one, or a count, in none of a quantity."""
    own = str(checked.type.unit) if isinstance(checked.type, Num) else ""
    fitting = sorted({name for kind in KINDS.values() if str(kind.base) == own for name in kind.units}) if own else []
    foreign = unit in {name for kind in KINDS.values() for name in kind.units if str(kind.base) != "1"}
    if (own and unit not in fitting) or (not own and foreign):
        none = "print it without a unit, or in a word for what is counted"
        right = f"print it in {' or '.join(fitting[:4])}" if fitting else none
        yield Problem(file, f"`{text}` is {checked.type}, which is not printed in `{unit}`", right)


def _answers(pattern: LoadedPattern) -> list[str]:
    form: Any = pattern.form
    texts = [form.answer, form.order.by if form.order else None, *(used.answer for used in pattern.slips)]
    return [text for text in texts if text is not None]
