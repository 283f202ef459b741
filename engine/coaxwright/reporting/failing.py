"""What is lost if one part fails, in words and as data: for `explain`, and for the reports."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from coaxwright.checking import SiteFacts
from coaxwright.findings import SiteReport
from coaxwright.immutable import immutable
from coaxwright.model.site import Site
from coaxwright.topology.failures import Failures, Lost, kind_of
from coaxwright.topology.records import GROUP_OF_KIND, Lists

ABOUT = "As drawn: parts on one line take the same cameras, each by itself. What the site file does not say is not counted."
MOST_ROWS = 12
_MOST_NAMES, _MOST_PARTS = 8, 4
_LOSES = {
    "power": ("loses power", "lose power"),
    "picture": ("loses its picture", "lose their picture"),
    "recording": ("loses its recording", "lose their recording"),
    "kept": ("loses part of what was recorded", "lose part of what was recorded"),
}
_DEVICES = {group: kind for kind, group in GROUP_OF_KIND.items()}


@immutable
class Row:
    """A line of the table of a report: parts that take the same, what is lost, and how many cameras that is."""

    parts: tuple[str, ...]
    words: str
    lost: str
    cameras: int


@immutable
class Table:
    """The table of a report; `more` tells of the rows left out, empty where there are none."""

    rows: tuple[Row, ...]
    more: str


def part_words(part: str) -> str:
    """A part as people call it, as in `output 2 of psu1` or `power cable of camera gate, piece 1`."""
    kind, (group, name, *rest) = kind_of(part), part.split("/")
    if kind == "output":
        return f"output {rest[0]} of {name}"
    if kind == "disk":
        return f"a disk of {name}"
    if kind == "sheaths":
        return f"cable {name}"
    if kind == "cable":
        use = {"into": "network", "over": "network"}.get(rest[0], rest[0])
        return f"{use} cable of {_DEVICES[group]} {name}, piece {int(rest[-1]) + 1}"
    return f"{_DEVICES[group]} {name}"


def lost_words(lost: Lost, most: int | None = None) -> str:
    """What is lost, as in `cameras a, b lose power; d loses its recording`; of many cameras the first `most`."""
    groups = []
    for kind, names in lost.worst:
        stored = " and what was recorded" if kind == "recording" and lost.kept else ""
        groups.append(f"{_names(names, most)} {_LOSES[kind][len(names) > 1]}{stored}")
    if not groups:
        return "no camera goes dark"
    return ("cameras " if len(lost.worst[0][1]) > 1 else "camera ") + "; ".join(groups)


def _names(names: Sequence[str], most: int | None) -> str:
    left = len(names) - most if most is not None else 0
    return ", ".join(names) if left <= 1 else f"{', '.join(names[:most])} and {left} more"


def lost_data(lost: Lost) -> dict[str, Any]:
    """What is lost as plain data."""
    return {
        "part": lost.part, "what": part_words(lost.part), "cameras_dark": len(lost.dark), "power": list(lost.power),
        "picture": list(lost.picture), "recording": list(lost.recording), "kept": list(lost.kept), "words": lost_words(lost),
    }  # fmt: skip


def about(failures: Failures, subject: str) -> list[Lost]:
    """What is lost if the thing at a subject path fails, and for a recorder if one of its disks does."""
    part = failures.part_of(subject)
    if part is None:
        return []
    disk = f"{part}/disk"
    return [failures.lost_with(each) for each in (part, disk) if each == part or each in failures.takes]


def goes_dark_with(site: Site, failures: Failures, subject: str) -> list[str]:
    """Parts with each of which a camera, or every camera of an area, goes dark; none for what is neither."""
    group, _, name = subject.partition("/")
    if group == "cameras":
        return failures.parts_of([name] if name in site.cameras else [])
    return failures.parts_of(each for each, camera in site.cameras.items() if camera.area == name) if group == "areas" else []


def table_of(report: SiteReport) -> Table | None:
    """The table of a site that was checked here; None where no camera goes dark with any part, or the wiring is not at hand."""
    if not isinstance(report.facts, SiteFacts):
        return None
    context = report.facts.sheets.context
    found = table(Failures(context.loaded.site, context.topology.lists))
    return found if found.rows else None


def table(failures: Failures) -> Table:
    """The rows of a report: parts that take the same are one, those that take most cameras first. Where some take several
    cameras, those that take one are only counted: every camera has them.
    """
    groups: dict[tuple[Any, ...], list[Lost]] = {}
    for lost in failures.single_points():
        groups.setdefault(lost.worst, []).append(lost)
    rows = [_row(group) for group in groups.values()]
    several = sum(row.cameras > 1 for row in rows)
    shown = min(several or len(rows), MOST_ROWS)
    return Table(tuple(rows[:shown]), _more(rows[shown:]) if rows[shown:] else "")


def _row(group: Sequence[Lost]) -> Row:
    first = group[0]
    parts = tuple(each.part for each in group)
    told = _names([part_words(part) for part in parts], _MOST_PARTS)
    return Row(parts, told, lost_words(first, _MOST_NAMES), len(first.dark or first.kept))


def _more(left: Sequence[Row]) -> str:
    """How many rows are left out, and how few cameras each of them takes."""
    most = left[0].cameras
    return f"and {len(left)} more, each with {'one camera' if most == 1 else f'at most {most} cameras'}"


def not_counted(site: Site, lists: Lists) -> list[str]:
    """What the site file does not say, so that nothing is known of it here."""
    cameras = site.cameras
    return list(_unsaid({
        "no source of power is named for": [f"camera {name}" for name in cameras if name not in lists.power] + [
            f"recorder {name}" for name in site.recorders if ("recorder", name) not in lists.device_power
        ] + [f"junction {name}" for name in site.junctions if ("junction", name) not in lists.device_power],
        "a site file does not say what powers": [f"switch {name}" for name in site.switches],
        "no recorder is named for": [
            f"camera {name}" for name in cameras if name not in lists.video and name not in lists.network
        ],
        "no disks are listed for": [f"recorder {name}" for name, each in site.recorders.items() if each.disks is None],
        "nobody wrote what cable is used for": [
            f"{path.use} of {path.owner_kind} {path.owner}" for path in lists.paths
            if path.hops is None and path.target is not None and path.use in ("power", "video", "network")
        ],
    }))  # fmt: skip


def _unsaid(found: dict[str, list[str]]) -> Iterator[str]:
    for words, things in found.items():
        if things:
            yield f"{words} {_names(things, _MOST_NAMES)}"
