"""What a catalogue check says of modes, asks and ways of switching. Expected: docs/writing-a-part.md; CVBS: ITU-R BT.601."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from coaxwright.catalogues.linting import remarks_on
from coaxwright.checking import load_rulebook
from coaxwright.reading.catalogue import build_catalogue

TVI = {"family": "tvi", "mode": ["2592x1944@20", "1920x1080@25"]}
ASKED = {"family": "tvi", "mode": "2592x1944@12.5", "only": "when-asked"}
CAMERA: dict[str, Any] = {
    "kind": "camera", "source": "invented", "emits": [TVI, ASKED], "heeds_asks": True,
    "starts_as": {"family": "tvi", "mode": "2592x1944@20"}, "switched_by": ["dip-switch"],
}  # fmt: skip
ASK = {"family": "tvi", "wanted": "2592x1944@12.5"}
ROW = {"family": "tvi", "mode": ["2592x1944@12.5", "1920x1080@25"]}
RECORDER: dict[str, Any] = {
    "kind": "recorder", "source": "invented", "inputs": [{"channels": "1-4", "accepts": [ROW], "asks": [ASK]}],
    "encodes": [{"up_to": "2592x1944", "rate": "12.5 fps"}],
}  # fmt: skip


def told(tmp_path: Path, camera: Any = None, recorder: Any = None, *, notes: bool = False) -> list[tuple[str, str]]:
    parts = {"one/cam": CAMERA | (camera or {}), "one/rec": RECORDER | (recorder or {})}
    parts["one/cam"] = {name: value for name, value in parts["one/cam"].items() if value is not None}
    path = tmp_path / "p.yaml"
    path.write_text(json.dumps({"parts": parts}), encoding="utf-8")
    found = remarks_on(build_catalogue([(path, "p.yaml")]), load_rulebook() if notes else None)
    return [(each.level, each.what) for each in found if "leaves" not in each.what]


def inputs(accepts: list[Any], asks: list[Any]) -> dict[str, Any]:
    return {"inputs": [{"channels": "1-4", "accepts": accepts, "asks": asks}]}


def test_a_sound_pair(tmp_path: Path) -> None:
    assert told(tmp_path, notes=True) == []


@pytest.mark.parametrize(
    ("camera", "recorder", "level", "words"),
    [
        ({"starts_as": {"family": "tvi", "mode": "1280x720@25"}}, {}, "error", "which is not among what it emits"),
        ({"starts_as": {"family": "tvi", "mode": "2592x1944@12.5"}}, {}, "error", "which it sends only when asked"),
        ({"switched_by": []}, {}, "error", "2 modes to be switched to, and nothing to switch it by"),
        ({"heeds_asks": False}, {}, "error", "sent only when asked, and the camera heeds no asks"),
        ({"emits": [ASKED], "starts_as": None}, {}, "error", "sends nothing unless it is asked"),
        ({"emits": [TVI, ASKED, {"family": "cvbs", "mode": "1920x1080@25"}]}, {}, "error", "it has 576 at most"),
        ({}, inputs([TVI], [ASK]), "error", "asks for tvi 2592x1944@12.5, which no row"),
        ({}, inputs([{**ROW, "maker": "two"}], [ASK]), "error", "these inputs takes from own cameras"),
        ({}, inputs([ROW, {"family": "cvbs", "mode": "1280x720@25"}], []), "error", "it has 576 at most"),
        ({}, {"encodes": [{"up_to": "1920x1080", "rate": "25 fps"}]}, "warning", "no row of `encodes` covers that"),
        ({"emits": [TVI]}, {}, "warning", "which no camera of the catalogue that it means states"),
    ],
)  # fmt: skip
def test_each_slip_is_told(tmp_path: Path, camera: Any, recorder: Any, level: str, words: str) -> None:
    found = told(tmp_path, camera, recorder)
    assert [each for each in found if each[0] == level and words in each[1]], found


def test_rows_after_a_setting_or_at_reduced_width_take_what_is_asked_for(tmp_path: Path) -> None:
    for more in ({"after": "wide"}, {"width": "reduced"}, {"maker": "own"}):
        assert told(tmp_path, {}, inputs([{**ROW, **more}], [ASK])) == []


def test_a_channel_of_encodes_that_is_no_input(tmp_path: Path) -> None:
    found = told(tmp_path, {}, {"encodes": [{"up_to": "2592x1944", "rate": "12.5 fps", "channels": "1-6"}]})
    assert ("error", "channel 5 is named, and there is no such input") in found


def test_what_a_camera_with_several_modes_leaves_out_is_noted(tmp_path: Path) -> None:
    found = told(tmp_path, {"starts_as": None, "switched_by": None}, notes=True)
    assert [level for level, _ in found] == ["note", "note"]
    one = {"emits": [{"family": "tvi", "mode": "1920x1080@25"}], "starts_as": None, "switched_by": None}
    assert told(tmp_path, one, {"inputs": [{"channels": 1, "accepts": [ROW]}]}, notes=True) == []
