"""Random sites with faults put in, and what people then tell of them.

Faults are put in by hand here, not by the program's own data: another cable part where that only lengthens the run,
figures between its degrees. What shows is worked out from facts in plain Python, from the table in docs/diagnosis.md.
"""

from __future__ import annotations

import copy
import json
import random
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from coaxwright.checking import facts_of, load_site
from coaxwright.errors import Refusal
from coaxwright.facts.binding import Facts
from coaxwright.quiz import scenes
from coaxwright.quiz.bank import Bank
from coaxwright.reading.site_reader import LoadedSite, with_value

Site = dict[str, Any]
Key = tuple[str, str]


@dataclass(frozen=True)
class Broken:
    """A site as drawn, the same with faults in it, what these are, and what is told of it."""

    drawn: LoadedSite
    facts: Facts
    keys: frozenset[Key]
    seen: tuple[str, ...]


def drawn_site(bank: Bank, draw: random.Random, folder: Path, size: str) -> LoadedSite:
    """A sound random site, written to files and read back."""
    plan = scenes.generate(bank, draw, size)
    own = {name: part for name, part in plan.parts.items() if not name.startswith("generic/")}
    (folder / "p.yaml").write_text(json.dumps({"parts": own}))
    (folder / "s.site.yaml").write_text(json.dumps({**plan.site, "parts": ["p.yaml"]}))
    return load_site(folder / "s.site.yaml")


def _camera(site: Site, draw: random.Random) -> str:
    return draw.choice(sorted(site["cameras"]))


def thin_cable(site: Site, draw: random.Random) -> Key:
    name = _camera(site, draw)
    run = site["cameras"][name]["power"]["over"][0]
    run["cable"], run["length"] = "power-0.5mm2", f"{draw.randrange(90, 260)} m"
    return "power-cable-resistive", f"cameras/{name}"


def cut_power(site: Site, draw: random.Random) -> Key:
    name = _camera(site, draw)
    del site["cameras"][name]["power"]
    return "power-cable-open", f"cameras/{name}"


def open_fuse(site: Site, draw: random.Random) -> Key:
    output = site["cameras"][_camera(site, draw)]["power"]["from"]
    for camera in site["cameras"].values():
        if camera["power"]["from"] == output:
            del camera["power"]
    return "output-off", f"supplies/{output}"


def low_trim(site: Site, draw: random.Random) -> Key:
    site["supplies"]["psu1"]["trim"] = f"{draw.uniform(9.6, 11.4):.2f} V"
    return "supply-low", "supplies/psu1"


def high_trim(site: Site, draw: random.Random) -> Key:
    site["supplies"]["psu1"]["trim"] = f"{draw.uniform(13.4, 14.8):.2f} V"
    return "supply-high", "supplies/psu1"


def other_family(site: Site, draw: random.Random) -> Key:
    name = _camera(site, draw)
    site["cameras"][name]["set"]["family"] = draw.choice(("cvi", "ahd"))
    return "family-wrong", f"cameras/{name}"


def other_mode(site: Site, draw: random.Random) -> Key:
    name = _camera(site, draw)
    site["cameras"][name]["set"]["mode"] = draw.choice(("2592x1944@20", "2560x1440@25", "3840x2160@12.5", "2592x1944@12.5"))
    return "mode-wrong", f"cameras/{name}"


def lossy_video(site: Site, draw: random.Random) -> Key:
    name = _camera(site, draw)
    run = site["cameras"][name]["video"]["over"][0]
    run["cable"], run["length"] = "video-thin", f"{draw.randrange(300, 420)} m"
    return "video-cable-lossy", f"cameras/{name}"


def cut_video(site: Site, draw: random.Random) -> Key:
    name = _camera(site, draw)
    del site["cameras"][name]["video"]
    return "video-cable-open", f"cameras/{name}"


def steel_video(site: Site, draw: random.Random) -> Key:
    name = _camera(site, draw)
    site["cameras"][name]["video"]["over"][0]["cable"] = "video-6mm-steel"
    return "video-cable-steel", f"cameras/{name}"


def same_input(site: Site, draw: random.Random) -> Key:
    name, other = draw.sample(sorted(site["cameras"]), 2)
    site["cameras"][name]["video"]["into"] = site["cameras"][other]["video"]["into"]
    return "input-doubled", f"cameras/{name}"


def high_rate(site: Site, draw: random.Random) -> Key:
    for camera in site["cameras"].values():
        camera["record"]["bitrate"] = f"{draw.randrange(9, 24)} Mb/s"
    return "rate-set-high", "recorders/rec1"


def no_disk(site: Site, draw: random.Random) -> Key:
    site["recorders"]["rec1"]["disks"] = []
    return "disks-none", "recorders/rec1"


def erased(site: Site, draw: random.Random) -> Key:
    site["recorders"]["rec1"]["erase_after"] = f"{draw.randrange(2, 6)} days"
    return "erased-by-age", "recorders/rec1"


def slow_record(site: Site, draw: random.Random) -> Key:
    name = _camera(site, draw)
    site["cameras"][name]["record"]["rate"] = f"{draw.randrange(1, 6)} fps"
    return "rate-set-low", f"cameras/{name}"


FAULTS: tuple[Callable[[Site, random.Random], Key], ...] = (
    thin_cable, cut_power, open_fuse, low_trim, high_trim, other_family, other_mode, lossy_video, cut_video, steel_video,
    same_input, high_rate, no_disk, erased, slow_record,
)  # fmt: skip


def told_of_camera(facts: Facts, name: str) -> set[str]:
    """Symptoms of a camera, from its facts: the table of docs/diagnosis.md in plain Python."""
    camera, link = (facts.sheet(f"cameras/{name}", kind) for kind in ("camera", "link"))
    feed = facts.sheet(f"cameras/{name}", "feed")
    assert camera is not None
    told = set[str]()
    least = camera.known("volts_min")
    day, night = (feed.known(f"volts_{when}") if feed is not None else None for when in ("day", "night"))
    dead = not camera.known("has_power") or bool(day is not None and least and day < least)
    if not dead and night is not None and least is not None:
        told |= {"no picture at night"} if night < least else set()
        told |= {"lamp flickers at night and the picture stays"} if least <= night < least * 1.03 else set()
    if feed is not None and (feed.known("volts_idle") or 0) > (camera.known("volts_max") or 99):
        told.add("hot or dead since the supply was set")
    lost = link is None or link.known("outcome") in ("no-picture", "needs-setting")
    if dead or lost:
        return told | {"no picture"}
    assert link is not None
    loss, limit = link.known("loss"), link.known("loss_limit")
    if loss is not None and limit is not None and loss > limit:
        told.add("snow or weak colour")
    told |= {"picture tears or rolls"} if link.known("clad_steel") else set()
    told |= {"two pictures fight on one channel"} if len(link.known("input").known("cameras")) > 1 else set()
    told |= {"full screen and half the detail"} if link.known("outcome") == "reduced-width" else set()
    wanted, recorded = camera.known("wants_rate"), camera.known("recorded_fps")
    told |= {"recording is jerky and live is smooth"} if wanted and recorded is not None and recorded < wanted else set()
    return told


def told_of_recorder(facts: Facts, name: str) -> set[str]:
    """Symptoms of a recorder, likewise."""
    disks = next((each for each in facts.by_kind("disk_group") if each.known("recorder").known("name") == name), None)
    if disks is None:
        return set()
    if disks.known("disks") == 0:
        return {"nothing is recorded"}
    days, wanted = disks.known("days_held"), disks.known("days_wanted")
    return {"recordings are kept too short"} if days is not None and wanted is not None and days < wanted else set()


def told(facts: Facts) -> set[str]:
    """Everything that shows on a site."""
    cameras = [sheet.known("name") for sheet in facts.by_kind("camera")]
    recorders = [sheet.known("name") for sheet in facts.by_kind("recorder")]
    found = {f"cameras/{name}: {each}" for name in cameras for each in told_of_camera(facts, name)}
    return found | {f"recorders/{name}: {each}" for name in recorders for each in told_of_recorder(facts, name)}


def broken(bank: Bank, draw: random.Random, folder: Path, count: int, size: str = "small") -> Broken | None:
    """A random site with so many faults in it, each of which shows something of its own, and one symptom told of each.

    None where this draw makes none.
    """
    loaded = drawn_site(bank, draw, folder, size)
    clean = told(facts_of(loaded))
    site: Site = copy.deepcopy(dict(loaded.document.value))
    keys, seen = list[Key](), list[str]()
    for fault in draw.sample(FAULTS, count):
        before = _facts(loaded, site)
        try:
            keys.append(fault(site, draw))
        except (KeyError, IndexError):
            return None
        after = _facts(loaded, site)
        new = sorted(told(after) - told(before)) if before is not None and after is not None else []
        if not new:
            return None
        seen.append(draw.choice(new))
    facts = _facts(loaded, site)
    whole = told(facts) if facts is not None else set()
    if facts is None or clean or not set(seen) <= whole:
        return None
    return Broken(loaded, facts, frozenset(keys), tuple(seen))


def _facts(loaded: LoadedSite, site: Site) -> Facts | None:
    try:
        return facts_of(with_value(loaded, copy.deepcopy(site)))
    except Refusal:
        return None
