"""What must stay the same, or move one way only, when a site is changed in a way that is understood.

4 random sites for each property; 500 with COAXWRIGHT_FULL=1; more properties, and sites with more on them, in
`test_metamorphic_rich`. Each property counts the sites on which it had something to compare, and fails where those are too few.
"""

from __future__ import annotations

import copy
import datetime
import json
import math
import os
from functools import lru_cache

import pytest

from coaxwright.checking import check
from coaxwright.findings import Report
from coaxwright.reporting.formats import Setting
from coaxwright.reporting.json_report import render
from coaxwright.rulebook.loading import load_rulebook

from . import comparing

EXAMPLES = 500 if os.environ.get("COAXWRIGHT_FULL") else 4
DAY = datetime.date(2026, 5, 4)
RULES = load_rulebook()


@lru_cache(maxsize=64)
def case(make, seed):
    """A random site with its parts, made once for all properties; none of them changes it."""
    return make(seed)


_KNOWN = {}


class Seen:
    """Facts by (subject, name), and findings as (rule, subject, kind, level), of one check.

    What a site of `case` comes to as it is, is worked out once: each property compares it with a check of its own.
    """

    def __init__(self, site, parts, loaded=None):
        known = _KNOWN.get((id(site), id(parts))) if loaded is None else None
        if known is not None and known[0] is site and known[1] is parts and known[2] == repr((site, parts)):
            self.__dict__.update(known[3])
            return
        self._look(site, parts, loaded)
        if loaded is None:
            _KNOWN[id(site), id(parts)] = (site, parts, repr((site, parts)), dict(self.__dict__))
            while len(_KNOWN) > 64:
                del _KNOWN[next(iter(_KNOWN))]

    def _look(self, site, parts, loaded):
        report = check(loaded or comparing.loaded_of(site, parts), rulebook=RULES, today=DAY)
        self.facts = {
            (subject, name): value
            for subject, fields in report.facts.items()
            for name, value in fields.items()
            if not isinstance(value, dict)
        }
        self.found = {(each.rule, each.subject, each.kind, each.level) for each in report.findings if not each.waived}
        self.waived = [each for each in report.findings if each.waived]
        self.text = render(Report("0", "sha256:0", (), (report,)), Setting())

    def numbers(self, rename=lambda subject: subject):
        """Facts without words, subjects renamed."""
        return {(rename(s), n): v for (s, n), v in self.facts.items() if not isinstance(v, str)}

    def of(self, name):
        return {subject: value for (subject, each), value in self.facts.items() if each == name}


def slack(key):
    """Share by which a number may differ: limits of alternating networks are known less well."""
    name = key[1].split("_")[0] if isinstance(key, tuple) else ""
    return comparing.LOOSE["margin_night"] if name == "margin" else 1e-7


def equal(one, other):
    assert one.keys() == other.keys()
    for key, value in one.items():
        same = value == other[key]
        if not same and isinstance(value, float):
            same = math.isclose(value, other[key], rel_tol=slack(key), abs_tol=1e-9)
        assert same, (key, value, other[key])


def unchanged(before, after, rename=lambda subject: subject):
    equal(before.numbers(rename), after.numbers())
    assert {(rule, rename(subject), *rest) for rule, subject, *rest in before.found} == after.found


def runs_of(site, use):
    for name, entry in site["cameras"].items():
        for hop in (entry.get(use) or {}).get("over") or ():
            if "length" in hop:
                yield f"cameras/{name}", hop


def metres(hop):
    return float(hop["length"].split()[0])


# The same


def order_of_the_file(site, parts):
    """The order of cameras, recorders and supplies in the file means nothing."""
    other = copy.deepcopy(site)
    for group in ("cameras", "recorders", "supplies", "boxes"):
        other[group] = dict(reversed(other[group].items()))
    unchanged(Seen(site, parts), Seen(other, parts))
    return len(site["cameras"]) > 1


def order_of_the_parts(site, parts):
    """Nor does the order of the catalogue."""
    unchanged(Seen(site, parts), Seen(site, dict(reversed(parts.items()))))
    return True


def units(site, parts):
    """60 m, 6000 cm; 14 days, 2 weeks: one site."""
    other = copy.deepcopy(site)
    changed = 0
    for use in ("video", "power"):
        for _, hop in runs_of(other, use):
            hop["length"] = f"{metres(hop) * 100:g} cm"
            changed += 1
    if "retention" in other:
        other["retention"] = f"{float(other['retention'].split()[0]) / 7!r} weeks"
    unchanged(Seen(site, parts), Seen(other, parts))
    return changed > 0


def camera_names(site, parts):
    """Cameras of other names have the same facts and findings."""
    other = copy.deepcopy(site)
    other["cameras"] = {f"renamed-{name}": entry for name, entry in other["cameras"].items()}
    names = {f"cameras/{name}": f"cameras/renamed-{name}" for name in site["cameras"]}

    def rename(subject):
        head = "/".join(subject.split("/")[:2])
        return names.get(head, head) + subject[len(head) :]

    unchanged(Seen(site, parts), Seen(other, parts), rename)
    return True


def supply_names(site, parts):
    """So have supplies."""
    text = json.dumps(site)
    for name in site["supplies"]:
        text = text.replace(f'"{name}', f'"z{name}')
    before, after = Seen(site, parts), Seen(json.loads(text), parts)
    unchanged(before, after, lambda subject: subject.replace("supplies/", "supplies/z"))
    return bool(before.of("volts"))


def twice(site, parts):
    """The same input gives the same bytes."""
    assert Seen(site, parts).text == Seen(copy.deepcopy(site), copy.deepcopy(parts)).text
    return True


def unused_part(site, parts):
    """A part that nothing names changes nothing."""
    other = {**parts, "tarnwell/never-used": next(each for name, each in parts.items() if "/camera-" in name)}
    assert Seen(site, parts).text == Seen(site, other).text
    return True


def idle_recorder(site, parts):
    """A recorder without cameras changes no fact of anything else."""
    other = copy.deepcopy(site)
    other["recorders"]["idle"] = {"part": site["recorders"]["r1"]["part"]}
    before, after = Seen(site, parts), Seen(other, parts)
    own = {key: each for key, each in after.numbers().items() if not key[0].startswith("recorders/idle")}
    equal(before.numbers(), own)
    assert before.found == {each for each in after.found if not each[1].startswith("recorders/idle")}
    return True


def assumed_written_down(site, parts):
    """Writing the assumed conductor temperature down changes no fact."""
    other = {**site, "assume": {"conductor_temperature": "40 °C", "usable_share": "93 %"}}
    unchanged(Seen(site, parts), Seen(other, parts))
    return True


def waiver(site, parts):
    """A waiver moves one finding and touches nothing else."""
    before = Seen(site, parts)
    fails = sorted(each for each in before.found if each[2] == "fail")
    if not fails:
        return False
    rule, subject, kind, level = fails[0]
    after = Seen({**site, "waivers": [{"rule": rule, "on": subject, "reason": "known"}]}, parts)
    assert before.facts == after.facts
    assert before.found - after.found == {(rule, subject, kind, level)}
    assert after.found <= before.found
    assert {(each.rule, each.subject) for each in after.waived} == {(rule, subject)}
    return True


def power_run_in_two(site, parts):
    """A power run cut in two halves has the same volts."""
    other, cut = copy.deepcopy(site), 0
    for entry in other["cameras"].values():
        way = entry.get("power") or {}
        for hop in way.get("over") or ():
            if "length" in hop:
                hop["length"] = f"{metres(hop) / 2!r} m"
                cut += 1
        if "over" in way:
            way["over"] = [dict(hop) for hop in way["over"] for _ in range(2 if "length" in hop else 1)]
    before, after = Seen(site, parts), Seen(other, parts)
    names = {"volts_day", "volts_night", "amps_night", "margin_night", "ohms_total", "metres_total"}
    whole = {key: each for key, each in before.numbers().items() if key[1] in names and "/over/" not in key[0]}
    equal(whole, {key: each for key, each in after.numbers().items() if key in whole})
    return cut > 0


# One way only


def longer_video_never_helps(site, parts):
    """More cable never loses less, and what failed for loss does not pass."""
    other = copy.deepcopy(site)
    for _, hop in runs_of(other, "video"):
        hop["length"] = f"{metres(hop) + 25} m"
    before, after = Seen(site, parts), Seen(other, parts)
    rule = "cable/loss-beyond-limit"
    assert {each for each in before.found if each[0] == rule and each[2] == "fail"} <= after.found
    seen = 0
    for subject, loss in before.of("loss").items():
        if "/" not in subject.removeprefix("cameras/"):
            assert after.of("loss")[subject] > loss or not list(site_runs(site, subject))
            seen += 1
    return seen > 0


def site_runs(site, subject):
    return [hop for owner, hop in runs_of(site, "video") if owner == subject]


def longer_power_never_helps(site, parts):
    """A longer run never gives its camera more volts."""
    other = copy.deepcopy(site)
    chosen = next((subject for subject, _ in runs_of(other, "power")), None)
    for subject, hop in runs_of(other, "power"):
        if subject == chosen:
            hop["length"] = f"{metres(hop) * 1.5 + 5} m"
    before, after = Seen(site, parts), Seen(other, parts)
    seen = False
    for name in ("volts_day", "volts_night"):
        if chosen in before.of(name) and chosen in after.of(name):  # beside what is not known, no longer at the source
            assert after.of(name)[chosen] <= before.of(name)[chosen] + 1e-9
            seen = True
    return seen


def another_camera_frees_no_disk(site, parts):
    """One more camera on a recorder never makes its disks last longer. Common encoding limits are taken out: sharing one
    limit among more channels of different codecs may well write fewer bits."""
    without = {
        name: {key: each for key, each in part.items() if key != "encodes_total"} for name, part in parts.items()
    }
    model = next((entry for entry in site["cameras"].values() if "video" in entry), None)
    if model is None:
        return False
    extra = {key: each for key, each in copy.deepcopy(model).items() if key in ("part", "set", "record")}
    extra["video"] = {"into": model["video"]["into"], "over": [{"cable": "rg59-copper", "length": "10 m"}]}
    other = {**site, "cameras": {**site["cameras"], "one-more": extra}}
    before, after = Seen(site, without), Seen(other, without)
    seen = False
    for subject, days in before.of("days").items():
        if subject in after.of("days"):
            assert after.of("days")[subject] <= days * (1 + 1e-12)
            seen = True
    for subject, needed in after.of("needed").items():
        assert needed >= before.of("needed").get(subject, 0.0) * (1 - 1e-12)
    return seen


def twice_the_days(site, parts):
    """Days wanted twice as long need twice the bytes; days kept stay."""
    one = {**site, "retention": "50 days"}
    before, after = Seen(one, parts), Seen({**site, "retention": "100 days"}, parts)
    assert before.of("days") == after.of("days")
    needed = before.of("needed")
    equal({key: 2 * each for key, each in needed.items()}, after.of("needed"))
    return any(needed.values())


def another_disk(site, parts):
    """One more disk, without redundancy, never shortens the days."""
    one = copy.deepcopy(site)
    for entry in one["recorders"].values():
        entry.pop("redundancy", None)
        entry.pop("spare_disks", None)
        entry.setdefault("disks", [])
    other = copy.deepcopy(one)
    for entry in other["recorders"].values():
        entry["disks"].append("generic/disk-4tb")
    before, after = Seen(one, parts).of("days"), Seen(other, parts).of("days")
    assert all(after[subject] > days for subject, days in before.items() if "disks" in subject)
    return bool(before)


def higher_trim(site, parts):
    """More volts at a supply are more volts at every camera on it."""
    low, high = copy.deepcopy(site), copy.deepcopy(site)
    for entry, text in [(e, "12 V") for e in low["supplies"].values()] + [
        (e, "13 V") for e in high["supplies"].values()
    ]:
        entry["trim"] = text
    before, after = Seen(low, parts), Seen(high, parts)
    volts = before.of("volts_night")
    assert all(after.of("volts_night")[subject] >= each for subject, each in volts.items())
    margins = before.of("margin_night")
    assert all(after.of("margin_night")[subject] >= each * (1 - 1e-9) for subject, each in margins.items())
    return bool(volts)


PROPERTIES = [
    order_of_the_file, order_of_the_parts, units, camera_names, supply_names, twice, unused_part, idle_recorder,
    assumed_written_down, waiver, power_run_in_two, longer_video_never_helps, longer_power_never_helps,
    another_camera_frees_no_disk, twice_the_days, another_disk, higher_trim,
]  # fmt: skip

NEED_RECORDS = (another_camera_frees_no_disk, twice_the_days, another_disk)


@pytest.mark.parametrize("holds", PROPERTIES, ids=lambda each: each.__name__)
def test_property(holds):
    told = 0
    make = comparing.known_case_of if holds in NEED_RECORDS else comparing.case_of
    for seed in range(100_000, 100_000 + EXAMPLES):
        site, parts = case(make, seed)
        try:
            told += bool(holds(site, parts))
        except AssertionError as error:
            raise AssertionError(f"seed {seed}: {error}") from error
    assert told >= max(1, EXAMPLES // 3)
