"""The counter's questions on the boatyard's parts: what mixed makers lose, what by hand brings, and in which words.

The three facts of mixed makers are common practice: some recorders ask their own maker's 5 MP cameras for 12.5
frames a second; the others' arrive at half their columns; by hand to 2 MP they arrive whole.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from coaxwright.checking import check
from coaxwright.cli.main import run
from coaxwright.pairing.answers import answer
from coaxwright.pairing.cells import Clerk
from coaxwright.pairing.extras import PROBE
from coaxwright.pairing.printing import render_answer
from coaxwright.pairing.small_sites import Question, load_value, pair_value
from coaxwright.reading.catalogue import Catalogue, build_catalogue

ROOT = Path(__file__).resolve().parents[2]
PARTS = str(ROOT / "examples" / "boatyard" / "parts" / "*.yaml")
OWN, OTHER, BOX = "tarnwell/turret-5", "fennick/turret-5", "tarnwell/hybrid-8"


@pytest.fixture(scope="module")
def mixed(tmp_path_factory: pytest.TempPathFactory) -> Clerk:
    """The boatyard's parts, and a 4 MP camera of another maker."""
    path = tmp_path_factory.mktemp("mixed") / "more.yaml"
    path.write_text(
        "parts:\n  brackwater/bullet-4:\n    kind: camera\n    source: invented datasheet BW-4\n    emits:\n"
        "      - {family: [tvi, ahd], mode: [2560x1440@25, 2560x1440@30, 1920x1080@25, 1920x1080@30]}\n"
        "    starts_as:\n      - {family: tvi, mode: 2560x1440@25}\n      - {family: tvi, mode: 2560x1440@30}\n"
        "    switched_by: [menu-button]\n    heeds_asks: true\n",
        encoding="utf-8",
    )
    files = [*sorted((ROOT / "examples" / "boatyard" / "parts").glob("*.yaml")), path]
    return Clerk(build_catalogue((each, each.name) for each in files))


def test_own_maker_is_asked_down(mixed: Clerk) -> None:
    told = answer(mixed, OWN, BOX, Question())
    assert dict(told.settled) == {
        "outcome": "asked-down", "family": "tvi", "width": 2592, "height": 1944, "acquired_fps": 12.5, "recorded_fps": 12.5,
    }  # fmt: skip
    assert "recognises its own maker's camera and by itself has it send 2592x1944 at 12.5" in told.facts["because"]


def test_other_maker_comes_at_half_its_columns(mixed: Clerk) -> None:
    told = answer(mixed, OTHER, BOX, Question())
    assert (told.settled["outcome"], told.settled["width"], told.settled["acquired_fps"]) == (
        "reduced-width",
        1296,
        20.0,
    )
    assert "every other column is dropped" in told.facts["because"]
    assert told.lost == "half the columns: 2592 are sent, 1296 arrive"


@pytest.mark.parametrize("rate", [25, 30])
def test_four_megapixels_of_another_maker(mixed: Clerk, rate: int) -> None:
    told = answer(mixed, "brackwater/bullet-4", BOX, Question(video_rate=rate))
    assert told.settled["outcome"] == "reduced-width"
    assert (told.settled["width"], told.settled["height"], told.settled["acquired_fps"]) == (1280, 1440, rate)


def test_by_hand_to_two_megapixels(mixed: Clerk) -> None:
    told = answer(mixed, OTHER, BOX, Question(video_rate=30))
    words = [each.words for each in told.conditions]
    wanted = (
        "after the camera is switched to TVI 1920x1080 at 30 frames a second in its menu over the coax "
        "or with its menu button"
    )
    assert any(each.startswith(f"{wanted}: full width, 1920x1080 at 30") for each in words), words
    by_hand = answer(mixed, OTHER, BOX, Question(family="tvi", mode="1920x1080@30", video_rate=30))
    assert (by_hand.settled["outcome"], by_hand.settled["acquired_fps"]) == ("full", 30.0)
    assert not by_hand.lost


def test_what_the_own_makers_camera_would_gain(mixed: Clerk) -> None:
    own = answer(mixed, OTHER, BOX, Question()).own
    assert own is not None
    assert (own.maker, own.camera, own.real) == ("tarnwell", OWN, True)
    found = {each.feature: (each.here.split(",")[0], each.there.split(",")[0], each.rule) for each in own.differences}
    assert found == {
        "picture": ("reduced width", "asked down by the recorder", "signal/reduced-width"),
        "firmware": ("no", "yes", "control/firmware-not-over-coax"),
    }
    assert answer(mixed, OWN, BOX, Question()).own is None


def test_own_makers_gain_without_a_camera_of_theirs(boatyard: Catalogue) -> None:
    """Where the catalogue has no camera of the maker, the same datasheet under the maker's name."""
    kept = {name: part for name, part in boatyard.parts.items() if not name.startswith("tarnwell/") or name == BOX}
    lone = Catalogue()
    lone.parts = kept
    own = answer(Clerk(lone), OTHER, BOX, Question()).own
    assert own is not None
    assert not own.real
    assert [each.feature for each in own.differences] == ["firmware"]


def test_reach_is_where_the_check_begins_to_fail(mixed: Clerk) -> None:
    told = answer(mixed, OWN, BOX, Question())
    reach = next(each for each in told.reach if each.cable == "rg59-copper")
    assert reach.metres is not None
    assert PROBE == "100 m"
    for share, fails in ((0.999, False), (1.001, True)):
        asked = Question(cable="rg59-copper", length=f"{reach.metres * share:.3f} m")
        report = check(load_value(pair_value(OWN, BOX, asked, [1]), mixed.catalogue))
        assert any(each.rule == "cable/loss-beyond-limit" and each.kind == "fail" for each in report.findings) is fails


def test_power_as_amps(mixed: Clerk) -> None:
    """2.4 W and 5.2 W at 12 V by hand: 0.2 A and 0.433 A."""
    assert answer(mixed, OWN, BOX, Question()).power.amps == pytest.approx((0.2, 5.2 / 12))


def test_a_cable_and_its_length_are_judged(mixed: Clerk) -> None:
    told = answer(mixed, OTHER, BOX, Question(cable="rg59-copper", length="400 m"))
    assert "cable/loss-beyond-limit" in {each.rule for each in told.findings}
    assert [each.cable for each in told.reach] == ["rg59-copper"]
    assert answer(mixed, OTHER, BOX, Question(cable="rg59-copper")).supply == ("--length",)


def test_one_screen_of_words(mixed: Clerk) -> None:
    text = render_answer(answer(mixed, OTHER, BOX, Question()), "text")
    lines = text.splitlines()
    assert max(map(len, lines)) <= 100
    assert len(lines) <= 60
    short = render_answer(answer(mixed, OTHER, BOX, Question()), "text", long=False).splitlines()
    assert len(short) <= 24, "without --long it is seen at a glance"
    words = "[/] reduced-width|recorded 12.5 fps with 1 channel|with 8 in use|sound|control|firmware|sorted motion"
    for word in f"{words}|rg59-copper 240 m|2.6 W by day|5.8 W by night|own maker|sources|FK-T5".split("|"):
        assert word in text
    assert "\x1b" not in text


def test_the_contract_of_json(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["pair", OTHER, BOX, "--parts", PARTS, "--format", "json"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert (data["camera"], data["recorder"]) == (OTHER, BOX)
    assert set(data["settled"]) == {"outcome", "family", "width", "height", "acquired_fps", "recorded_fps"}
    for name in ("sound", "control", "firmware", "sorted_motion"):
        assert data[name]["answer"] in ("yes", "no", "open")
        assert data[name]["because"]
    assert data["firmware"]["answer"] == "no"
    assert isinstance(data["conditions"], list)
    assert all(isinstance(each, str) for each in data["conditions"])


def test_an_unstated_fact_stays_open(tmp_path: Path) -> None:
    path = tmp_path / "p.yaml"
    path.write_text(
        "parts:\n  fennick/plain:\n    kind: camera\n    source: invented\n    emits: [{family: tvi, mode: 1920x1080@25}]\n"
        "  tarnwell/plain:\n    kind: recorder\n    source: invented\n"
        "    inputs: [{channels: 1-4, accepts: [{family: tvi, mode: 1920x1080@25}]}]\n",
        encoding="utf-8",
    )
    told = answer(Clerk(build_catalogue([(path, "p.yaml")])), "fennick/plain", "tarnwell/plain", Question())
    assert {name: each.answer for name, each in told.features.items()} == dict.fromkeys(told.features, "open")
    assert "parts/fennick/plain/sound/microphone" in told.supply
    assert told.settled["outcome"] == "full"
    assert told.settled["recorded_fps"] is None


@pytest.mark.parametrize(
    ("call", "words"),
    [
        ([OTHER, "tarnwell/hybrid-9"], "tarnwell/hybrid-8"),
        (["fenick/turret-5", BOX], "fennick/turret-5"),
        ([BOX, OTHER], "this is a recorder, and a camera is asked for"),
        ([OTHER, BOX, "--input", "9"], "there is no input 9"),
        ([OTHER, BOX, "--channels", "9"], "9 channels cannot be in use"),
        ([OTHER, BOX, "--length", "10 m"], "--cable"),
        ([OTHER, BOX, "--cable", "rg59-copper", "--length", "10"], "--length"),
        ([OTHER, BOX, "--set", "mode=5MP"], "--set mode"),
        ([OTHER, BOX, "--set", "family=hdx"], "there are cvbs"),
        ([OTHER, BOX, "--set", "made=nothing-like-it"], "no setting"),
        (["none/*", BOX], "names no camera"),
        (["*", BOX, "--where", "prise<=80"], "price"),
        (["*", BOX, "--where", "price"], "no condition"),
        (["*", BOX, "--where", "price<=ten"], "no number"),
        (["*", BOX, "--where", "price<=1"], "no cameras meet"),
    ],
)
def test_refusals_in_plain_words(call: list[str], words: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["pair", *call, "--parts", PARTS]) == 2
    told = capsys.readouterr()
    assert words in told.err
    assert not told.out
    assert "Traceback" not in told.err
