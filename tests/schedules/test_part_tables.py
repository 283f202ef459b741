"""Tables of parts as part files: columns mapped, units of headings used, bad cells told, nothing half-read."""

from __future__ import annotations

from pathlib import Path

import openpyxl
import pytest

from coaxwright.cli.main import run
from coaxwright.errors import Refusal
from coaxwright.reading.table_files import build_parts
from coaxwright.schedules.headings import columns_of
from coaxwright.schedules.part_tables import TABLE, kinds, read_part_table

GOOD = """\
Price list 2026;;;;;;;;
Manufacturer;Model;Description;Net price;Signals;Modes;Power (W);IR range (ft);IP rating
Fennick;Dome 4;4 MP dome;48.50;TVI/AHD;2560x1440@25; 5.1;98;IP67
Fennick;007;old dome;12;analogue;960x576@25;3;33;IP66
"""


def table(tmp_path: Path, text: str) -> Path:
    path = tmp_path / "list.csv"
    path.write_text(text, encoding="utf-8")
    return path


def test_a_price_list(tmp_path: Path) -> None:
    read = read_part_table(table(tmp_path, GOOD), "camera", currency="EUR")
    parts = build_parts(read.text, "p")
    dome = parts["fennick/dome-4"]
    assert (dome.title, dome.price, dome.housing.ip) == ("4 MP dome", 48.5, "IP67")
    assert dome.power.watts_night == 5.1
    assert dome.night.lamp_range == pytest.approx(98 * 0.3048)
    assert dome.source == "table list.csv"
    assert [
        str(mode) for row in dome.emits for mode in (row.mode if isinstance(row.mode[0], tuple) else (row.mode,))
    ] == ["2560x1440@25"]
    assert parts["fennick/007"].emits[0].family == ("cvbs",)


@pytest.mark.parametrize(
    ("old", "new", "cell", "words"),
    [
        ("48.50", "48.5o", "D3", "no number"),
        ("TVI/AHD", "HDX", "E3", "no signal families"),
        ("2560x1440@25", "4MP", "F3", "not a video mode"),
        ("; 5.1;", ";5 V;", "G3", "a voltage"),
        ("IP67", "splash proof", "I3", "splash"),
        ("Dome 4", "--", "B3", "cannot be the id"),
        ("Fennick;007", "Fennick;Dome 4", "B4", "twice"),
    ],
)
def test_bad_cells(tmp_path: Path, old: str, new: str, cell: str, words: str) -> None:
    assert old in GOOD
    with pytest.raises(Refusal) as refused:
        read_part_table(table(tmp_path, GOOD.replace(old, new, 1)), "camera")
    assert any(f": {cell}: " in str(each) and words in str(each) for each in refused.value.problems), refused.value


def test_missing_columns_are_told_at_the_row(tmp_path: Path) -> None:
    with pytest.raises(Refusal, match="A2"):
        read_part_table(table(tmp_path, "Model,Price\na/dome,10\n"), "disk")


def test_every_column_fills_a_field_that_there_is() -> None:
    from coaxwright.catalogues.skeletons import skeleton

    for kind in kinds():
        text = skeleton(kind, "a/b")
        for column in columns_of(kind, TABLE):
            for step in column.at:
                assert isinstance(step, int) or f"{step}:" in text, (kind, column.name)


def test_the_command(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.title = "Disks"
    sheet.append(["Model", "Capacity (TB)", "24/7", "Price"])
    sheet.append(["disk-6tb", 6, True, 120])
    book.save(tmp_path / "disks.xlsx")
    out = tmp_path / "disks.yaml"
    call = ["parts", "import", str(tmp_path / "disks.xlsx"), "--kind", "disk", "--maker", "tarnwell"]
    assert run([*call, "--preview", "--output", str(out)]) == 0
    told = capsys.readouterr()
    assert "B  Capacity (TB) -> capacity, bare numbers in TB" in told.err
    assert "capacity: 6 TB" in told.out
    assert not out.exists()
    assert run([*call, "--output", str(out)]) == 0
    assert build_parts(out.read_text(), "p")["tarnwell/disk-6tb"].continuous is True
    assert run([*call, "--output", str(out)]) == 2
    assert run(["parts", "import", str(tmp_path / "disks.xlsx"), "--kind", "lens"]) == 2
