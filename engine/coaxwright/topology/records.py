"""The records of the wiring: ports, cable paths, power trees, and the lists that everything else looks up.

Plain slotted records, built once by `wiring`; 10,000 cameras make 20,000 paths, so they carry references and
no dictionaries of their own.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple

from coaxwright.model.site import Hop

Pointer = tuple[str | int, ...]

GROUP_OF_KIND = {
    "camera": "cameras",
    "recorder": "recorders",
    "supply": "supplies",
    "junction": "junctions",
    "box": "boxes",
    "switch": "switches",
    "monitor": "monitors",
}
"""The top-level key of the site file under which each kind of device stands."""


class Port(NamedTuple):
    """One port that a path names: `number` counts from 1 and is 0 where the device has one such port.

    `connector` is the name of a recorder's monitor output, empty for all else.
    """

    device_kind: str
    device: str
    kind: str
    number: int
    connector: str = ""


@dataclass(slots=True, eq=False, repr=False)
class CablePath:
    """One way over cables from a device to the port that it names.

    `owner` is the id of the device in whose entry the path is written, `use` is video, power, sound, control,
    network or monitor, `pointer` the document path of the entry. `target` is None where no cable of its own
    is meant (sound or control over the coax). `hops` is None where nobody wrote what the path runs over; they
    are in the order written, which for video starts at the camera and for power at the source.
    """

    owner_kind: str
    owner: str
    use: str
    pointer: Pointer
    target: Port | None
    hops: tuple[Hop, ...] | None

    @property
    def subject(self) -> str:
        """Subject path of the owner, as in `cameras/slipway`."""
        return f"{GROUP_OF_KIND[self.owner_kind]}/{self.owner}"


@dataclass(slots=True, eq=False, repr=False)
class SupplyTree:
    """All that hangs on one supply, on a junction that nothing feeds, or on the network ports of one device;
    parents stand before their children.

    `parents[i]` is the index in `paths` of the junction path that `paths[i]` hangs on, or -1 at the source.
    """

    root: str
    paths: list[CablePath] = field(default_factory=list)
    parents: list[int] = field(default_factory=list)


@dataclass(slots=True, eq=False, repr=False)
class Lists:
    """Every path, found by owner and by target. Absent keys mean that nobody wrote such a path."""

    paths: list[CablePath] = field(default_factory=list)
    video: dict[str, CablePath] = field(default_factory=dict)
    power: dict[str, CablePath] = field(default_factory=dict)
    sound: dict[str, CablePath] = field(default_factory=dict)
    control: dict[str, CablePath] = field(default_factory=dict)
    network: dict[str, CablePath] = field(default_factory=dict)
    device_power: dict[tuple[str, str], CablePath] = field(default_factory=dict)
    uplinks: dict[str, CablePath] = field(default_factory=dict)
    screens: dict[str, CablePath] = field(default_factory=dict)
    inputs: dict[tuple[str, int], list[CablePath]] = field(default_factory=dict)
    outputs: dict[tuple[str, int], list[CablePath]] = field(default_factory=dict)
    taps: dict[str, list[CablePath]] = field(default_factory=dict)
    others: dict[Port, list[CablePath]] = field(default_factory=dict)
    video_into: dict[str, list[CablePath]] = field(default_factory=dict)
    network_into: dict[str, list[CablePath]] = field(default_factory=dict)
    box_uses: dict[str, list[CablePath]] = field(default_factory=dict)
    sheaths: dict[str, list[tuple[CablePath, int]]] = field(default_factory=dict)

    def is_network_cable(self, path: CablePath) -> bool:
        """Whether a power path runs over the cable of its device's network path: into one port, over the same pieces,
        written once under `network` or `into` and once under `power`.
        """
        if path.use != "power" or path.target is None:
            return False
        other = {"camera": self.network, "switch": self.uplinks}.get(path.owner_kind, {}).get(path.owner)
        if other is None or other.target is None:
            return False
        one, two = other.target, path.target
        if (one.device, one.number) != (two.device, two.number) or (one.device_kind == "recorder" and one.kind != two.kind):
            return False
        pieces, others = ([(hop.cable, hop.length) for hop in each.hops or ()] for each in (path, other))
        return pieces in (others, others[::-1])
