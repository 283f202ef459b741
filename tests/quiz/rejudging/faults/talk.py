"""Sound, control and firmware: over the coax, or over lines of their own."""

from __future__ import annotations

from collections.abc import Mapping

from .. import pictures
from ..judging import Claim
from ..plan import Missing, Plan, number, numbers_in, pieces, port
from .each import each
from .signals import wants


def _family(plan: Plan, name: str) -> str:
    return pictures.sent(plan, name)[0]


def _families(text: str | None, what: str) -> list[str]:
    if text is None:
        raise Missing(what)
    return text.split(", ")


def _passes(plan: Plan, name: str, what: str) -> bool:
    """Whether every in-line box on the way lets it through."""
    way = plan.camera(name, "coax")
    boxes = [piece.box for piece in pieces(way) if piece.box] if way else []
    return all(plan.need("Box models", plan.need("In-line boxes", box, "model"), what) == "yes" for box in boxes)


def _admits(plan: Plan, name: str, text: str | None) -> bool:
    """`own`, `any` or a maker: whether a recorder takes this camera's."""
    own, other = (pictures.maker(plan.need("Cameras", name, "model")),
                  pictures.maker(plan.need("Recorders", plan.recorder, "model")))  # fmt: skip
    return {"any": True, None: True, "own": own == other}.get(text, own == text)


def coax_sound(plan: Plan, name: str) -> bool:
    """Sound over the coax: a microphone, the family at both ends, the input, every box. Raises Missing."""
    family = _family(plan, name)
    if plan.needed_of_model(name, "microphone") != "yes":
        return False
    at_camera = family in _families(plan.model(name, "sound over the coax in"), "sound of the camera")
    at_recorder = family in _families(plan.box("sound from the coax in"), "sound of the recorder")
    channel = int(port(plan.need("Cameras", name, "recorder input"))[1])
    return (
        at_camera and at_recorder and channel in numbers_in(plan.needed_of_box("sound from the coax on inputs"))
        and _passes(plan, name, "passes sound")
    )  # fmt: skip


def over_coax(plan: Plan, label: str) -> list[str]:
    """Cameras whose picture arrives and of which this goes over the coax."""
    return [name for name in pictures.with_picture(plan) if plan.camera(name, label) == "coax"]


def line_sound(plan: Plan, name: str) -> bool:
    """Sound over a line of its own: the line input exists, the microphone reaches so far."""
    which = int(port(plan.need("Cameras", name, "sound into"))[1].removeprefix("audio"))
    metres = [piece.metres for piece in pieces(plan.need("Cameras", name, "sound line"))]
    if None in metres:
        raise Missing("sound line")
    reach = plan.cell("Microphones", plan.need("Cameras", name, "microphone"), "longest line")
    return which <= int(plan.needed_of_box("line inputs")) and (
        reach is None or sum(each or 0.0 for each in metres) <= number(reach)
    )


def _by_line(plan: Plan) -> list[str]:
    return [name for name in plan.cameras if plan.camera(name, "sound into") and not plan.camera(name, "sound over")]


def sound_without_path(plan: Plan) -> Mapping[str, bool]:
    names = [name for name in plan.cameras if wants(plan, name, "sound wanted") or plan.camera(name, "sound into")]
    return {name: not (plan.camera(name, "sound over") or plan.camera(name, "sound into")) for name in names}


SOUND = {
    "sound/coax-sound-broken": Claim(
        lambda plan: each(over_coax(plan, "sound over"), lambda name: not coax_sound(plan, name))
    ),
    "sound/wanted-without-path": Claim(sound_without_path),
    "sound/line-sound-broken": Claim(lambda plan: each(_by_line(plan), lambda name: not line_sound(plan, name))),
}


def coax_control(plan: Plan, name: str) -> bool:
    """Control over the coax: the family at both ends, the maker that the recorder names, every box."""
    family = _family(plan, name)
    at_camera = family in _families(plan.model(name, "control over the coax in"), "control of the camera")
    at_recorder = family in _families(plan.box("control over the coax in"), "control of the recorder")
    admitted = _admits(plan, name, plan.box("control over the coax for cameras of maker"))
    return at_camera and at_recorder and admitted and _passes(plan, name, "passes control")


def coax_firmware(plan: Plan, name: str) -> bool:
    family = _family(plan, name)
    at_camera = family in _families(plan.model(name, "firmware over the coax in"), "firmware of the camera")
    at_recorder = family in _families(plan.box("firmware over the coax in"), "firmware of the recorder")
    admitted = _admits(plan, name, plan.box("firmware for cameras of maker"))
    return at_camera and at_recorder and admitted and _passes(plan, name, "passes firmware")


def sorts(plan: Plan, name: str) -> bool:
    return int(port(plan.need("Cameras", name, "recorder input"))[1]) in numbers_in(
        plan.needed_of_box("sorts motion on inputs")
    )


def _wanting(plan: Plan, what: str) -> list[str]:
    return [name for name in pictures.with_picture(plan) if wants(plan, name, what)]


def control_without_path(plan: Plan) -> Mapping[str, bool]:
    names = [name for name in plan.cameras if wants(plan, name, "control wanted") or plan.camera(name, "control into")]
    return {name: not (plan.camera(name, "control over") or plan.camera(name, "control into")) for name in names}


CONTROL = {
    "control/coax-control-broken": Claim(
        lambda plan: each(over_coax(plan, "control over"), lambda name: not coax_control(plan, name))
    ),
    "control/firmware-not-over-coax": Claim(
        lambda plan: each(_wanting(plan, "firmware over the coax wanted"), lambda name: not coax_firmware(plan, name))
    ),
    "control/sorted-motion-missing": Claim(
        lambda plan: each(_wanting(plan, "sorted motion wanted"), lambda name: not sorts(plan, name))
    ),
    "control/wanted-without-path": Claim(control_without_path),
}
