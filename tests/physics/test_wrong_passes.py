"""Whole sites that an easier reading of the physics passes, each with the published figure that says otherwise.

The figures beside each were worked by hand. Others of the kind, in the files of their matter, stand in docs/physics-coverage.md.
"""

from __future__ import annotations

from typing import Any

import pytest

from coaxwright.checking import check, facts_of
from coaxwright.model.rules import Case
from coaxwright.reading.tables import load_table
from coaxwright.rulebook.cases import case_site, load_bases


def found(base: str, site: dict[str, Any], parts: dict[str, Any] | None = None) -> dict[tuple[str, str], Any]:
    """Findings of a base site with changes, by rule and what became of it."""
    report = check(case_site(load_bases(), Case(name="one", base=base, site=site, parts=parts or {})))
    return {(each.rule, each.kind): each for each in report.findings}


@pytest.mark.parametrize(("wanted", "kind"), [("60 h", None), ("60.1 h", "fail"), ("70 h", "fail")])
def test_no_more_comes_out_of_a_battery_than_it_holds(wanted: str, kind: str | None) -> None:
    """75 Ah, 80 % at the end of its life (IEEE 450, from memory), 1 A: 60 h. Peukert's law carried on says 70.7 h."""
    supply = {"battery": "75 Ah", "autonomy": wanted, "place": {"ambient_min": "25 °C"}}
    findings = found("trunk-and-port", {"supplies": {"psu1": supply}})
    assert {each for rule, each in findings if rule == "power/autonomy-short"} == ({kind} if kind else set())


def test_a_battery_that_is_kept_charged_lifts_the_volts_of_every_camera() -> None:
    """Six cells at 2.30 V, the upper float voltage of lead-acid tables (common practice): 13.8 V at a camera for 13.2 V."""
    findings = found("one-camera", {"supplies": {"psu1": {"trim": None, "battery": "17 Ah"}}})
    assert "13.8 V" in findings["power/overvoltage", "fail"].message


@pytest.mark.parametrize(("metres", "ohm", "fails"), [("150 m", 3.99, True), ("60 m", 1.596, False)])
def test_a_rectifier_sees_less_than_a_meter_shows(metres: str, ohm: float, fails: bool) -> None:
    """24 V, 10 W at a power factor of 0.6: less I R, added arithmetically (common practice; the time domain agrees in
    test_rectifier.py). I from the phasor: V^4 + (20 R - 576) V^2 + (16.667 R)^2 = 0, I = 16.667 VA / V."""
    b, c = 20 * ohm - 576, (16.667 * ohm) ** 2
    meter = (((b * b - 4 * c) ** 0.5 - b) / 2) ** 0.5
    crest = 24 - ohm * 16.667 / meter
    over = [{"cable": "dc-1.5mm2-outdoor", "length": metres, "setting": "outdoor", "temperature": "20 °C"}]
    least = 21.6
    assert (crest < least < meter) is fails
    site = {"supplies": {"psu1": {"trim": None}}, "cameras": {"c1": {"power": {"over": over}}}}
    power = {"kind": "ac", "volts": "24 V", "volts_min": f"{least} V", "volts_max": "30 V", "watts_day": "10 W",
             "watts_night": "10 W", "power_factor": 0.6}  # fmt: skip
    source = {"gives": "ac", "volts": "24 V", "trim_min": None, "trim_max": None}
    findings = found("one-camera", site, {"tarnwell/case-supply": source, "tarnwell/case-camera": {"power": power}})
    assert (("power/undervoltage-rectifier", "fail") in findings) is fails
    assert ("power/undervoltage", "fail") not in findings


def test_more_that_moves_keeps_fewer_days() -> None:
    """Amerasinghe: 0.07 bit a pixel times 1, 2 and 4 by what moves: days fall to a half and to a quarter."""
    days = [_days({"motion": motion}) for motion in ("little", "medium", "much")]
    assert days[0] / days[1] == pytest.approx(2)
    assert days[0] / days[2] == pytest.approx(4)


def _days(scene: dict[str, Any]) -> float:
    recorder = {"record": {"codec": "h264"}, "disks": ["generic/disk-4tb"]}
    site = {"recorders": {"rec1": recorder}, "cameras": {"c1": {"record": None, "scene": scene}}}
    (camera,) = facts_of(case_site(load_bases(), Case(name="one", base="one-camera", site=site))).by_kind("camera")
    return float(camera.days_kept)


# EN 50174-2 since 2009, as a published handbook prints it: 100 mm for unscreened cable times 0.2 (3 circuits) to 6 (76).
@pytest.mark.parametrize(("circuits", "metres"), [(3, 0.02), (15, 0.1), (76, 0.6)])
def test_distance_from_mains_grows_with_the_circuits(circuits: int, metres: float) -> None:
    rows = [row for row in load_table("mains-separation").rows if row["circuits_from"] <= circuits]
    assert rows[-1]["unscreened"] == metres
    assert rows[-1]["screened"] == pytest.approx(metres / 2)


@pytest.mark.parametrize(("old", "now"), [
    ("IEC 60228", "IEC 60228:2023"), ("SMPTE ST 424:2006", "SMPTE ST 424:2012"), ("TIA-568-C.2", "TIA-568.2"),
    ("IEC 62676-4:2014", "2025"),
])  # fmt: skip
def test_withdrawn_editions_name_what_replaced_them(old: str, now: str) -> None:
    """Catalogues of the bodies that publish them, by the facts that others print of them."""
    row = next(row for row in load_table("sources").rows if row["name"] == old)
    assert now in row["superseded_by"]
