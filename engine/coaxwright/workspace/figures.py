"""The figures by which a part is told from its neighbours in a list: a few words each, from what its entry states."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from coaxwright.model.camera_parts import CameraPart
from coaxwright.model.parts import Part
from coaxwright.model.quantities import format_quantity
from coaxwright.model.recorder_parts import DiskPart, RecorderPart
from coaxwright.model.wiring_parts import CablePart, SupplyPart


def part_figures(part: Part) -> str:
    """What counts of a part when one is chosen, in one line."""
    told = [*_OF_KIND.get(part.kind, _nothing)(part)]
    if part.price is not None:
        told.append(f"{part.price:g} {part.currency or ''}".strip())
    return ", ".join(told) or (part.title or "")


def _said(value: float | None, unit: str, after: str = "") -> Iterator[str]:
    if value is not None:
        yield f"{format_quantity(value, unit)}{after}"


def _camera(part: CameraPart) -> Iterator[str]:
    modes = [mode for each in part.emits for mode in _many(each.mode)]
    if part.network is not None:
        modes.append(part.network.mode)
    largest = max(modes, key=lambda mode: mode.width * mode.height, default=None)
    if largest is not None:
        yield f"{largest.width * largest.height / 1e6:.3g} MP"
    families = dict.fromkeys(family for each in part.emits for family in _many(each.family))
    yield " ".join(families).upper() if families else "network"
    if part.power is not None:
        yield from _said(part.power.watts_night, "W")
    if part.night is not None and part.night.lamp_range is not None:
        yield from _said(part.night.lamp_range, "m", " lamp")


def _recorder(part: RecorderPart) -> Iterator[str]:
    yield f"{sum(len(each.channels) for each in part.inputs)} inputs"
    if part.encodes_total is not None:
        yield f"{part.encodes_total / 1e6:.4g} Mpx/s"
    if part.bays is not None:
        yield f"{part.bays} bays"


def _supply(part: SupplyPart) -> Iterator[str]:
    yield from _said(part.volts, "V")
    yield from _said(part.amps, "A")
    if part.outputs is not None:
        yield f"{part.outputs} outputs"


def _cable(part: CablePart) -> Iterator[str]:
    if part.impedance is not None:
        yield from _said(part.impedance, "ohm")
    conductor = part.conductor
    if conductor is not None:
        yield from _said(conductor.size, "mm2")
        if conductor.resistance is not None:
            yield f"{conductor.resistance * 1000:.3g} ohm/km"
    metal = part.centre or (conductor.material if conductor is not None else None)
    if metal is not None:
        yield metal.replace("-", " ")
    if part.rated is not None:
        yield part.rated


def _disk(part: DiskPart) -> Iterator[str]:
    yield f"{part.capacity / 1e12:.3g} TB"
    if part.continuous is not None:
        yield "rated to run all the time" if part.continuous else "not rated to run all the time"


def _nothing(part: Part) -> Iterator[str]:
    if part.title:
        yield part.title


def _many(value: str | tuple[object, ...]) -> tuple[Any, ...]:
    """One or several of a thing that may be written either way."""
    return (value,) if isinstance(value, str) or hasattr(value, "width") else tuple(value)


_OF_KIND: dict[str, Callable[[Any], Iterator[str]]] = {
    "camera": _camera, "recorder": _recorder, "supply": _supply, "cable": _cable, "disk": _disk,
}  # fmt: skip
