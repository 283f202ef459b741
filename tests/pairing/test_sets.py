"""Whole sets of cameras on recorders: by hand, against every way of filling, and against the full check of the site.

The sites and the ways of filling are written here; the expected figures of the hand-made cases are common practice,
worked out on paper from the parts of `counter.py`.
"""

from __future__ import annotations

import csv
import importlib.util
import itertools
import json
import os
import random
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest
import yaml

from coaxwright.checking import check, load_rulebook
from coaxwright.cli.main import run
from coaxwright.pairing.cells import Cell, Clerk
from coaxwright.pairing.keeping import seated
from coaxwright.pairing.sets import Choice, Piece, choices
from coaxwright.pairing.small_sites import Question
from coaxwright.reading.catalogue import Catalogue, build_catalogue
from coaxwright.reading.site_reader import read_site

_spec = importlib.util.spec_from_file_location("counter", Path(__file__).with_name("counter.py"))
assert _spec is not None
assert _spec.loader is not None
counter = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(counter)

SETS = 500 if os.environ.get("COAXWRIGHT_FULL") else 40
BOATYARD = Path(__file__).resolve().parents[2] / "examples" / "boatyard"


@pytest.fixture(scope="module")
def hand(tmp_path_factory: pytest.TempPathFactory) -> Clerk:
    return counter.clerk_of(tmp_path_factory.mktemp("hand"))


@pytest.fixture(scope="module")
def big(ranges: ModuleType, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Catalogue]:
    folder = tmp_path_factory.mktemp("sets")
    path = folder / "catalogue.yaml"
    path.write_text(ranges.catalogue(120, 60, seed=5), encoding="utf-8")
    return folder, build_catalogue([(path, path.name)])


def pieces(*names: str) -> list[Piece]:
    return [Piece(name, Question()) for name in names]


# By hand


def test_sound_that_is_asked_for_is_kept_at_the_cost_of_detail(hand: Clerk) -> None:
    """nv/h4 takes sound on input 1 alone: two of four cameras with microphones cannot both keep it."""
    found = choices(hand, pieces(*["os/five"] * 4), ["nv/h4"], {"sound": 1})[0]
    assert found.kept == {"sound": 1}
    two = choices(hand, pieces(*["os/five"] * 4), ["nv/h4"], {"sound": 2})
    best = two[0]
    assert best.recorders == ("nv/h4", "nv/h4")
    assert best.kept == {"sound": 2}
    assert best.price == 300


def test_two_recorders_where_one_has_too_few_inputs(hand: Clerk) -> None:
    """Six 5 MP cameras in full: nv/h4 holds four, pw/h8 two; together all six, for 350 EUR, before two of nv/h4."""
    found = choices(hand, pieces(*["os/five"] * 6), ["nv/h4", "pw/h8"], {"full": 6})
    assert found[0].recorders in (("nv/h4", "pw/h8"), ("pw/h8", "nv/h4"), ("nv/h4", "nv/h4"))
    assert found[0].outcomes == {"full": 6}
    assert not found[0].left
    alone = next(each for each in found if each.recorders == ("nv/h4",))
    assert alone.left == 2
    assert alone.outcomes == {"full": 4, "no-input": 2}


def test_nobody_is_ranked_first_for_price_alone(hand: Clerk) -> None:
    """nv/h4 is cheaper than pw/h8, and with five cameras leaves one out: pw/h8 seats all of them."""
    found = choices(hand, pieces(*["os/two"] * 5), ["nv/h4", "pw/h8"], {})
    assert found[0].recorders == ("pw/h8",)


# Against every way of filling


def ways(counts: list[int], sizes: list[int]) -> Any:
    """Every way of giving the pieces of each kind groups of inputs, as many places as there are pieces; None is none."""
    kinds = [kind for kind, count in enumerate(counts) for _ in range(count)]
    for places in itertools.product([None, *range(len(sizes))], repeat=len(kinds)):
        if all(places.count(place) <= size for place, size in enumerate(sizes)):
            yield list(zip(kinds, places, strict=True))


def test_no_way_of_filling_keeps_more_of_what_is_asked() -> None:
    """Random cells, up to five cameras and three kinds of input, all ways tried one by one."""
    rng = random.Random(3)
    for _ in range(60):
        sizes = [rng.randint(1, 2) for _ in range(rng.randint(1, 3))]
        counts = [rng.randint(1, 2) for _ in range(rng.randint(1, 3))]
        kinds = [tuple(drawn_cell(rng) for _ in sizes) for _ in counts]
        keep = {"sound": rng.randint(1, 3), "full": rng.randint(1, 3)}
        shares, exhaustive = seated(kinds, counts, sizes, keep)
        assert exhaustive
        mine = [(kind, place) for kind, places in enumerate(shares) for place in places]
        best = min(lacking(kinds, way, keep) for way in ways(counts, sizes))
        assert lacking(kinds, mine, keep) == best


def drawn_cell(rng: random.Random) -> Cell:
    outcome = rng.choice(["full", "reduced-width", "no-picture"])
    size = 0 if outcome == "no-picture" else 1000
    return Cell(outcome, "tvi", size, size, 25.0, 25.0, size, size, rng.random() < 0.5, False, False, False)


def lacking(kinds: list[tuple[Cell, ...]], way: Any, keep: dict[str, int]) -> int:
    cells = [kinds[kind][place] for kind, place in way if place is not None]
    sound = sum(cell.sound is True and cell.outcome != "no-picture" for cell in cells)
    full = sum(cell.outcome == "full" for cell in cells)
    return max(0, keep["sound"] - sound) + max(0, keep["full"] - full)


# Against the full check of the site that it stands for


def test_a_set_is_what_the_check_of_its_site_says(big: tuple[Path, Catalogue]) -> None:
    folder, catalogue = big
    clerk, rules, rng = Clerk(catalogue), load_rulebook(), random.Random(41)
    cameras = [name for name in catalogue.ids("camera") if catalogue.part(name).emits]
    judged = 0
    for _ in range(SETS):
        named = [drawn_piece(rng, catalogue, cameras) for _ in range(rng.randint(1, 9))]
        recorders = rng.sample(catalogue.ids("recorder"), 2)
        found = choices(clerk, named, recorders, {"sound": rng.randint(1, 4)} if rng.random() < 0.5 else {})
        judged += compared(folder, found[0], rules)
    assert judged > SETS


def drawn_piece(rng: random.Random, catalogue: Catalogue, cameras: list[str]) -> Piece:
    """A camera as it leaves the box, or switched, over a run or plugged straight in."""
    name, question = rng.choice(cameras), Question()
    if rng.random() < 0.3:
        row = rng.choice(catalogue.part(name).emits)
        modes = row.mode if not hasattr(row.mode, "width") else (row.mode,)
        families = row.family if isinstance(row.family, tuple) else (row.family,)
        question = Question(family=rng.choice(families), mode=str(rng.choice(modes)))
    if rng.random() < 0.3:
        run_of = {"cable": "rg59-copper", "length": f"{rng.choice([40, 180, 420])} m"}
        question = Question(family=question.family, mode=question.mode, **run_of)
    return Piece(name, question)


def compared(folder: Path, choice: Choice, rules: Any) -> int:
    """Every camera of a choice against the facts of a site written out here."""
    entries = {}
    for place, each in enumerate(choice.placings):
        if each.seat.number is None:
            continue
        asked = each.piece.question
        over = [{"cable": asked.cable, "length": asked.length}] if asked.cable else []
        entry: dict[str, Any] = {"part": each.piece.part, "video": {"into": f"r{each.box}/{each.seat.number}", "over": over}}
        entry |= {"sound": {"by": "coax"}, "control": {"by": "coax"}}
        if asked.family:
            entry["set"] = {"family": asked.family, "mode": asked.mode}
        entries[f"c{place}"] = entry
    boxes = {f"r{box}": {"part": name} for box, name in enumerate(choice.recorders)}
    site = {"site": "a set", "video_rate": 25, "parts": ["catalogue.yaml"], "recorders": boxes, "cameras": entries}
    path = folder / "set.site.yaml"
    path.write_text(yaml.safe_dump(site, sort_keys=False), encoding="utf-8")
    report = check(read_site(path), rulebook=rules)
    ports = [entry["video"]["into"] for entry in entries.values()]
    assert len(set(ports)) == len(ports)
    for place, each in enumerate(choice.placings):
        if each.seat.cell is not None:
            same(each.seat.cell, report.facts[f"cameras/c{place}"], report, f"cameras/c{place}")
    return len(entries)


def same(cell: Cell, facts: Any, report: Any, subject: str) -> None:
    settled = facts["settled"]
    assert cell.outcome == settled["outcome"]
    if cell.outcome is not None:
        assert (cell.width or 0, cell.height or 0) == (settled["width"] or 0, settled["height"] or 0)
        assert (cell.acquired_fps or 0) == pytest.approx(settled["acquired_fps"] or 0)
    recorded = settled["recorded_fps"]
    assert (cell.recorded_fps is None) == (recorded is None)
    assert (cell.recorded_fps or 0) == pytest.approx(recorded or 0)
    for name in ("sound", "control"):
        assert getattr(cell, name) == facts.get(f"{name}_works"), (subject, name)
    failing = {each.rule for each in report.findings if each.subject == subject and each.kind == "fail"}
    long = "cable/loss-beyond-limit" in failing
    assert (cell.verdict == "too-long") == (long and bool(cell.width))


# The command


def call(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str, str]:
    status = run(["pair", *words])
    told = capsys.readouterr()
    return status, told.out, told.err


@pytest.fixture
def yard(tmp_path: Path) -> Path:
    path = tmp_path / "list.csv"
    path.write_text("Modell;Menge;Standort\nfennick/turret-5;3;Hof\ndome-2;2;\nTotal;5;\n", encoding="utf-8")
    return path


@pytest.mark.parametrize("form", ["text", "md", "html", "csv", "json"])
def test_every_form(yard: Path, capsys: pytest.CaptureFixture[str], form: str) -> None:
    parts = str(BOATYARD / "parts" / "*.yaml")
    status, out, err = call(capsys, "--cameras", str(yard), "*", "--parts", parts, "--keep", "sound=2", "--format", form)
    assert (status, err) == (0, "")
    assert "tarnwell/hybrid-8" in out
    if form == "json":
        data = json.loads(out)
        assert data["format"] == 2
        assert set(data) >= {"set", "verdict", "cameras", "keep", "choices", "today", "notes", "contradictions", "not_compared"}
        assert data["cameras"] == {"fennick/turret-5": 3, "tarnwell/dome-2": 2}
        best = data["choices"][0]
        assert best["kept"] == {"sound": {"asked": 2, "kept": 3}}
        assert best["outcomes"] == {"full": 2, "reduced-width": 3}
        assert len(best["seats"]) == 5
        assert "half the columns of the picture" in best["seats"][0]["loses"]
        assert 12 <= len(data["verdict"].split()) <= 75
    if form == "csv":
        assert next(csv.reader(out.splitlines())) == ["Choices"]


def test_only_the_recorder_changes(capsys: pytest.CaptureFixture[str]) -> None:
    """The recorder of the yard in place of itself: everything stays, camera by camera."""
    site = str(BOATYARD / "alder-wharf.site.yaml")
    status, out, _ = call(capsys, "--cameras", site, "*", "--format", "json")
    assert status == 0
    data = json.loads(out)
    assert "6 of 6 cameras keep all that they have today" in data["verdict"]
    assert [seat["worse_than_today"] for seat in data["choices"][0]["seats"]] == [[]] * 6
    assert data["today"]["outcomes"] == {"full": 3, "asked-down": 3}


def test_every_bad_cell_is_named(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "bad.csv"
    path.write_text("Model,Qty,Length\nturret-5,1,\nnobody/x,two,\ndome-2,2,30\n", encoding="utf-8")
    status, _, err = call(capsys, "--cameras", str(path), "*", "--parts", str(BOATYARD / "parts" / "*.yaml"))
    assert status == 2
    for cell in ("A2", "A3", "B3", "C4"):
        assert cell in err


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--keep", "sound=1", "a", "b"], "--keep belongs to --cameras"),
        (["--cameras", "LIST", "a", "b"], "in place of CAMERA"),
        (["--cameras", "LIST", "*", "--keep", "sounds=1"], "did you mean"),
        (["--cameras", "LIST", "*", "--keep", "sound"], "of how many"),
        (["--cameras", "LIST", "*", "--input", "2"], "is decided here"),
        (["--cameras", "LIST", "*", "--best-for", "cameras"], "ranks recorders already"),
        (["a"], "Missing argument 'RECORDER'"),
    ],
)
def test_wrong_calls(yard: Path, capsys: pytest.CaptureFixture[str], words: list[str], told: str) -> None:
    status, _, err = call(capsys, *[str(yard) if word == "LIST" else word for word in words])
    assert status == 2
    assert told in err


LATE = """
parts:
  tern/b5: {kind: camera, source: invented, switched_by: [dip-switch], starts_as: {family: tvi, mode: 2592x1944@20},
    emits: [{family: [tvi, ahd], mode: [2592x1944@20, 1920x1080@25]}], sound: {microphone: true, over_coax: [tvi]}}
  tern/r4: {kind: recorder, source: invented, inputs: [{channels: 1-4, accepts: [{family: [tvi, ahd], mode: 1920x1080@25}]}],
    encodes: [{up_to: 1920x1080, rate: 15 fps}], sound: {coax_channels: 1-2, coax_families: [tvi]}}
"""


def test_what_a_person_can_do_is_told_of_each_kind_of_input(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Sound comes with the switch on inputs 1 and 2 alone; it was told of all four."""
    (tmp_path / "parts.yaml").write_text(LATE, encoding="utf-8")
    (tmp_path / "set.csv").write_text("part,count\ntern/b5,4\n", encoding="utf-8")
    assert run(["pair", "--cameras", str(tmp_path / "set.csv"), "tern/r4", "--parts", str(tmp_path / "parts.yaml")]) in (0, 1)
    rows = [line for line in capsys.readouterr().out.splitlines() if "x tern/b5" in line]
    assert [(" 1-2 " in row, " 3-4 " in row, row.rstrip().endswith("sound as well")) for row in rows] == [
        (True, False, True), (False, True, False),
    ]  # fmt: skip
