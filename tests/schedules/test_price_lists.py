"""Price lists as they are (`price_lists.yaml`), each with at most one mapping, against counts written down first."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml

from coaxwright.cli.main import run
from coaxwright.schedules.part_tables import PartTable, read_part_table

LISTS = yaml.safe_load(Path(__file__).with_name("price_lists.yaml").read_text(encoding="utf-8"))


def read(one: dict[str, Any], folder: Path) -> PartTable:
    path = folder / f"{one['name']}.csv"
    path.write_text(one["text"], encoding="utf-8")
    options = {**one["options"], **({"columns": one["mapping"]} if "mapping" in one else {})}
    return read_part_table(path, one["kind"], **options)


def test_there_are_twelve_and_more() -> None:
    assert len(LISTS) >= 12


@pytest.mark.parametrize("one", LISTS, ids=lambda one: one["name"])
def test_a_list_comes_in(one: dict[str, Any], tmp_path: Path) -> None:
    table = read(one, tmp_path)
    assert len(table.entries) == one["parts"]
    for name, values in one["values"].items():
        for field, value in values.items():
            found = table.entries[name][field]
            assert ({**found, **value} == found) if isinstance(value, dict) else found == value, (name, field)
    for name, fields in one.get("without", {}).items():
        assert not set(fields) & set(table.entries[name]), name
    for name, channels in one.get("channels", {}).items():
        assert table.entries[name]["inputs"][0]["channels"] == channels
    if "currency" in one:
        assert table.currency == one["currency"] or {each.get("currency") for each in table.entries.values()} >= {
            one["currency"]
        }
    assert [place.rpartition(" ")[2] for place in table.refused] == one["refused"]


@pytest.mark.parametrize("one", [one for one in LISTS if one["refused"]], ids=lambda one: one["name"])
def test_without_lenient_every_refused_cell_is_named(
    one: dict[str, Any], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """And how the columns were understood is shown although nothing is read."""
    path = tmp_path / "list.csv"
    path.write_text(one["text"], encoding="utf-8")
    assert run(["parts", "import", str(path), "--kind", one["kind"], "--maker", "pennant"]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    for cell in one["refused"]:
        assert f"{cell}: " in told.err
    assert "Model -> id" in told.err


@pytest.mark.parametrize("one", LISTS, ids=lambda one: one["name"])
def test_a_second_quarter_merges(one: dict[str, Any], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The same list again changes nothing; with another price of one part, that price alone."""
    from coaxwright.catalogues.merging import merge_of

    table = read(one, tmp_path)
    there = {name: ("a.yaml", values, values.get("currency", table.currency)) for name, values in table.entries.items()}
    again = merge_of(table.entries, table.currency, there)
    assert again.empty
    assert again.same == one["parts"]
    name = next((name for name, values in table.entries.items() if "price" in values), None)
    if name is not None:
        newer = {**table.entries, name: {**table.entries[name], "price": 999}}
        (change,) = merge_of(newer, table.currency, there).changes
        assert (change.part, list(change.set)) == (name, ["price"])


def test_a_mapping_is_kept_for_the_next_list(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Named once for the first quarter; the second comes in without it, and says which mapping it is read by."""
    first, second, home = tmp_path / "q1.csv", tmp_path / "q2.csv", tmp_path / "parts"
    head = "Ware;VK 2;Bildnorm;Formate\n"
    first.write_text(head + "FT-1;31,50;TVI;1080p@25\n", encoding="utf-8")
    second.write_text(head + "FT-1;1.031;TVI;1080p@25\n", encoding="utf-8")
    common = ["--kind", "camera", "--maker", "fennick", "--catalogue", str(home)]
    named = [word for pair in ("Ware=id", "VK 2=price", "Bildnorm=family", "Formate=mode") for word in ("--map", pair)]
    assert run(["catalogue", "add", str(first), *common, *named, "--decimal", "comma", "--currency", "EUR"]) == 0
    assert "the mapping is kept" in capsys.readouterr().err
    assert run(["catalogue", "update", str(second), *common, "--write"]) == 0
    told = capsys.readouterr()
    assert "mapping of" in told.err
    assert "price: 1031" in (home / "fennick.yaml").read_text(encoding="utf-8")
    assert run(["catalogue", "add", str(first), *common, "--map", "VK 2=prise"]) == 2
    assert "did you mean" in capsys.readouterr().err


def test_a_list_of_prices_alone_is_laid_over_what_is_there(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Most lists print megapixels and no modes: of a part that is there that is enough, of a new one it is not."""
    first, prices, rough, home = (tmp_path / name for name in ("q1.csv", "q2.csv", "q3.csv", "parts"))
    first.write_text("Model;Signal;Modes;Price EUR\nHT-5;TVI;2592x1944@20;61,50\n", encoding="utf-8")
    prices.write_text("SKU;Price EUR\nHT-5;58,00\n", encoding="utf-8")
    rough.write_text("Model;Signal;Modes;Price EUR\nHT-5;TVI/AHD;5 MP;55,00\nHT-8;TVI;8 MP;99,00\n", encoding="utf-8")
    common = ["--kind", "camera", "--maker", "hollin", "--catalogue", str(home)]
    assert run(["catalogue", "add", str(first), *common]) == 0
    assert run(["catalogue", "update", str(prices), *common, "--map", "SKU=part", "--write"]) == 0
    assert "price: 58" in (home / "hollin.yaml").read_text(encoding="utf-8")
    capsys.readouterr()
    assert run(["catalogue", "update", str(rough), *common]) == 2
    assert "C2: `5 MP` is not a video mode" in capsys.readouterr().err
    assert run(["catalogue", "update", str(rough), *common, "--lenient", "--write"]) == 0
    told = capsys.readouterr()
    assert "left out: " in told.err
    text = (home / "hollin.yaml").read_text(encoding="utf-8")
    assert "price: 55" in text
    assert "2592x1944@20" in text
    assert "ht-8" not in text


def test_a_workbook_with_merged_titles(tmp_path: Path) -> None:
    """Numbers of a workbook are numbers, whatever their separators look like; a merged title row is no part."""
    from openpyxl import Workbook

    book = Workbook()
    sheet = book.active
    assert sheet is not None
    rows: list[list[Any]] = [
        ["Aubry, tarif"], ["Référence", "Signal", "Modes vidéo", "Prix HT (EUR)"], ["DÔMES"],
        ["AB-1", "TVI", "1080p@25", 1299.5], ["AB-2", "TVI", "1080p@25/30", "sur demande"],
    ]  # fmt: skip
    for row in rows:
        sheet.append(row)
    sheet.merge_cells("A1:D1")
    sheet.merge_cells("A3:D3")
    path = tmp_path / "tarif.xlsx"
    book.save(path)
    table = read_part_table(path, "camera", maker="aubry")
    assert list(table.entries) == ["aubry/ab-1", "aubry/ab-2"]
    assert (table.entries["aubry/ab-1"]["price"], table.currency) == (1299.5, "EUR")
    assert "price" not in table.entries["aubry/ab-2"]
