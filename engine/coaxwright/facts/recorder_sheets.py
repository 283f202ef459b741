"""What a recorder component hands back: the sheets that it made, by owner where their order in the file needs
one.

`recorder_binding.bind_recorder(context, name)` makes one for a recorder with its cameras (each is bound by
the first recorder that its video path names); `recorder_binding.bind_unrecorded(context, name)` one for
a camera that no recorder takes. Sheets that exist before (camera, recorder, site) are filled in place, through the
context.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from coaxwright.facts.sheets import DiskGroup, Hop, Input, Link, Run, SerialBus, View


@dataclass(slots=True, eq=False, repr=False)
class RecorderSheets:
    """Sheets of one recorder with its cameras. `links`, `hops` and `views` by camera id, `runs` by subject path of
    the owner.
    """

    links: dict[str, Link] = field(default_factory=dict)
    hops: dict[str, list[Hop]] = field(default_factory=dict)
    runs: dict[str, list[Run]] = field(default_factory=dict)
    inputs: list[Input] = field(default_factory=list)
    disks: list[DiskGroup] = field(default_factory=list)
    views: dict[str, View] = field(default_factory=dict)
    buses: list[SerialBus] = field(default_factory=list)
