"""Faults of what stands where: weather, warmth, hands."""

from __future__ import annotations

from collections.abc import Mapping

from ..judging import Claim
from ..plan import Plan, number
from .each import each


def _outdoors(plan: Plan, *where: str) -> list[str]:
    return [name for name in plan.cameras if plan.camera(name, "stands") in where]


def _rated_indoor(plan: Plan, name: str) -> bool:
    return plan.needed_of_model(name, "rated") == "indoor"


def ip_digits(text: str) -> list[tuple[int, int]]:
    """Digits of a code that may be doubled: `IP66/IP67`."""
    return [(int(each[2]), int(each[3])) for each in text.split("/")]


def keeps_out(text: str, least: str) -> bool:
    """Whether a code meets another. IEC 60529: 7 and 8 (immersion) do not imply 5 and 6 (jets) unless doubly marked."""
    solid, water = ip_digits(least)[0]
    marks = ip_digits(text)
    return any(one >= solid for one, _ in marks) and any(water <= other <= 6 for _, other in marks)


IK = {0: 0, 1: 0.14, 2: 0.2, 3: 0.35, 4: 0.5, 5: 0.7, 6: 1, 7: 2, 8: 5, 9: 10, 10: 20}  # J; IEC 62262 table 1


def joules(text: str) -> float:
    return IK[int(text.removeprefix("IK"))]


def water_rating_low(plan: Plan) -> Mapping[str, bool]:
    least = plan.the("least IP code usual outdoors")
    names = [name for name in _outdoors(plan, "outdoor") if plan.model(name, "rated") != "indoor"]
    return each(names, lambda name: not keeps_out(plan.needed_of_model(name, "IP code"), least))


def impact_rating_low(plan: Plan) -> Mapping[str, bool]:
    least = joules(plan.the("least IK code usual within reach of hands"))
    names = [name for name in plan.cameras if plan.camera(name, "people reach it") == "hand"]
    return each(names, lambda name: joules(plan.needed_of_model(name, "IK code")) < least)


def colder(plan: Plan, name: str) -> bool:
    return number(plan.need("Cameras", name, "coldest air there")) < number(plan.needed_of_model(name, "air from"))


def hotter(plan: Plan, name: str) -> bool:
    return number(plan.need("Cameras", name, "warmest air there")) > number(plan.needed_of_model(name, "air up to"))


def recorder_too_hot(plan: Plan) -> Mapping[str, bool]:
    return each(
        plan.names("Recorders"),
        lambda name: (
            number(plan.need("Recorders", name, "warmest air there")) > number(plan.needed_of_box("air up to"))
        ),
    )


PLACE = {
    "place/indoor-camera-outdoors": Claim(
        lambda plan: each(_outdoors(plan, "outdoor", "sheltered"), lambda name: _rated_indoor(plan, name))
    ),
    "place/water-rating-low": Claim(water_rating_low),
    "place/camera-too-cold": Claim(lambda plan: each(plan.cameras, lambda name: colder(plan, name))),
    "place/camera-too-hot": Claim(lambda plan: each(plan.cameras, lambda name: hotter(plan, name))),
    "place/recorder-too-hot": Claim(recorder_too_hot),
    "place/impact-rating-low": Claim(impact_rating_low),
}
