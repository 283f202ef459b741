"""Mutation of the engine's own code, on a sample: one small change in one module, then the tests of that module.

Changes: a comparison moved over its edge or turned round, `and` for `or`, a `not` dropped, `+` for `-`, `*` for `/`, a
number one off, True for False, `min` for `max`. Each mutant runs in a process of its own, forked from one that has the
libraries loaded already; the changed source takes the module's place when it is imported. No file of the engine is
touched. A mutant is killed when a test fails, or when nothing ends within the time given.

    python -m tests.mutation.code_mutants [--each N] [--seconds N] [MODULE]...

Run from the root of the repository with `engine` on PYTHONPATH. A mutant is named by module, line and change.
"""

from __future__ import annotations

import argparse
import ast
import copy
import importlib.abc
import importlib.util
import os
import signal
import sys
import time
from pathlib import Path
from random import Random

ROOT = Path(__file__).resolve().parents[2]
ENGINE = ROOT / "engine"
OPINION = "tests/second_opinion/test_second_opinion.py"
TESTS = {
    "facts.picture.settling": ["tests/facts/test_settling.py"],
    "facts.picture.recording": ["tests/facts/test_recording.py"],
    "facts.record.storing": ["tests/facts/test_recorder_binding.py"],
    "facts.chains": ["tests/facts/test_sound_control.py"],
    "facts.picture.sound": ["tests/facts/test_sound_control.py"],
    "facts.picture.control": ["tests/facts/test_sound_control.py"],
    "facts.picture.coax_path": ["tests/facts/test_coax_path.py"],
    "facts.picture.frames": ["tests/facts/test_settling.py"],
    "facts.power.cable_ohms": ["tests/facts/power"],
    "facts.power.loads": ["tests/facts/power"],
    "facts.physics.storage": ["tests/physics/test_storage.py"],
    "facts.physics.encoding": ["tests/physics/test_encoding.py"],
    "rulebook.evaluating": ["tests/rulebook/expressions"],
    "rulebook.judging": ["tests/rulebook/judging"],
    "rulebook.functions": ["tests/rulebook/expressions"],
}
EDGES = {ast.Lt: [ast.LtE, ast.GtE], ast.LtE: [ast.Lt, ast.Gt], ast.Gt: [ast.GtE, ast.LtE], ast.GtE: [ast.Gt, ast.Lt],
         ast.Eq: [ast.NotEq], ast.NotEq: [ast.Eq], ast.Is: [ast.IsNot], ast.IsNot: [ast.Is], ast.In: [ast.NotIn],
         ast.NotIn: [ast.In]}  # fmt: skip
SUMS = {ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult}


def changes(node):
    """Each change of one node: what was done, and how to do it to a copy of the node."""
    if isinstance(node, ast.Compare) and len(node.ops) == 1:
        for sign in EDGES.get(type(node.ops[0]), ()):
            yield f"{type(node.ops[0]).__name__} to {sign.__name__}", lambda n, s=sign: n.ops.__setitem__(0, s())
    elif isinstance(node, ast.BoolOp):
        other = ast.Or if isinstance(node.op, ast.And) else ast.And
        yield f"to {other.__name__}", lambda n: setattr(n, "op", other())
    elif isinstance(node, ast.BinOp) and type(node.op) in SUMS:
        sign = SUMS[type(node.op)]
        yield f"{type(node.op).__name__} to {sign.__name__}", lambda n: setattr(n, "op", sign())
    elif isinstance(node, ast.Constant) and isinstance(node.value, bool):
        yield f"{node.value} to {not node.value}", lambda n: setattr(n, "value", not n.value)
    elif isinstance(node, ast.Constant) and isinstance(node.value, int | float):
        yield f"{node.value} to {node.value + 1}", lambda n: setattr(n, "value", n.value + 1)
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not):
        yield "not twice", lambda n: setattr(n, "operand", ast.UnaryOp(ast.Not(), n.operand))
    elif isinstance(node, ast.Name) and node.id in ("min", "max"):
        other_name = "max" if node.id == "min" else "min"
        yield f"{node.id} to {other_name}", lambda n: setattr(n, "id", other_name)


def mutants(module):
    """(line, what, source) of every mutant of a module, with annotations left alone."""
    tree = ast.parse((ENGINE / "coaxwright" / (module.replace(".", "/") + ".py")).read_text(encoding="utf-8"))
    nodes = list(ast.walk(tree))
    told = {
        id(each) for node in nodes for name in ("annotation", "returns") for each in _below(getattr(node, name, None))
    }
    for index, node in enumerate(nodes):
        if id(node) in told:
            continue
        for number, (what, _) in enumerate(changes(node)):
            fresh = copy.deepcopy(tree)
            target = list(ast.walk(fresh))[index]
            list(changes(target))[number][1](target)
            yield node.lineno, what, ast.unparse(ast.fix_missing_locations(fresh))


def _below(node):
    return [] if node is None else list(ast.walk(node))


class Replaced(importlib.abc.MetaPathFinder, importlib.abc.SourceLoader):
    """Hands out the changed source of one module, and lets all else be imported as ever."""

    def __init__(self, module, source):
        self.module, self.source = f"coaxwright.{module}", source

    def find_spec(self, name, path=None, target=None):
        return (
            importlib.util.spec_from_loader(name, self, origin=self.get_filename(name)) if name == self.module else None
        )

    def get_filename(self, name):
        return str(ENGINE / (name.replace(".", "/") + ".py"))

    def get_data(self, path):
        return self.source.encode()

    def path_stats(self, path):
        raise OSError("nothing is kept of a changed module")


def run(module, source, seconds):
    """`killed`, `slow` (no end within the time: killed too) or `survived`."""
    child = os.fork()
    if child == 0:
        _child(module, source)
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        done, status = os.waitpid(child, os.WNOHANG)
        if done:
            return "survived" if status == 0 else "killed"
        time.sleep(0.05)
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    return "slow"


def _child(module, source):
    """Run the tests of the module, and where they hold, the second opinion; never returns."""
    silent = os.open(os.devnull, os.O_WRONLY)
    os.dup2(silent, 1)
    os.dup2(silent, 2)
    sys.meta_path.insert(0, Replaced(module, source))
    import pytest

    plain = ["-q", "-x", "-p", "no:cacheprovider", "-p", "no:xdist"]
    for paths in ([*TESTS[module]], [OPINION, "-k", "0 and open"]):
        if pytest.main([*plain, *paths]) != 0:
            os._exit(1)
    os._exit(0)


def main(arguments):
    options = argparse.ArgumentParser()
    options.add_argument("modules", nargs="*", default=list(TESTS))
    options.add_argument("--each", type=int, default=4)
    options.add_argument("--seconds", type=float, default=120)
    chosen = options.parse_args(arguments)
    os.environ["COAXWRIGHT_CACHE"] = "off"
    import hypothesis  # noqa: F401 - loaded once, before the forks
    import pydantic  # noqa: F401
    import pytest  # noqa: F401

    counts = {"killed": 0, "slow": 0, "survived": 0}
    for module in chosen.modules:
        every = list(mutants(module))
        if (
            run(module, (ENGINE / "coaxwright" / (module.replace(".", "/") + ".py")).read_text(), chosen.seconds)
            != "survived"
        ):
            print(f"{module}: its tests do not hold as it is, or take longer than {chosen.seconds} s", flush=True)
            continue
        for line, what, source in Random(module).sample(every, min(chosen.each, len(every))):
            fate = run(module, source, chosen.seconds)
            counts[fate] += 1
            print(f"{fate}: {module}:{line}: {what} (of {len(every)})", flush=True)
    tried = sum(counts.values())
    print(f"{tried} mutants: {tried - counts['survived']} killed, {counts['survived']} survived")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
