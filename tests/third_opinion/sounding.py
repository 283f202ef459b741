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


def in_family(families: list[str] | None, family: str | None) -> bool | None:
    """Whether a list of families has that one."""
    if families is not None and (not families or family is not None):
        return family in families
    return None


def filled(listed: list[str] | None) -> bool | None:
    """Whether a list has anything in it; None where it is not stated."""
    return None if listed is None else bool(listed)


def both(one: bool | None, other: bool | None) -> bool | None:
    return False if False in (one, other) else None if None in (one, other) else True


def passes(way: Way, field: str) -> bool | None:
    """Whether every box on the way of the picture passes it."""
    try:
        hops = drawn(way.camera["video"])
    except Open:
        return None
    answers = [way.parts[way.site["boxes"][hop["box"]]["part"]].get(field) for hop in hops if "box" in hop]
    return False if False in answers else None if None in answers else True


def over_coax(
    way: Way, camera: list[bool | None], sends: Any, recorder: list[bool | None], takes: Any, rest: Chain, box: str
) -> Chain:
    """The chain over the coax, in the order of the table of codes."""
    return [
        *[("camera", one) for one in [*camera, filled(sends)]],
        *[("recorder", one) for one in [*recorder, filled(takes)]],
        ("family", both(in_family(sends, way.family), in_family(takes, way.family))),
        *rest,
        ("no-picture", way.picture),
        ("box", passes(way, box)),
    ]


def joined(way: Way) -> bool:
    return way.recorder is not None and way.channel is not None


def own_maker(way: Way, wanted: str) -> bool:
    return made_for(wanted, maker(way.recorder["part"], way.recorder_part), maker(way.camera["part"], way.camera_part))


def coax_sound(way: Way) -> tuple[bool | None, str | None]:
    """Sound over the coax."""
    if not joined(way):
        return False, "not-joined"
    has, takes = way.camera_part.get("sound") or {}, way.recorder_part.get("sound") or {}
    inputs = channels(takes["coax_channels"]) if "coax_channels" in takes else None
    rest: Chain = [
        ("input", None if inputs is None else way.channel in inputs),
        ("maker", own_maker(way, takes.get("coax_maker", "any"))),
    ]
    return first_broken(
        over_coax(
            way, [has.get("microphone")], has.get("over_coax"), [], takes.get("coax_families"), rest, "passes_sound"
        )
    )


def coax_control(way: Way) -> tuple[bool | None, str | None]:
    """Control over the coax."""
    if not joined(way):
        return False, "not-joined"
    has, gives = way.camera_part.get("control") or {}, way.recorder_part.get("control") or {}
    rest: Chain = [("maker", own_maker(way, gives.get("coax_maker", "any")))]
    return first_broken(
        over_coax(way, [], has.get("over_coax"), [], gives.get("coax_families"), rest, "passes_control")
    )


def firmware(way: Way) -> tuple[bool | None, str | None]:
    """Firmware over the coax."""
    if not joined(way):
        return False, "not-joined"
    gives = way.recorder_part.get("firmware_over_coax")
    rest: Chain = [("maker", None if gives is None else own_maker(way, gives.get("maker", "own")))]
    families = None if gives is None else gives["families"]
    return first_broken(
        over_coax(way, [], way.camera_part.get("firmware_over_coax"), [], families, rest, "passes_firmware")
    )


def talk_back(way: Way) -> tuple[bool | None, str | None]:
    """Speaking to people at the camera."""
    if not joined(way):
        return False, "not-joined"
    has, gives = way.camera_part.get("sound") or {}, way.recorder_part.get("sound") or {}
    chain = over_coax(
        way,
        [has.get("loudspeaker")],
        has.get("talk_back_coax"),
        [],
        gives.get("talk_back_families"),
        [],
        "passes_sound",
    )
    return first_broken(chain)


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
    try:
        return metres(path) <= quantity(pickup.get("reach"), "length")
    except Open:
        return None
