"""The rulebook in memory: rules that passed every check, their expressions ready to judge.

A rule is built from plain data (`record`), as the loader makes it and the cache keeps it; whatever a command
does not use of it (expressions of rules about kinds the site lacks, pages, models) is never made.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cached_property
from pathlib import Path
from types import CodeType
from typing import Any, NamedTuple

from coaxwright.language.checked import Checked, from_plain
from coaxwright.language.effort import degree, grows
from coaxwright.language.sweeping import sweep_code
from coaxwright.language.templates import Template, template_from_plain
from coaxwright.model.rules import Rule
from coaxwright.rulebook.builtin import BUILT_IN
from coaxwright.rulebook.cache import cases_of, told_of
from coaxwright.rulebook.limits import LimitValue
from coaxwright.rulebook.own_facts import NONE, OwnFacts
from coaxwright.rulebook.scope import Scope, scope_of
from coaxwright.rulebook.subjects import on_subject

Record = Mapping[str, Any]
_WORTH_COMPILING = 50
"""Subjects of a rule from which on its loop is compiled: to make one takes as long as to judge so many exactly."""
_STEPS_EACH = 15
"""Steps of the exact evaluator for a usual subject; one with long lists takes many times as many."""


class Silence(NamedTuple):
    """A rule whose failing silences another: its id, the condition under which, and why nothing is left to ask."""

    rule: str
    condition: Checked
    because: str


class CauseRow(NamedTuple):
    """What a finding may come from: a code, the thing, under which condition, and a sentence; see `model.rules.Cause`."""

    code: str | None
    of: Checked
    when: Checked | None
    says: Template | None


class LoadedRule:
    """One rule.

    `plain` is the rule as its file states it, in JSON data; everything checked is made on first use. `own` are the facts of
    the user that it may read.
    """

    def __init__(self, record: Record, own: OwnFacts = NONE) -> None:
        self.record, self.own = record, own
        self.plain: Mapping[str, Any] = record["rule"]
        self.id: str = self.plain["id"]
        self.file: str = record["file"]
        self.title: str = self.plain["title"]
        self.level: str = self.plain["level"]
        self.why: str = self.plain["why"]
        self._judged = 0

    @cached_property
    def caution(self) -> str | None:
        """Its own caution, and those that go with its matter and with the changes that it declares."""
        from coaxwright.rulebook.cautions import told

        return told(self.plain)

    @property
    def topic(self) -> str:
        """The part of the id before the stroke."""
        return self.id.partition("/")[0]

    @property
    def aliases(self) -> tuple[str, ...]:
        """Former ids: waivers and settings may still use them."""
        return tuple(self.plain.get("aliases", ()))

    @property
    def cases_count(self) -> int:
        """How many cases its case file has."""
        return int(self.record["cases_count"])

    @cached_property
    def told(self) -> Mapping[str, Any]:
        """Plain data of what it says, its working and its fixes."""
        return told_of(self.record)

    @cached_property
    def cases(self) -> Sequence[Mapping[str, str]]:
        """Plain data of its cases: what its page tells of them."""
        return cases_of(self.record)

    @cached_property
    def rule(self) -> Rule:
        """The rule as the model of rule files, `coaxwright.model.rules.Rule`; made only when asked for."""
        from coaxwright.model.rules import Rule

        return Rule.model_validate(self.plain)

    @cached_property
    def scope(self) -> Scope:
        """What it judges."""
        return scope_of(self.plain["about"])

    @cached_property
    def limits(self) -> Mapping[str, LimitValue]:
        """Its limits by name, as the rule file sets them."""
        return {row[0]: LimitValue(*row) for row in self.record["limits"]}

    @cached_property
    def when(self) -> Checked | None:
        """Its guard: where it applies and nothing silences it."""
        return self._expression("when")

    @cached_property
    def applies(self) -> Checked | None:
        """Whether it applies, what silences it left out; None where nothing silences it, or nothing is asked."""
        return self._expression("applies")

    @cached_property
    def silences(self) -> tuple[Silence, ...]:
        """The rules whose failing leaves this one nothing to ask, in the order of its file."""
        return tuple(Silence(row[0], from_plain(row[1]), row[2]) for row in self.record["silences"])

    @cached_property
    def require(self) -> Checked:
        """What has to hold."""
        return from_plain(self.record["require"])

    @cached_property
    def margin(self) -> Checked | None:
        """The room left, as a share."""
        return self._expression("margin")

    def _expression(self, name: str) -> Checked | None:
        plain = self.record[name]
        return None if plain is None else from_plain(plain)

    @cached_property
    def compared(self) -> tuple[tuple[str, str, tuple[str, ...]], ...]:
        """The paths that it compares: dotted name, variable, fields from there on; items of lists left out."""
        paths = dict.fromkeys((*self.require.paths, *(self.margin.paths if self.margin else ())))
        return tuple((".".join(path), path[0], path[1:]) for path in paths if "*" not in path)

    @cached_property
    def says(self) -> Template:
        """Its sentence."""
        return template_from_plain(self.told["says"])

    @cached_property
    def working(self) -> tuple[Template, ...]:
        """The lines of its working."""
        return tuple(template_from_plain(plain) for plain in self.told["working"])

    @cached_property
    def fix_sentences(self) -> tuple[Template | None, ...]:
        """For each declared fix its sentence, None where it has none."""
        return tuple(None if plain is None else template_from_plain(plain) for plain in self.told["fixes"])

    @cached_property
    def fix_guards(self) -> tuple[Checked | None, ...]:
        """For each declared fix the condition under which it is worth trying, None where it always is."""
        return tuple(plain and from_plain(plain) for plain in self.told["fix_guards"])

    @cached_property
    def related(self) -> tuple[tuple[Checked, Template], ...]:
        """The places that it names beside those that follow from what it is about: the thing, and its sentence."""
        return tuple((from_plain(of), template_from_plain(says)) for of, says in self.told["related"])

    @cached_property
    def causes(self) -> tuple[CauseRow, ...]:
        """What its findings may come from, in the order of its file."""
        return tuple(
            CauseRow(code, from_plain(of), when and from_plain(when), None if says is None else template_from_plain(says))
            for code, of, when, says in self.told["causes"]
        )

    @property
    def consequence(self) -> str:
        """What is lost where it fails."""
        return str(self.plain.get("consequence", "less-than-wanted"))

    @cached_property
    def constants(self) -> tuple[str, ...]:
        """Names of the variables that are the same for all subjects of a site, in the order of the sweep."""
        names = ("limit",) if self.record["limits"] else ()
        return names if self.scope.subject == "site" else (*names, "site")

    def pays_to_compile(self, subjects: int) -> bool:
        """Whether the loop is made already, or the subjects judged so far, with these, make it worth its while."""
        self._judged += subjects
        return self._judged >= _WORTH_COMPILING or "sweep" in self.__dict__

    def took(self, steps: int, subjects: int) -> None:
        """Count what judging so many subjects exactly cost beyond the usual, towards making the loop."""
        self._judged += max(0, steps // _STEPS_EACH - subjects)

    @cached_property
    def degree(self) -> int | None:
        """Loops over lists inside one another in its conditions, at most; None where their values may grow."""
        trees = [each.syntax for each in (self.when, self.require) if each is not None]
        return None if any(map(grows, trees)) else max(map(degree, trees))

    @cached_property
    def sweep(self) -> CodeType:
        """The generated loop that judges all subjects of a site."""
        when = None if self.when is None else on_subject(self.when, self.scope)
        return sweep_code(
            when, on_subject(self.require, self.scope), self.scope.sweep_variable, self.constants
        )


class Rulebook:
    """All rules of one run, in order of id.

    `digest` is `sha256:...` over the records that judge, `folders` those added, `own` the facts that they add.
    """

    def __init__(
        self, records: Sequence[Record], digest: str, folders: Sequence[Path] = (), own: Sequence[Record] = ()
    ) -> None:
        self.own = OwnFacts(own)
        self.rules: tuple[LoadedRule, ...] = tuple(LoadedRule(record, self.own) for record in records)
        self.digest = digest
        self.folders = tuple(folders)

    @cached_property
    def by_id(self) -> Mapping[str, LoadedRule]:
        """Rules by id and by former id."""
        found = {alias: rule for rule in self.rules for alias in rule.aliases}
        return {**found, **{rule.id: rule for rule in self.rules}}

    def rule(self, identifier: str) -> LoadedRule:
        """The rule of that id, or that once had it; KeyError where there is none."""
        return self.by_id[identifier]

    def page(self, identifier: str) -> str:
        """The page of a rule, or of a finding of the program's own, as Markdown; KeyError where there is
        none.
        """
        from coaxwright.rulebook.pages import builtin_page, rule_page

        if identifier in BUILT_IN:
            return builtin_page(BUILT_IN[identifier])
        rule = self.rule(identifier)
        return rule_page(rule.plain, rule.cases)
