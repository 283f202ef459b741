"""Loss of random ways of cable, joints and boxes, against a chain of two-ports in scikit-rf.

Every piece becomes a matched 75 ohm two-port: a run is a line of the attenuation that its maker's table gives at
the top frequency, a joint or box an attenuator, an amplifier a gain. What the chain lets through has to be what the
engine says. COAXWRIGHT_FULL=1 runs 1,000 ways; 60 by default.
"""

from __future__ import annotations

import math
import os
from random import Random
from typing import Any

import numpy as np
import pytest

skrf = pytest.importorskip("skrf")

WAYS = 1000 if os.environ.get("COAXWRIGHT_FULL") else 60
MHZ = 37.125
"""Half the clock of 1080 lines at 25 frames a second (SMPTE ST 274)."""
FEET = 30.48
BOXES = {
    "hollin/two": {"does": "isolator", "loss": "2 dB"},
    "hollin/five": {"does": "amplifier", "gain": "5 dB", "gain_max_input": "0 dB"},
    "hollin/half": {"does": "arrester", "loss": "0.5 dB"},
}
CABLES = {"hollin/thin": 9.4, "hollin/thick": 3.1, "hollin/mid": 6.25}
"""dB/100 m at 37.125 MHz and 20 degC: a point of each table, so that no interpolation comes between."""


def parts() -> dict[str, Any]:
    found: dict[str, Any] = {name: {"kind": "box", "source": "invented", **box} for name, box in BOXES.items()}
    for name, loss in CABLES.items():
        table = [[1, loss / 10], [MHZ, loss], [100, loss * 2]]
        found[name] = {
            "kind": "cable", "source": "invented", "carries": ["coax"], "impedance": "75 ohm", "attenuation": table,
        }  # fmt: skip
    return found


def way(draw: Random) -> tuple[list[dict[str, Any]], dict[str, Any]]:
    """Hops of a way, and the boxes on it."""
    hops: list[dict[str, Any]] = []
    boxes: dict[str, Any] = {}
    for number in range(draw.randint(1, 5)):
        if hops and draw.random() < 0.4:
            boxes[f"b{number}"] = {"part": draw.choice(list(BOXES))}
            hops.append({"box": f"b{number}"})
        else:
            cable = draw.choice(list(CABLES))
            run = {"cable": cable, "length": f"{draw.randint(1, 200)} m", "temperature": "20 °C"}
            hops.append(run | {"joints": draw.randint(0, 3)})
    return hops, boxes


def through(hops: list[dict[str, Any]], boxes: dict[str, Any]) -> float:
    """dB that the chain takes away."""
    band = skrf.Frequency.from_f([MHZ], unit="MHz")
    chain: Any = None
    for one, other in zip(hops, [*hops[1:], None], strict=True):
        for piece in _pieces(band, one, other, boxes):
            chain = piece if chain is None else chain**piece
    return -20.0 * math.log10(abs(chain.s[0, 1, 0]))


def _pieces(band: Any, hop: dict[str, Any], following: dict[str, Any] | None, boxes: dict[str, Any]) -> list[Any]:
    if "box" in hop:
        box = BOXES[boxes[hop["box"]]["part"]]
        gain, loss = (float(str(box.get(name, "0 dB")).split()[0]) for name in ("gain", "loss"))
        return [_matched(band, gain - loss)]
    metres = float(hop["length"].split()[0])
    media = skrf.media.Coaxial.from_attenuation_VF(
        band, z0=75, att=CABLES[hop["cable"]] / 100 * FEET, unit="dB/100ft", VF=0.8
    )
    joints = hop["joints"] + (following is not None and "box" not in following)
    return [media.line(metres, "m"), *[_matched(band, -0.1)] * joints]


def _matched(band: Any, decibels: float) -> Any:
    """A matched two-port that passes so many dB."""
    share = 10 ** (decibels / 20)
    return skrf.Network(frequency=band, s=np.array([[[0, share], [share, 0]]], dtype=complex), z0=75)


@pytest.mark.parametrize("block", range(4))
def test_loss_of_random_ways(block: int, facts: Any) -> None:
    catalogue = parts()
    for seed in range(block * WAYS // 4, (block + 1) * WAYS // 4):
        hops, boxes = way(Random(seed))
        site = {"boxes": boxes, "cameras": {"c1": {"video": {"over": hops}}}}
        link = facts("one-camera", site=site, parts=catalogue).sheet("cameras/c1", "link")
        assert link.loss == pytest.approx(through(hops, boxes), abs=2e-3), (seed, hops)
