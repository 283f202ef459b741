"""Each power path as one resistance, with the sheet of every run of cable on it."""

from __future__ import annotations

from typing import Any

from coaxwright.facts.cable_ohms import PathOhms
from coaxwright.facts.context import Context
from coaxwright.facts.sheets import Run
from coaxwright.model.site import Hop
from coaxwright.topology.records import CablePath, Pointer

POWER_CARRIERS = frozenset(("power", "pair", "network"))
"""Cables whose conductors may carry power; coax and sound lines are not made for it."""


class PowerRun:
    """One power path: sums over its hops, None where not known; `missing_...` say what would supply them."""

    __slots__ = (
        "cable", "metres", "missing_metres", "missing_ohms", "missing_size", "ohms", "path", "runs", "size",
        "temperature",
    )  # fmt: skip

    def __init__(self, path: CablePath) -> None:
        self.path = path
        self.ohms: float | None = 0.0
        self.metres: float | None = 0.0
        self.size: float | None = None
        self.cable: str | None = None
        self.temperature: float | None = None
        self.missing_ohms: tuple[str, ...] = ()
        self.missing_metres: tuple[str, ...] = ()
        self.missing_size: tuple[str, ...] = ()
        self.runs: list[Run] = []


class PowerRuns:
    """Reads power paths of one component. `setting` of a run is the hop's own, else that of the owner's place."""

    __slots__ = ("_context", "_ohms", "_templates")

    def __init__(self, context: Context) -> None:
        ledger, boxes = context.ledger, context.loaded.site.boxes
        self._context = context
        self._ohms = PathOhms(
            context.part, lambda: float(ledger.take("conductor-temperature")), lambda box: boxes[box].part
        )
        self._templates: dict[str, tuple[tuple[tuple[str, Any], ...], tuple[tuple[str, str], ...]]] = {}

    def read(self, path: CablePath, setting: str | None) -> PowerRun:
        """Sums and run sheets of one path."""
        run = PowerRun(path)
        if path.hops is None:
            missing = ("/".join(map(str, path.pointer)) + "/over",)
            run.ohms = run.metres = None
            run.missing_ohms = run.missing_metres = run.missing_size = missing
            return run
        for index, hop in enumerate(path.hops):
            self._add(run, hop, (*path.pointer, "over", index), setting)
        return run

    def _add(self, run: PowerRun, hop: Hop, pointer: Pointer, setting: str | None) -> None:
        ohms, degc, missing = self._ohms.hop(hop, pointer)
        if ohms is None:
            run.missing_ohms += missing
            run.ohms = None
        elif run.ohms is not None:
            run.ohms += ohms
        if degc is not None and (run.temperature is None or degc > run.temperature):
            run.temperature = degc
        if hop.cable is not None:
            self._add_cable(run, hop, hop.cable, pointer, setting)

    def _add_cable(self, run: PowerRun, hop: Hop, cable: str, pointer: Pointer, setting: str | None) -> None:
        sheet = Run()
        sheet.subject = subject = "/".join(map(str, pointer))
        sheet.pointer = pointer
        sheet.owner = run.path.subject
        sheet.use = "power"
        sheet.cable = cable
        if hop.length is None:
            sheet.lacks("metres", subject + "/length")
            run.missing_metres += (subject + "/length",)
            run.metres = None
        else:
            sheet.metres = hop.length
            if run.metres is not None:
                run.metres += hop.length
        if run.cable is None:
            run.cable = cable
        self._from_part(run, sheet, cable)
        setting = hop.setting or setting
        if setting is None:
            sheet.lacks("setting", subject + "/setting", f"{run.path.subject}/place/setting")
        else:
            sheet.setting = setting
        run.runs.append(sheet)

    def _from_part(self, run: PowerRun, sheet: Run, cable: str) -> None:
        """What the cable's part states; the same for every run of it."""
        known, lacking = self._templates.get(cable) or self._template(cable)
        for field, value in known:
            setattr(sheet, field, value)
        for field, supply in lacking:
            sheet.lacks(field, supply)
        size = sheet.known("conductor_size")
        if size is None:
            run.missing_size += (f"parts/{cable}/conductor/size",)
        elif run.size is None or size < run.size:
            run.size = size

    def _template(self, cable: str) -> tuple[tuple[tuple[str, Any], ...], tuple[tuple[str, str], ...]]:
        part = self._context.part(cable)
        conductor = part.conductor
        stated = {
            "rated": (part.rated, "rated"),
            "conductor_size": (conductor and conductor.size, "conductor/size"),
            "conductor_material": (conductor and conductor.material, "conductor/material"),
            "amps_max": (conductor and conductor.amps, "conductor/amps"),
            "impedance": (part.impedance, "impedance"),
            "centre": (part.centre, "centre"),
        }
        known = [(field, value) for field, (value, _) in stated.items() if value is not None]
        known.append(("fits_use", not POWER_CARRIERS.isdisjoint(part.carries)))
        lacking = [(field, f"parts/{cable}/{at}") for field, (value, at) in stated.items() if value is None]
        made = self._templates[cable] = tuple(known), tuple(lacking)
        return made
