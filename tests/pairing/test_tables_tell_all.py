"""Tables, rankings and single answers say the same, with everything that the call asks: cable, input, channels, settings.

Expectations are worked by hand from the small catalogue in `counter.py`; the reach of a cable is held by the check.
"""

from __future__ import annotations

import csv
import importlib.util
import io
import json
import re
from pathlib import Path
from typing import Any

import pytest

from coaxwright.cli.main import run
from coaxwright.errors import Refusal
from coaxwright.pairing import table_forms
from coaxwright.pairing.answers import answer
from coaxwright.pairing.cells import Clerk
from coaxwright.pairing.printing import render_answer
from coaxwright.pairing.small_sites import Question
from coaxwright.pairing.tables import tabulate
from coaxwright.pairing.telling import as_data, cell_words
from coaxwright.pairing.verdicts import LEAST, MOST, verdict_words
from coaxwright.reading.catalogue import build_catalogue

_spec = importlib.util.spec_from_file_location("counter", Path(__file__).with_name("counter.py"))
assert _spec is not None
assert _spec.loader is not None
counter = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(counter)
CAMERAS, RECORDERS = ["os/five", "os/two", "mm/c8"], ["pw/h8", "nv/h4"]
LONG = Question(cable="rg59-copper", length="2000 m")


@pytest.fixture(scope="module")
def hand(tmp_path_factory: pytest.TempPathFactory) -> Clerk:
    return counter.clerk_of(tmp_path_factory.mktemp("hand"))


@pytest.fixture
def parts(tmp_path: Path) -> str:
    return str(counter.catalogue_file(tmp_path))


def said(capsys: pytest.CaptureFixture[str], *call: str) -> str:
    assert run(["pair", *call]) == 0
    return capsys.readouterr().out


# The cable


def test_two_kilometres_are_never_full(hand: Clerk, parts: str, capsys: pytest.CaptureFixture[str]) -> None:
    table = tabulate(hand, CAMERAS, RECORDERS, LONG)
    assert {cell.verdict for cell in table.cells} <= {"too-long", "needs-setting", "no-picture"}
    asked = ["--parts", parts, "--cable", "rg59-copper", "--length", "2000m"]
    for form in ("text", "csv", "md", "html", "json"):
        told = said(capsys, "os/*", "*", "--format", form, *asked)
        assert "<td" not in told or not re.search(r"<td[^>]*>(<span>)?\[=\]", told)
        assert "[=] full" not in told or form == "html"
        assert "too-long" in told, form
    for rank in ("cameras", "recorder"):
        assert "full" not in said(capsys, "os/*", "*", "--best-for", rank, *asked)


@pytest.mark.parametrize("metres", [20, 150, 230, 245, 300])
def test_every_cell_says_of_the_cable_what_the_single_answer_says(hand: Clerk, metres: int) -> None:
    question = Question(cable="rg59-copper", length=f"{metres} m")
    table = tabulate(hand, CAMERAS, RECORDERS, question)
    for place, camera in enumerate(CAMERAS):
        for other, recorder in enumerate(RECORDERS):
            cell, told = table.cell(place, other), answer(hand, camera, recorder, question)
            beyond = any(each.rule == "cable/loss-beyond-limit" for each in told.findings)
            assert (cell.verdict == "too-long") is beyond
            assert cell.run == told.cell.run
            assert cell.spread == told.cell.spread


def test_too_long_a_run_stands_in_the_first_line(hand: Clerk) -> None:
    told = render_answer(answer(hand, "os/five", "nv/h4", Question(cable="rg59-copper", length="300 m")), "text")
    first = told.splitlines()[0]
    assert first.startswith("Too long: os/five on nv/h4 over 300 m of rg59-copper")
    assert "[=] full" not in told


def test_another_impedance_is_told_in_the_cell(hand: Clerk) -> None:
    """rg58 is a 50 ohm cable: rule cable/wrong-impedance fails in the single answer, so no cell is full."""
    question = Question(cable="rg58", length="20 m")
    cell = tabulate(hand, ["os/two"], ["nv/h4"], question).cell(0, 0)
    told = answer(hand, "os/two", "nv/h4", question)
    assert "cable/wrong-impedance" in {each.rule for each in told.findings}
    assert cell.verdict == "unfit-cable"
    assert cell_words(cell) == "[#] unfit-cable (cable/wrong-impedance)"


def test_a_cable_without_a_length_is_refused_for_several(parts: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["pair", "os/*", "*", "--parts", parts, "--cable", "rg59-copper"]) == 2
    assert "--cable needs its length" in capsys.readouterr().err


# Inputs, channels, settings


def test_the_input_asked_about_counts_in_every_cell(hand: Clerk) -> None:
    for number, outcome in ((2, "full"), (3, "reduced-width")):
        assert tabulate(hand, ["os/five"], ["pw/h8"], Question(number=number)).cell(0, 0).outcome == outcome


def test_channels_count_in_every_cell(hand: Clerk) -> None:
    """By hand: 4 x 2592 x 1944 x 20 = 403 Mpx/s of 120: 30 Mpx/s each, 5.953 frames a second; 2 MP: 207.4, 14.47."""
    table = tabulate(hand, ["os/five", "os/two"], ["nv/h4"], Question(channels=4))
    rates = [table.cell(place, 0).recorded_fps for place in (0, 1)]
    assert rates == pytest.approx([30e6 / (2592 * 1944), 30e6 / (1920 * 1080)])
    for place, camera in enumerate(("os/five", "os/two")):
        told = answer(hand, camera, "nv/h4", Question(channels=4))
        assert told.full.recorded_fps == table.cell(place, 0).recorded_fps


@pytest.mark.parametrize(
    ("option", "words"),
    [
        (["--input", "5"], "nv/h4: there is no input 5"),
        (["--channels", "6"], "nv/h4: 6 channels cannot be in use"),
        (["--set", "made=wide"], "there is no setting `wide`"),
    ],
)
def test_what_a_recorder_lacks_is_refused(
    option: list[str], words: str, parts: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["pair", "os/*", "*", "--parts", parts, *option]) == 2
    told = capsys.readouterr()
    assert words in told.err
    assert not told.out


def test_sound_on_one_of_four_inputs(hand: Clerk) -> None:
    told = answer(hand, "os/five", "nv/h4", Question())
    assert told.features["sound"].because == "over the coax in TVI, on 1 of 4 inputs (1)"
    assert told.features["sorted_motion"].because.startswith("the recorder itself sorts motion on 2 of 4 inputs (1-2)")
    assert answer(hand, "os/five", "nv/h4", Question(number=2)).features["sound"].answer == "no"
    lines = as_data(told)["other_inputs_told"]
    assert lines == ["input 2: full width; sound no", "inputs 3-4: full width; sound no; sorted motion no"]
    words = cell_words(tabulate(hand, ["os/five"], ["nv/h4"], Question()).cell(0, 0))
    assert words == "[=] full 2592x1944@20 rec 20; sound on 1 of 4 inputs; sorted motion on 2 of 4 inputs"


def test_the_only_input_with_sound_is_found_wherever_it_is(tmp_path: Path) -> None:
    """Sound on input 4 alone: the best input to ask about is 4, not the first of its group."""
    path = tmp_path / "last.yaml"
    text = counter.TEXT.replace("coax_channels: 1,", "coax_channels: 4,").replace(
        "sorted_motion: 1-2", "sorted_motion: 1-4"
    )
    path.write_text(text, encoding="utf-8")
    told = answer(Clerk(build_catalogue([(path, "last.yaml")])), "os/five", "nv/h4", Question())
    assert (told.number, told.features["sound"].answer) == (4, "yes")


SIX = """
parts:
  q/c:
    {{kind: camera, source: s, emits: [{{family: tvi, mode: 2560x1440@25}}],
      starts_as: {{family: tvi, mode: 2560x1440@25}}{sound}}}
  s/six:
    kind: recorder
    source: s
    inputs:
      - {{channels: 1-2, accepts: [{{family: tvi, mode: 2560x1440@25}}]}}
      - {{channels: 3-6, accepts: [{{family: tvi, mode: 2560x1440@25, width: reduced}}]}}
    sound: {{coax_channels: "6", coax_families: [tvi], coax_maker: any}}
    sorted_motion: "5"
"""


@pytest.mark.parametrize(
    ("sound", "there"),
    [
        (", sound: {microphone: true, over_coax: [tvi]}", "yes on 1 of 6 inputs"),
        ("", "not known on 1 of 6 inputs"),
        (", sound: {microphone: false}", ""),
    ],
)
def test_what_works_on_other_inputs_only_is_no_plain_no(tmp_path: Path, sound: str, there: str) -> None:
    """The best picture is on inputs 1 and 2, sound over the coax on 6, sorted motion on 5: each is said at once."""
    path = tmp_path / "six.yaml"
    path.write_text(SIX.format(sound=sound), encoding="utf-8")
    told = answer(Clerk(build_catalogue([(path, "six.yaml")])), "q/c", "s/six", Question())
    assert (told.number, told.features["sound"].answer, told.features["sound"].elsewhere.partition(" (")[0]) == (1, "no", there)
    assert f"sound no{f' ({there})' if there else ','}" in verdict_words(told)
    assert "sorted motion no (yes on 1 of 6 inputs)" in verdict_words(told)
    assert told.features["sorted_motion"].because.endswith("; yes on 1 of 6 inputs (5)")


def test_half_of_what_the_recorder_asks_for_is_not_half_of_what_the_camera_sends(tmp_path: Path) -> None:
    path = tmp_path / "asks.yaml"
    path.write_text(
        "parts:\n"
        "  a/c: {kind: camera, source: s, heeds_asks: true, emits: [{family: cvi, mode: 1920x1080@25},"
        " {family: cvi, mode: 1280x720@30, only: when-asked}]}\n"
        "  b/r: {kind: recorder, source: s, inputs: [{channels: 1-4, accepts: [{family: cvi, mode: 1280x720@30, width: reduced}],"
        " asks: [{family: cvi, maker: any, wanted: 1280x720@30}]}]}\n"
    )
    told = answer(Clerk(build_catalogue([(path, "asks.yaml")])), "a/c", "b/r", Question())
    assert (told.settled["width"], told.settled["height"]) == (640, 720)
    assert "half of the 1 MP that the recorder asks it for" in verdict_words(told)
    assert told.lost.startswith("the recorder asks for 1280x720@30 in place of 1920x1080@25, and half the columns of that")


# By hand, and what nobody asked for


def test_a_menu_over_the_coax_needs_a_picture(hand: Clerk, tmp_path: Path) -> None:
    told = answer(hand, "mm/c8", "nv/h4", Question())
    assert told.settled["outcome"] in ("needs-setting", "no-picture")
    assert told.conditions == ()
    said = verdict_words(told)
    assert "cannot be switched here; somebody has to switch it elsewhere first" in said or told.settled["outcome"] == "no-picture"
    path = tmp_path / "button.yaml"
    path.write_text(counter.TEXT.replace("[menu-over-coax]", "[menu-over-coax, menu-button]"), encoding="utf-8")
    words = [
        each.words
        for each in answer(Clerk(build_catalogue([(path, "b.yaml")])), "mm/c8", "nv/h4", Question()).conditions
    ]
    assert words
    assert all("over the coax" not in each and "with its menu button" in each for each in words)


def test_a_camera_that_does_not_say_how_it_is_switched(tmp_path: Path) -> None:
    path = tmp_path / "silent.yaml"
    path.write_text(counter.TEXT.replace("    switched_by: [menu-over-coax]\n", ""), encoding="utf-8")
    told = answer(Clerk(build_catalogue([(path, "s.yaml")])), "mm/c8", "nv/h4", Question())
    assert told.conditions
    assert all(each.words.startswith("if it can be done") for each in told.conditions)
    assert "parts/mm/c8/switched_by" in told.supply


def test_without_a_picture_no_reach_and_no_rate(hand: Clerk) -> None:
    told = answer(hand, "mm/c8", "nv/h4", Question())
    text = render_answer(told, "text")
    assert told.reach == ()
    assert "acquired 0" not in text
    assert "\nreach" not in text


def test_features_that_nobody_asked_for_are_no_errors(hand: Clerk) -> None:
    told = answer(hand, "os/two", "nv/h4", Question())
    assert told.features["sound"].answer == "no"
    assert not [each for each in told.findings if each.level == "error"]
    assert "sound/coax-sound-broken" in {each.rule for each in told.remarks}
    assert not told.cautions


def test_voices_are_cautioned_where_sound_arrives(hand: Clerk) -> None:
    assert any("Recording voices" in each for each in answer(hand, "os/five", "nv/h4", Question()).cautions)


def test_control_of_a_camera_that_moves_is_asked_for(tmp_path: Path) -> None:
    """A pan-tilt that nobody can move is an error; a fixed camera without control is not."""
    path = tmp_path / "still.yaml"
    path.write_text(counter.TEXT.replace("    control: {coax_families: [tvi]}\n", "    control: {coax_families: []}\n"))
    clerk = Clerk(build_catalogue([(path, "still.yaml")]))
    moved = answer(clerk, "os/ptz-new", "nv/h4", Question())
    assert "control/coax-control-broken" in {each.rule for each in moved.findings}
    fixed = answer(clerk, "os/two", "nv/h4", Question())
    assert "control/coax-control-broken" not in {each.rule for each in fixed.findings}


def test_sound_over_a_lead_is_answered(hand: Clerk) -> None:
    """os/five has a line output, pw/h8 one line input, nv/h4 none; os/two does not say."""
    yes = answer(hand, "os/five", "pw/h8", Question()).line_sound
    assert (yes.answer, "a lead" in yes.because, "one line input" in yes.because) == ("yes", True, True)
    assert answer(hand, "os/five", "nv/h4", Question()).line_sound.answer == "no"
    unknown = answer(hand, "os/two", "pw/h8", Question()).line_sound
    assert (unknown.answer, unknown.supply) == ("open", ("parts/os/two/sound/line_output",))


def test_price_and_what_is_no_longer_sold(hand: Clerk) -> None:
    text = render_answer(answer(hand, "os/ptz", "nv/h4", Question()), "text")
    assert "No longer sold: os/ptz." in " ".join(text.split())
    assert "os/ptz: no longer sold; 400 EUR" in text
    assert "nv/h4: 150 EUR" in text


# The verdict


@pytest.mark.parametrize("camera", ["os/five", "os/two", "os/ptz", "mm/c8"])
@pytest.mark.parametrize("recorder", RECORDERS)
@pytest.mark.parametrize("question", [Question(), Question(number=2), LONG, Question(cable="rg59-copper")])
def test_the_first_paragraph_is_the_verdict(hand: Clerk, camera: str, recorder: str, question: Question) -> None:
    text = render_answer(answer(hand, camera, recorder, question), "text")
    first = text.split("\n\n")[0].replace("\n", " ")
    assert LEAST <= len(first.split()) <= MOST
    assert camera in first
    assert recorder in first


# Contradictions


WRONG = """\
  zz/r8:
    kind: recorder
    source: invented
    inputs:
      - {channels: 1-4, accepts: [{family: tvi, mode: 1920x1080@25}]}
      - {channels: 4-8, accepts: [{family: tvi, mode: 1920x1080@25}]}
  zz/cam:
    kind: camera
    source: invented
    emits: [{family: tvi, mode: 2592x1944@20}]
    starts_as: {family: tvi, mode: 1920x1080@25}
"""


def test_a_contradiction_is_told_by_pair(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    parts = str(counter.catalogue_file(tmp_path, WRONG))
    told = said(capsys, "os/two", "zz/r8", "--parts", parts)
    assert "input 4 stands in two groups" in " ".join(told.split())
    assert "A part file contradicts itself" in " ".join(told.split())
    told = said(capsys, "zz/cam", "nv/h4", "--parts", parts)
    assert "which is not among what it emits" in " ".join(told.split())
    data = json.loads(said(capsys, "os/two", "zz/r8", "--parts", parts, "--format", "json"))
    assert len(data["contradictions"]) == 1
    assert "A part file" not in said(capsys, "os/two", "nv/h4", "--parts", parts)
    assert run(["pair", "os/two", "*", "--parts", parts]) == 0
    assert capsys.readouterr().err.count("input 4 stands in two groups") == 1


def test_a_contradiction_is_told_by_check_once_for_many_sites(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    counter.catalogue_file(tmp_path, WRONG)
    site = {"parts": ["counter.yaml"], "recorders": {"r": {"part": "zz/r8"}}, "cameras": {}}
    eye = {"part": "os/two", "video": {"into": "r/1", "over": []}}
    for number in range(3):
        named: dict[str, Any] = {**site, "site": f"site {number}", "cameras": {"eye": eye}}
        (tmp_path / f"{number}.site.yaml").write_text(json.dumps(named), encoding="utf-8")
    for form in ("text", "json", "jsonl"):
        run(["check", str(tmp_path), "--format", form])
        told = capsys.readouterr()
        assert told.err.count("input 4 stands in two groups") == 1, form
        assert (told.out.count("input 4 stands in two groups") == 3) is (form != "text")
    for command in (
        ["fix"],
        ["limits", "cameras/eye"],
        ["report"],
        ["explain", "cameras/eye"],
        ["what-if", "--set", "cameras/eye/part=os/five"],
    ):
        run([command[0], str(tmp_path / "0.site.yaml"), *command[1:]])
        assert "input 4 stands in two groups" in capsys.readouterr().err, command


# Replacement


def test_a_pan_tilt_is_not_replaced_by_a_fixed_dome_without_those_words(
    parts: str, capsys: pytest.CaptureFixture[str]
) -> None:
    data = json.loads(said(capsys, "os/ptz", "nv/h4", "--replace", "camera", "--parts", parts, "--format", "json"))
    found = {each["part"]: each for each in data["parts"]}
    assert next(iter(found)) == "os/ptz-new"
    assert found["os/ptz-new"]["loses"] == []
    assert "os/five" not in found, "it records 20 frames a second, and 25 are recorded now"
    assert found["os/two"]["loses"][0] == "no movement: it does not pan, tilt or zoom by motor"
    assert "rating: indoor in place of outdoor" in found["os/two"]["loses"]
    assert "no lamp (was infrared, 60 m)" in found["os/two"]["loses"]
    text = said(capsys, "os/ptz", "nv/h4", "--replace", "camera", "--parts", parts, "--format", "csv")
    rows = list(csv.DictReader(io.StringIO(text)))
    assert rows[0]["part"] == "os/ptz-new"
    assert "no movement" in rows[-1]["loses"]


def test_what_is_not_known_of_a_replacement_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    emits = "emits: [{family: tvi, mode: 1920x1080@25}], control: {over_coax: [tvi]}"
    more = f"  os/quiet: {{kind: camera, source: invented, price: 5, {emits}}}\n"
    parts = str(counter.catalogue_file(tmp_path, more))
    data = json.loads(said(capsys, "os/ptz", "nv/h4", "--replace", "camera", "--parts", parts, "--format", "json"))
    quiet = next(each for each in data["parts"] if each["part"] == "os/quiet")
    assert "movement not known (was there)" in quiet["not_known"]
    assert "rating not known (was outdoor)" in quiet["not_known"]
    assert "lens" in data["not_stated"]


def test_a_replacement_is_judged_over_the_cable_too(parts: str, capsys: pytest.CaptureFixture[str]) -> None:
    """A 2 MP camera reaches beyond a 5 MP one on rg59-copper: over 285 m nothing of 5 MP keeps it."""
    asked = ["--parts", parts, "--cable", "rg59-copper", "--length", "285m", "--format", "json"]
    data = json.loads(said(capsys, "os/ptz", "nv/h4", "--replace", "camera", *asked))
    assert "os/five" not in {each["part"] for each in data["parts"]}
    assert "os/ptz-new" in {each["part"] for each in data["parts"]}


def test_replace_asks_about_one_recorder(parts: str, capsys: pytest.CaptureFixture[str]) -> None:
    for pair in (["os/*", "*"], ["os/*", "nv/h4"], ["os/ptz,os/two", "nv/h4"]):
        assert run(["pair", *pair, "--replace", "camera", "--parts", parts]) == 2
        told = capsys.readouterr().err
        assert "--replace asks about one camera on one recorder" in told
        assert "such as" in told, "it names what could be asked about"


# Size


def test_a_table_too_large_for_its_form_is_refused_before_the_work(
    parts: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def worked(*_: object) -> None:
        raise AssertionError("the pairs were worked out")

    monkeypatch.setattr(table_forms, "MOST_CELLS", 3)
    monkeypatch.setattr("coaxwright.pairing.tables.tabulate", worked)
    for form in ("html", "md"):
        assert run(["pair", "*", "*", "--parts", parts, "--format", form]) == 2
        assert "10 pairs are too many" in capsys.readouterr().err
    with pytest.raises(Refusal):
        table_forms.refuse_too_many(4, "html")
    table_forms.refuse_too_many(3, "html")
    table_forms.refuse_too_many(4, "csv")
