"""Facts of views, upkeep of disks and places: against published examples, and each working computes again.

Sources: IEC 62676-4:2014 clause 6.7 (from memory), geometrical optics, inverse square law, SNIA Disk Data Format.
"""

from __future__ import annotations

import re
from typing import Any

import pytest

from coaxwright.facts.binding import Facts, compute_facts
from coaxwright.facts.place.view_binding import class_density
from coaxwright.facts.place.view_working import VIEW_WORKINGS
from coaxwright.model.rules import Case
from coaxwright.rulebook.cases import case_site, load_bases
from coaxwright.topology.wiring import build_topology

SITE = {
    "growth": "25 %",
    "recorders": {
        "rec1": {"redundancy": "raid5", "erase_after": "12 days", "disks": ["tarnwell/case-disk-v"] * 2 + ["generic/disk-10tb"]}
    },
    "cameras": {
        "c1": {
            "area": "yard",
            "place": {"height": "4.6 m", "sun": True},
            "wants": {
                "see": "identify", "at": "4 m", "night": True, "near": "1 m",
                "plate": {"character": "75 mm", "angle": "20 deg", "speed": 36, "crossing": "25 deg"},
                "face": {"pixels": 20, "angle": "20 deg"},
            },
            "lens": {"shutter": 0.002},
            "record": {"bitrate": "10 Mb/s", "schedule": "motion"},
        }
    },
}  # fmt: skip
PARTS = {"tarnwell/case-recorder-v": {"bays": 8, "redundancy": ["raid5"]}}
SCALES = {"lost": 1e-12, "usable_most": 1e-12}
SUBJECTS = {"area": "areas/yard", "view": "cameras/c1", "exposure": "cameras/c1", "disk_group": "recorders/rec1/disks"}


def facts(site: dict[str, Any], parts: dict[str, Any] | None = None) -> Facts:
    loaded = case_site(load_bases(), Case(name="view", base="seeing", site=site, parts=parts or {}))
    return compute_facts(loaded, build_topology(loaded))


def view(**wants: Any) -> Any:
    found = facts({"cameras": {"c1": {"wants": {"night": None, **wants}}}}).sheet("cameras/c1", "view")
    assert found is not None
    return found


@pytest.mark.parametrize(("kind", "field"), sorted(VIEW_WORKINGS))
def test_the_working_ends_in_the_fact(kind: str, field: str) -> None:
    found = facts(SITE, PARTS)
    sheet = found.sheet(SUBJECTS[kind], kind)
    assert sheet is not None
    first = found.working(sheet, field)[0]
    last = re.findall(r"-?\d+(?:\.\d+)?", re.sub(r"\b(px/m|columns|TB are not used|TB|m|h|d|K|deg\w*)$", "", first))[-1]
    assert float(last) == pytest.approx(sheet.known(field) * SCALES.get(field, 1.0), rel=2e-4)


@pytest.mark.parametrize(
    ("see", "metres"), [("monitor", 128.0), ("detect", 64.0), ("observe", 25.6), ("recognise", 12.8), ("identify", 6.4)]
)
def test_the_class_ends_where_the_identity_says(see: str, metres: float) -> None:
    """A person of 1.6 m fills 5, 10, 25, 50, 100 % of 400 lines; 1920 columns behind 4.8 mm and 4 mm are 1600 / D."""
    assert view(see=see, at="3 m").farthest == pytest.approx(metres)
    percent = {"monitor": 5, "detect": 10, "observe": 25, "recognise": 50, "identify": 100}[see]
    assert class_density(see) == pytest.approx(percent / 100 * 400 / 1.6)


def test_published_scene_width() -> None:
    """Worked example of an optics article (common practice): 16 m, 1/3 inch (4.8 mm), 35 mm: 2.19 m."""
    site = {"cameras": {"c1": {"wants": {"see": None, "at": "16 m"}, "lens": {"focal": 35}}}}
    parts = {"tarnwell/case-eye": {"optics": {"focal_min": "5 mm", "focal_max": "50 mm"}}}
    sheet = facts(site, parts).sheet("cameras/c1", "view")
    assert sheet is not None
    assert sheet.known("width") == pytest.approx(2.19, abs=0.005)


def test_no_sheet_where_nobody_wants_anything() -> None:
    found = facts({"cameras": {"c1": {"wants": None}}})
    for kind in ("view", "exposure", "laying", "area"):
        assert found.by_kind(kind) == []


def test_no_such_class() -> None:
    assert class_density("identity") is None
    assert view(see="identity", at="3 m").class_known is False


def test_figures_of_the_second_edition_say_that_others_quote_them() -> None:
    """Nobody here has seen the standard itself: two public pages give its figures."""
    found = facts({"cameras": {"c1": {"wants": {"see": "validate"}}}})
    sheet = found.sheet("cameras/c1", "view")
    assert sheet is not None
    assert any("IEC 62676-4:2025" in line and "secondary" in line for line in found.working(sheet, "density_wanted"))


def test_a_height_that_nobody_wrote_is_said_to_be_assumed() -> None:
    used = {each.assumption.name for each in facts({}).assumed}
    assert "line-of-sight" in used
    used = {each.assumption.name for each in facts({"cameras": {"c1": {"place": {"height": "4 m"}}}}).assumed}
    assert "target-height" in used
    assert "line-of-sight" not in used
