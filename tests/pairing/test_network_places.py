"""Network cameras of a set on hybrid recorders, counted by hand.

That inputs are given up for them, the highest first, is common practice (docs/how-facts-are-computed.md).
"""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
import yaml

from coaxwright.cli.main import run

BOATYARD = Path(__file__).resolve().parents[2] / "examples" / "boatyard"
EYE = {
    "kind": "camera", "source": "invented datasheet FK-N1", "network": {"mode": "1920x1080@25", "bitrate": "4 Mb/s"},
    "power": {"kind": "poe", "poe_class": 2, "watts_day": "4 W", "watts_night": "5 W"},
}  # fmt: skip


@pytest.fixture
def yard(tmp_path: Path) -> Path:
    folder = tmp_path / "yard"
    shutil.copytree(BOATYARD, folder)
    (folder / "parts" / "eye.yaml").write_text(yaml.safe_dump({"parts": {"fennick/eye-1": EYE}}), encoding="utf-8")
    return folder


def answer(yard: Path, capsys: pytest.CaptureFixture[str], coax: int, eyes: int, network: str | None) -> dict:
    """The choices for so many of each; `network` is what the recorder's part states in the place of its own."""
    file = yard / "parts" / "tarnwell.yaml"
    text = file.read_text(encoding="utf-8")
    was = "network: {cameras: 2, cameras_max: 10, incoming: 32 Mb/s, outgoing: 64 Mb/s, viewers: 16}"
    assert was in text
    file.write_text(text.replace(was, f"network: {network}" if network else ""), encoding="utf-8")
    rows = f"Model,Qty\ntarnwell/dome-2,{coax}\nfennick/eye-1,{eyes}\n"
    (yard / "list.csv").write_text(rows, encoding="utf-8")
    call = ["pair", "--cameras", str(yard / "list.csv"), "tarnwell/hybrid-8", "--parts", f"{yard}/parts/*.yaml"]
    capsys.readouterr()
    assert run([*call, "--format", "json"]) in (0, 1)
    return json.loads(capsys.readouterr().out)


# Eight coax inputs. (coax, network cameras, what the part states) -> inputs given up, coax without input, network without place
@pytest.mark.parametrize(
    ("coax", "eyes", "network", "given_up", "without_input", "without_place"),
    [
        (8, 2, "{cameras: 2, cameras_max: 10}", [], 0, 0),
        (6, 4, "{cameras: 2, cameras_max: 10}", [7, 8], 0, 0),
        (7, 4, "{cameras: 2, cameras_max: 10}", [7, 8], 1, 0),
        (2, 5, "{cameras: 2, cameras_max: 10, inputs_each: 2}", [3, 4, 5, 6, 7, 8], 0, 0),
        (1, 7, "{cameras: 2, cameras_max: 10, inputs_each: 3}", [3, 4, 5, 6, 7, 8], 0, 3),
        (8, 5, "{cameras: 2, cameras_max: 10, inputs_each: 0}", [], 0, 0),
        (4, 5, "{cameras: 2, cameras_max: 4}", [7, 8], 0, 1),
        (4, 5, "{cameras: 2}", [], 0, 3),
        (4, 5, None, [], 0, 5),
    ],
)
def test_by_hand(
    yard: Path, capsys: pytest.CaptureFixture[str], coax: int, eyes: int, network: str | None,
    given_up: list[int], without_input: int, without_place: int,
) -> None:  # fmt: skip
    told = answer(yard, capsys, coax, eyes, network)
    one = next(each for each in told["choices"] if each["recorders"] == ["tarnwell/hybrid-8"])
    assert one["network"]["given_up"] == [given_up]
    assert (one["without_input"], one["network"]["without_place"]) == (without_input, without_place)
    assert one["network"]["placed"] == eyes - without_place
    stated = bool(network) and "cameras_max" in network
    assert one["network"]["not_stated"] == ([] if stated or not without_place else ["tarnwell/hybrid-8"])
    assert not {seat["input"] for seat in one["seats"]} & set(given_up)
    assert one["enough"] == (without_input == without_place == 0)
    assert len(told["verdict"].split()) <= 75


def test_two_recorders_use_what_costs_nothing_first(yard: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """12 coax and 4 network cameras: two of eight inputs take 2 + 2 network cameras, and no input is given up."""
    told = answer(yard, capsys, 12, 4, "{cameras: 2, cameras_max: 10}")
    best = told["choices"][0]
    assert (best["recorders"], best["network"]["given_up"]) == (["tarnwell/hybrid-8"] * 2, [[], []])
    assert best["enough"]


@pytest.mark.parametrize(
    ("condition", "kept"),
    [
        ("recorder.network_cameras>=2", ["tarnwell/hybrid-8"]), ("recorder.network_cameras>=3", []),
        ("volts_min<=10.2", ["tarnwell/dome-2"]), ("volts_max>=13.8", ["tarnwell/dome-2"]), ("volts_max>=14", []),
    ],
)  # fmt: skip
def test_conditions(yard: Path, capsys: pytest.CaptureFixture[str], condition: str, kept: list[str]) -> None:
    """The boatyard's parts: two network cameras beside all inputs; 10.2 to 13.8 V for the dome, 10.8 to 13.2 V for others."""
    capsys.readouterr()
    code = run(["pair", "*", "*", "--parts", f"{yard}/parts/*.yaml", "--where", condition, "--format", "json"])
    told = capsys.readouterr()
    if not kept:
        assert code == 2
        assert "meet every --where" in told.err
        return
    assert json.loads(told.out)["recorders" if "recorder" in condition else "cameras"] == kept
