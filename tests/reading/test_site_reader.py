"""Sites read with their parts; what can be wrong with a named part; whole messages for wrong values."""

from __future__ import annotations

import copy
import gc
import itertools
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from coaxwright.errors import Refusal
from coaxwright.model.site import Site
from coaxwright.reading.site_reader import LoadedSite, load_site_text, read_site, with_value

from .conftest import SITE

Told = Callable[[str], list[str]]


def test_a_site_with_its_parts(folder: Path) -> None:
    loaded = read_site(folder / "reed.site.yaml")
    assert isinstance(loaded, LoadedSite)
    assert loaded.file == str(folder / "reed.site.yaml")
    jetty = loaded.site.cameras["jetty"]
    assert jetty.power is not None
    assert jetty.power.over is not None
    assert jetty.power.over[0].length == pytest.approx(85.344)
    assert loaded.catalogue.part(jetty.part).kind == "camera"
    assert loaded.catalogue.maker(jetty.part) == "brackwater"
    assert loaded.document.span(("cameras", "jetty", "part")).line == 15
    assert gc.isenabled()


@pytest.mark.parametrize("scenario", ["boatyard", "cider-press", "tram-depot"])
def test_examples_are_read(scenario: str) -> None:
    examples = Path(__file__).parents[2] / "examples" / scenario
    for path in examples.glob("*.site.yaml"):
        assert read_site(path).site.cameras


PART = "    part: brackwater/bullet-5"
DOTS = "letters, digits, `_`, `.` and `-`, with a letter or digit first"

# What to replace in the site, by what (`§` marks each place that is to be told of), and the messages.
WRONG: list[tuple[str, str, list[str]]] = [
    (
        PART,
        "    part: §brackwater/bulet-5",
        ["there is no part `brackwater/bulet-5`; did you mean `brackwater/bullet-5`?"],
    ),
    (PART, "    part: §bullet-5", ["there is no part `bullet-5`; did you mean `brackwater/bullet-5`?"]),
    (
        PART,
        "    part: §hollin/coax",
        ["`hollin/coax` is a cable run; a camera needs a camera part; name a camera part"],
    ),
    (
        PART,
        "    part: §zzz",
        ["there is no part `zzz`; it is in none of the 1 part files read; add it to one"],
    ),
    (
        "cable: hollin/coax",
        "cable: §hollin/joint",
        ["`hollin/joint` is an in-line box; a cable run needs a cable part; name a cable part"],
    ),
    (
        "cable: dc-0.75mm2",
        "cable: §dc-0.75mm",
        ["there is no part `dc-0.75mm`; did you mean `dc-0.75mm2`?"],
    ),
    (
        "disks: [tarnwell/disk]",
        "disks: [tarnwell/disk, §tarnwell/psu]",
        ["`tarnwell/psu` is a supply; a disk needs a disk part; did you mean `tarnwell/disk`?"],
    ),
    (
        "psu1: {part: tarnwell/psu}",
        "psu1: {part: §tarnwell/disk}",
        ["`tarnwell/disk` is a disk; a supply needs a supply part; did you mean `tarnwell/psu`?"],
    ),
    (
        "pickup: brackwater/ear",
        "pickup: §brackwater/bullet-5",
        ["`brackwater/bullet-5` is a camera; a pickup needs a pickup part; did you mean `brackwater/ear`?"],
    ),
    (
        "cable: cat5e, length: 5 m",
        "cable: §cat5x, length: 5 m",
        ["there is no part `cat5x`; did you mean `cat5e`?"],
    ),
    (
        "[five-megapixel]",
        "[§five-megapixl]",
        ["`tarnwell/hybrid-8` has no setting `five-megapixl`; did you mean `five-megapixel`?"],
    ),
    (
        "[five-megapixel]",
        "[§fog]",
        ["`tarnwell/hybrid-8` has no setting `fog`; its settings are five-megapixel, slow-shutter"],
    ),
    (
        "monitors: [desk]",
        "monitors: [§desc]",
        ["there is no monitor `desc` on this site; did you mean `desk`?"],
    ),
    (
        "parts: [parts/*.yaml]",
        "parts: [§parts/no.yaml]",
        ["no file matches `parts/no.yaml`; check the path; it starts at the site file's folder"],
    ),
    (
        "parts: [parts/*.yaml]",
        "parts: [§../*.yaml]",
        [
            "`../*.yaml` leads out of the folder with `..`; "
            "write a path below the site file's folder, as in parts/*.yaml"
        ],
    ),
    (
        "site: Reed Landing",
        "site: §5",
        ['`site` needs a text, not the number `5`; put it in quotes, as in "5"'],
    ),
    ("site: Reed Landing", "site: §[a]", ["`site` needs a text, not a list; write one text"]),
    ("site: Reed Landing", "site:§", ["`site` needs a text, not nothing; write one text"]),
    (
        "site: Reed Landing",
        "site: §''",
        ["`site` is empty; write at least one character, or leave the key out"],
    ),
    ("site: Reed Landing\n", "§", ["`site` is missing here; add `site: ...`"]),
    (
        "site: Reed Landing",
        "site: x\nvideo_rate: §50",
        ["`50` is not a choice for `video_rate`; write one of 25, 30"],
    ),
    (
        "site: Reed Landing",
        "site: x\nretention: §30",
        ["`30` has no unit and a time in days needs one; write 30 days or 30 weeks"],
    ),
    (
        "site: Reed Landing",
        "site: x\n§retension: 30 days",
        ["`retension` is not a key here; did you mean `retention` or `retention_max`?"],
    ),
    (
        "site: Reed Landing",
        "site: x\nnotes: y\n§zebra: 1",
        [
            "`zebra` is not a key here; "
            "keys here are site, video_rate, retention, retention_max, growth, wiring_code, parts, prices, "
            "modes, recorders, supplies, junctions, boxes, switches, monitors, ups, ..."
        ],
    ),
    ("length: 85 m", "length: §85", ["`85` has no unit and a length needs one; write 85 m or 85 ft"]),
    ("length: 85 m", "length: §85 V", ["`85 V` is a voltage; a length is written 85 m or 280 ft"]),
    (
        "length: 85 m",
        "length: 85 m, joints: §1.5",
        ["`joints` needs a whole number, not the number `1.5`; write a whole number"],
    ),
    ("length: 85 m", "length: 85 m, joints: §-1", ["`-1` is too small for `joints`; write at least 0"]),
    ("length: 85 m", "length: 85 m, pairs: §26", ["`26` is too large for `pairs`; write at most 25"]),
    (
        "length: 85 m",
        "length: 85 m, buried: §maybe",
        ["`buried` needs true or false, not the text `maybe`; write true or false"],
    ),
    ("length: 85 m", "§lenght: 85 m", ["`lenght` is not a key here; did you mean `length`?"]),
    (
        "length: 85 m",
        "length: §1,§5 m",
        [
            "`1` has no unit and a length needs one; write 1 m or 1 ft",
            "`5 m` stands behind a comma, which ends the value before it; write a decimal point",
        ],
    ),
    ("psu1: {part: tarnwell/psu}", "§psu1: {}", ["`part` is missing here; add `part: ...`"]),
    ("psu1: {part", "§psu 1: {part", [f"`psu 1` cannot stand here; write {DOTS}"]),
    (
        "psu1: {part: tarnwell/psu}",
        "psu1: §tarnwell/psu",
        [
            "`psu1` needs a group of keys, not the text `tarnwell/psu`; "
            "write `key: value` lines under it, or `{key: value}`"
        ],
    ),
    (
        "part: tarnwell/psu",
        "part: §Tarnwell/PSU",
        [
            "`Tarnwell/PSU` cannot stand here; "
            "write small letters, digits, `.`, `/`, `_` and `-`, with a letter or digit first"
        ],
    ),
    (
        PART,
        f"{PART}\n    set: {{family: §avi, mode: §2592x1944}}",
        [
            "`avi` is not a choice for `family`; write one of cvbs, ahd, tvi, cvi, sdi",
            "`2592x1944` is not a video mode; write columns x lines @ frames a second, as in 2560x1440@25",
        ],
    ),
    (
        PART,
        f"{PART}\n    place: {{setting: §out-door}}",
        ["`out-door` is not a choice for `setting`; did you mean `outdoor`?"],
    ),
    (
        "over: [{cable: hollin/coax, length: 85 m}, {box: j1}]",
        "over: §{cable: hollin/coax}",
        ["`over` needs a list, not a group of keys; write `[...]`"],
    ),
    (
        "disks: [tarnwell/disk]",
        "disks: §tarnwell/disk",
        ["`disks` needs a list, not the text `tarnwell/disk`; write `[tarnwell/disk]`"],
    ),
    (
        "site: Reed Landing",
        "site: x\nwaivers: [{rule: a/b, on: cameras/jetty, reason: r, until: §soon}]",
        ["`until` needs a date, not the text `soon`; write it as 2027-06-30"],
    ),
]


@pytest.mark.parametrize(("old", "new", "messages"), WRONG, ids=[f"{row[1][:30]}" for row in WRONG])
def test_wrong_values_and_names(told: Told, old: str, new: str, messages: list[str]) -> None:
    marked = SITE.replace(old, new, 1)
    assert marked != SITE
    places = []
    for piece in itertools.accumulate(marked.split("§")[:-1]):
        places.append(f"f:{piece.count(chr(10)) + 1}:{len(piece.rpartition(chr(10))[2]) + 1}")
    expected = [f"{place}: {message}" for place, message in zip(places, messages, strict=True)]
    assert told(marked.replace("§", "")) == expected


def test_the_site_itself_has_no_problem(told: Told) -> None:
    assert told(SITE) == []


def test_problems_of_all_places_come_together_in_order(told: Told) -> None:
    text = SITE.replace("85 m", "85").replace("280 ft", "280").replace("Reed Landing", "''")
    lines = told(text)
    assert [line.split(":")[1] for line in lines] == ["1", "16", "17"]


def test_very_many_problems_are_cut_off(told: Told) -> None:
    cameras = "".join(f"  c{number}: {{}}\n" for number in range(5000))
    lines = told(f"site: x\ncameras:\n{cameras}")
    assert len(lines) == 101
    assert lines[-1] == "f: 4900 more problems are not shown; mend the first ones"


def test_problems_of_site_and_part_files_come_together(folder: Path) -> None:
    (folder / "parts" / "all.yaml").write_text("parts: {a: {kind: camra, source: x}, b: {kind: disk}}\n")
    (folder / "parts" / "other.yaml").write_text("parts: {c: {source: x}}\n")
    with pytest.raises(Refusal) as caught:
        load_site_text(SITE.replace("85 m", "85"), "f", folder)
    assert [str(problem) for problem in caught.value.problems] == [
        "f:16:63: `85` has no unit and a length needs one; write 85 m or 85 ft",
        "parts/all.yaml:1:19: `camra` is no kind of part; did you mean `camera`?",
        "parts/all.yaml:1:38: `capacity` is missing here; add `capacity: 4 TB`",
        "parts/all.yaml:1:38: `source` is missing here; add `source: ...`",
        "parts/other.yaml:1:9: `kind` is missing here; add `kind: camera`, or the kind of part that this is",
    ]


def test_extra_part_files(folder: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    extra = tmp_path_factory.mktemp("extra") / "more.yaml"
    extra.write_text("parts: {hollin/thick: {kind: cable, source: invented, carries: [coax]}}\n")
    text = SITE.replace("hollin/coax", "hollin/thick")
    assert load_site_text(text, "f", folder, extra_parts=[extra]).catalogue.kind("hollin/thick") == "cable"
    with pytest.raises(Refusal, match="there is no such file"):
        load_site_text(text, "f", folder, extra_parts=[folder / "none.yaml"])


def test_an_edited_value_is_read_like_a_file(folder: Path) -> None:
    loaded = read_site(folder / "reed.site.yaml")
    value = copy.deepcopy(loaded.document.value)
    value["cameras"]["jetty"]["video"]["over"][0]["length"] = "40 m"
    edited = with_value(loaded, value)
    over = edited.site.cameras["jetty"].video.over  # type: ignore[union-attr]
    assert over is not None
    assert over[0].length == 40
    assert edited.catalogue is loaded.catalogue
    value["cameras"]["jetty"]["part"] = "nobody"
    with pytest.raises(Refusal, match="there is no part `nobody`"):
        with_value(loaded, value)
    value["cameras"]["jetty"]["new"] = {"key": 1}
    with pytest.raises(Refusal, match="`new` is not a key here"):
        with_value(loaded, value)


RAW_WORDING = (
    "Input should",
    "valid string",
    "type=",
    "pydantic",
    "For further",
    "tuple[",
    "literal[",
    "function-",
    "[key]",
)
LEAVES = st.sampled_from(
    [None, True, 5, -1, 2.5, "", "x", "85 m", "12 V", "tvi", "\u202e", "rec1/1", "2027-01-01"]
)
SHAPES = st.recursive(
    LEAVES,
    lambda inner: (
        st.lists(inner, max_size=2)
        | st.dictionaries(
            st.sampled_from(["part", "over", "length", "video", "into", "by", "zz", "kind", "1"]),
            inner,
            max_size=3,
        )
    ),
    max_leaves=6,
)


def places(value: Any, path: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    entries = (
        value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    )
    return [path, *(place for step, inner in entries for place in places(inner, (*path, step)))]


@settings(max_examples=150, deadline=None)
@given(st.data(), SHAPES)
def test_any_value_anywhere_is_read_or_refused_in_our_words(data: st.DataObject, shape: Any) -> None:
    value = yaml.load(SITE.replace("parts: [parts/*.yaml]\n", ""), yaml.BaseLoader)
    path = data.draw(st.sampled_from(places(value)[1:]))
    holder = value
    for step in path[:-1]:
        holder = holder[step]
    holder[path[-1]] = shape
    text = yaml.safe_dump(value)
    try:
        load_site_text(text, "f", "/nonexistent")
    except Refusal as refusal:
        lines = [str(problem) for problem in refusal.problems]
    else:
        pytest.fail("the parts of this site are not there")
    assert all(line.isprintable() for line in lines)
    assert not [line for line in lines for raw in RAW_WORDING if raw in line]
    assert all(problem.span for problem in refusal_problems(text))


def refusal_problems(text: str) -> tuple[Any, ...]:
    with pytest.raises(Refusal) as caught:
        load_site_text(text, "f", "/nonexistent")
    return caught.value.problems


def test_models_are_made_quickly_and_without_the_collector(guarded: Callable[[float], Any]) -> None:
    camera = {"part": "a/b", "video": {"into": "rec1/1", "over": [{"cable": "rg59", "length": "85 m"}]},
              "power": {"from": "psu1/1", "over": [{"cable": "dc", "length": "85 m"}]}}  # fmt: skip
    value = {"site": "x", "cameras": {f"c{number}": camera for number in range(2000)}}
    with guarded(100):  # twenty times what it takes on an idle machine
        for _ in range(3):
            Site.model_validate(value)
