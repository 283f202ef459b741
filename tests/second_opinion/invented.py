"""Invented parts and sites at random, as plain data that both opinions read. A seed names a case.

Parts leave things out now and then, so that much stays open. Within: coax pictures, records, disks, direct-current
power with junctions. Without: alternating current, network cameras with entries of their own, sound lines, serial lines.
"""

from __future__ import annotations

import copy
import random

MODES = ["2592x1944@20", "2592x1944@12.5", "2560x1440@25", "2560x1440@30", "1920x1080@25", "1920x1080@30",
         "1920x1080@29.97", "1280x720@25", "1280x720@60", "3840x2160@15", "3840x2160@12.5"]  # fmt: skip
FAMILIES = ["tvi", "ahd", "cvi"]
MAKERS = ["tarnwell", "fennick", "brackwater"]
VIDEO = ["rg59-copper", "rg6-copper", "rg59-ccs", "rg62", "mini-coax", "cat5e", "rg58"]
POWER = ["dc-0.5mm2", "dc-0.75mm2", "dc-1mm2", "dc-1.5mm2", "dc-2.5mm2", "dc-0.75mm2-cca", "cat5e"]
BOXES = ["generic/coupler-bnc", "generic/balun-passive", "generic/isolator-coax", "generic/arrester-coax",
         "generic/splitter-resistive", "generic/line-amplifier", "own/amplifier"]  # fmt: skip


WAYS = [["menu-over-coax"], ["menu-button"], ["menu-over-coax", "dip-switch"], []]


def some(draw, values, least=1):
    return draw.sample(values, draw.randint(least, min(len(values), least + 3)))


def maybe(draw, share, found, name, value):
    if draw.random() < share:
        found[name] = value


def switching(part):
    """Words on how a camera is switched, drawn apart so that they change nothing else of a random site."""
    draw = random.Random(repr(part))
    if draw.random() < 0.1:
        part["starts_as"] = [{"family": draw.choice(FAMILIES), "mode": draw.choice(MODES)} for _ in range(2)]
    if draw.random() < 0.3:
        part["emits"].append({"family": some(draw, FAMILIES), "mode": some(draw, MODES), "only": "when-asked"})
    maybe(draw, 0.7, part, "switched_by", draw.choice(WAYS))


def camera_part(draw):
    emits = [{"family": some(draw, FAMILIES), "mode": some(draw, MODES)} for _ in range(draw.randint(1, 2))]
    part = {"kind": "camera", "source": "invented", "emits": emits}
    first = emits[0]
    maybe(draw, 0.6, part, "starts_as", {"family": first["family"][0], "mode": draw.choice(first["mode"])})
    maybe(draw, 0.7, part, "heeds_asks", draw.random() < 0.6)
    maybe(draw, 0.5, part, "firmware_over_coax", some(draw, FAMILIES, 0))
    power = {"kind": draw.choice(["dc", "dc", "dc", "dc-or-ac"]), "volts": "12 V"}
    maybe(draw, 0.9, power, "volts_min", draw.choice(["10.8 V", "9 V", "11.4 V"]))
    maybe(draw, 0.9, power, "volts_max", "13.2 V")
    maybe(draw, 0.95, power, "watts_day", f"{draw.choice([1.5, 2.4, 4, 0])} W")
    maybe(draw, 0.85, power, "watts_night", f"{draw.choice([3.1, 5.2, 8, 12])} W")
    maybe(draw, 0.4, power, "watts_heater", "6 W")
    maybe(draw, 0.2, power, "watts_motor", "3 W")
    maybe(draw, 0.6, power, "load", draw.choice(["constant-power", "constant-power", "constant-current", "resistive"]))
    maybe(draw, 0.95, part, "power", power)
    sound = {}
    maybe(draw, 0.9, sound, "microphone", draw.random() < 0.8)
    maybe(draw, 0.8, sound, "over_coax", some(draw, FAMILIES, 0))
    maybe(draw, 0.5, sound, "loudspeaker", draw.random() < 0.6)
    maybe(draw, 0.5, sound, "talk_back_coax", some(draw, FAMILIES, 0))
    maybe(draw, 0.8, part, "sound", sound)
    maybe(draw, 0.7, part, "control", {"over_coax": some(draw, FAMILIES, 0)})
    maybe(draw, 0.3, part, "night", {"lamp": draw.choice(["none", "infrared"])})
    housing = {}
    maybe(draw, 0.8, housing, "rated", draw.choice(["indoor", "outdoor"]))
    maybe(draw, 0.7, housing, "ip", draw.choice(["IP66", "IP67", "IP20", "IP66/IP68", "IPX4"]))
    maybe(draw, 0.6, housing, "ik", draw.choice(["IK08", "IK10", "IK04"]))
    maybe(draw, 0.7, housing, "temperature_min", "-20 °C")
    maybe(draw, 0.7, housing, "temperature_max", draw.choice(["40 °C", "60 °C"]))
    maybe(draw, 0.8, part, "housing", housing)
    switching(part)
    return part


def accepts(draw):
    row = {"family": some(draw, FAMILIES), "mode": some(draw, MODES)}
    maybe(draw, 0.25, row, "width", "reduced")
    maybe(draw, 0.25, row, "maker", draw.choice(["own", "any", *MAKERS]))
    maybe(draw, 0.15, row, "after", draw.choice(["long-reach", "five-mp"]))
    return row


def recorder_part(draw):
    count = draw.choice([4, 8])
    group = {"channels": f"1-{count}", "accepts": [accepts(draw) for _ in range(draw.randint(1, 4))]}
    ask = {"family": some(draw, FAMILIES), "wanted": draw.choice(MODES)}
    maybe(draw, 0.5, ask, "maker", draw.choice(["own", "any", *MAKERS]))
    maybe(draw, 0.5, ask, "seen", some(draw, MODES))
    maybe(draw, 0.4, group, "asks", [ask])
    maybe(draw, 0.1, group, "loss_limit_extra", draw.choice([3, -2.5]))
    part = {"kind": "recorder", "source": "invented", "inputs": [group], "settings": ["long-reach", "five-mp"]}
    rows = []
    for up_to, rates in (
        ("3840x2160", (7, 15)),
        ("2592x1944", (12.5, 20)),
        ("1920x1080", (15, 25, 30)),
        ("1280x720", (25, 60)),
    ):
        row = {"up_to": up_to, "rate": f"{draw.choice(rates)} fps"}
        maybe(draw, 0.15, row, "width", "reduced")
        maybe(draw, 0.1, row, "channels", "1-2")
        rows += [row] if draw.random() < 0.8 else []
    maybe(draw, 0.9, part, "encodes", rows)
    maybe(draw, 0.8, part, "encodes_total", f"{draw.choice([60, 120, 260, 600])} Mpx/s")
    maybe(draw, 0.9, part, "codecs", draw.choice([["h264"], ["h265"], ["h264", "h265"], ["h265", "h264"]]))
    stated = [
        {"up_to": up_to, "rate": f"{fps} fps", "codec": draw.choice(["h264", "h265"]), "bitrate": f"{rate} Mb/s"}
        for up_to, fps, rate in (("1920x1080", 25, 4), ("1920x1080", 12.5, 2.5), ("2592x1944", 20, 8))
    ]
    maybe(draw, 0.4, part, "bitrates", stated)
    maybe(draw, 0.8, part, "bays", draw.randint(1, 8))
    maybe(draw, 0.7, part, "disk_max", draw.choice(["6 TB", "10 TB"]))
    maybe(draw, 0.5, part, "redundancy", some(draw, ["raid0", "raid1", "raid5", "raid6", "raid10"]))
    maybe(draw, 0.7, part, "record_bitrate", "40 Mb/s")
    sound = {"coax_channels": f"1-{draw.randint(1, count)}"}
    maybe(draw, 0.8, sound, "coax_families", some(draw, FAMILIES, 0))
    maybe(draw, 0.3, sound, "coax_maker", draw.choice(["own", *MAKERS]))
    maybe(draw, 0.5, sound, "talk_back_families", some(draw, FAMILIES, 0))
    maybe(draw, 0.8, part, "sound", sound)
    control = {"coax_families": some(draw, FAMILIES, 0), "coax_maker": draw.choice(["own", "any"])}
    maybe(draw, 0.7, part, "control", control)
    maybe(
        draw,
        0.5,
        part,
        "firmware_over_coax",
        {"families": some(draw, FAMILIES, 0), "maker": draw.choice(["own", "any"])},
    )
    maybe(draw, 0.5, part, "sorted_motion", f"1-{draw.randint(1, count)}")
    maybe(draw, 0.6, part, "network", {"cameras": draw.randint(0, 3)})
    power = {"kind": "dc", "volts": "12 V", "volts_min": "10 V", "volts_max": "14 V", "watts_day": "12 W"}
    maybe(draw, 0.7, power, "watts_night", "14 W")
    part["power"] = power
    return part


def supply_part(draw):
    part = {"kind": "supply", "source": "invented", "gives": "dc", "volts": "12 V", "amps": f"{draw.choice([2, 5, 10])} A",
            "trim_min": "11 V", "trim_max": "13.2 V"}  # fmt: skip
    maybe(draw, 0.9, part, "outputs", draw.choice([1, 4, 9]))
    maybe(draw, 0.8, part, "amps_per_output", draw.choice(["0.5 A", "1.1 A", "5 A"]))
    maybe(draw, 0.8, part, "output_protection", draw.choice(["fuse", "resettable", "electronic", "none"]))
    maybe(draw, 0.2, part, "regulation", draw.choice(["5 %", "2 %"]))
    return part


def parts(draw):
    found = {}
    for number in range(1, 4):
        found[f"{draw.choice(MAKERS)}/camera-{number}"] = camera_part(draw)
    for number in range(1, 3):
        found[f"{draw.choice(MAKERS)}/recorder-{number}"] = recorder_part(draw)
        found[f"{draw.choice(['hollin', 'generic'])}/own-supply-{number}"] = supply_part(draw)
    found["own/amplifier"] = {"kind": "box", "source": "invented", "does": "amplifier", "gain": "12 dB", "passes_sound": True,
                              "passes_control": False, "frequency_max": "100 MHz"}  # fmt: skip
    return found


def hops(draw, cables, free, most):
    found = []
    for _ in range(draw.choice([1, 1, 1, 2])):
        run = {"cable": draw.choice(cables)}
        maybe(draw, 0.95, run, "length", f"{draw.choice([0, 3, 20, 35, 60, 120, most])} m")
        maybe(draw, 0.2, run, "temperature", f"{draw.choice([20, 50, -5])} °C")
        if free is not None:
            maybe(draw, 0.15, run, "joints", draw.randint(1, 5))
        found.append(run)
    if free and draw.random() < 0.25:
        found.insert(draw.randint(0, len(found)), {"box": free.pop()})
    return found


def recorder(draw, catalogue):
    found = {"part": draw.choice([each for each in catalogue if "/recorder-" in each])}
    disks = ["generic/disk-2tb", "generic/disk-4tb", "generic/desktop-disk-4tb", "generic/disk-8tb"]
    maybe(draw, 0.9, found, "disks", [draw.choice(disks) for _ in range(draw.randint(0, 6))])
    maybe(draw, 0.4, found, "redundancy", draw.choice(["raid0", "raid1", "raid5", "raid6", "raid10"]))
    maybe(draw, 0.2, found, "spare_disks", draw.randint(1, 2))
    maybe(draw, 0.5, found, "record", record(draw))
    maybe(draw, 0.2, found, "network_cameras", draw.randint(1, 4))
    maybe(draw, 0.2, found, "erase_after", f"{draw.choice([7, 60])} days")
    maybe(draw, 0.3, found, "set", some(draw, ["long-reach", "five-mp"]))
    maybe(draw, 0.7, found, "place", {"setting": "indoor", "building": draw.choice("ab")})
    return found


def record(draw):
    found = {}
    maybe(draw, 0.4, found, "rate", f"{draw.choice([5, 10, 15])} fps")
    maybe(draw, 0.4, found, "codec", draw.choice(["h264", "h265"]))
    maybe(draw, 0.3, found, "bitrate", f"{draw.choice([2, 6])} Mb/s")
    maybe(draw, 0.3, found, "second_stream", "512 kb/s")
    maybe(draw, 0.5, found, "schedule", draw.choice(["continuous", "motion", "sorted-motion"]))
    maybe(draw, 0.3, found, "motion_share", "30 %")
    return found


def camera(draw, catalogue, site, free):
    found = {"part": draw.choice([each for each in catalogue if "/camera-" in each])}
    switch = {}
    maybe(draw, 0.7, switch, "family", draw.choice(FAMILIES))
    maybe(draw, 0.7, switch, "mode", draw.choice(MODES))
    maybe(draw, 0.5, found, "set", switch)
    if draw.random() < 0.92:
        found["video"] = {"into": f"{draw.choice(list(site['recorders']))}/{draw.randint(1, 9)}"}
        maybe(draw, 0.95, found["video"], "over", hops(draw, VIDEO, free, 240))
    if draw.random() < 0.92:
        taps = list(site["junctions"])
        output = f"{draw.choice(list(site['supplies']))}/{draw.randint(1, 5)}"
        origin = draw.choice(taps) if taps and draw.random() < 0.5 else output
        found["power"] = {"from": origin}
        maybe(draw, 0.97, found["power"], "over", hops(draw, POWER, None, 180))
    maybe(draw, 0.2, found, "heater", True)
    maybe(draw, 0.3, found, "sound", {"by": "coax"})
    maybe(draw, 0.3, found, "control", {"by": "coax"})
    maybe(draw, 0.3, found, "record", record(draw))
    place = {}
    maybe(draw, 0.8, place, "setting", draw.choice(["indoor", "sheltered", "outdoor"]))
    maybe(draw, 0.8, place, "building", draw.choice("ab"))
    maybe(draw, 0.5, place, "reach", draw.choice(["hand", "tool"]))
    maybe(draw, 0.2, place, "ambient_max", "45 °C")
    maybe(draw, 0.8, found, "place", place)
    wants = {
        name: True
        for name in ("sound", "talk_back", "control", "firmware", "sorted_motion", "full_width")
        if draw.random() < 0.2
    }
    maybe(draw, 0.5, wants, "rate", f"{draw.choice([8, 12, 20])} fps")
    maybe(draw, 0.2, wants, "retention", "45 days")
    maybe(draw, 0.7, found, "wants", wants)
    return found


def site(draw, catalogue):
    found = {"site": f"Random {draw.randint(0, 999)}", "video_rate": draw.choice([25, 30])}
    maybe(draw, 0.8, found, "retention", f"{draw.choice([3, 14, 40])} days")
    maybe(draw, 0.2, found, "retention_max", "30 days")
    found["recorders"] = {f"r{n}": recorder(draw, catalogue) for n in range(1, draw.randint(1, 2) + 1)}
    supplies = [each for each in catalogue if "/own-supply-" in each]
    found["supplies"] = {f"p{n}": {"part": draw.choice(supplies)} for n in range(1, draw.randint(1, 2) + 1)}
    for each in found["supplies"].values():
        maybe(draw, 0.5, each, "trim", f"{draw.choice([12, 12.6, 13.2, 13.5])} V")
    found["junctions"] = {}
    for n in range(1, draw.randint(0, 3) + 1):
        above = [*found["junctions"], f"{draw.choice(list(found['supplies']))}/{draw.randint(1, 5)}"]
        found["junctions"][f"j{n}"] = {"power": {"from": draw.choice(above), "over": hops(draw, POWER, None, 40)}}
    free = [f"b{n}" for n in range(1, draw.randint(0, 3) + 1)]
    found["boxes"] = {name: {"part": draw.choice(BOXES)} for name in free}
    found["cameras"] = {f"c{n}": camera(draw, catalogue, found, free) for n in range(1, draw.randint(1, 9) + 1)}
    if draw.random() < 0.3:
        found["recorders"]["r1"]["power"] = {"from": f"p1/{draw.randint(1, 4)}", "over": hops(draw, POWER, None, 5)}
    return found


def settled(site, catalogue):
    """The same with little left open: every camera switched, every recorder taking and storing every mode."""
    site, catalogue = copy.deepcopy((site, catalogue))
    for part in catalogue.values():
        if part["kind"] == "camera":
            part.setdefault("heeds_asks", True)
        elif part["kind"] == "recorder":
            part["inputs"][0]["accepts"].append({"family": FAMILIES, "mode": MODES})
            part.setdefault("codecs", ["h264"])
            part["encodes"] = [*part.get("encodes", ()), {"up_to": "3840x2160", "rate": "7 fps"}]
            part.setdefault("network", {"cameras": 1})
    for entry in site["cameras"].values():
        row = catalogue[entry["part"]]["emits"][0]
        entry["set"] = {"family": row["family"][0], "mode": row["mode"][-1]}
    for entry in site["recorders"].values():
        if entry.get("network_cameras"):
            entry.setdefault("record", {}).setdefault("bitrate", "3 Mb/s")
    return site, catalogue
