"""Faults of disks and what they hold."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from .. import store
from ..judging import Claim
from ..plan import Missing, Plan, number
from .each import each


def _disks(test: Callable[[Plan], bool]) -> Claim:
    def judged(plan: Plan) -> Mapping[str, bool]:
        return each(plan.names("Recorders"), lambda _: test(plan), "disks of {}")

    return Claim(judged)


def retention_short(plan: Plan) -> bool:
    if not store.builds(plan):
        raise Missing("disks")
    return store.days(plan) < store.days_wanted(plan)


def workload(plan: Plan) -> bool:
    if not store.builds(plan):
        raise Missing("disks")
    return store.written_a_year(plan) > min(
        number(plan.need("Disk models", disk, "rated workload")) for disk in store.disks(plan)
    )


def _offered(plan: Plan) -> bool:
    return store.redundancy(plan) in (plan.box("redundancy offered") or "none").split(", ")


def _with_disks(test: Callable[[Plan], bool]) -> Callable[[Plan], bool]:
    def tested(plan: Plan) -> bool:
        if not store.disks(plan):
            raise Missing("disks")
        return test(plan)

    return tested


STORAGE = {
    "storage/retention-short": _disks(retention_short),
    "storage/no-disk": _disks(lambda plan: not store.disks(plan)),
    "storage/disk-too-large": _disks(
        _with_disks(lambda plan: max(store.capacities(plan)) > number(plan.needed_of_box("largest disk a bay takes")))
    ),
    "storage/too-many-disks": _disks(lambda plan: len(store.disks(plan)) > number(plan.needed_of_box("disk bays"))),
    "storage/redundancy-not-offered": _disks(lambda plan: store.redundancy(plan) != "none" and not _offered(plan)),
    "storage/not-for-continuous-use": _disks(
        _with_disks(
            lambda plan: any(
                plan.need("Disk models", disk, "rated to run all the time") != "yes" for disk in store.disks(plan)
            )
        )
    ),
    "storage/workload": _disks(workload),
    "storage/write-rate": Claim(
        lambda plan: {plan.recorder: sum(store.rates(plan)) > number(plan.needed_of_box("writes at most"))}
    ),
}
