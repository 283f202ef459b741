"""Second opinion on places and cables as they lie: surroundings, laid runs, areas, boxes, all runs."""

from __future__ import annotations

from . import breaking, conductors, lines
from .plain import num, table, yes

MADE_FOR = {
    "video": {"coax", "pair", "network"}, "power": {"power", "pair", "network"}, "sound": {"line", "coax", "pair", "network"},
    "control": {"pair", "network", "line"}, "network": {"network", "coax"},
}  # fmt: skip


def written(owner, use):
    """Where a way stands in the site file: a switch has its `over` at its own entry."""
    return owner if owner.startswith("switches/") else f"{owner}/{use}"


def twice(site, use, owner, hops):
    """Whether the way of power is that of the network, written again: from the same port, over the same pieces."""
    group, name = owner.split("/")
    entry = site[group][name]
    network = entry.get("network") or {} if group == "cameras" else entry
    if use != "power" or group not in ("cameras", "switches") or network.get("into") != entry["power"].get("from"):
        return False
    pieces, others = ([(hop.get("cable"), num(hop.get("length"))) for hop in each or ()] for each in (hops, network.get("over")))
    return pieces in (others, others[::-1])


def fed_by_coax(opinion, use, entry, cable):
    """Power over the coax of a device that takes it so, from a supply; network ports give none that way."""
    taker = opinion.parts.get(entry.get("part")) or {}
    coax = yes((taker.get("power") or {}).get("over_coax")) is True and "coax" in cable["carries"]
    if use != "power" or not coax:
        return False
    junctions = opinion.site.get("junctions") or {}
    root = entry["power"]["from"].split("/")[0]
    while root in junctions and "power" in junctions[root]:
        root = junctions[root]["power"]["from"].split("/")[0]
    return root in junctions or root in (opinion.site.get("supplies") or {})


def runs(opinion):
    """Every run of cable by its path, with what its part states. Currents are filled by who works them out."""
    site = opinion.site
    for use, owner, _, hops in lines.all_ways(site):
        group, name = owner.split("/")
        place = site[group][name].get("place") or {}
        stands = place.get("setting")
        for index, hop in enumerate(hops):
            if "cable" not in hop:
                continue
            part = opinion.parts[hop["cable"]]
            own = part.get("conductor") or {}
            current = {"amps_max": num(own.get("amps")), "device_max": None}
            if use == "power":
                current = conductors.facts(part, hop, place)
            opinion.put("run", f"{written(owner, use)}/over/{index}", {
                "owner": owner, "use": use, "cable": hop["cable"], "metres": num(hop.get("length")),
                "told_above": twice(site, use, owner, hops),
                "setting": hop.get("setting", stands), "rated": part.get("rated"),
                "paired": bool({"pair", "network"} & set(part["carries"])),
                "fits_use": bool(MADE_FOR[use] & set(part["carries"]))
                or fed_by_coax(opinion, use, site[group][name], part), "impedance": num(part.get("impedance")),
                "centre": part.get("centre"), "conductor_size": num(own.get("size")),
                "conductor_material": own.get("material"), "amps_day": None, "amps_night": None,
                "amps_protective": None,
                "amps_opening": None, **current,
            })  # fmt: skip


def boxes(opinion):
    for name, entry in (opinion.site.get("boxes") or {}).items():
        used = sum(hop.get("box") == name for *_, hops in lines.all_ways(opinion.site) for hop in hops)
        part = opinion.parts[entry["part"]]
        opinion.put("box", f"boxes/{name}", {
            "name": name, "part": entry["part"], "does": part["does"], "used": used,
            "takes_power": "power" in part, "has_power": "power" in entry,
        })  # fmt: skip


# Surroundings


def exposures(opinion):
    for group, device in (("cameras", "camera"), ("recorders", "recorder"), ("supplies", "supply")):
        for name, entry in (opinion.site.get(group) or {}).items():
            place = entry.get("place")
            if place is not None and asks_more(place, device):
                _exposure(opinion, group, device, name, entry, place)


def asks_more(place, device):
    """Whether a place asks more than most do."""
    if any(yes(place.get(each)) for each in ("hazardous", "coastal", "damp", "washed")):
        return True
    if device == "camera":
        return bool(yes(place.get("sun"))) or ("height" in place and place.get("setting") == "outdoor")
    away = place.get("setting") in ("outdoor", "sheltered")
    return away or (device == "supply" and bool({"ambient_max", "cabinet"} & set(place)))


def jets(code):
    """Whether an IP code implies jets of water: second digit 5 or 6 (7 and 8 do not include them); None for an X."""
    if code is None:
        return None
    digits = [part.removeprefix("IP")[1] for part in code.split("/")]
    return True if "5" in digits or "6" in digits else None if "X" in digits else False


def covered(code):
    """Second digits that a code covers (docs/how-facts-are-computed.md, table ip-codes): None with an X, or without a code."""
    digits = [] if code is None else [part.removeprefix("IP")[1] for part in code.split("/")]
    if not digits or "X" in digits:
        return None
    held = set()
    for digit in map(int, digits):
        held |= {digit} | set(range(digit if digit < 7 else 5)) | ({7} if digit == 8 else set())
    return tuple(sorted(held))


def _exposure(opinion, group, device, name, entry, place):
    part = opinion.parts[entry["part"]]
    housing = part.get("housing") or {}
    stated = housing if device == "camera" else part
    facts = {each: yes(place.get(each)) is True for each in ("coastal", "damp", "washed", "sun")}
    facts["hazardous"] = yes(place.get("hazardous"))
    facts.update(
        device=device, name=name, part=entry["part"], setting=place.get("setting"), height=num(place.get("height")),
        ambient_max=num(place.get("ambient_max")), temperature_max=num(stated.get("temperature_max")),
        rated=housing.get("rated"), coastal_rated=yes(housing.get("coastal")), ip=housing.get("ip"),
        condensation_rated=yes(housing.get("condensation")), jets_met=jets(housing.get("ip")), sun_margin=None,
        arrested=None,
    )  # fmt: skip
    if None not in (facts["temperature_max"], facts["ambient_max"]):
        facts["sun_margin"] = facts["temperature_max"] - facts["ambient_max"]
    if device == "camera":
        over = (entry.get("video") or {}).get("over")
        if over is not None:
            does = [opinion.parts[opinion.site["boxes"][hop["box"]]["part"]]["does"] for hop in over if "box" in hop]
            facts["arrested"] = "arrester" in does
        elif "video" in entry:
            facts["arrested"] = False if entry["video"].get("over") == [] else None
    opinion.put("exposure", f"{group}/{name}", facts)


def fire(named, space):
    """The class that is usual in a space in the system of the cable's class, and whether that is below it; else neither."""
    classes = {row["name"].lower(): row for row in table("fire-classes")}
    word = "".join(each if each.isalnum() else " " for each in named or "").split()
    own = classes.get(word[0].lower()) if word else None
    rows = [row for row in table("fire-usual") if own and row["system"] == own["system"] and row["space"] == space]
    return (rows[0]["named"], int(own["rank"]) < int(rows[0]["rank"])) if rows else (None, None)


def layings(opinion):
    """Runs in the ground, beside mains or in a space that a fire rule names."""
    for use, owner, _, hops in lines.all_ways(opinion.site):
        for index, hop in enumerate(hops):
            buried = yes(hop.get("buried")) is True
            if "cable" not in hop or not (buried or {"beside_mains", "space", "bend"} & set(hop)):
                continue
            part = opinion.parts[hop["cable"]]
            usual, below = fire(part.get("fire_class"), hop.get("space"))
            opinion.put("laying", f"{written(owner, use)}/over/{index}", {
                "fire_usual": usual, "fire_below": below, "bend": num(hop.get("bend")),
                "bend_least": num(part.get("bend_radius")),
                "owner": owner, "use": use, "cable": hop["cable"], "metres": num(hop.get("length")), "buried": buried,
                "told_above": twice(opinion.site, use, owner, hops),
                "beside_mains": num(hop.get("beside_mains")), "space": hop.get("space"), "rated": part.get("rated"),
                "fire_class": part.get("fire_class"), "screened": "coax" in part["carries"] or yes(part.get("screened")) is True,
                **beside(hop.get("mains_circuits"), "coax" in part["carries"] or yes(part.get("screened")) is True),
            })  # fmt: skip


FACTOR = ((76, 6), (61, 5), (46, 4), (31, 3), (16, 2), (13, 1), (10, 0.8), (7, 0.6), (4, 0.4), (1, 0.2))
"""P of EN 50174-2, by the number of mains circuits from which it holds."""


def beside(circuits, screened):
    if circuits is None:
        return {"mains_circuits": None, "separation": None}
    factor = next(each for least, each in FACTOR if int(circuits) >= least)
    return {"mains_circuits": int(circuits), "separation": (0.05 if screened else 0.1) * factor}


def areas(opinion):
    """Cameras of one area, and how many outputs or powered devices feed them."""
    site, members = opinion.site, {}
    for entry in site["cameras"].values():
        if "area" in entry:
            members.setdefault(entry["area"], []).append(entry)
    for name, entries in members.items():
        feeders = [feeder(site, entry) for entry in entries]
        known = list(dict.fromkeys(each for each in feeders if each is not None))
        count = None if None in feeders and len(known) < 2 else len(known)
        facts = {"name": name, "camera_count": len(entries), "feeders": count, "feeder": known[0] if known else None}
        facts["shared_parts"], facts["shared_part"] = shared(site, name)
        opinion.put("area", f"areas/{name}", facts)


def shared(site, area):
    """How many parts, broken one at a time, leave no camera of an area with power and a way of its picture to a recorder;
    and the gravest. By breaking each in turn, recorders never; see `breaking`.
    """
    names = [name for name, entry in site["cameras"].items() if entry.get("area") == area]
    ends = [part for part in breaking.parts(site) if not any(breaking.Broken(site, part).works(name) for name in names)]
    if ends:
        return len(ends), min(ends, key=breaking.grave)
    return (None, None) if any(breaking.unwritten(site, name) for name in names) else (0, "")


def feeder(site, entry):
    """The supply output, or the device with network ports, at the root of what feeds a camera."""
    while "power" in entry:
        device = entry["power"]["from"].split("/")[0]
        if device in (site.get("supplies") or {}):
            return entry["power"]["from"]
        if device not in (site.get("junctions") or {}):
            return device
        entry = site["junctions"][device]
    return None
