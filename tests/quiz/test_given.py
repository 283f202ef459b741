"""Figures that question patterns print as given are those of the rules and tables: what a paper tells is what judges."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml

RULES = Path(__file__).parents[2] / "rules"
PATTERNS = RULES / "quiz" / "patterns"


def given(pattern: str) -> dict[str, str]:
    data = yaml.safe_load((PATTERNS / f"{pattern}.yaml").read_text(encoding="utf-8"))
    return {row["label"]: str(row["value"]) for row in data["given"]}


def limit(rule: str, name: str) -> str:
    data = yaml.safe_load((RULES / f"{rule}.yaml").read_text(encoding="utf-8"))
    return str(data["limits"][name]["value"])


def rows(table: str) -> list[dict[str, Any]]:
    return list(yaml.safe_load((RULES / "tables" / f"{table}.yaml").read_text(encoding="utf-8"))["rows"])


@pytest.mark.parametrize(
    ("pattern", "label", "rule", "name"),
    [
        (
            "power/clears-undervoltage",
            "reserve to be left above the least voltage",
            "power/undervoltage-near",
            "reserve",
        ),
        ("cable/clears-loss", "share of that loss to be used at most", "cable/loss-near-limit", "share"),
        ("cable/spot-the-fault", "joints usual at most on one path", "cable/joint-count", "joints"),
        ("cable/two-faults", "joints usual at most on one path", "cable/joint-count", "joints"),
        ("network/spot-the-fault", "longest network channel", "network/way-too-long", "longest"),
        ("network/two-faults", "longest network channel", "network/way-too-long", "longest"),
        ("network/way-length", "longest channel of twisted pair", "network/way-too-long", "longest"),
        ("network/spot-the-fault", "share of the line outwards to plan with", "network/uplink-exceeded", "share"),
        ("network/uplink-enough", "share of the line outwards to plan with", "network/uplink-exceeded", "share"),
        ("network/clears-uplink", "share of the line outwards to plan with", "network/uplink-exceeded", "share"),
        ("view/spot-the-fault", "reserve above that density", "view/density-near", "reserve"),
        ("view/two-faults", "reserve above that density", "view/density-near", "reserve"),
        ("view/clears-density", "reserve that should be left above it", "view/density-near", "reserve"),
    ],
)
def test_given_figures_are_the_limits_of_the_rules(pattern: str, label: str, rule: str, name: str) -> None:
    assert given(pattern)[label] == limit(rule, name)


@pytest.mark.parametrize("pattern", ["place/spot-the-fault", "place/two-faults", "place/clears-weather"])
def test_codes_given_are_those_of_the_rules(pattern: str) -> None:
    """IK10 stands for 20 J: IEC 62262."""
    told = given(pattern)
    solid, water = (limit("place/water-rating-low", name) for name in ("solid", "water"))
    assert told["least IP code usual outdoors"] == f"IP{solid}{water}"
    assert told["least IK code usual within reach of hands"] == "IK10"
    assert limit("place/impact-rating-low", "energy") == "20 J"


def test_the_code_asked_about_is_that_of_the_rule() -> None:
    ask = yaml.safe_load((PATTERNS / "place" / "fit-for-weather.yaml").read_text(encoding="utf-8"))["ask"]
    solid, water = (limit("place/water-rating-low", name) for name in ("solid", "water"))
    assert f"the usual IP{solid}{water} for" in ask


@pytest.mark.parametrize("pattern", ["cable/spot-the-fault", "cable/two-faults"])
@pytest.mark.parametrize("mode", ["1920x1080@25", "2592x1944@12.5"])
def test_losses_given_are_those_of_the_table_of_modes(pattern: str, mode: str) -> None:
    told = given(pattern)
    row = next(row for row in rows("signal-modes") if row["family"] == "tvi" and row["mode"] == mode)
    assert told[f"loss that an input makes up for in {mode}"] == f"{row['loss_limit']} dB"
    assert told["top frequency of 1920x1080@25 and of 2592x1944@12.5"] == f"{row['top_frequency']} MHz"


def test_densities_given_are_those_of_the_standard() -> None:
    """px/m of detect, recognise, identify: IEC 62676-4:2014, 6.7, from memory."""
    for pattern in ("view/spot-the-fault", "view/two-faults"):
        assert given(pattern)["pixel density to detect, recognise, identify"] == "25, 125, 250 px/m"
    densities = [str(limit_of["density"]) for name in ("detect", "recognise", "identify")
                 for limit_of in rows("view-classes-2014") if name in limit_of.values()]  # fmt: skip
    assert [float(each.split()[0]) for each in densities] == [25.0, 125.0, 250.0]


def test_the_rise_of_coax_loss_is_half_of_that_of_copper() -> None:
    """Loss goes with the root of resistance (skin effect); copper rises by 0.393 % a kelvin: IEC 60028."""
    found = [
        str(row["value"])
        for path in sorted(PATTERNS.rglob("*.yaml"))
        if not path.name.endswith(".cases.yaml")
        for row in yaml.safe_load(path.read_text(encoding="utf-8")).get("given", [])
        if row["label"].startswith("rise of coax loss")
    ]
    assert len(found) >= 5
    for text in found:
        assert float(text.split()[0]) == pytest.approx(0.393 / 2, abs=0.001)
