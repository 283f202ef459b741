"""The five rules as a logic program for an answer set solver.

Its numbers are whole and of 32 bits: losses and currents go in as millionths, picture elements a second as thousands.
The program has one answer set, which grounding alone finds: the answers are read from the ground atoms, nothing is searched.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from peers.hand import RULES, Broken
from peers.rows import Rows

PROGRAM = """
blind("no-picture"). blind("needs-setting").
broken("loss", C) :- link(C, I, R, O, E, T, L, M, P), input(I, 1), not blind(O), L > M.
broken("shared", I) :- input(I, 1), #count { C : link(C, I, R, O, E, T, L, M, P) } > 1.
broken("encode", R) :- recorder(R, A), #sum { P, C : link(C, I, R, O, E, T, L, M, P) } > A.
broken("output", O) :- output(O, 1, M), not feed(_, O, _, 1), #sum { A, C : feed(C, O, A, G) } > M.
broken("picture", C) :- link(C, I, R, "no-picture", 1, 1, L, M, P), input(I, 1).
"""


def _facts(rows: Rows) -> Iterator[str]:
    for row in rows.links:
        camera, input_, recorder, outcome, emits, taken, lost, limit, pixels, rate = row
        yield (
            f'link("{camera}","{input_}","{recorder}","{outcome}",{emits:d},{taken:d},'
            f"{lost * 1e6:.0f},{limit * 1e6:.0f},{pixels * rate / 1e3:.0f})."
        )
    for name, there in rows.inputs:
        yield f'input("{name}",{there:d}).'
    for name, total in rows.recorders:
        yield f'recorder("{name}",{total / 1e3:.0f}).'
    for name, there, most in rows.outputs:
        yield f'output("{name}",{there:d},{most * 1e6:.0f}).'
    for camera, output, amps, collapsed in rows.feeds:
        yield f'feed("{camera}","{output}",{amps * 1e6:.0f},{collapsed:d}).'


class Clingo:
    """clingo: gringo grounds, nothing is left to solve."""

    name = "clingo"
    package = "clingo"
    includes = "the rows as text of facts, parsed; the program is ground anew for each set of rows"

    def __init__(self) -> None:
        import clingo

        self.control = clingo.Control

    def load(self, rows: Rows) -> Any:
        """A control that has read program and facts."""
        control = self.control(["--warn=none"])
        control.add("base", [], PROGRAM + "\n".join(_facts(rows)))
        return control

    def judge(self, control: Any) -> Broken:
        """Ground, and read."""
        control.ground([("base", [])])
        found: Broken = {name: [] for name in RULES}
        for atom in control.symbolic_atoms.by_signature("broken", 2):
            rule, subject = atom.symbol.arguments
            found[rule.string].append(subject.string)
        return found
