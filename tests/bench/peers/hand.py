"""The five rules as a person would write them in Python for this one use: the measure of all others.

Two passes over the links and one over the feeds, with dictionaries; nothing is laid up beforehand.
"""

from __future__ import annotations

from peers.rows import Rows

BLIND = ("no-picture", "needs-setting")
Broken = dict[str, list[str]]
"""Subjects that break a rule, by rule; their order does not matter."""
RULES = ("loss", "shared", "encode", "output", "picture")


class Hand:
    """Plain loops."""

    name = "hand-written Python"
    package = ""
    includes = "loops over the rows with dictionaries; no load apart from them"

    def load(self, rows: Rows) -> Rows:
        """The rows as they are."""
        return rows

    def judge(self, rows: Rows) -> Broken:
        """What breaks each rule."""
        loss, picture = [], []
        exists = dict(rows.inputs)
        cameras: dict[str, int] = {}
        demand: dict[str, float] = {}
        for camera, input_, recorder, outcome, emits, taken, lost, limit, pixels, rate in rows.links:
            cameras[input_] = cameras.get(input_, 0) + 1
            demand[recorder] = demand.get(recorder, 0.0) + pixels * rate
            if exists[input_]:
                if outcome not in BLIND and lost > limit:
                    loss.append(camera)
                if outcome == "no-picture" and emits and taken:
                    picture.append(camera)
        return {
            "loss": loss,
            "shared": [name for name, there in rows.inputs if there and cameras.get(name, 0) > 1],
            "encode": [name for name, total in rows.recorders if demand.get(name, 0.0) > total],
            "output": self._outputs(rows),
            "picture": picture,
        }

    def _outputs(self, rows: Rows) -> list[str]:
        amps: dict[str, float] = {}
        collapsed = set()
        for _, output, drawn, gone in rows.feeds:
            amps[output] = amps.get(output, 0.0) + drawn
            if gone:
                collapsed.add(output)
        return [
            name
            for name, there, most in rows.outputs
            if there and name not in collapsed and amps.get(name, 0.0) > most
        ]
