"""What a fact rests on. Expected: worked out by hand from which words of the files a fact is made of."""

from __future__ import annotations

from pathlib import Path

import pytest

from coaxwright.checking import explain_subject, load_site
from coaxwright.cli.main import run
from coaxwright.facts.provenance import Provenance

PARTS = """\
parts:
  aa/cam:
    kind: camera
    source: invented
    emits: [{family: tvi, mode: [2560x1440@30, 1920x1080@25]}]
    starts_as: {family: tvi, mode: 1920x1080@25}
    power: {volts: 12 V, volts_min: 10 V, volts_max: 14 V, watts_day: 3 W, watts_night: 5 W}
  bb/rec:
    kind: recorder
    source: invented
    inputs: [{channels: 1-4, accepts: [{family: tvi, mode: 1920x1080@25}]}]
    encodes: [{up_to: 1920x1080, rate: 25 fps}]
    encodes_total: 200 Mpx/s
    codecs: [h264]
"""
SITE = """\
site: one
parts: [parts.yaml]
recorders: {r: {part: bb/rec}}
supplies: {p: {part: dc12-5a-4way}}
cameras:
  c: {part: aa/cam, video: {into: r/1, over: [{cable: rg59-copper, length: 40 m}]},
      power: {from: p/1, over: [{cable: dc-1mm2, length: 30 m}]}}
  d: {part: aa/cam, video: {into: r/2, over: [{cable: rg59-copper, length: 90 m}]}}
"""


@pytest.fixture(scope="module")
def found(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Provenance]:
    folder = tmp_path_factory.mktemp("whence")
    (folder / "parts.yaml").write_text(PARTS, encoding="utf-8")
    (folder / "one.site.yaml").write_text(SITE, encoding="utf-8")
    shown = explain_subject(load_site(folder / "one.site.yaml"), "cameras/c", provenance=True)
    return {each.name: each.provenance for each in shown if each.provenance is not None}


def paths(rests: Provenance) -> set[str]:
    return {place.path for place in rests.stated}


def test_a_word_of_a_part(found: dict[str, Provenance]) -> None:
    rests = found["camera.volts_min"]
    assert (rests.kind, paths(rests), rests.assumed) == ("stated", {"parts/aa/cam/power/volts_min"}, ())
    assert (rests.stated[0].line, Path(rests.stated[0].file).name) == (7, "parts.yaml")


def test_how_it_is_switched_rests_on_its_factory_setting(found: dict[str, Provenance]) -> None:
    rests = found["link.emitted_mode"]
    assert rests.kind == "worked out"
    assert paths(rests) >= {"parts/aa/cam/starts_as/mode"}
    assert "cameras/d/video/over/0/length" not in paths(rests)


def test_a_voltage_rests_on_lengths_loads_and_what_is_assumed(found: dict[str, Provenance]) -> None:
    rests = found["feed.volts_night"]
    assert rests.kind == "assumed"
    assert paths(rests) >= {"cameras/c/power/over/0/length", "parts/aa/cam/power/watts_night"}
    assert not any(path.startswith("cameras/d") for path in paths(rests))
    rows = {used.name for used in rests.assumed}
    assert rows >= {"conductor-temperature", "load-kind"}
    assert "motion-factor" not in rows


def test_a_bit_rate_rests_on_bits_a_pixel(found: dict[str, Provenance]) -> None:
    rests = found["camera.bitrate"]
    assert {used.name for used in rests.assumed} >= {"bits-per-pixel-h264", "motion-factor"}


def test_what_is_not_known_is_open(found: dict[str, Provenance]) -> None:
    assert found["camera.temperature_min"].kind == "open"


def test_every_known_fact_has_one(found: dict[str, Provenance]) -> None:
    assert {rests.kind for rests in found.values()} == {"stated", "worked out", "assumed", "open"}


def test_the_command_tells_it(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "parts.yaml").write_text(PARTS, encoding="utf-8")
    site = tmp_path / "one.site.yaml"
    site.write_text(SITE, encoding="utf-8")
    assert run(["explain", str(site), "cameras/c", "--provenance"]) == 0
    text = capsys.readouterr().out
    assert "assumed: conductor-temperature 40 °C; source: IEC 60364" in text
    assert "stated, from parts/aa/cam/power/volts_min" in text
    assert run(["explain", str(site), "cameras/c", "--format", "json", "--provenance"]) == 0
    assert '"provenance"' in capsys.readouterr().out
