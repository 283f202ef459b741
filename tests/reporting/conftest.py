"""Reports made by hand, so that the formats are tested without the checker."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from coaxwright.errors import Problem, Span
from coaxwright.findings import (
    Assumed,
    Finding,
    Fix,
    Report,
    RuleInfo,
    SiteReport,
    Source,
    Summary,
    Waived,
)

PRESS = Path(__file__).resolve().parents[2] / "examples" / "cider-press"
NAME = "quill-orchard.site.yaml"
SITE_TEXT = """site: Heron quay boathouse
cameras:
  slipway:
    power: {from: psu1/1, over: [{cable: dc-0.75mm2, length: 85 m}]}
  quay:
    power: {from: psu1/2, over: [{cable: dc-0.75mm2}]}
  船着場:
\tx: \U0001f6a4 {from: psu1/3}
"""

IEC = Source("IEC 60228", "table 1", None, "conductor resistance")


def finding(**changes: Any) -> Finding:
    made = Finding(
        rule="power/undervoltage",
        title="Camera falls below its minimum supply voltage at night load",
        level="error",
        kind="fail",
        subject="cameras/slipway",
        pointer="/cameras/slipway/power",
        file="heron.site.yaml",
        span=Span(4, 12, 4, 69),
        message="slipway gets 10.04 V at night; it needs at least 10.8 V.",
        why="Lamps and heaters come on together after dark.",
        working=("12.6 V at psu1 less 2.56 V lost in 85 m of dc-0.75mm2",),
        margin=-0.0704,
        values={"feed.volts_night": 10.04},
        sources=(IEC,),
        caution="Work on supplies is for a competent person under local wiring rules.",
        fixes=(
            Fix("1.5 mm2 instead of 0.75 mm2", ({"op": "replace", "path": "/a", "value": "b"},), 12.5, "EUR",
                ("power/undervoltage",), (), proven=True),
            Fix("raise the trim of psu1"),
        ),
    )  # fmt: skip
    return replace(made, **changes)


def report(*found: Finding, unread: tuple[Problem, ...] = (), **changes: Any) -> Report:
    """A report of one site whose counts fit what was found, with 7 passed and 3 not applicable besides."""
    counts = dict.fromkeys(("error", "warning", "note", "open", "waived", "fault"), 0)
    for each in found:
        counts["waived" if each.waived else each.level if each.kind == "fail" else each.kind] += 1
    site = SiteReport(
        site="Heron quay boathouse",
        file="heron.site.yaml",
        text=SITE_TEXT,
        summary=Summary(**counts, passed=7, not_applicable=3),
        findings=tuple(found),
        assumed=(Assumed("conductor temperature", "60 degC", "common practice", 12),),
        facts={"cameras/slipway": {"volts_night": 10.04}},
    )
    rules = tuple(
        RuleInfo(name, name.partition("/")[0], "Title", "error", "Why it is.", (IEC,), "Mind the mains.", 4)
        for name in sorted({each.rule for each in found} | {"power/undervoltage"})
    )
    return Report("0.1.0", "sha256:00", rules, (replace(site, **changes),), unread)


def all_kinds() -> tuple[Finding, ...]:
    return (
        finding(),
        finding(rule="cable/reach", level="warning", margin=-0.2, message="Too far.", fixes=()),
        finding(rule="place/label", level="note", margin=None, span=None, caution=None),
        finding(kind="open", subject="cameras/quay", span=Span(6, 5),
                missing=("cameras/quay/power/over/0/length",), message="length not given"),
        finding(subject="cameras/gate", waived=Waived("riser cannot be re-pulled", "2027-06-01", "J. Alder")),
        finding(rule="sound/level", kind="fault", message="division by zero in `margin`"),
    )  # fmt: skip


@pytest.fixture
def press(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The site file of a copy of the cider press, in whose folder the test runs."""
    shutil.copytree(PRESS, tmp_path / "press")
    monkeypatch.chdir(tmp_path / "press")
    return tmp_path / "press" / NAME


@pytest.fixture
def make_finding() -> Callable[..., Finding]:
    return finding


@pytest.fixture
def make_report() -> Callable[..., Report]:
    return report


@pytest.fixture
def every_kind() -> Report:
    return report(*all_kinds())
