"""Mutation of the rule files: every rule is spoilt in small ways, and its own cases have to notice.

A mutant is one change of `when`, `require` or a limit: a comparison turned round or moved over its edge, a number or
a limit moved by one step of its last digit, a guard or one condition of it dropped, `&&` for `||`, a `!` dropped, `has`
taken for granted, the whole requirement denied. A mutant that the rule checks refuse never reaches anyone and is
counted apart. A mutant is killed when a case that held no longer does, or when an example site no longer comes to the findings
committed beside it (tests/examples compares those in every run); both are counted apart. Titles, sentences,
levels, margins and sources are not mutated. Survivors stand in rule_survivors.md, each under a reason.

    python -m tests.mutation.rule_mutants [--every N] [RULE_ID]...

Run from the root of the repository with `engine` on PYTHONPATH.
"""

from __future__ import annotations

import argparse
import json
import re
import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from coaxwright.errors import Refusal
from coaxwright.facts.binding import Facts, compute_facts
from coaxwright.language.parsing import parse_expression
from coaxwright.language.syntax import Binary, Has, Literal, Logic, Node, Unary, walk
from coaxwright.model.rules import Case, CaseFile
from coaxwright.reading.site_reader import LoadedSite, read_site
from coaxwright.reading.validation import validated
from coaxwright.reading.yaml_source import decode, parse_document
from coaxwright.rulebook import case_checks
from coaxwright.rulebook.cases import case_site, load_bases
from coaxwright.rulebook.judging import judge_rule
from coaxwright.rulebook.library import LoadedRule, Rulebook
from coaxwright.rulebook.rule_checks import check_rule_files
from coaxwright.rulebook.rule_files import RuleFile, find_rule_files
from coaxwright.rulebook.settings import read_settings
from coaxwright.topology.wiring import build_topology

TURNED = {
    "<": ("<=", ">="), "<=": ("<", ">"), ">": (">=", "<="), ">=": (">", "<"), "==": ("!=",), "!=": ("==",),
}  # fmt: skip
ROOT = Path(__file__).resolve().parents[2]
NUMBER = re.compile(r"-?\d+(?:\.(\d+))?")


@dataclass(frozen=True)
class Mutant:
    """One spoilt rule: which, how, its plain data, and what became of it."""

    rule: str
    how: str
    plain: dict[str, Any]
    fate: str = ""


def steps_of(number: str) -> list[str]:
    """A number as written, one step of its last digit up and down."""
    decimals = len(number.partition(".")[2])
    step = 10.0**-decimals
    return [f"{float(number) + sign * step:.{decimals}f}" for sign in (1, -1)]


def replaced(text: str, start: int, end: int, new: str) -> str:
    return text[:start] + new + text[end:]


def _comparisons(text: str, node: Binary) -> Iterator[tuple[str, str]]:
    between = text[node.left.end : node.right.start]
    sign = next((each for each in sorted(TURNED, key=len, reverse=True) if each in between), "")
    at = node.left.end + between.find(sign)
    for other in TURNED.get(sign, ()):
        yield f"`{sign}` to `{other}` at {at}", replaced(text, at, at + len(sign), other)


def _terms(text: str, node: Logic) -> Iterator[tuple[str, str]]:
    shown = [text[each.start : each.end] for each in node.operands]
    for index, term in enumerate(shown):
        rest = f" {node.operation} ".join(shown[:index] + shown[index + 1 :])
        yield f"drop `{term}`", replaced(text, node.start, node.end, f"({rest})")
    other = "||" if node.operation == "&&" else "&&"
    joined = f" {other} ".join(f"({term})" for term in shown)
    yield f"`{node.operation}` to `{other}` at {node.start}", replaced(text, node.start, node.end, f"({joined})")


def _of_node(text: str, node: Node) -> Iterator[tuple[str, str]]:
    if isinstance(node, Binary):
        yield from _comparisons(text, node)
    elif isinstance(node, Logic):
        yield from _terms(text, node)
    elif isinstance(node, Unary) and node.operation == "!":
        yield (
            f"drop `!` at {node.start}",
            replaced(text, node.start, node.end, text[node.operand.start : node.operand.end]),
        )
    elif isinstance(node, Has):
        yield f"take `{text[node.start : node.end]}` for granted", replaced(text, node.start, node.end, "true")
    elif isinstance(node, Literal) and isinstance(node.value, int | float) and not isinstance(node.value, bool):
        for new in steps_of(text[node.start : node.end]):
            yield f"{text[node.start : node.end]} to {new}", replaced(text, node.start, node.end, new)


def of_expression(text: str) -> Iterator[tuple[str, str]]:
    """What was done, and the spoilt expression."""
    for node in walk(parse_expression(text)):
        yield from _of_node(text, node)


def of_rule(plain: dict[str, Any]) -> Iterator[Mutant]:
    """All mutants of one rule file."""
    for name in ("require", "when"):
        if name in plain:
            for how, text in of_expression(plain[name].strip()):
                yield Mutant(plain["id"], f"{name}: {how}", {**plain, name: text})
    yield Mutant(plain["id"], "require: denied", {**plain, "require": f"!({plain['require'].strip()})"})
    if "when" in plain:
        yield Mutant(plain["id"], "when: dropped", {key: each for key, each in plain.items() if key != "when"})
    for name, limit in plain.get("limits", {}).items():
        written = str(limit["value"])
        found = NUMBER.search(written)
        for new in steps_of(found[0]) if found else ():
            value = written.replace(found[0], new, 1)
            value = value if isinstance(limit["value"], str) else float(value) if "." in value else int(value)
            limits = {**plain["limits"], name: {**limit, "value": value}}
            yield Mutant(plain["id"], f"limit {name}: {written} to {value}", {**plain, "limits": limits})


@dataclass(frozen=True)
class Prepared:
    """A case with the facts of its site: facts do not depend on the rule."""

    case: Case
    loaded: LoadedSite
    facts: Facts


class Cases:
    """The cases of one rule, ready to be run on spoilt forms of it."""

    def __init__(self, file: RuleFile, bases: Any) -> None:
        self.file = file
        document = parse_document(decode(file.cases or b"", file.cases_name), file.cases_name)
        self.cases = [self._prepared(case, bases) for case in validated(CaseFile, document).cases]

    @staticmethod
    def _prepared(case: Case, bases: Any) -> Prepared:
        loaded = case_site(bases, case)
        return Prepared(case, loaded, compute_facts(loaded, build_topology(loaded)))

    def loaded(self, plain: dict[str, Any]) -> LoadedRule:
        """A rule of plain data, checked as any is; Refusal where it is none."""
        data = json.dumps(plain, default=str).encode()
        return LoadedRule(check_rule_files([replace(self.file, data=data)], beside=_all_ids())[0])

    def problems(self, rule: LoadedRule, rulebook: Rulebook) -> list[str]:
        """What the cases object to, stopping at the first that does."""
        for each in self.cases:
            settings = read_settings(rulebook, each.loaded.site, each.loaded.document, each.loaded.file)
            verdict = judge_rule(rule, each.facts, settings.limits.get(rule.id))
            found = [
                *case_checks.outcome_problems(rule, each.case, verdict),
                *case_checks.silent_problems(rule, each.case, verdict, each.facts),
            ]
            if found:
                return [f"{each.case.name}: {problem}" for problem in found]
        return []


@cache
def _all_ids() -> frozenset[str]:
    return frozenset(yaml.safe_load(file.data)["id"] for file in find_rule_files())


class Examples:
    """The example sites with their facts and the findings committed beside them."""

    def __init__(self) -> None:
        self.sites = []
        for path in sorted((ROOT / "examples").glob("*/*.site.yaml")):
            loaded = read_site(path)
            committed = path.with_name(path.name.removesuffix(".site.yaml") + ".expected.json")
            findings = json.loads(committed.read_text(encoding="utf-8"))["findings"]
            self.sites.append((loaded, compute_facts(loaded, build_topology(loaded)), findings))

    def differ(self, rule: LoadedRule) -> bool:
        """Whether the rule comes to other fails or opens on some example than those committed."""
        for loaded, facts, findings in self.sites:
            setting = (loaded.site.rules or {}).get(rule.id)
            if setting is not None:
                continue
            wanted = sorted((each["kind"], each["subject"]) for each in findings if each["rule"] == rule.id)
            verdict = judge_rule(rule, facts)
            if wanted != sorted((each.kind, each.subject.subject) for each in verdict.judgements):
                return True
        return False


def fate_of(mutant: Mutant, cases: Cases, examples: Examples) -> str:
    """`refused`, `killed` (by a case), `told` (by an example) or `survived`."""
    try:
        rule = cases.loaded(mutant.plain)
        if cases.problems(rule, Rulebook([rule.record], "")):
            return "killed"
        return "told" if examples.differ(rule) else "survived"
    except Refusal:
        return "refused"


def run(only: Sequence[str] = (), every: int = 1) -> list[Mutant]:
    """The mutants of the rules of those ids (else of all), with their fates; of all mutants each `every`-th."""
    bases, examples, found, counted = load_bases(), Examples(), [], 0
    for file in find_rule_files():
        plain = yaml.safe_load(file.data)
        if only and plain["id"] not in only:
            continue
        chosen = []
        for mutant in of_rule(plain):
            counted += 1
            chosen += [mutant] if counted % every == 0 else []
        if not chosen:
            continue
        cases = Cases(file, bases)
        if cases.problems(rule := cases.loaded(plain), Rulebook([rule.record], "")):
            raise SystemExit(f"{file.name}: its cases do not hold as it is")
        if examples.differ(rule):
            raise SystemExit(f"{file.name}: an example differs as it is")
        found += [replace(mutant, fate=fate_of(mutant, cases, examples)) for mutant in chosen]
    return found


def main(arguments: Sequence[str]) -> int:
    options = argparse.ArgumentParser()
    options.add_argument("rules", nargs="*")
    options.add_argument("--every", type=int, default=1)
    chosen = options.parse_args(arguments)
    found = run(chosen.rules, chosen.every)
    counts = {fate: sum(each.fate == fate for each in found) for fate in ("killed", "told", "survived", "refused")}
    for each in found:
        if each.fate == "survived":
            print(f"{each.rule}: {each.how}")
    tried = len(found) - counts["refused"]
    both = counts["killed"] + counts["told"]
    print(
        f"{tried} mutants: {counts['killed']} killed by the rule's own cases ({counts['killed'] / tried:.1%}), with the "
        f"examples {both} ({both / tried:.1%}); {counts['survived']} survived; {counts['refused']} refused by the checks"
    )
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
