"""Cable loss: docs/how-facts-are-computed.md, "Loss and reach"."""

import itertools
import math
from typing import Any

from .reading import Gap, Open, mode, quantity, table
from .settling import Sent

JOINT = 0.1
ASSUMED_CELSIUS = 40.0


def top_frequency(site: dict[str, Any], recorder: dict[str, Any], sent: Sent) -> float:
    """Top frequency of a mode, MHz: the site's word, the part's, the table's (half the pixel clock)."""
    for holder in (site, recorder):
        for row in holder.get("modes", []):
            if row["family"] == sent.family and mode(row["mode"]) == sent[1:] and "top_frequency" in row:
                return quantity(row["top_frequency"], "megahertz")
    for row in table("signal-modes"):
        if row["family"] == sent.family and mode(row["mode"]) == sent[1:]:
            return float(row["top_frequency"])
    raise Open


def per_100_m(table: list[list[float]], megahertz: float) -> float:
    """Loss at 20 °C, dB/100 m: straight on log-log paper, never beyond the ends."""
    for (f0, a0), (f1, a1) in itertools.pairwise(table):
        if f0 <= megahertz <= f1:
            return a0 * (a1 / a0) ** (math.log(megahertz / f0) / math.log(f1 / f0))
    if len(table) == 1 and table[0][0] == megahertz:
        return table[0][1]
    raise Open


def warmed(part: dict[str, Any], celsius: float) -> float:
    """Factor on the loss at 20 °C."""
    if "coax" in part["carries"]:
        return 1.0 + 0.00196 * (celsius - 20.0)
    if "screened" not in part:
        raise Gap
    if part["screened"]:
        return 1.0 + 0.002 * (celsius - 20.0)
    return 1.0 + 0.004 * (min(celsius, 40.0) - 20.0) + 0.006 * max(0.0, celsius - 40.0)


def length(hop: dict[str, Any]) -> float:
    """Length of a run: as measured, else as drawn."""
    return quantity((hop.get("measured") or {}).get("length", hop.get("length")), "length")


def run_loss(site: dict[str, Any], hop: dict[str, Any], part: dict[str, Any], megahertz: float) -> float:
    """Loss of one run without its joints."""
    if "attenuation" not in part:
        raise Open
    assumed = (site.get("assume") or {}).get("conductor_temperature")
    warm = hop.get("temperature", assumed)
    celsius = quantity(warm, "celsius") if warm is not None else ASSUMED_CELSIUS
    return per_100_m(part["attenuation"], megahertz) * warmed(part, celsius) * length(hop) / 100.0


def box_loss(part: dict[str, Any]) -> float:
    """What a box takes away; negative where it gains."""
    if part["does"] == "amplifier" and "gain" not in part:
        raise Open
    if "loss" not in part and "gain" not in part:
        if part["does"] == "joint":
            return JOINT
        raise Open
    taken = quantity(part["loss"], "decibels") if "loss" in part else 0.0
    return taken - (quantity(part["gain"], "decibels") if "gain" in part else 0.0)


def drawn(path: dict[str, Any]) -> list[dict[str, Any]]:
    """The hops of a path; Open where nobody drew it."""
    if path.get("over") is None:
        raise Open
    return path["over"]


def metres(path: dict[str, Any]) -> float:
    """Length of all runs."""
    return sum(length(hop) for hop in drawn(path) if "cable" in hop)


def met(hops: list[dict[str, Any]]) -> int:
    """Places where run meets run: a joint each, which nobody has to write."""
    return sum("cable" in one and "cable" in other for one, other in itertools.pairwise(hops))


def joints(path: dict[str, Any]) -> int:
    """Joints and in-line boxes on the path."""
    hops = drawn(path)
    return met(hops) + sum(hop.get("joints", 0) if "cable" in hop else 1 for hop in hops)


def way_loss(site: dict[str, Any], path: dict[str, Any], parts: dict[str, Any], megahertz: float) -> float:
    """Loss of the whole way, dB."""
    hops = drawn(path)
    total = JOINT * met(hops)
    for hop in hops:
        if "cable" in hop:
            total += run_loss(site, hop, parts[hop["cable"]], megahertz) + JOINT * hop.get("joints", 0)
        else:
            total += box_loss(parts[site["boxes"][hop["box"]]["part"]])
    return total
