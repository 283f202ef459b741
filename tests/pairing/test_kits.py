"""Kits: the longest run is where the check of the laid-out site begins to fail, and what the box lacks is told."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
import yaml

from coaxwright.checking import check
from coaxwright.cli.main import run
from coaxwright.errors import Refusal
from coaxwright.pairing.kit_sites import StandIns, contents, lay_out
from coaxwright.pairing.kits import STEP, KitAnswer, check_kit
from coaxwright.pairing.small_sites import load_value
from coaxwright.reading.catalogue import Catalogue, build_catalogue

ROOT = Path(__file__).resolve().parents[2]
BOATYARD = ROOT / "examples" / "boatyard" / "parts"
WHOLE = [
    {"part": "tarnwell/hybrid-8"},
    {"part": "tarnwell/turret-5", "count": 3},
    {"part": "tarnwell/dc12-10a-9way"},
    {"part": "tarnwell/disk-8tb"},
    {"part": "rg59-copper", "count": 3, "length": "20 m"},
    {"part": "dc-0.75mm2", "count": 3, "length": "20 m"},
]


def without(*parts: str) -> list[dict[str, Any]]:
    return [item for item in WHOLE if item["part"] not in parts]


@pytest.fixture
def packed(tmp_path: Path) -> Any:
    """A catalogue with one kit, or with several by id."""

    def make(kits: Any) -> Catalogue:
        several = kits if isinstance(kits, dict) else {"tarnwell/kit": kits}
        entries = {name: {"kind": "kit", "source": "invented", "contains": items} for name, items in several.items()}
        path = tmp_path / "kits.yaml"
        path.write_text(yaml.safe_dump({"parts": entries}), encoding="utf-8")
        return build_catalogue((each, each.name) for each in [*sorted(BOATYARD.glob("*.yaml")), path])

    return make


def asked(catalogue: Catalogue, **stand_ins: Any) -> KitAnswer:
    return check_kit(catalogue, "tarnwell/kit", StandIns(**stand_ins))


def test_a_whole_kit(packed: Any) -> None:
    answer = asked(packed(WHOLE))
    assert answer.complete
    assert answer.boxed
    assert (answer.cameras, answer.missing, answer.left_over) == (3, (), ())


def test_the_longest_run_by_hand(packed: Any) -> None:
    """5.2 W at 12 V and 10.8 V at least, 2 x 26 ohm/km warmed to 40 degC (0.75 mm2 flexible, IEC 60228 table 3).

    At the limit the current is 5.2 W / 10.8 V, the drop 1.2 V: metres = 1.2 / (5.2 / 10.8) / (2 x 0.026 x 1.0786).
    """
    answer = asked(packed(WHOLE))
    by_hand = 1.2 / (5.2 / 10.8) / (2 * 0.026 * (1 + 0.00393 * 20))
    assert answer.metres is not None
    assert answer.metres <= by_hand <= answer.metres + STEP
    assert {each.rule for each in answer.ends} == {"power/undervoltage"}


def test_both_sides_are_proven_by_a_check(packed: Any) -> None:
    catalogue = packed(WHOLE)
    answer, layout = asked(catalogue), lay_out(catalogue, "tarnwell/kit", StandIns())
    assert answer.metres is not None

    def errors(metres: float) -> list[str]:
        report = check(load_value(layout.at(metres), catalogue))
        return [each.rule for each in report.findings if each.kind == "fail" and each.level == "error"]

    assert not errors(answer.metres)
    assert errors(answer.metres + STEP)


def test_thicker_cable_reaches_further(packed: Any) -> None:
    bare = packed(without("dc-0.75mm2"))
    thin, thick = (asked(bare, power=name).metres for name in ("dc-0.75mm2", "dc-1.5mm2"))
    assert thin is not None
    assert thick is not None
    assert thick > 1.8 * thin


@pytest.mark.parametrize(
    ("items", "missing"),
    [
        (without("dc-0.75mm2"), ("3 x power cable",)),
        (without("rg59-copper"), ("3 x video cable",)),
        (without("tarnwell/disk-8tb"), ("1 x disk for tarnwell/hybrid-8",)),
        (without("tarnwell/dc12-10a-9way"), ("3 x supply output for tarnwell/turret-5",)),
        ([*without("rg59-copper"), {"part": "cat5e", "count": 3, "length": "20 m"}], ("6 x balun",)),
    ],
)
def test_what_the_box_lacks(packed: Any, items: list[dict[str, Any]], missing: tuple[str, ...]) -> None:
    answer = asked(packed(items))
    assert answer.missing == missing
    assert not answer.complete


def test_too_many_cameras_for_the_inputs(packed: Any) -> None:
    answer = asked(packed([*without("tarnwell/turret-5"), {"part": "tarnwell/turret-5", "count": 9}]))
    assert "1 x recorder input for tarnwell/turret-5" in answer.missing
    assert "6 x video cable" in answer.missing


def test_pair_cable_with_its_baluns(packed: Any) -> None:
    items = [*without("rg59-copper"), {"part": "cat5e", "count": 3, "length": "20 m"}]
    answer = asked(packed([*items, {"part": "generic/balun-passive", "count": 6}]))
    assert not [word for word in answer.missing if "balun" in word]
    assert "cable/media-mixed-without-balun" not in {each.rule for each in answer.fails}


def test_what_is_left_over(packed: Any) -> None:
    assert asked(packed([*WHOLE, {"part": "rg59-copper", "count": 2, "length": "20 m"}])).left_over == (
        "2 x rg59-copper",
    )


def test_boxed_lengths_that_are_too_long(packed: Any) -> None:
    items = [*without("dc-0.75mm2"), {"part": "dc-0.75mm2", "count": 3, "length": "60 m"}]
    answer = asked(packed(items))
    assert not answer.holds
    assert {each.rule for each in answer.fails} == {"power/undervoltage"}
    assert answer.metres is not None
    assert answer.metres < 60


def test_kits_within_kits(packed: Any) -> None:
    pair_of = [{"part": "tarnwell/turret-5", "count": 2}]
    catalogue = packed(
        {"tarnwell/kit": [*without("tarnwell/turret-5"), {"part": "tarnwell/two", "count": 2}], "tarnwell/two": pair_of}
    )
    assert len(contents(catalogue, "tarnwell/kit").of("camera")) == 4
    looped = packed({"tarnwell/kit": [{"part": "tarnwell/two"}], "tarnwell/two": [{"part": "tarnwell/kit"}]})
    with pytest.raises(Refusal, match="within itself"):
        contents(looped, "tarnwell/kit")


@pytest.mark.parametrize(
    ("missing", "words"), [("tarnwell/turret-5", "no camera"), ("tarnwell/hybrid-8", "no recorder")]
)
def test_no_system_at_all(packed: Any, missing: str, words: str) -> None:
    with pytest.raises(Refusal, match=words):
        asked(packed(without(missing)))


def test_the_command(packed: Any, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    packed(WHOLE)
    call = ["kit", "check", "tarnwell/kit", "--parts", str(BOATYARD / "*.yaml"), "--parts", str(tmp_path / "kits.yaml")]
    assert run(call) == 0
    assert "for every camera alike" in capsys.readouterr().out
    packed(without("tarnwell/disk-8tb"))
    assert run([*call, "--format", "json"]) == 1
    data = json.loads(capsys.readouterr().out)
    assert data["missing"] == ["1 x disk for tarnwell/hybrid-8"]
    assert run(["kit", "check", "tarnwell/turret-5", *call[3:]]) == 2
    assert "a kit is asked for" in capsys.readouterr().err


def test_a_contradiction_in_the_box_is_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Of a kit within a kit too: once on standard error, and in JSON under the key that others have."""
    eye = {"kind": "camera", "source": "invented", "emits": [{"family": "tvi", "mode": "1920x1080@25"}],
           "power": {"kind": "dc", "volts": "12 V", "volts_min": "13 V", "watts_night": "5 W"}}  # fmt: skip
    inner = {"kind": "kit", "source": "invented", "contains": [{"part": "zz/eye", "count": 2}]}
    rec = {"kind": "recorder", "source": "invented",
           "inputs": [{"channels": "1-4", "accepts": [{"family": "tvi", "mode": "1920x1080@25"}]}]}  # fmt: skip
    outer = {"kind": "kit", "source": "invented", "contains": [{"part": "zz/rec"}, {"part": "zz/inner"}]}
    parts = {"zz/eye": eye, "zz/rec": rec, "zz/inner": inner, "zz/outer": outer}
    path = tmp_path / "zz.yaml"
    path.write_text(yaml.safe_dump({"parts": parts}), encoding="utf-8")
    assert run(["kit", "check", "zz/outer", "--parts", str(path), "--format", "json"]) == 1
    told = capsys.readouterr()
    (line,) = json.loads(told.out)["contradictions"]
    assert "`volts` (12) is below `volts_min` (13)" in line
    assert told.err.count("is below `volts_min`") == 1
    eye["power"]["volts_min"] = "10 V"
    path.write_text(yaml.safe_dump({"parts": parts}), encoding="utf-8")
    assert run(["kit", "check", "zz/outer", "--parts", str(path), "--format", "json"]) == 1
    assert json.loads(capsys.readouterr().out)["contradictions"] == []
