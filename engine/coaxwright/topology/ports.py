"""Reads port words such as `rec1/1`, `rec1/audio1`, `psu1/3` or `jb1` against the devices of one site.

Whether a device really has a port of that number is a question for rules, not for here.
"""

from __future__ import annotations

import re
from collections.abc import Container, Mapping

from coaxwright.model.quantities import quoted
from coaxwright.model.site import Site
from coaxwright.topology.records import Port

_NUMBERED = re.compile(r"([a-z]*[a-z])?([1-9][0-9]{0,4})", re.ASCII)
_RECORDER_WORDS = {"audio": "recorder-audio-in", "net": "network", "poe": "poe-port"}
_ARTICLE = {"monitor": "a monitor", "camera": "a camera", "box": "an in-line box"}
_EXAMPLES = {
    "recorder": "`{0}/1` for a video input, `{0}/audio1`, `{0}/rs485`, `{0}/net1`, or a screen output",
    "supply": "an output by its number, as in `{0}/1`",
    "switch": "a port by its number, as in `{0}/1`",
    "junction": "`{0}` alone: a junction has no numbered ports",
}


class PortError(ValueError):
    """A port word that names nothing: `what` is wrong, what would be `right`; `choices` for a near miss."""

    def __init__(self, what: str, right: str, near: str = "", choices: tuple[str, ...] = ()) -> None:
        super().__init__(what)
        self.what, self.right, self.near, self.choices = what, right, near, choices


def port_devices(site: Site) -> dict[str, str]:
    """Kind of every device that has ports to be named, by id."""
    devices = dict.fromkeys(site.recorders, "recorder")
    devices.update(dict.fromkeys(site.supplies, "supply"))
    devices.update(dict.fromkeys(site.junctions, "junction"))
    devices.update(dict.fromkeys(site.switches, "switch"))
    return devices


def read_port(text: str, use: str, devices: Mapping[str, str], connectors: Mapping[str, frozenset[str]]) -> Port:
    """The port that `text` names when it is to carry `use`; PortError in plain words otherwise.

    `connectors` gives the monitor outputs of each recorder by name.
    """
    device, slash, word = text.partition("/")
    kind = devices.get(device, "")
    if kind == "supply" or kind == "switch":
        match = _NUMBERED.fullmatch(word)
        if match and not match[1]:
            own = "supply-out" if kind == "supply" else "poe-port" if use == "power" else "network"
            return Port(kind, device, own, int(match[2]))
    elif kind == "junction" and not slash:
        return Port(kind, device, "junction-tap", 0)
    elif kind == "recorder":
        port = _recorder_port(device, word, connectors.get(device, frozenset()))
        if port is not None:
            return port
    raise _no_such_port(text, device, kind, devices)


def _recorder_port(device: str, word: str, connectors: frozenset[str]) -> Port | None:
    match = _NUMBERED.fullmatch(word)
    if match and not match[1]:
        return Port("recorder", device, "recorder-video-in", int(match[2]))
    if match and match[1] in _RECORDER_WORDS:
        return Port("recorder", device, _RECORDER_WORDS[match[1]], int(match[2]))
    if word == "rs485":
        return Port("recorder", device, "serial", 0)
    return Port("recorder", device, "monitor-out", 0, word) if word in connectors else None


def _no_such_port(text: str, device: str, kind: str, devices: Mapping[str, str]) -> PortError:
    if not kind:
        right = "name a recorder, supply, junction or switch of this site, and its port, as in `rec1/1`"
        return PortError(f"nothing called {quoted(device)} has ports here", right, device, tuple(devices))
    return PortError(f"{quoted(text)} is not a port of {kind} `{device}`", "write " + _EXAMPLES[kind].format(device))


def not_a_port_device(device: str, site: Site) -> str:
    """In words what else `device` is when it is no device with ports; empty when nothing has that id."""
    groups: dict[str, Container[str]] = {"camera": site.cameras, "box": site.boxes, "monitor": site.monitors}
    kind = next((kind for kind, group in groups.items() if device in group), "")
    return f"`{device}` is {_ARTICLE[kind]}, and other devices are joined to its own entry" if kind else ""
