"""Second opinion on networks: switches, ports, ways, addresses, power over network cables, network sides of recorders."""

from __future__ import annotations

import ipaddress
import math

from . import powers, stores
from .plain import many, mode, num, table, yes
from .seasons import summed


def port_of(text):
    """Device, word and number of a port word: `sw1/3`, `rec1/net1`, `rec1/poe2`."""
    device, _, word = text.partition("/")
    digits = len(word.rstrip("0123456789"))
    return device, word[:digits], int(word[digits:] or 0)


def recorder_of(site, entry):
    """Which recorder records a network camera: the one named, or the one that it is joined to."""
    if "network" not in entry:
        return None
    found = entry["network"].get("recorder") or entry["network"]["into"].split("/")[0]
    return found if found in (site.get("recorders") or {}) else None


# Streams


def stream(part, plan):
    """Columns, lines, frames a second and bit/s of the main stream of a network camera; None where not stated."""
    own = part.get("network")
    if own is None:
        return None
    wide, high, most = mode(own["mode"])
    rate = num(plan.get("rate"))
    fps = most if rate is None else min(rate, most)
    if plan.get("bitrate") is not None:
        return wide, high, fps, stores.steady(num(plan["bitrate"]))
    codecs = many(own.get("codecs")) or ["h264"]
    codec = plan["codec"] if plan.get("codec") in codecs else codecs[0]
    if own.get("bitrate") is not None and codec == codecs[0]:
        return wide, high, fps, stores.steady(num(own["bitrate"]) * fps / most)
    return wide, high, fps, stores.moving(wide * high * fps, codec, plan.get("scene") or {})


def codecs_of(own, plan):
    """What the stream may be encoded in: a bit rate that is set says nothing of it."""
    listed = many(own.get("codecs"))
    one = plan.get("codec")
    if plan.get("bitrate") is None:
        return [one if one in (listed or ["h264"]) else (listed or ["h264"])[0]]
    if one is None:
        return listed or ["h264", "h265"]
    return [one if not listed or one in listed else listed[0]]


def network_cameras(opinion, recorder):
    """Cameras that this recorder records over the network: fills their sheets, gives (camera, plan, stream)."""
    found, common = [], opinion.site["recorders"][recorder].get("record")
    for name, entry in opinion.site["cameras"].items():
        if recorder_of(opinion.site, entry) != recorder:
            continue
        sheet, part = opinion.cameras[name], opinion.parts[entry["part"]]
        plan = {**stores.planned(entry.get("record"), common), "scene": entry.get("scene")}
        own = stream(part, plan)
        sheet.update(dict.fromkeys(["recorded_width", "recorded_height", "recorded_fps", *stores.BITS]))
        if own is not None:
            sheet["recorded_width"], sheet["recorded_height"], sheet["recorded_fps"] = own[:3]
            sheet["stream_rate"] = own[3].peak
            sheet["level_rate_max"] = stores.level_bound(own[3].peak, codecs_of(part["network"], plan), *own[:3])
            own = *own[:3], stores.tell(sheet, own[3].more(num(plan.get("second_stream")) or 0.0, stores.voice(entry)))
        travels(sheet, part)
        found.append((sheet, plan, own))
    return found


def travels(sheet, part):
    """What the network carries: all that the devices have; no coax leads to the camera."""
    sound = part.get("sound") or {}
    sheet["firmware_works"] = sheet["sorted_motion_works"] = False
    if sheet["sound_by"] == "network":
        sheet["sound_works"], sheet["sound_cause"] = owned(sound, "microphone")
    elif sheet["sound_by"] == "coax":
        sheet["sound_works"], sheet["sound_cause"] = False, "not-joined"
    if sheet["control_by"] == "network":
        sheet["control_works"], sheet["control_cause"] = True, "none"
    elif sheet["control_by"] == "coax":
        sheet["control_works"], sheet["control_cause"] = False, "not-joined"
    if sheet["wants_talk_back"]:
        sheet["talk_back_works"], sheet["talk_back_cause"] = owned(sound, "loudspeaker")
    sheet["firmware_cause"] = "not-joined"


def owned(sound, what):
    """Whether the camera has it, and the code of what keeps it from working."""
    has = yes(sound.get(what))
    return has, {True: "none", False: "camera", None: None}[has]


def added(found, totals):
    """Bits and assumed shares of motion, with network cameras added."""
    ends, assumed, lacking = totals
    for _, plan, own in found:
        if own is None:
            lacking = True
            continue
        share, guessed = stores.duty(plan)
        ends, assumed = stores.counted(ends, own[3], share), assumed + guessed
    return ends, assumed, lacking


SIDE = [
    "network_cameras_max", "incoming", "incoming_max", "viewers_max", "viewed", "view_rate", "outgoing", "outgoing_max",
    "uplink", "decode_needed", "decode_total",
]  # fmt: skip


def side(opinion, entry, part, sheet, coax, found):
    """The network side of a recorder; `coax` are (camera, plan). Asked where it has network cameras, viewers, playback."""
    sheet.update(dict.fromkeys(SIDE))
    sheet["viewers"], sheet["playback"] = int(entry.get("viewers") or 0), int(entry.get("playback") or 0)
    if not (sheet["network_cameras"] or sheet["viewers"] or sheet["playback"]):
        return
    own = part.get("network") or {}
    sheet.update(
        network_cameras_max=num(own.get("cameras_max")), incoming_max=num(own.get("incoming")),
        outgoing_max=num(own.get("outgoing")), viewers_max=num(own.get("viewers")), viewed=num(entry.get("viewed")),
        uplink=num(entry.get("uplink")), decode_total=num(part.get("decodes_total")),
    )  # fmt: skip
    if sheet["network_cameras"]:
        plan, unnamed = entry.get("record") or {}, int(entry.get("network_cameras") or 0)
        each = None if plan.get("bitrate") is None else num(plan["bitrate"]) + (num(plan.get("second_stream")) or 0.0)
        more = 0.0 if not unnamed else None if each is None else unnamed * each
        sheet["incoming"] = summed([more, *(camera["bitrate"] for camera, *_ in found)])
    every = [*coax, *((camera, plan) for camera, plan, _ in found)]
    if sheet["viewers"]:
        sheet["view_rate"] = watched(entry.get("viewed_stream"), every)
        if sheet["view_rate"] is not None and sheet["viewed"] is not None:
            sheet["outgoing"] = sheet["viewers"] * sheet["viewed"] * sheet["view_rate"]
    if sheet["playback"] and not entry.get("network_cameras"):
        sheet["decode_needed"] = decoded(every, found, sheet["playback"])


def watched(which, every):
    """The largest stream that viewers watch."""
    if which is None:
        return None
    rates = []
    for camera, plan in every:
        second = num(plan.get("second_stream"))
        if which == "second":
            rates.append(second)
        else:
            rates.append(None if camera["bitrate"] is None else camera["bitrate"] - (second or 0.0))
    return None if None in rates else max(rates, default=0.0)


def decoded(every, found, playback):
    """The largest channels played back, and every network camera live."""
    sizes = []
    for camera, _ in every:
        if camera["recorded_fps"] is None:
            return None
        sizes.append(camera["recorded_width"] * camera["recorded_height"] * camera["recorded_fps"])
    live = sum(own[0] * own[1] * own[2] for *_, own in found)
    return sum(sorted(sizes, reverse=True)[:playback]) + live


# Switches, ports, ways


def ways(site):
    """Every network way: (group, name, port word, over), cameras first."""
    for name, entry in (site.get("cameras") or {}).items():
        if "network" in entry:
            yield "cameras", name, entry["network"]["into"], entry["network"].get("over")
    for name, entry in (site.get("switches") or {}).items():
        if "into" in entry:
            yield "switches", name, entry["into"], entry.get("over")


def networks(opinion):
    """Switches, ports in use, ways and addresses."""
    site = opinion.site
    ports = {}
    for group, name, into, over in ways(site):
        ports.setdefault(into, []).append(name)
        _way(opinion, group, name, into, over)
    for into, names in ports.items():
        _port(opinion, into, names)
    for name in site.get("switches") or {}:
        _switch(opinion, name)
    _addresses(opinion)


def _way(opinion, group, name, into, over):
    facts = {"owner": name, "metres": None, "coax": None, "converters": None}
    device, _, number = port_of(into)
    facts["port"] = f"{device}/{number}"
    if over is not None:
        cables = [opinion.parts[hop["cable"]] for hop in over if "cable" in hop]
        boxes = [opinion.parts[opinion.site["boxes"][hop["box"]]["part"]] for hop in over if "box" in hop]
        facts["coax"] = any("coax" in cable["carries"] for cable in cables)
        facts["converters"] = sum(box["does"] == "converter" for box in boxes)
        facts["metres"] = summed(num(hop.get("length")) for hop in over if "cable" in hop)
    opinion.put("network_path", f"{group}/{name}", facts)


def _port(opinion, into, names):
    device, word, number = port_of(into)
    group = "switches" if device in (opinion.site.get("switches") or {}) else "recorders"
    part = opinion.parts[opinion.site[group][device]["part"]]
    if group == "switches":
        ports = int(part["ports"]) + int(part.get("uplinks") or 0)
    else:
        ports = num((part.get("network") or {}).get("poe_ports" if word == "poe" else "ports"))
    facts = {"device": device, "number": number, "ports": ports, "cables": len(names)}
    facts["part"] = opinion.site[group][device]["part"]
    facts["exists"] = None if ports is None else number <= ports
    opinion.put("network_port", f"{group}/{device}/{word}{number}", facts)


def behind(site, name):
    """Names of all cameras behind a switch, through other switches too."""
    found = []
    for group, owner, into, _ in ways(site):
        if port_of(into)[0] == name:
            found += [owner] if group == "cameras" else behind(site, owner)
    return found


def _switch(opinion, name):
    site, entry = opinion.site, opinion.site["switches"][name]
    part = opinion.parts[entry["part"]]
    uplinks = int(part.get("uplinks") or 0)
    cameras = behind(site, name)
    used = {into for _, _, into, _ in ways(site) if port_of(into)[0] == name}
    facts = {
        "name": name, "part": entry["part"], "has_uplink": "into" in entry, "ports": int(part["ports"]) + uplinks,
        "ports_used": len(used) + ("into" in entry), "cameras": len(cameras),
        "load": summed(opinion.cameras[each]["bitrate"] for each in cameras),
        "uplink_rate": num(part.get("uplink_rate" if uplinks else "port_rate")),
    }  # fmt: skip
    facts["ports_spare"] = facts["ports"] - facts["ports_used"]
    opinion.put("switch", f"switches/{name}", facts)


def _addresses(opinion):
    seen = {}
    for group in ("recorders", "switches", "cameras"):
        for name, entry in (opinion.site.get(group) or {}).items():
            written = entry.get("network_address")
            if written is None:
                continue
            try:
                plain, valid = ipaddress.ip_address(written).compressed, True
            except ValueError:
                plain, valid = written, False
            facts = {"name": name, "address": written, "valid": valid, "shared": plain in seen}
            facts["other"] = seen.setdefault(plain, name) if facts["shared"] else ""
            seen.setdefault(plain, name)
            opinion.put("address", f"{group}/{name}", facts)


# Power over network cables


def powered(opinion):
    """Devices whose network ports power something, and the ports."""
    site, found = opinion.site, {}
    for group in powers.GROUPS:
        for name, entry in (site.get(group) or {}).items():
            device, _, number = port_of((entry.get("power") or {}).get("from", "/0"))
            if device in (site.get("switches") or {}) or device in (site.get("recorders") or {}):
                found.setdefault(device, {}).setdefault(number, []).append((group, name, entry))
    for device, ports in found.items():
        _source(opinion, device, ports)


def _source(opinion, device, ports):
    site = opinion.site
    group = "switches" if device in (site.get("switches") or {}) else "recorders"
    part = opinion.parts[site[group][device]["part"]]
    own = part if group == "switches" else part.get("network") or {}
    count = own.get("poe_ports", 0 if group == "switches" else None)
    giver = {"ports": num(count), "watts_max": num(own.get("poe_watts")), "highest": own.get("poe_class_port")}
    facts = {"name": device, "part": site[group][device]["part"], "ports": giver["ports"], "watts_max": giver["watts_max"]}
    members = [_powered_port(opinion, group, device, giver, number, owners) for number, owners in ports.items()]
    for _number, owners in ports.items():
        for owner in owners:
            _hung(opinion, *owner)
    facts.update(ports_used=len(members), watts_allotted=summed(each["watts_allotted"] for each in members))
    facts["watts_night"] = summed(each["watts_given"] for each in members)
    opinion.put("poe_source", f"{group}/{device}", facts)
    for each in members:
        each["source"] = facts


def _hung(opinion, group, name, entry):
    """What hangs on a port through a junction: it gets no volts that anyone could work out."""
    if group != "junctions":
        return
    nodes = [(group, name, entry, -1)]
    for each in powers.below(opinion.site, name):
        nodes.append((*each[:3], each[3] + 1))
    for index, (kind, *_) in enumerate(nodes):
        if kind == "junctions":
            powers.junction(opinion, nodes, index, None)
            opinion.found["junction", f"junctions/{nodes[index][1]}"]["depth"] = None


def row_of(name, column, value):
    return next((row for row in table(name) if value is not None and int(row[column]) == int(value)), None)


def _powered_port(opinion, group, device, giver, number, owners):
    kind, name, entry = owners[0]
    part_id, converter = entry.get("part"), _converter(opinion, entry)
    taker = converter or part_id
    facts = dict.fromkeys(["takes_poe", "device_class", "watts_day", "watts_night"])
    if taker is None:
        facts["takes_poe"] = False
    else:
        power = opinion.parts[taker].get("power")
        if power is not None:
            facts["takes_poe"] = power.get("kind", "dc") == "poe"
            facts["device_class"] = num(power.get("poe_class"))
        for season, night in (("day", 1), ("night", 2)):
            drawn = [powers.load(opinion.parts[part_id], entry)[night]]
            drawn += [powers.load(opinion.parts[converter], {})[night]] if converter else []
            facts[f"watts_{season}"] = summed(drawn)
    own, highest = (row_of("poe-classes", "class", each) for each in (facts["device_class"], giver["highest"]))
    kinds = [None if row is None else row_of("poe-types", "type", row["type"]) for row in (own, highest)]
    pairs = 2 if own is None else int(kinds[0]["pairs"])
    ohms, metres = powers.way(opinion, entry["power"].get("over"), pairs)
    facts.update(
        number=number, devices=len(owners), device=f"{kind}/{name}", name=name, port_class=num(giver["highest"]),
        exists=None if giver["ports"] is None else number <= giver["ports"], metres=metres,
        watts_allotted=own and num(own["source_watts"]), watts_class=own and num(own["device_watts"]),
        ohms_max=own and num(own["channel_ohms"]), volts_min=own and num(own["device_volts_min"]),
        pairs_needed=None if own is None else pairs, ohms=None if own is None else ohms,
        watts_port=highest and num(highest["source_watts"]), volts=highest and num(kinds[1]["source_volts_min"]),
        pairs=_pairs(opinion, entry["power"].get("over")),
    )  # fmt: skip
    _flow(facts)
    _bundle(opinion, facts, [hop for hop in entry["power"].get("over") or () if "cable" in hop])
    for run in opinion.power_runs(kind, name, entry):
        for field, one in (("amps_max", "amps_one"), ("device_max", "device_one")):
            run[field] = None if run[one] is None else run[one] * pairs
        run["amps_day"] = run["amps_night"] = None if facts["watts_given"] is None else facts["watts_given"] / facts["volts"]
        run["amps_protective"] = run["amps_opening"] = None if own is None else num(kinds[0]["amps"]) * pairs / 2
    return opinion.put("poe_port", f"{group}/{device}/{number}", facts)


def _bundle(opinion, facts, hops):
    """How warm the middle of the largest bunch gets: 100 cables at 0.6 A a pair rise by 7.2 K; with I^2 and R, and with the
    number of cables above those, its root below."""
    facts.update(bunched=None, amps_pair=None, bundle_rise=None)
    if facts["watts_given"] is not None and facts["pairs_needed"]:
        facts["amps_pair"] = facts["watts_given"] / facts["volts"] / (facts["pairs_needed"] / 2)
    if not hops:
        return
    most = max(int(hop.get("bunched") or 1) for hop in hops)
    facts["bunched"] = most > 1
    ohms = [powers.conductor(opinion.parts[hop["cable"]])[0] for hop in hops]
    if None not in ohms and facts["amps_pair"] is not None:
        crowd = most / 100 if most > 100 else (most / 100) ** 0.5
        facts["bundle_rise"] = 7.2 * (facts["amps_pair"] / 0.6) ** 2 * max(ohms) / 0.0938 * crowd


def _converter(opinion, entry):
    """A box on the cable that takes power from the network for the device."""
    for hop in entry["power"].get("over") or ():
        if "box" in hop:
            part_id = opinion.site["boxes"][hop["box"]]["part"]
            if (opinion.parts[part_id].get("power") or {}).get("kind") == "poe":
                return part_id
    return None


def _pairs(opinion, over):
    counts = [num(opinion.parts[hop["cable"]].get("pairs")) for hop in over or () if "cable" in hop]
    return None if not counts or None in counts else min(counts)


def _flow(facts):
    """V = U - P R / V at the device, by repetition from U; nothing carries the power where it never rests."""
    watts, volts, ohms = facts["watts_night"], facts["volts"], facts["ohms"]
    facts["volts_night"] = facts["watts_given"] = None
    if None in (watts, volts, ohms):
        return
    here = volts
    for _ in range(200_000):
        new = volts - watts * ohms / here
        if new <= 0:
            facts["volts_night"], facts["watts_given"] = 0.0, volts * volts / (2 * ohms)
            return
        if math.isclose(new, here, rel_tol=1e-14):
            break
        here = new
    facts["volts_night"], facts["watts_given"] = here, volts * watts / here
