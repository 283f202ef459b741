"""A filled survey sheet read into a site. What it has to say was written down from docs/handover.md before it was run; values are
taken out again by plain YAML, not by the program's reader.
"""

from __future__ import annotations

import csv
import hashlib
import io
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import openpyxl
import pytest
import yaml

from coaxwright.cli.main import run

HEADS = {
    "length": "length, m", "kind": "kind, as printed on the sheath", "loop": "loop, ohm, far end joined", "loss": "loss, dB",
    "at": "at, MHz", "degc": "degC", "joints": "joints", "mohm": "Mohm, ends apart", "volts": "AC volts to earth",
    "state": "state", "remark": "remark",
}  # fmt: skip
VIDEO, POWER, OTHER = "cameras/slipway/video/over/0", "cameras/slipway/power/over/0", "cameras/gate/video/over/0"
Fill = Callable[..., Path]


@pytest.fixture
def fill(priced_yard: Path, tmp_path: Path) -> Fill:
    """A survey sheet of the yard with these boxes filled, by code."""
    assert run(["pack", str(priced_yard), "--output", str(tmp_path / "pack")]) in (0, 1)
    text = (tmp_path / "pack" / "csv" / "survey.csv").read_text(encoding="utf-8-sig")

    def make(boxes: dict[str, dict[str, str]]) -> Path:
        table = list(csv.reader(io.StringIO(text)))
        code = table[0].index("code")
        for row in table[1:]:
            for name, value in boxes.get(row[code] or row[0], {}).items():
                row[table[0].index(HEADS[name])] = value
        with (tmp_path / "filled.csv").open("w", newline="", encoding="utf-8") as stream:
            csv.writer(stream).writerows(table)
        return tmp_path / "filled.csv"

    return make


def _hop(path: Path, code: str) -> Any:
    value = yaml.safe_load(path.read_text(encoding="utf-8"))
    for step in code.split("/"):
        value = value[int(step) if isinstance(value, list) else step]
    return value


def _survey(sheet: Path, site: Path, *more: str) -> int:
    return run(["schedule", "survey", str(sheet), "--site", str(site), *more])


def test_what_was_measured_is_shown_then_written(priced_yard: Path, fill: Fill, capfd: pytest.CaptureFixture[str]) -> None:
    sheet = fill({VIDEO: {"length": "97", "loss": "9,4", "joints": "2"}, POWER: {"loop": "2.6 ohm", "degc": "-4"}})
    before, copy = priced_yard.read_bytes(), priced_yard.with_name("copy.site.yaml")
    capfd.readouterr()
    assert _survey(sheet, priced_yard) == 0
    told = capfd.readouterr()
    assert "+    video: {into: rec1/2, over: [{cable: rg59-copper, length: 85 m" in told.out
    assert "nothing was written" in told.err
    assert priced_yard.read_bytes() == before
    assert _survey(sheet, priced_yard, "--output", str(copy), "--on", "2026-11-30", "--by", "J. K.") == 0
    assert priced_yard.read_bytes() == before
    was = _hop(copy, VIDEO)
    assert was["length"] == "85 m", "what was drawn stays beside it"
    marks = (str(was["measured"].pop(True)), was["measured"].pop("by"))  # YAML 1.1 takes the key `on` for a truth
    assert marks == ("2026-11-30", "J. K.")
    assert was["measured"] == {"length": "97 m", "loss": "9.4 dB", "loss_at": "37.125 MHz"}
    assert was["joints"] == 2
    assert _hop(copy, POWER)["measured"]["loop"] == "2.6 ohm"
    assert _hop(copy, POWER)["measured"]["temperature"] == "-4 °C"
    assert _survey(sheet, priced_yard, "--output", str(copy)) == 2, "a site that is there is not written over"
    assert _survey(sheet, priced_yard, "--in-place") == 0
    assert _hop(priced_yard, VIDEO)["measured"]["loss"] == "9.4 dB"
    kept = json.loads(priced_yard.with_name(".alder-wharf.site.yaml.undo").read_text(encoding="utf-8"))
    assert kept["before"] == hashlib.sha256(before).hexdigest()
    capfd.readouterr()
    assert _survey(sheet, priced_yard) == 0
    assert "nothing to change" in capfd.readouterr().out


def test_an_unknown_cable_stays_open(priced_yard: Path, fill: Fill, capfd: pytest.CaptureFixture[str]) -> None:
    """What the plan drew is not kept for a cable that nobody could read: its loss is open, and nothing passes for it."""
    sheet = fill({OTHER: {"kind": "unknown", "length": "45"}})
    copy = priced_yard.with_name("copy.site.yaml")
    assert _survey(sheet, priced_yard, "--output", str(copy)) == 2
    assert "E2: a cable that nobody knows; name with --unknown" in capfd.readouterr().err
    (priced_yard.parent / "parts" / "old.yaml").write_text(
        "parts: {house/old-coax: {kind: cable, source: as found on site, carries: [coax]}}\n", encoding="utf-8"
    )
    assert _survey(sheet, priced_yard, "--unknown", "house/older", "--output", str(copy)) == 2
    assert _survey(sheet, priced_yard, "--unknown", "house/old-coax", "--output", str(copy)) == 0
    assert _hop(copy, OTHER)["cable"] == "house/old-coax"
    capfd.readouterr()
    assert run(["check", str(copy), "--format", "json"]) == 0
    report = yaml.safe_load(capfd.readouterr().out)["sites"][0]
    opened = {each["rule"] for each in report["findings"] if each["kind"] == "open" and each["subject"] == "cameras/gate"}
    assert "cable/loss-beyond-limit" in opened
    measured = fill({OTHER: {"kind": "unknown", "loss": "6.0"}})
    assert _survey(measured, priced_yard, "--unknown", "house/old-coax", "--output", str(copy), "--replace") == 0
    assert run(["check", str(copy), "--format", "json"]) == 0
    report = yaml.safe_load(capfd.readouterr().out)["sites"][0]
    assert report["facts"]["cameras/gate"]["loss"] == pytest.approx(6.0 * (1 + 0.00196 * 20), abs=1e-9)


def test_a_kind_that_is_the_one_drawn_changes_nothing(priced_yard: Path, fill: Fill) -> None:
    copy = priced_yard.with_name("copy.site.yaml")
    assert _survey(fill({OTHER: {"kind": "RG-59", "length": "45"}, VIDEO: {"kind": "rg6-copper"}}), priced_yard,
                   "--output", str(copy)) == 0  # fmt: skip
    assert _hop(copy, OTHER)["cable"] == "rg59-copper"
    assert _hop(copy, VIDEO)["cable"] == "rg6-copper"


def test_what_needs_review_is_told(priced_yard: Path, fill: Fill, capfd: pytest.CaptureFixture[str]) -> None:
    """Above 50 V and below 1 Mohm, not on these; a remark is told and asks for nothing."""
    assert _survey(fill({VIDEO: {"volts": "62", "mohm": "0.2", "state": "wet", "remark": "riser 2"}}), priced_yard) == 1
    told = capfd.readouterr().err
    assert "62 V AC to earth: do not touch it; this needs review by a licensed electrician" in told
    assert "0.2 Mohm with its ends apart" in told
    assert "review: V-02: wet" in told
    assert "remark: V-02: riser 2" in told
    assert _survey(fill({VIDEO: {"volts": "50", "mohm": "1", "state": "dry"}}), priced_yard) == 0


WRONG = {
    "a word": ({VIDEO: {"length": "long"}}, "`long` is no measured value"),
    "an open line": ({POWER: {"loop": "open"}}, "the line is open"),
    "no frequency": ({VIDEO: {"loss": "9", "at": ""}}, "stands without `at, mhz`"),
    "half a joint": ({VIDEO: {"joints": "1.5"}}, "`1.5` is no number of joints"),
    "a spare row": ({"X-01": {"length": "30"}}, "row X-01 names a cable that the plan does not have"),
    "not in the catalogue": ({VIDEO: {"kind": "RG-59 spezial"}}, "`RG-59 spezial` is no cable of the catalogue"),
    "far too long": ({VIDEO: {"length": "1e9"}}, "`1e9` is no measured value"),
}


def test_every_wrong_cell_is_named_and_nothing_is_read(
    priced_yard: Path, fill: Fill, capfd: pytest.CaptureFixture[str]
) -> None:
    before = priced_yard.read_bytes()
    for boxes, words in WRONG.values():
        assert _survey(fill(boxes), priced_yard, "--in-place") == 2, words
        assert words in capfd.readouterr().err
    both = fill({VIDEO: {"length": "long"}, POWER: {"loop": "thin"}})
    assert _survey(both, priced_yard, "--in-place") == 2
    told = capfd.readouterr().err
    assert "`long`" in told
    assert "`thin`" in told
    both.write_text(both.read_text(encoding="utf-8").replace("slipway/video", "slipwey/video"), encoding="utf-8")
    assert _survey(both, priced_yard, "--in-place") == 2
    assert f"did you mean `{VIDEO}`" in capfd.readouterr().err
    assert priced_yard.read_bytes() == before


def test_the_workbook_reads_as_the_csv(priced_yard: Path, fill: Fill, capfd: pytest.CaptureFixture[str]) -> None:
    sheet = fill({VIDEO: {"length": "97", "loss": "9.4"}})
    assert _survey(sheet, priced_yard) == 0
    shown = capfd.readouterr().out
    path = sheet.parent / "pack" / "pack.xlsx"
    book = openpyxl.load_workbook(path)
    heads = [cell.value for cell in book["Survey"][1]]
    row = next(row for row in book["Survey"].iter_rows(min_row=2) if row[heads.index("code")].value == VIDEO)
    row[heads.index("length, m")].value, row[heads.index("loss, dB")].value = 97, 9.4
    book.save(path)
    assert _survey(path, priced_yard) == 0
    assert capfd.readouterr().out == shown
