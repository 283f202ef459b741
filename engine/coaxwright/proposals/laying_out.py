"""A plan as a site: recorders, supplies, boxes and cameras as a site file says them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from coaxwright.immutable import immutable
from coaxwright.proposals.assigning import Plan
from coaxwright.proposals.feeding import supply_entry
from coaxwright.proposals.options import camera_entry, laid, recording
from coaxwright.proposals.problem import Stand
from coaxwright.proposals.shopping import Shop
from coaxwright.proposals.wishes import Wishes


@immutable
class LaidOut:
    """The groups of a site by name, and which stand each recorder and supply has."""

    groups: Mapping[str, Mapping[str, Any]]
    stands: Mapping[str, Stand]


def lay_out(plan: Plan, wishes: Wishes, shop: Shop, disks: list[str]) -> LaidOut:
    """The site of a plan. Names tell what stands where: `office-rec1`, `loft-psu2`."""
    recorders, supplies, stands = dict[str, Any](), dict[str, Any](), dict[str, Stand]()
    inputs, outputs = dict[str, str](), dict[str, str]()
    for stand, names, bought in plan.recorders:
        name = _free(stand, "rec", stands, wishes)
        stands[name] = stand
        recorders[name] = _recorder(stand, wishes, shop, [disks[bought[1]]] * bought[0] if bought[0] else [])
        inputs.update(_inputs(name, names, plan))
    for source, names in plan.supplies:
        name = _free(source, "psu", stands, wishes)
        stands[name] = source
        supplies[name] = supply_entry(source.what, wishes.positions[source.position])  # type: ignore[arg-type]
        outputs.update({camera: f"{name}/{number}" for number, camera in enumerate(names, 1)})
    boxes: dict[str, Any] = {}
    cameras = {wish.name: _camera(wish.name, plan, wishes, inputs, outputs, boxes) for wish in wishes.cameras}
    groups = {"recorders": recorders, "supplies": supplies, "boxes": boxes, "cameras": cameras}
    return LaidOut({group: entries for group, entries in groups.items() if entries}, stands)


def _free(stand: Stand, stem: str, taken: Mapping[str, Any], wishes: Wishes) -> str:
    cameras = {wish.name for wish in wishes.cameras}
    number = 1
    while (name := f"{stand.position}-{stem}{number}") in taken or name in cameras:
        number += 1
    return name


def _recorder(stand: Stand, wishes: Wishes, shop: Shop, disks: list[str]) -> dict[str, Any]:
    entry: dict[str, Any] = {"part": stand.what}
    if disks:
        entry["disks"] = disks
    return {**entry, **recording(shop.part(str(stand.what)), wishes.positions[stand.position])}


def _inputs(name: str, cameras: tuple[str, ...], plan: Plan) -> dict[str, str]:
    """An input for each camera: those that only few inputs take choose first."""
    free: set[int] = set()
    found: dict[str, str] = {}
    wanted = {camera: plan.choices[camera].picture.kind.channels for camera in cameras}
    for camera in sorted(cameras, key=lambda each: (len(wanted[each]), cameras.index(each))):
        number = next((channel for channel in wanted[camera] if channel not in free), None)
        if number is not None:
            free.add(number)
            found[camera] = f"{name}/{number}"
    spare = max((max(channels) for channels in wanted.values()), default=0)
    for camera in cameras:
        if camera not in found:
            spare += 1
            found[camera] = f"{name}/{spare}"
    return found


def _camera(
    name: str, plan: Plan, wishes: Wishes, inputs: Mapping[str, str], outputs: Mapping[str, str], boxes: dict[str, Any]
) -> dict[str, Any]:
    choice = plan.choices[name]
    wish = next(each for each in wishes.cameras if each.name == name)
    picture, feed = choice.picture, choice.feed
    hops, used = laid(picture.way, picture.metres)
    names = [f"{name}-box{number}" for number in range(1, len(used) + 1)]
    boxes.update(zip(names, (dict(box) for box in used), strict=True))
    over = [{"box": names[int(hop["box"])]} if "box" in hop else hop for hop in hops]
    entry = camera_entry(wish, picture.kind.camera, picture.kind.said)
    entry["video"] = {"into": inputs[name], "over": over}
    entry["power"] = {"from": outputs[name], "over": laid(feed.way, feed.metres)[0]}
    return entry
