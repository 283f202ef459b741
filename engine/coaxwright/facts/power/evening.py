"""An evening on the battery: how long each camera still gets its least volts while the battery's volts fall.

Only where the part states how its terminal volts fall as it is emptied; nothing stands in for that curve.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise

from coaxwright.facts.power.power_solving import Network, State, solve_network
from coaxwright.facts.sheets import Battery, Evening, Feed

Curve = Sequence[tuple[float, float]]
_HALVINGS = 48
"""Of the interval of volts: down to the last bits of a double (IEEE 754)."""


def evenings(battery: Battery, curve: Curve, network: Network, feeds: Mapping[int, Feed]) -> Iterator[Evening]:
    """The volts that each camera needs of the battery, and until when it gets them."""
    solved: dict[float, Sequence[State]] = {}

    def states(volts: float) -> Sequence[State]:
        if volts not in solved:
            solved[volts] = solve_network(replace(network, source_volts=volts, stated_volts=None))
        return solved[volts]

    for index, feed in feeds.items():
        sheet = Evening()
        sheet.subject, sheet.pointer, sheet.feed, sheet.battery = feed.subject, feed.pointer, feed, battery
        least, full = feed.load.known("volts_min"), states(curve[0][1])[index]
        lacking = (*(feed.load.missing("volts_min") if least is None else ()), *full.missing_night)
        if least is None or full.volts_night is None:
            sheet.lacks("volts_needed", *lacking)
        else:

            def at_camera(volts: float, index: int = index) -> float:
                return states(volts)[index].volts_night or 0.0

            sheet.volts_needed = _needed(at_camera, least, curve[-1][1], curve[0][1])
        _last(sheet, battery, curve)
        yield sheet


def _last(sheet: Evening, battery: Battery, curve: Curve) -> None:
    """The hours of the battery until it falls below what the camera needs."""
    hours, needed = battery.known("hours"), sheet.known("volts_needed")
    if hours is None or needed is None:
        lacking = battery.missing("hours") if hours is None else ()
        sheet.lacks("hours", *lacking, *(sheet.missing("volts_needed") if needed is None else ()))
    else:
        share = taken(curve, needed)
        sheet.hours = hours * share if share else 0.0


def _needed(at_camera: Callable[[float], float], least: float, low: float, high: float) -> float:
    """Volts of the battery at which a camera gets its least: no less than `low`, and more than `high` where it never does."""
    if at_camera(high) < least:
        return float("inf")
    if at_camera(low) >= least:
        return low
    for _ in range(_HALVINGS):
        middle = (low + high) / 2.0
        if at_camera(middle) < least:
            low = middle
        else:
            high = middle
    return high


def taken(curve: Curve, volts: float) -> float:
    """Share taken out of a battery when it falls to these volts: straight between the points of its curve, 0 above the first."""
    if volts > curve[0][1]:
        return 0.0
    for (before, above), (after, below) in pairwise(curve):
        if below < volts <= above:
            return before + (after - before) * (above - volts) / (above - below)
    return curve[-1][0]
