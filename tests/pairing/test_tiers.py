"""Prices by quantity and warranty: what one of so many costs, by hand from the tiers (common practice of price lists)."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from coaxwright.cli.main import run

PARTS = """currency: EUR
parts:
  zz/cam:
    kind: camera
    source: invented
    price: 50
    warranty_years: 3
    emits: [{family: tvi, mode: 1920x1080@25}]
  zz/other:
    kind: camera
    source: invented
    price: 40
    emits: [{family: tvi, mode: 1920x1080@25}]
  zz/rec:
    kind: recorder
    source: invented
    price: 100
    price_tiers: [{pieces: 2, price: 90}, {pieces: 10, price: 70}]
    warranty_years: 2
    inputs: [{channels: 1-4, accepts: [{family: tvi, mode: 1920x1080@25}]}]
"""


@pytest.fixture
def parts(tmp_path: Path) -> str:
    path = tmp_path / "parts.yaml"
    path.write_text(PARTS, encoding="utf-8")
    return str(path)


def test_two_recorders_cost_what_the_tier_of_two_says(parts: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """By hand: five cameras want two recorders of four inputs; 2 x 90, not 2 x 100 nor 2 x 70; one alone is 100."""
    listed = tmp_path / "list.csv"
    listed.write_text("Model,Qty\nzz/cam,5\n", encoding="utf-8")
    assert run(["pair", "--cameras", str(listed), "*", "--parts", parts, "--format", "json"]) == 0
    choices = json.loads(capsys.readouterr().out)["choices"]
    assert {len(each["recorders"]): each["price"] for each in choices} == {1: 100, 2: 180}


def test_warranty_and_tiers_are_told_and_asked_for(parts: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["pair", "zz/cam", "zz/rec", "--parts", parts, "--long"]) == 0
    told = " ".join(capsys.readouterr().out.split())
    assert "zz/rec: 100 EUR; 90 EUR from 2 pieces; 70 EUR from 10 pieces; warranty 2 years" in told
    for condition, left in (("camera.warranty>=3", ["zz/cam"]), ("recorder.warranty>=2", ["zz/cam", "zz/other"])):
        assert run(["pair", "*", "*", "--parts", parts, "--where", condition, "--format", "json"]) == 0
        assert json.loads(capsys.readouterr().out)["cameras"] == left
    assert run(["pair", "*", "*", "--parts", parts, "--where", "recorder.warranty>2"]) == 2
