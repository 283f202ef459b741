"""Short form of the mutation runs; the whole: `python -m tests.mutation.rule_mutants` and `... .code_mutants`.

The figures of the last whole run are in docs/quality.md.
"""

from __future__ import annotations

import ast

from . import code_mutants, rule_mutants

EVERY = 45


def test_every_45th_mutant_of_the_rules():
    found = rule_mutants.run(every=EVERY)
    tried = [each for each in found if each.fate != "refused"]
    survivors = [f"{each.rule}: {each.how}" for each in tried if each.fate == "survived"]
    assert len(tried) >= 30
    assert len(survivors) <= 0.2 * len(tried), survivors


def test_a_step_is_one_of_the_last_digit():
    assert rule_mutants.steps_of("0.8") == ["0.9", "0.7"]
    assert rule_mutants.steps_of("10") == ["11", "9"]


def test_comparisons_are_moved_and_turned():
    found = dict(rule_mutants.of_expression("a.x <= 3"))
    assert set(found.values()) == {"a.x < 3", "a.x > 3", "a.x <= 4", "a.x <= 2"}


def test_mutants_of_code_differ_from_it_and_compile():
    whole = ast.unparse(ast.parse((code_mutants.ENGINE / "coaxwright/facts/chains.py").read_text(encoding="utf-8")))
    found = list(code_mutants.mutants("facts.chains"))
    assert len(found) >= 5
    for _, what, source in found:
        assert source != whole or "twice" in what
        compile(source, "chains.py", "exec")
