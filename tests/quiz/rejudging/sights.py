"""What cameras see, what screens show, what goes over the network: plain geometry and sums from the printed tables."""

from __future__ import annotations

import math
import re

from . import pictures
from .plan import Missing, Plan, number, pieces

INCH = 0.0254
ARCMINUTE = math.tan(math.radians(1 / 60))  # ITU-R BT.1845, from memory
DENSITY = {  # px/m; IEC 62676-4:2014 6.7, from memory; the papers print those that they need
    "monitor": 12.5, "detect": 25.0, "observe": 62.5, "recognise": 125.0, "identify": 250.0, "inspect": 1000.0,
}  # fmt: skip


def distance(plan: Plan, name: str) -> float:
    return number(plan.need("Cameras", name, "at a distance of"))


def focal(plan: Plan, name: str) -> float:
    """mm: as written, else the one that the lens has. Raises Missing."""
    written = plan.camera(name, "lens set to in mm")
    if written is not None:
        return number(written)
    low, high = plan.needed_of_model(name, "shortest focal length"), plan.needed_of_model(name, "longest focal length")
    if number(low) != number(high):
        raise Missing("focal length")
    return number(low)


def scene_width(plan: Plan, name: str) -> float:
    """m at the distance wanted: similar triangles behind and before a thin lens."""
    return distance(plan, name) * number(plan.needed_of_model(name, "width of the image area")) / focal(plan, name)


def columns(plan: Plan, name: str) -> int:
    return pictures.recorded(plan, name).width


def density(plan: Plan, name: str) -> float:
    """px/m across at the distance wanted, of what is recorded."""
    return columns(plan, name) / scene_width(plan, name)


def wanted_density(plan: Plan, name: str) -> float:
    """px/m of the class wanted, checked against the figures that the paper gives."""
    see = plan.need("Cameras", name, "is to")
    for label, value in plan.given.items():
        classes = re.findall(r"detect|observe|recognise|identify", label)
        figures = [float(each) for each in re.findall(r"[0-9.]+", value)]
        if label.startswith("pixel density") and see in classes and len(classes) == len(figures):
            return figures[classes.index(see)]
    return DENSITY[see]


def lamp_reaches(plan: Plan, name: str) -> bool:
    return distance(plan, name) <= number(plan.needed_of_model(name, "lamp reaches"))


def brighter_near(plan: Plan, name: str) -> float:
    """How many times brighter the lamp is at the nearest distance: inverse squares."""
    return (distance(plan, name) / number(plan.need("Cameras", name, "from as near as"))) ** 2


# Screens


def line_height(plan: Plan, screen: str) -> float:
    """m of one line: the diagonal by Pythagoras over square picture elements."""
    model = plan.need("Screens", screen, "model")
    mode = pictures.mode_of(plan.need("Screen models", model, "shows"))
    diagonal = number(plan.need("Screen models", model, "diagonal in inches")) * INCH
    return diagonal / math.hypot(mode.width, mode.height)


def farthest_seat(plan: Plan, screen: str) -> float:
    """Twice the distance at which a line subtends a minute of arc."""
    return 2 * line_height(plan, screen) / ARCMINUTE


def seat(plan: Plan, screen: str) -> float:
    return number(plan.need("Screens", screen, "viewer sits at"))


def outputs(plan: Plan) -> dict[str, pictures.Mode]:
    """Outputs of the recorder by connector."""
    pairs = [part.split() for part in plan.needed_of_box("outputs").split("; ")]
    return {connector: pictures.mode_of(mode) for connector, mode in pairs}


def played_back(plan: Plan) -> float:
    """Mpx/s of the recorded pictures with most picture elements a second, as many as are played back."""
    count = int(plan.need("Recorders", plan.recorder, "channels played back at a time"))
    rates = sorted((pictures.demand(mode) for mode in pictures.shared(plan).values()), reverse=True)
    return sum(rates[:count]) / 1e6


def all_recorded(plan: Plan) -> float:
    """Mpx/s of everything that is recorded."""
    return sum(map(pictures.demand, pictures.shared(plan).values())) / 1e6


# Networks


def second_stream(plan: Plan, name: str) -> float:
    """Mb/s: of the camera where written, else of the recorder; 0 where none is."""
    return number(
        plan.camera(name, "second stream")
        or plan.cell("Recorders", plan.recorder, "second stream of each channel")
        or "0"
    )


def rate(plan: Plan, name: str) -> float:
    """Mb/s of both streams."""
    return number(plan.need("Cameras", name, "recorded at")) + second_stream(plan, name)


def on_network(plan: Plan) -> list[str]:
    """Cameras that a recorder takes over the network."""
    return [name for name in plan.cameras if plan.camera(name, "recorded by")]


def sent_in(plan: Plan) -> float:
    """Mb/s from network cameras to the recorder."""
    return sum(rate(plan, name) for name in on_network(plan))


def watched(plan: Plan) -> float:
    """Mb/s of the largest of the streams that viewers watch."""
    stream = plan.need("Recorders", plan.recorder, "stream they watch")
    if stream == "main":
        return max(number(plan.need("Cameras", name, "recorded at")) for name in plan.cameras)
    return max(second_stream(plan, name) for name in plan.cameras)


def sent_out(plan: Plan) -> float:
    """Mb/s to all remote viewers: each has streams of their own."""
    recorder = plan.recorder
    viewers = number(plan.need("Recorders", recorder, "remote viewers at a time"))
    return viewers * number(plan.need("Recorders", recorder, "channels each viewer watches")) * watched(plan)


def line_takes(plan: Plan) -> float:
    """Mb/s of the line outwards that may be planned with."""
    share = number(plan.the("share of the line outwards")) / 100
    return number(plan.need("Recorders", plan.recorder, "line outwards carries")) * share


def cables(plan: Plan) -> list[tuple[str, str, str]]:
    """Owner, port and way of every network cable."""
    found = []
    for title, label in (("Cameras", "network port"), ("Switches", "joined to")):
        for name in plan.names(title):
            into = plan.cell(title, name, label)
            if into is not None:
                found.append((name, into, plan.need(title, name, "network cable")))
    return found


def metres(way: str) -> float:
    lengths = [piece.metres for piece in pieces(way) if piece.box is None]
    if None in lengths:
        raise Missing(way)
    return sum(each or 0.0 for each in lengths)


def ports(plan: Plan, device: str) -> int:
    """Network ports of a switch or recorder."""
    for title, models in (("Switches", "Switch models"), ("Recorders", "Recorder models")):
        if device in plan.names(title):
            return int(plan.need(models, plan.need(title, device, "model"), "network ports"))
    raise Missing(device)


def addresses(plan: Plan) -> dict[str, str]:
    """Network address of each device that has one."""
    found = {}
    for title in ("Cameras", "Recorders", "Switches"):
        for name in plan.names(title):
            text = plan.cell(title, name, "network address")
            if text is not None:
                found[name] = text
    return found


def is_address(text: str) -> bool:
    """Four whole numbers from 0 to 255 with points between them: RFC 791, as RFC 6943 3.1.1 has them written."""
    parts = text.split(".")
    return len(parts) == 4 and all(re.fullmatch(r"0|[1-9][0-9]{0,2}", part) and int(part) <= 255 for part in parts)
