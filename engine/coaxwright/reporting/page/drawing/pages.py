"""A plan divided into sheets: one where it fits, else an overview and a sheet for each block of cameras.

A block is a building, or a part of one that is too large. In the overview a block stands as one device on the recorder
that takes its pictures, with a line to each source over it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from coaxwright.findings import LEVELS
from coaxwright.immutable import immutable
from coaxwright.reporting.page.drawing.layout import lay_out
from coaxwright.reporting.page.drawing.plan import Device, Line, Plan, part_of
from coaxwright.reporting.page.drawing.shapes import Sheet
from coaxwright.show.figures import count

ONE_SHEET = 64


class _Block(NamedTuple):
    """A block as one device on one recorder, with its lines."""

    device: Device
    video: tuple[Line, ...]
    power: tuple[Line, ...]


@immutable
class Page:
    """One sheet with its title; `part` is the plan that it shows."""

    title: str
    part: Plan
    sheet: Sheet
    name: str = ""


def pages(plan: Plan, anchor: str) -> list[Page]:
    """All sheets of a plan in order. `anchor` begins the ids to which the overview leads."""
    if not any((plan.cameras, plan.recorders, plan.sources)):
        return []
    if len(plan.cameras) <= ONE_SHEET:
        sheet = lay_out(plan)
        if sheet is not None:
            return [Page("The whole site", plan, sheet)]
    blocks = list(_blocks(plan))
    shown = [
        Page(f"{name} ({count(len(part.cameras), 'camera')})", part, sheet, f"{anchor}{place}")
        for place, (name, part, sheet) in enumerate(blocks, 1)
    ]
    return [*_overviews(plan, shown), *shown]


def _blocks(plan: Plan) -> Iterator[tuple[str, Plan, Sheet]]:
    buildings: dict[str, list[Device]] = {}
    for camera in plan.cameras:
        buildings.setdefault(camera.building, []).append(camera)
    for building, cameras in buildings.items():
        name = building or "no building given"
        parts = list(_fitting(plan, cameras))
        for place, (part, sheet) in enumerate(parts, 1):
            yield name if len(parts) == 1 else f"{name}, part {place} of {len(parts)}", part, sheet


def _fitting(plan: Plan, cameras: Sequence[Device]) -> Iterator[tuple[Plan, Sheet]]:
    """Parts of one building that each fit on a sheet: halved until they do."""
    part = part_of(plan, frozenset(each.key for each in cameras))
    sheet = lay_out(part) if len(cameras) <= ONE_SHEET else None
    if sheet is not None:
        yield part, sheet
    elif len(cameras) > 1:
        half = (len(cameras) + 1) // 2
        yield from _fitting(plan, cameras[:half])
        yield from _fitting(plan, cameras[half:])


def _overviews(plan: Plan, shown: Sequence[Page]) -> list[Page]:
    """Sheets on which each block is one device; several where there are very many blocks."""
    blocks = [block for page in shown for block in _as_devices(plan, page)]
    parts = list(_overview_parts(plan, blocks, idle=True))
    names = ["Overview"] if len(parts) == 1 else [f"Overview, part {at} of {len(parts)}" for at in range(1, len(parts) + 1)]
    return [Page(name, part, sheet) for name, (part, sheet) in zip(names, parts, strict=True)]


def _overview_parts(plan: Plan, blocks: Sequence[_Block], idle: bool) -> Iterator[tuple[Plan, Sheet]]:
    """Halved until each part fits; what nothing hangs on is shown on the first."""
    part = _overview(plan, blocks, idle)
    sheet = lay_out(part)
    if sheet is not None:
        yield part, sheet
    elif len(blocks) > 1:
        half = (len(blocks) + 1) // 2
        yield from _overview_parts(plan, blocks[:half], idle)
        yield from _overview_parts(plan, blocks[half:], idle=False)
    elif idle:
        yield from _overview_parts(plan, blocks, idle=False)


def _as_devices(plan: Plan, page: Page) -> Iterator[_Block]:
    """The block of a page, once for each recorder that it sends pictures to, with its lines."""
    groups: dict[str, list[Device]] = {}
    for camera in page.part.cameras:
        lines = plan.video.get(camera.key, ())
        groups.setdefault(lines[0].end if lines else "", []).append(camera)
    for recorder, cameras in groups.items():
        key = f"{page.name}/{recorder}"
        found = sum(bool(camera.level) for camera in cameras)
        detail = count(len(cameras), "camera") + (f", {found} with findings" if found else "")
        name = page.title.rpartition(" (")[0]
        level = _worst([camera.level for camera in cameras])
        words = f"block {name}: {detail}"
        device = Device(key, "block", name, detail, "", level, page.name, words)
        video = [line for camera in cameras for line in plan.video.get(camera.key, ())]
        yield _Block(device, _bundled(key, video, recorder), _power_of(plan, key, cameras))


def _worst(levels: Sequence[str]) -> str:
    return min(filter(None, levels), key=LEVELS.index, default="")


def _bundled(key: str, lines: Sequence[Line], end: str) -> tuple[Line, ...]:
    """Several lines as one, with all their rules."""
    if not end or not lines:
        return ()
    rules = tuple(dict.fromkeys(rule for line in lines for rule in line.rules))
    worst = _worst([line.level for line in lines])
    link = next((line.link for line in lines if line.level == worst), "") if worst else ""
    return (Line(lines[0].use, key, end, "", count(len(lines), "line"), (), rules, worst, link),)


def _power_of(plan: Plan, key: str, cameras: Sequence[Device]) -> tuple[Line, ...]:
    roots: dict[str, list[Line]] = {}
    for camera in cameras:
        above = plan.above(camera.key)
        if above:
            roots.setdefault(above[-1], []).extend(plan.power.get(camera.key, ()))
    known = {source.key for source in plan.sources}
    return tuple(line for root, lines in roots.items() if root in known for line in _bundled(key, lines, root))


def _overview(plan: Plan, blocks: Sequence[_Block], idle: bool) -> Plan:
    video = {block.device.key: block.video for block in blocks}
    power = {block.device.key: block.power for block in blocks}
    used = {line.end for table in (video, power) for lines in table.values() for line in lines}
    everywhere = {line.end for line in plan.lines()} | {above for each in plan.cameras for above in plan.above(each.key)}

    def kept(devices: Sequence[Device]) -> tuple[Device, ...]:
        return tuple(each for each in devices if each.key in used or (idle and each.key not in everywhere))

    return Plan(tuple(block.device for block in blocks), kept(plan.recorders), kept(plan.sources), (), video, power)
