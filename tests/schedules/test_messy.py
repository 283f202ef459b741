"""Schedules as they come in: each is read as it was meant, or refused with the cell that is wrong.

The habits are those that users of spreadsheet imports complain of; what is right is common practice.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from coaxwright.errors import Refusal
from coaxwright.schedules.importing import Imported

Book = Callable[..., Path]
Take = Callable[..., Imported]
HEAD = ["Camera", "Model", "Recorder", "Channel", "Cable", "Length (m)"]
GATE = ["gate", "tarnwell/turret-5", "rec1", 1, "rg59-copper", 45]


def over(result: Imported, name: str) -> Any:
    return result.value["cameras"][name]["video"]["over"]


def problems(refused: pytest.ExceptionInfo[Refusal]) -> list[str]:
    return [str(each) for each in refused.value.problems]


def refuse(take: Take, path: Path, *parts: str) -> None:
    """The schedule is refused, and one problem names all these."""
    with pytest.raises(Refusal) as refused:
        take(path)
    assert any(all(part in line for part in parts) for line in problems(refused)), problems(refused)


# Read as meant


def test_header_in_the_fourth_row(book: Book, take: Take) -> None:
    rows = [["Osier Lock: camera list, issue 3"], [], ["checked by:", "M. Reed"], HEAD, GATE]
    result = take(book(rows))
    assert result.value["cameras"]["gate"] == {
        "part": "tarnwell/turret-5",
        "video": {"into": "rec1/1", "over": [{"cable": "rg59-copper", "length": "45 m"}]},
    }


def test_other_words_and_feet(book: Book, take: Take) -> None:
    rows = [
        ["Cam No.", "Camera Model", "DVR", "Ch", "Coax Type", "Cable Length [ft]", "Remarks"],
        ["c1", "TURRET-5", "rec1", "CH 2", "rg59-copper", 280, "mind the swans"],
    ]
    with pytest.raises(Refusal, match="may be"):
        take(book(rows))
    rows[1][1] = "dome-2"
    result = take(book(rows))
    assert over(result, "c1") == [{"cable": "rg59-copper", "length": "280 ft"}]
    assert result.value["cameras"]["c1"]["video"]["into"] == "rec1/2"
    assert result.value["cameras"]["c1"]["part"] == "tarnwell/dome-2"


def test_a_unit_in_the_cell_wins_over_the_heading(book: Book, take: Take) -> None:
    result = take(book([HEAD, [*GATE[:5], "150 ft"]]))
    assert over(result, "gate")[0]["length"] == "150 ft"


def test_unit_after_a_comma(book: Book, take: Take) -> None:
    result = take(book([[*HEAD[:5], "Length, m"], GATE]))
    assert over(result, "gate")[0]["length"] == "45 m"


@pytest.mark.parametrize(
    ("written", "number_format", "read"),
    [("007", "@", "007"), (7, "000", "007"), (101, "General", "101"), ("A 12", "@", "A-12")],
)
def test_ids_keep_their_form(book: Book, take: Take, written: Any, number_format: str, read: str) -> None:
    def form(sheet: Any) -> None:
        sheet["A2"].number_format = number_format

    assert read in take(book([HEAD, [written, *GATE[1:]]], form)).value["cameras"]


def test_cells_merged_downwards_hold_for_every_row(book: Book, take: Take) -> None:
    rows = [HEAD, GATE, ["fuel", "tarnwell/dome-2", None, 2, None, 20]]

    def merge(sheet: Any) -> None:
        sheet.merge_cells("C2:C3")
        sheet.merge_cells("E2:E3")

    result = take(book(rows, merge))
    assert result.value["cameras"]["fuel"]["video"] == {
        "into": "rec1/2",
        "over": [{"cable": "rg59-copper", "length": "20 m"}],
    }


def test_headings_in_two_lines(book: Book, take: Take) -> None:
    rows = [
        ["", "", "Video", "", "", "", "Power", "", ""],
        ["Camera", "Model", "Recorder", "Channel", "cable", "length (m)", "supply", "cable", "length (m)"],
        [*GATE, "psu1", "dc-1mm2", 46],
    ]

    def merge(sheet: Any) -> None:
        sheet.merge_cells("C1:F1")
        sheet.merge_cells("G1:I1")

    with pytest.raises(Refusal, match="psu1"):  # a supply without its output is a port that is not there
        take(book(rows, merge))
    rows[2][6] = "psu1/4"
    result = take(book(rows, merge))
    assert result.value["cameras"]["gate"]["power"] == {
        "from": "psu1/4",
        "over": [{"cable": "dc-1mm2", "length": "46 m"}],
    }
    assert over(result, "gate") == [{"cable": "rg59-copper", "length": "45 m"}]


def test_blank_rows_totals_banners_and_repeated_headings(book: Book, take: Take) -> None:
    rows = [
        HEAD,
        ["West side"],
        GATE,
        [],
        HEAD,
        ["fuel", *GATE[1:3], 2, "rg59-copper", 9],
        ["Total", None, None, None, None, 54],
    ]
    result = take(book(rows, lambda sheet: sheet.merge_cells("A2:F2")))
    assert set(result.value["cameras"]) == {"old", "gate", "fuel"}
    told = " ".join(result.notes)
    assert all(word in told for word in ("row 2 is a heading", "row 5 repeats", "row 7 is a total"))


def test_blanks_of_every_kind(book: Book, take: Take) -> None:
    result = take(
        book([[" Camera\u00a0", "Model ", *HEAD[2:]], ["\u00a0gate  ", " tarnwell/turret-5\u00a0", *GATE[2:]]])
    )
    assert result.value["cameras"]["gate"]["part"] == "tarnwell/turret-5"


def test_numbers_stored_as_text(book: Book, take: Take) -> None:
    assert over(take(book([HEAD, [*GATE[:3], "1", "rg59-copper", "45"]])), "gate")[0]["length"] == "45 m"


def test_hidden_rows_are_read_and_told_of(book: Book, take: Take) -> None:
    def hide(sheet: Any) -> None:
        sheet.row_dimensions[2].hidden = True

    result = take(book([HEAD, GATE], hide))
    assert "gate" in result.value["cameras"]
    assert any("hidden" in note for note in result.notes)


def test_only_one_recorder_means_that_one(book: Book, take: Take) -> None:
    result = take(book([["Camera", "Model", "Input"], ["gate", "tarnwell/dome-2", 3]]))
    assert result.value["cameras"]["gate"]["video"]["into"] == "rec1/3"


def test_semicolons_and_old_encoding(tmp_path: Path, take: Take) -> None:
    path = tmp_path / "s.csv"
    path.write_bytes("Camera;Location;Model;Ch\r\ngate;Stra\xdfe, Nord;tarnwell/dome-2;5\r\n".encode("cp1252"))
    result = take(path)
    assert result.value["cameras"]["gate"]["label"] == "Stra\xdfe, Nord"
    assert any("Windows-1252" in note for note in result.notes)


@pytest.mark.parametrize(("encoding", "delimiter"), [("utf-16", "\t"), ("utf-8-sig", ","), ("utf-8", ";")])
def test_encodings_and_delimiters(tmp_path: Path, take: Take, encoding: str, delimiter: str) -> None:
    rows = [["Camera", "Location", "Model"], ["007", '"Quay, ""north"""', "tarnwell/dome-2"]]
    path = tmp_path / "s.csv"
    path.write_bytes("\n".join(delimiter.join(row) for row in rows).encode(encoding))
    assert take(path).value["cameras"]["007"]["label"] == 'Quay, "north"'


def test_a_line_that_names_the_delimiter(tmp_path: Path, take: Take) -> None:
    path = tmp_path / "s.csv"
    path.write_text("sep=;\nCamera;Model;Length (m)\ngate;tarnwell/dome-2;1,5\n", encoding="utf-8")
    refuse(take, path, "C3", "comma")


@pytest.mark.parametrize(("written", "read"), [("x", True), ("Yes", True), ("-", False), ("n", False)])
def test_yes_and_no(book: Book, take: Take, written: str, read: bool) -> None:
    result = take(book([[*HEAD, "Audio"], [*GATE, written]]))
    assert result.value["cameras"]["gate"]["wants"]["sound"] is read


def test_an_update_keeps_what_the_schedule_does_not_say(book: Book, take: Take) -> None:
    result = take(book([["Camera", "Length (m)"], ["old", 30]]))
    old = {"part": "tarnwell/dome-2", "video": {"into": "rec1/8", "over": [{"cable": "rg59-copper", "length": "30 m"}]}}
    assert result.value["cameras"] == {"old": old}


# Refused with the cell


def test_header_too_far_down(book: Book, take: Take) -> None:
    refuse(take, book([["x"]] * 20 + [HEAD, GATE]), "first 20 rows")


def test_bare_number_under_a_heading_without_unit(book: Book, take: Take) -> None:
    refuse(take, book([[*HEAD[:5], "Length"], GATE]), "Sheet1!F2", "no unit", "(m)")


@pytest.mark.parametrize("text", ["45,5", "1,000", "45,5 m"])
def test_comma_decimals(book: Book, take: Take, text: str) -> None:
    refuse(take, book([HEAD, [*GATE[:5], text]]), "Sheet1!F2", "comma" if "m" in text else text)


def test_formula_that_was_never_computed(book: Book, take: Take) -> None:
    refuse(take, book([HEAD, [*GATE[:5], "=40+5"]]), "Sheet1!F2", "never computed")


def test_error_cells(book: Book, take: Take) -> None:
    def spoil(sheet: Any) -> None:
        sheet["F2"] = "#REF!"
        sheet["F2"].data_type = "e"

    refuse(take, book([HEAD, GATE], spoil), "Sheet1!F2", "#REF!")


def test_dates_for_fractions(book: Book, take: Take) -> None:
    refuse(take, book([HEAD, [*GATE[:3], datetime.date(2026, 2, 1), *GATE[4:]]]), "Sheet1!D2", "date")


def test_the_same_id_twice(book: Book, take: Take) -> None:
    refuse(take, book([HEAD, GATE, GATE]), "Sheet1!A3", "twice", "Sheet1!A2")


def test_a_row_without_id(book: Book, take: Take) -> None:
    refuse(take, book([HEAD, [None, *GATE[1:]]]), "Sheet1!B2", "no id")


def test_an_id_that_cannot_be_one(book: Book, take: Take) -> None:
    refuse(take, book([HEAD, ["ga/te", *GATE[1:]]]), "Sheet1!A2", "cannot be an id")


def test_unknown_part_with_the_near_one(book: Book, take: Take) -> None:
    refuse(take, book([HEAD, ["gate", "tarnwell/turet-5", *GATE[2:]]]), "Sheet1!B2", "tarnwell/turret-5")


def test_part_of_another_kind(book: Book, take: Take) -> None:
    refuse(take, book([HEAD, ["gate", "tarnwell/hybrid-8", *GATE[2:]]]), "Sheet1!B2", "a recorder")


def test_unknown_recorder(book: Book, take: Take) -> None:
    refuse(take, book([HEAD, [*GATE[:2], "rec9", *GATE[3:]]]), "Sheet1!C2", "rec9")


def test_a_run_that_leads_nowhere(book: Book, take: Take) -> None:
    rows = [["Camera", "Model", "Cable", "Length (m)"], ["gate", "tarnwell/dome-2", "rg59-copper", 45]]
    refuse(take, book(rows), "Sheet1!C2", "no recorder")


def test_a_mode_in_megapixels(book: Book, take: Take) -> None:
    refuse(take, book([[*HEAD, "Resolution"], [*GATE, "5MP"]]), "Sheet1!G2", "2560x1440@25")


def test_one_heading_over_two_columns(book: Book, take: Take) -> None:
    refuse(take, book([[*HEAD, "Length (m)"], [*GATE, 50]]), "F1 and G1")


def test_two_sheets_that_look_alike(tmp_path: Path, take: Take) -> None:
    import openpyxl

    workbook = openpyxl.Workbook()
    for title in ("Block A", "Block B"):
        sheet = workbook.create_sheet(title)
        sheet.append(HEAD)
        sheet.append([title[-1].lower(), *GATE[1:]])
    path = tmp_path / "two.xlsx"
    workbook.save(path)
    refuse(take, path, "Block A, Block B", "--sheet")
    assert set(take(path, "block b").value["cameras"]) == {"old", "b"}


def test_every_bad_cell_is_told_and_nothing_written(book: Book, take: Take, site: Path) -> None:
    before = site.read_bytes()
    rows = [HEAD, ["a b/c", *GATE[1:]], ["fuel", "no-such", "rec1", 0, "rg59-copper", "x"], GATE]
    with pytest.raises(Refusal) as refused:
        take(book(rows))
    cells = {str(each).split("!")[1].split(":")[0] for each in refused.value.problems}
    assert cells == {"A2", "B3", "D3", "F3"}
    assert site.read_bytes() == before


def test_a_way_of_several_pieces_is_not_cut_short(book: Book, take: Take, site: Path) -> None:
    text = site.read_text().replace(
        "over: [{cable: rg59-copper, length: 12 m}]",
        "over: [{cable: rg59-copper, length: 12 m}, {cable: rg6-copper, length: 3 m}]",
    )
    site.write_text(text)
    refuse(take, book([["Camera", "Length (m)"], ["old", 30]]), "Sheet1!B2", "2 pieces")
