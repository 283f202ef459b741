"""A small invented site with its part file."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from coaxwright.errors import Refusal
from coaxwright.reading.site_reader import load_site_text

PARTS = """\
parts:
  brackwater/bullet-5:
    kind: camera
    source: invented
    emits: [{family: tvi, mode: 2592x1944@20}]
  brackwater/ear:
    kind: pickup
    source: invented
  tarnwell/hybrid-8:
    kind: recorder
    source: invented
    inputs: [{channels: 1-8, accepts: [{family: tvi, mode: 2592x1944@20, after: five-megapixel}]}]
    settings: [slow-shutter]
  tarnwell/psu: {kind: supply, source: invented, volts: 12 V}
  tarnwell/disk: {kind: disk, source: invented, capacity: 4 TB}
  hollin/coax: {kind: cable, source: invented, carries: [coax]}
  hollin/joint: {kind: box, source: invented, does: joint}
  hollin/switch: {kind: switch, source: invented, ports: 8}
  tarnwell/screen: {kind: monitor, source: invented}
"""

SITE = """\
site: Reed Landing
parts: [parts/*.yaml]
recorders:
  rec1: {part: tarnwell/hybrid-8, disks: [tarnwell/disk], set: [five-megapixel], monitors: [desk]}
supplies:
  psu1: {part: tarnwell/psu}
boxes:
  j1: {part: hollin/joint}
switches:
  sw1: {part: hollin/switch, over: [{cable: cat5e, length: 5 m}]}
monitors:
  desk: {part: tarnwell/screen, from: rec1/hdmi}
cameras:
  jetty:
    part: brackwater/bullet-5
    video: {into: rec1/1, over: [{cable: hollin/coax, length: 85 m}, {box: j1}]}
    power: {from: psu1/1, over: [{cable: dc-0.75mm2, length: 280 ft}]}
    sound: {into: rec1/audio1, pickup: brackwater/ear, over: [{cable: cat5e, length: 12 m}]}
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """The folder of the site, with its part file and the site file."""
    (tmp_path / "parts").mkdir()
    (tmp_path / "parts" / "all.yaml").write_text(PARTS)
    (tmp_path / "reed.site.yaml").write_text(SITE)
    return tmp_path


@pytest.fixture
def told(folder: Path) -> Callable[[str], list[str]]:
    """All problems of a site text, as lines; none when it is read."""

    def problems(text: str) -> list[str]:
        try:
            load_site_text(text, "f", folder)
        except Refusal as refusal:
            return [str(problem) for problem in refusal.problems]
        return []

    return problems
