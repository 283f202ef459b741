"""The list of things to do: what it begins with on twelve sites was written down before the code (first_three.yaml)."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml

from coaxwright.checking import check, load_site
from coaxwright.reading.site_reader import with_value
from coaxwright.reporting.to_do import things_to_do

ROOT = Path(__file__).parents[2]
SITES = yaml.safe_load((Path(__file__).parent / "first_three.yaml").read_text(encoding="utf-8"))


def edited(value: Any, path: list[str], new: Any) -> Any:
    if not path:
        return new
    return {**value, path[0]: edited(value[path[0]] if len(path) > 1 else None, path[1:], new)}


@pytest.mark.parametrize("asked", SITES, ids=[f"{place}-{Path(each['site']).stem}" for place, each in enumerate(SITES)])
def test_the_first_things_are_those_that_were_expected(asked: dict[str, Any]) -> None:
    site = load_site(ROOT / asked["site"])
    value = site.document.value
    for path, new in asked.get("edits", {}).items():
        value = edited(value, path.split("/"), new)
    things = things_to_do(check(with_value(site, value)))
    found = ["+".join(sorted(each.roots)) for each in things[: len(asked["first"])]]
    assert len(found) == len(asked["first"])
    for name, allowed in zip(found, asked["first"], strict=True):
        assert name in allowed, found


def test_every_error_and_warning_stands_under_one_thing_and_errors_come_first() -> None:
    for path in [*(ROOT / "examples").glob("*/*.site.yaml"), *(ROOT / "tests/fixes/three_sites").glob("*.site.yaml")]:
        report = check(path)
        things = things_to_do(report)
        told = [finding for thing in things for finding in thing.findings]
        counted = [
            each for each in report.findings if each.kind == "fail" and each.waived is None and each.level != "note"
        ]
        assert sorted(map(repr, told)) == sorted(map(repr, counted))
        levels = [thing.first.level for thing in things]
        assert levels == sorted(levels)


NURSERY = ROOT / "examples" / "plant-nursery" / "rowan-bank.site.yaml"


def _nursery(**lengths: str) -> list[list[str]]:
    """The things to do at the nursery whose turrets have 0.75 mm2 and these lengths of feed from psu1."""
    site = load_site(NURSERY)
    value = site.document.value
    value = edited(value, ["supplies", "psu1", "trim"], "12 V")
    for name, length in lengths.items():
        runs = [{"cable": "dc-0.75mm2-outdoor", "length": length, "setting": "sheltered"}]
        camera = {**value["cameras"]["gate"], "power": {"from": value["cameras"][name]["power"]["from"], "over": runs}}
        camera["video"] = {**camera["video"], "into": value["cameras"][name]["video"]["into"]}
        value = edited(value, ["cameras", name], camera)
    return [[each.words, *each.roots] for each in things_to_do(check(with_value(site, value)))]


def test_cameras_that_a_trim_could_serve_are_one_thing_with_the_trim_first() -> None:
    feeds = [each for each in _nursery(gate="45 m", yard="46 m", till="47 m") if "no power" in each[0]]
    assert [sorted(each[1:]) for each in feeds] == [["cameras/gate", "cameras/till", "cameras/yard"]]
    assert "no power (3 cameras)" in feeds[0][0]
    assert "2 more are like it. Try: raise the trim of psu1" in feeds[0][0]


def test_a_camera_that_no_trim_can_serve_stands_by_itself() -> None:
    feeds = [each for each in _nursery(gate="45 m", yard="120 m") if "no power" in each[0]]
    assert sorted(len(each) - 1 for each in feeds) == [1, 1]
