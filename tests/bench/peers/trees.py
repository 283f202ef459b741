"""What a library that judges one object at a time is given: for each subject a tree of dictionaries and lists."""

from __future__ import annotations

from typing import Any

from peers.rows import Rows

Trees = dict[str, list[tuple[str, dict[str, Any]]]]
"""By kind: the id and the tree of each subject. Trees of one site share their branches."""


def trees_of(rows: Rows) -> Trees:
    """All subjects of all rules."""
    inputs: dict[str, dict[str, Any]] = {row.input: {"present": row.exists, "cameras": []} for row in rows.inputs}
    recorders: dict[str, dict[str, Any]] = {
        row.recorder: {"encode_total": row.encode_total, "links": []} for row in rows.recorders
    }
    outputs: dict[str, dict[str, Any]] = {
        row.output: {"present": row.exists, "amps_max": row.amps_max, "feeds": []} for row in rows.outputs
    }
    links = []
    for camera, input_, recorder, outcome, emits, taken, loss, limit, pixels, rate in rows.links:
        link = {
            "input": inputs[input_], "outcome": outcome, "emits_set_mode": emits, "family_taken": taken,
            "loss": loss, "loss_limit": limit,
        }  # fmt: skip
        links.append((camera, link))
        inputs[input_]["cameras"].append(camera)
        recorders[recorder]["links"].append({"pixels": float(pixels), "rate": rate})
    for _, output, amps, collapsed in rows.feeds:
        outputs[output]["feeds"].append({"amps": amps, "collapsed": collapsed})
    return {
        "link": links, "input": list(inputs.items()), "recorder": list(recorders.items()), "output": list(outputs.items()),
    }  # fmt: skip
