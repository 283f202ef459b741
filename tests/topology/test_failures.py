"""Which cameras go dark when one part fails: hand-worked sites, and random sites against brute force.

The brute force knows nothing of a graph: it takes the site file as plain data, calls one part broken, and walks from each
camera along what is written (docs/how-facts-are-computed.md, "If one part fails"). That one failing thing takes with it all
that hangs on it is common practice; which levels of redundancy survive a disk: SNIA Disk Data Format.
"""

from __future__ import annotations

import os
import random
from collections.abc import Callable
from typing import Any

import networkx
import pytest
import yaml

from coaxwright.topology.failures import Failures, Lost
from coaxwright.topology.needs import Loss
from coaxwright.topology.wiring import Topology

Wire = Callable[..., Topology]
KINDS = ("power", "picture", "recording", "kept")
SITES = 300 if os.environ.get("COAXWRIGHT_FULL") else 60
DISK = "fennick/disk"
PARTS_HEAD = """
site: Test pier
parts: [parts.yaml]
"""


def _failures(topology: Topology) -> Failures:
    return Failures(topology.site, topology.lists)


def _told(lost: Lost) -> dict[str, tuple[str, ...]]:
    return {kind: getattr(lost, kind) for kind in KINDS}


# By hand


TRUNK = """
    junctions:
      j1: {power: {from: psu1/1, over: [{cable: dc-1.5mm2, length: 30 m}]}}
      j2: {power: {from: j1, over: [{cable: dc-1.5mm2, length: 20 m}]}}
    cameras:
      c1: {part: fennick/cam, video: {into: rec1/1, over: [{cable: RG-59, length: 40 m}]}, power: {from: j1, over: []}}
      c2: {part: fennick/cam, video: {into: rec1/2, over: [{cable: RG-59, length: 40 m}]}, power: {from: j2, over: []}}
      c3: {part: fennick/cam, video: {into: rec1/3, over: [{cable: RG-59, length: 40 m}]}, power: {from: psu1/2, over: []}}
      c4: {part: fennick/cam, video: {into: rec1/4}}
"""


@pytest.mark.parametrize(
    ("part", "power", "picture"),
    [
        ("supplies/psu1", "c1 c2 c3", "c1 c2 c3"),
        ("supplies/psu1/1", "c1 c2", "c1 c2"),
        ("supplies/psu1/2", "c3", "c3"),
        ("supplies/psu1/3", "", ""),
        ("junctions/j1", "c1 c2", "c1 c2"),
        ("junctions/j2", "c2", "c2"),
        ("junctions/j1/power/over/0", "c1 c2", "c1 c2"),
        ("junctions/j2/power/over/0", "c2", "c2"),
        ("cameras/c3/video/over/0", "", "c3"),
        ("recorders/rec1", "", "c1 c2 c3 c4"),
    ],
)
def test_a_trunk(wire: Wire, part: str, power: str, picture: str) -> None:
    lost = _failures(wire(TRUNK)).lost_with(part)
    assert (lost.power, lost.picture) == (tuple(power.split()), tuple(picture.split()))
    assert lost.recording == lost.picture
    assert lost.kept == ()


def test_single_points_come_by_cameras_lost(wire: Wire) -> None:
    points = [(each.part, len(each.dark)) for each in _failures(wire(TRUNK)).single_points()]
    assert points == [
        ("recorders/rec1", 4), ("supplies/psu1", 3), ("junctions/j1", 2), ("supplies/psu1/1", 2),
        ("junctions/j1/power/over/0", 2), ("junctions/j2", 1), ("supplies/psu1/2", 1), ("junctions/j2/power/over/0", 1),
        ("cameras/c1/video/over/0", 1), ("cameras/c2/video/over/0", 1), ("cameras/c3/video/over/0", 1),
    ]  # fmt: skip


def test_parts_that_all_cameras_of_a_group_need(wire: Wire) -> None:
    failures = _failures(wire(TRUNK))
    assert failures.parts_of(["c1", "c2"]) == [
        "recorders/rec1", "supplies/psu1", "junctions/j1", "supplies/psu1/1", "junctions/j1/power/over/0",
    ]  # fmt: skip
    assert failures.parts_of(["c1", "c3"]) == ["recorders/rec1", "supplies/psu1"]
    assert failures.parts_of(["c1", "c4"]) == ["recorders/rec1"]
    assert failures.parts_of([]) == []


def test_a_recorder_falls_with_its_supply_and_a_box_with_its_own(wire: Wire) -> None:
    failures = _failures(wire("""
        boxes: {b1: {part: hollin/arrester, power: {from: psu1/3, over: []}}}
        cameras:
          c1: {part: fennick/cam, video: {into: rec1/1, over: [{box: b1}]}, power: {from: psu2/1, over: []}}
          c2: {part: fennick/cam, video: {into: rec1/2, over: []}, power: {from: psu1/2, over: []}}
        """, """
site: Test pier
parts: [parts.yaml]
recorders: {rec1: {part: tarnwell/rec, power: {from: psu2/2, over: []}}}
supplies: {psu1: {part: tarnwell/psu}, psu2: {part: tarnwell/psu}}
"""))  # fmt: skip
    assert _told(failures.lost_with("supplies/psu2")) == {
        "power": ("c1",), "picture": ("c1", "c2"), "recording": ("c1", "c2"), "kept": (),
    }  # fmt: skip
    assert _told(failures.lost_with("supplies/psu1")) == {
        "power": ("c2",), "picture": ("c1", "c2"), "recording": ("c1", "c2"), "kept": (),
    }  # fmt: skip
    for part in ("boxes/b1", "supplies/psu1/3"):
        assert failures.lost_with(part).picture == ("c1",)
        assert failures.lost_with(part).power == ()


NETWORK = """
    switches:
      sw1: {part: hollin/switch, into: rec1/net1, over: [{cable: cat6, length: 20 m}]}
      sw2: {part: hollin/switch, into: sw1/8, over: [{cable: cat6, length: 30 m}]}
    cameras:
      near:
        part: fennick/cam
        network: {into: sw1/1, over: [{cable: cat6, length: 20 m}]}
        power: {from: sw1/1, over: [{cable: cat6, length: 20 m}]}
      far: {part: fennick/cam, network: {into: sw2/1, recorder: rec1}, power: {from: sw2/1}}
      other: {part: fennick/cam, network: {into: sw2/2, recorder: rec2}, power: {from: psu1/1}}
      own: {part: fennick/cam, network: {into: rec1/poe1, recorder: rec2}, power: {from: rec1/poe1}}
"""
TWO = """
site: Test pier
parts: [parts.yaml]
recorders: {rec1: {part: tarnwell/rec}, rec2: {part: tarnwell/rec}}
supplies: {psu1: {part: tarnwell/psu}}
"""


def test_a_network(wire: Wire) -> None:
    """`near` names no recorder and is joined to a switch: as drawn nothing records it."""
    failures = _failures(wire(NETWORK, TWO))
    parts = ("switches/sw1", "switches/sw2", "recorders/rec1", "recorders/rec2")
    lost = {part: _told(failures.lost_with(part)) for part in parts}
    assert lost["switches/sw1"]["power"] == ("near",)
    assert lost["switches/sw1"]["picture"] == ("far", "other")
    assert lost["switches/sw2"]["power"] == ("far",)
    assert lost["switches/sw2"]["picture"] == ("far", "other")
    assert lost["recorders/rec1"]["power"] == ("own",)
    assert lost["recorders/rec1"]["picture"] == ("far", "own")  # `other` goes from sw1 to rec2 by a way nobody drew
    assert lost["recorders/rec2"]["picture"] == ("other", "own")
    assert failures.lost_with("switches/sw1/over/0").picture == ("far",)
    assert failures.lost_with("switches/sw2/over/0").picture == ("far", "other")
    assert failures.part_of("cameras/near/power/over/0") == "cameras/near/network/over/0"
    assert failures.lost_with("cameras/near/network/over/0").power == ("near",)
    assert "cameras/near/power/over/0" not in failures.parts


def test_a_network_cable_written_the_other_way_round_is_one_cable(wire: Wire) -> None:
    """Power is written from the switch, the network from the camera: the first piece of one is the last of the other."""
    failures = _failures(wire("""
        switches: {sw1: {part: hollin/switch, into: rec1/net1}}
        cameras:
          c1:
            part: fennick/cam
            network: {into: sw1/1, recorder: rec1, over: [{cable: cat6, length: 20 m}, {cable: cat6, length: 5 m}]}
            power: {from: sw1/1, over: [{cable: cat6, length: 5 m}, {cable: cat6, length: 20 m}]}
        """))  # fmt: skip
    assert failures.part_of("cameras/c1/power/over/0") == "cameras/c1/network/over/1"
    assert failures.part_of("cameras/c1/power/over/1") == "cameras/c1/network/over/0"
    assert failures.lost_with("cameras/c1/network/over/1").power == ("c1",)


def test_a_disk_among_several_darkens_nobody(wire: Wire) -> None:
    """It takes part of what was recorded; the recordings go on, so no camera goes dark with it."""
    head = f"{PARTS_HEAD}recorders: {{rec1: {{part: tarnwell/rec, disks: [{DISK}, {DISK}]}}}}\n"
    failures = _failures(wire("cameras: {c1: {part: fennick/cam, video: {into: rec1/1}}}", head))
    assert failures.parts_of(["c1"]) == ["recorders/rec1"]
    assert [(each.part, each.dark, each.kept) for each in failures.single_points()] == [
        ("recorders/rec1", ("c1",), ()), ("recorders/rec1/disk", (), ("c1",)),
    ]  # fmt: skip


def test_what_is_a_part(wire: Wire) -> None:
    failures = _failures(wire(TRUNK))
    for subject in ("recorders/rec1", "supplies/psu1", "supplies/psu1/1", "junctions/j1", "junctions/j1/power/over/0"):
        assert failures.part_of(subject) == subject
    for subject in ("site", "cameras/c1", "recorders/rec1/1", "monitors/m1", "areas/a", "junctions/j1/power/over/1"):
        assert failures.part_of(subject) is None


@pytest.mark.parametrize(
    ("written", "recording", "kept"),
    [
        ("", (), ()),
        ("disks: [D]", ("c1",), ("c1",)),
        ("disks: [D, D]", (), ("c1",)),
        ("disks: [D, D], spare_disks: 1", ("c1",), ("c1",)),
        ("disks: [D, D], redundancy: raid0", ("c1",), ("c1",)),
        ("disks: [D, D], redundancy: raid1", (), ()),
        ("disks: [D], redundancy: raid1", ("c1",), ("c1",)),
        ("disks: [D, D, D], redundancy: raid5", (), ()),
        ("disks: [D, D, D, D], redundancy: raid5, spare_disks: 2", ("c1",), ("c1",)),
        ("disks: [D, D, D, D], redundancy: raid6", (), ()),
        ("disks: [D, D, D, D, D], redundancy: raid10", ("c1",), ("c1",)),
        ("disks: []", (), ()),
    ],
)
def test_one_disk(wire: Wire, written: str, recording: tuple[str, ...], kept: tuple[str, ...]) -> None:
    entry = f"{{part: tarnwell/rec, {written.replace('D', DISK)}}}" if written else "{part: tarnwell/rec}"
    head = f"{PARTS_HEAD}recorders: {{rec1: {entry}}}\n"
    failures = _failures(wire("cameras: {c1: {part: fennick/cam, video: {into: rec1/1}}}", head))
    lost = failures.lost_with("recorders/rec1/disk")
    assert (lost.power, lost.picture, lost.recording, lost.kept) == ((), (), recording, kept)
    nothing_stored = written == "disks: []"
    assert failures.lost_with("recorders/rec1").recording == (() if nothing_stored else ("c1",))


# Random sites against brute force


def _hops(dice: random.Random, cable: str, boxes: list[str], jackets: list[str]) -> list[Any] | None:
    """A way: sometimes nobody wrote it, else some runs, now and then in a shared jacket, and a box of its own."""
    if dice.random() < 0.1:
        return None
    found: list[Any] = []
    for _ in range(dice.randint(0, 2)):
        run: dict[str, Any] = {"cable": cable, "length": f"{dice.randint(1, 9)} m"}
        if jackets and dice.random() < 0.25:
            run["sheath"] = dice.choice(jackets)
        found.append(run)
    if boxes and dice.random() < 0.3:
        found.insert(dice.randint(0, len(found)), {"box": boxes.pop()})
    return found


def _path(key: str, port: str, over: list[Any] | None) -> dict[str, Any]:
    return {key: port} | ({} if over is None else {"over": over})


def _random_site(dice: random.Random) -> dict[str, Any]:
    """Supplies, trunks, boxes with and without power, a tree of switches, recorders, disks of every level."""
    boxes, jackets = [f"b{n}" for n in range(6)], ["s1", "s2", "s3"]
    site: dict[str, Any] = {"site": "Random pier", "parts": ["parts.yaml"], "supplies": {}, "junctions": {}, "boxes": {}}
    for n in range(dice.randint(1, 3)):
        site["supplies"][f"p{n}"] = {"part": "tarnwell/psu"}
    outputs = [f"{name}/{n}" for name in site["supplies"] for n in range(1, 5)]
    for n in range(dice.randint(0, 4)):
        sources = [*outputs, *site["junctions"]]
        entry = {} if dice.random() < 0.1 else {"power": _path("from", dice.choice(sources), _hops(dice, "dc-1.5mm2", boxes, []))}
        site["junctions"][f"j{n}"] = entry
    feeds = [*outputs, *site["junctions"]] if not site["junctions"] else [*outputs[:3], *site["junctions"], *site["junctions"]]
    site["recorders"] = {f"r{n}": _random_recorder(dice, feeds, boxes) for n in range(dice.randint(1, 2))}
    recorders = list(site["recorders"])
    site["switches"] = {}
    for n in range(dice.randint(0, 3)):
        into = dice.choice([*(f"{name}/net1" for name in recorders), *(f"{name}/8" for name in site["switches"])])
        way = _path("into", into, _hops(dice, "cat6", [], jackets)) if dice.random() < 0.85 else {}
        site["switches"][f"w{n}"] = {"part": "hollin/switch", **way}
    site["cameras"] = {
        f"c{n}": _random_camera(dice, site, feeds, boxes, jackets) for n in range(dice.randint(1, 9))
    }
    for n in range(6):
        power = {"power": {"from": dice.choice(outputs), "over": []}} if dice.random() < 0.5 else {}
        site["boxes"][f"b{n}"] = {"part": "hollin/arrester", **power}
    return site


def _random_recorder(dice: random.Random, feeds: list[str], boxes: list[str]) -> dict[str, Any]:
    entry: dict[str, Any] = {"part": "tarnwell/rec"}
    if dice.random() < 0.6:
        entry["power"] = _path("from", dice.choice(feeds), _hops(dice, "dc-1.5mm2", boxes, []))
    if dice.random() < 0.8:
        entry["disks"] = [DISK] * dice.randint(0, 5)
        entry["redundancy"] = dice.choice(["none", "raid0", "raid1", "raid5", "raid6", "raid10"])
        entry["spare_disks"] = dice.choice([0, 0, 1])
    return entry


def _random_camera(
    dice: random.Random, site: dict[str, Any], feeds: list[str], boxes: list[str], jackets: list[str]
) -> dict[str, Any]:
    entry: dict[str, Any] = {"part": "fennick/cam"}
    recorders, switches = list(site["recorders"]), list(site["switches"])
    if switches and dice.random() < 0.4:
        port = f"{dice.choice(switches)}/{dice.randint(1, 7)}"
        over = _hops(dice, "cat6", [], jackets)
        entry["network"] = _path("into", port, over)
        if dice.random() < 0.9:
            entry["network"]["recorder"] = dice.choice(recorders)
        if dice.random() < 0.7:
            bare = None if over is None else [{k: v for k, v in hop.items() if k != "sheath"} for hop in over]
            entry["power"] = _path("from", port, bare)
            return entry
    elif dice.random() < 0.25:
        port = f"{dice.choice(recorders)}/poe{dice.randint(1, 4)}"
        entry["network"], entry["power"] = _path("into", port, []), _path("from", port, [])
        if dice.random() < 0.4:
            entry["network"]["recorder"] = dice.choice(recorders)
        return entry
    elif dice.random() < 0.9:
        entry["video"] = _path("into", f"{dice.choice(recorders)}/{dice.randint(1, 4)}", _hops(dice, "RG-59", boxes, jackets))
    if dice.random() < 0.85:
        entry["power"] = _path("from", dice.choice(feeds), _hops(dice, "dc-1.5mm2", boxes, []))
    return entry


class _Broken:
    """One site with one part broken, walked by hand: does a camera still have its power, picture, recording?"""

    def __init__(self, site: dict[str, Any], part: str) -> None:
        self.site, self.part = site, part

    def has(self, subject: str) -> bool:
        return subject != self.part

    def way(self, subject: str, path: dict[str, Any], twin: tuple[str, dict[str, Any]] | None = None) -> bool:
        """Every run and box of a path works. `twin`: the network path over whose cable the power goes too."""
        for place, hop in enumerate(path.get("over") or []):
            if "box" in hop:
                if not self.box(hop["box"]):
                    return False
                continue
            name, over = (subject, path) if twin is None else twin
            jacket = hop.get("sheath") or over["over"][place].get("sheath")
            if not self.has(f"sheaths/{jacket}" if jacket else f"{name}/over/{place}"):
                return False
        return True

    def box(self, name: str) -> bool:
        entry = self.site["boxes"][name]
        return self.has(f"boxes/{name}") and ("power" not in entry or self.fed(f"boxes/{name}/power", entry["power"]))

    def fed(self, subject: str, path: dict[str, Any], twin: tuple[str, dict[str, Any]] | None = None) -> bool:
        device, _, port = path["from"].partition("/")
        if not self.way(subject, path, twin):
            return False
        if device in self.site["junctions"]:
            entry = self.site["junctions"][device]
            own = self.has(f"junctions/{device}")
            return own and ("power" not in entry or self.fed(f"junctions/{device}/power", entry["power"]))
        if device in self.site["supplies"]:
            return self.has(f"supplies/{device}") and self.has(f"supplies/{device}/{port}")
        return self.has(f"switches/{device}") if device in self.site["switches"] else self.recorder(device)

    def recorder(self, name: str) -> bool:
        entry = self.site["recorders"][name]
        runs = "power" not in entry or self.fed(f"recorders/{name}/power", entry["power"])
        return runs and self.has(f"recorders/{name}")

    def uphill(self, device: str, recorder: str) -> bool:
        """From a switch up to the recorder; a way that ends at another recorder is drawn up to its last switch only."""
        if device in self.site["recorders"]:
            return self.recorder(device)
        entry = self.site["switches"][device]
        above = entry.get("into", "").partition("/")[0]
        if not self.has(f"switches/{device}"):
            return False
        if not above or (above in self.site["recorders"] and above != recorder):
            return True
        return self.way(f"switches/{device}", entry) and self.uphill(above, recorder)

    def camera(self, name: str) -> dict[str, bool]:
        entry = self.site["cameras"][name]
        found: dict[str, bool] = {}
        if "power" in entry:
            twin = _same_cable(entry, name)
            found["power"] = self.fed(f"cameras/{name}/power", entry["power"], twin)
        recorder = _recorder_of(self.site, entry)
        if recorder is None:
            return found
        if "video" in entry:
            arrives = self.way(f"cameras/{name}/video", entry["video"])
        else:
            up = self.uphill(entry["network"]["into"].partition("/")[0], recorder)
            arrives = self.way(f"cameras/{name}/network", entry["network"]) and up
        found["picture"] = found.get("power", True) and arrives and self.recorder(recorder)
        disks = self.site["recorders"][recorder].get("disks")
        takes = _one_disk(self.site["recorders"][recorder])
        disk = self.has(f"recorders/{recorder}/disk")
        if disks is None or disks:
            found["recording"] = found["picture"] and (disk or takes != "all")
        if takes:
            found["kept"] = disk
        return found


def _recorder_of(site: dict[str, Any], entry: dict[str, Any]) -> str | None:
    if "video" in entry:
        return str(entry["video"]["into"].partition("/")[0])
    if "network" not in entry:
        return None
    named = entry["network"].get("recorder") or entry["network"]["into"].partition("/")[0]
    return named if named in site["recorders"] else None


def _same_cable(entry: dict[str, Any], name: str) -> tuple[str, dict[str, Any]] | None:
    """The network path whose cable carries the power as well: one port, the same pieces."""
    network, power = entry.get("network"), entry["power"]
    if network is None or network["into"] != power["from"]:
        return None
    pieces = [[(hop.get("cable"), hop.get("length")) for hop in path.get("over") or []] for path in (network, power)]
    return (f"cameras/{name}/network", network) if pieces[0] == pieces[1] and pieces[0] else None


def _one_disk(recorder: dict[str, Any]) -> str:
    """What one failing disk takes: `all`, `part`, or nothing."""
    disks = recorder.get("disks") or []
    members, level = len(disks) - recorder.get("spare_disks", 0), recorder.get("redundancy", "none")
    if not disks:
        return ""
    if level == "none":
        return "part" if members >= 2 else "all"
    survives = {
        "raid0": False, "raid1": members >= 2, "raid5": members >= 3, "raid6": members >= 4,
        "raid10": members >= 4 and members % 2 == 0,
    }[level]  # fmt: skip
    return "" if survives else "all"


def _parts(site: dict[str, Any]) -> list[str]:
    """Everything that may fail, whether or not a camera needs it."""
    found = [f"supplies/{name}" for name in site["supplies"]]
    found += [f"supplies/{name}/{n}" for name in site["supplies"] for n in range(1, 5)]
    found += [f"{group}/{name}" for group in ("junctions", "boxes", "switches", "recorders") for name in site[group]]
    found += [f"recorders/{name}/disk" for name in site["recorders"]] + [f"sheaths/s{n}" for n in (1, 2, 3)]
    for group in ("cameras", "junctions", "recorders", "boxes"):
        for name, entry in site[group].items():
            for use in ("video", "power", "network"):
                found += [f"{group}/{name}/{use}/over/{place}" for place in range(len(entry.get(use, {}).get("over") or []))]
    for name, entry in site["switches"].items():
        found += [f"switches/{name}/over/{place}" for place in range(len(entry.get("over") or []))]
    return found


def test_random_sites_against_brute_force(wire: Wire) -> None:
    """Every part of each site broken in turn; and every part that takes something is among the single points."""
    dice = random.Random(20261130)
    seen = dict.fromkeys(KINDS, 0)
    for _ in range(SITES):
        site = _random_site(dice)
        failures = _failures(wire(yaml.safe_dump(site, sort_keys=False), ""))
        whole = {name: _Broken(site, "").camera(name) for name in site["cameras"]}
        assert all(all(each.values()) for each in whole.values())
        lossy = set()
        for part in _parts(site):
            broken = {name: _Broken(site, part).camera(name) for name in site["cameras"]}
            expected = {kind: tuple(n for n, has in broken.items() if not has.get(kind, True)) for kind in KINDS}
            assert _told(failures.lost_with(part)) == expected, (part, yaml.safe_dump(site))
            if any(expected.values()):
                lossy.add(part)
            for kind in KINDS:
                seen[kind] += bool(expected[kind])
        assert {each.part for each in failures.single_points()} == lossy
        _shared(dice, site, failures, whole)
    assert min(seen.values()) > SITES // 3, seen


def _shared(dice: random.Random, site: dict[str, Any], failures: Failures, whole: dict[str, dict[str, bool]]) -> None:
    """`parts_of` some cameras: those with which each of them loses power, picture or recording."""
    names = dice.sample(list(site["cameras"]), dice.randint(1, min(3, len(site["cameras"]))))
    dark = {
        part
        for part in _parts(site)
        if all(
            not all(_Broken(site, part).camera(name).get(kind, True) for kind in KINDS[:3] if kind in whole[name])
            for name in names
        )
    }
    assert set(failures.parts_of(names)) == dark


def test_reach_is_that_of_networkx(wire: Wire) -> None:
    """`networkx.descendants`, an independent implementation, on the graph of needs of random sites."""
    dice = random.Random(14)
    for _ in range(SITES // 4):
        failures = _failures(wire(yaml.safe_dump(_random_site(dice), sort_keys=False), ""))
        graph = networkx.DiGraph([(node, each) for node, taken in failures.takes.items() for each in taken])
        for part in set(failures.parts) & set(graph):
            lost = [node for node in networkx.descendants(graph, part) if isinstance(node, Loss)]
            told = failures.lost_with(part)
            assert {(kind, name) for kind in KINDS for name in getattr(told, kind)} == {tuple(node) for node in lost}


def test_dominators_say_the_same_of_a_trunk(wire: Wire) -> None:
    """Where all power comes from one supply, the parts that a camera's power needs are its dominators, an independent
    algorithm (Cooper, Harvey, Kennedy, "A Simple, Fast Dominance Algorithm") on the port graph.
    """
    topology = wire(TRUNK)
    failures, ports = _failures(topology), topology.graph.copy()
    ports.add_edges_from(("supplies/psu1", f"supplies/psu1/{number}") for number in (1, 2))
    above = networkx.immediate_dominators(ports, "supplies/psu1")
    for camera in ("c1", "c2", "c3"):
        at, found = f"cameras/{camera}/power", set()
        while at != "supplies/psu1":
            at = above[at]
            found.add(at)
        parts = {part for part in found if not part.endswith("/power")}
        assert parts == {part for part in failures.parts if camera in failures.lost_with(part).power and "/over/" not in part}
