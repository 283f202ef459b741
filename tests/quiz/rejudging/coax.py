"""Loss along coax at the top frequency of a mode, from the printed table of the cable."""

from __future__ import annotations

import itertools
import math
import re

from .plan import Missing, Plan, number, pieces

JOINT = 0.1  # dB a joint: common practice; no key hangs on it
LEAST_WARMTH = 20.0


def loss_a_hundred(plan: Plan, cable: str, frequency: float) -> float:
    """dB a 100 m at 20 °C, between printed points by straight lines on paper with two logarithmic scales."""
    text = plan.need("Cables", cable, "loss a 100 m at 20 °C")
    points = [(float(mhz), float(loss)) for loss, mhz in re.findall(r"([0-9.]+) dB at ([0-9.]+) MHz", text)]
    for mhz, loss in points:
        if abs(mhz - frequency) <= 0.001 * mhz:  # the given figure is rounded
            return loss
    for (low, less), (high, more) in itertools.pairwise(points):
        if low < frequency < high:
            share = math.log(frequency / low) / math.log(high / low)
            return less * (more / less) ** share
    raise Missing(f"{cable} at {frequency} MHz")


def warmth(plan: Plan) -> float:
    """Factor on the loss: half of copper's rise of resistance, since loss goes with its root; printed as given."""
    rise = number(plan.the("rise of coax loss")) / 100
    return 1 + rise * (number(plan.site("conductor temperature")) - LEAST_WARMTH)


def loss_of_way(plan: Plan, way: str, frequency: float) -> float:
    """dB of a whole way. Raises Missing where a length or cable is not given."""
    total = 0.0
    for piece in pieces(way):
        if piece.metres is None or piece.cable is None:
            raise Missing(way)
        total += loss_a_hundred(plan, piece.cable, frequency) * piece.metres / 100 * warmth(plan) + JOINT * piece.joints
    return total


def given_frequency(plan: Plan) -> float:
    return number(plan.the("top frequency of the mode that the camera settles on"))


def given_limit(plan: Plan) -> float:
    return number(plan.the("loss that the input makes up for in that mode"))


def loss_from(plan: Plan, name: str) -> float:
    """dB of a camera's way at the given frequency."""
    return loss_of_way(plan, plan.need("Cameras", name, "coax"), given_frequency(plan))


def longest_way(plan: Plan, name: str) -> int:
    """Whole metres of the camera's cable that the input can make up for."""
    (piece,) = pieces(plan.need("Cameras", name, "coax"))
    if piece.cable is None:
        raise Missing("cable")
    a_metre = loss_a_hundred(plan, piece.cable, given_frequency(plan)) / 100 * warmth(plan)
    return math.floor(given_limit(plan) / a_metre + 1e-9)
