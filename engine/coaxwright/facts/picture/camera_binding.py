"""Facts of one camera that need no recorder: its part's words, its place, and what it is wanted for.

Power has its own module. What is not written is not guessed: the sheet says what would supply it.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from coaxwright.facts.assumed import Ledger
from coaxwright.facts.physics.ingress import ingress_digits, water_implied
from coaxwright.facts.picture.signal_cache import SignalCache
from coaxwright.facts.sheets import Camera, Recorder, Sheet
from coaxwright.immutable import immutable
from coaxwright.model.camera_parts import CameraPart
from coaxwright.model.site import Camera as CameraEntry
from coaxwright.model.site import ControlPath, Place, SoundPath, Wants
from coaxwright.reading.tables import load_table

_PLACE = ("setting", "reach", "building")
_HOUSING = ("rated", "temperature_min", "temperature_max")
_NOTHING = Wants.model_construct()
_DEVICE_PLACE = ("setting", "building")
_AMBIENT = ("ambient_min", "ambient_max")


@immutable
class Traits:
    """What a camera part says of itself: values by field, and what would supply those it leaves out."""

    known: tuple[tuple[str, Any], ...]
    absent: Mapping[str, tuple[str, ...]]


def traits_of(part_id: str, part: CameraPart) -> Traits:
    """Read off a camera part what does not depend on where it hangs."""
    values: dict[str, tuple[str, Any]] = {
        "microphone": ("sound/microphone", part.sound and part.sound.microphone),
        **{name: (f"housing/{name}", getattr(part.housing, name, None)) for name in _HOUSING},
        "ik_joules": ("housing/ik", impact_energy(part.housing.ik if part.housing else None)),
    }
    digits = ingress(part.housing.ip if part.housing else None)
    values.update({name: ("housing/ip", digit) for name, digit in digits.items()})
    known = tuple((name, value) for name, (_, value) in values.items() if value is not None)
    absent = {name: (f"parts/{part_id}/{path}",) for name, (path, value) in values.items() if value is None}
    return Traits(known, absent)


def impact_energy(code: str | None) -> float | None:
    """J of an IK code, from the table of IEC 62262; None where there is no code."""
    return None if code is None else float(load_table("ik-codes").row(code)["energy"])


def ingress(code: str | None) -> dict[str, Any]:
    """Digits of an IP code: the greatest of a double marking, and what is covered against water.

    None where it is an X or there is no code; with an X in one of two markings nobody knows all that is covered.
    """
    pairs = ingress_digits(code) if code else ()
    solid = [digit for digit, _ in pairs if digit is not None]
    water = [digit for _, digit in pairs if digit is not None]
    covered = tuple(sorted(frozenset().union(*map(water_implied, water)))) if water and len(water) == len(pairs) else None
    return {
        "ip_solid": max(solid, default=None),
        "ip_water": max(water, default=None),
        "ip_water_covered": covered,
    }


def bind_camera(
    sheet: Camera, entry: CameraEntry, memory: SignalCache, retention: float | None, ledger: Ledger
) -> None:
    """Fill what needs neither recorder nor supply. `retention` is the site's, in days."""
    traits = memory.traits.get(entry.part)
    if traits is None:
        traits = memory.traits[entry.part] = traits_of(entry.part, memory.part_of(entry.part))
    for name, value in traits.known:
        setattr(sheet, name, value)
    if traits.absent:
        absent_of(sheet).update(traits.absent)
    _bind_place(sheet, entry.place, _PLACE)
    _bind_ambient(sheet, entry.place, ledger)
    _bind_wants(sheet, entry, retention)


def bind_device_place(sheet: Recorder, place: Place | None, ledger: Ledger) -> None:
    """Fill where a recorder stands."""
    _bind_place(sheet, place, _DEVICE_PLACE)
    _bind_ambient(sheet, place, ledger)


def _bind_place(sheet: Sheet, place: Place | None, names: tuple[str, ...]) -> None:
    absent: dict[str, tuple[str, ...]] | None = None
    for name in names:
        value = None if place is None else getattr(place, name)
        if value is not None:
            setattr(sheet, name, value)
            continue
        if absent is None:
            absent = absent_of(sheet)
            prefix = sheet.subject + "/place/"
        absent[name] = (prefix + name,)


def _bind_ambient(sheet: Camera | Recorder, place: Place | None, ledger: Ledger) -> None:
    """The air as written; else that of the environmental class of the setting, assumed and marked so."""
    given = [None if place is None else getattr(place, name) for name in _AMBIENT]
    setting = sheet.known("setting")
    housed = place is not None and place.cabinet is not None and place.ambient_max is None
    assumed = (given[0] is None if housed else None in given) and setting is not None
    ends = ledger.take(f"environment-{setting}") if assumed else (None, None)
    for name, value, end in zip(_AMBIENT, given, ends, strict=True):
        if housed and name == "ambient_max":  # the air of its cabinet is known when all in it is solved
            sheet.ambient_max_assumed = False
            continue
        setattr(sheet, f"{name}_assumed", value is None and assumed)
        air = end if value is None else value
        if air is not None:
            setattr(sheet, name, air)
        else:
            absent_of(sheet)[name] = (f"{sheet.subject}/place/setting",)


def _bind_wants(sheet: Camera, entry: CameraEntry, retention: float | None) -> None:
    wants, sound, control, record = entry.wants or _NOTHING, entry.sound, entry.control, entry.record
    sheet.wants_sound = sound is not None or wants.sound is True
    sheet.wants_talk_back = wants.talk_back is True
    sheet.wants_control = control is not None or wants.control is True
    sheet.wants_firmware = wants.firmware is True
    sorts = record is not None and record.schedule == "sorted-motion"
    sheet.wants_sorted_motion = sorts or wants.sorted_motion is True
    sheet.wants_full_width = wants.full_width is True
    if wants.rate is not None:
        sheet.wants_rate = wants.rate
    else:
        absent_of(sheet)["wants_rate"] = (f"{sheet.subject}/wants/rate",)
    kept = retention if wants.retention is None else wants.retention
    if kept is not None:
        sheet.wants_retention = kept
    else:
        absent_of(sheet)["wants_retention"] = ("retention",)
    sheet.sound_by = "none" if sound is None else _way(sound, "line")
    sheet.control_by = "none" if control is None else _way(control, "serial")


def _way(path: ControlPath | SoundPath, own: str) -> str:
    """How a path is meant to go: over coax or network, over its `own` cable, or not drawn at all."""
    return str(path.by or (own if path.into is not None else "none"))


def absent_of(sheet: Sheet) -> dict[str, tuple[str, ...]]:
    """The sheet's own record of what would supply its unknown fields, made where it has none yet."""
    try:
        return sheet.absent
    except AttributeError:
        sheet.absent = {}
        return sheet.absent
