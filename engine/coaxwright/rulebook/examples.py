"""Sites of cases as YAML: the whole of one, and for a rule's page what fails beside what holds.

The example is the first case that fails; what to use instead is what the first case that passes one step inside the limit
has at the same places. A case and its base are read anew: nothing of them is kept with the rules.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

from coaxwright.errors import Problem, Refusal
from coaxwright.model.rules import Case, CaseBase, CaseFile
from coaxwright.reading.suggest import did_you_mean
from coaxwright.reading.validation import validated
from coaxwright.reading.yaml_source import decode, parse_document
from coaxwright.rulebook.cases import load_bases, merged
from coaxwright.rulebook.library import LoadedRule, Rulebook
from coaxwright.rulebook.rule_files import RuleFile, find_rule_files

PARTS_FILE = "case-parts.yaml"
Tree = Mapping[str, Any]


class Pair(NamedTuple):
    """What fails and what holds, as YAML, both of the same places."""

    example: str
    instead: str


def shown_site(rulebook: Rulebook, rule: LoadedRule, case_name: str) -> tuple[str, str]:
    """The merged site of a case as YAML, and the file of parts that it names. Raises Refusal for a case that is none."""
    cases = {case.name: case for case in _cases(rulebook).get(rule.id, ())}
    if case_name not in cases:
        right = did_you_mean(case_name, cases) or f"its cases: {'; '.join(cases)}"
        raise Refusal([Problem(rule.id, f"has no case `{case_name}`", right)])
    site, parts = _whole(load_bases(rulebook.folders), cases[case_name])
    return as_yaml({**site, "parts": [PARTS_FILE]}), as_yaml({"parts": parts})


def pairs(rulebook: Rulebook) -> dict[str, Pair]:
    """By id of the rule what its page shows; rules without such two cases are left out."""
    bases = load_bases(rulebook.folders)
    found = {name: _pair(bases, cases) for name, cases in _cases(rulebook).items()}
    return {name: pair for name, pair in found.items() if pair is not None}


def as_yaml(value: object) -> str:
    """A plain value as YAML in block style."""
    import yaml

    return str(yaml.safe_dump(value, sort_keys=False, allow_unicode=True, width=110, default_flow_style=None))


def _cases(rulebook: Rulebook) -> dict[str, tuple[Case, ...]]:
    files: dict[str, RuleFile] = {file.name: file for file in find_rule_files(rulebook.folders)}
    found = {}
    for rule in rulebook.rules:
        file = files.get(rule.file)
        if file is not None and file.cases is not None:
            document = parse_document(decode(file.cases, file.cases_name), file.cases_name)
            found[rule.id] = validated(CaseFile, document).cases
    return found


def _whole(bases: Mapping[str, CaseBase], case: Case) -> tuple[dict[str, Any], dict[str, Any]]:
    """Site and parts of a case, laid over its base."""
    base = bases[case.base or next(iter(bases))]
    return merged(base.site, case.site), merged(base.parts, case.parts)


def _pair(bases: Mapping[str, CaseBase], cases: tuple[Case, ...]) -> Pair | None:
    failing = next((case for case in cases if case.fails), None)
    holding = next((case for case in cases if case.passes and case.near_miss), None)
    if failing is None or holding is None or (failing.base or "") != (holding.base or ""):
        return None
    changed = merged(_change(failing), _change(holding))
    bad, good = ({**site, "parts": parts} for site, parts in (_whole(bases, failing), _whole(bases, holding)))
    pair = Pair(*(as_yaml(_at(whole, _paths(changed, (bad, good)))) for whole in (bad, good)))
    return pair if pair.example != pair.instead else None


def _change(case: Case) -> dict[str, Any]:
    return {**case.site, **({"parts": case.parts} if case.parts else {})}


def _paths(change: Tree, wholes: tuple[Tree, Tree]) -> dict[str, Any]:
    """The places of a change where the two sites differ, as nested keys; None at each end."""
    found: dict[str, Any] = {}
    for key, value in change.items():
        sides = [whole.get(key) if isinstance(whole, Mapping) else None for whole in wholes]
        if sides[0] == sides[1]:
            continue
        deeper = isinstance(value, Mapping) and all(isinstance(side, Mapping) for side in sides)
        found[key] = _paths(value, (sides[0], sides[1])) if deeper else None  # type: ignore[arg-type]
    return found


def _at(whole: object, paths: Tree) -> dict[str, Any]:
    """What a site has at those places; nothing where it has none."""
    found = {}
    for key, below in paths.items():
        if isinstance(whole, Mapping) and key in whole:
            found[key] = whole[key] if below is None else _at(whole[key], below)
    return found
