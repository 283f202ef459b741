"""What runs on without mains beside the cameras: recorders, switches, powered boxes, screens, supplies on a UPS.

A system lasts as long as the first thing that it needs. Made where somebody wants cameras to run without mains, or where a
UPS stands on the site; reads the whole site. Batteries hurt people: siting and fusing are for a competent person.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, NamedTuple

from coaxwright.facts.context import Context
from coaxwright.facts.declared.filling import fill
from coaxwright.facts.physics.battery import runtime_hours
from coaxwright.facts.power.loads import load_of
from coaxwright.facts.sheets import Standby, Ups
from coaxwright.model.site import PLAIN_MAINS
from coaxwright.portable import added
from coaxwright.topology.records import GROUP_OF_KIND, CablePath
from coaxwright.topology.trees import root_of

_PLUGGED = ("recorder", "switch", "box", "monitor")


class Lasts(NamedTuple):
    """How long a device runs without mains, and on what; `hours` None where `missing` would tell."""

    fed_by: str | None
    hours: float | None
    missing: tuple[str, ...] = ()
    ups: Ups | None = None
    battery: Any = None


def bind_standby(context: Context, _: str = "") -> tuple[list[Standby], list[Ups]]:
    """Sheets of all that has to run without mains, and of every UPS. Supplies are solved already."""
    work = _Standby(context)
    units = [work.unit(name) for name in context.loaded.site.ups]
    fill("ups", units)
    for each in units:
        work.last(each)
    return [*work.devices()], units


class _Standby:
    """The site under work: UPS by name, and what is wanted of each camera."""

    def __init__(self, context: Context) -> None:
        self.context, self.site, self.lists = context, context.loaded.site, context.topology.lists
        self.units: dict[str, Ups] = {}

    # UPS

    def unit(self, name: str) -> Ups:
        """A UPS with the sum of its loads."""
        entry, sheet = self.site.ups[name], Ups()
        part = self.context.part(entry.part)
        sheet.subject, sheet.pointer, sheet.name, sheet.part = f"ups/{name}", ("ups", name), name, entry.part
        sheet.put("wanted", entry.autonomy, f"ups/{name}/autonomy")
        sheet.put("ambient_max", None if entry.place is None else entry.place.ambient_max, f"ups/{name}/place/ambient_max")
        for field, stated in (("watts_max", "watts"), ("volt_amps_max", "volt_amps"), ("temperature_max", "temperature_max")):
            sheet.put(field, getattr(part, stated), f"parts/{entry.part}/{stated}")
        loads = sheet.steps = list(self._loads(name))
        sheet.loads = len(loads)
        missing = dict.fromkeys(each for _, watts, lacking in loads if watts is None for each in lacking)
        sheet.put("watts", None if missing else added(watts or 0.0 for _, watts, _ in loads), *missing)
        if missing:
            sheet.lacks("volt_amps", *missing)
        else:
            sheet.volt_amps = sheet.watts / self.context.ledger.take("mains-power-factor")
        self.units[name] = sheet
        return sheet

    def _loads(self, name: str) -> Iterator[tuple[str, float | None, tuple[str, ...]]]:
        """Subject, watts by night from the mains, and what would supply them, of each plug in this UPS."""
        for kind in _PLUGGED:
            for owner, entry in getattr(self.site, GROUP_OF_KIND[kind]).items():
                if entry.mains == name:
                    yield f"{GROUP_OF_KIND[kind]}/{owner}", *self._drawn(kind, entry.part)
        for owner, entry in self.site.supplies.items():
            if entry.mains == name:
                sheet = self.context.supplies[owner]
                watts, missing = sheet.known("watts_night"), sheet.missing("watts_night")
                yield f"supplies/{owner}", None if watts is None else watts / self._efficiency(entry.part), missing

    def _drawn(self, kind: str, part_id: str) -> tuple[float | None, tuple[str, ...]]:
        part = self.context.part(part_id)
        if kind == "monitor":
            return part.watts, (f"parts/{part_id}/watts",)
        load = load_of(part_id, part, self.context.ledger)
        return load.night, load.missing_night

    def _efficiency(self, part_id: str) -> float:
        stated = self.context.part(part_id).efficiency
        return float(self.context.ledger.take("supply-efficiency") if stated is None else stated)

    def last(self, sheet: Ups) -> None:
        """Hours by the table of its part, at its load."""
        watts, rows = sheet.known("watts"), self.context.part(sheet.part).runtimes
        if watts is None:
            sheet.lacks("hours", *sheet.missing("watts"))
        else:
            hours = runtime_hours([(row.watts, row.hours) for row in rows], watts)
            sheet.put("hours", hours, f"parts/{sheet.part}/runtimes")

    # What is wanted

    def _of_camera(self, name: str) -> float | None:
        """Time without mains wanted of what feeds a camera."""
        path = self.lists.power.get(name)
        kind, root = root_of(self.lists, path) if path is not None else ("", "")
        if kind == "supply":
            return self.site.supplies[root].autonomy
        if kind in ("switch", "recorder"):
            unit = self.site.ups.get(getattr(self.site, GROUP_OF_KIND[kind])[root].mains or "")
            return None if unit is None else unit.autonomy
        return None

    def _most(self, cameras: Iterator[str]) -> float | None:
        return max((hours for name in cameras if (hours := self._of_camera(name)) is not None), default=None)

    def _wanted(self, kind: str, name: str) -> float | None:
        """The most that is wanted of the cameras that need this device."""
        if kind == "supply":
            entry = self.site.supplies[name]
            return entry.autonomy if entry.mains in self.site.ups and not self.context.supplies[name].has_battery else None
        if kind == "recorder":
            return self._most(self._recorded(name))
        if kind == "switch":
            return self._most(self._below(name))
        if kind == "box":
            paths = self.lists.box_uses.get(name, ()) if self.context.part(self.site.boxes[name].part).power else ()
            return self._most(path.owner for path in paths if path.owner_kind == "camera")
        path = self.lists.screens.get(name)
        return None if path is None or path.target is None else self._wanted("recorder", path.target.device)

    def _recorded(self, recorder: str) -> Iterator[str]:
        for path in (*self.lists.video_into.get(recorder, ()), *self.lists.network_into.get(recorder, ())):
            yield path.owner

    def _below(self, switch: str) -> Iterator[str]:
        """Cameras whose network way leads through a switch, or that it powers."""
        for name in self.site.cameras:
            way = self.lists.network.get(name)
            while way is not None and way.target is not None and way.target.device_kind == "switch":
                if way.target.device == switch:
                    yield name
                way = self.lists.uplinks.get(way.target.device)
            path = self.lists.power.get(name)
            if path is not None and root_of(self.lists, path) == ("switch", switch):
                yield name

    # What it gets

    def devices(self) -> Iterator[Standby]:
        """Sheets of devices of which something is wanted, in the order of kinds, then of the file."""
        for kind in (*_PLUGGED, "supply"):
            for name in getattr(self.site, GROUP_OF_KIND[kind]):
                wanted = self._wanted(kind, name)
                if wanted is not None:
                    yield self._device(kind, name, wanted)

    def _device(self, kind: str, name: str, wanted: float) -> Standby:
        sheet = Standby()
        sheet.subject, sheet.pointer = f"{GROUP_OF_KIND[kind]}/{name}", (GROUP_OF_KIND[kind], name)
        sheet.device, sheet.name, sheet.wanted = kind, name, wanted
        lasts = self._lasts(kind, name)
        sheet.put("fed_by", lasts.fed_by, *lasts.missing)
        sheet.put("hours", lasts.hours, *lasts.missing)
        for field in ("ups", "battery"):
            sheet.put(field, getattr(lasts, field), *lasts.missing)
        return sheet

    def _lasts(self, kind: str, name: str) -> Lasts:
        """How long a device runs: by its own plug, or by what is at the root of its power; with both, by the longer."""
        entry = getattr(self.site, GROUP_OF_KIND[kind])[name]
        path = self.lists.device_power.get((kind, name))
        ways = [] if entry.mains is None else [self._plugged(entry.mains)]
        if path is not None:
            ways.append(self._fed(path))
        unknown = [each for each in ways if each.hours is None]
        if not ways or unknown:
            missing = dict.fromkeys(path for each in unknown for path in each.missing)
            return Lasts(None, None, tuple(missing) or (f"{GROUP_OF_KIND[kind]}/{name}/mains",))
        return max(ways, key=lambda each: each.hours or 0.0)

    def _plugged(self, mains: str) -> Lasts:
        if mains == PLAIN_MAINS:
            return Lasts("mains", 0.0)
        unit = self.units[mains]
        return Lasts("ups", unit.known("hours"), unit.missing("hours"), unit)

    def _fed(self, path: CablePath) -> Lasts:
        """By the battery of the supply at the root; else as that supply or powered port itself."""
        kind, root = root_of(self.lists, path)
        if kind == "supply" and self.context.supplies[root].has_battery:
            battery = self.context.supplies[root].battery
            return Lasts("battery", battery.known("hours"), battery.missing("hours"), None, battery)
        if kind == "":
            return Lasts(None, None, (f"{path.subject}/power",))
        found = self._lasts(kind, root)
        return found._replace(fed_by="port") if kind in ("switch", "recorder") and found.fed_by else found
