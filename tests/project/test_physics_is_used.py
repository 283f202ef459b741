"""Every public name of the physics has a caller in the product: a formula that only its own tests call proves nothing."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

ENGINE = Path(__file__).resolve().parents[2] / "engine" / "coaxwright"
PHYSICS = ENGINE / "facts" / "physics"
KEPT = {
    "coax.skin_depth": "to tell a clad centre that no longer carries the current of a low frequency",
    "coax.COPPER_CONDUCTIVITY": "of skin_depth",
    "coax.VACUUM_PERMEABILITY": "of skin_depth",
    "conductors.loop_resistance": "for power up a coax, where the braid is the way back",
    "supplies.class_2_dc_amps": "for a supply that states Class 2 and no limit of its own",
    "supplies.class_2_dc_volt_amperes": "for a supply that states Class 2 and no limit of its own",
    "battery.capacity_needed": "to name the battery that a standby time asks for",
    "battery.peukert_capacity": "to name the battery that a standby time asks for",
    "battery.profile_ampere_hours": "to name the battery that a standby time asks for",
}
"""What nothing calls yet, and what it is there for. Only what is about to be used; the list gets no longer by habit."""

Name = tuple[str, str]


def names_of(node: ast.stmt) -> list[str]:
    """What a statement at the top of a module defines."""
    if isinstance(node, ast.FunctionDef | ast.ClassDef):
        return [node.name]
    if isinstance(node, ast.Assign):
        return [target.id for target in node.targets if isinstance(target, ast.Name)]
    return [node.target.id] if isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name) else []


def imported(tree: ast.AST) -> dict[str, Name]:
    """Names of the physics under the names that a module gives them; modules themselves as (module, '')."""
    found: dict[str, Name] = {}
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and node.module and node.module.startswith("coaxwright.facts.physics"):
            module = node.module.removeprefix("coaxwright.facts.physics").strip(".")
            for alias in node.names:
                found[alias.asname or alias.name] = (module, alias.name) if module else (alias.name, "")
    return found


def used_in(node: ast.AST, known: dict[str, Name]) -> Iterator[Name]:
    for each in ast.walk(node):
        if isinstance(each, ast.Name) and each.id in known:
            yield known[each.id]
        elif isinstance(each, ast.Attribute) and isinstance(each.value, ast.Name) and each.value.id in known:
            yield known[each.value.id][0], each.attr


def dead(physics: dict[str, ast.Module], product: list[ast.Module]) -> list[str]:
    """Public names at the top of the physics that nothing in the product leads to."""
    uses: dict[Name, set[Name]] = {}
    for module, tree in physics.items():
        own = {name: (module, name) for node in tree.body for name in names_of(node)}
        for node in tree.body:
            for name in names_of(node):
                uses[module, name] = set(used_in(node, {**own, **imported(tree)})) - {(module, name)}
    waiting = [each for tree in product for each in used_in(tree, imported(tree))]
    alive: set[Name] = set()
    while waiting:
        each = waiting.pop()
        if each not in alive:
            alive.add(each)
            waiting += uses.get(each, ())
    return sorted(f"{module}.{name}" for module, name in uses if (module, name) not in alive and name[0] != "_")


def test_the_search_finds_what_nothing_calls() -> None:
    module = ast.parse("A = 1\nB = 2\ndef used(): return inner() + A\ndef inner(): return 1\ndef alone(): return B\n")
    caller = ast.parse("from coaxwright.facts.physics.x import used\nprint(used())\n")
    assert dead({"x": module}, [caller]) == ["x.B", "x.alone"]
    by_module = ast.parse("from coaxwright.facts.physics import x\nprint(x.alone())\n")
    assert dead({"x": module}, [by_module]) == ["x.A", "x.inner", "x.used"]


def test_every_public_name_has_a_caller_in_the_product() -> None:
    trees = {path: ast.parse(path.read_text(encoding="utf-8")) for path in sorted(ENGINE.rglob("*.py"))}
    physics = {path.stem: tree for path, tree in trees.items() if path.parent == PHYSICS}
    found = dead(physics, [tree for path, tree in trees.items() if path.parent != PHYSICS])
    assert len(physics) > 10
    assert [name for name in found if name not in KEPT] == [], "use it, or take it away"
    assert [name for name in KEPT if name not in found] == [], "it is used now: take it off the list"
