"""Each key of the base sites taken away in turn: what is then not known says so, and asks for what was taken.

By default every third key. Outside reference: the file itself. What a key gave can only be given back by that key, by
what it stands in, or by what stands in it.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Mapping
from typing import Any

import pytest
from tests.conftest import FULL

from coaxwright.errors import Refusal
from coaxwright.facts.binding import Facts, compute_facts
from coaxwright.facts.sheets import SHEETS
from coaxwright.model.rules import Case
from coaxwright.rulebook.cases import case_site, load_bases, merged
from coaxwright.topology.wiring import build_topology

Path = tuple[str, ...]
# What the bases leave out, laid over them: arrays that are rebuilt, growth, a battery, an amplifier, a trunk of coax runs.
RICHER: dict[str, dict[str, Any]] = {
    "hybrid": {
        "site": {
            "growth": "25 %",
            "recorders": {"rec1": {"redundancy": "raid1", "disks": ["tarnwell/case-disk-h"] * 2, "erase_after": "20 days"}},
            "supplies": {"psu1": {"battery": "20 Ah", "autonomy": "2 h"}},
            "boxes": {"amp1": {"part": "hollin/amp", "power": {"from": "psu1/5"}}},
            "cameras": {
                "c1": {"video": {"over": [{"cable": "rg59-copper", "length": "40 m"}, {"box": "amp1"}]},
                       "wants": {"talk_back": True, "see": "identify", "at": "5 m"}},
                "c2": {"sound": {"into": "rec1/audio1", "over": [{"cable": "cat5e", "length": "30 m"}]}},
            },
        },
        "parts": {
            "hollin/amp": {"kind": "box", "source": "s", "does": "amplifier", "gain": "10 dB", "gain_max_input": "3 dB",
                           "families": ["tvi"], "frequency_max": "100 MHz", "reach": "300 m"},
            "tarnwell/case-hybrid": {"redundancy": ["raid1"]},
            "tarnwell/case-dome": {"optics": {"focal_min": "4 mm", "focal_max": "4 mm", "sensor_width": "4.8 mm",
                                              "f_number": 2.0}},
        },
    }
}  # fmt: skip
# Fields without a meaning where the thing itself is absent (no talk-back is wanted, a cable is no box, a site has no
# network): unset, and nobody is asked for them.
NOT_ASKED = {
    ("camera", name)
    for name in ("label", "line_level", "link", "sends_sound", "takes_control", "takes_firmware", "talk_back_broken_by",
                 "talk_back_cause", "talk_back_works")
} | {("exposure", "arrested"), ("exposure", "camera"), ("feed", "injected"), ("feed", "junction"),
     ("feed", "volts_battery")} | {
    ("hop", name)
    for name in ("category", "does", "families", "family", "family_passed", "frequency_covered", "frequency_max", "loss_before",
                 "loss_before_least", "loss_of_type", "medium", "path_metres", "reach", "top_frequency")
} | {
    ("output", "amps_start"), ("run", "amps_day"), ("run", "amps_night"), ("run", "amps_protective"), ("run", "amps_opening"),
    ("supply", "amps_start"), ("supply", "battery"),
    ("supply", "volts_float"), ("supply", "float_least"),
    *(("run", name) for name in ("air", "amps_basis", "device_max", "temperature")),
} | {
    ("recorder", name)
    for name in ("decode_needed", "decode_total", "incoming", "incoming_max", "network_cameras_max", "outgoing", "outgoing_max",
                 "uplink", "view_rate", "viewed", "viewers_max")
}  # fmt: skip
# What a recorder says of all its channels can be said of each camera instead; a setting stood for the coldest air.
SAID_ELSEWHERE = {"record": "second_stream", "second_stream": "second_stream", "setting": "ambient_min"}


ALTERNATING: dict[str, dict[str, Any]] = {
    "site": {"supplies": {"psu1": {"trim": None}}},
    "parts": {
        "tarnwell/case-supply": {"gives": "ac", "volts": "24 V", "trim_min": None, "trim_max": None},
        "tarnwell/case-camera": {"power": {"kind": "ac", "volts": "24 V", "volts_min": "20 V", "volts_max": "30 V",
                                           "power_factor": 0.6}},
    },
}  # fmt: skip


def _richer(base: Any, more: Mapping[str, Any]) -> Any:
    return base.model_copy(update={name: merged(getattr(base, name), each) for name, each in more.items()})


BASES = {name: _richer(base, RICHER.get(name, {})) for name, base in load_bases().items()}
BASES["alternating"] = _richer(BASES["one-camera"], ALTERNATING)


def _paths(plain: Mapping[str, Any], before: Path = ()) -> Iterator[Path]:
    for key, value in plain.items():
        yield (*before, key)
        if isinstance(value, dict):
            yield from _paths(value, (*before, key))


def _without(path: Path) -> dict[str, Any]:
    change: Any = None
    for key in reversed(path):
        change = {key: change}
    return dict(change)


def _gaps(base: str) -> Iterator[tuple[Path, Facts]]:
    """Each key of a base, and the facts without it; keys that a site cannot be read without are left out."""
    plain = BASES[base]
    site = [(path, {"site": _without(path)}) for path in _paths(plain.site) if len(path) >= 3]
    parts = [(("parts", *path), {"parts": _without(path)}) for path in _paths(plain.parts) if len(path) >= 2]
    for path, change in [*site, *parts][:: 1 if FULL else 3]:
        try:
            yield path, _facts(base, **change)
        except Refusal:
            continue


def _facts(base: str, **change: Any) -> Facts:
    loaded = case_site(BASES, Case(name="gap", base=base, **change))
    return compute_facts(loaded, build_topology(loaded))


def _unknown(facts: Facts) -> Iterator[tuple[Any, str]]:
    for kind in SHEETS:
        for sheet in facts.by_kind(kind) if kind != "path" else ():
            for entry in dataclasses.fields(sheet):
                if sheet.known(entry.name) is None:
                    yield sheet, entry.name


def _asked(sheet: Any, name: str) -> bool:
    """Whether somebody has to be asked for a field that is not known; the crest is one of alternating current only."""
    if (sheet.kind, name) == ("feed", "volts_crest_night"):
        source = sheet.known("source")
        return source is not None and source.known("gives") == "ac" and sheet.known("kinds_meet") is not False
    return (sheet.kind, name) not in NOT_ASKED


def _gives(wanted: str, taken: Path) -> bool:
    gone = "/".join(taken)
    return (
        wanted.startswith(gone) or gone.startswith(wanted) or wanted.endswith(f"/{SAID_ELSEWHERE.get(taken[-1], gone)}")
    )


@pytest.mark.parametrize("base", list(BASES))
def test_what_is_not_known_says_so_and_asks_for_what_was_taken(base: str) -> None:
    before = _facts(base)
    known = {(each.kind, each.subject, name) for kind in SHEETS if kind != "path" for each in before.by_kind(kind)
             for name in (entry.name for entry in dataclasses.fields(each)) if each.known(name) is not None}  # fmt: skip
    silent, wrong, asked = [], [], 0
    for taken, facts in _gaps(base):
        for sheet, name in _unknown(facts):
            at = (sheet.kind, sheet.subject, name)
            if name not in getattr(sheet, "absent", {}):
                silent += [(taken, at)] if _asked(sheet, name) else []
            elif at in known:
                asked += 1
                wrong += (
                    []
                    if any(_gives(each, taken) for each in sheet.missing(name))
                    else [(taken, at, sheet.missing(name))]
                )
    assert silent == []
    assert wrong == []
    assert asked > (100 if FULL else 30)
