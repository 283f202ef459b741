"""Workings of networks, serial lines, jackets and screens compute again by arithmetic from their own lines."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest

from coaxwright.facts.network.lines_working import LINE_WORKINGS

UNITS = re.compile(r"bit/px|bit/s|Mb/s|px/s|unit loads|pairs|\b(?:fps|dB|m)\b")
COMMENT = re.compile(r"\([^()]*\)")
SITE = {
    "recorders": {"rec1": {"network_cameras": 1, "record": {"bitrate": "3 Mb/s"}}},
    "boxes": {"amp1": {"part": "hollin/amp", "power": {"from": "psu1/5"}}, "b1": {"part": "generic/balun-passive"},
              "b2": {"part": "generic/balun-passive"}},
    "cameras": {
        "c1": {"video": {"over": [{"cable": "rg59-copper", "length": "80 m"}, {"box": "amp1"}]}},
        "c2": {
            "video": {"over": [{"box": "b1"}, {"cable": "cat5e", "length": "30 m", "sheath": "old"}, {"box": "b2"}]},
            "power": {"over": [{"cable": "cat5e", "length": "30 m", "sheath": "old", "pairs": 2}]},
            "control": {
                "into": "rec1/rs485", "address": 2, "terminated": True, "speed": "9600 baud", "protocol": "pelican-a",
                "over": [{"cable": "cat5e", "length": "30.5 m"}],
            },
        },
        "n2": {"record": {"rate": "10 fps"}},
    },
}  # fmt: skip
PARTS = {"hollin/amp": {"kind": "box", "source": "s", "does": "amplifier", "gain": "10 dB", "gain_max_input": "3 dB"}}


def compute(text: str) -> float:
    """Sums and products from left to right: comments and units go, `x` is times."""
    bare = UNITS.sub("", COMMENT.sub("", text)).strip()
    assert re.fullmatch(r"[0-9. x/+]+", bare), f"not arithmetic: {text!r}"
    return sum(_product(piece) for piece in bare.split("+"))


def _product(text: str) -> float:
    value, sign = 1.0, "x"
    for word in re.findall(r"[0-9.]+|[x/]", text):
        if word in "x/":
            sign = word
        else:
            value = value * float(word) if sign == "x" else value / float(word)
    return value


@pytest.fixture
def lines(facts: Callable[..., Any]) -> dict[tuple[str, str], tuple[str, ...]]:
    """Every working of the table on one site with all of it, by kind and field (the last subject of each)."""
    found = {}
    plain = {key: value for key, value in SITE.items() if key != "recorders"}
    # `decode_needed` is only known where every network camera has an entry of its own
    for every in (facts(site=plain, parts=PARTS), facts(site=SITE, parts=PARTS)):
        for kind, field in LINE_WORKINGS:
            for sheet in every.by_kind(kind):
                if sheet.known(field) is not None:
                    found[kind, field] = every.working(sheet, field)
    return found


def test_every_working_of_the_table_is_told(lines: dict[tuple[str, str], tuple[str, ...]]) -> None:
    assert set(lines) == set(LINE_WORKINGS) - {("camera", "talk_back_works")}
    assert all(lines.values())


def test_sums_compute_again(lines: dict[tuple[str, str], tuple[str, ...]]) -> None:
    told = [line for each in lines.values() for line in each if " = " in line and " - " not in line]
    assert len(told) >= 9
    for line in told:
        left, _, right = line.partition(" = ")
        assert compute(left) == pytest.approx(float(re.match(r"[0-9.]+", right)[0]), rel=2e-4), line  # type: ignore[index]


def test_what_was_counted_on_a_serial_line_is_named(facts: Callable[..., Any]) -> None:
    """Two cameras with one address, one of them terminated; loads are added (TIA-485-A clause 4.2.6, from memory)."""
    names, drawn = ("c1", "c2"), {"into": "rec1/rs485", "address": 7, "over": [{"cable": "cat5e", "length": "20 m"}]}
    every = facts(site={"cameras": {name: {"control": {**drawn, "terminated": name == "c2"}} for name in names}})
    (bus,) = every.by_kind("serial_bus")
    told = {field: every.working(bus, field)[0] for kind, field in LINE_WORKINGS if kind == "serial_bus"}
    assert told["devices"] == "c1, c2: 2"
    assert told["addresses"] == "c1 (7), c2 (7): 2"
    assert told["addresses_shared"] == "7 (c1, c2): 1"
    assert told["terminated"] == told["terminated_least"] == "c2: 1"
    assert told["stars"] == "none: 0"
    assert told["metres"] == "20 (c1) + 20 (c2) = 40 m"
    assert bus.unit_loads == sum(compute(each) for each in told["unit_loads"].partition(" = ")[0].split("+"))


def test_what_a_network_camera_records_is_told(facts: Callable[..., Any]) -> None:
    """Half a datasheet's rate of frames is half its bits: common practice."""
    every = facts(site={"cameras": {"n1": {"record": {"rate": "12.5 fps"}}}})
    camera = every.sheet("cameras/n1", "camera")
    assert every.working(camera, "bitrate")[0] == "4000000 x 12.5 / 25 = 2000000 bit/s"
    assert every.working(camera, "recorded_fps") == ("tarnwell/case-net sends up to 1920x1080@25; 12.5 fps are asked for",)
    assert "1 x 2.5 Mb/s" in every.working(every.sheet("recorders/rec1", "recorder"), "bitrate")[0]
    assert every.working(camera, "days_kept") == every.working(every.sheet("recorders/rec1/disks"), "days")


def test_talk_back_is_told(facts: Callable[..., Any]) -> None:
    every = facts(site={"cameras": {"c1": {"wants": {"talk_back": True}}}})
    assert every.working(every.sheet("cameras/c1", "camera"), "talk_back_works")[0].startswith("loudspeaker, family")
