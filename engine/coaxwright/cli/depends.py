"""`coaxwright explain SITE SUBJECT [FACT] --uses | --used-by`: the dependency map, as text or JSON."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from coaxwright.cli.handed import DependencyMap, Facts, LoadedSite, Node, Rulebook
from coaxwright.cli.showing import give, lines
from coaxwright.errors import Problem, Refusal
from coaxwright.show.plain_data import plain
from coaxwright.show.tree import Document, Item

_HOW = {"given": "stated, looked up or solved", "figure": "a figure of the declaration", "declared": "declared"}


def told(
    site: str, words: tuple[str, ...], form: str, directions: tuple[bool, bool], extra_rules: tuple[Path, ...],
    output: Path | None,
) -> None:  # fmt: skip
    """Show what the facts of a subject use, or what uses them; `directions` are (uses, used by)."""
    from coaxwright.checking import facts_of, load_rulebook, load_site
    from coaxwright.rulebook.dependencies import DependencyMap

    loaded, rulebook = load_site(site), load_rulebook(extra_rules)
    facts = facts_of(loaded, rulebook)
    found = DependencyMap(facts, rulebook)
    nodes = _nodes(found, loaded.file, *words)
    rows = [{**_row(node), **_below(found, node, directions, set()), **_above(found, node, directions)} for node in nodes]
    if len(words) == 2 and directions[0]:
        for row, node in zip(rows, nodes, strict=True):
            row.update(_rests(loaded, facts, node, rulebook))
    elif len(words) == 1:
        rows = [row for row in rows if row.get("uses") or row.get("used_by") or row.get("rules")]
    give(form, output, lambda: plain(rows), lambda: Document("", tuple(lines([_item("", row)]) for row in rows)))


def _nodes(found: DependencyMap, file: str, subject: str, fact: str = "") -> list[Any]:
    """The facts asked about, of the dependency map. Raises Refusal for a subject or a fact that is not there."""
    from coaxwright.reading.suggest import did_you_mean
    from coaxwright.rulebook.dependencies import fields_of

    sheets = found.facts.of(subject)
    if not sheets:
        raise Refusal([Problem(file, f"there is no `{subject}` here", did_you_mean(subject, found.facts.subjects()))])
    names = {f"{sheet.kind}.{name}": found.node(sheet, name) for sheet in sheets for name in fields_of(sheet)}
    chosen = [node for name, node in names.items() if fact in ("", name, node.name)]
    if not chosen:
        raise Refusal([Problem(file, f"`{subject}` has no fact `{fact}`", did_you_mean(fact, names))])
    return chosen


def _row(node: Node) -> dict[str, Any]:
    from coaxwright.rulebook.dependencies import unit_of

    value = node.sheet.known(node.name)
    plain = value if isinstance(value, bool | int | float | str) else getattr(value, "subject", None)
    plain = [getattr(each, "subject", each) for each in value] if isinstance(value, list | tuple) else plain
    unit = unit_of(node.sheet, node.name)
    return {"subject": node.sheet.subject, "fact": node.fact, "how": node.how, "value": plain, "unit": unit}


def _below(found: DependencyMap, node: Node, directions: tuple[bool, bool], told_of: set[tuple[int, str]]) -> dict[str, Any]:
    """What it reads, each with what that reads; a fact that was told above is named without it."""
    if not directions[0]:
        return {}
    rows = []
    for each in found.uses(node):
        again = each.key in told_of
        told_of.add(each.key)
        rows.append({**_row(each), **({"above": True} if again else _below(found, each, directions, told_of))})
    return {"uses": rows}


def _above(found: DependencyMap, node: Node, directions: tuple[bool, bool]) -> dict[str, Any]:
    """The declared facts that rest on it, and the rules that see it or one of those."""
    if not directions[1]:
        return {}
    nodes = found.above(node)
    rules = [{"rule": each.rule, "subject": each.subject, "reads": each.node.fact} for each in found.seen_by(nodes)]
    return {"used_by": [_row(each) for each in nodes[1:]], "rules": rules}


def _rests(loaded: LoadedSite, facts: Facts, node: Node, rulebook: Rulebook) -> dict[str, Any]:
    """The stated values and the assumptions at the bottom, found by trying."""
    from coaxwright.facts.provenance import provenance

    rests = provenance(loaded, facts, node.sheet.subject, rulebook.own.onto).get((node.sheet.kind, node.name))
    return {"stated": rests.stated if rests else (), "assumed": rests.assumed if rests else ()}


def _item(lead: str, row: dict[str, Any]) -> Item:
    """A fact, and below it what it reads and what reads it; of what was told above the name alone."""

    again = " (see above)" if row.get("above") and row["how"] == "declared" else ""
    return Item(f"{lead}{_told(row)}{again}", (lines([*(_item("uses ", each) for each in row.get("uses", ())), *_rest(row)]),))


def _rest(row: dict[str, Any]) -> Iterator[str]:
    for place in row.get("stated", ()):
        yield f"rests on {place.path} " + (f"({place.file}:{place.line})" if place.file else "(built in)")
    for taken in row.get("assumed", ()):
        yield f"rests on the assumption {taken.name} {taken.value}; source: {taken.source}"
    for each in row.get("used_by", ()):
        yield f"used by {_told(each)}"
    for rule, own in _by_rule(row.get("rules", ())).items():
        yield f"seen by rule {rule}: {', '.join(own)}"


def _by_rule(rules: list[Any] | tuple[Any, ...]) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for each in rules:
        found.setdefault(f"{each['rule']} (reads {each['reads']})", []).append(each["subject"])
    return found


def _told(row: dict[str, Any]) -> str:
    from coaxwright.show.values import value_words

    return f"{row['fact']} of {row['subject']}: {value_words(row['value'], row['unit'])} ({_HOW[row['how']]})"
