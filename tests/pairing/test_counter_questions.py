"""Questions over the counter (`counter_questions.yaml`): what is said first, and that the details say the same."""

from __future__ import annotations

import importlib.util
import json
import re
from pathlib import Path
from typing import Any

import pytest
import yaml

from coaxwright.cli.main import run

HERE = Path(__file__).parent
BOATYARD = HERE.parents[1] / "examples" / "boatyard" / "parts"
_spec = importlib.util.spec_from_file_location("counter", HERE / "counter.py")
assert _spec is not None
assert _spec.loader is not None
counter = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(counter)
ASKED = yaml.safe_load((HERE / "counter_questions.yaml").read_text(encoding="utf-8"))


def said(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    assert run(["pair", *words]) == 0, capsys.readouterr().err
    return capsys.readouterr().out


def first_paragraph(text: str) -> str:
    return " ".join(text.split("\n\n")[0].split())


@pytest.fixture
def parts(tmp_path: Path) -> list[str]:
    return ["--parts", str(counter.catalogue_file(tmp_path)), "--parts", str(BOATYARD / "*.yaml")]


def test_there_are_forty() -> None:
    assert len(ASKED["questions"]) + len(ASKED["sets"]) == 40


def holds(words: str, asked: dict[str, Any]) -> None:
    assert 12 <= len(words.split()) <= 75, words
    for each in asked["says"]:
        assert each.lower() in words.lower(), (each, words)
    for each in asked.get("never", ()):
        assert each.lower() not in words.lower(), (each, words)


@pytest.mark.parametrize("asked", ASKED["questions"], ids=lambda asked: asked["ask"])
def test_single(asked: dict[str, Any], parts: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    call = [*asked["ask"].split(), *parts]
    short, long = said(capsys, *call), said(capsys, *call, "--long")
    words = first_paragraph(short)
    holds(words, asked)
    assert first_paragraph(long) == words
    assert len(short) < len(long)
    agrees(words, json.loads(said(capsys, *call, "--format", "json")))


def agrees(words: str, data: dict[str, Any]) -> None:
    """The sentence against the values: rates, features, prices and the run, each looked for in its own way."""
    assert data["verdict"] == words
    settled, state = data["settled"], (data["cable"] or {}).get("state", "holds")
    assert ("too long" in words.lower()) == (state == "too-long")
    if settled["width"] and state == "holds":
        assert f"recorded at {settled['recorded_fps']:g}" in words
        assert f"at {settled['acquired_fps']:g} pictures a second" in words
        assert ("half" in words) == (settled["outcome"] == "reduced-width")
    for name in ("sound", "control", "firmware", "sorted motion"):
        told = re.search(rf"{name} (not known|yes|no)", words)
        if told is not None:
            answer = data[name.replace(" ", "_")]["answer"]
            assert told[1] == {"open": "not known"}.get(answer, answer)
    for part in data["parts"]:
        if part["price"] is not None and " EUR" in words:
            assert f"{part['price']:g} EUR" in words


@pytest.mark.parametrize("asked", ASKED["sets"], ids=lambda asked: f"{asked['list']} on {asked['recorders']}")
def test_set(asked: dict[str, Any], parts: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "list.csv"
    rows = [f"{name},{many}" for name, many in asked["list"].items()]
    path.write_text("\n".join(["Model,Qty", *rows]) + "\n", encoding="utf-8")
    keep = ["--keep", asked["keep"]] if "keep" in asked else []
    text = said(capsys, "--cameras", str(path), asked["recorders"], *keep, *parts)
    holds(" ".join(text.split("\n\n")[1].split()), asked)


def test_the_page_can_be_traced(parts: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    """Reference, day, digests: the same for the same call, another reference for another question or another part file."""
    call = ["os/five", "pw/h8", *parts, "--today", "2026-12-01", "--format"]
    page = said(capsys, *call, "html")
    assert page == said(capsys, *call, "html")
    marks = json.loads(said(capsys, *call, "json"))["reference"]
    for each in (marks["reference"], "2026-12-01", marks["parts"], marks["rules"], "200 EUR", "OS-5"):
        assert each in page
    other = json.loads(said(capsys, *call, "json", "--input", "5"))["reference"]
    assert other["reference"] != marks["reference"]
    assert (other["parts"], other["rules"]) == (marks["parts"], marks["rules"])
    file = Path(parts[1])
    file.write_text(file.read_text(encoding="utf-8").replace("price: 60", "price: 61"), encoding="utf-8")
    assert json.loads(said(capsys, *call, "json"))["reference"]["parts"] != marks["parts"]
