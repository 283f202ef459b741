"""A drawn way of cables and boxes as sheets: its hops, its runs, and what they sum to at one frequency.

Reads only the way and the parts on it. Which frequency counts is for the caller; what cables and boxes do is
worked out in `coax_path`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from coaxwright.facts.context import Context
from coaxwright.facts.picture.camera_binding import absent_of
from coaxwright.facts.picture.coax_path import Known, Shape, box_loss, fits, medium_of
from coaxwright.facts.picture.signal_cache import SignalCache
from coaxwright.facts.sheets import Hop, Run
from coaxwright.immutable import immutable
from coaxwright.model.site import Hop as HopEntry
from coaxwright.model.wiring_parts import CablePart
from coaxwright.topology.records import CablePath, Pointer

_BLOCKS = ("blocks_sound", "blocks_control", "blocks_firmware")


class _At(NamedTuple):
    """Where a piece of a way stands: subject path and document path."""

    subject: str
    pointer: Pointer


@dataclass(slots=True, eq=False, repr=False)
class Way:
    """Sums over one way, and what is lacking; `shape` is None where nobody wrote what it runs over."""

    hops: list[Hop] = field(default_factory=list)
    runs: list[Run] = field(default_factory=list)
    shape: Shape | None = None
    metres: float = 0.0
    runs_db: float = 0.0
    fixed_db: float = 0.0
    joints: int = 0
    lacking_metres: tuple[str, ...] = ()
    lacking_loss: tuple[str, ...] = ()


@immutable
class CableWords:
    """What a cable part states of a run: values by field, and what would supply those it leaves out.

    `by_size`: the site names a size of coax only (`RG-59`), which says nothing of the centre conductor.
    """

    known: tuple[tuple[str, Any], ...]
    absent: Mapping[str, tuple[str, ...]]
    medium: str
    by_size: bool


class PathBinder:
    """Makes the sheets of ways for one component; `context.ledger` counts what is assumed."""

    __slots__ = (
        "_alpha",
        "_boxes",
        "_context",
        "_degc",
        "_joint",
        "_memory",
        "assumed_degc",
        "joints",
        "runs",
        "sizes",
    )

    def __init__(self, context: Context, memory: SignalCache) -> None:
        values = context.ledger.values
        self._context, self._memory = context, memory
        self._boxes = context.loaded.site.boxes
        self._degc = float(values["conductor-temperature"].value)
        self._joint = float(values["joint-loss"].value)
        self._alpha = {name: float(values[f"{name}-loss-temperature-coefficient"].value) for name in ("coax", "pair")}
        self.assumed_degc = self.joints = self.runs = self.sizes = 0

    def count(self) -> None:
        """Enter what was assumed for the ways read so far into the ledger."""
        ledger = self._context.ledger
        counted = (self.assumed_degc, self.joints, self.sizes)
        for name, uses in zip(("conductor-temperature", "joint-loss", "coax-by-size"), counted, strict=True):
            if uses:
                ledger.take(name, uses)
        if self.runs:
            ledger.take("coax-loss-temperature-coefficient", self.runs)
        self.assumed_degc = self.joints = self.runs = self.sizes = 0

    def read(self, path: CablePath, setting: str | None, mhz: float | None, lacking: tuple[str, ...]) -> Way:
        """Sheets and sums of one way at `mhz`; where that is None, `lacking` says what would give it.

        `setting` is where the camera stands, for runs that say nothing else.
        """
        way = Way()
        if path.hops is None:
            way.lacking_metres = way.lacking_loss = ("/".join(map(str, path.pointer)) + "/over",)
            return way
        way.lacking_loss = lacking if mhz is None else ()
        parts = tuple(self._part_id(hop) for hop in path.hops)
        way.shape = shape = self._memory.shape(parts)
        prefix = "/".join(map(str, path.pointer)) + "/over/"
        for index, (hop, part_id) in enumerate(zip(path.hops, parts, strict=True)):
            at = _At(f"{prefix}{index}", (*path.pointer, "over", index))
            if hop.box is not None:
                self._add_box(way, hop.box, part_id, at, mhz)
            else:
                self._add_run(way, path, hop, part_id, at, setting, mhz)
        way.joints += shape.splices + shape.boxes
        way.fixed_db += shape.splices * self._joint
        self.joints += shape.splices
        return way

    def _part_id(self, hop: HopEntry) -> str:
        return self._boxes[hop.box].part if hop.box is not None else str(hop.cable)

    def _add_box(self, way: Way, name: str, part_id: str, at: _At, mhz: float | None) -> None:
        part = self._memory.part_of(part_id)
        sheet = _hop(name, part_id, at, is_box=True)
        sheet.metres, sheet.does = 0.0, part.does
        single = self._memory.shape((part_id,))
        for field_name, answer in zip(_BLOCKS, single.blocks, strict=True):
            if answer.holds is None:
                sheet.lacks(field_name, *answer.lacking)
            else:
                setattr(sheet, field_name, answer.holds)
        way.hops.append(sheet)
        if mhz is None:
            sheet.lacks("loss", *way.lacking_loss)
            if sheet.loss_was_measured:
                sheet.lacks("loss_of_type", *way.lacking_loss)
            return
        loss = box_loss(part_id, part, mhz, self._joint)
        self.joints += part.does == "joint" and part.loss is None and part.gain is None
        way.fixed_db += self._put_loss(way, sheet, loss, 1.0)

    def _put_loss(self, way: Way, sheet: Hop, loss: Known, times: float) -> float:
        if loss.lacking:
            sheet.lacks("loss", loss.lacking)
            way.lacking_loss += (loss.lacking,)
            return 0.0
        sheet.loss, sheet.steps = loss.value * times, loss
        return sheet.loss

    def _add_run(
        self,
        way: Way,
        path: CablePath,
        hop: HopEntry,
        cable: str,
        at: _At,
        setting: str | None,
        mhz: float | None,
    ) -> None:
        words = self._words(cable, path.use)
        sheet = _hop(cable, cable, at, is_box=False)
        sheet.medium, sheet.loss_was_measured = words.medium, hop.with_loss is not None
        sheet.blocks_sound = sheet.blocks_control = sheet.blocks_firmware = False
        way.hops.append(sheet)
        way.runs.append(_run(path, hop, cable, at, setting, words))
        self.sizes += words.by_size
        way.joints += hop.joints
        if hop.with_loss is None:
            self.joints += hop.joints
            way.fixed_db += hop.joints * self._joint
        if hop.metres is None:
            missing = f"{at.subject}/length"
            sheet.lacks("metres", missing)
            lacking = (missing, *(way.lacking_loss if mhz is None else ()))
            sheet.lacks("loss", *lacking)
            if sheet.loss_was_measured:
                sheet.lacks("loss_of_type", *lacking)
            way.lacking_metres += (missing,)
            way.lacking_loss += (missing,)
            return
        sheet.metres = hop.metres
        way.metres += hop.metres
        if mhz is None:
            sheet.lacks("loss", *way.lacking_loss)
            if sheet.loss_was_measured:
                sheet.lacks("loss_of_type", *way.lacking_loss)
            return
        self._add_run_loss(way, sheet, hop, cable, mhz)

    def _add_run_loss(self, way: Way, sheet: Hop, hop: HopEntry, cable: str, mhz: float) -> None:
        degc = hop.temperature
        if degc is None:
            degc = self._degc
            self.assumed_degc += 1
        self.runs += 1
        measured = hop.with_loss
        if measured is not None:
            loss = self._memory.measured_loss(cable, measured, mhz, degc, self._alpha)
            way.runs_db += self._put_loss(way, sheet, loss, 1.0)
            self._put_loss_of_type(sheet, self._memory.run_loss(cable, mhz, degc, self._alpha), hop.joints)
            return
        loss = self._memory.run_loss(cable, mhz, degc, self._alpha)
        joints = hop.joints * self._joint
        way.runs_db += self._put_loss(way, sheet, loss, sheet.metres)
        if joints and not loss.lacking:
            sheet.loss += joints

    def _put_loss_of_type(self, sheet: Hop, loss: Known, joints: int) -> None:
        """What a run that was measured would lose by its type, for `cable/measured-loss-high` to compare."""
        if loss.lacking:
            sheet.lacks("loss_of_type", loss.lacking)
        else:
            sheet.loss_of_type = loss.value * sheet.metres + joints * self._joint

    def _words(self, cable: str, use: str) -> CableWords:
        traits = self._memory.traits
        key = (use, cable)
        found = traits.get(key)
        if found is None:
            part = self._memory.part_of(cable)
            by_size = "coax" in part.carries and self._context.loaded.catalogue.names_a_size(cable)
            found = traits[key] = _cable_words(cable, part, use, by_size)
        words: CableWords = found
        return words


def _hop(name: str, part_id: str, at: _At, *, is_box: bool) -> Hop:
    sheet = Hop()
    sheet.subject, sheet.pointer = at
    sheet.is_box, sheet.is_run, sheet.loss_was_measured = is_box, not is_box, False
    sheet.name, sheet.part = name, part_id
    return sheet


def _run(path: CablePath, hop: HopEntry, cable: str, at: _At, setting: str | None, words: CableWords) -> Run:
    sheet = Run()
    sheet.subject, sheet.pointer = at
    sheet.owner, sheet.use, sheet.cable = path.subject, path.use, cable
    sheet.told_above = False
    for name, value in words.known:
        setattr(sheet, name, value)
    if words.absent:
        sheet.absent = dict(words.absent)
    if hop.metres is not None:
        sheet.metres = hop.metres
    else:
        absent_of(sheet)["metres"] = (f"{sheet.subject}/length",)
    lies = hop.setting or setting
    if lies is not None:
        sheet.setting = lies
    else:
        absent_of(sheet)["setting"] = (f"{sheet.subject}/setting", f"{path.subject}/place/setting")
    return sheet


def _cable_words(cable: str, part: CablePart, use: str, by_size: bool) -> CableWords:
    conductor = part.conductor
    stated = {
        "rated": (part.rated, "rated"),
        "impedance": (part.impedance, "impedance"),
        "centre": (part.centre, "centre"),
        "conductor_size": (conductor and conductor.size, "conductor/size"),
        "conductor_material": (conductor and conductor.material, "conductor/material"),
        "amps_max": (conductor and conductor.amps, "conductor/amps"),
    }
    known = [(name, value) for name, (value, _) in stated.items() if value is not None]
    absent = {name: (f"parts/{cable}/{at}",) for name, (value, at) in stated.items() if value is None}
    known.append(("fits_use", fits(part, use)))
    known.append(("paired", part.paired))
    return CableWords(tuple(known), absent, medium_of(part), by_size)
