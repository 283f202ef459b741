"""Seldom ways through jackets, lines of network cameras, and power over network cables with converters."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

JACKET = {"cable": "cat5e", "length": "30 m", "sheath": "old", "pairs": 2}
ALTERNATING = {"tarnwell/ac24": {"kind": "supply", "source": "s", "gives": "ac", "volts": "24 V", "amps": "5 A", "outputs": 4}}


def _sheath(facts: Callable[..., Any], **site: Any) -> Any:
    every = facts(site=site, parts=ALTERNATING)
    (sheet,) = every.by_kind("sheath")
    return sheet


def test_power_in_a_jacket_whose_source_nobody_names(facts: Callable[..., Any]) -> None:
    cameras = {"c1": {"power": {"from": "j1", "over": [JACKET]}}}
    sheet = _sheath(facts, cameras=cameras, junctions={"j1": {}})
    assert (sheet.powers, sheet.pairs_used) == (1, 2)
    assert sheet.missing("alternating") == ("junctions/j1/power",)


@pytest.mark.parametrize(("source", "alternating"), [("psu1/5", False), ("psu2/1", True)])
def test_power_in_a_jacket_through_two_junctions(facts: Callable[..., Any], source: str, alternating: bool) -> None:
    over = [{"cable": "dc-1.5mm2", "length": "5 m"}]
    sheet = _sheath(
        facts,
        cameras={"c1": {"power": {"from": "j2", "over": [JACKET]}}},
        supplies={"psu2": {"part": "tarnwell/ac24"}},
        junctions={"j1": {"power": {"from": source, "over": over}}, "j2": {"power": {"from": "j1", "over": over}}},
    )
    assert sheet.alternating is alternating


def test_alternating_beside_a_source_that_nobody_names_is_known(facts: Callable[..., Any]) -> None:
    cameras = {
        "c1": {"power": {"from": "j1", "over": [JACKET]}},
        "c2": {"power": {"from": "psu2/1", "over": [JACKET]}},
    }
    sheet = _sheath(facts, cameras=cameras, junctions={"j1": {}}, supplies={"psu2": {"part": "tarnwell/ac24"}})
    assert (sheet.alternating, sheet.powers, sheet.pairs_used) == (True, 2, 4)


@pytest.mark.parametrize(
    ("sound", "works", "broken"),
    [
        ({"into": "rec1/audio1", "over": [{"cable": "cat5e", "length": "10 m"}]}, None, None),
        ({"by": "network"}, True, ""),
        (None, False, "no way for it is drawn"),
    ],
)
def test_sound_of_network_cameras(
    facts: Callable[..., Any], sound: dict[str, Any] | None, works: bool | None, broken: str | None
) -> None:
    """A line of its own is judged by the binding of lines; the network carries what the camera has."""
    every = facts(site={"cameras": {"n1": {"sound": sound} if sound else {}}})
    camera = every.sheet("cameras/n1", "camera")
    if works is None:
        assert camera.sound_by == "line"
        assert camera.known("sound_broken_by") != "it is a network camera: no coax leads to it"
    else:
        assert (camera.sound_works, camera.sound_broken_by) == (works, broken)


def test_a_box_before_an_amplifier_counts(facts: Callable[..., Any]) -> None:
    """By hand: two runs and the joint between them stand before the amplifier; 30 m and 50 m of one cable are 80 m."""
    part = {"kind": "box", "source": "s", "does": "amplifier", "gain": "10 dB", "gain_max_input": "3 dB"}
    boxes = {"amp1": {"part": "hollin/amp", "power": {"from": "psu1/5"}}}
    cable = {"cable": "rg59-copper"}
    over = [{**cable, "length": "30 m"}, {**cable, "length": "50 m"}, {"box": "amp1"}, {**cable, "length": "5 m"}]
    every = facts(site={"boxes": boxes, "cameras": {"c1": {"video": {"over": over}}}}, parts={"hollin/amp": part})
    hops = every.sheet("cameras/c1", "link").hops
    joint = float(every.context.ledger.values["joint-loss"].value)
    assert hops[2].loss_before == pytest.approx(hops[0].loss + hops[1].loss + joint)
    assert hops[1].loss == pytest.approx(hops[0].loss * 5 / 3)
    first = every.working(hops[2], "loss_before")[0]
    assert first.startswith(f"{hops[0].loss:.4f}".rstrip("0")[:5])
    assert first.count(" + ") == 2
