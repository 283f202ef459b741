"""Faults of views, screens, networks and of good practice."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping

from .. import sights
from ..judging import Claim
from ..plan import Missing, Plan, number, port
from .each import each
from .power import outputs_in_use

# Views


def seeing(plan: Plan) -> list[str]:
    """Cameras of which the plan says what they are to see."""
    return [name for name in plan.cameras if plan.camera(name, "is to")]


def density_low(plan: Plan) -> Mapping[str, bool]:
    return each(seeing(plan), lambda name: sights.density(plan, name) < sights.wanted_density(plan, name))


def density_near(plan: Plan) -> Mapping[str, bool]:
    """Above the density of the class, and by less than the reserve that is given."""
    reserve = 1 + number(plan.the("reserve")) / 100

    def near(name: str) -> bool:
        wanted = sights.wanted_density(plan, name)
        return wanted <= sights.density(plan, name) < wanted * reserve

    return each(seeing(plan), near)


def _by_night(plan: Plan) -> list[str]:
    return [name for name in plan.cameras if plan.camera(name, "by night too") == "yes"]


def lens_out_of_range(plan: Plan) -> Mapping[str, bool]:
    def out(name: str) -> bool:
        low = number(plan.needed_of_model(name, "shortest focal length"))
        high = number(plan.needed_of_model(name, "longest focal length"))
        return not low <= number(plan.need("Cameras", name, "lens set to in mm")) <= high

    return each(plan.cameras, out)


def scene_too_narrow(plan: Plan) -> Mapping[str, bool]:
    return each(
        plan.cameras,
        lambda name: sights.scene_width(plan, name) < number(plan.need("Cameras", name, "scene to be covered")),
    )


def washed_out(plan: Plan) -> Mapping[str, bool]:
    most = number(plan.the("brightness that one picture holds").rpartition(" ")[2])
    return each(_by_night(plan), lambda name: sights.brighter_near(plan, name) > most)


VIEW = {
    "view/density-low": Claim(density_low),
    "view/density-near": Claim(density_near),
    "view/night-range-short": Claim(
        lambda plan: each(_by_night(plan), lambda name: not sights.lamp_reaches(plan, name))
    ),
    "view/lens-out-of-range": Claim(lens_out_of_range),
    "view/scene-too-narrow": Claim(scene_too_narrow),
    "view/washed-out-near": Claim(washed_out),
}

# Screens


def joined(plan: Plan) -> list[str]:
    return [name for name in plan.names("Screens") if plan.cell("Screens", name, "joined to")]


def _connector(plan: Plan, screen: str) -> str:
    return port(plan.need("Screens", screen, "joined to"))[1]


def connector_missing(plan: Plan) -> Mapping[str, bool]:
    def missing(screen: str) -> bool:
        model = plan.need("Screens", screen, "model")
        return _connector(plan, screen) not in plan.need("Screen models", model, "connectors").split(", ")

    return each(joined(plan), missing)


def output_shared(plan: Plan) -> Mapping[str, bool]:
    count = Counter(plan.need("Screens", screen, "joined to") for screen in joined(plan))
    return {screen: count[plan.need("Screens", screen, "joined to")] > 1 for screen in joined(plan)}


def decoding_exceeded(plan: Plan) -> Mapping[str, bool]:
    return each(
        plan.names("Recorders"), lambda _: sights.played_back(plan) > number(plan.needed_of_box("decodes at most"))
    )


def output_above_screen(plan: Plan) -> Mapping[str, bool]:
    def above(screen: str) -> bool:
        shown = sights.pictures.mode_of(plan.need("Screen models", plan.need("Screens", screen, "model"), "shows"))
        given = sights.outputs(plan)[_connector(plan, screen)]
        return shown.width < given.width or shown.height < given.height or shown.rate < given.rate

    return each(joined(plan), above)


DISPLAY = {
    "display/connector-missing": Claim(connector_missing),
    "display/output-shared": Claim(output_shared),
    "display/decoding-exceeded": Claim(decoding_exceeded),
    "display/output-above-screen": Claim(output_above_screen),
    "display/viewer-too-far": Claim(
        lambda plan: each(
            plan.names("Screens"), lambda screen: sights.seat(plan, screen) > sights.farthest_seat(plan, screen)
        )
    ),
    "display/screen-not-joined": Claim(
        lambda plan: {screen: screen not in joined(plan) for screen in plan.names("Screens")}
    ),
}

# Networks


def _recorder(test: str, most: str) -> Claim:
    """A sum of the recorder's network side against what its model states."""
    sums = {"in": sights.sent_in, "out": sights.sent_out,
            "viewers": lambda plan: number(plan.need("Recorders", plan.recorder, "remote viewers at a time"))}  # fmt: skip
    return Claim(
        lambda plan: each(plan.names("Recorders"), lambda _: sums[test](plan) > number(plan.needed_of_box(most)))
    )


def way_too_long(plan: Plan) -> Mapping[str, bool]:
    longest = number(plan.the("longest network channel"))
    ways = {owner: way for owner, _, way in sights.cables(plan)}
    return each(ways, lambda owner: sights.metres(ways[owner]) > longest)


def _port(text: str) -> str:
    device, which = port(text)
    return f"port {which} of {device}" if which.isdecimal() else f"{which} of {device}"


def port_shared(plan: Plan) -> Mapping[str, bool]:
    count = Counter(into for _, into, _ in sights.cables(plan))
    return {_port(into): number > 1 for into, number in count.items()}


def no_such_port(plan: Plan) -> Mapping[str, bool]:
    def missing(into: str) -> bool:
        device, which = port(into)
        return int(re.sub(r"[a-z]+", "", which)) > sights.ports(plan, device)

    found = each({into for _, into, _ in sights.cables(plan)}, missing)
    return {_port(into): there for into, there in found.items()}


def address_shared(plan: Plan) -> Mapping[str, bool]:
    """On the later of two that have it, and on the earlier: either says the same."""
    found = sights.addresses(plan)
    count = Counter(found.values())
    return {name: count[address] > 1 for name, address in found.items()}


def address_malformed(plan: Plan) -> Mapping[str, bool]:
    return {name: not sights.is_address(text) for name, text in sights.addresses(plan).items()}


def switch_without_way(plan: Plan) -> Mapping[str, bool]:
    behind = {port(plan.need("Cameras", name, "network port"))[0] for name in sights.on_network(plan)}
    return {name: plan.cell("Switches", name, "joined to") is None for name in plan.names("Switches") if name in behind}


NETWORK = {
    "network/viewers-exceeded": _recorder("viewers", "remote viewers at most"),
    "network/outgoing-exceeded": _recorder("out", "gives to remote viewers"),
    "network/incoming-exceeded": _recorder("in", "takes from network cameras"),
    "network/uplink-exceeded": Claim(
        lambda plan: each(
            plan.names("Recorders"), lambda _: sights.sent_out(plan) > sights.line_takes(plan) * (1 + 1e-12)
        )
    ),
    "network/way-too-long": Claim(way_too_long),
    "network/port-shared": Claim(port_shared),
    "network/no-such-port": Claim(no_such_port),
    "network/address-shared": Claim(address_shared),
    "network/address-malformed": Claim(address_malformed),
    "network/switch-without-way": Claim(switch_without_way),
}

# Good practice


def root(plan: Plan, source: str) -> str:
    """The output of a supply at the root."""
    while "/" not in source:
        source = plan.need("Junctions", source, "fed from")
    return source


def area_on_one_output(plan: Plan) -> Mapping[str, bool]:
    if plan.given and plan.the("outputs that feed the cameras of one area") != "two or more":
        raise ValueError("another number")
    areas: dict[str, list[str]] = {}
    for name in plan.cameras:
        area, source = plan.camera(name, "watches the area"), plan.camera(name, "fed from")
        if area is not None and source is not None:
            areas.setdefault(area, []).append(root(plan, source))
    return {area: len(set(roots)) < 2 for area, roots in areas.items() if len(roots) >= 2}


def _labels(plan: Plan) -> list[str]:
    return [text for name in plan.cameras if (text := plan.camera(name, "label")) is not None]


def no_spare_output(plan: Plan) -> Mapping[str, bool]:
    if plan.the("outputs of a supply to keep free") != "one":
        raise ValueError("another number")

    def none_left(supply: str) -> bool:
        outputs = number(plan.need("Supply models", plan.need("Supplies", supply, "model"), "outputs"))
        used = sum(port(output)[0] == supply for output in outputs_in_use(plan))
        if not used <= outputs:
            raise Missing("more are in use than there are")
        return outputs - used < 1

    return each(plan.names("Supplies"), none_left)


PRACTICE = {
    "practice/area-on-one-output": Claim(area_on_one_output),
    "practice/label-twice": Claim(
        lambda plan: {"the site": len(set(_labels(plan))) < len(_labels(plan))} if len(_labels(plan)) > 1 else {}
    ),
    "practice/labels-missing": Claim(
        lambda plan: {"the site": len(_labels(plan)) < len(plan.cameras)} if _labels(plan) else {}
    ),
    "practice/no-spare-output": Claim(no_spare_output),
}
