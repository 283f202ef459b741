"""From fact sheets to the records that the pictures are drawn from. What is not known leaves a picture out."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, NamedTuple

from coaxwright.facts.context import Context
from coaxwright.facts.declared.filling import fill
from coaxwright.facts.place.view_binding import EDITIONS
from coaxwright.facts.record.storing import put_members, store_of
from coaxwright.facts.sheets import DiskGroup, Feed, Junction, Link, Recorder, Supply
from coaxwright.model.camera_parts import Optics
from coaxwright.model.recorder_parts import DiskPart
from coaxwright.model.site import Camera as CameraEntry
from coaxwright.model.site import Recorder as RecorderEntry
from coaxwright.reading.tables import load_table
from coaxwright.reporting.page.charts.density import View
from coaxwright.reporting.page.charts.disks import Disks
from coaxwright.reporting.page.charts.encode import Channel, Encoder
from coaxwright.reporting.page.charts.volts import Stop, Way
from coaxwright.reporting.page.survey import Survey
from coaxwright.show import figures


class _Sight(NamedTuple):
    """Columns sent and recorded, focal length and sensor width in mm, and what is wanted at how many metres."""

    sent: int
    recorded: int
    focal: float
    sensor: float
    see: str
    at: float | None


def ways_of(survey: Survey, supply: Supply) -> list[Way]:
    """One way per output that feeds junctions, then one for all single runs of the supply."""
    volts = supply.known("volts")
    if volts is None or survey.facts is None:
        return []
    feeds: dict[str, list[Any]] = {}
    for feed in survey.sheets("feed"):
        if feed.known("source") is supply and feed.known("metres_total") is not None:
            output = feed.known("output")
            trunk = feed.known("junction") is not None and output is not None
            feeds.setdefault(output.subject if trunk else "", []).append(feed)
    single = feeds.pop("", [])
    ways = [_trunk(survey, supply, output, hung) for output, hung in feeds.items()]
    return ways + ([_runs(supply, single)] if single else [])


def _camera_stop(feed: Feed, before: int) -> Stop:
    least = feed.load.known("volts_min")
    return Stop(feed.load.name, feed.metres_total, feed.known("volts_day"), feed.known("volts_night"), before, least)


def _runs(supply: Supply, feeds: list[Feed]) -> Way:
    title = f"Volts at the end of each run from {supply.name}"
    return Way(title, supply.name, supply.volts, tuple(_camera_stop(feed, -1) for feed in feeds))


def _trunk(survey: Survey, supply: Supply, output: str, feeds: list[Feed]) -> Way:
    """Junctions of one output with the cameras on them, those nearer to the supply first."""
    needed = _over(survey, [feed.junction for feed in feeds])
    stops: list[Stop] = []
    places: dict[str, int] = {}
    for junction, above in needed:
        places[junction.subject] = len(stops)
        metres = junction.known("metres_total") or 0.0
        day, night = junction.known("volts_day"), junction.known("volts_night")
        stops.append(Stop(junction.name, metres, day, night, places.get(above, -1)))
    stops += [_camera_stop(feed, places[feed.junction.subject]) for feed in feeds]
    title = f"Volts along the trunk on output {output.rpartition('/')[2]} of {supply.name}"
    return Way(title, supply.name, supply.volts, tuple(stops))


def _over(survey: Survey, junctions: list[Junction]) -> list[tuple[Any, str]]:
    """These junctions and all between them and the supply, nearest to it first, each with what it hangs on."""
    sheets = {each.subject: each for each in survey.sheets("junction")}
    wanted = {each.subject: each for each in junctions}
    waiting = list(wanted)
    above: dict[str, str] = {}
    for subject in waiting:
        above[subject] = _source_of(survey, subject)
        if above[subject] in sheets and above[subject] not in wanted:
            wanted[above[subject]] = sheets[above[subject]]
            waiting.append(above[subject])
    order = sorted(wanted.values(), key=lambda each: (each.known("depth") or 0, each.known("metres_total") or 0.0))
    return [(each, above[each.subject]) for each in order]


def _source_of(survey: Survey, subject: str) -> str:
    if survey.facts is None:
        return ""
    path = survey.facts.context.topology.lists.device_power.get(("junction", subject.partition("/")[2]))
    target = path.target if path else None
    return f"junctions/{target.device}" if target and target.device_kind == "junction" else ""


def disks_of(survey: Survey, group: DiskGroup) -> Disks | None:
    """Days by number of disks of the size that most of them have."""
    days, usable = group.known("days"), group.known("usable")
    if survey.facts is None or not days or not usable:
        return None
    context = survey.facts.context
    entry = context.loaded.site.recorders[group.recorder.name]
    parts = [context.part(disk) for disk in entry.disks or ()]
    array: float = group.known("array")
    disk = max(parts, key=lambda part: (parts.count(part), part.capacity))
    most = max(group.known("bays") or 0, len(parts))
    stores = [_array_of([disk] * count, entry) for count in range(1, most + 1)]
    # A mixed set is told as it is; all other numbers are of the usual disk.
    stores[len(parts) - 1] = array
    by_count = tuple(None if each is None else days * each / array for each in stores)
    return Disks(
        group.recorder.name, figures.terabytes(disk.capacity), by_count, len(parts), group.known("days_wanted"),
        group.known("bays"),
    )  # fmt: skip


def _array_of(disks: list[DiskPart], entry: RecorderEntry) -> float | None:
    """Capacity of such disks after redundancy; None where the level cannot be made of them."""
    group = DiskGroup()
    group.subject, group.redundancy = "", entry.redundancy
    put_members(group, store_of(disks, entry.redundancy, entry.spare_disks), "disks")
    fill("disk_group", (group,))
    array: float | None = group.known("array")
    return array


def encoder_of(survey: Survey, recorder: Recorder) -> Encoder:
    """What each channel of a recorder asks and gets."""
    channels = [_channel(link) for link in recorder.known("links") or ()]
    channels.sort(key=lambda each: each.number)
    return Encoder(
        recorder.name, tuple(channels), recorder.known("encode_total"), recorder.known("encode_demand")
    )


def _channel(link: Link) -> Channel:
    width, height = link.known("recorded_width"), link.known("recorded_height")
    given = link.known("recorded_fps")
    ceilings = [each for each in (link.known("channel_ceiling"), link.known("acquired_fps")) if each is not None]
    pixels = width * height if width and height else None
    number = link.input.number if link.known("input") is not None else 0
    asked = pixels * min(ceilings) if pixels and ceilings else None
    return Channel(number, link.camera.name, asked, pixels * given if pixels and given is not None else None)


def views_of(survey: Survey) -> list[View]:
    """What cameras see, those that see alike together, in file order."""
    if survey.facts is None:
        return []
    groups: dict[_Sight, list[str]] = {}
    for name, sight in _seen(survey, survey.facts.context):
        groups.setdefault(sight, []).append(name)
    return [
        View(
            tuple(names), sight.sent, sight.recorded, sight.focal, sight.sensor, _classes(sight.see), sight.see, sight.at
        )
        for sight, names in groups.items()
    ]  # fmt: skip


def _classes(see: str) -> tuple[tuple[str, float], ...]:
    """Classes of the edition of IEC 62676-4 that has the class wanted; of the first where none is wanted."""
    tables = [load_table(edition) for edition in EDITIONS]
    table = next((each for each in tables if each.get(see) is not None), tables[0])
    return tuple((row["class"], float(row["density"])) for row in table.rows)


def _seen(survey: Survey, context: Context) -> Iterator[tuple[str, _Sight]]:
    """What decides on the view of each camera for which it is known."""
    links = {each.subject: each for each in survey.sheets("link")}
    views = {each.subject: each for each in survey.sheets("view")}
    for name, entry in context.loaded.site.cameras.items():
        optics = context.part(entry.part).optics
        link, view = links.get(f"cameras/{name}"), views.get(f"cameras/{name}")
        recorded = link.known("recorded_width") if link is not None else None
        focal = _focal(entry, optics)
        if not recorded or link is None or focal is None or optics is None or not optics.sensor_width:
            continue
        see = view.known("see") or "" if view is not None else ""
        at = view.known("slant") if view is not None else None
        yield name, _Sight(_full_width(link), recorded, focal, optics.sensor_width, see, at)


def _focal(entry: CameraEntry, optics: Optics | None) -> float | None:
    """Focal length as it is set, or of a lens that has only one; mm."""
    if entry.lens is not None and entry.lens.focal is not None:
        return float(entry.lens.focal)
    if optics is None or optics.focal_min is None or optics.focal_max not in (None, optics.focal_min):
        return None
    return float(optics.focal_min)


def _full_width(link: Link) -> int:
    """Columns before every other one was dropped; those recorded where none was."""
    if link.known("outcome") == "reduced-width" and link.known("emitted_width"):
        return link.emitted_width
    if link.known("recorded_reduced") and link.known("width"):
        return link.width
    return link.recorded_width
