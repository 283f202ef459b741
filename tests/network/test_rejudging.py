"""Edits of a site with networks, serial lines and jackets: judging again gives what a full check gives.

The full check of the edited text is the reference.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable
from typing import Any

import pytest

from coaxwright.checking import check
from coaxwright.findings import Report
from coaxwright.fixes.rejudging import start
from coaxwright.reading.site_reader import with_value
from coaxwright.reporting.formats import Setting
from coaxwright.reporting.json_report import render

DAY = datetime.date(2026, 5, 4)
N1, C1 = "/cameras/n1", "/cameras/c1"
HYBRID = [
    [{"op": "replace", "path": f"{N1}/network_address", "value": "10.20.0.12"}],
    [{"op": "replace", "path": f"{N1}/network/into", "value": "sw1/2"}],
    [{"op": "replace", "path": f"{N1}/network/over/0/length", "value": "140 m"}],
    [{"op": "remove", "path": f"{N1}/network/recorder"}],
    [{"op": "remove", "path": N1}],
    [{"op": "replace", "path": "/switches/sw1/into", "value": "rec1/net2"}],
    [{"op": "replace", "path": "/monitors/m1/from", "value": "rec1/vga"}],
    [{"op": "replace", "path": f"{C1}/control/speed", "value": "2400 baud"}],
    [{"op": "replace", "path": "/recorders/rec1/viewed", "value": 20}],
    [{"op": "add", "path": f"{C1}/video/over/0/sheath", "value": "trunk"}],
    [{"op": "replace", "path": f"{C1}/part", "value": "tarnwell/case-net"},
     {"op": "remove", "path": f"{C1}/video"}, {"op": "remove", "path": f"{C1}/set"},
     {"op": "add", "path": f"{C1}/network", "value": {"into": "sw1/3", "recorder": "rec1"}}],
]  # fmt: skip
PLAIN = [
    [{"op": "add", "path": "/cameras/c1/network_address", "value": "10.0.0.300"}],
    [{"op": "add", "path": "/cameras/c1/video/over/0/sheath", "value": "trunk"}],
    [{"op": "add", "path": "/cameras/c1/control",
      "value": {"into": "rec1/rs485", "address": 1, "over": [{"cable": "cat5e", "length": "1300 m"}]}}],
    [{"op": "add", "path": "/recorders/rec1/viewers", "value": 20}],
]  # fmt: skip


def as_text(report: Any) -> str:
    return render(Report("0", "sha256:0", (), (report,)), Setting())


@pytest.mark.parametrize(
    ("base", "patch"), [*(("hybrid", each) for each in HYBRID), *(("two-makers", each) for each in PLAIN)]
)
def test_an_edit_equals_a_full_check(base: str, patch: Any, hybrid: Callable[..., Any]) -> None:
    state = start(hybrid(base), today=DAY)
    before = as_text(state.report())
    trial = state.after(patch)
    assert as_text(trial.after.report()) == as_text(check(with_value(state.loaded, trial.after.value), today=DAY))
    assert as_text(trial.after.report()) != before
    back = trial.after.with_value(state.value)
    assert as_text(back.after.report()) == before


def test_a_site_without_networks_is_judged_by_component(hybrid: Callable[..., Any]) -> None:
    """The rules about networks must not make every edit a full check."""
    state = start(hybrid("two-makers"), today=DAY)
    assert state.basis.local
    assert not state.after([{"op": "replace", "path": "/cameras/c1/video/over/0/length", "value": "400 m"}]).full
    assert not state.after(PLAIN[2]).full
    assert state.after(PLAIN[0]).full
    assert start(hybrid(), today=DAY).after(HYBRID[0]).full
