"""From every judgement that passes down to its leaves: what is stated, or a listed assumption, and nothing else.

Every fact that the conditions of a rule read is followed (`facts.provenance`: by leaving stated values out and changing
assumptions, not by a map). A fact that has a value though it moves with nothing stated and nothing assumed must be
one of those below: what is drawn in the plan itself. See docs/how-facts-are-computed.md.
"""

from __future__ import annotations

import os
from collections import defaultdict
from functools import partial
from pathlib import Path
from random import Random

import pytest

from coaxwright.checking import facts_of, load_rulebook, load_site
from coaxwright.facts import provenance as room
from coaxwright.facts.provenance import provenance
from coaxwright.rulebook.dependencies import DependencyMap
from coaxwright.rulebook.judging import frame_of, judge_exactly
from coaxwright.rulebook.subjects import subjects

from . import comparing
from .together import rests_together, words_of

FULL = os.environ.get("COAXWRIGHT_FULL") == "1"
ROOT = Path(__file__).resolve().parents[2]
EXAMPLES = sorted((ROOT / "examples").glob("*/*.site.yaml"))
SITES = range(8_000, 8_000 + (40 if FULL else 2))
FEW = 2
"""Subjects of a site that the short form follows: each takes some hundred small computations."""
DRAWN = {
    "to whom a thing of the plan belongs: its place in the file": (
        "output.supply", "recorder.site", "camera.site", "switch.site", "supply.site", "monitor.recorder", "input.recorder",
        "battery.supply", "view.camera", "recorder.name",
    ),
    "what is drawn to it, or that nothing is": (
        "camera.has_network", "camera.has_video", "input.exists", "input.serves", "input.camera_count", "output.feeds",
        "output.runs", "hop.is_box", "hop.is_run", "recorder.network_cameras", "recorder.links", "recorder.encode_demand",
        "recorder.frame_families", "camera.sound_by", "camera.sound_cause", "network_port.cables", "network_port.exists",
        "serial_bus.stars", "serial_bus.speeds", "serial_bus.protocols",
        "serial_bus.addresses_shared", "sheath.cables", "sheath.pairs_used",
        "poe_port.devices", "poe_port.takes_poe", "supply.has_battery", "supply.recorders_fed", "supply.amps_night",
        "supply.on_ups", "supply.outputs_used", "copper.direct", "copper.arresters", "copper.others_arrested",
    ),
    "kind of a piece of a way, by the kind of its part and by what the way is for": (
        "hop.medium", "run.use", "copper.use", "run.fits_use", "run.paired", "laying.screened", "supply.gives",
        "sheath.alternating",
    ),
    "what a box does: its part states it, and is no part without it, so that nobody can leave it out": ("hop.does",),
    "a wish, or that nobody wrote one": (
        "camera.wants_control", "camera.wants_sound", "camera.wants_full_width", "disk_group.redundancy",
        "disk_group.redundancy_known", "view.colour_night",
    ),
    "counts of entries of the file": ("site.labels_shared", "recorder.line_inputs_shared"),
    "whether an assumption was taken, or another rule tells the same": (
        "disk_group.motion_assumed", "camera.ambient_max_assumed", "camera.ambient_min_assumed", "recorder.ambient_max_assumed",
        "run.told_above", "laying.told_above",
    ),
    "a limit that a standard gives for the kind of current, which a supply has to state": ("supply.wet_volts",),
    "written once in the site file, which is no site file without it": ("site.video_rate",),
}  # fmt: skip
ALLOWED = {fact: reason for reason, facts in DRAWN.items() for fact in facts}


@pytest.fixture(scope="module")
def rulebook():
    return load_rulebook()


def read_by_passed(facts, rulebook) -> dict[str, dict[tuple[str, str], str]]:
    """Facts with a value that judgements read which pass: by subject, kind and name, with one of the judgements."""
    map_of, found = DependencyMap(facts, rulebook), defaultdict(dict)
    for rule in rulebook.rules:
        frame = frame_of(rule, facts)
        for subject in subjects(rule.scope, facts):
            if judge_exactly(rule, subject, frame).kind == "pass":
                for node in map_of.read(rule, subject, frame):
                    if (value := node.sheet.known(node.name)) is not None:
                        found[node.sheet.subject][node.sheet.kind, node.name] = (
                            f"{rule.id} of {subject.subject}: {value}"
                        )
    return found


def without_leaf(loaded, facts, read, draw: Random | None = None) -> dict[str, str]:
    """Those of them that rest on nothing stated or assumed; of a few subjects only, drawn with `draw`."""
    found = {}
    for subject in sorted(read) if draw is None else draw.sample(sorted(read), min(FEW, len(read))):
        rests = provenance(loaded, facts, subject)
        for (kind, name), judged in read[subject].items():
            leaf = rests.get((kind, name))
            if leaf is None or not (leaf.stated or leaf.assumed):
                found[f"{kind}.{name}"] = judged
    return found


def without_any(loaded, facts, read, bare) -> dict[str, str]:
    """Those of `bare` that are not drawn and rest on nothing either when every value of a word is left out, word by word."""
    found = {}
    for subject in sorted(read):
        for (kind, name), judged in read[subject].items():
            if f"{kind}.{name}" in bare and f"{kind}.{name}" not in ALLOWED:
                small = room._cut(loaded, subject, room._values(facts, subject), lambda facts: facts)
                values = partial(_value, subject=subject, field=(kind, name))
                if not rests_together(small, subject, words_of(small), values):
                    found[f"{kind}.{name}"] = judged
    return found


def _value(facts, subject, field):
    return room._values(facts, subject).get(field)


@pytest.mark.parametrize("seed", SITES)
def test_passed_judgements_of_random_sites(seed: int, rulebook) -> None:
    loaded = comparing.loaded_of(*comparing.rich_known_case_of(seed))
    facts = facts_of(loaded, rulebook)
    read = read_by_passed(facts, rulebook)
    bare = without_leaf(loaded, facts, read, None if FULL else Random(seed))
    assert without_any(loaded, facts, read, bare) == {}


@pytest.mark.parametrize("file", EXAMPLES if FULL else EXAMPLES[:1], ids=lambda file: file.parent.name)
def test_passed_judgements_of_examples(file: Path, rulebook) -> None:
    loaded = load_site(file)
    facts = facts_of(loaded, rulebook)
    read = read_by_passed(facts, rulebook)
    bare = without_leaf(loaded, facts, read, None if FULL else Random(1))
    assert without_any(loaded, facts, read, bare) == {}


def test_a_guess_is_found(rulebook, monkeypatch) -> None:
    """A value out of nowhere, as if the engine had put the usual one in the place of what nobody wrote."""
    loaded = load_site(EXAMPLES[0])
    facts = facts_of(loaded, rulebook)
    read = read_by_passed(facts, rulebook)
    subject = next(each for each in sorted(read) if ("link", "joints") in read[each])
    found = without_leaf(loaded, facts, {subject: read[subject]})
    assert found.keys() <= ALLOWED.keys()
    plain = room._values

    def guessing(facts, subject):
        return {**plain(facts, subject), ("link", "joints"): 0}

    monkeypatch.setattr(room, "_values", guessing)
    assert without_leaf(loaded, facts, {subject: read[subject]}).keys() - found.keys() == {"link.joints"}
