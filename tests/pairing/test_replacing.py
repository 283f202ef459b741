"""`pair --replace --site`: each part is proven on the site. Held against full checks of the file with the part written in."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import pytest
import yaml

from coaxwright.cli.main import run

ROOT = Path(__file__).resolve().parents[2]
BOATYARD = ROOT / "examples" / "boatyard"
PAIR = ("fennick/turret-5", "tarnwell/hybrid-8")
Capture = pytest.CaptureFixture[str]


@pytest.fixture
def site(tmp_path: Path) -> Path:
    """The boatyard, with a camera like the one there that draws more than any feed of it can carry, and one like it."""
    shutil.copytree(BOATYARD, tmp_path / "yard")
    parts = {}
    for file in sorted((tmp_path / "yard" / "parts").glob("*.yaml")):
        parts.update(yaml.safe_load(file.read_text(encoding="utf-8"))["parts"])
    like = {**parts[PAIR[0]], "price": 70}
    hungry = {**like, "power": {**like["power"], "watts_day": "40 W", "watts_night": "60 W"}}
    more = {"currency": "EUR", "parts": {"zz/hungry": hungry, "zz/same": like}}
    (tmp_path / "yard" / "parts" / "zz.yaml").write_text(json.dumps(more), encoding="utf-8")
    return tmp_path / "yard" / "alder-wharf.site.yaml"


def asked(capsys: Capture, site: Path, *more: str) -> dict[str, Any]:
    assert run(["pair", *PAIR, "--replace", "camera", "--site", str(site), "--format", "json", *more]) == 0
    found: dict[str, Any] = json.loads(capsys.readouterr().out)
    return found


def standing(capsys: Capture, site: Path) -> dict[str, dict[str, str]]:
    """Fails and open judgements of a full check by kind, with their levels."""
    run(["check", str(site), "--format", "json"])
    found: dict[str, dict[str, str]] = {"fail": {}, "open": {}}
    for each in json.loads(capsys.readouterr().out)["sites"][0]["findings"]:
        if each["waived"] is None:
            found[each["kind"]][f"{each['rule']} on {each['subject']}"] = each["level"]
    return found


def test_what_is_told_is_what_a_full_check_of_the_file_says(site: Path, capsys: Capture) -> None:
    before = standing(capsys, site)
    text = site.read_text(encoding="utf-8")
    data = asked(capsys, site)
    assert {"zz/hungry", "zz/same", "tarnwell/turret-5"} <= {each["part"] for each in data["parts"]}
    assert (data["not_proven"], data["stopped"]) == (None, None)
    for each in data["parts"]:
        other = site.with_name("other.site.yaml")
        other.write_text(text.replace(PAIR[0], each["part"]), encoding="utf-8")
        assert text.count(PAIR[0]) == len(each["on_site"]["entries"]), "every entry that has the part"
        after, change = standing(capsys, other), each["on_site"]["change"]
        told = {one.rpartition(" (")[0] for one in change["introduces"]}
        assert told == after["fail"].keys() - before["fail"].keys(), each["part"]
        assert {one.rpartition(" (")[0] for one in change["opens"]} == after["open"].keys() - before["open"].keys()


def test_what_the_site_cannot_feed_says_so_and_stands_last(site: Path, capsys: Capture) -> None:
    data = asked(capsys, site)
    by_part = {each["part"]: each["on_site"] for each in data["parts"]}
    assert by_part["zz/same"]["harms"] == []
    assert any(word.startswith("newly breaks power/") for word in by_part["zz/hungry"]["harms"])
    assert data["parts"][0]["part"] == "zz/same"
    assert data["parts"][-1]["part"] == "zz/hungry"
    assert run(["pair", *PAIR, "--replace", "camera", "--site", str(site)]) == 0
    text = capsys.readouterr().out
    assert "nothing gets worse" in next(line for line in text.splitlines() if line.startswith("zz/same"))
    assert "newly breaks power/" in next(line for line in text.splitlines() if line.startswith("zz/hungry"))
    assert "as a pair only" not in text


def test_a_recorder_is_proven_too(site: Path, capsys: Capture) -> None:
    call = ["pair", *PAIR, "--replace", "recorder", "--site", str(site), "--format", "json"]
    assert run(call) == 0
    for each in json.loads(capsys.readouterr().out)["parts"]:
        assert each["on_site"]["entries"]
        assert each["on_site"]["change"] or each["on_site"]["not_judged"]


@pytest.mark.parametrize("form", ["text", "md", "html", "json"])
def test_without_a_site_it_says_what_it_does_not_prove(form: str, capsys: Capture) -> None:
    parts = str(BOATYARD / "parts" / "*.yaml")
    assert run(["pair", *PAIR, "--replace", "camera", "--parts", parts, "--format", form]) == 0
    told = " ".join(capsys.readouterr().out.split())
    assert "Compared as a pair only. Not proven: supplies, power cables, disks" in told


def test_a_search_without_time_names_what_it_did_not_judge(site: Path, capsys: Capture) -> None:
    data = asked(capsys, site, "--time-limit", "0")
    assert data["stopped"] == "stopped by time"
    assert {each["on_site"]["not_judged"] for each in data["parts"]} == {"stopped by time"}
    assert all(each["on_site"]["change"] is None for each in data["parts"])


def test_what_cannot_be_asked_is_refused_with_a_remedy(site: Path, capsys: Capture) -> None:
    assert run(["pair", *PAIR, "--site", str(site)]) == 2
    assert "--site belongs to --replace camera or --replace recorder" in capsys.readouterr().err
    assert run(["pair", *PAIR, "--time-limit", "3"]) == 2
    assert "--time-limit belongs to --replace with --site" in capsys.readouterr().err
    assert run(["pair", "zz/hungry", PAIR[1], "--replace", "camera", "--site", str(site)]) == 2
    told = capsys.readouterr().err
    assert "has no camera zz/hungry" in told
    assert PAIR[0] in told
    assert run(["pair", "fennick/*", PAIR[1], "--replace", "camera", "--site", str(site)]) == 2
    assert "each with a list of its own: name one, such as fennick/" in capsys.readouterr().err


def test_what_replaces_a_camera_everywhere(tmp_path: Path, capsys: Capture) -> None:
    """Against the list of every recorder, asked one by one: on how many each candidate keeps as much."""
    import importlib.util

    spec = importlib.util.spec_from_file_location("counter", Path(__file__).with_name("counter.py"))
    assert spec is not None
    assert spec.loader is not None
    counter = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(counter)
    parts = ["--parts", str(counter.catalogue_file(tmp_path)), "--parts", str(BOATYARD / "parts" / "*.yaml")]
    one_by_one: dict[str, set[str]] = {}
    recorders = ["pw/h8", "nv/h4", "tarnwell/hybrid-8"]
    for recorder in recorders:
        assert run(["pair", "os/ptz", recorder, "--replace", "camera", *parts, "--format", "json"]) == 0
        for each in json.loads(capsys.readouterr().out)["parts"]:
            one_by_one.setdefault(each["part"], set()).add(recorder)
    assert run(["pair", "os/ptz", "*", "--replace", "camera", *parts, "--format", "json"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert data["recorders"] == len(recorders)
    assert {each["part"]: set(each["keeps_on"]) for each in data["parts"]} == one_by_one
    kept = [len(each["keeps_on"]) for each in data["parts"]]
    assert kept == sorted(kept, reverse=True)
    assert "os/ptz-new" in one_by_one
    assert run(["pair", "os/ptz", "*", "--replace", "camera", *parts]) == 0
    assert "Compared as a pair only." in capsys.readouterr().out


@pytest.mark.parametrize(
    ("condition", "left"),
    [("moves=yes", {"os/ptz", "os/ptz-new"}), ("lamp=none", {"os/two"}), ("ik=IK10", {"os/five"}),
     ("ip=IP67", {"os/ptz"}), ("ip=ip66", {"os/ptz"}),
     ("lamp_range>=50", {"os/ptz", "os/ptz-new"}), ("camera.volts=12", {"os/five", "os/two", "os/ptz", "os/ptz-new"})],
)  # fmt: skip
def test_conditions_on_what_datasheets_state(hand_parts: list[str], condition: str, left: set[str], capsys: Capture) -> None:
    assert run(["pair", "*", "nv/h4", *hand_parts, "--where", condition, "--format", "json"]) == 0
    assert set(json.loads(capsys.readouterr().out)["cameras"]) == left


def test_a_word_is_not_more_than_another(hand_parts: list[str], capsys: Capture) -> None:
    assert run(["pair", "*", "nv/h4", *hand_parts, "--where", "ik>=IK08"]) == 2
    assert "is a word" in capsys.readouterr().err


@pytest.fixture
def hand_parts(tmp_path: Path) -> list[str]:
    """The small catalogue made by hand."""
    import importlib.util

    spec = importlib.util.spec_from_file_location("counter", Path(__file__).with_name("counter.py"))
    assert spec is not None
    assert spec.loader is not None
    counter = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(counter)
    return ["--parts", str(counter.catalogue_file(tmp_path))]
