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


STORED = {"six": "6", "eight": "8", "ten": "10", "sixteen": "16"}


def _storage_change(plan: Plan, text: str) -> Plan:
    own = plan.need("Recorders", plan.recorder, "disks")
    if match := re.fullmatch(r"fit (one|two) of (\S+) terabytes", text):
        disk = f"maker-c/disk-{STORED[match[2]]}tb"
        return plan.put("Recorders", plan.recorder, "disks", ", ".join([disk] * (1 + (match[1] == "two"))))
    if text == "mirror it onto a second one":
        return plan.put("Recorders", plan.recorder, "disks", f"{own}, {own}").put(
            "Recorders", plan.recorder, "redundancy", "raid1"
        )
    if text == "fit one for light use, 4 TB":
        return plan.put("Recorders", plan.recorder, "disks", "maker-c/disk-light-4tb")
    raise ValueError(text)


def _as_if_not_mirrored(plan: Plan, text: str) -> bool:
    """Both halves counted, the change would suffice; counted rightly it does not."""
    after = _storage_change(plan, text)
    wanted = store.days_wanted(plan)
    return store.days(after) < wanted and store.redundancy(after) == "raid1"


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
        "storage/retention-short", store_faults.STORAGE, _storage_change, store.days, {"mirror-forgotten": _as_if_not_mirrored}
    ),
}  # fmt: skip
