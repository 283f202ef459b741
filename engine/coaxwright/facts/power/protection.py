"""Protective devices along a power tree, and what flows through it while everything starts at once.

Says which device stands before a cable and what it is rated for; whether cable, device and fault current go
together is for a licensed electrician, and nothing here says that they do.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from coaxwright.facts.physics.cold_start import start_amps
from coaxwright.facts.physics.supplies import rectified_peak
from coaxwright.facts.power.loads import Load
from coaxwright.facts.power.power_runs import PowerRun
from coaxwright.facts.power.warm_air import opens_at
from coaxwright.facts.sheets import Output, Run, Supply
from coaxwright.model.site import Junction
from coaxwright.portable import added
from coaxwright.topology.records import SupplyTree

Device = tuple[float | None, tuple[str, ...]]
"""Rated amps of a protective device, and what would supply them."""


def bind_protection(
    tree: SupplyTree, runs: Sequence[PowerRun], outputs: Mapping[int, Output], junctions: Mapping[str, Junction]
) -> None:
    """The least protective device before every run."""
    before: list[Device] = []
    opening: list[float | None] = []
    for index, parent in enumerate(tree.parents):
        if parent < 0:
            device = _of_output(outputs[index])
            opens = None if device[0] is None else device[0] * opens_at(outputs[index].protection)
        else:
            junction = junctions[tree.paths[parent].owner]
            device, opens = _lesser(before[parent], junction), _opening(opening[parent], junction)
        before.append(device)
        opening.append(opens)
        for run in runs[index].runs:
            _put(run, "amps_protective", *device)
            _put(run, "amps_opening", opens, device[1])


def _put(run: Run, field: str, amps: float | None, missing: tuple[str, ...]) -> None:
    if amps is None:
        run.lacks(field, *missing)
    else:
        setattr(run, field, amps)


def _opening(before: float | None, junction: Junction) -> float | None:
    """The least current that opens a device for certain, past one more junction."""
    own = junction.protective_device
    return before if own is None or before is None else min(before, own * opens_at("junction"))


def _of_output(output: Output) -> Device:
    """What stands in a supply's output; an output without a device of its own protects nothing.

    The only output of a supply is limited as its supply is rated.
    """
    supply = output.supply
    lacking = [output.missing("protection")] if output.known("protection") is None else []
    rated = output.known("amps_max")
    if rated is None and supply.known("outputs") == 1:
        rated = supply.known("amps_max")
    if rated is None:
        lacking.append(output.missing("amps_max"))
    if lacking:
        return None, tuple(each for missing in lacking for each in missing)
    return (math.inf if output.protection == "none" else rated), ()


def _lesser(before: Device, junction: Junction) -> Device:
    """The lesser of what stands before a junction and in it; not known while one of them is not."""
    own = junction.protective_device
    return before if own is None or before[0] is None else (min(own, before[0]), ())


def bind_start(
    tree: SupplyTree, runs: Sequence[PowerRun], loads: Sequence[Load | None], outputs: Mapping[int, Output],
    supply: Supply, volts: float, source_ohm: float | None,
) -> None:  # fmt: skip
    """Currents of a cold start, for the supply and its outputs.

    Known where every device states its inrush and every resistance is known; nobody pays for it where no
    device states one.
    """
    stated = [load is not None and load.inrush is not None for load in loads]
    supply.inrush_stated = added(stated)
    members = dict.fromkeys(outputs.values())
    for output in members:
        output.inrush_stated = 0
    if not supply.inrush_stated:
        return
    roots = _roots(tree)
    for index, each in enumerate(stated):
        outputs[roots[index]].inrush_stated += each
    missing = [
        (*run.missing_ohms, *(() if load is None else load.missing_inrush))
        for run, load in zip(runs, loads, strict=True)
    ]
    if source_ohm is None:
        missing = [(*each, *supply.missing("amps_max")) for each in missing]
    for index, lacking in enumerate(missing):
        if lacking:
            supply.lacks("amps_start", *lacking)
            outputs[roots[index]].lacks("amps_start", *lacking)
    peak = rectified_peak(volts) if supply.gives == "ac" else volts
    inrush = [0.0 if load is None else load.inrush or 0.0 for load in loads]
    amps, total = start_amps(tree.parents, [run.ohms or 0.0 for run in runs], inrush, peak, source_ohm or 0.0)
    if not any(missing):
        supply.amps_start = total
    opened = {outputs[roots[index]] for index, lacking in enumerate(missing) if lacking}
    for output in members:
        if output not in opened:
            output.amps_start = added(amps[index] for index, each in outputs.items() if each is output)


def _roots(tree: SupplyTree) -> list[int]:
    roots: list[int] = []
    for index, parent in enumerate(tree.parents):
        roots.append(index if parent < 0 else roots[parent])
    return roots
