"""Faults of the engine that the second opinion found, each on the smallest site that shows it.

Sources: the sentences of docs/rules/facts.md and the rules' own titles; figures as written beside each.
"""

from __future__ import annotations

from coaxwright.facts.binding import compute_facts
from coaxwright.facts.power import power_solving
from coaxwright.facts.power.loads import Load
from coaxwright.topology.wiring import build_topology

from . import comparing
from .comparing import engine_facts

RECORDER = {
    "kind": "recorder", "source": "invented", "sound": {"line_inputs": 2}, "control": {"serial": {}},
    "network": {"cameras": 4, "ports": 1, "poe_ports": 4, "poe_watts": "60 W", "poe_class_port": 4},
    "inputs": [{"channels": "1-4", "accepts": [{"family": "tvi", "mode": "1920x1080@25"}]}],
}  # fmt: skip
CAMERA = {"kind": "camera", "source": "invented", "emits": [{"family": "tvi", "mode": "1920x1080@25"}]}
NETWORKED = {
    "kind": "camera", "source": "invented", "network": {"mode": "1920x1080@25"}, "power": {"kind": "poe", "poe_class": 3},
}  # fmt: skip
PARTS = {
    "tarnwell/recorder": RECORDER, "fennick/camera": CAMERA, "brackwater/net": NETWORKED,
    "hollin/pickup": {"kind": "pickup", "source": "invented", "reach": "20 m"},
    "hollin/switch": {"kind": "switch", "source": "invented", "ports": 4},
    "own/amplifier": {"kind": "box", "source": "invented", "does": "amplifier", "gain": "12 dB", "gain_max_input": "3 dB"},
    "own/converter": {"kind": "box", "source": "invented", "does": "converter", "power": {"kind": "poe", "poe_class": 3}},
}  # fmt: skip


def facts_of(cameras, **more):
    return engine_facts({"site": "s", "recorders": {"r1": {"part": "tarnwell/recorder"}}, "cameras": cameras, **more}, PARTS)


def run_of(metres, cable="cat5e"):
    return {"cable": cable, "length": f"{metres} m"}


def test_a_network_camera_may_have_a_sound_line_of_its_own():
    """It was said that no coax leads to it; a pickup on a free line input needs none (docs: table of sound on a line)."""
    sound = {"into": "r1/audio1", "over": [run_of(20)], "pickup": "hollin/pickup"}
    facts = facts_of({"c1": {"part": "brackwater/net", "network": {"into": "r1/net1"}, "sound": sound}})
    assert facts.sheet("cameras/c1", "camera").sound_works is True
    assert facts.sheet("cameras/c1/sound/over/0", "run").metres == 20


def test_network_cable_of_a_camera_that_nothing_records_is_a_run():
    way = {"into": "w1/1", "over": [run_of(30)]}
    facts = facts_of({"c1": {"part": "brackwater/net", "network": way}}, switches={"w1": {"part": "hollin/switch"}})
    assert facts.sheet("cameras/c1/network/over/0", "run").metres == 30


def test_cable_of_a_switch_is_named_where_it_stands():
    """`switches/w1/network/over/0/length` was to be supplied, which is no place in a site file."""
    way = [{"cable": "cat5e", "buried": True}]
    facts = facts_of({}, switches={"w1": {"part": "hollin/switch", "into": "r1/net1", "over": way}})
    for kind in ("run", "laying"):
        sheet = facts.sheet("switches/w1/over/0", kind)
        assert sheet.missing("metres") == ("switches/w1/over/0/length",)


def test_alternating_current_reaches_a_jacket_through_a_junction():
    """Only a supply named by the run itself counted: 24 V AC beside a picture passed unseen."""
    shared = {**run_of(10), "sheath": "s1"}
    camera = {
        "part": "fennick/camera", "video": {"into": "r1/1", "over": [shared]}, "power": {"from": "j1", "over": [shared]},
    }  # fmt: skip
    origin = {"power": {"from": "p1/1", "over": [run_of(5)]}}
    supplies = {"p1": {"part": "generic/ac24-4a-4way"}}
    facts = facts_of({"c1": camera}, supplies=supplies, junctions={"j1": origin})
    assert facts.sheet("sheaths/s1", "sheath").alternating is True
    facts = facts_of({"c1": camera}, supplies=supplies, junctions={"j1": {}})
    assert facts.sheet("sheaths/s1", "sheath").known("alternating") is None


def test_a_way_that_nobody_wrote_has_no_known_pieces():
    """It counted as a way without an arrester."""
    place = {"setting": "outdoor", "height": "9 m"}
    facts = facts_of({"c1": {"part": "fennick/camera", "video": {"into": "r1/1"}, "place": place}})
    assert facts.sheet("cameras/c1", "link").known("hops") is None
    assert facts.sheet("cameras/c1", "exposure").known("arrested") is None


def test_a_junction_on_nothing_still_has_its_protective_device():
    facts = facts_of({}, junctions={"j1": {"protective_device": "2 A"}})
    assert facts.sheet("junctions/j1", "junction").amps_protective == 2


def test_a_junction_on_a_network_port_counts_its_cameras():
    camera = {"part": "fennick/camera", "power": {"from": "j1"}}
    facts = facts_of({"c1": camera, "c2": camera}, junctions={"j1": {"power": {"from": "r1/poe1"}, "protective_device": "1 A"}})
    sheet = facts.sheet("junctions/j1", "junction")
    assert (sheet.cameras, sheet.amps_protective) == (2, 1)


def test_a_second_device_on_a_powered_port_lies_where_it_lies():
    power = {"from": "r1/poe1", "over": [run_of(10)]}
    facts = facts_of({name: {"part": "brackwater/net", "power": power, "place": {"setting": "outdoor"}} for name in ("c1", "c2")})
    assert facts.sheet("cameras/c2/power/over/0", "run").setting == "outdoor"


def test_runs_behind_a_converter_keep_their_places():
    """Their subjects and lines moved up by one, so that a finding pointed at the converter."""
    power = {"from": "r1/poe1", "over": [{"box": "x1"}, run_of(10)]}
    facts = facts_of({"c1": {"part": "fennick/camera", "power": power}}, boxes={"x1": {"part": "own/converter"}})
    assert facts.sheet("cameras/c1/power/over/0", "run") is None
    assert facts.sheet("cameras/c1/power/over/1", "run").pointer == ("cameras", "c1", "power", "over", 1)


def test_the_joint_between_two_runs_counts_before_an_amplifier():
    """0.1 dB a joint: table of assumptions, common practice."""
    over = [run_of(50, "rg59-copper"), run_of(50, "rg59-copper"), {"box": "x1"}]
    camera = {"part": "fennick/camera", "video": {"into": "r1/1", "over": over}}
    facts = facts_of({"c1": camera}, boxes={"x1": {"part": "own/amplifier"}})
    pieces = [facts.sheet(f"cameras/c1/video/over/{index}", "hop") for index in range(3)]
    assert abs(pieces[2].loss_before - (pieces[0].loss + pieces[1].loss + 0.1)) < 1e-9
    assert any("0.1 (joint)" in line for line in facts.working(pieces[2], "loss_before"))


def test_working_of_an_alternating_class_2_limit_is_from_its_own_table():
    supply = {"kind": "supply", "source": "invented", "gives": "ac", "volts": "60 V", "amps": "1 A", "class2": True}
    site = {"site": "s", "wiring_code": "nec-2023", "supplies": {"p1": {"part": "own/transformer"}}, "cameras": {}}
    loaded = comparing.loaded_of(site, {"own/transformer": supply})
    facts = compute_facts(loaded, build_topology(loaded))
    assert "Table 11(A)" in facts.working(facts.sheet("supplies/p1", "supply"), "class2_amps")[0]


def test_full_width_of_a_picture_that_was_asked_for_is_the_one_asked_for():
    """The mode that the camera was switched to stood for it: 1280 columns of which 960 were left."""
    camera = {**CAMERA, "emits": [{"family": "tvi", "mode": ["1280x720@25", "1920x1080@25"]}], "heeds_asks": True}
    rows = [{"family": "tvi", "mode": "1920x1080@25", "width": "reduced"}]
    asks = [{"family": "tvi", "maker": "any", "wanted": "1920x1080@25"}]
    recorder = {**RECORDER, "inputs": [{"channels": "1-4", "accepts": rows, "asks": asks}]}
    recorder["encodes"] = [{"up_to": "1920x1080", "rate": "25 fps"}]
    entry = {
        "part": "fennick/camera", "set": {"family": "tvi", "mode": "1280x720@25"}, "video": {"into": "r1/1"},
        "wants": {"see": "identify", "at": "5 m"},
    }  # fmt: skip
    site = {"site": "s", "recorders": {"r1": {"part": "tarnwell/recorder"}}, "cameras": {"c1": entry}}
    facts = engine_facts(site, {**PARTS, "fennick/camera": camera, "tarnwell/recorder": recorder})
    view = facts.sheet("cameras/c1", "view")
    assert (view.columns, view.columns_full, view.halved) == (960, 1920, True)


def test_a_collapsed_alternating_network_is_asked_for_what_is_stated():
    """48 W at 12 V of nominal voltage and power factor 1 are 4 A whatever the voltage (Ohm's law); 12 ohm carry 2 A of 24 V."""
    load = Load("constant-current", 48.0, 48.0, 12.0, 1.0, (), ())
    states = power_solving.solve_network(power_solving.Network([-1], [12.0], [()], [load], 24.0, 0.0, (), True, 1.0))
    assert states[0].collapsed is True
    assert abs(states[0].amps_night - 4.0) < 1e-9
    assert abs(states[0].margin - 0.5) < 1e-6


def test_a_network_camera_on_a_coax_input_has_no_picture():
    """It ended the program: a camera whose part has no `emits` has no signal to start from."""
    for switch, outcome in ((None, "no-picture"), ({"mode": "1920x1080@25"}, None)):
        camera = {"part": "brackwater/net", "video": {"into": "r1/1", "over": [run_of(20, "rg59-copper")]}}
        link = facts_of({"c1": {**camera, **({"set": switch} if switch else {})}}).sheet("cameras/c1", "link")
        assert (link.known("outcome"), link.best_outcome, link.known("best_mode")) == (outcome, "no-picture", None)
        assert link.emits_set_mode is (switch is None)
