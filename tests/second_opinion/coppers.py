"""Second opinion on ways over copper: which reach other earths, what stands on them."""

from __future__ import annotations

from . import lines
from .places import twice
from .plain import num

GROUPS = ("recorders", "supplies", "junctions", "switches")


def coppers(opinion):
    site = opinion.site
    armed = {owner for _, owner, _, hops in lines.all_ways(site) if "arrester" in boxes(opinion, hops)}
    for use, group, name, way in ways(site):
        owner, target = f"{group}/{name}", (way.get("from") or way.get("into", "")).split("/")[0]
        there = next((site[each][target] for each in GROUPS if target in (site.get(each) or {})), None)
        if there is None or twice(site, use, owner, way.get("over") or ()):
            continue
        here, far = site[group][name].get("place") or {}, there.get("place") or {}
        facts = ends(here, far)
        facts.update(owner=owner, name=name, use=use, height=None)
        if group == "cameras" and here.get("setting") == "outdoor":
            facts["height"] = num(here.get("height"))
        if owner in armed or facts["height"] is not None or facts["other_earth"] or facts["other_building"]:
            facts.update(on_it(opinion, use, way.get("over")), direct=use == "power" and direct(opinion, site[group][name]))
            facts["others_arrested"] = others(opinion, owner, use)
            voltages(opinion, facts, way.get("over") or ())
            tests(opinion, facts, way.get("over") or ())
            opinion.put("copper", f"{owner}/{use}", facts)


def ways(site):
    """Every way that an entry writes and that has cable or power of its own: what it is for, where it is written, the way."""
    for group in ("cameras", "recorders", "junctions", "boxes", "switches"):
        for name, entry in (site.get(group) or {}).items():
            if group == "switches":
                if "into" in entry:
                    yield "network", group, name, entry
                continue
            for use in ("video", "power", "sound", "control", "network"):
                way = entry.get(use)
                if way is not None and ("into" in way or "from" in way):
                    yield use, group, name, way


def ends(here, far):
    apart = [None if None in (here.get(each), far.get(each)) else here[each] != far[each] for each in ("building", "earth")]
    return {"other_building": apart[0], "other_earth": apart[0] if apart[1] is None else apart[1]}


def boxes(opinion, over):
    """What the boxes on a way do."""
    return [opinion.parts[opinion.site["boxes"][hop["box"]]["part"]]["does"] for hop in over or () if "box" in hop]


def on_it(opinion, use, over):
    if over is None:
        return {"arresters": None, "isolated": True if use == "network" else None}
    does = boxes(opinion, over)
    return {"arresters": does.count("arrester"), "isolated": use == "network" or "isolator" in does}


def others(opinion, owner, use):
    group, name = owner.split("/")
    return any("arrester" in boxes(opinion, way.get("over")) for kind, where, who, way in ways(opinion.site)
               if (where, who) == (group, name) and kind != use)  # fmt: skip


def direct(opinion, entry):
    """Whether the root of the power is a supply of direct current."""
    while "power" in entry:
        device = entry["power"]["from"].split("/")[0]
        if device in (opinion.site.get("supplies") or {}):
            return opinion.parts[opinion.site["supplies"][device]["part"]].get("gives", "dc") == "dc"
        if device not in (opinion.site.get("junctions") or {}):
            return False
        entry = opinion.site["junctions"][device]
    return False


def tests(opinion, facts, over):
    """What every arrester on the way is tested for (docs/how-facts-are-computed.md, ways over copper)."""
    facts.update(tested_for_stroke=None, tested_for_induced=None, categories=None)
    parts = [opinion.parts[opinion.site["boxes"][hop["box"]]["part"]] for hop in over if "box" in hop]
    stated = [part.get("test_categories") for part in parts if part["does"] == "arrester"]
    if not stated:
        return
    facts["categories"] = "; ".join(", ".join(each) if each else "not stated" for each in stated)
    for name, good in (("tested_for_stroke", {"D1", "D2", "T1"}), ("tested_for_induced", {"C2", "D1", "D2", "T1", "T2"})):
        each_one = [None if each is None else bool(good & set(each)) for each in stated]
        facts[name] = False if False in each_one else None if None in each_one else True


def voltages(opinion, facts, over):
    """Only of power with arresters on it."""
    facts.update(arrester_volts=None, volts_line=None)
    if facts["use"] != "power" or not facts["arresters"]:
        return
    parts = [opinion.parts[opinion.site["boxes"][hop["box"]]["part"]] for hop in over if "box" in hop]
    stated = [num(part.get("volts_continuous")) for part in parts if part["does"] == "arrester"]
    facts["arrester_volts"] = None if None in stated else min(stated)
    feed = opinion.cameras[facts["name"]]["feed"] if facts["owner"].startswith("cameras/") else None
    facts["volts_line"] = None if feed is None else feed["volts_idle"]
