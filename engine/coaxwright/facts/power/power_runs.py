"""Each power path as one resistance, with the sheet of every run of cable on it."""

from __future__ import annotations

from typing import Any, NamedTuple

from coaxwright.facts.context import Context
from coaxwright.facts.power.cable_ohms import ConductorOhms, HopOhms, box_ohms, coax_ohms, conductor_ohms, hop_ohms
from coaxwright.facts.power.conductor_limits import Limits, conductor_limits
from coaxwright.facts.power.own_heat import HeatedRun, full_amps, heated_run
from coaxwright.facts.sheets import Run
from coaxwright.model.site import Hop, Place
from coaxwright.model.wiring_parts import CablePart
from coaxwright.topology.records import CablePath, Pointer

POWER_CARRIERS = frozenset(("power", "pair", "network"))
"""Cables whose conductors may carry power; coax and sound lines are not made for it."""


class Piece(NamedTuple):
    """One piece of a path as it was read: a box, or a run of cable with the figures of its conductors and its sheet, which
    has the temperature that was used.
    """

    hop: Hop
    ohms: HopOhms
    figures: ConductorOhms | None = None
    sheet: Run | None = None


class PowerRun:
    """One power path: sums over its hops, None where not known; `missing_...` say what would supply them. `pieces` are
    those with a resistance, source first.
    """

    __slots__ = (
        "cable", "heated", "metres", "missing_metres", "missing_ohms", "missing_size", "ohms", "path", "pieces", "runs",
        "size", "temperature",
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
        self.pieces: list[Piece] = []
        self.heated: list[tuple[HeatedRun, Run]] = []


class _CableFacts(NamedTuple):
    """What follows from a cable's part for every run of it: resistance, stated fields, and fields it leaves
    out.
    """

    ohms: ConductorOhms
    stated: tuple[tuple[str, Any], ...]
    absent: dict[str, tuple[str, ...]]
    size: float | None
    missing_size: tuple[str, ...]
    full_amps: float | None


class PowerRuns:
    """Reads power paths of one component. `setting` of a run is the hop's own, else its owner's."""

    __slots__ = ("_context",)

    def __init__(self, context: Context) -> None:
        self._context = context

    def read(self, path: CablePath, place: Place | None, pairs: int | None = None, *, over_coax: bool = False) -> PowerRun:
        """Sums and run sheets of one path; `place` is that of its owner.

        `pairs` is given for power over Ethernet: every run is fed over so many, half of them out, half back, and
        converters are no resistance. `over_coax`: its owner takes power over coax, which is one pair of centre and braid.
        """
        run = PowerRun(path)
        if path.hops is None:
            missing = ("/".join(map(str, path.pointer)) + "/over",)
            run.ohms = run.metres = None
            run.missing_ohms = run.missing_metres = run.missing_size = missing
            return run
        for index, hop in enumerate(path.hops):
            pointer = (*path.pointer, "over", index)
            if hop.cable is None:
                part_id = self._context.loaded.site.boxes[hop.box or ""].part
                part = self._context.part(part_id)
                if pairs is None or part.does != "converter":
                    ohms = box_ohms(part_id, part)
                    run.pieces.append(Piece(hop, ohms))
                    self._add_ohms(run, ohms)
            else:
                fed = hop if pairs is None else hop.model_copy(update={"pairs": pairs})
                self._add_cable(run, fed, hop.cable, pointer, place, over_coax)
        return run

    def _add_ohms(self, run: PowerRun, hop: HopOhms) -> None:
        ohms, degc, missing = hop
        if ohms is None:
            run.missing_ohms += missing
            run.ohms = None
        elif run.ohms is not None:
            run.ohms += ohms
        if degc is not None and (run.temperature is None or degc > run.temperature):
            run.temperature = degc

    def _add_cable(
        self, run: PowerRun, hop: Hop, cable: str, pointer: Pointer, place: Place | None, over_coax: bool
    ) -> None:
        context, facts = self._context, self._cable(cable, over_coax)
        degc = context.ledger.take("conductor-temperature") if hop.temperature is None else hop.temperature
        ohms = hop_ohms(hop, facts.ohms, degc, pointer)
        self._add_ohms(run, ohms)
        if run.cable is None:
            run.cable = cable
        run.missing_size += facts.missing_size
        if facts.size is not None and (run.size is None or facts.size < run.size):
            run.size = facts.size
        sheet = self._sheet(run, cable, pointer, facts)
        sheet.temperature = degc
        self._limit(sheet, hop, cable, degc if hop.temperature is not None else air_at(place, degc))
        self._place(run, sheet, hop, None if place is None else place.setting)
        run.runs.append(sheet)
        run.pieces.append(Piece(hop, ohms, facts.ohms, sheet))
        heated = heated_run(hop, facts.ohms, ohms.ohms, degc, facts.full_amps)
        if heated is not None:
            run.heated.append((heated, sheet))

    def _limit(self, sheet: Run, hop: Hop, cable: str, air: float) -> None:
        """What the conductors may carry in that air, and the greatest device before them."""
        key = ("conductor_limits", cable, hop.laid, hop.bunched, air)
        limits: Limits | None = self._context.memo.get(key)
        if limits is None:
            limits = self._context.memo[key] = conductor_limits(self._context.part(cable), hop, air)
        sheet.air = air
        if limits.amps is None or limits.device is None:
            for field in ("amps_max", "amps_basis", "device_max"):
                sheet.lacks(field, *(f"parts/{cable}/{name}" for name in limits.missing))
            return
        pairs = hop.pairs or 1
        sheet.amps_max, sheet.device_max, sheet.amps_basis = limits.amps * pairs, limits.device * pairs, limits.basis
        if limits.assumed:
            self._context.ledger.take("conductor-current")

    def _sheet(self, run: PowerRun, cable: str, pointer: Pointer, facts: _CableFacts) -> Run:
        sheet = Run()
        sheet.subject, sheet.pointer = "/".join(map(str, pointer)), pointer
        sheet.owner, sheet.use, sheet.cable = run.path.subject, "power", cable
        sheet.told_above = self._context.topology.lists.is_network_cable(run.path)
        sheet.absent = facts.absent.copy()
        for name, value in facts.stated:
            setattr(sheet, name, value)
        return sheet

    def _place(self, run: PowerRun, sheet: Run, hop: Hop, setting: str | None) -> None:
        """Length and setting of a run."""
        if hop.metres is None:
            sheet.lacks("metres", sheet.subject + "/length")
            run.missing_metres += (sheet.subject + "/length",)
            run.metres = None
        else:
            sheet.metres = hop.metres
            if run.metres is not None:
                run.metres += hop.metres
        setting = hop.setting or setting
        if setting is None:
            sheet.lacks("setting", sheet.subject + "/setting", f"{sheet.owner}/place/setting")
        else:
            sheet.setting = setting

    def _cable(self, cable: str, over_coax: bool) -> _CableFacts:
        key = ("power_runs", cable, over_coax)
        facts: _CableFacts | None = self._context.memo.get(key)
        if facts is None:
            facts = self._context.memo[key] = _cable_facts(cable, self._context.part(cable), over_coax)
        return facts


def air_at(place: Place | None, assumed: float) -> float:
    """Warmest air at the place of a run's owner, where it is written, else the assumed one."""
    return assumed if place is None or place.ambient_max is None else place.ambient_max


def _cable_facts(cable: str, part: CablePart, over_coax: bool) -> _CableFacts:
    conductor, powered_coax = part.conductor, over_coax and "coax" in part.carries
    fields = {
        "rated": (part.rated, "rated"),
        "conductor_size": (conductor and conductor.size, "conductor/size"),
        "conductor_material": (conductor and conductor.material, "conductor/material"),
        "impedance": (part.impedance, "impedance"),
        "centre": (part.centre, "centre"),
    }
    stated = [(name, value) for name, (value, _) in fields.items() if value is not None]
    stated.append(("fits_use", powered_coax or not POWER_CARRIERS.isdisjoint(part.carries)))
    stated.append(("paired", part.paired))
    absent: dict[str, tuple[str, ...]] = {
        name: (f"parts/{cable}/{at}",) for name, (value, at) in fields.items() if value is None
    }
    size = conductor.size if conductor else None
    missing = () if size is not None else (f"parts/{cable}/conductor/size",)
    ohms = coax_ohms(part) if powered_coax else conductor_ohms(part)
    return _CableFacts(ohms, tuple(stated), absent, size, missing, full_amps(conductor))
