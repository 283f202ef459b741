"""Questions of views and screens."""

from __future__ import annotations

import re
from typing import Any

from .. import pictures, sights
from ..faults import sights as sight_faults
from ..judging import Change, Judge, Least, Result, Verdict, misread, scaled
from ..plan import Plan, number, times
from .ways import (
    FOOT,
    about,
    as_acquired,
    column,
    ordered,
)


def _seen(plan: Plan) -> str:
    return about(plan, r"does (\S+) see")


def _dense(plan: Plan) -> Result:
    return sights.density(plan, _seen(plan))


def _dense_by_lines(plan: Plan) -> Result:
    mode = pictures.recorded(plan, _seen(plan))
    return sights.density(plan, _seen(plan)) * mode.height / mode.width


def _without_scene(plan: Plan) -> Result:
    """Columns over the distance, as if the scene were as wide as it is far."""
    return sights.columns(plan, _seen(plan)) / sights.distance(plan, _seen(plan))


def _far(plan: Plan) -> Result:
    """Where the density has fallen to that of the class: it falls with the distance."""
    name = about(plan, r"does (\S+) hold")
    return sights.density(plan, name) * sights.distance(plan, name) / number(plan.the("pixel density of that class"))


def _far_by_lines(plan: Plan) -> Result:
    mode = pictures.recorded(plan, about(plan, r"does (\S+) hold"))
    return float(_far(plan)) * mode.height / mode.width


def _covered(plan: Plan) -> str:
    return about(plan, r"scene that (\S+) covers")


def _width(plan: Plan) -> Result:
    return sights.scene_width(plan, _covered(plan))


def _ratio_turned(plan: Plan) -> Result:
    return sights.distance(plan, _covered(plan)) ** 2 / sights.scene_width(plan, _covered(plan))


def _density_change(plan: Plan, text: str) -> Plan:
    name = about(plan, r"^(\S+) is to")
    if match := re.fullmatch(r"move the camera to ([0-9.]+ m) from it", text):
        return plan.put("Cameras", name, "at a distance of", match[1])
    model = plan.need("Cameras", name, "model")
    if match := re.fullmatch(r"take its model with a lens of ([0-9.]+ mm)", text):
        for end in ("shortest focal length", "longest focal length"):
            plan = plan.put("Camera models", model, end, match[1])
        return plan
    if match := re.fullmatch(r"switch the camera to (\S+@\S+)", text):
        family = plan.need("Cameras", name, "switched to").split()[0]
        return plan.put("Cameras", name, "switched to", f"{family} {match[1]}")
    raise ValueError(text)


DISTANCE_HALF = column("Cameras", "at a distance of", times(0.5))
DISTANCE_FEET = column("Cameras", "at a distance of", times(FOOT))


def _near_enough(plan: Plan) -> bool:
    name = about(plan, r"near enough to (\S+?),")
    return sights.seat(plan, name) <= sights.farthest_seat(plan, name)


SEAT_FEET = column("Screens", "viewer sits at", times(FOOT))


def _screen(plan: Plan, model: str) -> bool:
    name = about(plan, r"m from (\S+?)\. Which")
    return sights.seat(plan, name) <= sights.farthest_seat(plan.put("Screens", name, "model", model), name)


def _last_seat(plan: Plan) -> Result:
    return sights.farthest_seat(plan, about(plan, r"How far from (\S+) may"))


def _share_of_diagonal(plan: Plan) -> float:
    """Height over diagonal of the screen asked about."""
    name = about(plan, r"from (\S+?)(?: may|\. Which)")
    mode = pictures.mode_of(plan.need("Screen models", plan.need("Screens", name, "model"), "shows"))
    return float(mode.height / (mode.width**2 + mode.height**2) ** 0.5)


def _diagonal_as_height(plan: Plan) -> Plan:
    """The diagonal taken for the height: the seat looks nearer by that share."""
    return plan.each("Screens", "viewer sits at", times(_share_of_diagonal(plan)))


def _screen_change(plan: Plan, text: str) -> Plan:
    name = about(plan, r"^(\S+) \(")
    if match := re.fullmatch(r"take the screen (\S+) for it", text):
        return plan.put("Screens", name, "model", match[1])
    if match := re.fullmatch(r"join it to the output (\S+) of (\S+)", text):
        return plan.put("Screens", name, "joined to", f"{match[2]}/{match[1]}")
    if match := re.fullmatch(r"seat the viewer at ([0-9.]+ m) from the screen", text):
        return plan.put("Screens", name, "viewer sits at", match[1])
    raise ValueError(text)


def _decodes(plan: Plan) -> bool:
    return sights.played_back(plan) <= number(plan.needed_of_box("decodes at most"))


def _one_channel(plan: Plan) -> Plan:
    return plan.put("Recorders", plan.recorder, "channels played back at a time", "1")


SIGHTS: dict[str, Any] = {
    "view/pixels-on-target": Judge(
        _dense,
        {"half-the-distance": misread(_dense, DISTANCE_HALF), "feet-for-metres": misread(_dense, DISTANCE_FEET),
         "metres-for-feet": misread(_dense, column("Cameras", "at a distance of", times(1 / FOOT))),
         "detail-of-the-datasheet": _without_scene, "height-for-width": _dense_by_lines},
    ),
    "view/farthest": Judge(
        _far,
        {"height-for-width": _far_by_lines, "half-the-distance": scaled(_far, 2), "metres-for-feet": scaled(_far, 1 / FOOT)},
    ),
    "view/dense-enough": Verdict(
        lambda plan: sights.density(plan, about(plan, r"this: (\S+) puts")) >= number(plan.the("pixel density of the class")),
        {"half-the-distance": DISTANCE_HALF, "feet-for-metres": DISTANCE_FEET},
    ),
    "view/scene-width": Judge(
        _width,
        {"half-the-distance": misread(_width, DISTANCE_HALF), "ratio-turned-round": _ratio_turned,
         "metres-for-feet": scaled(_width, 1 / FOOT)},
    ),
    "view/order-by-density": Judge(
        lambda plan: ordered(plan, sights.density),
        {"order-turned-round": lambda plan: ordered(plan, lambda of, name: -sights.density(of, name)),
         "nearest-first": lambda plan: ordered(plan, lambda of, name: -sights.distance(of, name)),
         "by-frame-size": lambda plan: ordered(
             plan, lambda of, name: (sights.columns(of, name), sights.density(of, name)))},
    ),
    "view/night-reach": Verdict(
        lambda plan: sights.lamp_reaches(plan, about(plan, r"lamp of (\S+) reaches")), {"feet-for-metres": DISTANCE_FEET}
    ),
    "view/clears-density": Change(
        "view/density-low", sight_faults.VIEW, _density_change,
        lambda plan: sights.density(plan, about(plan, r"^(\S+) is to")),
    ),
    "display/near-enough": Verdict(_near_enough, {"feet-for-metres": SEAT_FEET}),
    "display/farthest-seat": Judge(
        _last_seat,
        {"factor-left-out": scaled(_last_seat, 0.5), "centimetres-for-inches": scaled(_last_seat, 1 / 2.54),
         "metres-for-feet": scaled(_last_seat, 1 / FOOT),
         "half-the-lines": scaled(_last_seat, 2),
         "diagonal-for-height": lambda plan: float(_last_seat(plan)) / _share_of_diagonal(plan)},
    ),
    "display/least-screen": Least(
        tuple(f"maker-c/screen-{size}" for size in ("24-two", "27", "32", "40", "55")), _screen,
        {"feet-for-metres": SEAT_FEET, "factor-left-out": column("Screens", "viewer sits at", times(2)),
         "diagonal-for-height": _diagonal_as_height},
    ),
    "display/clears-connector": Change(
        "display/connector-missing", sight_faults.DISPLAY, _screen_change, lambda plan: 0.0
    ),
    "display/decode-needed": Judge(
        sights.played_back,
        {"live-counted-too": lambda plan: sights.all_recorded(plan) + sights.played_back(plan),
         "acquired-for-recorded": misread(sights.played_back, as_acquired),
         "halved-both-ways": scaled(sights.played_back, 1 / 4)},
    ),
    "display/decodes-enough": Verdict(_decodes, {"one-channel-for-all": _one_channel}),
}  # fmt: skip
