"""What `explain` and the reports say of failing parts, in words and as data. Common practice: what hangs on one part goes
dark with it. Sites and parts are the project's own examples.
"""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path

import pytest

from coaxwright.checking import check
from coaxwright.cli.main import run
from coaxwright.findings import Report
from coaxwright.reporting.failing import MOST_ROWS, Table, lost_words, part_words, table_of
from coaxwright.reporting.formats import Setting, render
from coaxwright.topology.failures import Lost

ROOT = Path(__file__).resolve().parents[2]
MARKET = str(ROOT / "examples" / "fish-market" / "gannet-bay.site.yaml")
MILL = str(ROOT / "examples" / "paper-mill" / "fallow-weir.site.yaml")
Capture = pytest.CaptureFixture[str]


def _out(capfd: Capture, *words: str) -> str:
    assert run(["explain", *words]) == 0
    return capfd.readouterr().out


@pytest.mark.parametrize(
    ("site", "subject", "said"),
    [
        (MILL, "supplies/psu1", "if it fails: cameras vat, gate, drum, rag, weir, loft lose power"),
        (MILL, "supplies/psu1/2", "if it fails: camera gate loses power"),
        (MILL, "boxes/weir-b1", "if it fails: camera weir loses its picture"),
        (MILL, "sheaths/house", "if it fails: cameras drum, rag lose their picture"),
        (MILL, "cameras/vat/video/over/1", "if it fails: camera vat loses power"),  # its power runs in the same jacket
        (MILL, "recorders/rec1", "if one of its disks fails: cameras vat, gate, drum, rag, weir, loft lose their recording"),
        (MILL, "cameras/drum", "goes dark with any one of: recorder rec1, supply psu1,"),
        (MARKET, "junctions/quay-6", "if it fails: cameras quay-cam-11, quay-cam-12 lose power"),
    ],
)
def test_explain_says_what_goes_dark(capfd: Capture, site: str, subject: str, said: str) -> None:
    assert any(line.startswith(said) for line in _out(capfd, site, subject).splitlines())


@pytest.mark.parametrize("subject", ["site", "recorders/rec1/1"])
def test_explain_says_nothing_of_what_is_no_part(capfd: Capture, subject: str) -> None:
    assert "fails:" not in _out(capfd, MILL, subject)
    assert "if_it_fails" not in _out(capfd, MILL, subject, "--format", "json")


def test_json_of_a_subject_stays_a_list_of_facts(capfd: Capture) -> None:
    facts = json.loads(_out(capfd, MILL, "boxes/weir-b1", "--format", "json"))
    keys = {"name", "value", "unit", "doc", "working", "source"}
    assert all(keys <= set(each) for each in facts)
    last = facts[-1]
    assert (last["name"], last["value"]) == ("if_it_fails", ["weir"])
    assert last["if_it_fails"]["picture"] == ["weir"]
    assert last["if_it_fails"]["power"] == []
    camera = json.loads(_out(capfd, MILL, "cameras/drum", "--format", "json"))
    assert all(set(each) == keys for each in camera)
    assert camera[-1]["name"] == "goes_dark_with"
    assert {"supplies/psu1", "recorders/rec1", "sheaths/house", "supplies/psu1/3"} <= set(camera[-1]["value"])


def test_an_area_goes_dark_with_what_all_its_cameras_need(capfd: Capture, tmp_path: Path) -> None:
    """Two outputs of one supply; each camera's own output is no part of it."""
    shutil.copytree(Path(MILL).parent, tmp_path / "mill")
    path = tmp_path / "mill" / Path(MILL).name
    text = path.read_text(encoding="utf-8")
    for name, area in (("drum", "machine"), ("rag", "machine"), ("loft", "roof")):
        text = text.replace(f"\n  {name}:\n", f"\n  {name}:\n    area: {area}\n")
    path.write_text(text, encoding="utf-8")
    said = "goes dark with any one of: recorder rec1, supply psu1, a disk of rec1, cable house"
    assert said in _out(capfd, str(path), "areas/machine").splitlines()


def test_failures_of_a_site(capfd: Capture) -> None:
    told = json.loads(_out(capfd, MARKET, "--failures", "--format", "json"))
    assert (told["format"], told["cameras"]) == (2, 64)
    counts = [each["cameras_dark"] for each in told["failures"]]
    assert counts == sorted(counts, reverse=True)
    by_part = {each["part"]: each for each in told["failures"]}
    assert len(by_part) == len(told["failures"])
    assert by_part["recorders/harbour"]["cameras_dark"] == 32
    assert len(by_part["junctions/quay-1"]["power"]) == len(by_part["supplies/quay-psu/1"]["power"]) == 12
    assert told["not_counted"] == ["no source of power is named for recorder market, recorder harbour"]
    lines = _out(capfd, MARKET, "--failures").splitlines()
    assert [int(line.split()[0]) for line in lines if re.match(r" *\d+  ", line)] == counts
    assert lines[2].startswith("  32  recorder market: cameras hall-1, hall-2, ")


@pytest.mark.parametrize("words", [[], [MILL, "site"], [MILL, MARKET, "site"]])
def test_failures_are_of_one_whole_site(capfd: Capture, words: list[str]) -> None:
    assert run(["explain", *words, "--failures"]) == 2
    assert "name a site, and no subject, with --failures" in capfd.readouterr().err


def test_a_site_without_cameras_has_no_single_point(capfd: Capture, tmp_path: Path) -> None:
    path = tmp_path / "bare.site.yaml"
    path.write_text("site: Bare\n", encoding="utf-8")
    assert "no part is known with which a camera goes dark" in _out(capfd, str(path), "--failures")
    assert table_of(check(path)) is None


def _table(path: str | Path) -> Table:
    found = table_of(check(path))
    assert found is not None
    return found


def test_the_table_of_a_report_is_short() -> None:
    """Most cameras first, twelve rows at most; what is left out is counted, and takes no more than the last row."""
    found = _table(MARKET)
    counts = [row.cameras for row in found.rows]
    assert len(counts) == MOST_ROWS
    assert counts == sorted(counts, reverse=True)
    more = re.fullmatch(r"and (\d+) more, each with at most (\d+) cameras", found.more)
    assert more is not None
    assert int(more[2]) <= counts[-1]
    few = _table(MILL)
    assert [row.cameras for row in few.rows] == [6, 6, 6, 2]
    assert re.fullmatch(r"and \d+ more, each with one camera", few.more)


def test_parts_that_take_the_same_stand_in_one_row() -> None:
    rows = {row.parts: row for row in _table(MARKET).rows}
    trunk = ("junctions/quay-1", "supplies/quay-psu/1", "junctions/quay-1/power/over/0")
    assert rows[trunk].words == "junction quay-1, output 1 of quay-psu, power cable of junction quay-1, piece 1"
    assert len(set(rows)) == len(rows)


def test_reports_show_the_table_and_text_does_not() -> None:
    report = Report("0", "", (), (check(MARKET),))
    told = {form: render(form, report, Setting()) for form in ("text", "md", "html", "json")}
    assert "If one thing fails" in told["md"]
    assert "If one thing fails" in told["html"]
    assert "| supply ice-psu | cameras ice-1, ice-2, " in told["md"]
    assert "supply ice-psu" in told["html"]
    assert "thing fails" not in told["text"]
    assert "thing fails" not in told["json"]
    for text in told.values():
        assert not re.search(r"\b(is|are) (safe|protected)\b", text)


def test_markdown_is_the_same_over_several_processes(capfd: Capture) -> None:
    outs = []
    for jobs in ("1", "2"):
        run(["check", MILL, MARKET, "--format", "md", "--jobs", jobs])
        outs.append(capfd.readouterr().out)
    assert outs[0] == outs[1]
    assert outs[0].count("If one thing fails") == 2


@pytest.mark.parametrize(
    ("part", "words"),
    [
        ("supplies/psu1", "supply psu1"),
        ("supplies/psu1/2", "output 2 of psu1"),
        ("recorders/rec1/disk", "a disk of rec1"),
        ("switches/sw1/over/1", "network cable of switch sw1, piece 2"),
        ("cameras/gate/power/over/0", "power cable of camera gate, piece 1"),
        ("sheaths/house", "cable house"),
        ("boxes/b1", "box b1"),
    ],
)
def test_words_of_parts(part: str, words: str) -> None:
    assert part_words(part) == words


def _lost(power: str = "", picture: str = "", recording: str = "", kept: str = "") -> Lost:
    return Lost("x", tuple(power.split()), tuple(picture.split()), tuple(recording.split()), tuple(kept.split()))


@pytest.mark.parametrize(
    ("lost", "most", "words"),
    [
        (_lost(), None, "no camera goes dark"),
        (_lost("a", "a", "a"), None, "camera a loses power"),
        (_lost("a b", "a b c", "a b c d"), None, "cameras a, b lose power; c loses its picture; d loses its recording"),
        (_lost("a", "a b c", "a b c"), None, "camera a loses power; b, c lose their picture"),
        (_lost("", "", "a b", "a b"), None, "cameras a, b lose their recording and what was recorded"),
        (_lost("", "", "", "a"), None, "camera a loses part of what was recorded"),
        (_lost("a b c d"), 2, "cameras a, b and 2 more lose power"),
        (_lost("a b c"), 2, "cameras a, b, c lose power"),  # `and 1 more` says less than the name
    ],
)
def test_words_of_what_is_lost(lost: Lost, most: int | None, words: str) -> None:
    """Each camera once, by the gravest that it loses."""
    assert lost_words(lost, most) == words
