"""Faults of what camera and input come to, and of what is recorded."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from .. import pictures
from ..judging import Claim
from ..plan import Missing, Plan, number
from .channels import connected
from .each import each


def linked(plan: Plan) -> list[str]:
    """Cameras on an input that exists, switched to something that they can send."""
    return [
        name for name in connected(plan)
        if pictures.input_there(plan, name) and pictures.can_send(plan, name, *pictures.sent(plan, name))
    ]  # fmt: skip


def wants(plan: Plan, name: str, what: str) -> bool:
    return plan.camera(name, what) == "yes"


def _outcome(plan: Plan, names: Iterable[str], *found: str) -> Mapping[str, bool]:
    return each(names, lambda name: pictures.settled(plan, name).outcome in found)


def family_not_taken(plan: Plan) -> Mapping[str, bool]:
    return each(linked(plan), lambda name: not pictures.family_taken(plan, name))


def no_picture(plan: Plan) -> Mapping[str, bool]:
    return _outcome(plan, [name for name in linked(plan) if pictures.family_taken(plan, name)], "none")


def needs_setting(plan: Plan) -> Mapping[str, bool]:
    return _outcome(plan, [name for name in linked(plan) if pictures.family_taken(plan, name)], "setting")


def reduced_width(plan: Plan) -> Mapping[str, bool]:
    return _outcome(plan, [name for name in linked(plan) if not wants(plan, name, "full width wanted")], "reduced")


def set_mode_not_emitted(plan: Plan) -> Mapping[str, bool]:
    return each(connected(plan), lambda name: not pictures.can_send(plan, name, *pictures.sent(plan, name)))


SIGNAL = {
    "signal/family-not-taken": Claim(family_not_taken),
    "signal/no-picture": Claim(no_picture),
    "signal/needs-setting": Claim(needs_setting),
    "signal/reduced-width": Claim(reduced_width),
    "signal/set-mode-not-emitted": Claim(set_mode_not_emitted),
}


def rate_below_wanted(plan: Plan) -> Mapping[str, bool]:
    """Too slow by input or encoding row; where only the common budget slows it, that is the recorder's fault."""

    def slow(name: str) -> bool:
        wanted, own = number(plan.need("Cameras", name, "recorded rate wanted")), pictures.alone(plan, name).rate
        if own < wanted:
            return True
        if pictures.recorded(plan, name).rate < own * (1 - 1e-9):
            raise Missing("the common budget decides")
        return False

    return each(pictures.with_picture(plan), slow)


def full_width_wanted(plan: Plan) -> Mapping[str, bool]:
    def halved(name: str) -> bool:
        taken = pictures.settled(plan, name)
        return taken.outcome == "reduced" or pictures.alone(plan, name).width < taken.mode.width

    names = [name for name in pictures.with_picture(plan) if wants(plan, name, "full width wanted")]
    return each(names, halved)


def budget_short(plan: Plan) -> Mapping[str, bool]:
    """The common budget, and nothing else, keeps some channel below what is wanted of it."""
    names = [name for name in pictures.with_picture(plan) if plan.camera(name, "recorded rate wanted")]

    def short(name: str) -> bool:
        wanted, own = number(plan.need("Cameras", name, "recorded rate wanted")), pictures.alone(plan, name).rate
        return own >= wanted > pictures.recorded(plan, name).rate * (1 + 1e-9)

    return {plan.recorder: any(map(short, names))} if names else {}


def stored_at_half_width(plan: Plan) -> Mapping[str, bool]:
    def halved(name: str) -> bool:
        taken = pictures.settled(plan, name)
        if taken.outcome == "reduced":
            raise Missing("it arrives halved")
        return pictures.alone(plan, name).width < taken.mode.width

    names = [name for name in pictures.with_picture(plan) if not wants(plan, name, "full width wanted")]
    return each(names, halved)


PICTURE = {
    "picture/rate-below-wanted": Claim(rate_below_wanted),
    "picture/full-width-wanted": Claim(full_width_wanted),
    "picture/shared-budget-below-wanted": Claim(budget_short),
    "picture/stored-at-half-width": Claim(stored_at_half_width),
}
