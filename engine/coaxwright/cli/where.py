"""`coaxwright explain SITE --where CONDITION`: the subjects for which a condition over their facts holds."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from coaxwright.cli.handed import Rulebook
from coaxwright.cli.showing import give, lines
from coaxwright.errors import Problem, Refusal
from coaxwright.show.json_text import FORMAT
from coaxwright.show.tree import Document


def listing(site: str, condition: str, form: str, extra_rules: tuple[Path, ...], output: Path | None) -> None:
    """Show subjects for which it holds, and those for which it is open, as text or JSON. Raises Refusal."""
    from coaxwright.checking import facts_of, load_rulebook, load_site
    from coaxwright.language.checked import Unknown
    from coaxwright.language.evaluating import evaluate
    from coaxwright.rulebook.scope import kind_scope
    from coaxwright.rulebook.subjects import bindings

    rulebook = load_rulebook(extra_rules)
    try:
        kind, checked = _checked(condition, rulebook)
    except (Refusal, ValueError) as error:
        problems = error.problems if isinstance(error, Refusal) else (Problem("", str(error)),)
        raise Refusal([Problem(f"--where {condition}", each.what, each.right) for each in problems]) from None
    facts = facts_of(load_site(site), rulebook)
    (whole,) = facts.by_kind("site")
    values = {sheet.subject: evaluate(checked, bindings(kind_scope(kind), sheet, whole, None)) for sheet in facts.by_kind(kind)}
    holds = [subject for subject, value in values.items() if value is True]
    still_open = [subject for subject, value in values.items() if isinstance(value, Unknown)]
    told = [*holds, *(f"{subject} (open: not all is known)" for subject in still_open)]
    data = {"format": FORMAT, "condition": condition, "holds": holds, "open": still_open}
    give(form, output, lambda: data, lambda: Document("", (lines(told),)))


def _checked(condition: str, rulebook: Rulebook) -> tuple[str, Any]:
    """The kind of sheet that a condition is about, the first that it names, and the condition checked."""
    from coaxwright.facts.sheets import SHEETS
    from coaxwright.language.parsing import parse_expression
    from coaxwright.language.syntax import Name, walk
    from coaxwright.language.types import Bool
    from coaxwright.language.typing_check import check_expression
    from coaxwright.rulebook.environment import SITE, rule_environment
    from coaxwright.rulebook.scope import kind_scope

    named = [node.name for node in walk(parse_expression(condition)) if isinstance(node, Name) and node.name in SHEETS]
    kind = next((name for name in named if name != SITE), named[0] if named else "")
    if not kind:
        raise ValueError("it names no kind of sheet, as in `feed.volts_night < feed.load.volts_min`")
    return kind, check_expression(condition, rule_environment(kind_scope(kind), {}, rulebook.own.kinds), Bool())
