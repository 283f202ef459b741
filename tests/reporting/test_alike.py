"""What is the same at several cameras is one thing to do, and told once. Common practice of the trade."""

from __future__ import annotations

from pathlib import Path

import pytest

from coaxwright import check
from coaxwright.cli.main import run
from coaxwright.reporting.to_do import things_to_do

PARTS = """\
parts:
  tern/b5: {kind: camera, source: invented, emits: [{family: tvi, mode: [2592x1944@20, 1920x1080@25]}],
    starts_as: {family: tvi, mode: 2592x1944@20}, switched_by: [dip-switch]}
  tern/b5-late: {kind: camera, source: invented, emits: [{family: tvi, mode: [2592x1944@20, 1920x1080@25]}],
    starts_as: {family: tvi, mode: 2592x1944@20}, switched_by: [dip-switch]}
  tern/r8: {kind: recorder, source: invented, inputs: [{channels: 1-8, accepts: [{family: tvi, mode: 1920x1080@25}]}]}
"""
CAMERA = "  {name}: {{part: tern/{part}, video: {{into: rec/{number}, over: [{{cable: rg59-copper, length: {length} m}}]}}}}\n"


@pytest.fixture
def site(tmp_path: Path) -> Path:
    (tmp_path / "parts.yaml").write_text(PARTS, encoding="utf-8")
    cameras = [("gate", "b5", 20), ("slip", "b5", 30), ("shed", "b5-late", 40), ("rec-room", "b5", 50)]
    text = "site: Tern Point\nparts: [parts.yaml]\nrecorders: {rec: {part: tern/r8}}\ncameras:\n"
    for number, (name, part, length) in enumerate(cameras, 1):
        text += CAMERA.format(name=name, part=part, number=number, length=length)
    path = tmp_path / "tern.site.yaml"
    path.write_text(text, encoding="utf-8")
    return path


def test_cameras_of_one_part_in_the_wrong_mode_are_one_thing(site: Path) -> None:
    things = [each for each in things_to_do(check(site)) if each.first.rule == "signal/needs-setting"]
    assert [each.roots for each in things] == [("cameras/gate", "cameras/slip", "cameras/rec-room"), ("cameras/shed",)]
    assert things[0].cameras == 3
    assert "2 more are like it" in things[0].words


def test_what_is_the_same_is_not_printed_again(site: Path, capsys: pytest.CaptureFixture[str]) -> None:
    run(["check", str(site)])
    out = capsys.readouterr().out
    assert "cameras/slip (line 6): the same" in out
    assert "cameras/rec-room (line 8): the same" in out
    assert out.count("there is one after") <= 3
