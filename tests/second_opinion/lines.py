"""Second opinion on lines of their own: sound, serial control, shared jackets, screens."""

from __future__ import annotations

import math

from .pictures import answered, below
from .plain import lets_in, maker, many, mode, mode_text, num, yes
from .seasons import summed

# Sound and control lines of one camera


def own_lines(opinion, sheet, entry):
    """Whether sound and control arrive over lines of their own, or were not drawn at all."""
    sound, control = entry.get("sound") or {}, entry.get("control") or {}
    if sheet["sound_by"] == "line":
        _line(opinion, sheet, entry, sound)
    elif sheet["sound_by"] == "none" or (sheet["sound_by"] == "network" and not sheet["has_network"]):
        sheet["sound_works"], sheet["sound_cause"] = False, "not-drawn"
    if sheet["control_by"] == "serial":
        recorder = opinion.parts[opinion.site["recorders"][control["into"].split("/")[0]]["part"]]
        sheet["control_works"], sheet["control_cause"] = serial(opinion.parts[entry["part"]], recorder, control)
    elif sheet["control_by"] == "none" or (sheet["control_by"] == "network" and not sheet["has_network"]):
        sheet["control_works"], sheet["control_cause"] = False, "not-drawn"


def _line(opinion, sheet, entry, sound):
    device, word = sound["into"].split("/")
    number = int(word.removeprefix("audio"))
    recorder_id = opinion.site["recorders"][device]["part"]
    recorder, camera = opinion.parts[recorder_id], opinion.parts[entry["part"]]
    inputs = num(below(recorder, "sound", "line_inputs"))
    there = None if inputs is None else number <= inputs
    pickup_id = sound.get("pickup")
    if pickup_id is None:
        output = yes(below(camera, "sound", "line_output"))
        sheet["sound_works"], sheet["sound_cause"] = answered([there, output], ["line-input", "line-output"])
        sheet["line_level"] = output or None
        return
    pickup, over = opinion.parts[pickup_id], sound.get("over")
    wanted = pickup.get("works_with") or "any"
    answers = [there, wanted == "any" or lets_in(wanted, maker(recorder_id, recorder), maker(pickup_id, pickup))]
    metres = None if over is None else summed(num(hop.get("length")) for hop in over if "cable" in hop)
    answers.append(None if metres is None or "reach" not in pickup else metres <= num(pickup["reach"]))
    level = None if "output" not in pickup else pickup["output"] == "line"
    sheet["sound_works"], sheet["sound_cause"] = answered(answers, ["line-input", "maker", "length"])
    sheet["line_level"] = level


def serial(camera, recorder, control):
    """Ports at both ends, a protocol and a speed in common, and an address."""
    ends = [below(camera, "control", "serial"), below(recorder, "control", "serial")]
    answers = [None if end is None else True for end in ends]
    for what, written in (("protocols", control.get("protocol")), ("speeds", control.get("speed"))):
        sets = [None if end is None or what not in end else set(map(str, many(end[what]))) for end in ends]
        known = [each for each in sets if each is not None]
        if written is not None and any(str(written) not in each for each in known):
            answers.append(False)
        elif len(known) < 2:
            answers.append(None)
        else:
            answers.append(bool(known[0] & known[1]))
    answers.append(None if control.get("address") is None else True)
    return answered(answers, ["serial"] * len(answers))


# The serial line of a recorder


def buses(opinion):
    for name, recorder in opinion.site["recorders"].items():
        on_it = {
            owner: entry
            for owner, entry in opinion.site["cameras"].items()
            if (entry.get("control") or {}).get("into") == f"{name}/rs485"
        }
        if on_it:
            _bus(opinion, name, recorder, on_it)


def agreed(written, word, count, most):
    """A count of differences; not known where one of several says nothing and the others agree."""
    silent = len(written) > 1 and any(word not in each for each in written)
    return None if silent and count <= most else count


def _bus(opinion, name, recorder, on_it):
    written = [entry["control"] for entry in on_it.values()]
    addresses = [int(each["address"]) for each in written if "address" in each]
    parts = [opinion.parts[recorder["part"]], *(opinion.parts[entry["part"]] for entry in on_it.values())]
    lengths = []
    for each in written:
        over = each.get("over")
        lengths += [None] if over is None else [num(hop.get("length")) for hop in over if "cable" in hop]
    ends = [yes(each.get("terminated")) for each in written]
    opinion.put("serial_bus", f"recorders/{name}/rs485", {
        "name": name, "devices": len(on_it), "addresses": len(addresses),
        "addresses_shared": agreed(written, "address", sum(addresses.count(each) > 1 for each in set(addresses)), 0),
        "speeds": agreed(written, "speed", len({each["speed"] for each in written if "speed" in each}), 1),
        "protocols": agreed(written, "protocol", len({each["protocol"] for each in written if "protocol" in each}), 1),
        "metres": summed(lengths), "stars": sum(each.get("wiring") == "star" for each in written),
        "unit_loads": summed(num(below(part, "control", "serial", "unit_load")) for part in parts),
        "terminated_least": ends.count(True), "terminated": None if None in ends else ends.count(True),
    })  # fmt: skip


# Jackets


def all_ways(site):
    """Every way of cable of the site: (use, owner path, key of the entry that names the port, hops)."""
    for name, entry in site["cameras"].items():
        for use in ("video", "power", "network", "sound", "control"):
            if use in entry:
                yield use, f"cameras/{name}", entry[use], entry[use].get("over") or []
    for group in ("recorders", "junctions", "boxes"):
        for name, entry in (site.get(group) or {}).items():
            if "power" in entry:
                yield "power", f"{group}/{name}", entry["power"], entry["power"].get("over") or []
    for name, entry in (site.get("switches") or {}).items():
        if "into" in entry:
            yield "network", f"switches/{name}", entry, entry.get("over") or []


def alternating(opinion, origin):
    """Whether the supply at the root of a way of power gives alternating current; None where no supply is there."""
    device = origin.split("/")[0]
    junctions, supplies = opinion.site.get("junctions") or {}, opinion.site.get("supplies") or {}
    while device in junctions:
        if "power" not in junctions[device]:
            return None
        device = junctions[device]["power"]["from"].split("/")[0]
    if device not in supplies:
        return False
    return opinion.parts[supplies[device]["part"]].get("gives", "dc") == "ac"


def sheaths(opinion):
    found = {}
    for use, owner, entry, hops in all_ways(opinion.site):
        for hop in hops:
            if "sheath" in hop and "cable" in hop:
                found.setdefault(hop["sheath"], []).append((use, owner, entry, hop))
    for name, runs in found.items():
        first = opinion.parts[runs[0][3]["cable"]]
        kinds = [alternating(opinion, entry["from"]) for use, _, entry, _ in runs if use == "power"]
        coax = "coax" in many(first["carries"])
        seen = [owner for use, owner, *_ in runs if use == "video"] if coax else []
        opinion.put("sheath", f"sheaths/{name}", {
            "name": name, "cable": runs[0][3]["cable"], "cables": len({hop["cable"] for *_, hop in runs}),
            "pairs": num(first.get("pairs")) or (1 if coax else None), "screened": yes(first.get("screened")),
            "pairs_used": sum(
                0 if use == "power" and owner in seen else 4 if use == "network" else int(hop.get("pairs") or 1)
                for use, owner, _, hop in runs
            ),
            "pictures": sum(use == "video" for use, *_ in runs), "powers": len(kinds),
            "alternating": True if True in kinds else None if None in kinds else False,
        })  # fmt: skip


# Screens


def monitors(opinion):
    """Every screen, and the output that it is joined to."""
    entries = opinion.site.get("monitors") or {}
    for name, entry in entries.items():
        part, origin = opinion.parts[entry["part"]], entry.get("from")
        facts = dict.fromkeys(["output", "connector", "connector_fits", "output_mode", "shows_all", "screens", "mode"])
        facts.update(name=name, part=entry["part"], joined=origin is not None, distance=num(entry.get("distance")))
        shown = None if part.get("mode") is None else mode(part["mode"])
        if origin is not None:
            _joined(opinion, facts, part, origin, shown)
            facts["screens"] = sum(each.get("from") == origin for each in entries.values())
        facts["distance_sharp"] = None
        facts.update(_screen_cable(facts, entry))
        if shown is not None:
            facts["mode"] = mode_text(shown)
        if shown is not None and part.get("diagonal") is not None:
            ratio = shown[1] / math.sqrt(shown[0] ** 2 + shown[1] ** 2)
            line = num(part["diagonal"]) * 0.0254 * ratio / shown[1]
            facts["distance_sharp"] = line / math.tan(math.pi / 180 / 60)
        opinion.put("monitor", f"monitors/{name}", facts)


def _screen_cable(facts, entry):
    """15 m up to 1920x1080@60, 5 m up to 3840x2160@30, 3 m up to 3840x2160@60; of cables that carry HDMI alone."""
    found = {"cable_length": num(entry.get("length")), "cable_passive": None, "cable_most": None}
    if facts["connector"] is not None:
        wide, high, often = mode(facts["output_mode"])
        found["cable_passive"] = plug(facts["connector"]) == "hdmi" and entry.get("active") is not True
        for most, metres in ((3840 * 2160 * 60, 3.0), (3840 * 2160 * 30, 5.0), (1920 * 1080 * 60, 15.0)):
            if wide * high * often <= most:
                found["cable_most"] = metres
    return found


def endings(opinion):
    """Equal resistors behind one like them: an open end gives twice what one ending gives."""
    for name, entry in opinion.site["cameras"].items():
        ends = (entry.get("video") or {}).get("terminations")
        if ends is not None:
            together = 1 / (ends / 75) if ends else math.inf
            share = 1.0 if math.isinf(together) else together / (75 + together)
            facts = {"camera": opinion.cameras[name], "terminations": ends, "level": 20 * math.log10(share / 0.5)}
            opinion.put("ending", f"cameras/{name}", facts)


def plug(connector):
    """`hdmi2` is an `hdmi`."""
    while connector and connector[-1].isdigit():
        connector = connector[:-1]
    return connector.rstrip("-_.")


def _joined(opinion, facts, part, origin, shown):
    device, connector = origin.split("/")
    outputs = opinion.parts[opinion.site["recorders"][device]["part"]]["outputs"]
    given = next(mode(each["mode"]) for each in outputs if each["connector"] == connector)
    facts.update(output=origin, connector=connector, output_mode=mode_text(given))
    if part.get("connectors"):
        facts["connector_fits"] = plug(connector) in [plug(each) for each in part["connectors"]]
    if shown is not None:
        facts["shows_all"] = all(one >= other for one, other in zip(shown, given, strict=True))
