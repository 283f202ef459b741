"""Short form of the mutation runs; the whole: `python -m tests.mutation.rule_mutants` and `... .code_mutants`.

The figures of the last whole run are in docs/quality.md.
"""

from __future__ import annotations

import ast
import json
import os
import subprocess
import sys

import pytest
from tests.conftest import FULL

from . import code_changes, code_mutants, room_mutants, rule_mutants

EVERY = 40 if FULL else 100
SAMPLE = "12" if FULL else "6"


def test_some_mutants_of_the_rules():
    found = rule_mutants.run(every=EVERY)
    tried = [each for each in found if each.fate != "refused"]
    survivors = [f"{each.rule}: {each.how}" for each in tried if each.fate == "survived"]
    assert len(tried) >= (30 if FULL else 12)
    assert len(survivors) <= 0.2 * len(tried), survivors


def test_a_step_is_one_of_the_last_digit():
    assert rule_mutants.steps_of("0.8") == ["0.9", "0.7"]
    assert rule_mutants.steps_of("10") == ["11", "9"]


def test_comparisons_are_moved_and_turned():
    found = dict(rule_mutants.of_expression("a.x <= 3"))
    assert set(found.values()) == {"a.x < 3", "a.x > 3", "a.x <= 4", "a.x <= 2"}


MODULE = "facts.picture.settling"


def test_mutants_of_code_differ_from_it_and_compile():
    whole = ast.unparse(code_changes.tree_of(MODULE))
    found = code_changes.mutants(MODULE)
    assert len(found) > 150
    assert len(set(found)) == len(found)
    for each in found[::5]:
        changed = code_changes.changed(each)
        assert ast.unparse(changed) != whole, each
        compile(changed, "settling.py", "exec")


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("x = a < b", {"x = a <= b", "x = a >= b"}),
        ("x = a and b", {"x = a or b"}),
        ("x = not a", {"x = a"}),
        ("x = a + 1", {"x = a - 1", "x = a + 2"}),
        ("x = -a", {"x = a"}),
        ("x = min(a, True)", {"x = max(a, True)", "x = min(a, False)"}),
        ("a.b = 'word'", {"pass", "a.b = 'wordX'"}),
        ("def f(a: int=1):\n    return a", {"def f(a: int=2):\n    return a", "def f(a: int=1):\n    return None"}),
        ("x: 'word' = b", set()),
        ("if a:\n    raise b", {"if not a:\n    raise b", "if a:\n    pass"}),
        ("'two words'\nx = 'two words'", set()),
        ("x = zip(a, b, strict=True)", set()),
    ],
)  # fmt: skip
def test_every_kind_of_change(tmp_path, monkeypatch, text, wanted):
    file = tmp_path / "some.py"
    file.write_text(text)
    monkeypatch.setattr(code_changes, "path_of", lambda _: file)
    assert {ast.unparse(code_changes.changed(each)) for each in code_changes.mutants("some")} == wanted


@pytest.mark.slow("mutants run in processes of their own")
def test_a_few_mutants_of_settling_are_run(tmp_path):
    """The whole machine on one module and one file of tests: half of them or more are killed, each by a test with a name."""
    pytest.importorskip("coverage", reason="which test runs which line is measured with coverage")
    call = [sys.executable, "-m", "tests.mutation.code_mutants", "--only", MODULE, "--sample", SAMPLE, "--seed", "5"]
    call += ["--tests", "facts/test_settling.py", "--kept", str(tmp_path)]
    environment = {**os.environ, "PYTHONPATH": str(code_changes.ENGINE)}
    done = subprocess.run(call, cwd=code_mutants.ROOT, env=environment, capture_output=True, text=True, timeout=600)
    assert done.returncode == 0, done.stderr
    fates = [json.loads(line) for line in (tmp_path / "fates.jsonl").read_text().splitlines()]
    assert len(fates) == int(SAMPLE)
    killed = [each for each in fates if each["fate"] != "survived"]
    assert len(killed) >= int(SAMPLE) // 2, done.stdout
    assert all("test_settling.py::" in each["by"] for each in killed if each["fate"] == "killed" and each["by"] != "afresh")
    assert f"{SAMPLE} mutants in" in done.stdout


def test_rooms_have_modules_and_tests_of_their_own():
    for name, room in room_mutants.ROOMS.items():
        modules = room_mutants.modules_of(room)
        named = {each for each in room.modules if not each.endswith(".")}
        assert modules, name
        assert named <= set(modules), f"{name}: no module {named - set(modules)}"
        assert all((code_mutants.ROOT / "tests" / each).exists() for each in room.tests), name


def test_mutants_of_a_room_are_the_same_for_the_same_seed():
    first = room_mutants.drawn("ranking", 25, 7)
    assert first == room_mutants.drawn("ranking", 25, 7) != room_mutants.drawn("ranking", 25, 8)
    assert len({str(each) for each in first}) >= 24
