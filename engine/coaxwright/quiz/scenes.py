"""Sound plans to ask about: generated from size and difficulty, or taken from a site that someone gave.

A generated plan is proved sound by the engine before anything is asked about it: no error, no warning. What it may
assume (conductor temperature, share of a disk left) is written out, so that papers can print it.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Mapping
from functools import lru_cache
from typing import Any

from coaxwright.errors import Problem, Refusal
from coaxwright.quiz.bank import Bank
from coaxwright.quiz.plans import Plan
from coaxwright.reading.site_reader import LoadedSite
from coaxwright.reading.tables import generic_part_files, load_assumptions
from coaxwright.reading.yaml_source import parse_document
from coaxwright.rulebook import judging

SIZES: Mapping[str, tuple[int, int]] = {"small": (2, 3), "medium": (3, 5), "large": (5, 8)}
MOST_TRIES = 40
_MODES: Mapping[str, str] = {
    "maker-a/turret-5": "2592x1944@12.5", "maker-b/turret-5": "1920x1080@25",
    "maker-a/bullet-2": "1920x1080@25", "maker-b/dome-2": "1920x1080@25",
}  # fmt: skip
_FOR_ROOMS = "maker-b/dome-2"
_DISKS = (((4, 4), (3, 3)), ((4, 4), (6, 6)))
"""Terabytes of the two disks for few cameras, and for more than three."""
_COAX = ("video-6mm", "video-7mm")
_POWER = ("power-0.75mm2", "power-1mm2", "power-1.5mm2")


def generate(bank: Bank, draw: random.Random, size: str = "medium", topic: str = "") -> Plan:
    """A sound plan of that size, with what the topic asks about.

    Raises Refusal when none comes out sound, which would be a fault of the stock.
    """
    for _ in range(MOST_TRIES):
        plan = _with_topic(bank, _drawn(bank, draw, draw.randint(*SIZES[size])), draw, topic)
        if is_sound(bank, plan):
            return plan
    raise Refusal([Problem("rules/quiz/stock.yaml", "no sound plan can be drawn from this stock", "widen it")])


def _with_topic(bank: Bank, plan: Plan, draw: random.Random, topic: str) -> Plan:
    """The plan with what a topic asks about and others do without: views, screens, a network, labels."""
    add = _TOPICS.get(topic)
    return Plan(add(bank, dict(plan.site), draw), plan.parts) if add else plan


def _with_screens(bank: Bank, site: dict[str, Any], draw: random.Random) -> dict[str, Any]:
    """Two screens, each on an output of its own, and what is played back on them."""
    screens = {
        "m1": {"part": "maker-c/screen-24", "from": "rec1/hdmi", "distance": "1.5 m"},
        "m2": {"part": "maker-c/screen-27", "from": "rec1/vga", "distance": draw.choice(("1.2 m", "1.6 m"))},
    }
    recorder = {**site["recorders"]["rec1"], "playback": 2}
    return {**site, "monitors": screens, "recorders": {"rec1": recorder}}


def _with_views(bank: Bank, site: dict[str, Any], draw: random.Random) -> dict[str, Any]:
    """What each camera is to see, from where, and how much of the scene; by its own lamp at night."""
    cameras = {
        name: {**camera, "wants": {
            **camera["wants"], "see": "detect", "at": f"{draw.randint(6, 12)} m", "width": "4 m", "night": True,
        }}
        for name, camera in site["cameras"].items()
    }  # fmt: skip
    return {**site, "cameras": cameras}


def _with_network(bank: Bank, site: dict[str, Any], draw: random.Random) -> dict[str, Any]:
    """A switch with two network cameras, and viewers from outside."""
    recorder = site["recorders"]["rec1"]
    streams = {"second_stream": draw.choice(("0.5 Mb/s", "0.6 Mb/s", "0.8 Mb/s"))}
    outside = {
        "viewers": 2, "viewed": 2, "viewed_stream": "second", "uplink": draw.choice(("8 Mb/s", "10 Mb/s", "20 Mb/s")),
        "network_address": "192.168.10.10",
    }  # fmt: skip
    free = [name for name in bank.stock.names.cameras if name not in site["cameras"]]
    count, building = len(site["cameras"]), recorder["place"]["building"]
    cameras = {
        name: _network_camera(draw, number, count + number, building)
        for number, name in enumerate(draw.sample(free, 2), start=1)
    }
    switch = {"part": "maker-d/switch-8", "into": "rec1/net1", "over": [_network_run(draw)],
              "network_address": "192.168.10.20", "place": _indoors(building)}  # fmt: skip
    return {
        **site, "recorders": {"rec1": {**recorder, **outside, "record": {**recorder["record"], **streams}}},
        "supplies": {"psu1": {**site["supplies"]["psu1"], "part": "maker-c/supply-10a"}},
        "switches": {"sw1": switch}, "cameras": {**site["cameras"], **cameras},
    }  # fmt: skip


def _network_run(draw: random.Random) -> dict[str, str]:
    return {"cable": "network-4pair", "length": f"{draw.randrange(10, 70, 5)} m"}


def _network_camera(draw: random.Random, port: int, output: int, building: str) -> dict[str, Any]:
    run = _network_run(draw)
    return {
        "part": "maker-b/net-2",
        "network": {"into": f"sw1/{port}", "recorder": "rec1", "over": [run]},
        "power": {"from": f"psu1/{output}", "over": [{"cable": "power-1.5mm2", "length": run["length"]}]},
        "place": {**_indoors(building), "reach": "out-of-reach"},
        "network_address": f"192.168.10.{30 + port}",
        "wants": {"rate": draw.choice(("8 fps", "10 fps", "12 fps"))},
        "record": {"bitrate": draw.choice(("3 Mb/s", "4 Mb/s", "5 Mb/s"))},
    }


def _with_labels(bank: Bank, site: dict[str, Any], draw: random.Random) -> dict[str, Any]:
    """Labels, areas, and a junction from which the first camera is fed."""
    first, *rest = site["cameras"]
    cameras = {first: {**site["cameras"][first], "label": "Main door", "area": "quay"}}
    cameras[first]["power"] = {**cameras[first]["power"], "from": "jb1"}
    with_first = 1 if len(rest) > 1 and draw.random() < 0.5 else 0  # then the second one hangs there as well
    for number, name in enumerate(rest, start=1):
        source = "jb1" if number <= with_first else f"psu1/{number + 1 - with_first}"
        camera = site["cameras"][name]
        cameras[name] = {**camera, "label": f"Door {number}", "area": "court", "power": {**camera["power"], "from": source}}
    trunk = {"cable": "power-2.5mm2", "length": f"{draw.randrange(5, 25, 5)} m"}
    place = _indoors(site["recorders"]["rec1"]["place"]["building"])
    junction = {"power": {"from": "psu1/1", "over": [trunk]}, "place": place}
    return {**site, "cameras": cameras, "junctions": {"jb1": junction}}


_TOPICS: Mapping[str, Callable[[Bank, dict[str, Any], random.Random], dict[str, Any]]] = {
    "display": _with_screens, "view": _with_views, "network": _with_network, "practice": _with_labels,
}  # fmt: skip


def is_sound(bank: Bank, plan: Plan) -> bool:
    """Whether no rule of level error or warning fails, and nothing stays open."""
    facts = bank.rulebook.own.onto(plan.facts())
    for verdict in judging.judge([rule for rule in bank.rulebook.rules if rule.level != "note"], facts):
        if verdict.judgements:
            return False
    return True


def _drawn(bank: Bank, draw: random.Random, count: int) -> Plan:
    names = bank.stock.names
    building = draw.choice(names.buildings)
    cameras = {
        name: _camera(draw, number, building, _inside(bank, name))
        for number, name in enumerate(draw.sample((*names.cameras, *names.indoors), count), start=1)
    }
    site = {
        "site": draw.choice(names.sites),
        "video_rate": 25,
        "retention": f"{draw.choice((7, 10, 14, 21))} days",
        "recorders": {"rec1": _recorder(draw, count, building)},
        "supplies": {"psu1": {"part": _supply(count), "trim": draw.choice(("12 V", "12.5 V")),
                              "place": _indoors(building)}},
        "cameras": cameras,
        "assume": {"conductor_temperature": draw.choice(("20 °C", "40 °C")), "usable_share": "93 %"},
    }  # fmt: skip
    return Plan(site, bank.stock.parts)


def _inside(bank: Bank, name: str) -> bool | None:
    """Whether a place is in a room, by its name; None where names tell nothing."""
    return name in bank.stock.names.indoors if bank.stock.names.indoors else None


def _supply(count: int) -> str:
    return "maker-c/supply-5a" if count <= 5 else "maker-c/supply-10a"


def _recorder(draw: random.Random, count: int, building: str) -> dict[str, Any]:
    return {
        "part": "maker-a/recorder-8",
        "disks": [f"maker-c/disk-{size}tb" for size in draw.choice(_DISKS[count > 3])],
        "record": {"codec": draw.choice(("h264", "h265")), "schedule": "continuous"},
        "place": _indoors(building),
    }


def _indoors(building: str) -> dict[str, str]:
    return {"building": building, "setting": "indoor", "ambient_min": "5 °C", "ambient_max": "30 °C"}


def _camera(draw: random.Random, number: int, building: str, inside: bool | None) -> dict[str, Any]:
    part = draw.choice([each for each in _MODES if inside is not False or each != _FOR_ROOMS])
    length = f"{draw.randrange(12, 62, 2)} m"
    return {
        "part": part,
        "set": {"family": "tvi", "mode": _MODES[part]},
        "video": {"into": f"rec1/{number}", "over": [{"cable": draw.choice(_COAX), "length": length}]},
        "power": {"from": f"psu1/{number}", "over": [{"cable": draw.choice(_POWER), "length": length}]},
        "place": _place(draw, part, building, inside),
        "wants": {"rate": draw.choice(("8 fps", "10 fps", "12 fps"))},
        "record": {"bitrate": draw.choice(("2 Mb/s", "3 Mb/s", "4 Mb/s", "5 Mb/s"))},
    }


def _place(draw: random.Random, part: str, building: str, inside: bool | None) -> dict[str, str]:
    indoors = draw.random() < 0.4 if inside is None else inside
    if part == _FOR_ROOMS or indoors:
        return {**_indoors(building), "reach": "out-of-reach"}
    return {
        "building": building, "setting": "outdoor", "reach": "out-of-reach",
        "ambient_min": draw.choice(("-15 °C", "-10 °C")), "ambient_max": draw.choice(("35 °C", "40 °C")),
    }  # fmt: skip


def given(loaded: LoadedSite) -> Plan:
    """The plan of a site that was read, with the parts that it names; what it assumes and leaves open is written out."""
    parts = {
        name: part
        for source in loaded.catalogue.sources
        for name, part in source.document.value.get("parts", {}).items()
    }
    site = dict(loaded.document.value)
    site["assume"] = {**_usual(), **(site.get("assume") or {})}
    named = set(_strings(site))
    generic = {
        f"generic/{name}": part for name, part in _generic().items() if name in named or f"generic/{name}" in named
    }
    return _switched(Plan(site, {**generic, **{name: part for name, part in parts.items() if name in named}}))


def _switched(plan: Plan) -> Plan:
    """The plan with written out how each camera is switched, where that follows from what its part leaves open."""
    cameras = dict(plan.site.get("cameras") or {})
    for link in plan.facts().by_kind("link"):
        family, mode = link.known("family"), link.known("emitted_mode")
        if family and mode:
            name = link.subject.rpartition("/")[2]
            cameras[name] = {**cameras[name], "set": {"family": family, "mode": mode}}
    return Plan({**plan.site, "cameras": cameras}, plan.parts)


def _usual() -> dict[str, str]:
    """What the engine assumes of what both ends are known of."""
    rows = load_assumptions()
    return {name.replace("-", "_"): rows[name].written for name in ("conductor-temperature", "usable-share")}


@lru_cache(maxsize=1)
def _generic() -> Mapping[str, Any]:
    """Generic parts as their files have them."""
    found: dict[str, Any] = {}
    for file in generic_part_files():
        found.update(parse_document(file.read_text(encoding="utf-8"), file.name).value.get("parts", {}))
    return found


def _strings(value: object) -> list[str]:
    if isinstance(value, Mapping):
        return [text for each in value.values() for text in _strings(each)]
    if isinstance(value, list | tuple):
        return [text for each in value for text in _strings(each)]
    return [value] if isinstance(value, str) else []
