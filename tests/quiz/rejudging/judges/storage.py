"""Questions of disks."""

from __future__ import annotations

import re
from typing import Any

from .. import pictures, store
from ..faults import store as store_faults
from ..judging import Change, Judge, Least, Result, Verdict, misread, scaled
from ..plan import Plan, number, times
from .ways import (
    about,
    column,
    input_number,
    ordered,
)

BITS = {
    "gigabytes-as-gigabits": column("Cameras", "recorded at", times(8.0)),
    "bits-for-bytes": column("Cameras", "recorded at", times(1 / 8)),
    "binary-terabytes": column("Disk models", "capacity", times(store.BINARY)),
    "formatting-forgotten": column("Site", "share of a disk left after formatting", lambda _: "100 %"),
}
FASTER = column("Cameras", "recorded at", times(1.5))


def _days_of_one(plan: Plan) -> Result:
    """The rate of the first camera taken for that of all."""
    return store.days(plan) * sum(store.rates(plan)) / store.rates(plan)[0]


def _days_of_one_disk(plan: Plan) -> Result:
    return store.days(plan) * max(store.capacities(plan)) / sum(store.capacities(plan))


DAYS = {slip: misread(store.days, edit) for slip, edit in BITS.items()}
_after = misread(store.days, FASTER)


def _one_disk(plan: Plan, disk: str) -> bool:
    wanted = float(about(plan, r"keeps recordings for ([0-9.]+) days"))
    return store.days(plan.put("Recorders", plan.recorder, "disks", disk)) >= wanted


def _rate(plan: Plan, name: str) -> float:
    return number(plan.need("Cameras", name, "recorded at"))


def _frame(plan: Plan, name: str) -> tuple[int, float]:
    """Picture elements of a frame as sent; of equal ones the greater rate first."""
    mode = pictures.sent(plan, name)[1]
    return mode.width * mode.height, _rate(plan, name)


def _storage_change(plan: Plan, text: str) -> Plan:
    if match := re.fullmatch(r"fit two disks of ([0-9]+) TB, mirrored", text):
        return plan.put("Recorders", plan.recorder, "disks", ", ".join([f"maker-c/disk-{match[1]}tb"] * 2))
    if text == "do without the mirror of the disks":
        return plan.put("Recorders", plan.recorder, "redundancy", "none")
    if match := re.fullmatch(r"record each camera at ([0-9.]+ Mb/s)", text):
        return plan.each("Cameras", "recorded at", lambda _: match[1])
    raise ValueError(text)


STORAGE: dict[str, Any] = {
    "storage/days-kept": Judge(
        store.days, {**DAYS, "one-channel-for-all": _days_of_one, "one-disk-counted": _days_of_one_disk}
    ),
    "storage/days-entered": Judge(store.days, DAYS),
    "storage/rate-doubled": Judge(
        _after,
        {"nothing-else-changes": store.days, "multiplied-for-divided": scaled(store.days, 1.5),
         "doubled-for-half-more": scaled(store.days, 0.5),
         **{slip: misread(_after, edit) for slip, edit in BITS.items()}},
    ),
    "storage/least-disk": Least(tuple(f"maker-c/disk-{size}tb" for size in (1, 2, 3, 4, 6, 8, 10)), _one_disk, BITS),
    "storage/long-enough": Verdict(lambda plan: store.days(plan) >= store.days_wanted(plan), BITS),
    "storage/order-by-rate": Judge(
        lambda plan: ordered(plan, _rate),
        {"order-turned-round": lambda plan: ordered(plan, lambda of, name: -_rate(of, name)),
         "by-frame-size": lambda plan: ordered(plan, _frame),
         "in-order-of-inputs": lambda plan: ordered(plan, lambda of, name: -input_number(of, name))},
    ),
    "storage/clears-retention": Change(
        "storage/retention-short", store_faults.STORAGE, _storage_change, store.days
    ),
}  # fmt: skip
