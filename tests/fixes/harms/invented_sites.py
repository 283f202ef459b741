"""Random faulty sites of many shapes over an invented catalogue: what is not known is left out at random.

`made(seed, number)` names a site for good. Shapes: a shop with one supply, a yard on trunks, an old block on
transformers, a mixed network, and a heap of everything.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from random import Random
from typing import Any

from .invented_parts import Part, catalogue

SHAPES = ("shop", "yard", "block", "mixed", "heap", "heap")
GENERIC = {
    "coax": ["rg59-copper", "rg59-copper-outdoor", "rg6-copper", "rg59-ccs", "mini-coax", "rg62"],
    "pair": ["cat5e", "cat5e-outdoor", "cat5e-cca", "cat6"],
    "power": ["dc-0.5mm2", "dc-0.75mm2", "dc-1.5mm2", "dc-2.5mm2", "dc-4mm2", "dc-1mm2-outdoor", "dc-0.75mm2-cca"],
    "supply": [
        "generic/dc12-5a-4way",
        "generic/dc12-10a-9way",
        "generic/dc12-1a",
        "generic/dc12-2a",
        "generic/ac24-4a-4way",
    ],
    "disk": ["generic/disk-1tb", "generic/disk-2tb", "generic/disk-8tb", "generic/desktop-disk-2tb"],
    "box": ["generic/balun-passive", "generic/coupler-bnc", "generic/isolator-coax", "generic/arrester-coax"],
}
CLASSES = ("detect", "observe", "recognise", "identify", "inspect")
WAIVABLE = (
    "power/undervoltage",
    "cable/loss-beyond-limit",
    "picture/rate-below-wanted",
    "power/collapse",
    "view/density-low",
)


@dataclass
class Made:
    """A site file and its part file as plain data."""

    site: dict[str, Any]
    parts: dict[str, Part]
    name: str


@dataclass
class Draft:
    """A site being drawn: its catalogue by kind, how often something is left out, and the ports still free."""

    draw: Random
    parts: dict[str, Part]
    gaps: float
    shape: str
    care: float
    kinds: dict[str, tuple[str, float]] = field(default_factory=dict)
    video: list[str] = field(default_factory=list)
    feeds: list[str] = field(default_factory=list)
    boxes: dict[str, Any] = field(default_factory=dict)

    def chance(self, share: float) -> bool:
        return self.draw.random() < share

    def known(self) -> bool:
        """Whether somebody wrote this down."""
        return self.draw.random() >= self.gaps

    def some(self, kind: str, carries: str = "") -> str:
        """An own part of a kind, or a generic one of it."""
        own = [
            name
            for name, part in self.parts.items()
            if part["kind"] == kind and (not carries or carries in part.get("carries", ()))
        ]
        generic = GENERIC.get(carries or kind, [])
        pick = own if own and (not generic or self.chance(0.6)) else generic
        return self.draw.choice(pick)


def made(seed: int, number: int) -> Made:
    """The site of that number under that seed."""
    draw = Random(f"{seed}:{number}")
    gaps = draw.choice([0.0, 0.03, 0.08, 0.15, 0.3])
    parts = catalogue(draw, gaps)
    draft = Draft(draw, parts, gaps * 0.7, draw.choice(SHAPES), draw.choice([0.3, 0.7, 0.95]))
    return Made(site_of(draft), parts, f"{seed}:{number}")


def site_of(draft: Draft) -> dict[str, Any]:
    draw = draft.draw
    site: dict[str, Any] = {"site": f"{draft.shape} {draw.randint(1, 999)}", "video_rate": draw.choice([25, 25, 30])}
    site["parts"] = ["parts.yaml"]
    whole(draft, site)
    site["recorders"] = {f"r{n}": recorder(draft, f"r{n}") for n in range(1, draw.choice([1, 1, 1, 2]) + 1)}
    count = {"shop": 1, "yard": 2, "block": 2, "mixed": 1, "heap": draw.randint(1, 4)}[draft.shape]
    site["supplies"] = {f"p{n}": supply(draft, f"p{n}") for n in range(1, count + 1)}
    site["junctions"] = junctions(draft)
    site["switches"] = switches(draft)
    site["cameras"] = {f"c{n}": camera(draft, n, site) for n in range(1, draw.choice([1, 2, 2, 3, 3, 4, 5, 7]) + 1)}
    site["boxes"] = draft.boxes
    if draft.chance(0.3) and "outputs" in draft.parts[site["recorders"]["r1"]["part"]]:
        site["monitors"] = {"m1": {"part": draft.some("monitor"), "from": "r1/hdmi", "distance": "1.2 m"}}
    judged_otherwise(draft, site)
    return {name: value for name, value in site.items() if value != {}}


def whole(draft: Draft, site: dict[str, Any]) -> None:
    """What is wanted of the site as a whole."""
    draw = draft.draw
    if draft.known():
        site["retention"] = f"{draw.choice([3, 7, 14, 30, 60])} days"
    if draft.chance(0.1):
        site["retention_max"] = f"{draw.choice([10, 30])} days"
    if draft.chance(0.1):
        site["growth"] = "25 %"
    if draft.chance(0.3):
        site["wiring_code"] = draw.choice(["iec-60364", "nec-2020", "nec-2023"])
    if draft.chance(0.15):
        site["assume"] = {"conductor_temperature": "50 °C"}


def judged_otherwise(draft: Draft, site: dict[str, Any]) -> None:
    """Waivers and changed levels, now and then."""
    draw = draft.draw
    if draft.chance(0.15):
        on = f"cameras/{draw.choice(list(site['cameras']))}"
        site["waivers"] = [{"rule": draw.choice(WAIVABLE), "on": on, "reason": "known to the owner"}]
    if draft.chance(0.1):
        site["rules"] = {"power/undervoltage-near": {"level": draw.choice(["error", "note"]), "reason": "asked for"}}


def recorder(draft: Draft, name: str) -> dict[str, Any]:
    draw = draft.draw
    part = draft.some("recorder")
    found: dict[str, Any] = {"part": part}
    last = int(str(draft.parts[part]["inputs"][-1]["channels"]).rpartition("-")[2])
    draft.video += [f"{name}/{n}" for n in range(1, last + 1)]
    if draft.known():
        kind = draft.some("disk")
        found["disks"] = [
            kind if draft.chance(0.85) else draft.some("disk") for _ in range(draw.choice([0, 1, 1, 1, 2, 3]))
        ]
    if draft.chance(0.6):
        found["record"] = recording(draft)
    if draft.known():
        found["place"] = {
            "setting": "indoor",
            "building": draw.choice(["a", "a", "b"]),
            "ambient_max": f"{draw.choice([30, 45])} °C",
        }
    if draft.chance(0.1):
        found["set"] = ["wide-input"]
    if draft.chance(0.1):
        found["network_cameras"] = draw.randint(1, 6)
    if draft.chance(0.15):
        found |= {"viewers": draw.randint(1, 4), "viewed": 4, "uplink": "10 Mb/s", "playback": 4}
    if draft.chance(0.15):
        found |= {"redundancy": draw.choice(["raid1", "raid5"]), "spare_disks": draw.choice([0, 1])}
    return found


def recording(draft: Draft) -> dict[str, Any]:
    draw = draft.draw
    found: dict[str, Any] = {}
    if draft.known():
        found["codec"] = draw.choice(["h264", "h265"])
    if draft.chance(0.3):
        found["bitrate"] = f"{draw.choice([2, 4, 8])} Mb/s"
    if draft.chance(0.4):
        found["schedule"] = draw.choice(["continuous", "motion"])
    if draft.chance(0.2):
        found["rate"] = f"{draw.choice([6, 12.5, 25])} fps"
    return found


def supply(draft: Draft, name: str) -> dict[str, Any]:
    """A supply; its outputs are offered for feeds, with one too many once in a while."""
    draw = draft.draw
    part = draft.some("supply")
    if draft.shape == "block" and draft.chance(0.6):
        part = "generic/ac24-4a-4way"
    about = draft.parts.get(part, {})
    found: dict[str, Any] = {"part": part}
    if {"trim_min", "trim_max"} <= about.keys() and draft.chance(0.6):
        low, high = (float(str(about[side]).split()[0]) for side in ("trim_min", "trim_max"))
        found["trim"] = f"{draw.choice([low, (low + high) / 2, high, high + 0.5]):.1f} V"
    if about.get("battery_backed") and draft.chance(0.8):
        found |= {"battery": f"{draw.choice([4, 7, 17, 65])} Ah", "autonomy": f"{draw.choice([1, 4, 8])} h"}
    if draft.known():
        found["place"] = {"setting": "indoor", "building": draw.choice(["a", "b"])}
        if draft.known():
            found["place"] |= {"ambient_min": "5 °C", "ambient_max": f"{draw.choice([30, 45, 55])} °C"}
    volts = float(str(about.get("volts", "24 V" if "ac24" in part else "12 V")).split()[0])
    draft.kinds[name] = (about.get("gives", "ac" if "ac24" in part else "dc"), volts)
    outputs = about.get("outputs") or {"generic/dc12-1a": 1, "generic/dc12-2a": 1, "generic/dc12-10a-9way": 9}.get(
        part, 4
    )
    draft.feeds += [f"{name}/{n}" for n in range(1, outputs + 1 + draft.chance(0.1))]
    return found


def junctions(draft: Draft) -> dict[str, Any]:
    """None, a trunk tap by tap, or a tree."""
    most = {"shop": 0, "yard": 4, "block": 2, "mixed": 1, "heap": 3}[draft.shape]
    found: dict[str, Any] = {}
    for number in range(1, draft.draw.randint(0, most) + 1):
        above = f"j{number - 1}" if number > 1 and draft.chance(0.7) else draft.draw.choice(draft.feeds)
        draft.kinds[f"j{number}"] = draft.kinds[above.partition("/")[0]]
        found[f"j{number}"] = {"power": {"from": above, "over": runs(draft, "power", [10, 25, 40, 80])}}
        if draft.chance(0.2):
            found[f"j{number}"]["protective_device"] = f"{draft.draw.choice([1, 3.15])} A"
    draft.feeds += list(found) * 2
    return found


def switches(draft: Draft) -> dict[str, Any]:
    if draft.shape != "mixed" and not draft.chance(0.15):
        return {}
    way = {"into": "r1/net1", "over": [{"cable": "cat6", "length": "4 m"}]} if draft.chance(0.85) else {}
    return {"sw1": {"part": draft.some("switch"), **way}}


def runs(draft: Draft, carries: str, lengths: list[int], most: int = 2) -> list[dict[str, Any]]:
    """One or two pieces; a length, a place or a cable's fitness is not always known."""
    found: list[dict[str, Any]] = []
    for _ in range(1 if draft.chance(0.8) else most):
        run: dict[str, Any] = {"cable": draft.some("cable", carries)}
        if draft.known():
            run["length"] = f"{draft.draw.choice(lengths)} m"
        if draft.chance(0.5):
            run["setting"] = draft.draw.choice(["indoor", "sheltered", "outdoor"])
        if draft.chance(0.05):
            run["beside_mains"] = "5 cm"
        if draft.chance(0.05):
            run["buried"] = True
        if draft.chance(0.1):
            run["joints"] = draft.draw.randint(1, 5)
        found.append(run)
    return found


def new_box(draft: Draft, part: str) -> dict[str, Any]:
    name = f"x{len(draft.boxes) + 1}"
    draft.boxes[name] = {"part": part}
    if part in draft.parts and "power" in draft.parts[part] and draft.feeds and draft.chance(0.6):
        draft.boxes[name]["power"] = {"from": draft.draw.choice(draft.feeds), "over": runs(draft, "power", [3, 20])}
    return {"box": name}


def video(draft: Draft) -> dict[str, Any]:
    """Coax mostly; a pair between baluns, or without one, or with a box in between."""
    draw = draft.draw
    into = draft.video.pop(draw.randrange(min(6, len(draft.video)))) if draft.video else "r1/1"
    if draft.chance(0.07):
        into = draw.choice(["r1/1", "r1/2", "r1/17"])
    if draft.chance(0.18):
        over = runs(draft, "pair", [20, 60, 120, 240, 350], most=1)
        if draft.chance(0.85):
            over = [new_box(draft, "generic/balun-passive"), *over, new_box(draft, "generic/balun-passive")]
    else:
        over = runs(draft, "coax", [5, 20, 40, 80, 120, 180, 260, 400])
        if draft.chance(0.15):
            over.insert(draw.randint(0, len(over)), new_box(draft, draft.some("box")))
    return {"into": into, "over": over}


def feed(draft: Draft, power: Part) -> dict[str, Any]:
    """From an output of its own, one that is shared, or a tap; with care one of the right kind."""
    draw = draft.draw
    fitting = [source for source in draft.feeds if fits(draft.kinds[source.partition("/")[0]], power)]
    sources = fitting if fitting and draft.chance(draft.care) else draft.feeds or ["p1/1"]
    source = draw.choice(sources)
    if draft.chance(0.75) and source in draft.feeds:
        draft.feeds.remove(source)
    return {"from": source, "over": runs(draft, "power", [2, 10, 30, 60, 100, 160])}


def fits(offered: tuple[str, float], power: Part) -> bool:
    """Whether a supply is of the kind that a datasheet names."""
    volts = float(str(power.get("volts", "12 V")).split()[0])
    return offered[0] in power.get("kind", "dc") and abs(offered[1] - volts) < 6


def camera(draft: Draft, number: int, site: dict[str, Any]) -> dict[str, Any]:
    draw = draft.draw
    part = draft.some("camera")
    if "network" in draft.parts[part] and draft.shape != "mixed" and draft.chance(0.8):
        part = next(name for name, each in draft.parts.items() if "emits" in each)
    about = draft.parts[part]
    found: dict[str, Any] = {"part": part}
    if "network" in about:
        found |= on_network(draft, about, number, site)
    else:
        if draft.chance(0.96):
            found["video"] = video(draft)
        if draft.chance(0.96):
            found["power"] = feed(draft, about.get("power", {}))
        if draft.chance(0.4):
            row = draw.choice(about["emits"])
            found["set"] = {"family": draw.choice(row["family"]), "mode": draw.choice(row["mode"])}
    if draft.known():
        found["place"] = place(draft)
    optics = about.get("optics", {})
    if optics.get("focal_min") != optics.get("focal_max") and draft.known():
        found["lens"] = {"focal": draw.choice([3, 4, 6, 12])}
    if "watts_heater" in about.get("power", {}):
        found["heater"] = draft.chance(0.7)
    found |= wishes(draft, about, site)
    return found


def on_network(draft: Draft, about: Part, number: int, site: dict[str, Any]) -> dict[str, Any]:
    """Into a switch where there is one, or into the recorder's own port."""
    port = f"sw1/{number}" if site["switches"] else f"r1/poe{number}"
    way = [{"cable": draft.draw.choice(GENERIC["pair"]), "length": f"{draft.draw.choice([15, 60, 95, 130])} m"}]
    if not draft.known():
        del way[0]["length"]
    found: dict[str, Any] = {"network": {"into": port, "recorder": "r1", "over": way}}
    poe = about.get("power", {"kind": "poe"})["kind"] == "poe"
    found["power"] = {"from": port, "over": [dict(way[0])]} if poe else feed(draft, about["power"])
    return found


def place(draft: Draft) -> dict[str, Any]:
    draw = draft.draw
    found: dict[str, Any] = {"setting": draw.choice(["indoor", "sheltered", "outdoor", "outdoor"])}
    for name, value, share in (
        ("building", draw.choice("aab"), 0.6),
        ("reach", draw.choice(["hand", "tool", "out-of-reach"]), 0.6),
        ("ambient_min", f"{draw.choice([-20, -10, 0, 10])} °C", 0.3),
        ("ambient_max", f"{draw.choice([30, 40, 55])} °C", 0.3),
        ("height", f"{draw.choice([2.5, 3.5, 6, 8])} m", 0.4),
        ("night_light", f"{draw.choice([0, 0.5, 5])} lux", 0.3),
        ("sun", True, 0.1),
        ("coastal", True, 0.05),
        ("washed", True, 0.05),
        ("damp", True, 0.05),
        ("overlooked", True, 0.1),
    ):
        if draft.chance(share):
            found[name] = value
    return found


def wishes(draft: Draft, about: Part, site: dict[str, Any]) -> dict[str, Any]:
    """What it is there for, and the ways for sound and control that were drawn."""
    draw = draft.draw
    wants: dict[str, Any] = {}
    if draft.chance(0.5):
        wants["rate"] = f"{draw.choice([6, 8, 12, 15, 25])} fps"
    if draft.chance(0.4):
        wants |= {"see": draw.choice(CLASSES), "at": f"{draw.choice([3, 5, 8, 15, 30])} m"}
        if draft.chance(0.4):
            wants["night"] = True
    for name, share in (
        ("full_width", 0.2),
        ("sound", 0.25),
        ("control", 0.1),
        ("firmware", 0.1),
        ("sorted_motion", 0.15),
        ("colour_night", 0.05),
    ):
        if draft.chance(share):
            wants[name] = True
    if draft.chance(0.1):
        wants["retention"] = f"{draw.choice([7, 30, 90])} days"
    found: dict[str, Any] = {"wants": wants} if wants else {}
    if draft.chance(0.8 if "sound" in wants else 0.1):
        found["sound"] = sound(draft, about)
    if draft.chance(0.8 if "control" in wants else 0.05):
        found["control"] = {"by": "network" if "network" in about else "coax"}
    if draft.chance(0.15):
        found["record"] = recording(draft)
    return {name: value for name, value in found.items() if value}


def sound(draft: Draft, about: Part) -> dict[str, Any]:
    if "network" in about:
        return {"by": "network"}
    if draft.chance(0.7):
        return {"by": "coax"}
    line = [{"cable": "line-screened-0.22mm2", "length": f"{draft.draw.choice([10, 40])} m"}]
    return {"into": f"r1/audio{draft.draw.randint(1, 3)}", "pickup": draft.some("pickup"), "over": line}
