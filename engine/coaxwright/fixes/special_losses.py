"""Properties of parts that take more than one value to compare: picture, lamp, lens, rating, voltage."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import chain
from typing import Any

from coaxwright.facts.physics.ingress import ingress_digits, water_implied
from coaxwright.fixes.loss_kinds import Trait, field
from coaxwright.model.camera_parts import CameraPart
from coaxwright.model.common import FrameSize, VideoMode
from coaxwright.model.part_base import PartBase
from coaxwright.model.quantities import format_pair, format_quantity
from coaxwright.model.recorder_parts import RecorderPart
from coaxwright.model.wiring_parts import SupplyPart

# Pictures


def _modes(rows: Iterable[Any]) -> Iterable[VideoMode]:
    each = ((row.mode,) if isinstance(row.mode, VideoMode) else row.mode for row in rows)
    return chain.from_iterable(each)


def _largest(modes: Iterable[VideoMode]) -> FrameSize | None:
    sizes = (FrameSize(mode.width, mode.height) for mode in modes)
    return max(sizes, key=lambda size: size.width * size.height, default=None)


def _sent(part: CameraPart) -> FrameSize | None:
    """The largest picture of a camera (or monitor), over coax or network."""
    modes = list(_modes(getattr(part, "emits", ())))
    network = getattr(part, "network", None)
    modes += [network.mode] if network is not None else []
    mode = getattr(part, "mode", None)
    return _largest([*modes, mode] if mode is not None else modes)


def _taken(part: RecorderPart) -> FrameSize | None:
    """The largest picture that some input of a recorder takes at full width without a setting."""
    rows = chain.from_iterable(group.accepts for group in part.inputs)
    return _largest(_modes(row for row in rows if row.width == "full" and row.after is None))


def _smaller(name: str, before: FrameSize, after: FrameSize) -> str:
    if after.width * after.height >= before.width * before.height:
        return ""
    return f"{name} {after} ({_megapixels(after)}) in place of {before} ({_megapixels(before)})"


def _megapixels(size: FrameSize) -> str:
    return f"{round(size.width * size.height / 1e6, 1):g} MP"


PICTURE = Trait("largest picture", _sent, _smaller, str)
TAKES_PICTURE = Trait("largest picture taken at full width", _taken, _smaller, str)

# Lamp: its kind and how far it reaches


def _lamp(part: CameraPart) -> tuple[str, float | None] | None:
    """Kind and range in m; None where nobody says, and where there is none to lose."""
    night = getattr(part, "night", None)
    if night is None or (night.lamp is None and night.lamp_range is None):
        return None
    kind = "lamp" if night.lamp is None else night.lamp
    return (kind, None if kind == "none" else night.lamp_range)


def _lamp_words(lamp: tuple[str, float | None]) -> str:
    kind = "infrared and white" if lamp[0] == "both" else lamp[0]
    return kind if lamp[1] is None else f"{kind}, {format_quantity(lamp[1], 'm')}"


def _dimmer(name: str, before: tuple[str, float | None], after: tuple[str, float | None]) -> str:
    if before[0] == "none":
        return ""
    if after[0] == "none":
        return f"no {name} (was {_lamp_words(before)})"
    other = after[0] not in (before[0], "both") and before[0] != "lamp"
    if before[1] is not None and after[1] is None:
        return f"{name} range not known (was {_lamp_words(before)})"
    shorter = before[1] is not None and after[1] is not None and after[1] < before[1]
    return f"{name} {_lamp_words(after)} in place of {_lamp_words(before)}" if other or shorter else ""


LAMP = Trait("lamp", _lamp, _dimmer, _lamp_words, lambda lamp: lamp[0] == "none")

# Lens: fixed or varifocal, and what it covers


def _lens(part: CameraPart) -> tuple[float, float] | None:
    """Shortest and longest focal length in mm; one of them alone is a fixed one."""
    optics = getattr(part, "optics", None)
    known = [each for each in (optics.focal_min, optics.focal_max) if each is not None] if optics else []
    return (min(known), max(known)) if known else None


def _lens_words(lens: tuple[float, float]) -> str:
    if lens[0] == lens[1]:
        return f"fixed {lens[0]:g} mm"
    return f"varifocal {lens[0]:g} to {lens[1]:g} mm"


def _narrower(name: str, before: tuple[float, float], after: tuple[float, float]) -> str:
    covers = after[0] <= before[0] and after[1] >= before[1]
    return "" if covers else f"{name} {_lens_words(after)} in place of {_lens_words(before)}"


LENS = Trait("lens", _lens, _narrower, _lens_words)

# Protection against water


def ip_digit(part: PartBase) -> int | None:
    """The largest stated first digit of an IP code; None where there is none, or an X."""
    return max((solids for solids, _ in _ingress(part) if solids is not None), default=None)


def _ingress(part: PartBase) -> tuple[tuple[int | None, int | None], ...]:
    written = field("housing.ip")(part)
    return ingress_digits(written) if written else ()


def _water(part: PartBase) -> frozenset[int] | None:
    """Second digits of an IP code that hold, those that they imply among them (IEC 60529, clause 6)."""
    held = [water_implied(water) for _, water in _ingress(part) if water is not None]
    return frozenset(chain.from_iterable(held)) if held else None


_WATER = (
    (range(1, 5), "drops and spray"),
    (range(5, 7), "jets"),
    (range(7, 9), "immersion"),
    (range(9, 10), "hot jets"),
)
"""What second digits of an IP code are about; IEC 60529, table 3."""


def _wetter(name: str, before: frozenset[int], after: frozenset[int]) -> str:
    gone = [(water, [digit for digit in digits if digit in before - after]) for digits, water in _WATER]
    words = [f"{water} (IPX{', IPX'.join(map(str, digits))})" for water, digits in gone if digits]
    return f"{name}: none stated against {' and '.join(words)}" if words else ""


WATER = Trait("protection against water", _water, _wetter, lambda held: f"IPX{max(held)}", lambda held: held == {0})

# Voltage: kind, nominal, and the window at the terminals


def _volts(part: PartBase) -> tuple[str, float | None, float | None, float | None] | None:
    power = getattr(part, "power", None)
    if power is None or (power.volts is None and power.kind != "poe"):
        return None
    return (power.kind, power.volts, power.volts_min, power.volts_max)


def _volts_words(one: tuple[str, float | None, float | None, float | None]) -> str:
    kind, volts, low, high = one
    shown = "PoE" if kind == "poe" else f"{volts or 0:g} V {kind.upper().replace('-OR-', ' or ')}"
    return shown if low is None or high is None else f"{shown} ({low:g} to {high:g} V)"


def _fussier(name: str, before: tuple[Any, ...], after: tuple[Any, ...]) -> str:
    """Another kind of supply, another nominal, or a narrower window; what the new window is may be not known."""
    kinds = {"dc-or-ac": ("dc", "ac", "dc-or-ac")}.get(after[0], (after[0],))
    low, high = after[2], after[3]
    nominal = before[1] is None or before[1] == after[1] or (low is not None and high is not None and
                                                             low <= before[1] <= high)  # fmt: skip
    if before[0] not in kinds or not nominal:
        return f"takes {_volts_words(after)}, not {_volts_words(before)}"
    if None not in before[2:] and None in after[2:]:
        return f"voltage window not known (was {before[2]:g} to {before[3]:g} V)"
    if None not in before[2:] and not (low <= before[2] and high >= before[3]):
        return f"voltage window {low:g} to {high:g} V in place of {before[2]:g} to {before[3]:g} V"
    return ""


TAKEN_VOLTS = Trait("supply voltage", _volts, _fussier, _volts_words)


def _given(part: SupplyPart) -> tuple[str, float]:
    return (part.gives, part.volts)


def _other_given(name: str, before: tuple[str, float], after: tuple[str, float]) -> str:
    if before == after:
        return ""
    shown = format_pair(after[1], before[1], "V")
    return f"gives {shown[0]} {after[0].upper()}, not {shown[1]} {before[0].upper()}"


SUPPLY_VOLTS = Trait("output voltage", _given, _other_given, lambda one: f"{one[1]:g} V {one[0].upper()}")

# What a recorder does for cameras of some makers only


def maker_traits() -> tuple[Trait, ...]:
    """Sound, control and firmware that a recorder used to give to every maker's cameras."""
    rows = (
        ("sound over the coax", "sound.coax_maker"),
        ("control over the coax", "control.coax_maker"),
        ("firmware update over the coax", "firmware_over_coax.maker"),
    )
    return tuple(_for_makers(name, path) for name, path in rows)


def _for_makers(name: str, path: str) -> Trait:
    def compare(_: str, before: str, after: str) -> str:
        if before != "any" or after == "any":
            return ""
        return f"{name} only for cameras of {'its own maker' if after == 'own' else after}"

    about = f"cameras that have {name}"
    return Trait(about, field(path), compare, str, tells_unknown=False)
