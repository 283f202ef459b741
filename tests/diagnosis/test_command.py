"""`coaxwright diagnose`: exit statuses, did-you-mean, what is told, in text and as JSON."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import pytest
import yaml

from coaxwright import load_text
from coaxwright.checking import load_site
from coaxwright.cli.main import run
from coaxwright.diagnosis.diagnosing import Diagnosis, diagnose

SITE = "examples/boatyard/alder-wharf.site.yaml"


def called(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str, str]:
    status = run(["diagnose", *words])
    said = capsys.readouterr()
    return status, said.out, said.err


def data(capsys: pytest.CaptureFixture[str], *words: str) -> dict[str, Any]:
    return dict(json.loads(called(capsys, SITE, *words, "--format", "json")[1]))


def causes(found: dict[str, Any]) -> list[set[str]]:
    return [{fault["cause"] for fault in each["faults"]} for each in found["causes"]]


def test_a_picture_lost_at_night_is_explained(capsys: pytest.CaptureFixture[str]) -> None:
    """Common practice: the first suspect is the drop along the power cable."""
    found = data(capsys, "--seen", "cameras/slipway: no picture at night")
    assert found["format"] == 2
    assert causes(found)[0] == {"power-cable-resistive"}
    assert {"rule": "power/undervoltage", "subject": "cameras/slipway"}.items() <= found["causes"][0]["finds"][0].items()
    assert sum(each["chance"] for each in found["causes"]) == pytest.approx(1.0)
    assert len(found["next"][0]["predicts"]) == len(found["causes"])


def test_a_reading_rules_out_what_it_contradicts(capsys: pytest.CaptureFixture[str]) -> None:
    """12.8 V at the supply, as drawn: it is not the supply."""
    seen = ("--seen", "slipway: no picture at night", "--measured", "psu1: volts-supply = 12.8 V")
    found = data(capsys, *seen)
    assert {"supply-low"} not in causes(found)
    assert [each[0]["cause"] for each in found["excluded"]] == ["supply-low"]
    assert data(capsys, *seen[:3], "psu1: volts-supply = 11.6")["causes"][0]["faults"][0]["cause"] == "supply-low"


def test_two_symptoms_without_a_common_cause_need_two_causes(capsys: pytest.CaptureFixture[str]) -> None:
    found = data(capsys, "--seen", "slipway: no picture at night", "--seen", "gate: snow or weak colour")
    assert all(len(each["faults"]) == 2 for each in found["causes"])
    assert {"power-cable-resistive", "video-cable-lossy"} in causes(found)


def test_what_works_rules_out_what_would_stop_it(capsys: pytest.CaptureFixture[str]) -> None:
    alone = data(capsys, "--seen", "slipway: no picture")
    beside = data(capsys, "--seen", "slipway: no picture", "--seen", "gate: works")
    assert {"supply-off"} in causes(alone)
    assert {"supply-off"} not in causes(beside)


def test_a_symptom_that_no_fact_tells_is_explained_by_its_rows(capsys: pytest.CaptureFixture[str]) -> None:
    """Voltage divider: two terminations make 0.67 V of 1.0 V and 37.5 ohm of 75."""
    found = data(capsys, "--seen", "slipway: dark and flat picture")
    assert causes(found) == [{"terminated-twice"}]
    assert found["causes"][0]["faults"][0]["rows"][0]["source"]


def test_a_tingle_stops_the_work(capsys: pytest.CaptureFixture[str]) -> None:
    """Common practice: earth differences are an electrician's."""
    status, out, _ = called(capsys, SITE, "--seen", "site: tingle or spark at a plug")
    assert status == 0
    assert "electrician" in out
    assert "What to measure next" not in out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--seen", "slipway: no pcture at night"), "did you mean `no picture at night`"),
        (("--seen", "slipwya: no picture"), "did you mean `cameras/slipway`"),
        (("--seen", "rec1: no picture"), "there is no `rec1` here"),
        (("--seen", "recorders/rec1: no picture"), "is told of cameras"),
        (("--seen", "slipway: no picture", "--measured", "slipway: volts-day = low"), "is no figure"),
        (("--seen", "slipway: no picture", "--measured", "slipway: volts-day = 3 A"), "a figure in V"),
        (("--seen", "slipway: no picture", "--measured", "slipway: volts-dya = 3"), "did you mean `volts-day`"),
        (("--seen", "slipway: no picture", "--measured", "slipway: volts-day"), "has no `=`"),
        ((), "nothing was seen"),
    ],
)
def test_what_is_not_known_is_refused_with_what_would_be_right(
    capsys: pytest.CaptureFixture[str], words: tuple[str, ...], said: str
) -> None:
    status, _, wrong = called(capsys, SITE, *words)
    assert status == 2
    assert said in wrong


def test_a_fault_of_the_plan_is_told_as_such(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """The plan itself shows it: no fault is needed besides."""
    site = yaml.safe_load(Path(SITE).read_text())
    site["cameras"]["slipway"]["power"]["over"][0]["length"] = "170 m"
    shutil.copytree(Path(SITE).parent / "parts", tmp_path / "parts")
    (tmp_path / "s.site.yaml").write_text(yaml.safe_dump(site, allow_unicode=True))
    status = run(["diagnose", str(tmp_path / "s.site.yaml"), "--seen", "slipway: no picture at night", "--format", "json"])
    found = json.loads(capsys.readouterr().out)
    assert status == 0
    assert found["as_drawn"] is True
    assert "power/undervoltage" in {each["rule"] for each in found["causes"][0]["finds"]}


def test_of_the_site_as_drawn_only_what_brings_the_symptom_is_its_cause() -> None:
    """By hand: a picture lost at night comes of the volts at night; a microphone without a way to the recorder takes none."""
    told = diagnose(load_site("tests/fixes/riding_school/fernhill.site.yaml"), ("arena-b: no picture at night",)).causes[0]
    assert {each.rule for each in told.finds} == {"power/undervoltage"}
    assert "sound/wanted-without-path" in {each.rule for each in told.beside}


def test_the_list_of_symptoms_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    status, out, _ = called(capsys, "--symptoms", "--format", "json")
    assert status == 0
    assert {"id": "no-picture-at-night", "about": "camera", "says": "no picture at night"} in json.loads(out)["symptoms"]
    assert called(capsys, "--symptoms")[0] == 0


def test_a_fault_that_hides_is_listed_once_a_reading_asks_for_it(capsys: pytest.CaptureFixture[str]) -> None:
    """By hand: a camera put on another's input shows no picture of its own, whatever its power; 8 V at its end then need a second
    fault, on any camera put there.
    """
    seen = ("--seen", "slipway: no picture", "--seen", "gate: two pictures fight on one channel")
    both = {("input-doubled", "cameras/slipway"), ("power-cable-resistive", "cameras/slipway")}
    before = data(capsys, *seen)
    assert {("input-doubled", "cameras/slipway")} in with_devices(before)
    assert both not in with_devices(before)
    after = with_devices(data(capsys, *seen, "--measured", "slipway: volts-day = 8 V"))
    assert {("input-doubled", "cameras/slipway")} not in after
    assert both in after


def with_devices(found: dict[str, Any]) -> list[set[tuple[str, str]]]:
    return [{(fault["cause"], fault["subject"]) for fault in each["faults"]} for each in found["causes"]]


def test_a_reading_of_one_fault_keeps_every_degree_of_the_other() -> None:
    """Two days lie between two degrees of `erased by age`; of the power cable that says nothing: it may still have any length."""
    seen = ("rec1: recordings are kept too short", "slipway: no picture")
    value = dict(load_site(SITE).document.value)
    value["cameras"] = {"slipway": value["cameras"]["slipway"]}
    site = load_text(value, folder=Path(SITE).parent)
    before, after = (lengths(diagnose(site, seen, measured)) for measured in ((), ("rec1: days-kept = 2",)))
    assert len(before) > 2
    assert after == before


def lengths(found: Diagnosis) -> set[str]:
    """Lengths of the power cable in the degrees of the two faults together."""
    both = {("erased-by-age", "recorders/rec1"), ("power-cable-resistive", "cameras/slipway")}
    (suspect,) = (each.suspect for each in found.causes if each.suspect.key == both)
    return {degree.value["cameras"]["slipway"]["power"]["over"][0]["length"] for degree in suspect.degrees}
