"""Invented random sites and random edits of them, for properties of judging again and of fixes.

Both draw from `random.Random`, so that a seed names a case. Most sites are faulty somewhere; an edit may well
make one that is refused, since a refusal has to come out the same too.
"""

from __future__ import annotations

import json
from pathlib import Path
from random import Random
from typing import Any

from coaxwright.fixes.patching import pointer
from coaxwright.model.parts import PartFile
from coaxwright.model.site import Site
from coaxwright.reading.catalogue import Catalogue, PartSource
from coaxwright.reading.site_reader import LoadedSite, with_value
from coaxwright.reading.validation import validated
from coaxwright.reading.yaml_source import parse_document

REPO = Path(__file__).resolve().parents[2]
VIDEO_CABLES = ["rg59-copper", "rg6-copper", "rg59-copper-outdoor", "rg59-ccs", "rg62", "mini-coax", "cat5e"]
POWER_CABLES = [
    "dc-0.5mm2",
    "dc-0.75mm2",
    "dc-1mm2",
    "dc-1.5mm2",
    "dc-2.5mm2",
    "dc-4mm2",
    "dc-0.75mm2-cca",
    "dc-1mm2-outdoor",
]
CAMERAS = ["tarnwell/turret-5", "fennick/turret-5", "fennick/bullet-4", "brackwater/mini-8", "brackwater/dome-2"]
RECORDERS = ["tarnwell/entry-4", "tarnwell/middle-8"]
SUPPLIES = [
    "hollin/dc12-5a-4way",
    "generic/dc12-5a-4way",
    "generic/dc12-10a-9way",
    "generic/ac24-4a-4way",
    "generic/dc12-1a",
]
DISKS = ["hollin/desk-2tb", "generic/disk-4tb", "generic/disk-8tb", "generic/disk-1tb"]
BOXES = ["generic/coupler-bnc", "generic/balun-passive", "generic/isolator-coax", "generic/arrester-coax"]
MODES = ["2592x1944@20", "2592x1944@12.5", "2560x1440@25", "1920x1080@25", "1920x1080@30", "3840x2160@15"]
FAMILIES = ["tvi", "ahd", "cvi", "cvbs"]
SETTINGS = ["indoor", "sheltered", "outdoor"]
_PARTS = ("cider-press/parts/makers.yaml",)


def catalogue() -> Catalogue:
    """Generic parts and those of one example."""
    sources = []
    for name in _PARTS:
        document = parse_document((REPO / "examples" / name).read_text(encoding="utf-8"), name)
        sources.append(PartSource(name, document, validated(PartFile, document)))
    return Catalogue(tuple(sources))


def load(value: dict[str, Any], parts: Catalogue) -> LoadedSite:
    """The site of a plain value, with places of its JSON text."""
    document = parse_document(json.dumps(value, indent=1), "random.site.yaml")
    return with_value(LoadedSite(document.file, Site.model_construct(site="random"), document, parts), document.value)


def hops(draw: Random, cables: list[str], boxes: list[str], most: float) -> list[dict[str, Any]]:
    """One run mostly; sometimes without a length, with a box that is still free, or in two pieces."""
    found: list[dict[str, Any]] = []
    for _ in range(1 if draw.random() < 0.8 else 2):
        run: dict[str, Any] = {"cable": draw.choice(cables)}
        if draw.random() < 0.95:
            run["length"] = f"{draw.choice([3, 10, 20, 35, 60, 85, 120, most])} m"
        if draw.random() < 0.3:
            run["setting"] = draw.choice(SETTINGS)
        if draw.random() < 0.1:
            run["joints"] = draw.randint(1, 5)
        found.append(run)
    if boxes and draw.random() < 0.15:
        found.insert(draw.randint(0, len(found)), {"box": boxes.pop()})
    return found


def random_site(draw: Random) -> dict[str, Any]:
    """A site of a few recorders, supplies, trunks and up to nine cameras."""
    site: dict[str, Any] = {"site": f"Random {draw.randint(0, 999)}", "video_rate": draw.choice([25, 30])}
    if draw.random() < 0.8:
        site["retention"] = f"{draw.choice([3, 14, 40])} days"
    site["recorders"] = {f"r{n}": recorder(draw) for n in range(1, draw.randint(1, 3) + 1)}
    site["supplies"] = {f"p{n}": supply(draw) for n in range(1, draw.randint(1, 3) + 1)}
    site["junctions"] = {f"j{n}": junction(draw, n, site) for n in range(1, draw.randint(0, 4) + 1)}
    free = [f"b{n}" for n in range(1, draw.randint(0, 3) + 1)]
    site["boxes"] = {name: {"part": draw.choice(BOXES)} for name in free}
    site["cameras"] = {f"c{n}": camera(draw, n, site, free) for n in range(1, draw.randint(1, 9) + 1)}
    if draw.random() < 0.2:
        site["recorders"]["r1"]["power"] = {"from": f"p1/{draw.randint(1, 4)}", "over": hops(draw, POWER_CABLES, [], 5)}
    if draw.random() < 0.3:
        on = f"cameras/{draw.choice(list(site['cameras']))}"
        site["waivers"] = [{"rule": draw.choice(WAIVED), "on": on, "reason": "known"}]
    if draw.random() < 0.2:
        site["rules"] = {"power/undervoltage": {"level": draw.choice(["warning", "off"]), "reason": "trial"}}
    if draw.random() < 0.2:
        site["assume"] = {"conductor_temperature": "50 °C"}
    return {key: each for key, each in site.items() if each != {}}


WAIVED = ["power/undervoltage", "cable/loss-beyond-limit", "signal/reduced-width", "picture/rate-below-wanted"]


def recorder(draw: Random) -> dict[str, Any]:
    """A recorder with disks, mostly."""
    found: dict[str, Any] = {"part": draw.choice(RECORDERS)}
    if draw.random() < 0.9:
        found["disks"] = [draw.choice(DISKS) for _ in range(draw.randint(0, 2))]
    if draw.random() < 0.5:
        found["record"] = {"codec": draw.choice(["h264", "h265"]), "schedule": draw.choice(["continuous", "motion"])}
    if draw.random() < 0.7:
        found["place"] = {"setting": "indoor", "building": draw.choice("ab")}
    if draw.random() < 0.1:
        found["network_cameras"] = draw.randint(1, 4)
    return found


def supply(draw: Random) -> dict[str, Any]:
    """A supply, with a trim in half the cases."""
    found: dict[str, Any] = {"part": draw.choice(SUPPLIES)}
    if draw.random() < 0.5 and not found["part"].startswith("generic/ac"):
        found["trim"] = f"{draw.choice([12, 12.6, 13.2, 13.5])} V"
    return found


def junction(draw: Random, n: int, site: dict[str, Any]) -> dict[str, Any]:
    """A junction on a supply or on one before it; sometimes without a source."""
    if draw.random() < 0.1:
        return {}
    above = [f"j{k}" for k in range(1, n)] + [source(draw, site)]
    return {"power": {"from": draw.choice(above), "over": hops(draw, POWER_CABLES, [], 40)}}


def source(draw: Random, site: dict[str, Any]) -> str:
    """An output of some supply, once in a while one that it does not have."""
    return f"{draw.choice(list(site['supplies']) or ['p1'])}/{draw.randint(1, 5)}"


def camera(draw: Random, n: int, site: dict[str, Any], free: list[str]) -> dict[str, Any]:
    """A camera with most of its paths."""
    found: dict[str, Any] = {"part": draw.choice(CAMERAS)}
    if draw.random() < 0.4:
        found["set"] = {"family": draw.choice(FAMILIES), "mode": draw.choice(MODES)}
    if draw.random() < 0.92:
        into = f"{draw.choice(list(site['recorders']) or ['r1'])}/{draw.randint(1, 9)}"
        found["video"] = {"into": into, "over": hops(draw, VIDEO_CABLES, free, 240)}
    if draw.random() < 0.92:
        taps = list(site["junctions"])
        origin = draw.choice(taps) if taps and draw.random() < 0.4 else source(draw, site)
        found["power"] = {"from": origin, "over": hops(draw, POWER_CABLES, free, 180)}
    found |= extras(draw, site)
    return found


def extras(draw: Random, site: dict[str, Any]) -> dict[str, Any]:
    """Sound, control, place and wants, each now and then."""
    found: dict[str, Any] = {}
    into = draw.choice(list(site["recorders"]) or ["r1"])
    if draw.random() < 0.3:
        line = {
            "into": f"{into}/audio{draw.randint(1, 2)}",
            "pickup": "hollin/pickup-line",
            "over": [{"cable": "line-screened-0.22mm2", "length": "20 m"}],
        }
        found["sound"] = {"by": "coax"} if draw.random() < 0.5 else line
    if draw.random() < 0.2:
        found["control"] = {"by": "coax"}
    if draw.random() < 0.8:
        found["place"] = {
            "setting": draw.choice(SETTINGS),
            "reach": draw.choice(["hand", "tool", "out-of-reach"]),
            "building": draw.choice("ab"),
        }
    if draw.random() < 0.5:
        found["wants"] = {
            "rate": f"{draw.choice([8, 12, 20])} fps",
            "full_width": draw.random() < 0.5,
            "sound": draw.random() < 0.3,
        }
    return found


def random_edit(draw: Random, site: dict[str, Any]) -> list[dict[str, Any]]:
    """One to three operations on a site: most of them keep it readable."""
    patch = [draw.choice(EDITS)(draw, site) for _ in range(draw.choice([1, 1, 1, 2, 3]))]
    return [each for each in patch if each]


def _entry(draw: Random, site: dict[str, Any], group: str) -> str:
    return draw.choice(list(site.get(group) or {"none": 0}))


def _set(site: dict[str, Any], path: tuple[Any, ...], value: Any) -> dict[str, Any]:
    return {"op": "add", "path": pointer(path), "value": value}


def _new_camera(draw: Random, site: dict[str, Any]) -> dict[str, Any]:
    full = {"recorders": {"r1": {}}, "supplies": {"p1": {}}, "junctions": {}, **site}
    name = f"c{draw.randint(1, 14)}"
    return _set(
        site, ("cameras", name), camera(draw, 1, full, [f"b{draw.randint(1, 3)}"] if draw.random() < 0.2 else [])
    )


def _changed_field(draw: Random, site: dict[str, Any]) -> dict[str, Any]:
    name = _entry(draw, site, "cameras")
    field, value = draw.choice(
        [
            ("part", draw.choice(CAMERAS)),
            ("set", {"family": draw.choice(FAMILIES), "mode": draw.choice(MODES)}),
            ("sound", {"by": "coax"}),
            ("wants", {"rate": "15 fps", "sound": True}),
            ("place", {"setting": "outdoor", "building": draw.choice("abc")}),
            ("record", {"rate": "6 fps"}),
            ("heater", True),
            *extras(draw, {"recorders": {"r1": {}}, **site}).items(),
        ]
    )
    return _set(site, ("cameras", name, field), value)


def _rewired(draw: Random, site: dict[str, Any]) -> dict[str, Any]:
    name = _entry(draw, site, "cameras")
    if draw.random() < 0.5:
        into = f"{_entry(draw, site, 'recorders')}/{draw.randint(1, 9)}"
        return _set(
            site,
            ("cameras", name, "video"),
            {"into": into, "over": hops(draw, VIDEO_CABLES, [f"b{draw.randint(1, 4)}"], 240)},
        )
    origin = (
        _entry(draw, site, "junctions")
        if draw.random() < 0.4
        else f"{_entry(draw, site, 'supplies')}/{draw.randint(1, 5)}"
    )
    return _set(site, ("cameras", name, "power"), {"from": origin, "over": hops(draw, POWER_CABLES, [], 180)})


def _removed(draw: Random, site: dict[str, Any]) -> dict[str, Any]:
    group = draw.choice(["cameras", "cameras", "junctions", "boxes", "supplies", "recorders"])
    name = _entry(draw, site, group)
    if name == "none":
        return {}
    below = list(site[group][name]) if group == "cameras" and draw.random() < 0.7 else []
    path = (group, name, draw.choice(below)) if below else (group, name)
    return {"op": "remove", "path": pointer(path)}


def _device(draw: Random, site: dict[str, Any]) -> dict[str, Any]:
    kind = draw.choice(["recorders", "supplies", "junctions", "boxes"])
    name = f"{kind[0] if kind != 'supplies' else 'p'}{draw.randint(1, 4)}"
    full = {"supplies": {"p1": {}}, **site}
    made = {
        "recorders": lambda: recorder(draw),
        "supplies": lambda: supply(draw),
        "junctions": lambda: junction(draw, draw.randint(1, 4), full),
        "boxes": lambda: {"part": draw.choice(BOXES)},
    }[kind]()
    if kind not in site:
        return _set(site, (kind,), {name: made})
    return _set(site, (kind, name), made)


def _top(draw: Random, site: dict[str, Any]) -> dict[str, Any]:
    field, value = draw.choice(
        [
            ("retention", f"{draw.randint(2, 50)} days"),
            ("video_rate", draw.choice([25, 30])),
            ("waivers", [{"rule": draw.choice(WAIVED), "on": "cameras/c1", "reason": "known"}]),
        ]
    )
    return _set(site, (field,), value)


EDITS = [
    _new_camera,
    _changed_field,
    _changed_field,
    _changed_field,
    _rewired,
    _rewired,
    _rewired,
    _removed,
    _device,
    _device,
    _top,
]
