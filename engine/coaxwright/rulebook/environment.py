"""What the expressions of a rule may name: the fact sheets, the variables of the rule, and its limits.

It reads no rule file.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from coaxwright.facts.sheets.kinds import fact_kinds
from coaxwright.language.figures import LIMIT
from coaxwright.language.types import Environment, FieldSpec, KindSpec, Ref, Type
from coaxwright.rulebook.limits import LimitValue
from coaxwright.rulebook.scope import Scope

SITE = "site"


def rule_environment(
    scope: Scope, limits: Mapping[str, LimitValue], known: Mapping[str, KindSpec] | None = None
) -> Environment:
    """The environment of one rule: its variables by kind, `site`, and `limit` where it states limits.

    `known` are the kinds of sheet with the facts of a user; those of the program otherwise.
    """
    kinds = dict(fact_kinds() if known is None else known)
    variables: dict[str, Type] = {SITE: Ref(SITE)}
    variables.update((name, Ref(kind)) for name, kind in scope.variables)
    if limits:
        kinds[LIMIT] = limit_kind(limits.values())
        variables[LIMIT] = Ref(LIMIT)
    return Environment(kinds, variables)


def limit_kind(limits: Iterable[LimitValue]) -> KindSpec:
    """What the variable `limit` stands for, as a kind of sheet."""
    fields = {each.name: FieldSpec(each.name, each.type, each.about, optional=False) for each in limits}
    return KindSpec(LIMIT, fields, "The figures that the rule compares with.")
