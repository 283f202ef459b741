"""Cautions are given by what a change makes a person do; no rule, no declared change and no candidate goes without one.

What a change makes a person do is common practice; which kinds of change need nothing but a desk is said here a second time.
"""

from __future__ import annotations

import re
import typing
from pathlib import Path

import pytest

from coaxwright.findings import Fix
from coaxwright.fixes.advice import advise, failing
from coaxwright.fixes.candidates.bench import NEED, SETTING, Bench
from coaxwright.fixes.candidates.words import GENERATORS, candidates
from coaxwright.fixes.cautions import cautions_of
from coaxwright.fixes.rejudging import start
from coaxwright.model.rules import CaseFile
from coaxwright.model.site import Site
from coaxwright.reading.catalogue import Catalogue
from coaxwright.reading.site_reader import read_site
from coaxwright.reading.tables import load_table
from coaxwright.reading.yaml_source import parse_document
from coaxwright.reporting.json_report import fix_data
from coaxwright.reporting.wording import change_notes
from coaxwright.rulebook.cases import case_site, load_bases
from coaxwright.rulebook.cautions import NOT_LISTED, apart, at_place, conditions, declared, joined, touches
from coaxwright.rulebook.loading import load_rulebook

ROOT = Path(__file__).resolve().parents[2]
EXAMPLES = sorted((ROOT / "examples").rglob("*.site.yaml"))
RULES = load_rulebook().rules
AT_A_DESK = {"change_need", "set_rate", "change_codec", "change_address", "set_recorder"}
"""Words of changes for which nobody gets up from a chair."""
CASES = [rule for rule in RULES if rule.plain.get("fixes")]


def names(cautions: tuple) -> set[str]:
    return {care.name for care in cautions}


def test_tables_name_each_other() -> None:
    known = {row["name"] for row in load_table("cautions").rows}
    places = {row["place"] for row in load_table("caution-places").rows}
    rows = [*load_table("caution-places").rows, *load_table("caution-rules").rows]
    told = {name for row in rows for name in row["cautions"] or ()}
    assert told == known - {NOT_LISTED}
    assert {place for row in load_table("caution-fixes").rows for place in row["touches"] or ()} <= places
    assert {row["do"] for row in load_table("caution-fixes").rows} == set(GENERATORS)
    for row in load_table("caution-rules").rows:
        beginning = row["rules"].rstrip("*")
        assert any(rule.id.startswith(beginning) for rule in RULES), row["rules"]


def test_no_caution_promises_anything() -> None:
    for row in load_table("cautions").rows:
        assert not re.search(r"\b(is|are|be|stays?) (safe|protected|secure)\b|\bsafely\b", row["words"])
        assert row["words"].endswith(".")


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
def test_no_declared_change_is_forgotten(rule) -> None:
    for do, kind in declared(rule.plain):
        assert touches(do, kind) != ("?",), (do, kind)
        physical = do not in AT_A_DESK and not (do == "change_path" and kind == "monitor")
        assert not physical or rule.caution, f"{do} of {kind} and no caution"
        assert NOT_LISTED not in [name for place in touches(do, kind) for name in at_place(tuple(place.split("/")), ("always",))]
    assert "is not in the table of cautions" not in (rule.caution or "")
    sentences = [each for each in re.split(r"(?<=[.]) ", rule.caution or "") if each]
    assert len(sentences) == len(set(sentences))


def test_rules_of_power_sound_and_earth_have_a_caution_whatever_mends_them() -> None:
    assert [rule.id for rule in RULES if rule.topic in ("power", "sound") and not rule.caution] == []
    assert [rule.id for rule in RULES if "earth" in rule.id and not rule.caution] == []


def fields_of(model: type) -> typing.Iterator[str]:
    yield from (field.alias or name for name, field in model.model_fields.items())


def test_every_field_of_a_site_file_has_a_row() -> None:
    places = {row["place"] for row in load_table("caution-places").rows}
    missing = []
    for name, field in Site.model_fields.items():
        if field.annotation is not None and typing.get_origin(field.annotation) is dict and name != "rules":
            missing += [f"{name}/*" for _ in [0] if f"{name}/*" not in places]
            entry = typing.get_args(field.annotation)[1]
            missing += [each for one in fields_of(entry) if (each := f"{name}/*/{one}") not in places]
        missing += [name for _ in [0] if name not in places]
    assert missing == [], "a row of caution-places: what does it make a person do?"


def walked(loaded, rule_ids: list[str] | None = None):
    """Candidates for every finding of a site: the first of each word and kind of path."""
    state = start(loaded)
    for (rule, _subject), judgement in failing(state).items():
        if rule_ids and rule not in rule_ids:
            continue
        seen = set()
        for candidate, _ in zip(candidates(Bench(state), judgement), range(150), strict=False):
            key = candidate.word, *(operation["path"].rpartition("/")[2] for operation in candidate.patch)
            if key not in seen:
                seen.add(key)
                yield state, candidate


def holds(state, candidate) -> None:
    found = names(cautions_of(state.site, state.basis.loaded.catalogue, candidate.patch))
    assert NOT_LISTED not in found, candidate.patch
    if candidate.disruption not in (SETTING, NEED) and "/from" not in candidate.patch[0]["path"][-5:]:
        assert found, candidate
    if candidate.word == "switch_mode":
        assert "work at height" in found
    if candidate.word in ("raise_trim", "lower_trim", "add_supply", "split_feed"):
        assert "mains" in found
    if candidate.word in ("change_cable", "split_feed", "shorten_run"):
        assert "running cables" in found


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda path: path.stem)
def test_every_change_of_the_examples_has_its_cautions(example: Path) -> None:
    for state, candidate in walked(read_site(example)):
        holds(state, candidate)


@pytest.mark.parametrize("rule", CASES, ids=lambda rule: rule.id)
def test_every_change_of_a_failing_case_has_its_cautions(rule) -> None:
    file = (ROOT / rule.file).with_suffix("").with_suffix(".cases.yaml")
    cases = CaseFile.model_validate(parse_document(file.read_text(encoding="utf-8"), file.name).value).cases
    case = next(case for case in cases if case.fails)
    for state, candidate in walked(case_site(load_bases(), case), [rule.id]):
        holds(state, candidate)


SITE = {
    "site": "Mill",
    "recorders": {"rec": {"part": "rec-x", "place": {"building": "house"}}},
    "supplies": {"psu": {"part": "psu-x", "battery": "7 Ah", "place": {"building": "house"}}},
    "boxes": {"iso": {"part": "box-x"}},
    "cameras": {
        "gate": {
            "part": "cam-x",
            "place": {"setting": "outdoor", "building": "gatehouse"},
            "video": {"into": "rec/1", "over": [{"cable": "rg59-copper", "length": "30 m", "buried": True}]},
            "power": {"from": "psu/1", "over": [{"cable": "dc-1.5mm2", "length": "30 m"}]},
        },
        "hall": {"part": "cam-x", "place": {"setting": "indoor"}, "video": {"into": "rec/2", "over": [{"cable": "rg59-copper"}]}},
    },
}
INDOORS = {"work at height", "plugging coax", "running cables"}
BETWEEN = "copper between buildings"
WRITES = [
    ("/cameras/gate/video/over/0/cable", "rg6-copper", {*INDOORS, "thunder", "holes in outer walls", "digging", BETWEEN}),
    ("/cameras/hall/video/over/0/cable", "rg6-copper", INDOORS),
    ("/cameras/hall/set", {"mode": "1920x1080@25"}, {"work at height"}),
    ("/cameras/gate/power/from", "psu/2", {"mains", "live low voltage", "batteries"}),
    ("/supplies/psu/trim", "12.5 V", {"mains", "live low voltage", "batteries"}),
    ("/cameras/hall/wants", {"sound": True, "rate": "15 fps"}, {"recording voices"}),
    ("/cameras/hall/record/rate", "10 fps", set()),
    ("/boxes/iso", {"part": "box-x"}, {"plugging coax", "work at height", "earths"}),
    ("/recorders/rec/disks", ["d", "d"], {"inside a mains device", "recordings on disks"}),
    ("/recorders/rec/redundancy", "raid5", {"recordings on disks"}),
    ("/moat/x", 1, {NOT_LISTED}),
]


class Parts(Catalogue):
    """A catalogue in which every part is as plain as can be."""

    def __init__(self) -> None:
        pass

    def part(self, identifier: str):
        from types import SimpleNamespace

        return SimpleNamespace(battery_backed=None, battery=None, does="isolator")


@pytest.mark.parametrize(("path", "value", "wanted"), WRITES, ids=[str(place) for place in range(len(WRITES))])
def test_cautions_by_what_is_written(path: str, value: object, wanted: set[str]) -> None:
    patch = [{"op": "add", "path": path, "value": value}]
    assert names(cautions_of(Site.model_validate(SITE), Parts(), patch)) == wanted


def test_the_longest_place_counts() -> None:
    assert conditions(("cameras", "x", "video", "over", "cable"))[0] == "always"
    assert at_place(("cameras", "x", "video", "into"), ("always",)) == ("plugging coax",)


def test_a_caution_is_not_told_twice() -> None:
    own = "Work on supplies is for a competent person under local wiring rules; disconnect the mains first."
    assert joined(own, ("mains", "live low voltage")) == own
    assert joined(None, ("mains", "mains")) == own
    assert joined(own, ("work at height",)).startswith(own + " Work at a camera")
    assert joined(None, ()) is None


def test_a_proven_change_says_what_to_heed() -> None:
    state = start(read_site(ROOT / "examples" / "cider-press" / "quill-orchard.site.yaml"))
    found = {advice.finding.key: advice for advice in advise(state)}
    switched = next(fix for fix in found["cable/loss-beyond-limit", "cameras/cellar"].fixes if fix.title.startswith("switch"))
    assert names(switched.cautions) == {"work at height"}
    assert "with care: work at height" in change_notes(switched)
    assert {"of": "work at height", "says": switched.cautions[0].words} in fix_data(switched)["cautions"]
    mended = found["power/undervoltage", "cameras/cellar"]
    assert {care.name for fix in mended.fixes for care in fix.cautions} >= {"mains", "fuses and cables", "running cables"}
    assert "starts fires; needs review by a licensed electrician" in mended.finding.caution
    assert fix_data(Fix("nothing"))["cautions"] == []


def test_cautions_of_several_findings_are_told_once() -> None:
    height = joined(None, ("work at height",))
    both = joined("Mind the step.", ("mains", "work at height"))
    told = apart([height, both, "Mind the step."])
    assert told == ("Mind the step.", joined(None, ("mains",)), height)
