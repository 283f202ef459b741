"""Questions of coax."""

from __future__ import annotations

import re
from typing import Any

from .. import coax
from ..faults import cables
from ..judging import Change, Judge, Least, Result, Verdict, misread, scaled
from ..plan import Plan, number, pieces, relaid, with_length
from .ways import (
    DOUBLE,
    FEET,
    FOOT,
    Edit,
    about,
    ordered,
    ways,
)

COAX_LIST = ("video-thin", "video-6mm", "video-7mm", "video-10mm")


def _coax_loss(plan: Plan) -> Result:
    return coax.loss_from(plan, about(plan, r"coax from (\S+) lose"))


def _thin(subject: str) -> Edit:
    def edit(plan: Plan) -> Plan:
        name = about(plan, subject)
        return plan.put("Cameras", name, "coax", relaid("video-thin")(plan.need("Cameras", name, "coax")))

    return edit


def _loss_of_hundred(plan: Plan) -> Result:
    name = about(plan, r"coax from (\S+) lose")
    return coax.loss_of_way(plan, with_length(100)(plan.need("Cameras", name, "coax")), coax.given_frequency(plan))


def _longest_coax(plan: Plan) -> Result:
    return float(coax.longest_way(plan, about(plan, r"coax from (\S+) be")))


def _coax_suffices(plan: Plan, cable: str) -> bool:
    name = about(plan, r"loss from (\S+) at")
    way = relaid(cable)(plan.need("Cameras", name, "coax"))
    return coax.loss_of_way(plan, way, coax.given_frequency(plan)) <= coax.given_limit(plan)


def _reaches(plan: Plan) -> bool:
    return coax.loss_from(plan, about(plan, r"what the coax from (\S+) loses")) <= coax.given_limit(plan)


def _coax_change(plan: Plan, text: str) -> Plan:
    name = about(plan, r"way from (\S+) loses")
    if match := re.fullmatch(r"lay (\S+) in place of its cable", text):
        return plan.put("Cameras", name, "coax", relaid(match[1])(plan.need("Cameras", name, "coax")))
    if match := re.fullmatch(r"lead its cable another way, of ([0-9]+) m", text):
        return plan.put("Cameras", name, "coax", with_length(float(match[1]))(plan.need("Cameras", name, "coax")))
    raise ValueError(text)


def _of_mode(plan: Plan, name: str) -> float:
    top = number(plan.the("top frequency of the mode that the cameras settle on"))
    return coax.loss_of_way(plan, plan.need("Cameras", name, "coax"), top)


def _metres(plan: Plan, name: str) -> float:
    return sum(piece.metres or 0.0 for piece in pieces(plan.need("Cameras", name, "coax")))


def _cable_first(plan: Plan, name: str) -> tuple[float, float]:
    """Loss a metre; of equal cables the greater loss first."""
    return round(_of_mode(plan, name) / _metres(plan, name), 9), _of_mode(plan, name)


def _copper(plan: Plan) -> bool:
    name = about(plan, r"coax from (\S+) has")
    cables_of = [piece.cable for piece in pieces(plan.need("Cameras", name, "coax")) if piece.cable]
    return all(plan.need("Cables", cable, "centre conductor") == "copper" for cable in cables_of)


CABLE: dict[str, Any] = {
    "cable/copper-centre": Verdict(_copper),
    "cable/order-by-loss": Judge(
        lambda plan: ordered(plan, _of_mode),
        {
            "longest-run-first": lambda plan: ordered(plan, _metres),
            "order-turned-round": lambda plan: ordered(plan, lambda of, name: -_of_mode(of, name)),
            "by-cable-alone": lambda plan: ordered(plan, _cable_first),
        },
    ),
    "cable/loss-of-run": Judge(
        _coax_loss,
        {"loss-not-per-hundred": _loss_of_hundred, "feet-for-metres": misread(_coax_loss, FEET),
         "metres-for-feet": misread(_coax_loss, ways(1 / FOOT)),
         "coax-both-ways": scaled(_coax_loss, 2), "thinner-conductor": misread(_coax_loss, _thin(r"coax from (\S+) lose"))},
    ),
    "cable/longest-coax": Judge(
        _longest_coax,
        {"metres-for-feet": scaled(_longest_coax, 1 / FOOT), "coax-both-ways": scaled(_longest_coax, 0.5),
         "thinner-conductor": misread(_longest_coax, _thin(r"coax from (\S+) be"))},
    ),
    "cable/least-coax": Least(COAX_LIST, _coax_suffices, {"feet-for-metres": FEET, "coax-both-ways": DOUBLE}),
    "cable/reaches": Verdict(_reaches, {"feet-for-metres": FEET, "coax-both-ways": DOUBLE}),
    "cable/clears-loss": Change(
        "cable/loss-beyond-limit", cables.CABLE_CHANGES, _coax_change,
        lambda plan: -coax.loss_from(plan, about(plan, r"way from (\S+) loses")),
    ),
}  # fmt: skip
