"""Edits of batteries, protective devices, trunks and powered ports, judged again by component: as a full check does."""

from __future__ import annotations

import datetime
from pathlib import Path

import pytest

from coaxwright.checking import check, load_site
from coaxwright.findings import Report
from coaxwright.fixes.rejudging import start
from coaxwright.reading.site_reader import with_value
from coaxwright.reporting.formats import Setting
from coaxwright.reporting.json_report import render

EXAMPLE = Path(__file__).resolve().parents[2] / "examples" / "salt-works" / "saltholm-flats.site.yaml"
RECORDER_POWER = {"from": "west/3", "over": [{"cable": "dc-1mm2", "length": "9 m"}]}
DAY = datetime.date(2026, 5, 4)
EDITS = {
    "battery": ("replace", "/supplies/west/battery", "60 Ah"),
    "no battery": ("remove", "/supplies/west/battery", None),
    "battery elsewhere": ("add", "/supplies/east/battery", "12 Ah"),
    "fuse": ("replace", "/junctions/w1/protective_device", "2 A"),
    "trunk": ("replace", "/junctions/e2/power/over/0/cable", "dc-4mm2-burial"),
    "tap": ("remove", "/cameras/west-3/power/over/0/length", None),
    "moved": ("replace", "/cameras/east-6/power/from", "w5"),
    "port": ("replace", "/cameras/office/power/from", "office/6"),
    "off the network": ("replace", "/cameras/office/power/from", "west/2"),
    "a recorder on it": ("add", "/recorders/pump-house/power", RECORDER_POWER),
    "switch": ("replace", "/switches/office/part", "hollin/switch-8-poe"),
}


def _text(report) -> str:
    return render(Report("0", "sha256:0", (), (report,)), Setting())


def _without_what_reads_the_whole_site(value):
    """The site without its network, its UPS and its hours wanted without mains: each has every edit checked in full."""
    value = {key: each for key, each in value.items() if key not in ("switches", "ups")}
    value["cameras"] = {key: each for key, each in value["cameras"].items() if key != "office"}
    for group in ("recorders", "supplies"):
        entries = value[group].items()
        value[group] = {name: {key: it for key, it in one.items() if key not in ("mains", "autonomy")} for name, one in entries}
    return value


@pytest.mark.parametrize("network", [True, False])
@pytest.mark.parametrize("name", EDITS)
def test_an_edit_equals_a_full_check(name, network):
    loaded = load_site(EXAMPLE)
    if not network:
        value = _without_what_reads_the_whole_site(loaded.document.value)
        loaded = with_value(loaded, value)
        state = start(load_site(EXAMPLE), today=DAY).with_value(value).after
    else:
        state = start(loaded, today=DAY)
    action, path, value = EDITS[name]
    if not network and "office" in path:
        pytest.skip("the edit is about a switch that this site has not")
    trial = state.after([{"op": action, "path": path, **({} if value is None else {"value": value})}])
    full = check(with_value(loaded, trial.after.value), today=DAY)
    assert _text(trial.after.report()) == _text(full)
    assert trial.full is network
