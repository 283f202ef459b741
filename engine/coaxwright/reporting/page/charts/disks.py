"""Days kept against the number of disks, with the days wanted and the disks proposed."""

from __future__ import annotations

from coaxwright.immutable import immutable
from coaxwright.reporting.page.charts.frame import figure, frame
from coaxwright.show import figures
from coaxwright.show.markup import Markup


@immutable
class Disks:
    """Days by number of disks (None where so many make no array), the number proposed, and the days wanted."""

    recorder: str
    disk: str
    days: tuple[float | None, ...]
    proposed: int
    wanted: float | None
    bays: int | None


def disks_picture(disks: Disks) -> Markup:
    """The picture with its caption."""
    known = [days for days in disks.days if days is not None]
    top = max([*known, disks.wanted or 0.0]) * 1.12 or 1.0
    count = len(disks.days)
    made = frame((0.4, count + 0.6), (0.0, top))
    for number, days in enumerate(disks.days, 1):
        if days is not None:
            made.bar(number, 0.62, days, "column now" if number == disks.proposed else "column")
    if disks.wanted is not None:
        made.level(disks.wanted, f"{figures.days(disks.wanted)} wanted", "limit", left=True)
    title = f"Days kept by {disks.recorder} against disks of {disks.disk}"
    said = _said(disks)
    ticks = [float(each) for each in range(1, count + 1)]
    return figure(made.done(title, said, "disks fitted", "days", ticks), f"{title}. {said}")


def _said(disks: Disks) -> str:
    now = disks.days[disks.proposed - 1] if 0 < disks.proposed <= len(disks.days) else None
    words = f"Proposed: {figures.count(disks.proposed, 'disk')}, {figures.days(now)}"
    if disks.wanted is None:
        return f"{words}; nobody said how many days are wanted."
    enough = next((at for at, days in enumerate(disks.days, 1) if days is not None and days >= disks.wanted), None)
    if enough is None:
        return f"{words}; {figures.days(disks.wanted)} are wanted, more than these bays hold."
    return f"{words}; {figures.days(disks.wanted)} are wanted, which takes {figures.count(enough, 'disk')}."
