"""`coaxwright new`: what it writes is read by the program's own reader and by PyYAML, and has no error."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
import yaml

from coaxwright.checking import check, load_site
from coaxwright.cli.main import run

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    shutil.copytree(ROOT / "examples" / "boatyard" / "parts", tmp_path / "parts")
    return tmp_path


@pytest.mark.parametrize("cameras", [1, 4, 5, 9, 19, 33])
@pytest.mark.parametrize("parts", [True, False])
def test_what_is_written_checks(cameras: int, parts: bool, folder: Path) -> None:
    site = folder / "mill.site.yaml"
    more = ["--parts", "parts/*.yaml"] if parts else []
    assert run(["new", str(site), "--cameras", str(cameras), "--length", "30m", "--retention", "3", *more]) == 0
    report = check(load_site(site))
    assert report.summary.error == 0, [each.message for each in report.findings if each.level == "error"]
    value = yaml.safe_load(site.read_text(encoding="utf-8"))
    assert len(value["cameras"]) == cameras
    ports = [each["video"]["into"] for each in value["cameras"].values()]
    outputs = [each["power"]["from"] for each in value["cameras"].values()]
    assert len(set(ports)) == len(set(outputs)) == cameras, "every camera on an input and an output of its own"
    assert (folder / "own.parts.yaml").exists() is not parts


def test_what_was_answered_stands_there(folder: Path) -> None:
    site = folder / "x.site.yaml"
    call = ["new", str(site), "--name", "Mill: the 'old' #1", "--cameras", "gate, yard", "--setting", "outdoor",
            "--retention", "21", "--video-rate", "30", "--parts", "parts/*.yaml", "--camera", "tarnwell/turret-5", "--cable",
            "rg6-copper"]  # fmt: skip
    assert run(call) == 0
    loaded = load_site(site)
    assert loaded.site.site == "Mill: the 'old' #1"
    assert (loaded.site.video_rate, loaded.site.retention) == (30, 21)
    assert list(loaded.site.cameras) == ["gate", "yard"]
    assert {each.part for each in loaded.site.cameras.values()} == {"tarnwell/turret-5"}
    assert {each.place.setting for each in loaded.site.cameras.values() if each.place} == {"outdoor"}
    report = check(loaded)
    assert report.summary.open, "no length was given, and none is invented"


def test_nothing_is_replaced(folder: Path, capfd: pytest.CaptureFixture[str]) -> None:
    site = folder / "x.site.yaml"
    site.write_text("dear")
    assert run(["new", str(site)]) == 2
    assert site.read_text() == "dear"
    (folder / "own.parts.yaml").write_text("dear")
    assert run(["new", str(folder / "y.site.yaml")]) == 2
    assert not (folder / "y.site.yaml").exists()
    assert "exists already" in capfd.readouterr().err


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--cameras", "0"], "no number from 1 to 4096"), (["--cameras", "a,a"], "one twice"),
        (["--cameras", "a/b"], "--cameras"), (["--length", "5"], "has no unit"), (["--parts", "../*.yaml"], "leads out of"),
        (["--parts", "parts/*.yaml", "--camera", "tarnwell/turet-5"], "did you mean `tarnwell/turret-5`"),
        (["--parts", "parts/*.yaml", "--recorder", "tarnwell/turret-5"], "there is no recorder part"),
        (["--name", "\u202ebad"], ""),
    ],
)  # fmt: skip
def test_wrong_answers(words: list[str], told: str, folder: Path, capfd: pytest.CaptureFixture[str]) -> None:
    assert run(["new", str(folder / "x.site.yaml"), *words]) == 2
    assert told in capfd.readouterr().err
    assert not (folder / "x.site.yaml").exists()


def test_disks_hold_what_is_asked_for(folder: Path, capfd: pytest.CaptureFixture[str]) -> None:
    site = folder / "x.site.yaml"
    assert (
        run(["new", str(site), "--cameras", "6", "--length", "30m", "--retention", "30", "--parts", "parts/*.yaml"])
        == 0
    )
    capfd.readouterr()
    run(["check", str(site), "--format", "json"])
    facts = json.loads(capfd.readouterr().out)["sites"][0]["facts"]["recorders/rec1/disks"]
    assert facts["days"] >= 30


def test_what_nobody_named_is_chosen_so_that_it_holds(folder: Path) -> None:
    for setting, length in (("indoor", "30m"), ("outdoor", "70m")):
        site = folder / f"{setting}.site.yaml"
        call = ["new", str(site), "--cameras", "5", "--length", length, "--setting", setting, "--retention", "3"]
        assert run([*call, "--parts", "parts/*.yaml"]) == 0
        report = check(load_site(site))
        failing = {each.rule for each in report.findings if each.kind == "fail" and each.level != "note"}
        assert failing.isdisjoint(("power/undervoltage", "signal/reduced-width", "cable/indoor-cable-outdoors"))
        power = yaml.safe_load(site.read_text(encoding="utf-8"))["defaults"]["cable"]["power"]
        assert power.endswith("-outdoor") is (setting == "outdoor")


def test_a_longer_run_gets_thicker_conductors(folder: Path) -> None:
    chosen = []
    for length in ("20m", "120m"):
        site = folder / f"at{length}.site.yaml"
        call = ["new", str(site), "--cameras", "3", "--length", length, "--camera", "tarnwell/turret-5"]
        assert run([*call, "--parts", "parts/*.yaml"]) == 0
        chosen.append(yaml.safe_load(site.read_text(encoding="utf-8"))["defaults"]["cable"]["power"])
    assert chosen[0] == "dc-1mm2"
    assert chosen[1] != "dc-1mm2"


def test_the_first_line_names_a_schema_that_is_there(folder: Path) -> None:
    below = folder / "sites" / "mill"
    below.mkdir(parents=True)

    def first_line(name: str) -> str:
        assert run(["new", str(below / name), "--cameras", "2"]) == 0
        return (below / name).read_text(encoding="utf-8").splitlines()[0]

    none = first_line("a.site.yaml")
    assert "yaml-language-server" not in none, "an editor complains about a schema that is not there"
    assert "`coaxwright schema site -o site.schema.json`" in none
    (below / "own.parts.yaml").unlink()
    (folder / "schemas").mkdir()
    assert run(["schema", "site", "-o", str(folder / "schemas" / "site.schema.json")]) == 0
    line = first_line("b.site.yaml")
    assert line == "# yaml-language-server: $schema=../../schemas/site.schema.json"
    assert json.loads((below / line.partition("$schema=")[2]).read_text(encoding="utf-8"))["properties"]["cameras"]
