"""Random sites for the third opinion: own parts, own units, gaps in what is stated."""

import random
from pathlib import Path
from typing import Any

import yaml

MODES = {
    "tvi": [
        "2592x1944@20",
        "2592x1944@12.5",
        "2560x1440@25",
        "1920x1080@25",
        "1920x1080@30",
        "1280x720@25",
        "3840x2160@12.5",
    ],
    "ahd": ["2592x1944@20", "2560x1440@25", "1920x1080@25", "1920x1080@30", "1280x720@30", "1920x1080@18"],
    "cvi": ["2560x1440@25", "1920x1080@25", "1280x720@25", "3840x2160@15"],
    "cvbs": ["960x576@25", "960x480@30"],
}
FAMILIES = list(MODES)
UNITS = {
    "m": [("m", 1.0), ("ft", 1 / 0.3048), ("km", 0.001), ("cm", 100.0)],
    "V": [("V", 1.0), ("mV", 1000.0), ("V DC", 1.0)],
    "W": [("W", 1.0), ("mW", 1000.0), ("kW", 0.001)],
    "Mb/s": [("Mb/s", 1.0), ("kb/s", 1000.0), ("Mbit/s", 1.0)],
    "days": [("days", 1.0), ("h", 24.0)],
    "TB": [("TB", 1.0), ("GB", 1000.0)],
    "°C": [("°C", 1.0)],
    "fps": [("fps", 1.0)],
    "dB": [("dB", 1.0)],
    "%": [("%", 1.0)],
    "ohm": [("ohm", 1.0), ("mohm", 1000.0)],
    "Mpx/s": [("Mpx/s", 1.0), ("Gpx/s", 0.001)],
    "MHz": [("MHz", 1.0), ("kHz", 1000.0)],
    "ohm/km": [("ohm/km", 1.0), ("ohm/m", 0.001), ("ohm/100m", 0.1)],
}


class Draw:
    """A random generator that leaves things out."""

    def __init__(self, seed: int) -> None:
        self.random = random.Random(f"third opinion {seed}")
        self.gap = self.random.choice([0.0, 0.0, 0.04, 0.15])

    def q(self, value: float, unit: str) -> str:
        """A quantity in one of its units."""
        name, factor = self.random.choice(UNITS[unit])
        return f"{float(f'{value * factor:.9g}'):.12g} {name}"

    def one(self, among: Any) -> Any:
        return self.random.choice(list(among))

    def some(self, among: Any, least: int = 1) -> list[Any]:
        items = list(among)
        return self.random.sample(items, self.random.randint(least, len(items)))

    def maybe(self, chance: float) -> bool:
        return self.random.random() < chance

    def between(self, low: float, high: float, digits: int = 1) -> float:
        return round(self.random.uniform(low, high), digits)

    def keep(self, entry: dict[str, Any]) -> dict[str, Any]:
        """Leaves out what nobody states, now and then; None is never stated."""
        return {key: value for key, value in entry.items() if value is not None and not self.maybe(self.gap)}


def camera_part(draw: Draw, asks: list[dict[str, Any]]) -> dict[str, Any]:
    """A coax camera; it often has what some recorder asks for."""
    families = draw.some(FAMILIES)
    if asks and draw.maybe(0.5):
        families = [draw.one(asks)["family"]]
    rows = [{"family": family, "mode": draw.some(MODES[family])} for family in families]
    menu = [(row["family"], text) for row in rows for text in row["mode"]]
    for ask in asks:
        if draw.maybe(0.5):
            rows.append({"family": ask["family"], "mode": ask["wanted"], "only": "when-asked"})
    part: dict[str, Any] = {"kind": "camera", "source": "invented", "emits": rows}
    part |= draw.keep(
        {
            "starts_as": factory(draw, menu),
            "switched_by": draw.one([[], ["menu-over-coax"], ["menu-button"], ["menu-over-coax", "dip-switch"]]),
            "heeds_asks": draw.maybe(0.85),
            "firmware_over_coax": draw.some(FAMILIES, 0),
        }
    )
    part["power"] = {"kind": "dc"} | draw.keep(
        {
            "volts": "12 V",
            "volts_min": "9 V",
            "watts_day": draw.q(draw.between(1, 4), "W"),
            "watts_night": draw.q(draw.between(2, 8), "W"),
            "watts_heater": draw.q(draw.between(2, 6), "W"),
            "watts_motor": draw.q(draw.between(1, 3), "W") if draw.maybe(0.15) else None,
            "load": draw.one([None, None, "constant-power", "constant-current", "resistive"]),
        }
    )
    part["sound"] = draw.keep(
        {
            "microphone": draw.maybe(0.8),
            "over_coax": draw.some(FAMILIES, 0),
            "line_output": draw.maybe(0.5),
            "loudspeaker": draw.maybe(0.6),
            "talk_back_coax": draw.some(FAMILIES, 0),
        }
    )
    part["control"] = draw.keep({"over_coax": draw.some(FAMILIES, 0)})
    return part


def factory(draw: Draw, menu: list[tuple[str, str]]) -> Any:
    """One factory setting, or one for each frame family."""
    if draw.maybe(0.15):
        return None
    if draw.maybe(0.05):
        return {"family": "cvi", "mode": "1280x720@25"}
    picked = [{"family": family, "mode": text} for family, text in draw.random.sample(menu, min(len(menu), 2))]
    by_family = {rate_family(one["mode"]): one for one in picked}
    return list(by_family.values()) if draw.maybe(0.3) and len(by_family) > 1 else picked[0]


def rate_family(text: str) -> int:
    rate = float(text.split("@")[1])
    return 25 if rate in (12.5, 25.0) else 30 if rate in (15.0, 30.0) else 0


def group(draw: Draw, first: int, last: int) -> dict[str, Any]:
    """Inputs that behave alike."""
    accepts: list[dict[str, Any]] = []
    for _ in range(draw.random.randint(2, 8)):
        family = draw.one(FAMILIES)
        row: dict[str, Any] = {"family": family, "mode": draw.some(MODES[family])}
        if draw.maybe(0.3):
            row["width"] = "reduced"
        if draw.maybe(0.2):
            row["maker"] = draw.one(["own", "any", "birch"])
        if draw.maybe(0.2):
            row["after"] = draw.one(["wide", "slow"])
        accepts.append(row)
    asks = []
    for _ in range(draw.random.choice([0, 1, 1, 2])):
        taken = draw.one(accepts)
        family = taken["family"] if draw.maybe(0.8) else draw.one(FAMILIES)
        row = {
            "family": family,
            "wanted": draw.one(taken["mode"] if family == taken["family"] and draw.maybe(0.8) else MODES[family]),
        }
        row |= {"maker": draw.one(["own", "any"])} if draw.maybe(0.6) else {}
        row |= {"seen": draw.some(MODES[family])} if draw.maybe(0.6) else {}
        asks.append(row)
    numbers = f"{first}-{last}" if last > first else first
    return {"channels": numbers, "accepts": accepts} | ({"asks": asks} if asks else {})


def recorder_part(draw: Draw) -> dict[str, Any]:
    """A recorder of 4 to 8 inputs in one or two groups."""
    count = draw.random.randint(4, 8)
    split = draw.random.randint(1, count)
    inputs = [group(draw, 1, split)] + ([group(draw, split + 1, count)] if split < count else [])
    part: dict[str, Any] = {
        "kind": "recorder",
        "source": "invented",
        "inputs": inputs,
        "settings": ["wide", "slow"],
        "bays": 6,
    }
    encodes = []
    for frame in draw.some(["3840x2160", "2592x1944", "2560x1440", "1920x1080", "1280x720"], 2):
        row: dict[str, Any] = {"up_to": frame, "rate": draw.q(draw.one([6, 8, 12.5, 15, 20, 25, 30]), "fps")}
        row |= {"width": "reduced"} if draw.maybe(0.25) else {}
        row |= {"channels": draw.one(["1-2", "1-4", 1, "2, 4"])} if draw.maybe(0.25) else {}
        encodes.append(row)
    bitrates = [
        {
            "up_to": draw.one(["2592x1944", "1920x1080"]),
            "rate": draw.q(draw.one([12.5, 25, 30]), "fps"),
            "codec": draw.one(["h264", "h265"]),
            "bitrate": draw.q(draw.between(2, 8), "Mb/s"),
        }
    ]
    part |= draw.keep(
        {
            "encodes": encodes,
            "encodes_total": draw.q(draw.between(40, 500), "Mpx/s") if draw.maybe(0.7) else None,
            "codecs": draw.one([["h264"], ["h265"], ["h264", "h265"], ["h265", "h264"]]),
            "bitrates": bitrates if draw.maybe(0.3) else None,
            "redundancy": ["raid0", "raid1", "raid5", "raid6", "raid10"],
            "network": draw.keep({"cameras": draw.random.randint(0, 2), "ports": 8}),
            "firmware_over_coax": {"families": draw.some(FAMILIES)} | ({"maker": "any"} if draw.maybe(0.5) else {}),
        }
    )
    part["sound"] = draw.keep(
        {
            "coax_channels": draw.one(["1-2", "1-4", "1, 3"]),
            "coax_families": draw.some(FAMILIES, 0),
            "coax_maker": draw.one([None, "own", "any"]),
            "talk_back_families": draw.some(FAMILIES, 0),
            "line_inputs": draw.random.randint(0, 4),
        }
    )
    part["control"] = draw.keep({"coax_families": draw.some(FAMILIES, 0), "coax_maker": draw.one([None, "own", "any"])})
    return part


def cable_parts(draw: Draw) -> dict[str, Any]:
    """Coax, pair, and cords for power."""
    base = draw.between(3, 5)
    coax = {"kind": "cable", "source": "invented", "carries": ["coax"], "impedance": "75 ohm", "centre": "copper"}
    pair = {
        "kind": "cable",
        "source": "invented",
        "carries": ["pair", "network", "power"],
        "impedance": "100 ohm",
        "pairs": 4,
        "screened": draw.maybe(0.4),
    }
    parts = {
        "alder/coax": coax | draw.keep({"attenuation": [[1, 1.2], [10, base], [100, base * 3.1], [300, base * 5.6]]}),
        "alder/coax-short": coax | {"attenuation": [[5, 2.0], [30, 6.0]]},
        "birch/pair": pair
        | {
            "attenuation": [[1, 2.1], [31.25, 11.7], [62.5, 17.0], [100, 22.0]],
            "conductor": {"size": "24 AWG", "material": "copper", "stranding": "solid", "resistance": "93.8 ohm/km"},
        },
    }
    for square in (0.5, 0.75, 1.0, 1.5, 2.5, 4.0):
        conductor = {
            "size": f"{square:g} mm2",
            "material": draw.one(["copper", "copper", "copper", "copper-clad-aluminium", "aluminium"]),
            "stranding": draw.one(["flexible", "flexible", "stranded", "solid"]),
        }
        if draw.maybe(0.15):
            conductor["resistance"] = draw.q(18.0 / square, "ohm/km")
        parts[f"alder/cord-{square:g}"] = {
            "kind": "cable",
            "source": "invented",
            "carries": ["power"],
            "conductor": conductor,
        }
    parts["birch/gauge-18"] = {
        "kind": "cable",
        "source": "invented",
        "carries": ["power"],
        "conductor": {"size": "18 AWG", "material": "copper", "stranding": draw.one(["solid", "stranded"])},
    }
    return parts


def box_part(draw: Draw, does: str) -> dict[str, Any]:
    """A box on the way of a picture."""
    return {"kind": "box", "source": "invented", "does": does} | draw.keep(
        {
            "loss": draw.q(draw.between(0.2, 2), "dB") if does != "amplifier" else None,
            "gain": draw.q(draw.between(3, 12), "dB") if does == "amplifier" else None,
            "passes_sound": draw.maybe(0.7),
            "passes_control": draw.maybe(0.7),
            "passes_firmware": draw.maybe(0.7),
        }
    )


def catalogue(draw: Draw) -> dict[str, Any]:
    """All parts of one site."""
    parts = cable_parts(draw)
    recorders = [recorder_part(draw) for _ in range(2)]
    asks = [row for one in recorders for inputs in one["inputs"] for row in inputs.get("asks", [])]
    for at in range(4):
        parts[f"{draw.one(['alder', 'birch'])}/camera-{at}"] = camera_part(draw, asks)
    for at, one in enumerate(recorders):
        parts[f"{draw.one(['alder', 'birch'])}/recorder-{at}"] = one
    for does in ("joint", "amplifier", "isolator"):
        parts[f"birch/{does}"] = box_part(draw, does)
    for at, volts in enumerate((12, 12, 24)):
        parts[f"alder/supply-{at}"] = {
            "kind": "supply",
            "source": "invented",
            "volts": f"{volts} V",
            "amps": "10 A",
            "outputs": 4,
            "trim_min": "10 V",
            "trim_max": "30 V",
        }
        if draw.maybe(0.2):
            parts[f"alder/supply-{at}"]["float_volts"] = draw.q(volts * 1.13, "V")
        if draw.maybe(0.2):
            parts[f"alder/supply-{at}"]["regulation"] = draw.q(draw.between(2, 12), "%")
    for at in range(2):
        parts[f"birch/disk-{at}"] = {
            "kind": "disk",
            "source": "invented",
            "capacity": draw.q(draw.one([2, 4, 6, 8, 10]), "TB"),
        }
    parts["birch/pickup"] = {"kind": "pickup", "source": "invented"} | draw.keep(
        {"reach": draw.q(draw.between(20, 80), "m"), "works_with": draw.one([None, "any", "own"])}
    )
    network = {"mode": draw.one(["2560x1440@20", "1920x1080@25"])} | draw.keep(
        {
            "codecs": draw.one([["h264"], ["h265", "h264"]]),
            "bitrate": draw.q(draw.between(2, 8), "Mb/s") if draw.maybe(0.5) else None,
        }
    )
    parts["alder/network"] = {"kind": "camera", "source": "invented", "network": network, "sound": {}}
    return parts


def hops(draw: Draw, cables: list[str], longest: float, boxes: list[str], power: bool) -> list[dict[str, Any]]:
    """A way of one to three runs, with boxes between."""
    found: list[dict[str, Any]] = []
    for _ in range(draw.random.choice([1, 1, 2, 3])):
        cable = draw.one(cables)
        hop = {"cable": cable} | draw.keep({"length": draw.q(draw.between(2, longest), "m")})
        hop |= {"temperature": draw.q(draw.one([10, 20, 35, 50, 55.5]), "°C")} if draw.maybe(0.25) else {}
        if power:
            hop |= {"pairs": draw.random.randint(1, 3)} if cable == "birch/pair" else {}
            hop |= {"measured": measured_loop(draw)} if draw.maybe(0.1) else {}
        else:
            hop |= {"joints": draw.random.randint(0, 3)} if draw.maybe(0.3) else {}
            hop |= {"measured": {"length": draw.q(draw.between(2, longest), "m")}} if draw.maybe(0.1) else {}
        found.append(hop)
        if boxes and draw.maybe(0.3):
            found.append({"box": boxes.pop()})
    return found


def measured_loop(draw: Draw) -> dict[str, str]:
    warm = {"temperature": draw.q(draw.one([5, 12, 30]), "°C")} if draw.maybe(0.5) else {}
    return {"loop": draw.q(draw.between(0.2, 4), "ohm")} | warm


def ids(parts: dict[str, Any], word: str) -> list[str]:
    return [one for one in parts if word in one]


def recorder(draw: Draw, parts: dict[str, Any]) -> dict[str, Any]:
    """A recorder of the site."""
    alike = draw.one(ids(parts, "/disk-"))
    disk_ids = [alike if draw.maybe(0.8) else draw.one(ids(parts, "/disk-")) for _ in range(draw.random.randint(1, 6))]
    levels = {"none": 1, "raid0": 2, "raid1": 2, "raid5": 3, "raid6": 4, "raid10": 4}
    level = draw.one([one for one, least in levels.items() if least <= len(disk_ids) or draw.maybe(0.05)])
    entry: dict[str, Any] = {"part": draw.one(ids(parts, "/recorder-"))}
    entry |= draw.keep({"disks": disk_ids})
    entry |= {"redundancy": level} if level != "none" else {}
    entry |= {"spare_disks": 1} if draw.maybe(0.1) else {}
    entry |= {"set": draw.some(["wide", "slow"])} if draw.maybe(0.3) else {}
    entry |= {"network_cameras": draw.random.randint(1, 3)} if draw.maybe(0.15) else {}
    entry |= {"record": recording(draw)} if draw.maybe(0.6) else {}
    if draw.maybe(0.3):
        entry |= draw.keep({"playback": draw.random.randint(0, 4), "playback_hours": draw.one(["2 h", "90 min", "24 h"])})
    return entry


def spread_out(rate: float) -> float:
    """Every tenth rate or so is far beyond what a small picture's level allows."""
    return rate * 8.0 if rate > 5.5 else rate


def recording(draw: Draw) -> dict[str, Any]:
    """Rates, codecs, schedules that somebody set."""
    choices = {
        "rate": draw.q(draw.one([6, 8, 12, 20]), "fps"),
        "codec": draw.one(["h264", "h265"]),
        "bitrate": draw.q(spread_out(draw.between(1, 6)), "Mb/s"),
        "second_stream": draw.q(draw.between(0.2, 1), "Mb/s"),
        "schedule": draw.one(["continuous", "motion", "sorted-motion"]),
        "motion_share": draw.q(draw.random.randint(5, 90), "%"),
    }
    return {key: choices[key] for key in draw.some(choices, 0)[: draw.random.randint(1, 4)]}


def camera(
    draw: Draw, parts: dict[str, Any], inputs: list[str], sources: list[str], boxes: list[str]
) -> dict[str, Any]:
    """A camera of the site."""
    if draw.maybe(0.12):
        return network_camera(draw)
    part = draw.one(ids(parts, "/camera-"))
    entry: dict[str, Any] = {"part": part, "place": {"setting": draw.one(["indoor", "outdoor"])}}
    if draw.maybe(0.35):
        row = draw.one(parts[part]["emits"])
        texts = row["mode"] if isinstance(row["mode"], list) else [row["mode"]]
        entry["set"] = dict(draw.some({"family": row["family"], "mode": draw.one(texts)}.items()))
    if inputs and draw.maybe(0.95):
        path = {"into": inputs.pop()}
        if not draw.maybe(draw.gap):
            path["over"] = hops(
                draw, ["alder/coax", "alder/coax", "alder/coax-short", "birch/pair"], 200, boxes, power=False
            )
        entry["video"] = path
    if sources and draw.maybe(0.8):
        entry["power"] = {
            "from": draw.one(sources),
            "over": hops(draw, [*ids(parts, "/cord"), "birch/gauge-18", "birch/pair"], 45, [], power=True),
        }
    entry |= {"heater": True} if draw.maybe(0.2) else {}
    entry |= {"record": recording(draw)} if draw.maybe(0.3) else {}
    entry |= (
        {
            "scene": draw.keep(
                {
                    "motion": draw.one([None, "little", "medium", "much"]),
                    "noise": draw.one([None, "little", "some", "much"]),
                }
            )
        }
        if draw.maybe(0.3)
        else {}
    )
    entry["wants"] = {key: True for key in ("sound", "firmware", "talk_back") if draw.maybe(0.4)}
    if draw.maybe(0.5):
        entry["sound"] = {"by": "coax"}
    elif draw.maybe(0.4):
        entry["sound"] = {
            "into": f"rec{draw.random.randint(1, 2)}/audio{draw.random.randint(1, 4)}",
            "over": hops(draw, ["birch/pair"], 40, [], power=False),
        }
        entry["sound"] |= {"pickup": "birch/pickup"} if draw.maybe(0.6) else {}
    entry |= {"control": {"by": "coax"}} if draw.maybe(0.5) else {}
    return entry


def network_camera(draw: Draw) -> dict[str, Any]:
    """A network camera on a port of a recorder."""
    entry: dict[str, Any] = {
        "part": "alder/network",
        "network": {
            "into": f"rec{draw.random.randint(1, 2)}/net{draw.random.randint(1, 8)}",
            "over": [{"cable": "birch/pair", "length": "20 m"}],
        },
    }
    entry |= {"record": recording(draw)} if draw.maybe(0.4) else {}
    return entry


def site(draw: Draw, parts: dict[str, Any]) -> dict[str, Any]:
    """A whole site."""
    made: dict[str, Any] = {
        "site": "Third opinion",
        "video_rate": draw.one([25, 25, 30]),
        "parts": ["third.parts.yaml"],
    }
    made |= {"retention": "14 days"} if draw.maybe(0.5) else {}
    made["recorders"] = {"rec1": recorder(draw, parts), "rec2": recorder(draw, parts)}
    made["supplies"] = {f"psu{at}": supply(draw, parts) for at in (1, 2)}
    made["junctions"] = {}
    for at in range(draw.random.randint(0, 4)):
        above = draw.one([f"psu1/{draw.random.randint(1, 4)}", *made["junctions"]])
        cords = ["alder/cord-1.5", "alder/cord-2.5", "alder/cord-4"]
        made["junctions"][f"j{at}"] = {"power": {"from": above, "over": hops(draw, cords, 25, [], power=True)}}
    made["boxes"] = {f"b{at}": {"part": f"birch/{draw.one(['joint', 'amplifier', 'isolator'])}"} for at in range(6)}
    inputs = inputs_of(draw, made, parts)
    sources = [f"psu{one}/{at}" for one in (1, 2) for at in range(1, 5)] + list(made["junctions"]) * 2
    boxes = list(made["boxes"])
    made["cameras"] = {
        f"cam{at}": camera(draw, parts, inputs, sources, boxes) for at in range(draw.random.randint(2, 9))
    }
    made |= {"assume": assumptions(draw)} if draw.maybe(0.4) else {}
    made |= (
        {"modes": [{"family": "tvi", "mode": "1920x1080@25", "top_frequency": draw.q(draw.between(20, 40), "MHz")}]}
        if draw.maybe(0.15)
        else {}
    )
    return made


def inputs_of(draw: Draw, made: dict[str, Any], parts: dict[str, Any]) -> list[str]:
    """Inputs in random order, now and then one that is not there."""
    found = []
    for name in made["recorders"]:
        last = max(int(str(one["channels"]).split("-")[-1]) for one in parts[made["recorders"][name]["part"]]["inputs"])
        found += [f"{name}/{at}" for at in range(1, last + 1 + draw.maybe(0.15))]
    draw.random.shuffle(found)
    return found


def supply(draw: Draw, parts: dict[str, Any]) -> dict[str, Any]:
    entry = {"part": draw.one(ids(parts, "/supply-")[:2])}
    entry |= {"trim": draw.q(draw.between(11.5, 14), "V")} if draw.maybe(0.5) else {}
    entry |= {"battery": "17 Ah"} if draw.maybe(0.2) else {}
    entry |= {"measured": {"volts": draw.q(draw.between(11.5, 14), "V")}} if draw.maybe(0.1) else {}
    return entry


def assumptions(draw: Draw) -> dict[str, Any]:
    choices = {
        "conductor_temperature": draw.q(draw.one([30, 45, 50]), "°C"),
        "bits_per_pixel": draw.one([0.05, 0.1]),
        "motion_share": draw.q(draw.one([20, 40]), "%"),
        "sorted_motion_share": draw.q(draw.one([5, 15]), "%"),
        "usable_share": draw.q(draw.one([88, 90]), "%"),
        "source_resistance": draw.one([0.05, 0.2]),
    }
    return {key: choices[key] for key in draw.some(choices)}


class Plain(getattr(yaml, "CSafeDumper", yaml.SafeDumper)):  # type: ignore[misc]
    """Writes values out: anchors and aliases are refused (docs/limits-of-input.md)."""

    def ignore_aliases(self, data: Any) -> bool:
        return True


def put(path: Path, value: dict[str, Any]) -> None:
    """Writes one file."""
    path.write_text(yaml.dump(value, Dumper=Plain, allow_unicode=True, sort_keys=False), encoding="utf-8")


def write(seed: int, folder: Path) -> Path:
    """Writes the site of a seed with its parts into a folder; the path of the site file."""
    draw = Draw(seed)
    parts = catalogue(draw)
    put(folder / "third.parts.yaml", {"parts": parts})
    put(folder / "third.site.yaml", site(draw, parts))
    return folder / "third.site.yaml"
