"""The salt works by hand: the figures of docs/worked-example-salt-works.md, and that the program prints the same.

Sources: IEC 60228 Table 3, Ohm's law, Peukert's law; the quartic of a constant-VA load (circuit theory).
"""

from __future__ import annotations

import math
import re
from functools import partial

import pytest
from tests.examples import sites
from tests.examples.sites import page

PAGE = page("salt-works")
report = partial(sites.report, "salt-works")


def swept(volts, trunk, tap, watts, rounds=4000):
    """Volts at posts and cameras by going to and fro (Ohm's law), or None when they fall to zero."""
    posts = [volts] * len(trunk)
    cameras = list(posts)
    for _ in range(rounds):
        amps = [watts / each for each in cameras]
        at = volts
        for index, ohm in enumerate(trunk):
            at -= ohm * sum(amps[index:])
            posts[index] = at
            cameras[index] = at - tap * amps[index]
        if min(cameras) <= 0:
            return None
    return posts, cameras


def run(metres, ohm_per_km):
    return 2 * metres * ohm_per_km / 1000


WEST = [run(30, 4.95), *[run(60, 4.95)] * 4]
EAST = [run(40, 7.98), *[run(70, 7.98)] * 5]
TAP = run(6, 19.5)


def test_west_trunk():
    posts, cameras = swept(26.0, WEST, TAP, 11.0)
    for index, (post, camera) in enumerate(zip(posts, cameras, strict=True), 1):
        facts = report().facts
        assert facts[f"cameras/west-{index}"]["volts_night"] == pytest.approx(camera, abs=1e-6)
        assert facts[f"junctions/w{index}"]["volts_night"] == pytest.approx(post, abs=1e-6)
        assert f"| {index} | {11 / camera:.4f} |" in PAGE
        assert f"{post:.3f} | {camera:.3f} |" in PAGE


def test_battery():
    _, cameras = swept(24.0, WEST, TAP, 11.0)
    amps = sum(11 / volts for volts in cameras)
    size = 1.405 - 2.4941 * 0.05 + 4.1916 * 0.05**2 - 2.8117 * 0.05**3  # IEEE 485 Table 1 at 5 °C
    hours = 20 * (26 * 0.8 / size / (amps * 20)) ** 1.15
    facts = report().facts["supplies/west/battery"]
    assert facts["amps"] == pytest.approx(amps, abs=1e-7)
    assert facts["hours"] == pytest.approx(hours, abs=1e-6)
    assert f"{hours:.2f} h" in PAGE
    _, empty = swept(21.6, WEST, TAP, 11.0)
    assert report().facts["cameras/west-5"]["volts_battery"] == pytest.approx(empty[-1], abs=1e-6)
    assert f"{empty[-1]:.2f} V" in PAGE


def test_east_trunk_collapses_between_85_and_86_percent():
    assert swept(26.0, EAST, TAP, 11.0) is None
    assert swept(26.0, EAST, TAP, 0.86 * 11.0) is None
    posts, cameras = swept(26.0, EAST, TAP, 0.85 * 11.0)
    for post, camera in zip(posts, cameras, strict=True):
        assert f"= {post:.3f} | {camera:.3f} |" in PAGE
    assert 0.85 < report().facts["cameras/east-6"]["margin_night"] < 0.86


def test_mast():
    ohm, va = run(80, 13.3) + 0.08 * 24 / 4, 50 / 0.7
    middle = 25.92**2 - 2 * ohm * 50
    volts = math.sqrt((middle + math.sqrt(middle**2 - 4 * (ohm * va) ** 2)) / 2)
    facts = report().facts["cameras/mast"]
    assert facts["volts_night"] == pytest.approx(volts, abs=1e-6)
    assert facts["amps_night"] == pytest.approx(va / volts, abs=1e-6)
    assert f"{volts:.3f} V" in PAGE
    assert f"{va / volts:.3f} A" in PAGE


def test_the_recorder_on_its_ups():
    facts = report().facts["recorders/pump-house"]
    assert (facts["hours"], facts["wanted"]) == (4.0, 6.0)
    assert report().facts["ups/desk"]["volt_amps"] == pytest.approx(16 / 0.65)
    assert f"{16 / 0.65:.1f} VA of 350 VA" in PAGE


def test_office():
    ohm = run(40, 93.8) * (1 + 0.00393 * 20) / 2
    volts = 25 + math.sqrt(625 - 5.5 * ohm)
    facts = report().facts["switches/office/1"]
    assert facts["ohms"] == pytest.approx(ohm)
    assert facts["volts_night"] == pytest.approx(volts)
    assert f"{ohm:.4f} ohm" in PAGE
    assert f"{volts:.3f} V" in PAGE


def test_every_power_finding_is_on_the_page():
    rules = {each.rule for each in report().findings if each.rule.startswith("power/")}
    assert rules == set(re.findall(r"power/[a-z-]+", PAGE))
