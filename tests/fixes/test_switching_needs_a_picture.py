"""A camera whose only menu is over the coax is never shown as "switch it" where no picture shows that menu.

Source: common practice; expectations worked by hand from the two parts.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from coaxwright.cli.main import run

PARTS = """\
parts:
  mm/eye:
    kind: camera
    source: invented
    emits: [{family: tvi, mode: [3840x2160@12.5, 1920x1080@25]}]
    starts_as: {family: tvi, mode: 3840x2160@12.5}
    switched_by: [WAYS]
    control: {over_coax: [tvi]}
  rr/box:
    kind: recorder
    source: invented
    inputs: [{channels: 1-4, accepts: [{family: tvi, mode: 1920x1080@25}, {family: tvi, mode: 2560x1440@25}]}]
    encodes: [{up_to: 2560x1440, rate: 25 fps}]
    encodes_total: 400 Mpx/s
    codecs: [h264]
    control: {coax_families: [tvi]}
"""
SITE = """\
site: one camera
parts: [parts.yaml]
recorders: {box: {part: rr/box}}
cameras:
  eye: {part: mm/eye, video: {into: box/1, over: [{cable: rg59-copper, length: 20 m}]}}
"""


@pytest.mark.parametrize(
    ("ways", "offered"), [("menu-over-coax", False), ("menu-over-coax, menu-button", True), ("dip-switch", True)]
)
def test_the_menu_needs_a_picture(ways: str, offered: bool, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "parts.yaml").write_text(PARTS.replace("WAYS", ways), encoding="utf-8")
    site = tmp_path / "one.site.yaml"
    site.write_text(SITE, encoding="utf-8")
    run(["fix", str(site), "--format", "json"])
    said = capsys.readouterr().out
    assert json.loads(said)
    assert ("switch eye to tvi 1920x1080@25" in said) is offered
