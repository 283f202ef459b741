"""Rules about a recorder name the cameras that decide: a person has to know where to go with the ladder."""

from __future__ import annotations

from typing import Any

import pytest

from coaxwright.checking import check
from coaxwright.model.rules import Case
from coaxwright.rulebook.cases import case_site, load_bases

SLOW = {"tarnwell/case-recorder-5": {"encodes_total": "100 Mpx/s"}}
THIRTY = {"cameras": {"c2": {"set": {"mode": "1920x1080@30"}}}}
ALL_THREE = {
    "cameras": {
        "c2": {"set": {"mode": "2592x1944@20"}},
        "c3": {
            "part": "fennick/case-turret",
            "set": {"family": "tvi", "mode": "1920x1080@30"},
            "video": {"into": "rec1/3", "over": [{"cable": "rg59-copper", "length": "30 m"}]},
        },
    }
}


@pytest.mark.parametrize(
    ("rule", "site", "parts", "named"),
    [
        # ITU-R BT.470: 25 frames a second in 625-line systems; the camera at 30 is the odd one
        ("signal/frame-families-mixed", THIRTY, {}, "decided by: cameras/c2"),
        ("signal/frame-families-mixed", {**THIRTY, "video_rate": 30}, {}, "decided by: cameras/c1"),
        # common practice: 20 frames a second belong to neither family
        ("signal/frame-families-mixed", ALL_THREE, {}, "decided by: cameras/c3"),
        # 50 Mpx/s for each: c1 gets 50000000 / (2592 x 1944) = 9.9 of 12 fps wanted; of c2 none is wanted
        ("picture/shared-budget-below-wanted", {}, SLOW, "decided by: cameras/c1"),
    ],
)
def test_the_cameras_that_decide_are_named(rule: str, site: dict[str, Any], parts: dict[str, Any], named: str) -> None:
    case = Case(name="named", base="two-makers", site=site, parts=parts)
    report = check(case_site(load_bases(), case))
    finding = next(each for each in report.findings if each.rule == rule)
    assert named in finding.working
