"""The serial control line of one recorder with all cameras on it: who is where, how long, how heavily loaded.

Reads the recorder, the cameras whose control goes into it, and their parts.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from coaxwright.facts.context import Context
from coaxwright.facts.picture.link_binding import lack
from coaxwright.facts.sheets import Recorder, SerialBus
from coaxwright.model.quantities import format_quantity
from coaxwright.model.site import Camera as CameraEntry
from coaxwright.model.site import ControlPath
from coaxwright.portable import added
from coaxwright.topology.records import CablePath, Port


def bind_serial_bus(context: Context, recorder: Recorder) -> SerialBus | None:
    """The line into a recorder; None where no camera names it."""
    paths = context.topology.lists.others.get(Port("recorder", recorder.name, "serial", 0))
    if not paths:
        return None
    site = context.loaded.site
    entries = {path.owner: site.cameras[path.owner] for path in paths}
    written = {name: entry.control for name, entry in entries.items() if entry.control is not None}
    bus = SerialBus()
    bus.subject, bus.pointer = f"{recorder.subject}/rs485", recorder.pointer
    bus.recorder, bus.name, bus.devices = recorder, recorder.name, len(paths)
    bus.steps = {"devices": [path.owner for path in paths]}
    _bind_words(bus, written)
    _bind_length(bus, paths)
    _bind_loads(bus, context, entries)
    _bind_ends(bus, written)
    return bus


def _bind_words(bus: SerialBus, written: Mapping[str, ControlPath]) -> None:
    """Addresses, speeds and protocols as written, with the cameras that have them.

    Whether they agree is open where one of several cameras says nothing and those that do agree.
    """
    addresses = _by_value({name: each.address for name, each in written.items()})
    shared = {value: names for value, names in addresses.items() if len(names) > 1}
    bus.addresses = sum(map(len, addresses.values()))
    bus.steps["addresses"] = [f"{name} ({value})" for value, names in addresses.items() for name in names]
    bus.steps["addresses_shared"] = [f"{value} ({', '.join(names)})" for value, names in shared.items()]
    unsaid = _unsaid(written, "address")
    if unsaid and not shared:
        lack(bus, ("addresses_shared", "shared_words"), unsaid)
    else:
        bus.addresses_shared, bus.shared_words = len(shared), _words(shared)
    speeds = _by_value({name: each.speed for name, each in written.items()})
    unsaid = _unsaid(written, "speed")
    if unsaid and len(speeds) < 2:
        lack(bus, ("speeds", "speeds_words"), unsaid)
    else:
        bus.speeds = len(speeds)
        bus.speeds_words = _words({format_quantity(value, "baud"): names for value, names in speeds.items()})
    protocols = _by_value({name: each.protocol for name, each in written.items()})
    unsaid = _unsaid(written, "protocol")
    if unsaid and len(protocols) < 2:
        lack(bus, ("protocols", "protocols_words"), unsaid)
    else:
        bus.protocols, bus.protocols_words = len(protocols), _words(protocols)
    bus.steps["speeds"] = [format_quantity(value, "baud") for value in speeds]
    bus.steps["protocols"] = list(protocols)
    stars = bus.steps["stars"] = [name for name, each in written.items() if each.wiring == "star"]
    bus.stars, bus.stars_words = len(stars), ", ".join(stars)


def _unsaid(written: Mapping[str, ControlPath], field: str) -> tuple[str, ...]:
    """Where to write a field that one of several cameras leaves out; a camera alone agrees with itself."""
    missing = [name for name, each in written.items() if getattr(each, field) is None]
    return tuple(f"cameras/{name}/control/{field}" for name in missing) if len(written) > 1 else ()


def _by_value(values: Mapping[str, Any]) -> dict[Any, list[str]]:
    """Names by what is written for them; those for which nothing is written are left out."""
    found: dict[Any, list[str]] = {}
    for name, value in values.items():
        if value is not None:
            found.setdefault(value, []).append(name)
    return found


def _words(found: Mapping[Any, Iterable[str]]) -> str:
    return "; ".join(f"{value}: {', '.join(names)}" for value, names in found.items())


def _bind_length(bus: SerialBus, paths: Sequence[CablePath]) -> None:
    """All cable of the line: each camera writes the piece that it adds."""
    missing = [path for each in paths for path in _lengths_missing(each)]
    if missing:
        lack(bus, ("metres",), tuple(missing))
    else:
        pieces = [(hop.metres, path.owner) for path in paths for hop in path.hops or () if hop.metres is not None]
        bus.steps["metres"], bus.metres = pieces, added(length for length, _ in pieces)


def _lengths_missing(path: CablePath) -> list[str]:
    at = "/".join(map(str, path.pointer)) + "/over"
    if path.hops is None:
        return [at]
    return [f"{at}/{index}/length" for index, hop in enumerate(path.hops) if hop.box is None and hop.metres is None]


def _bind_loads(bus: SerialBus, context: Context, entries: Mapping[str, CameraEntry]) -> None:
    """Unit loads of the recorder and of every camera."""
    parts = [(bus.name, context.loaded.site.recorders[bus.name].part), *((name, entry.part) for name, entry in entries.items())]
    loads, missing = list[tuple[float, str]](), list[str]()
    for name, part_id in parts:
        control = context.part(part_id).control
        load = control.serial.unit_load if control and control.serial else None
        if load is None:
            missing.append(f"parts/{part_id}/control/serial/unit_load")
        else:
            loads.append((load, name))
    if missing:
        lack(bus, ("unit_loads",), tuple(missing))
    else:
        bus.steps["unit_loads"], bus.unit_loads = loads, added(load for load, _ in loads)


def _bind_ends(bus: SerialBus, written: Mapping[str, ControlPath]) -> None:
    bus.steps["terminated"] = [name for name, each in written.items() if each.terminated]
    bus.terminated_least = len(bus.steps["terminated"])
    unsaid = [name for name, each in written.items() if each.terminated is None]
    if unsaid:
        lack(bus, ("terminated",), tuple(f"cameras/{name}/control/terminated" for name in unsaid))
    else:
        bus.terminated = bus.terminated_least
