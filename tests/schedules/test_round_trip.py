"""What is exported reads back as the same site, as a workbook and as CSV files, and no cell of it is a formula."""

from __future__ import annotations

import csv
import json
import os
import shutil
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from coaxwright.cli.main import run
from coaxwright.reading.site_reader import read_site
from coaxwright.schedules.exporting import site_schedules
from coaxwright.schedules.importing import imported, recognise, rest_of
from coaxwright.schedules.sources import schedule_sheets
from coaxwright.schedules.workbook import write_csv_folder, write_workbook

ROOT = Path(__file__).resolve().parents[2]
SITES = sorted((ROOT / "examples").glob("*/*.site.yaml"))
PAYLOADS = [
    "=1+1",
    "+1+1",
    "-1+1",
    "@SUM(A1)",
    "=cmd|' /C calc'!A0",
    "'=1",
    "  =1",
    "1/2",
    "007",
    "TRUE",
    "#REF!",
    "1e5",
    "a  b",
]
"""Beginnings that spreadsheets take for formulas (OWASP ASVS 5.0, 1.2.10), and texts that they change."""


def back(value: dict[str, Any], path: Path, catalogue: Any) -> dict[str, Any]:
    """A site through a file and back."""
    schedules = site_schedules(value)
    if path.suffix == ".xlsx":
        write_workbook(path, schedules)
    else:
        write_csv_folder(path, schedules)
    sheets = schedule_sheets(path)
    return imported(recognise(sheets), rest_of(sheets), {}, catalogue).value


@pytest.mark.parametrize("path", SITES, ids=lambda path: path.stem)
@pytest.mark.parametrize("form", ["book.xlsx", "folder"])
def test_examples_come_back(path: Path, form: str, tmp_path: Path) -> None:
    loaded = read_site(path)
    assert back(loaded.document.value, tmp_path / form, loaded.catalogue) == loaded.document.value


TEXT = st.one_of(st.text(min_size=1, max_size=30), st.sampled_from(PAYLOADS))
IDS = st.from_regex(r"[A-Za-z0-9][A-Za-z0-9_.-]{0,8}", fullmatch=True)
LENGTHS = st.sampled_from(["45 m", "280 ft", "5 ft 6 in", "1.2 km"])
RUN = st.fixed_dictionaries(
    {"cable": st.sampled_from(["rg59-copper", "dc-1mm2"])},
    optional={
        "length": LENGTHS,
        "setting": st.sampled_from(["indoor", "outdoor"]),
        "joints": st.integers(0, 9),
        "buried": st.booleans(),
    },
)
WAY = st.lists(st.one_of(RUN, st.builds(lambda box: {"box": box}, IDS)), max_size=3)
CAMERA = st.fixed_dictionaries(
    {"part": st.sampled_from(["tarnwell/dome-2", "tarnwell/turret-5"])},
    optional={
        "label": TEXT,
        "video": st.fixed_dictionaries(
            {"into": st.sampled_from(["rec1/1", "rec1/02", "rec1", "101/3"])}, optional={"over": WAY}
        ),
        "power": st.fixed_dictionaries(
            {"from": st.sampled_from(["psu1/1", "jb1", "psu1/abc"])}, optional={"over": WAY}
        ),
        "wants": st.fixed_dictionaries(
            {}, optional={"night": st.booleans(), "rate": st.sampled_from(["12 fps", "12.5 fps"]), "see": TEXT}
        ),
        "place": st.fixed_dictionaries({}, optional={"height": LENGTHS, "building": TEXT, "sun": st.booleans()}),
        "lens": st.fixed_dictionaries({"focal": st.floats(1, 99)}),
    },
)
SITE = st.fixed_dictionaries(
    {"site": TEXT, "cameras": st.dictionaries(IDS, CAMERA, max_size=4)},
    optional={
        "video_rate": st.sampled_from([25, 30]),
        "notes": TEXT,
        "waivers": st.lists(st.fixed_dictionaries({"reason": TEXT}), max_size=2),
    },
)


class _EveryPart:
    """A catalogue for sites that were never read."""

    parts: dict[str, Any] = {}  # noqa: RUF012

    def has(self, name: str) -> bool:
        return True


@settings(
    max_examples=300 if os.environ.get("COAXWRIGHT_FULL") else 60,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(value=SITE, form=st.sampled_from(["book.xlsx", "folder"]))
def test_any_site_comes_back(value: dict[str, Any], form: str, tmp_path: Path) -> None:
    if not value["cameras"]:
        value["cameras"] = {"c1": {"part": "tarnwell/dome-2"}}
    value |= {"recorders": {"rec1": {"part": "a/b"}, "101": {"part": "a/b"}}, "junctions": {"jb1": {}}}
    value |= {"supplies": {"psu1": {"part": "a/b", "trim": "12.6 V"}}}
    folder = tmp_path / form
    if folder.is_dir():
        shutil.rmtree(folder)
    assert json.dumps(back(value, folder, _EveryPart()), sort_keys=True) == json.dumps(value, sort_keys=True)


@pytest.fixture
def yard(tmp_path: Path) -> Path:
    shutil.copytree(ROOT / "examples" / "boatyard", tmp_path / "yard")
    site = tmp_path / "yard" / "alder-wharf.site.yaml"
    text = (
        site.read_text(encoding="utf-8")
        .replace("label: Fuel berth", 'label: "=HYPERLINK(1)"')
        .replace("label: Sail loft stairs", 'label: "@x"')
    )
    site.write_text(text, encoding="utf-8")
    return site


def test_no_cell_is_a_formula(yard: Path, tmp_path: Path) -> None:
    assert run(["schedule", "export", str(yard), "--output", str(tmp_path / "a.xlsx")]) == 0
    book = openpyxl.load_workbook(tmp_path / "a.xlsx")
    cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row if cell.value is not None]
    assert {cell.data_type for cell in cells} == {"s", "n"}
    payload = next(cell for cell in cells if cell.value == "=HYPERLINK(1)")
    assert payload.quotePrefix
    totals = [row for row in book["Bill of materials"].iter_rows(values_only=True) if row[0] == "tarnwell/turret-5"]
    assert totals[0][3:7] == (3, None, 62, 186)  # worked by hand: three at 62


def test_no_csv_cell_begins_like_a_formula(yard: Path, tmp_path: Path) -> None:
    assert run(["schedule", "export", str(yard), "--output", str(tmp_path / "out")]) == 0
    files = sorted((tmp_path / "out").glob("*.csv"))
    assert [each.name for each in files] == sorted(
        [
            "cameras.csv",
            "recorders.csv",
            "supplies.csv",
            "site.csv",
            "cables.csv",
            "power.csv",
            "disks.csv",
            "bill-of-materials.csv",
        ]
    )
    cells = [
        cell for each in files for row in csv.reader(each.read_text(encoding="utf-8-sig").splitlines()) for cell in row
    ]
    assert not [cell for cell in cells if cell[:1] in "=+-@\t\r" and cell]
    assert "'=HYPERLINK(1)" in cells


def test_the_commands_round_trip(yard: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Export, then import onto the site: nothing to change. Into a new file: the same site, and the same findings."""
    book, copy = yard.parent / "book.xlsx", yard.parent / "copy.site.yaml"
    assert run(["schedule", "export", str(yard), "--output", str(book)]) == 0
    before = yard.read_bytes()
    assert run(["schedule", "import", str(book), "--site", str(yard)]) == 0
    assert "nothing to change" in capsys.readouterr().out
    assert yard.read_bytes() == before
    assert run(["schedule", "import", str(book), "--output", str(copy)]) == 0
    assert read_site(copy).document.value == read_site(yard).document.value
    assert run(["schedule", "import", str(book), "--output", str(copy)]) == 2


def test_an_update_changes_only_what_differs(yard: Path) -> None:
    book = yard.parent / "book.xlsx"
    assert run(["schedule", "export", str(yard), "--output", str(book)]) == 0
    workbook = openpyxl.load_workbook(book)
    sheet = workbook["Cameras"]
    heads = [cell.value for cell in sheet[1]]
    row = next(row for row in sheet.iter_rows(min_row=2) if row[0].value == "fuel")
    row[heads.index("video length")].value = "61 m"
    workbook.save(book)
    before = yard.read_text(encoding="utf-8").splitlines()
    assert run(["schedule", "import", str(book), "--site", str(yard), "--preview"]) == 0
    assert yard.read_text(encoding="utf-8").splitlines() == before
    assert run(["schedule", "import", str(book), "--site", str(yard)]) == 0
    after = yard.read_text(encoding="utf-8").splitlines()
    changed = [(old, new) for old, new in zip(before, after, strict=True) if old != new]
    assert len(changed) == 1
    assert changed[0][1] == changed[0][0].replace("60 m, setting: sheltered}]}", "61 m, setting: sheltered}]}", 1)


def test_a_new_site_from_a_bare_camera_list(yard: Path, capsys: pytest.CaptureFixture[str]) -> None:
    table, new = yard.parent / "cams.csv", yard.parent / "new.site.yaml"
    table.write_text("Camera,Model,DVR,Ch,Length (ft)\n007,dome-2,rec1,1,280\n", encoding="utf-8")
    call = ["schedule", "import", str(table), "--output", str(new), "--name", "New quay", "--parts", "parts/*.yaml"]
    call += ["--recorder", "rec1=tarnwell/hybrid-8"]
    assert run(call) == 2
    assert "cams.csv: E2" in capsys.readouterr().err  # a length of no cable
    assert not new.exists()
    assert run([*call, "--cable", "rg59-copper"]) == 0
    value = read_site(new).document.value
    assert value["site"] == "New quay"
    assert value["cameras"]["007"]["video"] == {
        "into": "rec1/1",
        "over": [{"length": "280 ft", "cable": "rg59-copper"}],
    }
    table.write_text("Camera,Model,DVR,Ch,Length (ft)\n007,dome-2,rec1,1,280\n008,nope,rec1,2,x\n", encoding="utf-8")
    new.unlink()
    capsys.readouterr()
    assert run(call) == 2
    told = capsys.readouterr().err
    assert "cams.csv: B3" in told
    assert "cams.csv: E3" in told
    assert not new.exists()
