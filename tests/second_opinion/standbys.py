"""Second opinion on what runs without mains beside the cameras, and on UPS: what feeds what, walked device by device."""

from __future__ import annotations

import math
from itertools import pairwise

from . import powers
from .plain import assumption, num

GROUPS = {"recorder": "recorders", "switch": "switches", "box": "boxes", "monitor": "monitors", "supply": "supplies"}


def standbys(opinion):
    site = opinion.site
    asked = any("autonomy" in entry for entry in (site.get("supplies") or {}).values())
    if not (asked or site.get("ups")):
        return
    units = {name: unit(opinion, name, entry) for name, entry in (site.get("ups") or {}).items()}
    for kind, group in GROUPS.items():
        for name in site.get(group) or {}:
            hours = wanted(opinion, kind, name)
            if hours is not None:
                fed, lasts, ups, battery = runs_for(opinion, units, group, name)
                opinion.put("standby", f"{group}/{name}", {
                    "device": kind, "name": name, "wanted": hours, "fed_by": fed, "hours": lasts, "ups": ups, "battery": battery,
                })  # fmt: skip


# UPS


def unit(opinion, name, entry):
    part, plugged = opinion.parts[entry["part"]], []
    for group in GROUPS.values():
        for owner, other in (opinion.site.get(group) or {}).items():
            if other.get("mains") == name:
                plugged.append(drawn(opinion, group, owner, other))
    watts = None if None in plugged else sum(plugged)
    most, apparent = num(part.get("watts")), num(part.get("volt_amps"))
    facts = {
        "name": name, "part": entry["part"], "loads": len(plugged), "watts": watts, "watts_max": most, "volt_amps_max": apparent,
        "volt_amps": None if watts is None else watts / assumption("mains-power-factor"), "wanted": num(entry.get("autonomy")),
        "hours": None if watts is None else by_table(part.get("runtimes") or [], watts), "watts_headroom": None,
        "temperature_max": num(part.get("temperature_max")), "ambient_max": num((entry.get("place") or {}).get("ambient_max")),
    }  # fmt: skip
    if None not in (watts, most, apparent):
        facts["watts_headroom"] = min(1 - watts / most, 1 - facts["volt_amps"] / apparent)
    return opinion.put("ups", f"ups/{name}", facts)


def drawn(opinion, group, owner, entry):
    """Watts from the mains by night."""
    part = opinion.parts[entry["part"]]
    if group == "monitors":
        return num(part.get("watts"))
    if group != "supplies":
        return powers.load(part, {})[2]
    given, passed = opinion.found["supply", f"supplies/{owner}"]["watts_night"], num(part.get("efficiency"))
    return None if given is None else given / (assumption("supply-efficiency") if passed is None else passed)


def by_table(rows, watts):
    """Hours at a load, straight between the logarithms of neighbours; no more than the longest, none beyond the last."""
    points = sorted((num(row["watts"]), num(row["hours"])) for row in rows)
    if not points or watts > points[-1][0]:
        return None
    if watts <= points[0][0]:
        return points[0][1]
    for (low, long), (high, short) in pairwise(points):
        if low < watts <= high:
            if watts == high:
                return short
            slope = (math.log(short) - math.log(long)) / (math.log(high) - math.log(low))
            return math.exp(math.log(long) + slope * (math.log(watts) - math.log(low)))
    raise AssertionError("between no two rows")


# What is wanted


def root(site, entry):
    """The group and id of what gives power at the root of a way; nothing where nobody wrote it."""
    while "power" in entry:
        device = entry["power"]["from"].split("/")[0]
        for group in ("supplies", "switches", "recorders"):
            if device in (site.get(group) or {}):
                return group, device
        entry = site["junctions"][device]
    return None


def of_camera(opinion, name):
    found = root(opinion.site, opinion.site["cameras"][name])
    if found is None:
        return None
    entry = opinion.site[found[0]][found[1]]
    if found[0] == "supplies":
        return num(entry.get("autonomy"))
    return num(((opinion.site.get("ups") or {}).get(entry.get("mains")) or {}).get("autonomy"))


def wanted(opinion, kind, name):
    site = opinion.site
    if kind == "supply":
        entry = site["supplies"][name]
        plugged = entry.get("mains") in (site.get("ups") or {})
        return num(entry.get("autonomy")) if plugged and not opinion.found["supply", f"supplies/{name}"]["has_battery"] else None
    if kind == "monitor":
        origin = site["monitors"][name].get("from")
        return None if origin is None else wanted(opinion, "recorder", origin.split("/")[0])
    if kind == "box" and "power" not in opinion.parts[site["boxes"][name]["part"]]:
        return None
    needs = {"recorder": records, "switch": leads, "box": passes}[kind]
    hours = [of_camera(opinion, camera) for camera, entry in site["cameras"].items() if needs(site, name, entry)]
    return max([each for each in hours if each is not None], default=None)


def records(site, recorder, camera):
    """Whether a recorder records a camera, over coax or over the network."""
    if "video" in camera and camera["video"]["into"].split("/")[0] == recorder:
        return True
    network = camera.get("network") or {}
    return (network.get("recorder") or network.get("into", "").split("/")[0]) == recorder


def leads(site, switch, camera):
    """Whether a camera's way through the network leads through a switch, or its power comes from it."""
    at = (camera.get("network") or {}).get("into", "").split("/")[0]
    while at in (site.get("switches") or {}):
        if at == switch:
            return True
        at = site["switches"][at].get("into", "").split("/")[0]
    return root(site, camera) == ("switches", switch)


def passes(site, box, camera):
    """Whether a box lies on some way of a camera."""
    ways = [camera.get(use) or {} for use in ("video", "power", "network", "sound", "control")]
    return any(hop.get("box") == box for way in ways for hop in way.get("over") or ())


# What it gets


def runs_for(opinion, units, group, name):
    """What feeds a device, its hours, the UPS, the battery: of two ways the one that lasts longer; None where not known."""
    entry, ways = opinion.site[group][name], []
    if "mains" in entry:
        ups = units.get(entry["mains"])
        ways.append(("mains", 0.0, None, None) if ups is None else ("ups", ups["hours"], ups, None))
    if group != "supplies" and "power" in entry:
        ways.append(fed(opinion, units, root(opinion.site, entry)))
    if not ways or any(way[1] is None for way in ways):
        return None, None, None, None
    return max(ways, key=lambda way: way[1])


def fed(opinion, units, origin):
    if origin is None:
        return None, None, None, None
    if origin[0] == "supplies":
        battery = opinion.found.get(("battery", f"supplies/{origin[1]}/battery"))
        if battery is not None:
            return "battery", battery["hours"], None, battery
        return runs_for(opinion, units, *origin)
    return "port", *runs_for(opinion, units, *origin)[1:]
