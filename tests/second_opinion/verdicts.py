"""Second opinion on verdicts: the rule files' own text, read by a small evaluator over the naive facts.

`&&`, `||`, `!` become Python's words, the text is parsed by Python's own parser, and every node is worked out with
three answers: a value, or UNKNOWN. Rules that read a fact that the second opinion does not model are left out.
"""

from __future__ import annotations

import ast
import math
import operator
import re
from functools import cache

import yaml

from .plain import REPO, num

UNKNOWN = object()
ORDER = {ast.Lt: operator.lt, ast.LtE: operator.le, ast.Gt: operator.gt, ast.GtE: operator.ge,
         ast.Eq: operator.eq, ast.NotEq: operator.ne}  # fmt: skip
SUMS = {ast.Add: operator.add, ast.Sub: operator.sub, ast.Mult: operator.mul}


class NotModelled(Exception):
    """A field, function or form that this evaluator does not have."""


class NotAsked(Exception):
    """A current of a network that collapses: the naive opinion has none."""


def python_of(text):
    text = re.sub(r"!(?!=)", " not ", " ".join(text.split())).replace("&&", " and ").replace("||", " or ")
    return ast.parse(text.strip(), mode="eval").body


@cache
def rules():
    """Id, kind judged, guard, requirement and limits of every rule that judges one kind of subject."""
    found = []
    for path in sorted((REPO / "rules").glob("*/*.yaml")):
        if path.name.endswith(".cases.yaml") or path.parent.name in ("tables", "cases", "quiz"):
            continue
        rule = yaml.safe_load(path.read_text(encoding="utf-8"))
        if isinstance(rule.get("about"), str) and "?" not in rule["require"] + rule.get("when", ""):
            limits = {name: num(each["value"]) for name, each in rule.get("limits", {}).items()}
            when = python_of(rule["when"]) if "when" in rule else None
            found.append((rule["id"], rule["about"], when, python_of(rule["require"]), limits))
    return found


def value(node, names):
    """What a node comes to: a value, or UNKNOWN."""
    if isinstance(node, ast.Constant):
        return node.value
    if isinstance(node, ast.Name):
        if node.id in ("true", "false"):
            return node.id == "true"
        if node.id not in names:
            raise NotModelled(node.id)
        return names[node.id]
    if isinstance(node, ast.Attribute):
        return field(value(node.value, names), node.attr)
    if isinstance(node, ast.BoolOp):
        return joined([value(each, names) for each in node.values], isinstance(node.op, ast.Or))
    if isinstance(node, ast.UnaryOp):
        inner = value(node.operand, names)
        if isinstance(node.op, ast.Not):
            return UNKNOWN if inner is UNKNOWN else not inner
        return UNKNOWN if inner is UNKNOWN else -inner
    if isinstance(node, ast.Compare | ast.BinOp):
        return paired(node, names)
    if isinstance(node, ast.List):
        return [value(each, names) for each in node.elts]
    if isinstance(node, ast.Call):
        return called(node, names)
    raise NotModelled(type(node).__name__)


def field(sheet, name):
    if sheet is UNKNOWN:
        return UNKNOWN
    if not isinstance(sheet, dict) or name not in sheet:
        raise NotModelled(name)
    if isinstance(sheet[name], float) and math.isnan(sheet[name]):
        raise NotAsked
    return UNKNOWN if sheet[name] is None else sheet[name]


def joined(values, any_one):
    if any_one in values:
        return any_one
    return UNKNOWN if UNKNOWN in values else not any_one


def paired(node, names):
    left = value(node.left, names)
    right = value(node.comparators[0] if isinstance(node, ast.Compare) else node.right, names)
    if left is UNKNOWN or right is UNKNOWN:
        return UNKNOWN
    sign = type(node.ops[0] if isinstance(node, ast.Compare) else node.op)
    if sign is ast.In:
        return left in right
    return {**ORDER, **SUMS}[sign](left, right)


def called(node, names):
    if isinstance(node.func, ast.Attribute) and node.func.attr in ("all", "exists"):
        items = value(node.func.value, names)
        if items is UNKNOWN:
            return UNKNOWN
        found = [value(node.args[1], {**names, node.args[0].id: each}) for each in items]
        return joined(found, node.func.attr == "exists")
    name = getattr(node.func, "id", "")
    if name == "has":
        return value(node.args[0], names) is not UNKNOWN
    if name not in ("size", "min"):
        raise NotModelled(name)
    values = [value(each, names) for each in node.args]
    if UNKNOWN in values:
        return UNKNOWN
    return len(values[0]) if name == "size" else min(values)


def verdict(rule, sheet, site):
    """`pass`, `fail`, `open` or `not-applicable`."""
    _, about, when, require, limits = rule
    names = {about: sheet, "site": site, "limit": limits}
    if when is not None:
        applies = value(when, names)
        if applies is not True:
            return "open" if applies is UNKNOWN else "not-applicable"
    holds = value(require, names)
    return "open" if holds is UNKNOWN else "pass" if holds else "fail"


def verdicts(opinion):
    """Verdict by rule and subject, for all rules that read nothing but what is modelled."""
    found, left_out = {}, set()
    for rule in rules():
        for (kind, subject), sheet in opinion.found.items():
            if kind == rule[1]:
                try:
                    found[rule[0], subject] = verdict(rule, sheet, opinion.top)
                except NotModelled:
                    left_out.add(rule[0])
                except NotAsked:
                    continue
    return {key: each for key, each in found.items() if key[0] not in left_out}, left_out
