"""What can be wired: ports, lists of references, power trees, orphans. Rules of our own making."""

from __future__ import annotations

import random
import subprocess
import sys
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import networkx
import pytest

from coaxwright.topology import wiring
from coaxwright.topology.records import CablePath, Lists, Port
from coaxwright.topology.rings import rings
from coaxwright.topology.wiring import Topology

Wire = Callable[..., Topology]

WHOLE = """
switches: {sw1: {part: hollin/switch, into: rec1/net1}}
monitors: {m1: {part: hollin/screen, from: rec1/main-screen}}
boxes:
  a1: {part: hollin/arrester}
  a2: {part: hollin/arrester, power: {from: jb1}}
  spare: {part: hollin/arrester}
junctions:
  jb2: {power: {from: jb1, over: [{cable: dc-1.5mm2, length: 5 m}]}}
  jb1: {power: {from: psu1/2, over: [{cable: dc-1.5mm2, length: 5 m}]}}
  idle: {power: {from: psu1/3}}
  lost: {}
cameras:
  c1:
    part: fennick/cam
    video:
      into: rec1/1
      over: [{cable: rg59-copper, length: 9 m}, {box: a1}, {cable: rg59-copper, length: 9 m}]
    power: {from: psu1/1}
    sound: {into: rec1/audio1}
    control: {into: rec1/rs485, address: 1}
  c2: {part: fennick/cam, video: {into: rec1/1}, power: {from: jb2}, sound: {by: coax}}
  c3: {part: fennick/cam, video: {into: rec1/9}, power: {from: psu1/7}}
  c4: {part: fennick/cam, power: {from: psu1/1}}
  c5: {part: fennick/cam, video: {into: rec1/2}}
  c6: {part: fennick/cam, power: {from: lost}}
  c7: {part: fennick/cam, power: {from: sw1/3}}
"""


@pytest.fixture
def whole(wire: Wire) -> Topology:
    return wire(WHOLE)


def _owners(paths: list[CablePath]) -> list[str]:
    return [path.owner for path in paths]


def test_targets(whole: Topology) -> None:
    lists = whole.lists
    assert lists.video["c1"].target == Port("recorder", "rec1", "recorder-video-in", 1)
    assert lists.power["c1"].target == Port("supply", "psu1", "supply-out", 1)
    assert lists.sound["c1"].target == Port("recorder", "rec1", "recorder-audio-in", 1)
    assert lists.control["c1"].target == Port("recorder", "rec1", "serial", 0)
    assert lists.power["c2"].target == Port("junction", "jb2", "junction-tap", 0)
    assert lists.power["c7"].target == Port("switch", "sw1", "poe-port", 3)
    assert lists.uplinks["sw1"].target == Port("recorder", "rec1", "network", 1)
    assert lists.screens["m1"].target == Port("recorder", "rec1", "monitor-out", 0, "main-screen")
    assert lists.sound["c2"].target is None
    assert lists.device_power["box", "a2"].target == Port("junction", "jb1", "junction-tap", 0)
    assert lists.video["c1"].pointer == ("cameras", "c1", "video")
    assert lists.uplinks["sw1"].subject == "switches/sw1"
    assert lists.video["c1"].hops is not None
    assert len(lists.video["c1"].hops) == 3
    assert lists.video["c2"].hops is None


def test_shared_ports_and_ports_that_do_not_exist_are_kept_for_the_rules(whole: Topology) -> None:
    lists = whole.lists
    assert _owners(lists.inputs["rec1", 1]) == ["c1", "c2"]
    assert _owners(lists.inputs["rec1", 9]) == ["c3"]
    assert _owners(lists.outputs["psu1", 1]) == ["c1", "c4"]
    assert _owners(lists.outputs["psu1", 7]) == ["c3"]
    assert _owners(lists.video_into["rec1"]) == ["c1", "c2", "c3", "c5"]
    assert _owners(lists.taps["jb1"]) == ["jb2", "a2"]


def test_orphans_are_absent_from_the_lists(whole: Topology) -> None:
    lists = whole.lists
    assert "c4" not in lists.video
    assert "c5" not in lists.power
    assert ("psu1", 4) not in lists.outputs
    assert "idle" not in lists.taps
    assert ("junction", "lost") not in lists.device_power
    assert "spare" not in lists.box_uses
    assert "rec2" not in lists.video_into


def test_power_trees_have_parents_first(whole: Topology) -> None:
    tree = whole.trees["psu1"]
    names = [path.owner for path in tree.paths]
    assert sorted(names) == ["a2", "c1", "c2", "c3", "c4", "idle", "jb1", "jb2"]
    above = {name: names[parent] if parent >= 0 else "" for name, parent in zip(names, tree.parents, strict=True)}
    assert above["c2"] == "jb2"
    assert above["jb2"] == "jb1"
    assert above["a2"] == "jb1"
    assert above["jb1"] == above["c1"] == ""
    assert all(parent < index for index, parent in enumerate(tree.parents))
    assert [(tree.root, _owners(tree.paths)) for tree in whole.unfed] == [
        ("junctions/lost", ["c6"]),
        ("switches/sw1", ["c7"]),
    ]


def test_a_supply_without_loads_has_an_empty_tree(wire: Wire) -> None:
    topology = wire("cameras: {}\n")
    assert topology.trees["psu1"].paths == []
    assert topology.unfed == []


def test_graph_counts(whole: Topology) -> None:
    """Every path gives its two ports, two for each box on it, and one link more than boxes; junctions one
    inside.
    """
    graph = whole.graph
    joined = [path for path in whole.lists.paths if path.target is not None]
    boxes = sum(hop.box is not None for path in joined for hop in path.hops or ())
    assert boxes == 1
    assert len(joined) == 18
    own = len(joined)
    targets = len({path.target for path in joined})
    assert graph.number_of_nodes() == own + targets + 2 * boxes
    through = 2  # jb1 and jb2 are fed and feed; `idle` feeds nothing, `lost` is not fed
    assert graph.number_of_edges() == own + 2 * boxes + through
    assert networkx.is_directed_acyclic_graph(graph)


def test_graph_kinds_and_directions(whole: Topology) -> None:
    nodes = whole.graph.nodes
    assert nodes["cameras/c1/video"] == {"kind": "camera-video", "direction": "out", "device": "cameras/c1"}
    assert nodes["recorders/rec1/1"] == {
        "kind": "recorder-video-in", "direction": "in", "device": "recorders/rec1",
    }  # fmt: skip
    assert nodes["supplies/psu1/1"]["direction"] == "out"
    assert nodes["junctions/jb1"]["kind"] == "junction-tap"
    assert nodes["junctions/jb1/power"]["direction"] == "in"
    assert nodes["recorders/rec1/audio1"]["kind"] == "recorder-audio-in"
    assert nodes["recorders/rec1/rs485"]["direction"] == "both"
    assert nodes["recorders/rec1/main-screen"]["kind"] == "monitor-out"
    assert nodes["recorders/rec1/net1"]["kind"] == "network"
    assert nodes["boxes/a1/video-in"]["kind"] == "box-in"
    for near, far in whole.graph.edges:
        assert nodes[near]["direction"] in ("out", "both") or nodes[near]["kind"] in (
            "box-in",
            "camera-power",
        )
        assert nodes[far]["direction"] in ("in", "both") or nodes[far]["kind"] in ("box-out", "junction-tap")


def test_graph_leads_from_supply_to_camera_and_from_camera_to_recorder(whole: Topology) -> None:
    graph = whole.graph
    way = networkx.shortest_path(graph, "supplies/psu1/2", "cameras/c2/power")
    assert way == [
        "supplies/psu1/2", "junctions/jb1/power", "junctions/jb1", "junctions/jb2/power", "junctions/jb2",
        "cameras/c2/power",
    ]  # fmt: skip
    way = networkx.shortest_path(graph, "cameras/c1/video", "recorders/rec1/1")
    assert way == ["cameras/c1/video", "boxes/a1/video-in", "boxes/a1/video-out", "recorders/rec1/1"]
    assert graph.edges["boxes/a1/video-in", "boxes/a1/video-out"]["use"] == "inside"
    assert graph.edges["cameras/c1/video", "boxes/a1/video-in"]["path"] is whole.lists.video["c1"]
    assert whole.graph is graph


def test_networkx_is_imported_only_for_the_graph(load: Callable[..., object], tmp_path: Path) -> None:
    """It takes about 0.1 s: a check of a site with trunks does without it."""
    load(WHOLE)
    code = (
        "import sys\n"
        "from coaxwright.reading.site_reader import read_site\n"
        "from coaxwright.topology.wiring import build_topology\n"
        "topology = build_topology(read_site(sys.argv[1]))\n"
        "before = 'networkx' in sys.modules\n"
        "topology.graph\n"
        "print(before, 'networkx' in sys.modules)\n"
    )
    engine = Path(wiring.__file__).parents[2]
    call = [sys.executable, "-c", code, str(tmp_path / "pier.site.yaml")]
    run = subprocess.run(call, capture_output=True, text=True, check=True, env={"PYTHONPATH": str(engine)})
    assert run.stdout.split() == ["False", "True"]


def test_rings_are_those_that_networkx_finds() -> None:
    """200 random wirings of junctions against `networkx.simple_cycles`, an independent implementation."""
    dice = random.Random(8)
    with_ring = 0
    for _ in range(200):
        names = [f"j{number}" for number in range(dice.randint(1, 12))]
        sources = {name: dice.choice([*names, None, None]) for name in names}
        lists = Lists()
        for name, source in sources.items():
            if source is not None:
                target = Port("junction", source, "junction-tap", 0)
                path = CablePath("junction", name, "power", ("junctions", name, "power"), target, ())
                lists.device_power["junction", name] = path
        graph = networkx.DiGraph([(name, source) for name, source in sources.items() if source is not None])
        expected = {frozenset(cycle) for cycle in networkx.simple_cycles(graph)}
        said = [what.rpartition(": ")[2].split(" -> ") for (what, _), _ in rings(lists)]
        assert {frozenset(ring) for ring in said} == expected
        assert len(said) == len(expected)
        assert all(sources[near] == far for ring in said for near, far in pairwise(ring))
        with_ring += bool(expected)
    assert 50 < with_ring < 200
