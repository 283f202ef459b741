"""Faults of coax and of what it is laid with."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Mapping

from .. import coax, pictures
from ..judging import Claim
from ..plan import Missing, Plan, number, pieces
from .channels import CHANNELS, connected
from .each import each


def _coax_pieces(plan: Plan, name: str) -> list[str]:
    """Cables of the camera's way to the recorder."""
    return [piece.cable for piece in pieces(plan.need("Cameras", name, "coax")) if piece.cable]


def _any_cable(plan: Plan, label: str, bad: Callable[[str], bool]) -> Mapping[str, bool]:
    def found(name: str) -> bool:
        """A cable that is made for something else has no property of coax."""
        cables = [cable for cable in _coax_pieces(plan, name) if _is_coax(plan, cable)]
        return any(bad(plan.need("Cables", cable, label)) for cable in cables)

    return each(connected(plan), found)


def _is_coax(plan: Plan, cable: str) -> bool:
    return "coax" in plan.need("Cables", cable, "made for").split(", ")


def made_for_coax(plan: Plan, name: str) -> bool:
    return all(_is_coax(plan, cable) for cable in _coax_pieces(plan, name))


def _mode_text(plan: Plan, name: str) -> str:
    mode = pictures.settled(plan, name).mode
    return f"{mode.width}x{mode.height}@{mode.rate:g}"


def _limit(plan: Plan, name: str) -> tuple[float, float]:
    """Top frequency and what the input makes up for, for a camera: given by mode, or for the one camera asked about."""
    for label, value in plan.given.items():
        if label == f"loss that an input makes up for in {_mode_text(plan, name)}":
            tops = next(text for what, text in plan.given.items() if what.startswith("top frequency of"))
            return number(tops), number(value)
    if f"from {name} loses" not in plan.stem:
        raise Missing("loss limit")
    return coax.given_frequency(plan), coax.given_limit(plan)


def loss_beyond_limit(plan: Plan) -> Mapping[str, bool]:
    def beyond(name: str) -> bool:
        top, limit = _limit(plan, name)
        return coax.loss_of_way(plan, plan.need("Cameras", name, "coax"), top) > limit

    return each([name for name in pictures.with_picture(plan) if made_for_coax(plan, name)], beyond)


def loss_near_limit(plan: Plan) -> Mapping[str, bool]:
    share = number(plan.the("share of that loss to be used at most")) / 100

    def near(name: str) -> bool:
        top, limit = _limit(plan, name)
        return share * limit < coax.loss_of_way(plan, plan.need("Cameras", name, "coax"), top) <= limit

    return each(pictures.with_picture(plan), near)


def joint_count(plan: Plan) -> Mapping[str, bool]:
    most = number(plan.the("joints usual at most"))

    def joints(name: str) -> int:
        found = pieces(plan.need("Cameras", name, "coax"))
        between = sum(one.cable is not None and other.cable is not None for one, other in itertools.pairwise(found))
        return sum(piece.joints + (piece.box is not None) for piece in found) + between

    return each(connected(plan), lambda name: joints(name) > most)


def indoor_outdoors(plan: Plan) -> Mapping[str, bool]:
    """A run lies where it says, or where its camera stands."""

    def out(name: str) -> bool:
        found = False
        for piece in pieces(plan.need("Cameras", name, "coax")):
            if piece.cable and (piece.setting or plan.camera(name, "stands")) == "outdoor":
                found |= plan.need("Cables", piece.cable, "rated") == "indoor"
        return found

    def lies_out(name: str) -> bool:
        found = pieces(plan.need("Cameras", name, "coax"))
        return any((piece.setting or plan.camera(name, "stands")) == "outdoor" for piece in found)

    return each(filter(lies_out, connected(plan)), out, "coax run of {}")


def not_for_this_use(plan: Plan) -> Mapping[str, bool]:
    return each(connected(plan), lambda name: not made_for_coax(plan, name), "coax run of {}")


CABLE = {
    "cable/loss-beyond-limit": Claim(loss_beyond_limit),
    "cable/clad-steel-centre": Claim(
        lambda plan: _any_cable(plan, "centre conductor", lambda text: text == "copper-clad-steel")
    ),
    "cable/wrong-impedance": Claim(
        # 75 ohm coax (IEC 61169-8, SMPTE ST 292-1) to 5 %
        lambda plan: _any_cable(plan, "impedance", lambda text: abs(number(text) - 75) > 0.05 * 75)
    ),
    "cable/joint-count": Claim(joint_count),
    "cable/indoor-cable-outdoors": Claim(indoor_outdoors),
    "cable/not-for-this-use": Claim(not_for_this_use),
}
CABLE_CHANGES = {
    **{rule: claim for rule, claim in CABLE.items() if rule != "cable/joint-count"},
    "near": Claim(loss_near_limit),
    **CHANNELS,
}
