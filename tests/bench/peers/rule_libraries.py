"""The five rules for two general rule libraries in Python."""

from __future__ import annotations

from typing import Any

from peers.hand import RULES, Broken
from peers.rows import Rows
from peers.trees import Trees, trees_of

TEXTS = {
    "loss": ("link", "input['present'] and not (outcome in ['no-picture', 'needs-setting']) and loss > loss_limit"),
    "shared": ("input", "present and cameras.length > 1"),
    "encode": ("recorder", "$sum([l['pixels'] * l['rate'] for l in links]) > encode_total"),
    "output": (
        "output",
        "present and not $any([f['collapsed'] for f in feeds]) and $sum([f['amps'] for f in feeds]) > amps_max",
    ),
    "picture": ("link", "input['present'] and emits_set_mode and family_taken and outcome == 'no-picture'"),
}
KINDS = {name: kind for name, (kind, _) in TEXTS.items()}
CONDITIONS = {
    "loss": [("present", "is_true", None), ("blind", "is_false", None), ("loss_beyond", "greater_than", 0)],
    "shared": [("present", "is_true", None), ("cameras", "greater_than", 1)],
    "encode": [("encode_beyond", "greater_than", 0)],
    "output": [("present", "is_true", None), ("collapsed", "is_false", None), ("amps_beyond", "greater_than", 0)],
    "picture": [("present", "is_true", None), ("fits", "is_true", None), ("outcome", "equal_to", "no-picture")],
}


class RuleEngine:
    """rule-engine: expressions over objects."""

    name = "rule-engine"
    package = "rule-engine"
    includes = "a tree of dictionaries for each subject; its numbers are decimals of Python"

    def __init__(self) -> None:
        import rule_engine

        context = rule_engine.Context(resolver=rule_engine.resolve_item, mapping_attribute_lookup=False)
        self.rules = {name: (kind, rule_engine.Rule(text, context=context)) for name, (kind, text) in TEXTS.items()}

    def load(self, rows: Rows) -> Trees:
        """A tree for each subject."""
        return trees_of(rows)

    def judge(self, trees: Trees) -> Broken:
        """What matches."""
        return {
            name: [subject for subject, tree in trees[kind] if rule.matches(tree)]
            for name, (kind, rule) in self.rules.items()
        }


class BusinessRules:
    """business-rules: conditions in data over variables that are methods of Python."""

    name = "business-rules"
    package = "business-rules"
    includes = "a tree of dictionaries for each subject; sums and differences in methods, which conditions compare with figures"

    def __init__(self) -> None:
        from business_rules import engine

        self.run = engine.run
        self.variables = _variables()
        self.rules = {name: self._rule(rows) for name, rows in CONDITIONS.items()}

    def _rule(self, rows: list[tuple[str, str, Any]]) -> dict[str, Any]:
        conditions = [{"name": name, "operator": operator, "value": value} for name, operator, value in rows]
        return {"conditions": {"all": conditions}, "actions": []}

    def load(self, rows: Rows) -> Trees:
        """A tree for each subject."""
        return trees_of(rows)

    def judge(self, trees: Trees) -> Broken:
        """What triggers its rule."""
        found: Broken = {}
        for name in RULES:
            rule, make = self.rules[name], self.variables[KINDS[name]]
            found[name] = [subject for subject, tree in trees[KINDS[name]] if self.run(rule, make(tree), None)]
        return found


def _variables() -> dict[str, Any]:
    """Classes of variables for each kind of subject."""
    from business_rules.variables import (
        BaseVariables,
        boolean_rule_variable,
        numeric_rule_variable,
        string_rule_variable,
    )

    truth, number, text = boolean_rule_variable(), numeric_rule_variable(), string_rule_variable()

    class Variables(BaseVariables):
        def __init__(self, tree: dict[str, Any]) -> None:
            self.tree = tree

    def variables(kinds: dict[str, tuple[Any, Any]]) -> Any:
        made = {name: wrap(_method(name, read)) for name, (wrap, read) in kinds.items()}
        return type("Of", (Variables,), made)

    return {
        "link": variables({
            "present": (truth, lambda tree: tree["input"]["present"]),
            "blind": (truth, lambda tree: tree["outcome"] in ("no-picture", "needs-setting")),
            "loss_beyond": (number, lambda tree: tree["loss"] - tree["loss_limit"]),
            "fits": (truth, lambda tree: tree["emits_set_mode"] and tree["family_taken"]),
            "outcome": (text, lambda tree: tree["outcome"]),
        }),
        "input": variables({
            "present": (truth, lambda tree: tree["present"]),
            "cameras": (number, lambda tree: len(tree["cameras"])),
        }),
        "recorder": variables({
            "encode_beyond": (
                number, lambda tree: sum(each["pixels"] * each["rate"] for each in tree["links"]) - tree["encode_total"]
            ),
        }),
        "output": variables({
            "present": (truth, lambda tree: tree["present"]),
            "collapsed": (truth, lambda tree: any(each["collapsed"] for each in tree["feeds"])),
            "amps_beyond": (number, lambda tree: sum(each["amps"] for each in tree["feeds"]) - tree["amps_max"]),
        }),
    }  # fmt: skip


def _method(name: str, read: Any) -> Any:
    def method(self: Any) -> Any:
        return read(self.tree)

    method.__name__ = name
    return method
