"""Each fix word of every rule makes a candidate on some failing case of the rule, or says what to buy.

The cases stand on small catalogues: one invented part of each kind is laid beside them, so that a swap has something to swap
for. What is left to a person is listed here, with nothing else.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from coaxwright.checking import load_site
from coaxwright.errors import Refusal
from coaxwright.fixes.advice import failing, why_none
from coaxwright.fixes.candidates.bench import Bench
from coaxwright.fixes.candidates.words import GENERATORS, candidates, to_be_bought, to_be_done, wanted
from coaxwright.fixes.rejudging import SiteState, judgement_of, start
from coaxwright.model.parts import PartFile
from coaxwright.model.rules import Case, CaseFile
from coaxwright.reading.catalogue import Catalogue, PartSource
from coaxwright.reading.validation import validated
from coaxwright.reading.yaml_source import parse_document
from coaxwright.rulebook.cases import case_site, load_bases
from coaxwright.rulebook.judging import Judgement
from coaxwright.rulebook.library import LoadedRule
from coaxwright.rulebook.loading import load_rulebook

from . import random_sites

ROOT = Path(__file__).resolve().parents[2]
BOOK, BASES = load_rulebook(), load_bases()
def _other(kind: str, **fields: Any) -> dict[str, Any]:
    return {"kind": kind, "source": "invented", "maker": "other", **fields}


_MODES = [{"family": ["cvbs", "tvi", "ahd", "cvi"], "mode": ["960x576@25", "1280x720@25", "1920x1080@25"]}]
_OPTICS = {"focal_min": "3 mm", "focal_max": "12 mm", "sensor_width": "5 mm"}
_POWER = {"kind": "dc", "volts": "12 V", "watts_day": "2 W", "watts_night": "4 W"}
_CARRIES = ["coax", "pair", "power", "network", "line"]
OTHERS = {
    "other/camera": _other("camera", emits=_MODES, switched_by=["dip-switch"], power=_POWER, optics=_OPTICS),
    "other/camera-ac": _other("camera", emits=_MODES, power={**_POWER, "kind": "ac", "volts": "24 V"}),
    "other/transformer": _other("supply", gives="ac", volts="24 V", amps="4 A", outputs=4),
    "other/recorder": _other("recorder", inputs=[{"channels": "1-32", "accepts": _MODES}]),
    "other/ups": _other("ups", watts="900 W", volt_amps="1500 VA"),
    "other/switch": _other("switch", ports=8, poe_ports=8, poe_watts="120 W"),
    "other/supply": _other("supply", volts="12 V", amps="10 A", outputs=8),
    "other/cable": _other("cable", carries=_CARRIES, conductor={"size": "6 mm2", "material": "copper"}),
    "other/pickup": _other("pickup", output="line"),
    "other/converter": _other("box", does="converter", either_way=True, takes="coax", gives="pair"),
    "other/monitor": _other("monitor", connectors=["hdmi", "vga"], mode="1920x1080@60"),
    "other/box": _other("box", does="joint", either_way=True),
}
BY_HAND = {
    ("control/line-too-long", "add_box"): "a repeater is no box of a site file",
    ("control/unit-loads-exceeded", "add_box"): "a repeater is no box of a site file",
    ("cable/alternating-beside-picture", "change_part"): "another kind of current is another design of the power",
    ("cable/box-band-narrow", "switch_mode"): "the parts of the cases do not say how they are switched",
    ("cable/box-not-for-family", "switch_mode"): "the parts of the cases do not say how they are switched",
    ("display/cable-too-long", "set_recorder"): "a site file does not hold what a recorder's screen output is set to",
    ("network/clock-drifts", "set_recorder"): "a time server is reached by a setting that parts do not name",
    ("place/cabinet-device-too-hot", "change_part"): "the parts of the cases hold no other switch or converter",
    ("signal/terminated-twice", "change_path"): "where a picture is looped on to is not in a site file",
    ("signal/unterminated", "set_recorder"): "how an input is ended is a switch at it that parts do not name",
    ("display/output-above-screen", "set_recorder"): "a site file does not hold what a recorder's screen output is set to",
    ("power/box-autonomy-short", "change_part"): "the boxes of the cases are plugged into no UPS",
    ("power/collapse-near", "split_feed"): "one camera on one output of the cases: nothing to split",
    ("power/poe-budget-overdrawn", "split_feed"): "a second source has to be bought",
    ("power/poe-not-taken", "add_box"): "a box that makes another supply of a powered port is no box of a site file",
    ("power/protection-warm", "split_feed"): "one camera on one output of the cases: nothing to split",
    ("power/recorder-autonomy-short", "plug_into_ups"): "the sites of the cases have one UPS, and it is plugged in there",
    ("power/supply-autonomy-short", "plug_into_ups"): "the sites of the cases have one UPS, and it is plugged in there",
    ("power/switch-autonomy-short", "plug_into_ups"): "the sites of the cases have one UPS, and it is plugged in there",
    ("power/start-too-heavy", "add_supply"): "one trunk on the supply of the cases: nothing to share",
    ("power/supply-derated", "add_supply"): "one camera on the supply of the cases: nothing to share",
    ("sound/microphone-level-on-line", "add_pickup"): "every line input of the cases is taken",
    ("cable/digital-near-cliff", "shorten_run"): "where a nearer recorder may stand nobody has written",
    ("network/rate-below-wanted", "set_rate"): "what the camera sends is set at the camera",
    ("picture/rate-cut-by-channel", "move_input"): "all inputs of the cases are of one kind",
    ("view/density-halved", "move_input"): "all inputs of the cases are of one kind",
}
"""Changes that no file can hold: the answer says what to buy or to do."""


def rich(catalogue: Catalogue) -> Catalogue:
    document = parse_document(json.dumps({"parts": OTHERS}), "others.yaml")
    return Catalogue((*catalogue.sources, PartSource(document.file, document, validated(PartFile, document))))


def cases_of(rule: LoadedRule) -> tuple[Case, ...]:
    file = ROOT / "rules" / f"{rule.id}.cases.yaml"
    return validated(CaseFile, parse_document(file.read_text(encoding="utf-8"), file.name)).cases


def failing_of(rule: LoadedRule) -> Iterator[tuple[SiteState, Judgement]]:
    for case in cases_of(rule):
        if case.fails:
            loaded = case_site(BASES, case)
            try:
                state = start(replace(loaded, catalogue=rich(loaded.catalogue)), rulebook=BOOK)
            except Refusal:
                continue
            for expected in case.fails:
                judgement = judgement_of(state, rule, expected.on)
                if judgement is not None and judgement.kind == "fail":
                    yield state, judgement


def makes(state: SiteState, judgement: Judgement, declared: dict[str, Any]) -> bool:
    want = wanted(judgement, declared)
    return want is not None and next(iter(GENERATORS[declared["do"]](Bench(state), want)), None) is not None


def test_each_word_of_every_rule_makes_a_change_or_says_what_to_buy() -> None:
    without: set[tuple[str, str]] = set()
    walked = 0
    for rule in BOOK.rules:
        open_words = [each for each in rule.plain.get("fixes", ()) if each["do"] != "change_need"]
        for state, judgement in failing_of(rule) if open_words else ():
            walked += 1
            open_words = [each for each in open_words if not makes(state, judgement, each)]
            for declared in open_words:
                told = [*to_be_bought(Bench(state), judgement), *to_be_done(Bench(state), judgement)]
                assert told or not declared.get("says") or declared.get("when"), (rule.id, declared)
            if not open_words:
                break
        without |= {(rule.id, each["do"]) for each in open_words}
    assert walked > 150
    assert without <= BY_HAND.keys(), sorted(without - BY_HAND.keys())


def test_what_no_catalogue_has_is_told() -> None:
    rule = BOOK.rule("control/unit-loads-exceeded")
    state, judgement = next(failing_of(rule))
    assert "not among the parts that the site knows: a repeater" in why_none(state, judgement, 400)


SITE: dict[str, Any] = {
    "site": "Candidates",
    "recorders": {"r1": {"part": "tarnwell/middle-8", "disks": ["generic/disk-8tb"]}},
    "supplies": {"p1": {"part": "hollin/dc12-5a-4way", "trim": "12 V"}},
    "junctions": {
        "j1": {"power": {"from": "p1/1", "over": [{"cable": "dc-1.5mm2", "length": "20 m"}]}},
        "j2": {"power": {"from": "p1/2", "over": [{"cable": "dc-4mm2", "length": "20 m"}]}},
    },
    "cameras": {
        "c1": {
            "part": "fennick/turret-5",
            "video": {"into": "r1/1", "over": [{"cable": "cat5e", "length": "280 m"}]},
            "power": {"from": "j1", "over": [{"cable": "dc-0.5mm2", "length": "90 m"}]},
        },
        "c2": {
            "part": "fennick/turret-5",
            "video": {"into": "r1/2", "over": [{"cable": "rg59-copper", "length": "30 m"}]},
            "power": {"from": "j2", "over": [{"cable": "dc-1.5mm2", "length": "10 m"}]},
        },
    },
}


@pytest.fixture(scope="module")
def titles(parts: Any, rulebook: Any, day: Any) -> dict[str, list[str]]:
    state = start(random_sites.load(SITE, parts), rulebook=rulebook, today=day)
    found: dict[str, list[str]] = {}
    for part in state.parts.values():
        for judgement in part.judged.judgements:
            if judgement.kind == "fail":
                found.setdefault(judgement.rule.id, []).extend(each.title for each in candidates(Bench(state), judgement))
    return found


def test_another_junction_is_thought_of(titles: dict[str, list[str]]) -> None:
    told = [title for rule, each in titles.items() if rule.startswith("power/") for title in each]
    assert any(title.startswith("feed c1 from j2") for title in told)


def test_the_trim_with_most_room_for_all_cameras_comes_first(rulebook: Any) -> None:
    """By hand: cellar gets 9.5 V and needs 10.8 V, no camera of box1 states a greatest voltage: the end of the range, 13.5 V."""
    state = start(load_site(ROOT / "examples/cider-press/quill-orchard.site.yaml"), rulebook=rulebook)
    judgement = failing(state)["power/undervoltage", "cameras/cellar"]
    raised = [each.title for each in candidates(Bench(state), judgement) if each.word == "raise_trim"]
    assert raised[0] == "raise the trim of box1 to 13.5 V"
    assert raised[1] == "raise the trim of box1 to 12.1 V"


def test_active_baluns_come_with_their_feeds(titles: dict[str, list[str]]) -> None:
    told = [title for each in titles.values() for title in each]
    pairs = [title for title in told if "balun-active-sender at the camera and generic/balun-active-receiver" in title]
    assert pairs
    assert all("fed from p1/3 and p1/4" in title for title in pairs)
