"""Second opinion on closed cabinets: heat in, degrees up, and what that does to all that stands in them.

From docs/how-facts-are-computed.md, "Closed cabinets".
"""

from __future__ import annotations

from . import plain, powers
from .plain import assumption, num, table

GROUPS = {"recorders": "recorder", "supplies": "supply", "switches": "switch", "boxes": "box", "ups": "ups"}


def cabinets(opinion):
    made = {name: cabinet(opinion, name, entry or {}) for name, entry in (opinion.site.get("cabinets") or {}).items()}
    for group, kind in GROUPS.items():
        for name, entry in (opinion.site.get(group) or {}).items():
            place = entry.get("place") or {}
            if "cabinet" not in place:
                continue
            own, air = num(place.get("ambient_max")), made[place["cabinet"]]["air"]
            part = opinion.parts[entry["part"]]
            opinion.put("housed", f"{group}/{name}", {
                "device": kind, "name": name, "part": entry["part"], "heat": heat(opinion, group, name, entry),
                "cabinet": made[place["cabinet"]], "air": air if own is None else own,
                "temperature_max": num(((part.get("housing") or {}) if kind == "box" else part).get("temperature_max")),
            })  # fmt: skip
            if own is None:
                warm(opinion, group, name, part, air)


def cabinet(opinion, name, entry):
    inside = [
        (group, owner, other) for group in GROUPS for owner, other in (opinion.site.get(group) or {}).items()
        if (other.get("place") or {}).get("cabinet") == name
    ]  # fmt: skip
    burnt = [heat(opinion, *each) for each in inside]
    place = entry.get("place") or {}
    outside = num(place.get("ambient_max"))
    if outside is None and "setting" in place:
        outside = plain.air(place["setting"])[1]
    wide, high, deep = (num(entry.get(each)) for each in ("width", "height", "depth"))
    faces = [row for row in table("cabinet-surfaces") if row["stands"] == entry.get("stands")]
    walls = [float(row["passes"]) for row in table("cabinet-walls") if row["material"] == entry.get("material")]
    surface = rise = None
    if faces and None not in (wide, high, deep):
        front, top, sides = (float(faces[0][each]) for each in ("front", "top", "sides"))
        surface = front * wide * high + top * wide * deep + sides * deep * high
    watts = None if None in burnt else sum(burnt) + (num(entry.get("other_heat")) or 0.0)
    if None not in (watts, surface) and walls:
        lets_out = walls[0] * surface + (num(entry.get("fan")) or 0.0) * 0.32258
        rise = watts / lets_out if lets_out else None
    stored = stores(opinion, inside)
    return opinion.put("cabinet", f"cabinets/{name}", {
        "name": name, "devices": len(inside), "watts": watts, "outside": outside, "surface": surface, "rise": rise,
        "air": None if None in (outside, rise) else outside + rise, "cells_hours": stored, "vents": num(entry.get("vents")),
        "vents_wanted": None if stored is None else 28 * 0.05 * 8 / 1000 * stored,
    })  # fmt: skip


def stores(opinion, inside):
    """Six cells for every 12 V, times ampere-hours."""
    total = 0.0
    for group, owner, entry in inside:
        battery = opinion.found.get(("battery", f"supplies/{owner}/battery")) if group == "supplies" else None
        if battery is not None and battery["chemistry"] == "lead-acid":
            volts = num(opinion.parts[entry["part"]]["volts"])
            cells = 6 * int(volts / 12 + 1e-9) or max(1, int(volts / 2 + 1e-9))
            if battery["capacity"] is None:
                return None
            total += cells * battery["capacity"]
    return total


def heat(opinion, group, name, entry):
    """What it draws; of what only passes through a supply or a UPS, what is lost."""
    part = opinion.parts[entry["part"]]
    if group == "boxes" and "power" not in part:
        return 0.0
    if group not in ("supplies", "ups"):
        return powers.load(part, {})[2]
    passed = num(part.get("efficiency"))
    if passed is None and group == "supplies":
        passed = assumption("supply-efficiency")
    supply = group == "supplies"
    through = opinion.found["supply" if supply else "ups", f"{group}/{name}"]["watts_night" if supply else "watts"]
    return None if None in (through, passed) or not passed else through / passed - through


def warm(opinion, group, name, part, air):
    """The air in the cabinet stands in where nobody wrote that at the device."""
    found = opinion.found
    if group == "ups":
        found["ups", f"ups/{name}"]["ambient_max"] = air
    if group == "recorders":
        sheet, disks = found["recorder", f"recorders/{name}"], found["disk_group", f"recorders/{name}/disks"]
        sheet.update(ambient_max=air, ambient_max_assumed=False)
        # A group without a list of disks has no temperature either way.
        disks["temperature"] = None if air is None or not disks_named(opinion, name) else air + assumption("disk-warmth")
    if group == "supplies":
        supply = found["supply", f"supplies/{name}"]
        place = {} if air is None else {"ambient_max": str(air)}
        supply.update(powers.warm_supply(part, place))
        supply["amps_warm"] = powers.product(num(part.get("amps")), supply["share_warm"])
        for (kind, subject), output in found.items():
            if kind == "output" and subject.startswith(f"supplies/{name}/"):
                output["share_warm"] = powers.warm_output(part.get("output_protection"), air)
                output["amps_warm"] = powers.product(output["amps_max"], output["share_warm"])
        if ("battery", f"supplies/{name}/battery") in found:
            found["battery", f"supplies/{name}/battery"]["temperature_max"] = air
    for kind, subject in list(found):
        if kind == "exposure" and subject == f"{group}/{name}":
            sheet = found[kind, subject]
            sheet["ambient_max"] = air
            sheet["sun_margin"] = None if None in (air, sheet["temperature_max"]) else sheet["temperature_max"] - air


def disks_named(opinion, name):
    return opinion.site["recorders"][name].get("disks") is not None
