"""Tables of pairs, rankings and replacements: globs, conditions, every form, and the order of what is kept."""

from __future__ import annotations

import csv
import html.parser
import io
import json
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from coaxwright.cli.main import run
from coaxwright.errors import Refusal
from coaxwright.pairing import table_forms
from coaxwright.pairing.cells import Clerk
from coaxwright.pairing.ranking import Ranked, best_cameras, best_recorders, replace_camera, replace_recorder
from coaxwright.pairing.small_sites import Question
from coaxwright.pairing.table_forms import render_table
from coaxwright.pairing.tables import kept, matching, parse_condition, tabulate
from coaxwright.pairing.telling import MARKS
from coaxwright.reading.catalogue import Catalogue, build_catalogue

ROOT = Path(__file__).resolve().parents[2]
PARTS = str(ROOT / "examples" / "boatyard" / "parts" / "*.yaml")
FULL = bool(os.environ.get("COAXWRIGHT_FULL"))


@pytest.fixture(scope="module")
def small(ranges: ModuleType, tmp_path_factory: pytest.TempPathFactory) -> Clerk:
    path = tmp_path_factory.mktemp("tables") / "catalogue.yaml"
    path.write_text(ranges.catalogue(40, 15, seed=4), encoding="utf-8")
    return Clerk(build_catalogue([(path, path.name)]))


def everything(clerk: Clerk) -> tuple[list[str], list[str]]:
    return matching(clerk.catalogue, "*", "camera"), matching(clerk.catalogue, "*", "recorder")


def test_globs_and_conditions(boatyard: Catalogue) -> None:
    cameras = matching(boatyard, "*", "camera")
    assert cameras == ["fennick/turret-5", "tarnwell/dome-2", "tarnwell/turret-5"]
    assert matching(boatyard, "fennick/*", "camera") == ["fennick/turret-5"]
    conditions = {
        "price<=55": ["fennick/turret-5", "tarnwell/dome-2"],
        "maker=tarnwell": ["tarnwell/dome-2", "tarnwell/turret-5"],
        "megapixels>=5": ["fennick/turret-5", "tarnwell/turret-5"],
        "sound=no": ["tarnwell/dome-2"],
        "family=cvi": cameras,
        "family!=cvi": [],
        "recorder.channels>=99": cameras,
    }
    for text, names in conditions.items():
        assert kept(boatyard, cameras, "camera", [parse_condition(text)]) == names, text
    assert kept(boatyard, ["tarnwell/hybrid-8"], "recorder", [parse_condition("channels>8")]) == []


def test_every_form_says_the_same(small: Clerk) -> None:
    cameras, recorders = everything(small)
    table = tabulate(small, cameras, recorders, Question())
    rows = list(csv.reader(io.StringIO(render_table(table, "csv"))))
    assert rows[0] == ["camera", *recorders]
    data = json.loads(render_table(table, "json"))
    text, markdown, page = (render_table(table, form) for form in ("text", "md", "html"))
    grid = _grid(page)
    assert grid[0] == rows[0]
    for place, row in enumerate(rows[1:]):
        for other, words in enumerate(row[1:]):
            cell = table.cell(place, other)
            assert words.startswith(f"{MARKS[cell.outcome]} {cell.outcome or 'open'}")
            assert data["answers"][data["table"][place][other]]["words"] == words
            assert grid[place + 1][other + 1] == words
    assert len(markdown.splitlines()) == len(cameras) + 2
    assert all(f"\n{camera}\n" in f"\n{text}" for camera in cameras)


class _Cells(html.parser.HTMLParser):
    """Rows of the page's table, and what the page would fetch or run."""

    def __init__(self) -> None:
        super().__init__()
        self.rows: list[list[str]] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.inside = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag == "tr":
            self.rows.append([])
        if tag in ("td", "th"):
            self.rows[-1].append("")
            self.inside = True

    def handle_endtag(self, tag: str) -> None:
        self.inside = self.inside and tag not in ("td", "th")

    def handle_data(self, data: str) -> None:
        if self.inside:
            self.rows[-1][-1] += data


def _grid(page: str) -> list[list[str]]:
    parser = _Cells()
    parser.feed(page)
    return parser.rows


def test_the_page_is_self_contained_and_works_by_keyboard_and_without_script(small: Clerk) -> None:
    table = tabulate(small, *everything(small), Question())
    page = render_table(table, "html")
    parser = _Cells()
    parser.feed(page)
    assert not [
        each for _, attributes in parser.tags for each in ("src", "href", "onclick", "style") if each in attributes
    ]
    assert "http:" not in page
    assert "https:" not in page
    boxes = [attributes for tag, attributes in parser.tags if tag == "input" and attributes.get("type") == "checkbox"]
    assert len(boxes) == len(MARKS)  # hiding outcomes is style alone: a rule for each box
    assert all(f":has(#{box['id']}:not(:checked))" in page for box in boxes)
    assert "<p hidden><label>Find cameras" in page  # shown by the script only
    assert sum(tag == "script" for tag, _ in parser.tags) == 1
    assert 'tabindex="0"' in page
    assert ":focus-visible" in page


def test_a_page_is_not_made_of_too_much(small: Clerk, monkeypatch: pytest.MonkeyPatch) -> None:
    table = tabulate(small, *everything(small), Question())
    monkeypatch.setattr(table_forms, "MOST_CELLS", table.size - 1)
    for form in ("html", "md"):
        with pytest.raises(Refusal, match="too many"):
            render_table(table, form)
    assert render_table(table, "csv")


def test_best_recorders_and_cameras(small: Clerk) -> None:
    """Ranked as said: pictures, outcomes, picture elements a second, features, then price; against sorting by hand."""
    cameras, recorders = everything(small)
    ranked = best_recorders(small, cameras, recorders, Question())
    assert sorted(each.part for each in ranked) == recorders

    def key(one: Ranked) -> tuple[float, ...]:
        cells = [seat.cell for seat in one.seats if seat.cell is not None]
        pictures = [sum(cell.outcome == word for cell in cells) for word in ("full", "asked-down", "reduced-width")]
        rate = sum((c.recorded_width or 0) * (c.recorded_height or 0) * (c.recorded_fps or 0) for c in cells)
        return (sum(pictures), *pictures, rate)

    keys = [key(each) for each in ranked]
    assert keys == sorted(keys, reverse=True)
    assert len(set(keys)) > 3
    for each in ranked:
        inputs = len(small.desk(each.part).group_of)
        taken = [seat.number for seat in each.seats if seat.number is not None]
        assert len(taken) == len(set(taken)) == min(inputs, len(cameras))
        assert each.outcomes.get("no-input", 0) == len(cameras) - len(taken)
        assert (f"{inputs} inputs for 40 cameras" in each.remarks) is (inputs < 40)
    one = best_cameras(small, cameras, recorders[:1], Question())
    assert [each.outcomes for each in one] == sorted(
        (each.outcomes for each in one), key=lambda o: _rank(next(iter(o)))
    )


def _rank(outcome: str) -> int:
    return {"full": 0, "asked-down": 1, "reduced-width": 2}.get(outcome, 3)


def test_equal_cameras_are_ranked_by_price(boatyard: Catalogue) -> None:
    cheap = boatyard.part("tarnwell/dome-2").model_copy(update={"price": 20.0})
    dear = boatyard.part("tarnwell/dome-2").model_copy(update={"price": 90.0})
    gone = boatyard.part("tarnwell/dome-2").model_copy(update={"price": 1.0, "retired": True})
    more = Catalogue(boatyard.sources)
    more.parts = {**boatyard.parts, "tarnwell/a-dear": dear, "tarnwell/cheap": cheap, "tarnwell/gone": gone}
    names = ["tarnwell/a-dear", "tarnwell/cheap", "tarnwell/gone", "tarnwell/dome-2"]
    ranked = best_cameras(Clerk(more), names, ["tarnwell/hybrid-8"], Question())
    assert [each.part for each in ranked] == ["tarnwell/cheap", "tarnwell/dome-2", "tarnwell/a-dear"]


def test_replacements_lose_nothing(small: Clerk) -> None:
    cameras, recorders = everything(small)
    found = 0
    for camera in cameras[:12]:
        now = small.cell(camera, recorders[0], Question())
        for each in replace_camera(small, camera, recorders[0], cameras, Question()):
            cell = small.cell(each.part, recorders[0], Question())
            assert each.part != camera
            assert cell.worth[:3] >= now.worth[:3]
            assert not [n for n in ("sound", "control", "firmware") if getattr(now, n) and not getattr(cell, n)]
            found += 1
        for other in replace_recorder(small, camera, recorders[0], recorders, Question()):
            assert len(small.desk(other.part).group_of) >= len(small.desk(recorders[0]).group_of)
            found += 1
    assert found > 10


def test_the_commands(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["pair", "*", "*", "--parts", PARTS, "--best-for", "cameras"]) == 0
    assert "1 asked-down [v]" in capsys.readouterr().out
    assert (
        run(
            [
                "pair",
                "fennick/turret-5",
                "tarnwell/hybrid-8",
                "--parts",
                PARTS,
                "--replace",
                "camera",
                "--format",
                "json",
            ]
        )
        == 0
    )
    assert [each["part"] for each in json.loads(capsys.readouterr().out)["parts"]] == ["tarnwell/turret-5"]
    assert run(["pair", "*", "*", "--parts", PARTS, "--where", "camera.price<=40", "--format", "csv"]) == 0
    assert capsys.readouterr().out == (
        "camera,tarnwell/hybrid-8\n"
        "tarnwell/dome-2,[=] full 1920x1080@25 rec 25; sorted motion on 4 of 8 inputs\n"
    )


def test_a_whole_catalogue_in_time(ranges: ModuleType, tmp_path: Path, guarded: Callable[[float], Any]) -> None:
    """5,000 cameras with 1,000 recorders within 2 GiB and some 60 s (COAXWRIGHT_FULL=1); a tenth of each otherwise.

    The short form is a twentieth of the work, so that it fails where equal questions are asked again.
    """
    cameras, recorders = (5000, 1000) if FULL else (500, 100)
    path = tmp_path / "catalogue.yaml"
    path.write_text(ranges.catalogue(cameras, recorders), encoding="utf-8")
    code = (
        "import resource, sys; from coaxwright.cli.main import run; status = run(sys.argv[1:])\n"
        "print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss >> 10); sys.exit(status)"
    )
    out = tmp_path / "pairs.csv"
    call = [sys.executable, "-c", code, "pair", "*", "*", "--parts", str(path), "--format", "csv", "--output", str(out)]
    with guarded(9000 if FULL else 1500):
        done = subprocess.run(call, cwd=ROOT / "engine", capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    assert int(done.stdout) < 2048
    with out.open() as lines:
        assert sum(1 for _ in lines) == cameras + 1
    print(f"{cameras} x {recorders}: {done.stdout.strip()} MiB")
