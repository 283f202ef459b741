"""What was measured comes before what is drawn: the facts are those of a site on which just that was drawn. Conductors:
IEC 60228 class 5, greatest at 20 °C, 1.5 mm2 13.3 ohm/km; copper 0.00393 1/K (IEC 60028).
"""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import pytest

from coaxwright.checking import check, explain_subject
from coaxwright.errors import Refusal
from coaxwright.reading.site_reader import LoadedSite, load_site_text
from coaxwright.show.plain_data import plain

FOLDER = Path(__file__).resolve().parents[3] / "examples" / "boatyard"
POWER = "cable: dc-1.5mm2, length: 85 m"
VIDEO = "cable: rg59-copper, length: 85 m"


def _yard(*changes: tuple[str, str]) -> LoadedSite:
    text = next(FOLDER.glob("*.site.yaml")).read_text(encoding="utf-8")
    for before, after in changes:
        assert before in text
        text = text.replace(before, after)
    return load_site_text(text, "yard.site.yaml", FOLDER)


def _facts(loaded: LoadedSite) -> Any:
    return plain(check(loaded).facts)


@pytest.mark.parametrize("way", [POWER, VIDEO])
def test_a_length_measured_is_a_length(way: str) -> None:
    """Drawn 85 m and measured 97 m, drawn without a length, or drawn 97 m: all the same."""
    drawn = _facts(_yard((way, way.replace("85", "97"))))
    assert _facts(_yard((way, f"{way}, measured: {{length: 97 m, on: 2026-11-02, by: J. K.}}"))) == drawn
    assert _facts(_yard((way, f"{way.partition(',')[0]}, measured: {{length: 97 m}}"))) == drawn
    assert _facts(_yard((way, f"{way}, measured: {{by: J. K.}}"))) == _facts(_yard())


@pytest.mark.parametrize(("loop", "at", "at_20"), [("3 ohm", "", 3.0), ("3 ohm", ", temperature: 50 °C", 3 / (1 + 0.00393 * 30))])
def test_a_loop_measured_is_the_loop(loop: str, at: str, at_20: float) -> None:
    """At the 40 °C that are assumed of conductors the loop is (1 + 0.00393 x 20) times that at 20 °C."""
    loaded = _yard((POWER, f"{POWER}, measured: {{loop: {loop}{at}}}"))
    found = check(loaded).facts["cameras/slipway"]
    assert math.isclose(found["ohms"], at_20 * (1 + 0.00393 * 20), rel_tol=1e-6)
    assert found["metres"] == 85
    power, volts, ohms = found["watts_night"], 12.8, found["ohms"]
    by_hand = (volts + math.sqrt(volts**2 - 4 * power * ohms)) / 2
    assert abs(found["volts_night"] - by_hand) < 0.01, "V (V0 - V) / R = P"


def test_a_cable_nobody_knows_is_known_by_its_loop() -> None:
    """An old cable without a conductor in its part: open by length, judged by its loop."""
    unknown = _yard((POWER, "cable: rg59-copper, length: 85 m"))
    assert "ohms" not in check(unknown).facts["cameras/slipway"]
    known = _yard((POWER, "cable: rg59-copper, length: 85 m, measured: {loop: 2.5 ohm}"))
    assert math.isclose(check(known).facts["cameras/slipway"]["ohms"], 2.5 * (1 + 0.00393 * 20), rel_tol=1e-6)


LOSS = "measured: {loss: 9 dB, loss_at: %s}"


def _loss(site: LoadedSite) -> Any:
    return check(site).facts["cameras/slipway"].get("loss")


def test_a_loss_measured_is_the_loss() -> None:
    """In proportion to the curve and to the loss of coax at both temperatures (skin effect: half of copper's 0.00393 1/K)."""
    drawn = check(_yard()).facts["cameras/slipway"]
    warm = 1 + 0.00196 * 20
    same = f"{drawn['top_frequency']:g} MHz"
    assert math.isclose(_loss(_yard((VIDEO, f"{VIDEO}, {LOSS % same}"))), 9 * warm, rel_tol=1e-9)
    assert math.isclose(_loss(_yard((VIDEO, f"{VIDEO}, joints: 4, {LOSS % same}"))), 9 * warm, rel_tol=1e-9), "joints are in it"
    cold = LOSS.replace("}", ", temperature: 0 °C}") % same
    assert math.isclose(_loss(_yard((VIDEO, f"{VIDEO}, {cold}"))), 9 * warm / (1 - 0.00196 * 20), rel_tol=1e-9)
    # ARRL Handbook, RG-59: 3.61 dB/100 m at 10 MHz, 11.15 at 100 MHz.
    curve = 11.15 * (11.15 / 3.61) ** (math.log10(drawn["top_frequency"]) - 2)
    assert math.isclose(_loss(_yard((VIDEO, f"{VIDEO}, {LOSS % '10 MHz'}"))), 9 * warm * curve / 3.61, rel_tol=2e-3)


def test_a_loss_measured_where_no_curve_reaches_stays_open() -> None:
    assert _loss(_yard((VIDEO, f"{VIDEO}, {LOSS % '5 GHz'}"))) is None
    with pytest.raises(Refusal, match="`loss` and `loss_at` stand together"):
        _yard((VIDEO, f"{VIDEO}, measured: {{loss: 9 dB}}"))


def test_the_working_of_a_loss_measured() -> None:
    loaded = _yard((VIDEO, f"{VIDEO}, joints: 2, {LOSS % '10 MHz'}"))
    (loss,) = [each for each in explain_subject(loaded, "cameras/slipway", provenance=True) if each.name == "link.loss"]
    assert "9 dB (measured at 10 MHz) x " in loss.working[0]
    assert not any("within runs" in line for line in loss.working)
    assert loss.provenance is not None
    paths = [each.path for each in loss.provenance.stated]
    assert "cameras/slipway/video/over/0/measured/loss" in paths
    assert "cameras/slipway/video/over/0/joints" not in paths


def test_another_cable_keeps_the_length_measured_and_nothing_else() -> None:
    """What was measured of the old cable says nothing of a new one."""
    from coaxwright.fixes.candidates.new_runs import relaid

    run = {"cable": "x", "measured": {"length": "97 m", "loop": "3 ohm", "loss": "9 dB", "loss_at": "37 MHz", "by": "J. K."}}
    assert relaid(run) == {"cable": "x", "measured": {"length": "97 m", "by": "J. K."}}
    assert relaid({"cable": "x", "measured": {"loop": "3 ohm", "by": "J. K."}}) == {"cable": "x"}


def test_what_a_supply_gives() -> None:
    measured = _yard(("trim: 12.8 V", "trim: 12.8 V, measured: {volts: 12.1 V}"))
    assert _facts(measured) == _facts(_yard(("trim: 12.8 V", "trim: 12.1 V")))


def test_explain_tells_measured_from_drawn() -> None:
    loaded = _yard((POWER, f"{POWER}, measured: {{loop: 3 ohm}}"))
    (ohms,) = [each for each in explain_subject(loaded, "cameras/slipway", provenance=True) if each.name == "feed.ohms"]
    assert any("3 ohm measured" in line for line in ohms.working), ohms.working
    assert ohms.provenance is not None
    paths = [each.path for each in ohms.provenance.stated]
    assert "cameras/slipway/power/over/0/measured/loop" in paths
    assert "cameras/slipway/power/over/0/length" not in paths
