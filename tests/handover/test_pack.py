"""The hand-over pack. Quantities are added up again by walking the models, money by `decimal` from the CSV alone, expected
values are those that `check --format json` prints; workbooks are read by calamine, pages by a browser and poppler, which
share nothing with what writes them. Bin packing: Dosa 2007, "The tight bound of first fit decreasing".
"""

from __future__ import annotations

import csv
import io
import json
import math
import re
import shutil
import subprocess
import zipfile
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from python_calamine import CalamineWorkbook

from coaxwright import load_site
from coaxwright.cli.main import run
from coaxwright.handover.drums import on_drums
from coaxwright.handover.expected import bounded

ROOT = Path(__file__).resolve().parents[2]
EXAMPLES = sorted((ROOT / "examples").glob("*/*.site.yaml"))
SHEETS = {
    "cables-signal", "cables-power", "pull-list", "labels", "patch-list", "supply-outputs", "device-addresses", "bill",
    "commissioning", "survey", "maintenance",
}  # fmt: skip
BOXES = {"pulled, m", "initials", "done", "measured", "by", "set to", "firmware", "last done"}


def rows(folder: Path, name: str) -> list[dict[str, str]]:
    text = (folder / "csv" / f"{name}.csv").read_text(encoding="utf-8-sig")
    return list(csv.DictReader(io.StringIO(text)))


@pytest.fixture(scope="module")
def packs(tmp_path_factory: pytest.TempPathFactory) -> Callable[[Path], Path]:
    made: dict[Path, Path] = {}

    def pack(site: Path) -> Path:
        if site not in made:
            folder = tmp_path_factory.mktemp("packs") / "out"
            assert run(["pack", str(site), "--output", str(folder), "--today", "2026-12-01"]) in (0, 1)
            made[site] = folder
        return made[site]

    return pack


@pytest.mark.parametrize("site", EXAMPLES, ids=lambda site: site.stem)
def test_every_example_has_its_sheets(site: Path, packs: Callable[[Path], Path]) -> None:
    folder = packs(site)
    assert {each.stem for each in (folder / "csv").iterdir()} == SHEETS
    assert {each.name for each in folder.iterdir()} == {"csv", "pack.html", "pack.xlsx", "report.html"}
    for name in SHEETS:
        for row in rows(folder, name):
            assert {row[box] for box in BOXES & row.keys()} <= {""}, "a box is for a hand to fill"


@pytest.mark.parametrize("site", EXAMPLES, ids=lambda site: site.stem)
def test_workbook_and_csv_say_the_same(site: Path, packs: Callable[[Path], Path]) -> None:
    book = CalamineWorkbook.from_path(str(packs(site) / "pack.xlsx"))
    assert {each.lower().replace(" ", "-") for each in book.sheet_names} == SHEETS
    for name in book.sheet_names:
        found = book.get_sheet_by_name(name).to_python()
        text = (packs(site) / "csv" / f"{name.lower().replace(' ', '-')}.csv").read_text(encoding="utf-8-sig")
        for ours, theirs in zip(csv.reader(io.StringIO(text)), found, strict=True):
            for one, other in zip(ours, [*theirs, *[""] * (len(ours) - len(theirs))], strict=True):
                same = one == other if isinstance(other, str) else math.isclose(float(one), float(other))
                assert same or one == f"'{other}", (name, one, other)


def _hops(site: Any) -> list[tuple[str, Any]]:
    """Every piece of cable that is laid, by walking the model: power over a network cable is that cable."""
    found: list[tuple[str, Any]] = []
    for camera in site.cameras.values():
        for use in ("video", "network", "sound", "control", "power"):
            way = getattr(camera, use)
            if way is None or not way.over or (use == "power" and camera.network is not None and _same(camera)):
                continue
            found += [(use, hop) for hop in way.over if hop.cable]
    for group in (site.recorders, site.junctions, site.boxes):
        for entry in group.values():
            if entry.power is not None and entry.power.over:
                found += [("power", hop) for hop in entry.power.over if hop.cable]
    for switch in site.switches.values():
        found += [("network", hop) for hop in switch.over or () if hop.cable]
    return found


def _same(camera: Any) -> bool:
    return camera.power.source == camera.network.into


@pytest.mark.parametrize("site", EXAMPLES, ids=lambda site: site.stem)
def test_every_cable_stands_once_with_its_metres(site: Path, packs: Callable[[Path], Path]) -> None:
    folder, loaded = packs(site), load_site(site)
    hops = _hops(loaded.site)
    table = [*rows(folder, "cables-signal"), *rows(folder, "cables-power")]
    assert len(table) == len(hops)
    numbers = [row["no."] for row in table]
    assert len(set(numbers)) == len(numbers)
    assert math.isclose(
        sum(float(row["length, m"] or 0) for row in table), sum(hop.length or 0.0 for _, hop in hops), abs_tol=1e-6
    )
    for row in table:
        if row["order, m"]:
            assert int(row["order, m"]) == math.ceil(round(float(row["length, m"]) * 1.1, 6))
    labels = [row["no."] for row in rows(folder, "labels")]
    assert sorted(labels) == sorted(numbers * 2), "two labels for each cable"
    ends = {(row["no."], row["this end"], row["far end"]) for row in rows(folder, "labels")}
    assert all((number, far, this) in ends for number, this, far in ends)


@pytest.mark.parametrize("site", EXAMPLES, ids=lambda site: site.stem)
def test_the_pull_list_cuts_every_ordered_metre_once(site: Path, packs: Callable[[Path], Path]) -> None:
    folder = packs(site)
    ordered = {
        row["no."]: row["order, m"] for name in ("cables-signal", "cables-power") for row in rows(folder, name) if row["order, m"]
    }
    cuts = rows(folder, "pull-list")
    assert {row["no."]: row["cut, m"] for row in cuts} == ordered
    left: dict[str, float] = {}
    for row in cuts:
        if row["drum"].startswith("D"):
            before = left.get(row["drum"], 100.0)
            assert float(row["left, m"]) == before - float(row["cut, m"]) >= 0
            left[row["drum"]] = float(row["left, m"])
        else:
            assert float(row["cut, m"]) > 100


@given(st.lists(st.integers(1, 100), max_size=40), st.integers(20, 100))
@settings(max_examples=200, deadline=None)
def test_drums(lengths: list[int], drum: int) -> None:
    """No drum is cut beyond its length, nothing is lost, and it is within the bound of the algorithm."""
    pieces = [(f"V-{place}", float(each)) for place, each in enumerate(lengths)]
    drums, too_long = on_drums(pieces, float(drum))
    assert sorted([*(cut for each in drums for cut in each.cuts), *too_long]) == sorted(pieces)
    assert all(each.left >= 0 for each in drums)
    assert all(metres > drum for _, metres in too_long)
    least = math.ceil(sum(each for each in lengths if each <= drum) / drum)
    halves = sum(each > drum / 2 for each in lengths if each <= drum)
    assert len(drums) <= 2 * max(least, halves, 1)
    assert all(one.left < other.cuts[0][1] for place, one in enumerate(drums) for other in drums[place + 1 :])


def test_the_bill_adds_up_to_the_cent(priced_yard: Path, tmp_path: Path) -> None:
    """Sums are recomputed from the printed lines; the price of a metre of coax is 0.40 less 10 %."""
    assert run(["pack", str(priced_yard), "--output", str(tmp_path / "out")]) == 0
    table = rows(tmp_path / "out", "bill")
    lines = {row["part"]: row for row in table if not row["part"].startswith("Sum")}
    sums = {row["part"]: Decimal(row["total"]) for row in table if row["part"].startswith("Sum") and row["total"]}
    work = [row for row in lines.values() if row["in"] == "h"]
    goods = [row for row in lines.values() if row["in"] != "h"]
    for row in lines.values():
        if row["price each"]:
            made = (Decimal(row["to order"]) * Decimal(row["price each"])).quantize(Decimal("0.01"), "ROUND_HALF_UP")
            assert made == Decimal(row["total"]), row
    assert lines["rg59-copper"]["price each"] == "0.36"
    assert lines["tarnwell/disk-8tb"]["price each"] == "180"
    assert [name for name, row in lines.items() if not row["price each"]] == ["dc-0.75mm2", "dc-1mm2"]
    assert lines["dc-1mm2"]["remark"] == "no price"
    assert sums["Sum: parts"] == sum(Decimal(row["total"]) for row in goods if row["total"])
    assert sums["Sum: labour"] == sum(Decimal(row["total"]) for row in work) == Decimal(60) * (
        Decimal("1.5") * 6 + 3 + 1 + 4 + Decimal("22.24")
    )
    net = sums["Sum: parts"] + sums["Sum: labour"]
    assert sums["Sum: tax, 20 %"] == (net * Decimal("0.2")).quantize(Decimal("0.01"), "ROUND_HALF_UP")
    assert sums["Sum: all together"] == net + sums["Sum: tax, 20 %"]
    page = (tmp_path / "out" / "pack.html").read_text(encoding="utf-8")
    for words in ("Prices hold until 2027-01-31", "Without a price, and so in no sum: dc-0.75mm2, dc-1mm2", "no/such"):
        assert words in page


@pytest.mark.parametrize("site", EXAMPLES, ids=lambda site: site.stem)
def test_expected_values_are_facts_and_lie_within(
    site: Path, packs: Callable[[Path], Path], capfd: pytest.CaptureFixture[str]
) -> None:
    capfd.readouterr()
    run(["check", str(site), "--format", "json", "--today", "2026-12-01"])
    facts = json.loads(capfd.readouterr().out)["sites"][0]["facts"]
    names = {"volts-night": "volts_night", "loss": "loss", "supply-volts": "volts", "density": "density"}
    seen = 0
    for row in rows(packs(site), "commissioning"):
        subject, _, measure = row["code"].rpartition("/")
        if not row["expected"]:
            continue
        low, value, high = (float(row[name]) if row[name] else None for name in ("from", "expected", "to"))
        assert value is not None
        if row["remark"]:
            assert (low is not None and value < low) or (high is not None and value > high)
        else:
            assert (low is None or low <= value) and (high is None or value <= high)  # noqa: PT018 - one band
        if measure in names:
            seen += 1
            assert abs(value - facts[subject][names[measure]]) <= 0.5
    assert seen


@given(st.floats(0, 50), st.floats(0, 50), st.floats(0, 50))
@settings(max_examples=300, deadline=None)
def test_rounding_hides_no_verdict(value: float, one: float, other: float) -> None:
    """A figure that is printed lies on the same side of a printed bound as the exact ones, or they are one to 1e-4."""
    least, most = sorted((one, other))
    made = bounded("cameras/x", "volts-night", value, least, most)
    assert made.fails == (value < least or value > most)
    assert made.value is not None
    assert made.least is not None
    assert made.most is not None
    outside = made.value < made.least or made.value > made.most
    assert outside == made.fails or min(abs(value - least), abs(value - most), most - least) < 2e-4


def test_the_same_sites_give_the_same_files(tmp_path: Path) -> None:
    made = []
    for name in ("one", "two"):
        run(["pack", str(EXAMPLES[0]), "--output", str(tmp_path / name), "--today", "2026-12-01"])
        files = (each for each in sorted((tmp_path / name).rglob("*")) if each.suffix in (".csv", ".html"))
        made.append([each.read_bytes() for each in files])
    assert made[0] == made[1]


# What is there stays


def test_nothing_that_is_there_is_lost(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    site, folder = str(EXAMPLES[0]), tmp_path / "full"
    folder.mkdir()
    (folder / "mine.txt").write_text("dear")
    assert run(["pack", site, "--output", str(folder)]) == 2
    assert "is a folder that is not empty" in capfd.readouterr().err
    assert [each.name for each in folder.iterdir()] == ["mine.txt"]
    assert run(["pack", site, "--output", str(folder), "--replace"]) in (0, 1)
    assert (folder / "mine.txt").read_text() == "dear"
    assert (folder / "pack.html").exists()
    (tmp_path / "file").write_text("dear")
    assert run(["pack", site, "--output", str(tmp_path / "file"), "--replace"]) == 2
    assert (tmp_path / "file").read_text() == "dear"


@pytest.mark.parametrize(
    ("words", "second"),
    [
        (["pack", str(EXAMPLES[0])], "pack.xlsx"),
        (["report", str(EXAMPLES[0]), str(EXAMPLES[1])], "index.html"),
        (["schedule", "export", str(EXAMPLES[0])], "cameras.csv"),
        (["quiz", "make", "--count", "1", "--format", "json"], "key-A.json"),
        (["course", "lesson", "--all"], "power.html"),
    ],
    ids=lambda words: words[0] if isinstance(words, list) else "",
)
def test_a_folder_comes_whole_or_not_at_all(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: list[str], second: str
) -> None:
    from coaxwright.course import lessons
    from coaxwright.reading import folders

    written = []

    def fails(path: Path, data: bytes) -> None:
        if path.name == second:
            raise OSError(28, "No space left on device")
        written.append(path.name)
        path.write_bytes(data)

    monkeypatch.setattr(folders, "write_bytes_atomically", fails)
    monkeypatch.setattr(lessons, "lesson_page", lambda bank, topic, seed: f"a page of {topic}, made at once")
    name = [] if words[-1] == "--all" else ["--output"]
    assert run([*words, *name, str(tmp_path / "out")]) == 2
    assert second not in written
    assert list(tmp_path.iterdir()) == []


def test_what_cannot_be_packed(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "x.site.yaml").write_text("site: X\ncameras: {a: {part: no/such}}\n")
    assert run(["pack", str(tmp_path / "x.site.yaml"), "--output", str(tmp_path / "out")]) == 2
    assert "no/such" in capfd.readouterr().err
    assert run(["pack", str(EXAMPLES[0]), "--output", str(tmp_path / "out"), "--drum", "5 V"]) == 2
    assert not (tmp_path / "out").exists()


def test_a_network_camera_has_its_picture_on_the_patch_list(packs: Callable[[Path], Path]) -> None:
    site = next(each for each in EXAMPLES if each.stem.startswith("kestrel"))
    found = {row["camera"]: row["picture"] for row in rows(packs(site), "patch-list")}
    assert found["office"] == "2560 × 1440", "as its part states it, and as the recorder keeps it"


def test_an_empty_site(tmp_path: Path) -> None:
    (tmp_path / "x.site.yaml").write_text("site: Nothing yet\n")
    assert run(["pack", str(tmp_path / "x.site.yaml"), "--output", str(tmp_path / "out")]) == 0
    assert "No cable is drawn" in (tmp_path / "out" / "pack.html").read_text(encoding="utf-8")


HOSTILE = '=HYPERLINK(1) <img src=x> & "a" | *b*'


def test_strange_words_do_no_harm(priced_yard: Path, tmp_path: Path) -> None:
    text = priced_yard.read_text(encoding="utf-8")
    text = text.replace("label: Fuel berth", f"label: '{HOSTILE}'").replace("site: Alder Wharf boatyard", f"site: '{HOSTILE}'")
    priced_yard.write_text(text, encoding="utf-8")
    assert run(["pack", str(priced_yard), "--output", str(tmp_path / "out"), "--version", "</style><b>"]) == 0
    page = (tmp_path / "out" / "pack.html").read_text(encoding="utf-8")
    assert "<img" not in page
    assert page.count("</style>") == page.count("<style>") == 2
    assert [row["name on screen"] for row in rows(tmp_path / "out", "patch-list")][2] == f"'{HOSTILE}"
    sheet = CalamineWorkbook.from_path(str(tmp_path / "out" / "pack.xlsx")).get_sheet_by_name("Patch list").to_python()
    assert sheet[3][3] == HOSTILE


# Opened by others


@pytest.mark.parametrize("width", [320, 360, 1280])
def test_the_page_in_a_browser(width: int, packs: Callable[[Path], Path], watched: Callable[..., Any]) -> None:
    """No request, no message, and it does not scroll sideways on a phone: only tables do, in boxes that take the focus."""
    watch = watched(viewport={"width": width, "height": 700})
    page = watch.open(packs(EXAMPLES[2]) / "pack.html")
    assert watch.heard == []
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
    assert page.evaluate(
        "[...document.querySelectorAll('table')].every(each => each.closest('.scroll') === null"
        " || each.closest('.scroll').tabIndex === 0)"
    )


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("site", [EXAMPLES[0], EXAMPLES[2]], ids=lambda site: site.stem)
def test_the_page_on_paper(site: Path, paper: str, packs: Callable[[Path], Path], browser: Any, tmp_path: Path) -> None:
    """Every sheet has its foot and number, every word lies within the paper less 10 mm, no two words lie on each other."""
    if shutil.which("pdftotext") is None:
        pytest.skip("no pdftotext here: apt-get install poppler-utils")
    page = browser.new_page()
    page.goto((packs(site) / "pack.html").as_uri())
    page.pdf(path=str(tmp_path / "p.pdf"), format=paper, prefer_css_page_size=False)
    sheets = _pdf(tmp_path / "p.pdf", "-layout").split("\f")[:-1]
    for number, text in enumerate(sheets, 1):
        assert f"page {number} of {len(sheets)}" in " ".join(text.split())
        assert "hand-over" in text
    words = re.findall(r'<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)"', _pdf(tmp_path / "p.pdf", "-bbox"))
    edge, wide = 10 / 25.4 * 72, {"A4": 595.3, "Letter": 612.0}[paper]
    assert all(edge - 1 <= float(left) and float(right) <= wide - edge + 1 for left, _, right in words)


def _pdf(path: Path, form: str) -> str:
    return subprocess.run(["pdftotext", form, str(path), "-"], capture_output=True, text=True, check=True).stdout


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("site", EXAMPLES[:4], ids=lambda site: site.stem)
def test_no_heading_is_parted_from_its_table(
    site: Path, paper: str, packs: Callable[[Path], Path], browser: Any, tmp_path: Path
) -> None:
    """Below the heading of a sheet there is a row of its table on the same page, and no page has a signature alone."""
    if shutil.which("pdftotext") is None:
        pytest.skip("no pdftotext here: apt-get install poppler-utils")
    page = browser.new_page()
    page.goto((packs(site) / "pack.html").as_uri())
    page.pdf(path=str(tmp_path / "p.pdf"), format=paper, prefer_css_page_size=False)
    first = {name.replace("-", " ").capitalize(): rows(packs(site), name) for name in SHEETS - {"labels", "commissioning"}}
    found = 0
    for text in _pdf(tmp_path / "p.pdf", "-layout").split("\f")[:-1]:
        lines = [line.strip() for line in text.splitlines() if line.strip()][:-1]
        for place, line in enumerate(lines):
            if first.get(line):
                head, below = next(iter(first[line][0])), lines[place + 1 :]
                at = next((at for at, each in enumerate(below) if each.startswith(head)), None)
                assert at is not None, f"{line}: its table is on another page"
                assert below[at + 1 :], f"{line}: no row below its headings"
                found += 1
        assert len(" ".join(lines).split()) > 12, "a page with a signature and nothing that is signed"
    assert found >= 6


def test_each_drum_is_told_with_its_cables(priced_yard: Path, tmp_path: Path) -> None:
    """A length that a price file states is not called assumed; one that nobody states is."""
    assert run(["pack", str(priced_yard), "--output", str(tmp_path / "out")]) in (0, 1)
    text = (tmp_path / "out" / "pack.html").read_text(encoding="utf-8")
    (said,) = re.findall(r"<p>(On a drum: [^<]*)</p>", text)
    stated, _, assumed = said.partition("; ")
    assert "rg59-copper" in stated
    assert "assumed" not in stated
    assert "dc-1.5mm2" in assumed
    assert "assumed" in assumed


def test_an_error_is_not_told_with_its_place_twice(priced_yard: Path, tmp_path: Path) -> None:
    """Two cameras on one input: its name begins the sentence, and the patch list names the input once."""
    text = priced_yard.read_text(encoding="utf-8")
    inputs = re.findall(r"into: (rec1/\d)", text)
    priced_yard.write_text(text.replace(inputs[1], inputs[0], 1), encoding="utf-8")
    assert run(["pack", str(priced_yard), "--output", str(tmp_path / "out")]) == 1
    page = (tmp_path / "out" / "pack.html").read_text(encoding="utf-8")
    assert f"recorders/{inputs[0]} is named by 2 cameras" in page
    assert f"recorders/{inputs[0]}: recorders/" not in page
    assert f"More than one camera on one input: {inputs[0]}. Mend" in page


def test_the_workbook_is_made_for_paper(packs: Callable[[Path], Path]) -> None:
    """Every sheet lies across the page, is fitted to its width, and repeats its headings (ISO/IEC 29500-1, 18.3.1)."""
    with zipfile.ZipFile(packs(EXAMPLES[0]) / "pack.xlsx") as book:
        sheets = [book.read(name).decode() for name in book.namelist() if name.startswith("xl/worksheets/sheet")]
        names = book.read("xl/workbook.xml").decode()
    assert len(sheets) == len(SHEETS)
    assert all('orientation="landscape"' in each and "fitToPage" in each and 'fitToHeight="0"' in each for each in sheets)
    assert names.count("_xlnm.Print_Titles") == len(SHEETS)
