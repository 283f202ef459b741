"""What cannot be wired at all: one message each, at its line, with what would be right. Rules of our own
making.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest

Refused = Callable[..., list[str]]
CAMERA = "part: fennick/cam"


def _video(port: str) -> str:
    return f"cameras:\n  c1:\n    part: fennick/cam\n    video: {{into: {port}}}\n"


def _power(port: str) -> str:
    return f"cameras:\n  c1:\n    part: fennick/cam\n    power: {{from: {port}}}\n"


@pytest.mark.parametrize(
    ("text", "what", "right"),
    [
        (_video("rec2/1"), "nothing called `rec2` has ports here", "did you mean `rec1`?"),
        (_video("harbour/1"), "nothing called `harbour` has ports here", "name a recorder, supply"),
        (_power("psu/1"), "nothing called `psu` has ports here", "did you mean `psu1`?"),
        (_power("c1"), "nothing called `c1` has ports here", "`c1` is a camera, and other devices"),
        (_video("rec1"), "`rec1` is not a port of recorder `rec1`", "write `rec1/1` for a video input"),
        (_video("rec1/0"), "`rec1/0` is not a port of recorder `rec1`", "`rec1/audio1`"),
        (_video("rec1/-1"), "`rec1/-1` is not a port of recorder", "`rec1/1`"),
        (_video("rec1/01"), "`rec1/01` is not a port of recorder", "`rec1/1`"),
        (_video("rec1/video1"), "`rec1/video1` is not a port of recorder", "`rec1/1`"),
        (_video("rec1/1/2"), "`rec1/1/2` is not a port of recorder", "`rec1/1`"),
        (_video("rec1/" + "9" * 5000), "is not a port of recorder", "`rec1/1`"),
        (_power("psu1"), "`psu1` is not a port of supply `psu1`", "an output by its number"),
        (_power("psu1/a"), "`psu1/a` is not a port of supply `psu1`", "as in `psu1/1`"),
        (_video("psu1/1"), "joined to `psu1/1`: power would be fed into a port for signals",
         "name a recorder input"),
        (_power("rec1/1"), "joined to `rec1/1`: a power input is fed by a supply", "name a supply"),
        (_video("rec1/audio1"), "joined to `rec1/audio1`: different signals", "name a recorder"),
        (_video("rec1/main-screen"), "joined to `rec1/main-screen`: both ends give",
         "name a recorder input"),
        (_video("rec1/net1"), "joined to `rec1/net1`: different signals", "name a recorder input"),
        (_power("rec1/rs485"), "power cannot be joined to `rec1/rs485`", "name a supply output"),
    ],
)  # fmt: skip
def test_port_words(refused: Refused, text: str, what: str, right: str) -> None:
    (problem,) = refused(text)
    line, said = problem.split(" | ", 1)
    assert what in said
    assert right in said.rpartition("; ")[2] or right in said
    assert line == text.splitlines()[-1].strip()


def test_junction_has_no_numbers(refused: Refused) -> None:
    text = "junctions: {jb1: {power: {from: psu1/1}}}\n" + _power("jb1/2")
    (problem,) = refused(text)
    assert "`jb1/2` is not a port of junction `jb1`; write `jb1` alone: a junction has no numbered" in problem


def test_hop_with_both_or_neither(refused: Refused) -> None:
    text = (
        "boxes: {a1: {part: hollin/arrester}}\ncameras:\n  c1:\n    part: fennick/cam\n"
        "    video:\n      into: rec1/1\n      over:\n"
        "        - {cable: rg59-copper, length: 5 m, box: a1}\n        - {joints: 1}\n"
    )
    both, neither = refused(text)
    assert both.startswith("- {cable: rg59-copper, length: 5 m, box: a1} | this piece of the path names both")
    assert "both cable `rg59-copper` and box `a1`; write `cable` with a `length`, or `box`" in both
    assert "- {joints: 1} | this piece of the path names neither a cable nor a box" in neither


def test_box_with_length(refused: Refused) -> None:
    text = (
        "boxes: {a1: {part: hollin/arrester}}\ncameras:\n  c1:\n    part: fennick/cam\n"
        "    video: {into: rec1/1, over: [{box: a1, length: 5 m}]}\n"
    )
    (problem,) = refused(text)
    assert "box `a1` has a length, and only cable has one; leave `length` out here" in problem


def _cameras(*over: str) -> str:
    lines = ["boxes: {a1: {part: hollin/arrester}}", "cameras:"]
    for number, hops in enumerate(over, 1):
        lines += [
            f"  c{number}:",
            "    part: fennick/cam",
            f"    video: {{into: rec1/{number}, over: [{hops}]}}",
        ]
    return "\n".join(lines) + "\n"


def test_box_in_two_places(refused: Refused) -> None:
    (problem,) = refused(_cameras("{box: a1}", "{box: a1}"))
    assert problem.startswith("video: {into: rec1/2, over: [{box: a1}]} | box `a1` stands in video of `c1` and in")
    assert "video of `c2`; a box is in one place: add another under `boxes`" in problem


def test_box_twice_in_one_path(refused: Refused) -> None:
    (problem,) = refused(_cameras("{box: a1}, {box: a1}"))
    assert "box `a1` stands twice in video of `c1`" in problem


def test_box_may_carry_picture_and_power_of_one_camera(wire: Callable[..., object]) -> None:
    text = (
        "boxes: {a1: {part: hollin/arrester}}\ncameras:\n  c1:\n    part: fennick/cam\n"
        "    video: {into: rec1/1, over: [{box: a1}]}\n    power: {from: psu1/1, over: [{box: a1}]}\n"
    )
    topology = wire(text)
    assert [path.use for path in topology.lists.box_uses["a1"]] == ["video", "power"]  # type: ignore[attr-defined]


def test_ring_of_two_junctions(refused: Refused) -> None:
    text = "junctions:\n  jb1: {power: {from: jb2}}\n  jb2: {power: {from: jb1}}\n"
    (problem,) = refused(text)
    assert problem.startswith("jb1: {power: {from: jb2}} | power goes round in a ring: jb1 -> jb2 -> jb1; let one")


def test_junction_that_feeds_itself(refused: Refused) -> None:
    (problem,) = refused("junctions:\n  jb1: {power: {from: jb1}}\n")
    assert "power goes round in a ring: jb1 -> jb1" in problem


def test_long_ring_with_tails_and_a_second_ring(refused: Refused) -> None:
    text = (
        "junctions:\n  tail: {power: {from: a}}\n  a: {power: {from: b}}\n  b: {power: {from: c}}\n"
        "  c: {power: {from: a}}\n  x: {power: {from: y}}\n  y: {power: {from: x}}\n"
        "  fed: {power: {from: psu1/1}}\n"
    )
    first, second = refused(text)
    assert "ring: a -> b -> c -> a;" in first
    assert "ring: x -> y -> x;" in second


def test_ring_of_switches(refused: Refused) -> None:
    text = "switches:\n  sw1: {part: hollin/switch, into: sw2/8}\n  sw2: {part: hollin/switch, into: sw1/8}\n"
    (problem,) = refused(text)
    assert "the network goes round in a ring: sw1 -> sw2 -> sw1; take one `into` out" in problem


@pytest.mark.parametrize(
    ("written", "what"),
    [
        ("{by: coax, into: rec1/audio1}", "sound of `c1` goes both over the coax and into a port"),
        ("{}", "sound of `c1` goes neither over the coax nor into a port"),
        (
            "{by: coax, over: [{cable: rg59-copper, length: 3 m}]}",
            "sound over the coax has no cable of its own",
        ),
        ("{into: rec1/1}", "sound cannot be joined to `rec1/1`: different signals"),
        ("{into: psu1/2}", "sound cannot be joined to `psu1/2`: power would be fed into a port for signals"),
    ],
)
def test_sound(refused: Refused, written: str, what: str) -> None:
    (problem,) = refused(f"cameras:\n  c1:\n    part: fennick/cam\n    sound: {written}\n")
    assert what in problem


def test_control(refused: Refused) -> None:
    text = "cameras:\n  c1:\n    part: fennick/cam\n    control: {into: rec1/2}\n"
    (problem,) = refused(text)
    assert "control cannot be joined to `rec1/2`" in problem
    assert "name a serial port, as in `rec1/rs485`" in problem


def test_monitor_and_switch_ports(refused: Refused) -> None:
    text = (
        "switches:\n  sw1: {part: hollin/switch, into: rec1/1}\n"
        "monitors:\n  m1: {part: hollin/screen, from: rec1/net1}\n"
    )
    switch, monitor = refused(text)
    assert "network cannot be joined to `rec1/1`" in switch
    assert "monitor cannot be joined to `rec1/net1`" in monitor
    assert "name a monitor output of a recorder" in monitor


def test_one_id_for_two_kinds_of_device(refused: Refused) -> None:
    text = "junctions:\n  rec1: {power: {from: psu1/1}}\n"
    (problem,) = refused(text)
    assert "`rec1` stands under `recorders` and `junctions`, so a port of it could be either" in problem


def test_every_problem_is_told_at_once_in_order_of_place(refused: Refused) -> None:
    text = (
        "junctions:\n  jb1: {power: {from: jb1}}\n"
        "cameras:\n  c1:\n    part: fennick/cam\n    video: {into: rec9/1}\n    power: {from: rec1/1}\n"
    )
    ring, video, power = refused(text)
    assert "ring" in ring
    assert "rec9" in video
    assert "power cannot be joined" in power


def test_control_characters_of_a_port_are_shown_as_escapes(refused: Refused) -> None:
    (problem,) = refused('cameras:\n  c1:\n    part: fennick/cam\n    video: {into: "re\\tc/1"}\n')
    assert "\t" not in problem.split(" | ")[1]
    assert "`re\\tc`" in problem
