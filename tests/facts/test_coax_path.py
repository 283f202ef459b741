"""Ways of cables, joints and boxes: loss, reach, media, and what boxes let through."""

from __future__ import annotations

import math
from typing import Any

import pytest

from coaxwright.facts.declared.filling import fill
from coaxwright.facts.physics.coax import LOSS_ALPHA_20
from coaxwright.facts.picture.coax_path import Piece, box_loss, fits, medium_of, run_loss, shape_of
from coaxwright.facts.sheets import Link
from coaxwright.model.wiring_parts import BoxPart, CablePart


def cable(carries: list[str], **more: Any) -> CablePart:
    return CablePart.model_validate({"kind": "cable", "source": "invented", "carries": carries, **more})


def box(does: str, **more: Any) -> BoxPart:
    return BoxPart.model_validate({"kind": "box", "source": "invented", "does": does, **more})


def shape(*parts: CablePart | BoxPart) -> Any:
    return shape_of([Piece(f"p{index}", part) for index, part in enumerate(parts)])


COAX = cable(["coax"], impedance="75 ohm", centre="copper", attenuation=[[5, 2.82], [55, 6.73], [211, 12.5]])
PAIR = cable(["network", "pair"], impedance="100 ohm", attenuation=[[1, 2.04], [10, 6.466], [100, 21.975]])
PASSING = {"passes_sound": True, "passes_control": True, "passes_firmware": True}
TO_PAIR = box("balun", takes="coax", gives="pair", either_way=True, **PASSING)
FROM_PAIR = box("balun", takes="pair", gives="coax", **PASSING)


def test_loss_follows_the_cables_own_table() -> None:
    """Maxima of foam RG-59 drop cable (ANSI/SCTE 74, from memory): 6.73 dB/100 m at 55 MHz; 10 MHz 3.63."""
    assert run_loss("c", COAX, 55.0, 20.0, LOSS_ALPHA_20).value == pytest.approx(0.0673)
    assert run_loss("c", COAX, 10.0, 20.0, LOSS_ALPHA_20).value == pytest.approx(0.0363, abs=5e-5)


def test_warm_cable_loses_more() -> None:
    """Half of copper's 0.393 %/K (IEC 60028), by skin-effect theory."""
    cold = run_loss("c", COAX, 55.0, 20.0, LOSS_ALPHA_20).value
    assert run_loss("c", COAX, 55.0, 40.0, LOSS_ALPHA_20).value == pytest.approx(cold * (1 + 20 * 0.00393 / 2))


def test_nothing_is_extrapolated() -> None:
    for mhz in (4.9, 212.0):
        assert run_loss("rg59", COAX, mhz, 20.0, 0.0).lacking == "parts/rg59/attenuation"
    assert run_loss("bare", cable(["coax"]), 55.0, 20.0, 0.0).lacking == "parts/bare/attenuation"


def test_losses_of_boxes() -> None:
    assert box_loss("b", box("balun", loss="0.5 dB"), 30.0, 0.1).value == 0.5
    assert box_loss("b", box("joint"), 30.0, 0.1).value == 0.1, "common practice: 0.1 dB a joint"
    assert box_loss("b", box("joint", loss="0.3 dB"), 30.0, 0.1).value == 0.3
    assert box_loss("b", box("amplifier", gain="8 dB"), 30.0, 0.1).value == -8.0
    assert box_loss("b", box("amplifier"), 30.0, 0.1).lacking == "parts/b/gain"
    assert box_loss("b", box("isolator"), 30.0, 0.1).lacking == "parts/b/loss"
    limited = box("balun", loss="0.5 dB", frequency_max="20 MHz")
    assert box_loss("b", limited, 30.0, 0.1).lacking == "parts/b/frequency_max"
    assert box_loss("b", limited, 18.0, 0.1).value == 0.5


def reach_of(metres: float, runs: float, fixed: float, limit: float) -> float | None:
    """The declared fact, for cables and joints of so many dB."""
    link: Any = Link()
    link.subject = "cameras/c1"
    link.metres, link.runs_loss, link.fixed_loss, link.usual_limit, link.input_extra = metres, runs, fixed, limit, 0.0
    fill("link", [link])
    reach: float | None = link.known("reach")
    return reach


def test_reach_stretches_the_runs_and_leaves_joints() -> None:
    assert reach_of(85.0, 6.0, 0.0, 18.0) == pytest.approx(255.0)
    assert reach_of(85.0, 6.0, 3.0, 18.0) == pytest.approx(212.5)
    assert reach_of(85.0, 6.0, 20.0, 18.0) == 0.0
    assert reach_of(0.0, 0.0, 0.1, 18.0) is None


def test_reach_of_a_single_cable_is_limit_over_loss() -> None:
    per_metre = run_loss("c", COAX, 37.125, 20.0, 0.0).value
    assert reach_of(10.0, 10.0 * per_metre, 0.0, 20.0) == pytest.approx(20.0 / per_metre)
    assert math.isclose(20.0 / per_metre, 100 * 20.0 / (6.73 * (37.125 / 55) ** (math.log(6.73 / 2.82) / math.log(11))))


# Media


@pytest.mark.parametrize(
    ("pieces", "mixed"),
    [
        ([], False),
        ([COAX], False),
        ([PAIR], True),
        ([COAX, COAX], False),
        ([COAX, PAIR], True),
        ([TO_PAIR, PAIR, TO_PAIR], False),
        ([TO_PAIR, PAIR, FROM_PAIR], False),
        ([COAX, TO_PAIR, PAIR, FROM_PAIR, COAX], False),
        ([TO_PAIR, PAIR], True),
        ([TO_PAIR, COAX], True),
        ([FROM_PAIR, COAX], True),
        ([COAX, TO_PAIR, COAX], True),
    ],
)
def test_coax_and_pair_meet_only_through_a_balun(pieces: list[Any], mixed: bool) -> None:
    assert shape(*pieces).mixed_media is mixed


def test_impedance_75_ohm_for_coax_100_for_pairs() -> None:
    fifty = cable(["coax"], impedance="50 ohm", centre="copper")
    assert shape(COAX, fifty).impedance_wrong.holds is True
    assert shape(COAX).impedance_wrong.holds is False
    assert shape(TO_PAIR, PAIR, TO_PAIR).impedance_wrong.holds is False
    assert shape(cable(["coax"], impedance="73 ohm", centre="copper")).impedance_wrong.holds is False
    unknown = shape(COAX, cable(["coax"], centre="copper")).impedance_wrong
    assert (unknown.holds, unknown.lacking) == (None, ("parts/p1/impedance",))
    assert shape(fifty, cable(["coax"], centre="copper")).impedance_wrong.holds is True, "one wrong run decides"


def test_clad_steel_centre() -> None:
    steel = cable(["coax"], impedance="75 ohm", centre="copper-clad-steel")
    assert shape(COAX, steel).clad_steel.holds is True
    assert shape(COAX).clad_steel.holds is False
    assert shape(cable(["coax"])).clad_steel.lacking == ("parts/p0/centre",)
    assert shape(TO_PAIR, PAIR, TO_PAIR).clad_steel.holds is False, "a pair has no centre conductor"


def test_what_boxes_let_through() -> None:
    deaf = box("isolator", passes_sound=False, passes_control=True)
    got = shape(COAX, deaf, COAX)
    assert [answer.holds for answer in got.blocks] == [True, False, None]
    assert got.blocks[2].lacking == ("parts/p1/passes_firmware",)
    assert got.isolated
    assert [answer.holds for answer in shape(COAX, box("joint"), COAX).blocks] == [False] * 3


def test_joints_between_runs_are_counted() -> None:
    assert (shape(COAX, COAX, COAX).splices, shape(COAX, COAX, COAX).boxes) == (2, 0)
    assert (shape(COAX, TO_PAIR, PAIR, FROM_PAIR).splices, shape(COAX, TO_PAIR, PAIR, FROM_PAIR).boxes) == (
        0,
        2,
    )


@pytest.mark.parametrize(
    ("carries", "use", "good"),
    [
        (["coax"], "video", True),
        (["power"], "video", False),
        (["pair"], "video", True),
        (["line"], "sound", True),
        (["power"], "sound", False),
        (["pair"], "control", True),
        (["coax"], "power", False),
    ],
)
def test_cables_made_for_a_use(carries: list[str], use: str, good: bool) -> None:
    assert fits(cable(carries), use) is good


def test_a_cable_for_several_things_is_coax_first() -> None:
    assert medium_of(cable(["power", "coax"])) == "coax"
    assert medium_of(cable(["network", "pair", "power"])) == "pair"
