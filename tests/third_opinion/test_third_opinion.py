"""The program against an oracle that was written from docs/ and schemas/ alone.

Source of every expectation: docs/how-facts-are-computed.md, docs/rules/facts.md, docs/rules/tables.md, docs/writing-a-site.md and
docs/writing-a-part.md. The oracle was committed before it was first compared; what the two then differed in, and how each
difference was decided, stands in docs/quality.md.
"""

import os
from pathlib import Path

import pytest
from click.testing import CliRunner

from coaxwright import check, load_site
from coaxwright.cli.main import group

from . import sites
from .comparing import Difference, compare, same

FULL = bool(os.environ.get("COAXWRIGHT_FULL"))
SEED = int(os.environ.get("COAXWRIGHT_THIRD_SEED", "0"))
SITES = 2_000 if FULL else 40
BLOCK = 20


def judged(seed: int, folder: Path) -> tuple[int, list[Difference]]:
    """One random site by both: how many facts, and where they differ."""
    report = check(load_site(sites.write(seed, folder))).to_dict()
    return compare(folder, report["sites"][0]["facts"])


@pytest.mark.parametrize("first", range(SEED, SEED + SITES, BLOCK))
def test_both_say_the_same_of_random_sites(first: int, tmp_path: Path) -> None:
    found, compared = [], 0
    for seed in range(first, first + BLOCK):
        facts, differences = judged(seed, tmp_path)
        compared += facts
        found += [(seed, *each) for each in differences]
    assert found == []
    assert compared > 50 * BLOCK


def test_a_difference_is_seen() -> None:
    assert not same(12.0, 12.001, 1e-6)
    assert not same(None, 0.0, 1e-6)
    assert not same("full", None, 1e-6)
    assert not same(True, 1, 1e-6)
    assert same(0.0, 0.0, 1e-6)


def test_nothing_of_the_oracle_comes_from_the_program() -> None:
    room = Path(__file__).parent
    readers = [
        path.name for path in room.glob("*.py") if "import" in path.read_text() and "coaxwright" in path.read_text()
    ]
    assert readers == [Path(__file__).name]


PARTS = """\
parts:
  alder/camera:
    {kind: camera, source: invented, emits: [{family: [tvi, ahd], mode: 1920x1080@25}], switched_by: [menu-button]}
  alder/recorder:
    {kind: recorder, source: invented, inputs: [{channels: 1-4, accepts: [{family: [tvi, ahd], mode: 1920x1080@25}]}]}
"""
SITE = """\
site: A mode in two families
parts: [third.parts.yaml]
recorders: {rec1: {part: alder/recorder}}
cameras: {gate: {part: alder/camera, set: {mode: 1920x1080@25}, video: {into: rec1/1}}}
"""


def test_a_camera_whose_family_is_open_is_explained(tmp_path: Path) -> None:
    """A mode alone under `set` that the camera has in two families: `explain` once ended there."""
    (tmp_path / "third.parts.yaml").write_text(PARTS, encoding="utf-8")
    file = tmp_path / "third.site.yaml"
    file.write_text(SITE, encoding="utf-8")
    told = CliRunner().invoke(group, ["explain", str(file), "cameras/gate"])
    assert told.exception is None, told.exception
    assert "family not known 1920x1080@25" in told.output


UNSAID = """\
parts:
  alder/camera:
    kind: camera
    source: invented
    emits: [{family: tvi, mode: 2592x1944@20}, {family: tvi, mode: 1280x720@25, only: when-asked}]
    switched_by: [menu-button]
  alder/recorder:
    kind: recorder
    source: invented
    settings: [slow]
    inputs:
      - channels: 1-4
        accepts: [{family: tvi, mode: [2592x1944@20, 1280x720@25], width: reduced, after: slow}]
        asks: [{family: tvi, wanted: 1280x720@25}]
"""


def test_what_hangs_on_an_unstated_ask_is_open(tmp_path: Path) -> None:
    """After the setting there is a picture, whichever it is: nobody may say that there never is one."""
    (tmp_path / "third.parts.yaml").write_text(UNSAID, encoding="utf-8")
    file = tmp_path / "third.site.yaml"
    file.write_text(SITE.replace(" set: {mode: 1920x1080@25},", ""), encoding="utf-8")
    report = check(load_site(file)).to_dict()["sites"][0]
    assert "outcome" not in report["facts"]["cameras/gate"]
    open_ones = {each["rule"]: each["missing"] for each in report["findings"] if each["kind"] == "open"}
    assert open_ones["signal/no-picture"] == ["parts/alder/camera/heeds_asks"]
