"""Three invented jobs with faults put in, as a designer would meet them: a shop, an old block of flats, a timber yard.

What was put in stands at the head of each site file. Every change that is shown is carried out on the file and
judged from outside (`harms/judging.py`): none puts 24 V on a 12 V device, opens an error, or hides one.
COAXWRIGHT_FULL=1 tries more changes.
"""

from __future__ import annotations

import os
from pathlib import Path

import pytest
import yaml

from .harms.invented_sites import Made
from .harms.program import checked, rules_read_once, told
from .harms.run import OneSite

FULL = bool(os.environ.get("COAXWRIGHT_FULL"))
FOLDER = Path(__file__).parent / "three_sites"
PARTS = yaml.safe_load((FOLDER / "parts.yaml").read_text(encoding="utf-8"))["parts"]
PLANTED = {
    "shop": {
        "power/supply-overloaded on supplies/plug",
        "view/density-low on cameras/till",
        "picture/rate-below-wanted on cameras/till",
        "picture/rate-below-wanted on cameras/far-shed",
        "picture/rate-below-wanted on cameras/window",
        "sound/coax-sound-broken on cameras/office",
        "channels/input-shared on recorders/rec/8",
        "place/camera-too-hot on cameras/ovens",
        "place/camera-too-cold on cameras/cold-room",
        "power/overvoltage on cameras/ovens",
        "place/indoor-camera-outdoors on cameras/yard-door",
        "power/collapse on cameras/far-shed",
        "storage/retention-short on recorders/rec/disks",
    },
    "flats": {
        *(f"power/overvoltage on cameras/roof{n}" for n in range(1, 7)),
        *(f"power/overvoltage on cameras/landing{n}" for n in range(1, 10)),
        "power/collapse on cameras/roof6",
        "power/output-overloaded on supplies/tr1/1",
        "power/supply-overloaded on supplies/tr1",
        "cable/loss-beyond-limit on cameras/gate",
        "network/way-too-long on cameras/n2",
    },
    "yard": {
        "power/collapse on cameras/swing1",
        "power/collapse on cameras/bridge",
        "power/autonomy-short on supplies/ups/battery",
        "place/indoor-camera-outdoors on cameras/lane",
        "picture/rate-below-wanted on cameras/saw",
        "view/density-low on cameras/saw",
        "cable/loss-beyond-limit on cameras/bridge",
    },
}


@pytest.fixture(autouse=True)
def rules_once():
    with rules_read_once():
        yield


def site_of(name):
    return yaml.safe_load((FOLDER / f"{name}.site.yaml").read_text(encoding="utf-8"))


@pytest.mark.parametrize("name", PLANTED)
def test_what_was_put_in_is_found_as_an_error(name):
    seen = checked(FOLDER / f"{name}.site.yaml")
    errors = {" on ".join(key) for key, (level, _) in seen.fails.items() if level == "error"}
    assert PLANTED[name] <= errors


BY_SIZE = [pytest.param(name, marks=pytest.mark.slow("the largest of three")) if name == "flats" else name for name in PLANTED]


@pytest.mark.parametrize("name", BY_SIZE)
def test_no_shown_change_does_harm(name, tmp_path):
    """Of each finding, and of the whole site at once."""
    site = OneSite(tmp_path, Made(site_of(name), PARTS, name))
    site.before = checked(site.file)
    site.single("error", 60 if FULL else 4)
    site.whole("error", "fewest", 300 if FULL else 12)
    assert site.outcome.changes >= 3
    assert not site.outcome.harms, "\n".join(map(str, site.outcome.harms))


def changes_of(name, on):
    found = told("fix", str(FOLDER / f"{name}.site.yaml"), "--on", on, "--budget", "80" if FULL else "24")["findings"]
    return [(finding["subject"], fix) for finding in found for fix in finding["fixes"]]


def test_no_pan_tilt_is_fed_from_a_supply_of_twice_its_voltage():
    for subject, fix in changes_of("yard", "power/collapse"):
        values = [operation.get("value") for operation in fix["patch"]]
        assert not [value for value in values if "p24" in str(value)], (subject, fix["title"])


def test_no_cable_of_unknown_loss_mends_a_long_pair():
    """One that says nothing of its loss, and one that is sold as a category it is not of."""
    for _, fix in changes_of("flats", "cable/loss-beyond-limit"):
        assert "teasel/pair-cheap" not in fix["title"]
        assert "-cca" not in fix["title"]


def test_no_lens_that_nobody_set_mends_a_thin_view():
    for subject, fix in changes_of("shop", "view/density-low"):
        dome = [each for each in fix["patch"] if each.get("value") == "withy/dome-2v"]
        assert not dome or any("lens" in str(each) for each in fix["patch"]), subject


def stands(name, subject):
    return {each["name"]: each for each in told("limits", str(FOLDER / f"{name}.site.yaml"), subject)["limits"]}


@pytest.mark.slow("all numbers of one of 24 cameras")
def test_limits_of_a_load_on_a_trunk_say_that_it_collapses_now():
    load = stands("flats", "cameras/roof6")["load by night"]
    assert "power/collapse on cameras/roof6" in load["fails_now"]


def test_limits_say_what_fails_now():
    wanted = stands("yard", "supplies/ups")["running time without mains"]
    assert wanted["fails_now"] == ["power/autonomy-short on supplies/ups/battery"]
    assert wanted["up"]["holds"] is None


def test_a_collapsed_trunk_still_asks_its_output_and_its_supply():
    """Six heated domes: 6 x 18.6 W = 112 W; at 24 V 4.7 A of an output of 1 A and a transformer of 4 A."""
    seen = checked(FOLDER / "flats.site.yaml")
    assert seen.fails["power/output-overloaded", "supplies/tr1/1"][0] == "error"
    assert seen.fails["power/supply-overloaded", "supplies/tr1"][0] == "error"
