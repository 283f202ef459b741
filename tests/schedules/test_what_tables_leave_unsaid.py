"""A table of parts never makes up what it does not say: counts, and which family carries which mode."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from coaxwright.catalogues.linting import remarks_on
from coaxwright.errors import Refusal
from coaxwright.reading.catalogue import build_catalogue
from coaxwright.reading.table_files import build_parts
from coaxwright.schedules.part_tables import PartTable, read_part_table


def read(tmp_path: Path, text: str, kind: str) -> PartTable:
    path = tmp_path / "list.csv"
    path.write_text(text, encoding="utf-8")
    return read_part_table(path, kind, maker="zz")


def signals(part: Any, rows: Any) -> set[tuple[str, str]]:
    return {
        (family, str(mode))
        for row in rows
        for family in ([row.family] if isinstance(row.family, str) else row.family)
        for mode in ([row.mode] if isinstance(row.mode[0], int) else row.mode)
    }


@pytest.mark.parametrize("heading", ["Channels", "Inputs", "Video inputs"])
@pytest.mark.parametrize(
    ("cell", "inputs"), [("8", 8), ("16 ch", 16), ("4-channel", 4), ("1", 1), ("1-8", 8), ("32 inputs", 32)]
)
def test_a_number_of_inputs_is_a_count(tmp_path: Path, heading: str, cell: str, inputs: int) -> None:
    table = read(tmp_path, f"Model,{heading},Signals,Modes\nR,{cell},TVI,1920x1080@25\n", "recorder")
    assert build_parts(table.text, "p")["zz/r"].inputs[0].channels == tuple(range(1, inputs + 1))
    assert any("how many inputs" in note for note in table.notes)


@pytest.mark.parametrize(("cell", "words"), [("16+8", "two kinds"), ("many", "names no channels|does not name")])
def test_what_is_no_count_is_refused(tmp_path: Path, cell: str, words: str) -> None:
    with pytest.raises(Refusal, match=words):
        read(tmp_path, f"Model,Channels,Signals,Modes\nR,{cell},TVI,1920x1080@25\n", "recorder")


def test_a_bare_channel_that_may_be_a_count_is_asked_back(tmp_path: Path) -> None:
    with pytest.raises(Refusal, match="may be channel 8 or 8 channels"):
        read(tmp_path, "Model,Channels,Signals,Modes,Sorted motion\nR,16,TVI,1920x1080@25,8\n", "recorder")


def test_composite_gets_no_megapixels(tmp_path: Path) -> None:
    table = read(tmp_path, "Model,Signals,Modes\nC,TVI/AHD/CVI/CVBS,2592x1944@20; 1920x1080@25; 960x576@25\n", "camera")
    part = build_parts(table.text, "p")["zz/c"]
    sent = signals(part, part.emits)
    assert {mode for family, mode in sent if family == "cvbs"} == {"960x576@25"}
    assert "960x576@25" not in {mode for family, mode in sent if family != "cvbs"}
    assert ("tvi", "2592x1944@20") in sent
    assert {mode for _, mode in sent} == {"2592x1944@20", "1920x1080@25", "960x576@25"}
    assert "which family carries which mode is not said" in part.source
    assert any("which family carries which mode is not said" in note for note in table.notes)
    assert any(note.startswith("zz/c: cvbs is left without 2592x1944@20, 1920x1080@25") for note in table.notes)


def test_composite_without_a_mode_of_its_own_is_left_out_and_told(tmp_path: Path) -> None:
    table = read(tmp_path, "Model,Signals,Modes\nC,TVI/CVBS,1920x1080@25\n", "camera")
    part = build_parts(table.text, "p")["zz/c"]
    assert signals(part, part.emits) == {("tvi", "1920x1080@25")}
    assert any("cvbs is left without 1920x1080@25" in note for note in table.notes)


def test_a_recorder_too(tmp_path: Path) -> None:
    table = read(tmp_path, "Model,Channels,Signals,Modes\nR,8,TVI/CVBS,1920x1080@25;720x576@25\n", "recorder")
    part = build_parts(table.text, "p")["zz/r"]
    assert signals(part, part.inputs[0].accepts) == {("tvi", "1920x1080@25"), ("cvbs", "720x576@25")}


def test_one_mode_of_several_families_is_no_doubt(tmp_path: Path) -> None:
    table = read(tmp_path, "Model,Signals,Modes\nC,TVI/AHD,1920x1080@25\n", "camera")
    assert "not said" not in table.text
    assert not [note for note in table.notes if note.startswith("zz/c")]


def lint(tmp_path: Path, text: str) -> list[str]:
    file = tmp_path / "p.yaml"
    file.write_text(text)
    from coaxwright.checking import load_rulebook

    return [str(each) for each in remarks_on(build_catalogue([(file, "p.yaml")]), load_rulebook())]


@pytest.mark.parametrize(
    ("starts", "emits", "noted"),
    [
        ("", "{family: tvi, mode: [1920x1080@25, 2560x1440@25]}", True),
        ("", "{family: [tvi, ahd], mode: 1920x1080@25}", True),
        ("", "{family: tvi, mode: 1920x1080@25}", False),
        (", starts_as: {family: tvi, mode: 1920x1080@25}", "{family: tvi, mode: [1920x1080@25, 2560x1440@25]}", False),
    ],
)
def test_a_missing_factory_setting_is_noted(tmp_path: Path, starts: str, emits: str, noted: bool) -> None:
    found = lint(tmp_path, f"parts:\n  a/c: {{kind: camera, source: s, emits: [{emits}]{starts}}}\n")
    assert any("note: a/c: `starts_as` is not stated: which of its 2 signals" in each for each in found) is noted


def test_composite_with_hd_lines_is_a_contradiction(tmp_path: Path) -> None:
    found = lint(
        tmp_path, "parts:\n  a/c: {kind: camera, source: s, emits: [{family: [tvi, cvbs], mode: 1920x1080@25}]}\n"
    )
    assert any(": error: a/c: composite video (cvbs) of 1080 lines" in each for each in found)


def test_a_network_camera_is_not_asked_for_coax_signals(tmp_path: Path) -> None:
    found = lint(tmp_path, "parts:\n  a/n: {kind: camera, source: s, network: {mode: 1920x1080@25, codecs: [h264]}}\n")
    assert not [each for each in found if "`emits`" in each or "`starts_as`" in each]


def test_an_active_balun_may_gain(tmp_path: Path) -> None:
    boxes = {"active": "does: balun, power: {volts: 12 V}", "passive": "does: balun", "isolator": "does: isolator"}
    text = "".join(f"  a/{name}: {{kind: box, source: s, gain: 6 dB, {rest}}}\n" for name, rest in boxes.items())
    found = lint(tmp_path, f"parts:\n{text}")
    assert [each.split(": ")[2] for each in found if "does not gain" in each] == ["a/passive", "a/isolator"]
