"""The same and more properties on random sites with everything on them: networks, lines, alternating current, batteries.

2 sites for each property; 500 with COAXWRIGHT_FULL=1. New here: a fix applied is a finding gone; part files split; a site
split between its recorders; other units everywhere; a twin of a site beside it.
"""

from __future__ import annotations

import copy
import json
import os
import re

import pytest

from coaxwright.checking import load_site
from coaxwright.fixes.advice import advise
from coaxwright.fixes.rejudging import start
from coaxwright.model.parts import PartFile
from coaxwright.reading.catalogue import Catalogue, PartSource
from coaxwright.reading.validation import validated
from coaxwright.reading.yaml_source import parse_document

from . import comparing, test_metamorphic
from .test_metamorphic import DAY, RULES, Seen, equal, unchanged

EXAMPLES = 500 if os.environ.get("COAXWRIGHT_FULL") else 2
TRIES = 12
"""Changes tried for a finding; enough for a fix of most."""


# The same


def without_first_ones(site):
    """The site without what is told of the first in the file only: same addresses, shared ports, mixed jackets."""
    site, taken = copy.deepcopy(site), set()
    for group in ("cameras", "recorders", "switches", "junctions", "boxes"):
        for entry in site[group].values():
            entry.pop("network_address", None)
            origin = (entry.get("power") or {}).get("from", "")
            if origin.split("/")[0] not in (*site["supplies"], *site["junctions"]) and origin:
                if origin in taken:
                    entry.pop("power")
                taken.add(origin)
            for use in ("video", "power", "network", "sound", "control"):
                for hop in (entry.get(use) or {}).get("over") or ():
                    hop.pop("sheath", None)
    return site


def order_of_the_file(site, parts):
    """The order of entries in the file means nothing."""
    site = without_first_ones(site)
    other = copy.deepcopy(site)
    for group in ("cameras", "recorders", "supplies", "boxes", "junctions", "switches", "monitors"):
        other[group] = dict(reversed(other[group].items()))
    unchanged(Seen(site, parts), Seen(other, parts))
    return True


OTHER_UNITS = {
    "m": ("cm", 100), "V": ("mV", 1000), "A": ("mA", 1000), "W": ("kW", 0.001), "TB": ("GB", 1000), "Mb/s": ("kb/s", 1000),
    "days": ("weeks", 1 / 7), "°C": ("°F", None),
}  # fmt: skip


def in_other_units(value):
    """Every quantity of plain data with another unit."""
    if isinstance(value, dict):
        return {name: in_other_units(each) for name, each in value.items()}
    if isinstance(value, list):
        return [in_other_units(each) for each in value]
    found = re.fullmatch(r"(-?[\d.]+) (\S+)", value) if isinstance(value, str) else None
    if found is None or found[2] not in OTHER_UNITS:
        return value
    unit, factor = OTHER_UNITS[found[2]]
    number = float(found[1])
    return f"{number * 1.8 + 32!r} {unit}" if factor is None else f"{number * factor!r} {unit}"


def units_everywhere(site, parts):
    """Every length, voltage, current, capacity, rate and temperature of site and parts in another unit."""
    unchanged(Seen(site, parts), Seen(in_other_units(site), in_other_units(parts)))
    return True


def assumed_written_down(site, parts):
    """Writing down what is assumed changes no fact."""
    usual = {
        "conductor_temperature": "40 °C", "usable_share": "93 %", "target_height": "1.6 m", "peukert_exponent": 1.15,
        "battery_remaining": "80 %", "rebuild_rate": "400 Mb/s", "disk_warmth": 15, "source_resistance": 0,
        "motion_share": "50 %", "sorted_motion_share": "25 %",
    }  # fmt: skip
    unchanged(Seen(site, parts), Seen({**site, "assume": {**usual, **site.get("assume", {})}}, parts))
    return True


def part_files_split(site, parts):
    """A catalogue in one file, and a file for every part: one site."""
    one = Seen(site, parts)
    loaded = comparing.loaded_of(site, parts)
    sources = []
    for number, (name, part) in enumerate(parts.items()):
        document = parse_document(json.dumps({"parts": {name: part}}), f"parts-{number}.yaml")
        sources.append(PartSource(document.file, document, validated(PartFile, document)))
    split = comparing.with_catalogue(loaded, Catalogue(tuple(sources)))
    unchanged(one, Seen(site, parts, split))
    return True


def files_on_disk(site, parts, folder):
    """Site and part files as files, and as data."""
    for number, name in enumerate(parts):
        (folder / f"part-{number}.yaml").write_text(json.dumps({"parts": {name: parts[name]}}), encoding="utf-8")
    path = folder / "random.site.yaml"
    path.write_text(json.dumps({**site, "parts": ["part-*.yaml"]}), encoding="utf-8")
    unchanged(Seen(site, parts), Seen(site, parts, load_site(path)))
    return True


OF_RECORDS = (
    "outcome", "loss", "recorded_fps", "recorded_width", "bitrate", "bitrate_mean", "encode_used", "days", "needed",
    "channels_used", "channels_spare", "network_cameras", "incoming", "outgoing", "decode_needed",
)  # fmt: skip


def split_between_recorders(site, parts):
    """What a recorder records hangs on no camera of another: each alone in a file of its own has the same facts."""
    whole = Seen(site, parts)
    for recorder in site["recorders"]:
        alone = copy.deepcopy(site)
        for name, entry in site["cameras"].items():
            network = entry.get("network") or {}
            into = (entry.get("video") or {}).get("into") or network.get("recorder") or network.get("into", "")
            if into.split("/")[0] != recorder:
                del alone["cameras"][name]
        after = Seen(alone, parts)
        for name in OF_RECORDS:
            mine = {subject: each for subject, each in after.of(name).items() if subject.startswith(f"recorders/{recorder}")}
            equal({subject: each for subject, each in whole.of(name).items() if subject in mine}, mine)
    return True


def renamed(value):
    """Plain data of a site with `t` before every name of a device, wherever it is named."""
    return json.loads(re.sub(r'"([bcjkmnpqruwx]\d+(?:-[a-z]+)?)(?=["/])', r'"t\1', json.dumps(value)))


def twin_beside_it(site, parts):
    """A site and its twin in one file: the facts of each device are what they were."""
    site = without_first_ones(site)
    both = copy.deepcopy(site)
    for group in ("cameras", "recorders", "supplies", "junctions", "boxes", "switches", "monitors", "ups", "cabinets"):
        both.setdefault(group, {}).update(renamed(site.get(group) or {}))
        if group == "cameras":
            for entry in [each for name, each in both[group].items() if name not in site[group]]:
                if "area" in entry:
                    entry["area"] += "-twin"
    before, after = Seen(site, parts), Seen(both, parts)
    kept = {key for key in after.numbers() if key in before.numbers() and key[0] != "site"}
    assert kept == {key for key in before.numbers() if key[0] != "site"}
    equal({key: before.numbers()[key] for key in kept}, {key: after.numbers()[key] for key in kept})
    assert {each for each in before.found if each[1] != "site"} <= after.found
    return True


# Fix, then clean


def patched(value, operations):
    """RFC 6902 in a few lines: `add`, `remove`, `replace`, `test` (which only has to hold)."""
    value = copy.deepcopy(value)
    for each in operations:
        steps = [step.replace("~1", "/").replace("~0", "~") for step in each["path"].split("/")[1:]]
        at = value
        for step in steps[:-1]:
            at = at[int(step) if isinstance(at, list) else step]
        last = steps[-1]
        if isinstance(at, list):
            place = len(at) if last == "-" else int(last)
            if each["op"] == "add":
                at.insert(place, each["value"])
                continue
            last = place
        if each["op"] == "remove":
            del at[last]
        elif each["op"] == "test":
            assert at[last] == each["value"]
        else:
            at[last] = each["value"]
    return value


def fix_then_clean(site, parts):
    """A fix that is shown to break nothing: applied, the finding is gone, no error is new, and both opinions agree."""
    state = start(comparing.loaded_of(site, parts), rulebook=RULES, today=DAY)
    before, done = Seen(site, parts), 0
    fails = {each for each in before.found if each[2] == "fail"}
    for advice in advise(state, level="warning", tries=TRIES, most=2):
        fix = next((each for each in advice.fixes if not any("(error)" in one for one in each.introduces)), None)
        if fix is None:
            continue
        fixed = patched(site, fix.patch)
        after = {each for each in Seen(fixed, parts).found if each[2] == "fail"}
        own = (advice.finding.rule, advice.finding.subject)
        assert own not in {each[:2] for each in after}, own
        assert not {each for each in after - fails if each[3] == "error"}, own
        opinion = comparing.naive_facts(fixed, parts)
        if not comparing.too_near(opinion):
            assert comparing.verdicts(opinion)[own[0]].get(own[1]) != "fail", own
            found, _ = comparing.differences(opinion, comparing.engine_facts(fixed, parts))
            assert not found, (own, found[:5])
        done += 1
        if done == 2:
            break
    return done > 0


OLD = ["order_of_the_parts", "units", "camera_names", "supply_names", "twice", "unused_part", "idle_recorder", "waiver",
       "power_run_in_two", "longer_video_never_helps", "longer_power_never_helps", "higher_trim"]  # fmt: skip
PROPERTIES = [
    order_of_the_file, units_everywhere, assumed_written_down, part_files_split, files_on_disk, split_between_recorders,
    twin_beside_it, fix_then_clean, *(getattr(test_metamorphic, name) for name in OLD),
]  # fmt: skip


@pytest.mark.parametrize("holds", PROPERTIES, ids=lambda each: each.__name__)
def test_property(holds, tmp_path):
    told = 0
    for seed in range(200_000, 200_000 + EXAMPLES):
        site, parts = test_metamorphic.case((comparing.rich_case_of, comparing.rich_known_case_of)[seed % 2], seed)
        try:
            if holds is files_on_disk:
                folder = tmp_path / str(seed)
                folder.mkdir()
                told += bool(holds(site, parts, folder))
            else:
                told += bool(holds(site, parts))
        except AssertionError as error:
            raise AssertionError(f"seed {seed}: {error}") from error
    assert told >= EXAMPLES // 3
