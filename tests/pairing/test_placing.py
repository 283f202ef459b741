"""Several cameras on one recorder, each on an input of its own. By hand, against all permutations, and against a site."""

from __future__ import annotations

import importlib.util
import itertools
import json
import random
from collections import Counter
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from coaxwright.checking import check
from coaxwright.cli.main import run
from coaxwright.pairing.cells import Cell, Clerk
from coaxwright.pairing.placing import place
from coaxwright.pairing.ranking import best_recorders
from coaxwright.pairing.small_sites import Question
from coaxwright.reading.catalogue import build_catalogue

_spec = importlib.util.spec_from_file_location("counter", Path(__file__).with_name("counter.py"))
assert _spec is not None
assert _spec.loader is not None
counter = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(counter)


@pytest.fixture(scope="module")
def hand(tmp_path_factory: pytest.TempPathFactory) -> Clerk:
    return counter.clerk_of(tmp_path_factory.mktemp("hand"))


def outcomes(clerk: Clerk, cameras: list[str], recorder: str) -> Counter[str]:
    return Counter(seat.outcome for seat in place(clerk, cameras, recorder, Question()))


def test_two_full_inputs_hold_two_cameras(hand: Clerk) -> None:
    """By hand: inputs 1 and 2 take 5 MP whole, six others halve it, and the ninth camera has no input."""
    assert outcomes(hand, ["os/five"] * 4, "pw/h8") == {"full": 2, "reduced-width": 2}
    assert outcomes(hand, ["os/five"] * 9, "pw/h8") == {"full": 2, "reduced-width": 6, "no-input": 1}


def test_who_needs_a_full_input_gets_it(hand: Clerk) -> None:
    """By hand: the 2 MP cameras are full anywhere, so they leave inputs 1 and 2 to the 5 MP cameras."""
    seats = place(hand, ["os/two"] * 6 + ["os/five"] * 2, "pw/h8", Question())
    assert {seat.number for seat in seats if seat.camera == "os/five"} == {1, 2}
    assert {seat.outcome for seat in seats} == {"full"}
    assert sorted(seat.number or 0 for seat in seats) == list(range(1, 9))


def test_the_encoder_is_shared_among_all_that_are_placed(hand: Clerk) -> None:
    """By hand: four of 2592x1944 at 20 ask 403 Mpx/s of 120; each gets 30 Mpx/s, 5.95 frames a second."""
    seats = place(hand, ["os/five"] * 4, "nv/h4", Question())
    for seat in seats:
        assert seat.cell is not None
        assert seat.cell.recorded_fps == pytest.approx(30e6 / (2592 * 1944))


def test_sound_goes_to_the_camera_that_has_it(hand: Clerk) -> None:
    """By hand: nv/h4 takes sound on input 1 alone; the camera with a microphone gets it."""
    seats = place(hand, ["os/two", "os/two", "os/five"], "nv/h4", Question())
    assert seats[2].number == 1
    assert seats[2].cell is not None
    assert seats[2].cell.sound is True


def test_the_recorder_with_more_full_inputs_comes_first(hand: Clerk) -> None:
    """Four 5 MP cameras: all full on nv/h4, two of four on pw/h8. Eight: none is left out on pw/h8 alone."""
    ranked = best_recorders(hand, ["os/five"] * 4, ["pw/h8", "nv/h4"], Question())
    assert [(each.part, each.outcomes) for each in ranked] == [
        ("nv/h4", {"full": 4}),
        ("pw/h8", {"full": 2, "reduced-width": 2}),
    ]
    ranked = best_recorders(hand, ["os/five"] * 8, ["nv/h4", "pw/h8"], Question())
    assert [each.part for each in ranked] == ["pw/h8", "nv/h4"]
    assert ranked[1].outcomes == {"full": 4, "no-input": 4}
    assert ranked[1].remarks == ("4 inputs for 8 cameras",)


def worth(cells: list[Cell]) -> tuple[float, ...]:
    words = ("full", "asked-down", "reduced-width")
    counts = [sum(cell.outcome == word for cell in cells) for word in words]
    rate = sum(
        (c.recorded_width or 0) * (c.recorded_height or 0) * (c.recorded_fps or 0) for c in cells if c.outcome in words
    )
    return (sum(counts), *counts, rate)


def test_no_permutation_keeps_more(ranges: ModuleType, tmp_path: Path) -> None:
    """Every way of plugging 4 cameras into a recorder's inputs, tried one by one."""
    path = tmp_path / "catalogue.yaml"
    path.write_text(ranges.catalogue(60, 40, seed=9), encoding="utf-8")
    clerk, rng, tried = Clerk(build_catalogue([(path, path.name)])), random.Random(7), 0
    cameras = [name for name in clerk.catalogue.ids("camera") if clerk.catalogue.part(name).emits]
    for recorder in clerk.catalogue.ids("recorder"):
        numbers = sorted(clerk.desk(recorder).group_of)
        if len(clerk.alike(recorder)) < 2 or len(numbers) > 16:
            continue
        numbers = sorted({number for group in clerk.alike(recorder) for number in group[:4]})[:8]
        named = rng.sample(cameras, min(4, len(numbers)))
        cells = {(c, n): clerk.cell(c, recorder, Question(), n) for c in named for n in numbers}
        best = max(
            worth([cells[c, n] for c, n in zip(named, seats, strict=True)])
            for seats in itertools.permutations(numbers, len(named))
        )
        found = place(clerk, named, recorder, Question())
        alone = [clerk.cell(s.camera, recorder, Question(), s.number) for s in found if s.number is not None]
        got = worth(alone)
        assert got[:4] == best[:4], recorder
        assert got[4] == pytest.approx(best[4], rel=1e-4), recorder
        tried += 1
    assert tried >= 5


def test_a_site_of_the_placing_says_the_same(hand: Clerk, tmp_path: Path) -> None:
    """The seats written down as a site by this test, and checked."""
    counter.catalogue_file(tmp_path)
    named = ["os/five", "os/two", "os/five", "os/five", "mm/c8"]
    for recorder in ("pw/h8", "nv/h4"):
        seats = [seat for seat in place(hand, named, recorder, Question()) if seat.number is not None]
        site: dict[str, Any] = {
            "site": "placed",
            "parts": ["counter.yaml"],
            "recorders": {"box": {"part": recorder}},
            "cameras": {
                f"c{seat.number}": {"part": seat.camera, "video": {"into": f"box/{seat.number}", "over": []}}
                for seat in seats
            },
        }
        path = tmp_path / "placed.site.yaml"
        path.write_text(json.dumps(site), encoding="utf-8")
        facts = check(path).facts
        for seat in seats:
            assert seat.cell is not None
            told = facts[f"cameras/c{seat.number}"]["settled"]
            assert told["outcome"] == seat.cell.outcome
            assert told["recorded_fps"] == seat.cell.recorded_fps


def test_lists_and_pieces_in_the_commands(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    parts = str(counter.catalogue_file(tmp_path))
    assert run(["pair", "os/five:4, os/two", "pw/h8,nv/h4", "--best-for", "cameras", "--parts", parts]) == 0
    said = capsys.readouterr().out
    assert "Recorders for 5 cameras" in said
    assert "3 full [=], 2 reduced-width [/]" in said
    assert run(["pair", "os/five:4", "pw/h8", "--parts", parts]) == 0
    said = capsys.readouterr().out
    assert "[=] full 2592x1944@20 rec 20; on 2 of 8 inputs" in said
    assert "pw/h8: 2 full [=], 2 reduced-width [/]" in said
    assert run(["pair", "os/five:4", "pw/h8", "--parts", parts, "--format", "json"]) == 0
    data = json.loads(capsys.readouterr().out)
    seats = data["together"][0]["seats"]
    assert sorted(seat["input"] for seat in seats) == [1, 2, 3, 4]
    assert data["answers"][0]["spread"]["picture"] == 2


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (["os/five:0", "pw/h8"], "is no number of pieces"),
        (["os/five:x", "pw/h8"], "is no number of pieces"),
        (["os/five:2000", "pw/h8"], "is no number of pieces"),
        (["os/five", "pw/h8:2"], "a number of pieces is for cameras"),
        ([",", "pw/h8"], "names no camera"),
        (["os/five,os/fiv", "pw/h8"], "os/five"),
        (["os/five:2", "pw/h8", "--best-for", "cameras", "--input", "1"], "takes one of its own"),
        (["os/five:2", "pw/h8", "--best-for", "cameras", "--channels", "4"], "is decided here by the cameras named"),
    ],
)
def test_what_a_list_cannot_mean(
    call: list[str], words: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["pair", *call, "--parts", str(counter.catalogue_file(tmp_path))]) == 2
    told = capsys.readouterr()
    assert words in told.err
    assert not told.out
