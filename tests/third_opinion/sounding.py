"""Sound, control, firmware, talk-back: docs/how-facts-are-computed.md, "Sound, control, firmware, sorted motion"."""

from typing import Any, NamedTuple

from .losing import drawn, metres
from .reading import Open, channels, made_for, maker, quantity


class Way(NamedTuple):
    """A camera and its recorder: their entries and parts, the channel, family sent (None: unknown), picture or not."""

    site: dict[str, Any]
    parts: dict[str, Any]
    camera: dict[str, Any]
    recorder: dict[str, Any] | None
    channel: int | None
    family: str | None
    picture: bool | None

    @property
    def camera_part(self) -> dict[str, Any]:
        return self.parts[self.camera["part"]]

    @property
    def recorder_part(self) -> dict[str, Any]:
        return self.parts[self.recorder["part"]]


Chain = list[tuple[str, bool | None]]


def first_broken(chain: Chain) -> tuple[bool | None, str | None]:
    """Works (None: open) and the first that fails."""
    for code, holds in chain:
        if holds is False:
            return False, code
    return (None, None) if any(holds is None for _, holds in chain) else (True, "none")


def does(device: str, families: list[str] | None, family: str | None) -> Chain:
    """What a device does over the coax: in no family at all, or not in this one."""
    if families is not None and not families:
        return [(device, False)]
    return [("family", None if families is None or family is None else family in families)]


def passes(way: Way, field: str) -> bool | None:
    """Whether every box on the way of the picture passes it; a joint does, where its part does not say otherwise."""
    try:
        hops = drawn(way.camera["video"])
    except Open:
        return None
    parts = [way.parts[way.site["boxes"][hop["box"]]["part"]] for hop in hops if "box" in hop]
    answers = [part.get(field, True if part["does"] == "joint" else None) for part in parts]
    return False if False in answers else None if None in answers else True


def between(way: Way, box: str) -> Chain:
    """A picture to travel with, and no box that blocks."""
    return [("no-picture", way.picture), ("box", passes(way, box))]


def joined(way: Way) -> bool:
    """Whether a recorder input is named that there is."""
    return way.recorder is not None and way.channel is not None


def own_maker(way: Way, wanted: str) -> bool:
    """Whether the recorder does it with cameras of this maker."""
    return made_for(wanted, maker(way.recorder["part"], way.recorder_part), maker(way.camera["part"], way.camera_part))


def coax_sound(way: Way) -> tuple[bool | None, str | None]:
    """Sound over the coax."""
    if not joined(way):
        return False, "not-joined"
    has, takes = way.camera_part.get("sound") or {}, way.recorder_part.get("sound") or {}
    inputs = channels(takes["coax_channels"]) if "coax_channels" in takes else None
    chain: Chain = [("camera", has.get("microphone")), *does("camera", has.get("over_coax"), way.family)]
    chain += does("recorder", takes.get("coax_families"), way.family)
    chain += [("input", None if inputs is None else way.channel in inputs)]
    chain += [("maker", own_maker(way, takes.get("coax_maker", "any")))]
    return first_broken(chain + between(way, "passes_sound"))


def coax_control(way: Way) -> tuple[bool | None, str | None]:
    """Control over the coax."""
    if not joined(way):
        return False, "not-joined"
    has, gives = way.camera_part.get("control") or {}, way.recorder_part.get("control") or {}
    chain = does("camera", has.get("over_coax"), way.family) + does("recorder", gives.get("coax_families"), way.family)
    chain += [("maker", own_maker(way, gives.get("coax_maker", "any")))]
    return first_broken(chain + between(way, "passes_control"))


def firmware(way: Way) -> tuple[bool | None, str | None]:
    """Firmware over the coax."""
    if not joined(way):
        return False, "not-joined"
    gives = way.recorder_part.get("firmware_over_coax")
    chain = does("camera", way.camera_part.get("firmware_over_coax"), way.family)
    chain += does("recorder", None if gives is None else gives["families"], way.family)
    chain += [("maker", None if gives is None else own_maker(way, gives.get("maker", "own")))]
    return first_broken(chain + between(way, "passes_firmware"))


def talk_back(way: Way) -> tuple[bool | None, str | None]:
    """Speaking to people at the camera."""
    if not joined(way):
        return False, "not-joined"
    has, gives = way.camera_part.get("sound") or {}, way.recorder_part.get("sound") or {}
    chain: Chain = [("camera", has.get("loudspeaker")), *does("camera", has.get("talk_back_coax"), way.family)]
    chain += does("recorder", gives.get("talk_back_families"), way.family)
    return first_broken(chain + between(way, "passes_sound"))


def line_sound(way: Way) -> tuple[bool | None, str | None]:
    """Sound on a line of its own."""
    path = way.camera["sound"]
    device, port = path["into"].split("/")
    part = way.parts[way.site["recorders"][device]["part"]]
    inputs = (part.get("sound") or {}).get("line_inputs")
    chain: Chain = [("line-input", None if inputs is None else int(port.removeprefix("audio")) <= inputs)]
    if "pickup" not in path:
        return first_broken([*chain, ("line-output", (way.camera_part.get("sound") or {}).get("line_output"))])
    pickup = way.parts[path["pickup"]]
    recorder_maker = maker(way.site["recorders"][device]["part"], part)
    wanted = pickup.get("works_with", "any")
    chain.append(("maker", made_for(wanted, maker(path["pickup"], pickup), recorder_maker)))
    return first_broken([*chain, ("length", _short_enough(path, pickup))])


def _short_enough(path: dict[str, Any], pickup: dict[str, Any]) -> bool | None:
    if "reach" not in pickup:
        return None
    try:
        return metres(path) <= quantity(pickup["reach"], "length")
    except Open:
        return None
