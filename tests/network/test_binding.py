"""Facts of networks, lines and screens where rule cases do not reach: absence, order, refusals."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from coaxwright.errors import Refusal
from coaxwright.facts.physics.coax import attenuation
from coaxwright.facts.sheets.network import LINE_SHEETS, NETWORK_SHEETS
from coaxwright.reading.tables import load_generic_parts

KINDS = [cls.kind for cls in (*NETWORK_SHEETS, *LINE_SHEETS)]


def test_a_site_without_them_has_no_such_sheets(facts: Callable[..., Any]) -> None:
    every = facts("two-makers")
    assert [kind for kind in KINDS if every.by_kind(kind)] == []
    assert ("network", "") not in every.ledgers


def test_a_site_with_everything_has_each_kind(facts: Callable[..., Any]) -> None:
    over = [{"cable": "cat5e", "length": "50 m", "sheath": "new"}]
    every = facts(site={"cameras": {"n1": {"network": {"over": over}}}})
    assert [kind for kind in KINDS if not every.by_kind(kind)] == []


def test_network_cameras_cost_inputs_and_disks(facts: Callable[..., Any]) -> None:
    """By hand: three network cameras where two are free cost one input; 16.355 Mb/s and 4.5 Mb/s more fill 3.72 TB."""
    two = facts().sheet("recorders/rec1", "recorder")
    third = {"part": "tarnwell/case-net", "network": {"into": "sw1/3", "recorder": "rec1"}}
    every = facts(site={"cameras": {"n3": third}})
    three = every.sheet("recorders/rec1", "recorder")
    assert (two.channels_spare, three.channels_spare) == (2, 1)
    assert three.network_cameras == 3
    assert three.bitrate - two.bitrate == pytest.approx(4.5e6)
    days = 3.72e12 * 8 / (three.bitrate * 86400)
    assert every.sheet("cameras/n3", "camera").days_kept == pytest.approx(days, rel=1e-3)


def test_network_camera_on_the_recorder_itself_needs_no_name(facts: Callable[..., Any]) -> None:
    camera = facts(site={"cameras": {"n1": {"network": {"into": "rec1/net1", "recorder": None}}}}).sheet("cameras/n1")
    assert camera.has_network
    assert camera.recorded_fps == 25.0


@pytest.mark.parametrize(
    ("change", "word"),
    [
        ({"n1": {"network": {"recorder": "rec2"}}}, "there is no recorder `rec2` on this site"),
        ({"n1": {"video": {"into": "rec1/3"}}}, "goes both over coax and over the network"),
        ({"n1": {"sound": {"by": "network", "over": [{"cable": "cat5e"}]}}}, "over the network has no cable of its own"),
        ({"n1": {"sound": {"by": "network", "into": "rec1/audio1"}}}, "goes both over the network and into a port"),
        ({"n1": {"network": {"into": "rec1/1"}}}, "network cannot be joined to"),
        ({"n1": {"network": {"into": "psu1/1"}}}, "network cannot be joined to"),
    ],
)
def test_what_cannot_be_wired(change: dict[str, Any], word: str, facts: Callable[..., Any]) -> None:
    with pytest.raises(Refusal, match=word):
        facts(site={"cameras": change})


def test_a_camera_part_sends_something(facts: Callable[..., Any]) -> None:
    with pytest.raises(Refusal, match="a camera sends something"):
        facts(parts={"tarnwell/case-net": {"network": None}})


def test_loads_add_up_through_switches(facts: Callable[..., Any]) -> None:
    """Whatever the tree, the switch at its root carries all cameras: 11 Mb/s."""
    switch = {"part": "hollin/case-switch", "over": [{"cable": "cat5e", "length": "5 m"}]}
    site = {
        "switches": {"sw2": {**switch, "into": "sw1/3"}, "sw3": {**switch, "into": "sw2/1"}},
        "cameras": {"n1": {"network": {"into": "sw3/1"}}, "n2": {"network": {"into": "sw2/2"}}},
    }
    loads = {sheet.name: sheet.load for sheet in facts(site=site).by_kind("switch")}
    assert loads == {"sw1": 11e6, "sw2": 11e6, "sw3": 4.5e6}


@pytest.mark.parametrize("mhz", [1.5, 5.0, 6.75, 9.0, 18.5625, 37.125, 74.25, 99.0])
def test_pair_loss_between_table_points(mhz: float) -> None:
    """TIA-568-C.2 formula for category 5e, 1.967 sqrt(f) + 0.023 f + 0.05 / sqrt(f) dB/100 m, at the frequencies that
    pictures reach, against straight lines between the points of its published table.
    """
    points = load_generic_parts()["cat5e"].attenuation
    wanted = 1.967 * mhz**0.5 + 0.023 * mhz + 0.05 / mhz**0.5
    assert attenuation(points, mhz) == pytest.approx(wanted, rel=0.015)
