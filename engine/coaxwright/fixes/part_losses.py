"""What a person loses when a part is put in the place of another, although no rule may ask for it.

Read from what the two parts state: `part_losses(old, new)` in words, the weightiest first. A property that the
old part states and the new one does not is said to be not known; one that the old part does not state cannot be
told (`unstated` names those). Not here: money, and whether the new part works in the system.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from itertools import chain
from typing import Any

from coaxwright.fixes.loss_kinds import Loss, Trait, counted, every, fewer, field, has, more, ranked, same
from coaxwright.fixes.special_losses import (
    LAMP,
    LENS,
    PICTURE,
    SUPPLY_VOLTS,
    TAKEN_VOLTS,
    TAKES_PICTURE,
    WATER,
    ip_digit,
    maker_traits,
)
from coaxwright.model.camera_parts import CameraPart
from coaxwright.model.parts import Part
from coaxwright.model.recorder_parts import RecorderPart

_TEMPERATURES = (
    fewer("lowest temperature", field("temperature_min"), "degC"),
    more("highest temperature", field("temperature_max"), "degC"),
)
_HOUSING = (
    ranked("rating", field("housing.rated"), ("indoor", "outdoor")),
    more("impact rating (IK)", lambda part: _digits(field("housing.ik")(part))),
    more("dust protection (first IP digit)", ip_digit),
    WATER,
    fewer("lowest temperature", field("housing.temperature_min"), "degC"),
    more("highest temperature", field("housing.temperature_max"), "degC"),
    has("stated fitness for salt air", field("housing.coastal")),
    has("protection against condensation", field("housing.condensation")),
)


def _digits(written: str | None) -> int | None:
    """The number of `IK08`."""
    return None if written is None else int(written[2:])


def _families(part: CameraPart) -> tuple[str, ...] | None:
    rows = getattr(part, "emits", None)
    return tuple(chain.from_iterable(_each(row.family) for row in rows)) if rows else None


def _each(value: str | Iterable[str]) -> tuple[Any, ...]:
    return (value,) if isinstance(value, str) else tuple(value)


def _channels(part: RecorderPart) -> int:
    return len({number for group in part.inputs for number in group.channels})


_CAMERA = (
    has("movement", field("control.moves"), "no movement: it does not pan, tilt or zoom by motor"),
    PICTURE,
    LAMP,
    *_HOUSING[:4],
    LENS,
    has("microphone", field("sound.microphone")),
    every("sound over the coax", field("sound.over_coax"), capitals=True),
    has("line output for sound", field("sound.line_output")),
    has("loudspeaker", field("sound.loudspeaker")),
    every("talk-back over the coax", field("sound.talk_back_coax"), capitals=True),
    every("control over the coax", field("control.over_coax"), capitals=True),
    every("serial control protocol", field("control.serial.protocols")),
    every("firmware update over the coax", field("firmware_over_coax"), capitals=True),
    TAKEN_VOLTS,
    same("plug", field("power.plug")),
    has("protection against reversed polarity", field("power.polarity_protected")),
    every("signal", _families, capitals=True),
    *_HOUSING[4:],
    fewer("least light", field("night.least_light"), "lx"),
    has("hidden lamp", lambda part: _not(field("night.visible_glow")(part)), "a lamp that is seen to glow"),
    every("way of switching its mode", field("switched_by")),
)


def _not(value: bool | None) -> bool | None:
    return None if value is None else not value


_RECORDER = (
    counted("inputs", _channels),
    TAKES_PICTURE,
    counted("bays", field("bays")),
    more("largest disk", field("disk_max"), "B"),
    every("disk redundancy", field("redundancy")),
    counted("inputs with sound over the coax", field("sound.coax_channels")),
    every("sound over the coax", field("sound.coax_families"), capitals=True),
    counted("line inputs for sound", field("sound.line_inputs")),
    counted("line outputs for sound", field("sound.line_outputs")),
    every("talk-back over the coax", field("sound.talk_back_families"), capitals=True),
    every("control over the coax", field("control.coax_families"), capitals=True),
    every("serial control protocol", field("control.serial.protocols")),
    every("firmware update over the coax", field("firmware_over_coax.families"), capitals=True),
    counted("channels with sorted motion", field("sorted_motion")),
    more("encoding", field("encodes_total"), "px/s"),
    more("decoding for live view and playback", field("decodes_total"), "px/s"),
    more("recording to disk", field("record_bitrate"), "bit/s"),
    every("codec", field("codecs")),
    counted("monitor outputs", field("outputs")),
    every("monitor connector", lambda part: _outputs(part, "connector")),
    counted("network cameras without giving up inputs", field("network.cameras")),
    counted("network cameras at most", field("network.cameras_max")),
    more("incoming network rate", field("network.incoming"), "bit/s"),
    more("outgoing network rate", field("network.outgoing"), "bit/s"),
    counted("remote viewers", field("network.viewers")),
    counted("ports with power over Ethernet", field("network.poe_ports")),
    more("power over Ethernet", field("network.poe_watts"), "W"),
    TAKEN_VOLTS,
    *_TEMPERATURES,
    *maker_traits(),
)


def _outputs(part: RecorderPart, name: str) -> tuple[Any, ...] | None:
    return None if part.outputs is None else tuple(getattr(each, name) for each in part.outputs)


_DISK = (
    more("capacity", field("capacity"), "B"),
    has("rating to run all the time", field("continuous")),
    more("yearly workload", field("workload"), "B/year"),
    more("warranty", field("warranty"), "d"),
    more("highest temperature", field("temperature_max"), "degC"),
)
_SUPPLY = (
    SUPPLY_VOLTS,
    counted("outputs", field("outputs")),
    more("current of all outputs", field("amps"), "A"),
    more("current of one output", field("amps_per_output"), "A"),
    has("battery backing", field("battery_backed")),
    more("battery", field("battery"), "Ah"),
    more("charging current", field("charge_amps"), "A"),
    has("limited-power (Class 2) statement", field("class2")),
    ranked("protection of each output", field("output_protection"), ("none", "fuse", "resettable", "electronic")),
    more("short-time current", field("inrush_amps"), "A"),
    fewer("lowest trim", field("trim_min"), "V"),
    more("highest trim", field("trim_max"), "V"),
    same("plug", field("plug")),
    same("polarity of the plug", field("polarity")),
    *_TEMPERATURES,
    *_HOUSING,
)
_CABLE = (
    every("use as a cable", field("carries")),
    same("impedance", field("impedance"), "ohm"),
    same("centre conductor", field("centre")),
    more("conductor", field("conductor.size"), "mm2"),
    ranked("conductor metal", field("conductor.material"),
           ("copper-clad-steel", "copper-clad-aluminium", "aluminium", "copper")),
    fewer("conductor resistance", field("conductor.resistance"), "ohm/m"),
    more("rated current", field("conductor.amps"), "A"),
    ranked("flexibility", field("conductor.stranding"), ("solid", "stranded", "flexible")),
    counted("pairs", field("pairs")),
    ranked("category", field("category"), ("cat3", "cat5", "cat5e", "cat6", "cat6a")),
    same("braid", field("braid")),
    has("screen", field("screened")),
    ranked("sheath", field("rated"), ("indoor", "outdoor", "burial")),
    same("fire class", field("fire_class")),
    *_TEMPERATURES,
)  # fmt: skip
_BOX = (
    same("use as a box", field("does")),
    more("gain", field("gain"), "dB"),
    fewer("insertion loss", field("loss"), "dB"),
    more("highest frequency", field("frequency_max"), "MHz"),
    every("signal", field("families"), capitals=True),
    has("passing of sound", field("passes_sound")),
    has("passing of control", field("passes_control")),
    has("passing of firmware", field("passes_firmware")),
    more("reach", field("reach"), "m"),
    TAKEN_VOLTS,
    *_HOUSING,
)
_PICKUP = (same("output", field("output")), more("reach", field("reach"), "m"), TAKEN_VOLTS, *_HOUSING)
_SWITCH = (
    counted("ports", field("ports")),
    counted("uplinks", field("uplinks")),
    more("rate of a port", field("port_rate"), "bit/s"),
    more("rate of the uplink", field("uplink_rate"), "bit/s"),
    counted("ports with power over Ethernet", field("poe_ports")),
    more("power over Ethernet", field("poe_watts"), "W"),
    more("power class of a port", field("poe_class_port")),
    TAKEN_VOLTS,
    *_TEMPERATURES,
    *_HOUSING,
)
_UPS = (
    more("largest load", field("watts"), "W"),
    more("largest apparent load", field("volt_amps"), "VA"),
    more("hours at the least load of its table", lambda part: max((row.hours for row in part.runtimes), default=None), "h"),
    more("highest temperature", field("temperature_max"), "degC"),
)
_MONITOR = (every("connector", field("connectors")), PICTURE, more("diagonal in inches", field("diagonal")))
_TRAITS: dict[str, tuple[Trait, ...]] = {
    "camera": _CAMERA,
    "recorder": _RECORDER,
    "disk": _DISK,
    "supply": _SUPPLY,
    "cable": _CABLE,
    "box": _BOX,
    "pickup": _PICKUP,
    "switch": _SWITCH,
    "monitor": _MONITOR,
    "ups": _UPS,
}


def part_losses(old: Part, new: Part) -> tuple[str, ...]:
    """What is lost when `new` stands in the place of `old`, in words, weightiest first; empty where nothing.

    Both are parts of the catalogue (`model.parts`), values in base units. Parts of two kinds lose everything.
    What the old part states and the new one does not ends in "not known (was ...)".
    """
    return tuple(each.words for each in losses(old, new))


def losses(old: Part, new: Part) -> tuple[Loss, ...]:
    """As `part_losses`, each with what it is about and whether it is known."""
    return losses_of(old)(new)


def losses_of(old: Part) -> Callable[[Any], tuple[Loss, ...]]:
    """The same for many parts in the place of one: what that one states and could lose is read once."""
    stated = [(trait, trait.stated(old)) for trait in _TRAITS.get(old.kind, ())]
    could = [(trait, before) for trait, before in stated if before is not None]

    def lost(new: Part) -> tuple[Loss, ...]:
        if old.kind != new.kind:
            return (Loss("kind", f"a {new.kind}, not a {old.kind}", known=True),)
        found = (trait.without(before, new) for trait, before in could)
        return tuple(each for each in found if each is not None)

    return lost


_ASKED: dict[str, tuple[str, ...]] = {
    "camera": ("movement", "lamp", "rating", "impact rating (IK)", "lens", "microphone", "supply voltage",
               "lowest temperature", "highest temperature"),
    "recorder": ("bays", "line inputs for sound", "monitor outputs", "supply voltage"),
}  # fmt: skip
"""Properties that a person asks about before putting another part in."""


def unstated(part: Part) -> tuple[str, ...]:
    """What the part does not state of what a person would ask: a loss of that cannot be told."""
    traits: Iterable[Trait] = _TRAITS.get(part.kind, ())
    asked = _ASKED.get(part.kind, ())
    return tuple(each.about for each in traits if each.about in asked and each.read(part) in (None, ()))
