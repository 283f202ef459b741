"""What each device draws by day and by night, from its part and from what is fitted.

Not here: currents, which follow from the voltage that is left at the device.
"""

from __future__ import annotations

from typing import NamedTuple

from coaxwright.facts.assumed import Ledger
from coaxwright.facts.context import Context
from coaxwright.model.camera_parts import CameraPart, PickupPart
from coaxwright.model.part_base import PartBase, PowerInput
from coaxwright.model.recorder_parts import RecorderPart
from coaxwright.model.wiring_parts import BoxPart, SwitchPart
from coaxwright.portable import added

CONSTANT_POWER = "constant-power"


class Load(NamedTuple):
    """One device as a load. Watts are None where not known, and `missing_...` then say what would supply
    them.

    `volts` is the nominal voltage, at which a constant-current or resistive load draws its watts;
    `power_factor` is None where not stated, and counts on alternating current only. `day_sum` and `night_sum`
    are the terms, for the working. `inrush` is the largest current while it starts.
    """

    kind: str
    day: float | None
    night: float | None
    volts: float | None
    power_factor: float | None
    missing_day: tuple[str, ...]
    missing_night: tuple[str, ...]
    day_sum: tuple[tuple[str, float], ...] = ()
    night_sum: tuple[tuple[str, float], ...] = ()
    assumed: tuple[str, ...] = ()
    inrush: float | None = None
    missing_inrush: tuple[str, ...] = ()

    def watts(self, night: bool) -> float | None:
        """Power drawn, W."""
        return self.night if night else self.day

    def missing(self, night: bool) -> tuple[str, ...]:
        """What would supply the power."""
        return self.missing_night if night else self.missing_day


def load_of(
    part_id: str, part: CameraPart | PickupPart | RecorderPart | BoxPart | SwitchPart, ledger: Ledger, *,
    heater: bool | None = None,
) -> Load:  # fmt: skip
    """The load that a part is; `heater` says whether one is fitted and in use. What was assumed is not
    counted here.
    """
    power: PowerInput | None = part.power
    if power is None:
        missing = (f"parts/{part_id}/power",)
        return Load(CONSTANT_POWER, None, None, None, None, missing, missing, missing_inrush=missing)
    assumed: list[str] = []
    kind: str = power.load or ledger.values["load-kind"].value
    if power.load is None:
        assumed.append("load-kind")
    if "kind" not in power.model_fields_set:
        assumed.append("power-kind")
    if power.watts_motor is None and getattr(getattr(part, "control", None), "moves", None) is True:
        assumed.append("motor-power")
    day = _terms(power, (("watts_day", power.watts_day),), heater=False)
    night = _night(part, power, assumed, bool(heater))
    nominal = () if kind == CONSTANT_POWER or power.volts is not None else ("volts",)
    return Load(
        kind, _sum(day, nominal), _sum(night, nominal), power.volts, power.power_factor,
        _missing(part_id, day, nominal), _missing(part_id, night, nominal),
        _shown(day), _shown(night), tuple(assumed),
        power.inrush, () if power.inrush is not None else (f"parts/{part_id}/power/inrush",),
    )  # fmt: skip


_Terms = list[tuple[str, float | None]]


def _night(part: PartBase, power: PowerInput, assumed: list[str], heater: bool) -> _Terms:
    """Night draws what the part states; a device that has no lamp draws by night what it draws by day."""
    if power.watts_night is not None or not _lampless(part):
        return _terms(power, (("watts_night", power.watts_night),), heater=heater)
    if isinstance(part, CameraPart):
        assumed.append("lampless-night")
    return _terms(power, (("watts_day", power.watts_day),), heater=heater)


def _lampless(part: PartBase) -> bool:
    """True for what is no camera, and for a camera whose part says that it has no lamp."""
    return not isinstance(part, CameraPart) or (part.night is not None and part.night.lamp == "none")


def _terms(power: PowerInput, base: tuple[tuple[str, float | None], ...], *, heater: bool) -> _Terms:
    """The stated power, the heater where it is in use, and motors, which may move at any hour."""
    terms: _Terms = list(base)
    if heater:
        terms.append(("watts_heater", power.watts_heater))
    if power.watts_motor is not None:
        terms.append(("watts_motor", power.watts_motor))
    return terms


def _sum(terms: _Terms, nominal: tuple[str, ...]) -> float | None:
    values = [value for _, value in terms if value is not None]
    return None if nominal or len(values) < len(terms) else added(values)


def _missing(part_id: str, terms: _Terms, nominal: tuple[str, ...]) -> tuple[str, ...]:
    names = [name for name, value in terms if value is None]
    return tuple(f"parts/{part_id}/power/{name}" for name in (*names, *nominal))


def _shown(terms: _Terms) -> tuple[tuple[str, float], ...]:
    return tuple((name, value) for name, value in terms if value is not None)


class Loads:
    """Loads of a component's devices, one part looked at once; every use of an assumption is counted."""

    __slots__ = ("_context",)

    def __init__(self, context: Context) -> None:
        self._context = context

    def of(self, part_id: str, heater: bool | None = None, *, solved: bool = True) -> Load:
        """The load that a device of this part is; how it draws counts only where a network is solved."""
        context = self._context
        key = ("loads", part_id, heater)
        load: Load | None = context.memo.get(key)
        if load is None:
            load = load_of(part_id, context.part(part_id), context.ledger, heater=heater)
            context.memo[key] = load
        for name in load.assumed:
            if solved or name != "load-kind":
                context.ledger.take(name)
        return load
