"""Runs the cases of rules: small sites with the exact subjects on which a rule must fail, pass or stay open.

A case starts from a named base, changes a few keys, and is judged by the one rule under test with every fact
computed. Nothing else of that rule may fire. `rules/cases/bases.yaml`, and `cases/bases.yaml` in an added
folder, hold the bases.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import lru_cache
from pathlib import Path
from typing import Any, Literal

from coaxwright import pace
from coaxwright.errors import Problem, Refusal
from coaxwright.facts.binding import compute_facts
from coaxwright.immutable import immutable
from coaxwright.model.parts import PartFile
from coaxwright.model.rules import Case, CaseBase, CaseBases, CaseFile
from coaxwright.model.site import Site
from coaxwright.reading.catalogue import Catalogue, PartSource
from coaxwright.reading.site_reader import LoadedSite, with_value
from coaxwright.reading.validation import validated
from coaxwright.reading.yaml_source import Document, decode, parse_document, read_document
from coaxwright.rulebook import case_checks, silences
from coaxwright.rulebook.judging import judge_rule
from coaxwright.rulebook.library import LoadedRule, Rulebook, Silence
from coaxwright.rulebook.rule_files import RuleFile, find_rule_files, own_folder
from coaxwright.rulebook.settings import read_settings
from coaxwright.rulebook.short_rules import sourceless
from coaxwright.topology.wiring import build_topology

Status = Literal["ok", "failed", "todo"]
BASES = Path("cases", "bases.yaml")


@immutable
class CaseResult:
    """What became of one case, or of the demands on a rule's cases as a whole (then `case` is empty).

    `todo` marks a case with a part that cannot be run yet (`fixed_by`); what can be run of it held.
    """

    rule: str
    case: str
    status: Status
    problems: tuple[str, ...]
    file: str
    line: int

    def __str__(self) -> str:
        """One line: place, rule, case, and what is wrong."""
        said = f": {'; '.join(self.problems)}" if self.problems else ""
        case = f" ({self.case})" if self.case else ""
        return f"{self.file}:{self.line}: {self.status}: {self.rule}{case}{said}"


Prover = Callable[[Rulebook, LoadedRule, Case, LoadedSite], list[str]]
"""Tells what does not hold of a case's claims on fixes; `fixes.case_proofs` has one."""


def run_cases(
    rulebook: Rulebook, only: Iterable[str] | None = None, *, prover: Prover | None = None
) -> list[CaseResult]:
    """Run the cases of all rules, or of those whose ids are in `only`; `prover` tries their `fixed_by`.

    Raises Refusal for bases that cannot be read.

    KeyError when `only` holds an id that no rule has. Each rule gives one more result, on its cases as a
    whole.
    """
    chosen = {rulebook.rule(identifier).id for identifier in only} if only is not None else None
    bases = load_bases(rulebook.folders)
    found: list[CaseResult] = []
    for file in pace.counted(find_rule_files(rulebook.folders), "rules"):
        rule = next((rule for rule in rulebook.rules if rule.file == file.name), None)
        if rule is not None and (chosen is None or rule.id in chosen):
            found += _RuleCases(rulebook, rule, file, bases, prover).run()
    return found


def load_bases(folders: Sequence[Path] = ()) -> dict[str, CaseBase]:
    """The named bases, the program's own first.

    Raises Refusal; an added base may not take a name that is there.
    """
    bases: dict[str, CaseBase] = {}
    for folder, shown in [(own_folder(), "rules"), *((Path(folder), str(folder)) for folder in folders)]:
        if not (folder / BASES).exists():
            continue
        document = read_document(folder / BASES, f"{shown}/{BASES.as_posix()}")
        for name, base in validated(CaseBases, document).bases.items():
            if name in bases:
                path = ("bases", name)
                what = f"there is a base `{name}` already"
                raise Refusal(
                    [Problem(document.file, what, "give it another name", document.key_span(path), path)]
                )
            bases[name] = base
    return bases


def merged(base: Mapping[str, Any], change: Mapping[str, Any]) -> dict[str, Any]:
    """`base` with `change` laid over it: mappings key by key, null removes a key, all else replaces."""
    result = dict(base)
    for key, value in change.items():
        if value is None:
            result.pop(key, None)
        elif isinstance(value, Mapping):
            below = result.get(key)
            result[key] = merged(below if isinstance(below, Mapping) else {}, value)
        else:
            result[key] = value
    return result


def case_site(bases: Mapping[str, CaseBase], case: Case) -> LoadedSite:
    """The site of a case, read as any site is.

    Raises Refusal for a base that is not there, or a site that is none.
    """
    name = case.base or next(iter(bases), "")
    if name not in bases:
        raise Refusal(
            [Problem("cases", f"there is no base `{name}`", f"there is: {', '.join(bases) or 'none'}")]
        )
    base = bases[name]
    site = merged(base.site, case.site)
    catalogue, document = _prepared(_text(merged(base.parts, case.parts)), _text(site))
    blank = Site.model_construct(site=name)
    return with_value(LoadedSite(document.file, blank, document, catalogue), site)


def _text(value: Mapping[str, Any]) -> str:
    return json.dumps(value, ensure_ascii=False)


def _prepared(parts: str, site: str) -> tuple[Catalogue, Document]:
    return _catalogue(parts), parse_document(site, "case")


@lru_cache(maxsize=64)
def _catalogue(parts: str) -> Catalogue:
    if parts == "{}":
        return Catalogue()
    document = parse_document(f'{{"parts": {parts}}}', "case parts")
    return Catalogue((PartSource(document.file, document, validated(PartFile, document)),))


class _RuleCases:
    """The cases of one rule, run one by one."""

    def __init__(
        self,
        rulebook: Rulebook,
        rule: LoadedRule,
        file: RuleFile,
        bases: Mapping[str, CaseBase],
        prover: Prover | None,
    ) -> None:
        self.rulebook, self.rule, self.file, self.bases = rulebook, rule, file, bases
        self.prover = prover
        self.shown: set[Silence] = set()

    def run(self) -> Iterator[CaseResult]:
        """A result for each case, then one for the demands on all of them."""
        if self.file.cases is None and sourceless(self.rule.plain):
            yield self._result("", [], 1, self.file.name)
            return
        if self.file.cases is None:
            yield self._result("", ["the rule has no cases"], 1, self.file.name)
            return
        document = parse_document(decode(self.file.cases, self.file.cases_name), self.file.cases_name)
        model = validated(CaseFile, document)
        for place, case in enumerate(model.cases):
            line = document.span(("cases", place)).line
            waits = case.fixed_by is not None and self.prover is None
            yield self._result(case.name, self._problems(case), line, document.file, todo=waits)
        lacking = [*case_checks.demands(self.rule, model), *silences.unshown(self.rule, self.shown)]
        yield self._result("", [*lacking, *silences.guard_problems(self.rule)], 1, document.file)

    def _result(
        self, case: str, problems: Sequence[str], line: int, file: str, todo: bool = False
    ) -> CaseResult:
        status: Status = "failed" if problems else "todo" if todo else "ok"
        return CaseResult(self.rule.id, case, status, tuple(problems), file, line)

    def _problems(self, case: Case) -> list[str]:
        """What does not hold. Levels and waivers do not matter to a case; limits that its site sets do."""
        try:
            loaded = case_site(self.bases, case)
            facts = self.rulebook.own.onto(compute_facts(loaded, build_topology(loaded)))
            settings = read_settings(self.rulebook, loaded.site, loaded.document, loaded.file)
            verdict = judge_rule(self.rule, facts, settings.limits.get(self.rule.id))
            self.shown |= silences.silences_shown(self.rulebook, self.rule, facts, settings.limits)
        except Refusal as refusal:
            return [
                f"the site of the case is refused: {problem.what}; {problem.right}"
                for problem in refusal.problems
            ]
        return [
            *case_checks.outcome_problems(self.rule, case, verdict),
            *case_checks.silent_problems(self.rule, case, verdict, facts),
            *self._claims(case, loaded),
        ]

    def _claims(self, case: Case, loaded: LoadedSite) -> list[str]:
        if self.prover is None or case.fixed_by is None:
            return []
        return self.prover(self.rulebook, self.rule, case, loaded)
