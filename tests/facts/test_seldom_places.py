"""Seldom ways through the facts of views, areas, screens and assumptions; each figure is worked out beside its check."""

from __future__ import annotations

import math
from typing import Any

import pytest

from coaxwright.facts.assumed import FROM_SITE, assumable
from coaxwright.model.site import Assumptions

from .test_seldom_pictures import based, sheet

EYE = "tarnwell/case-eye"
WIDE = {"focal_min": "4 mm", "focal_max": "4 mm", "view_angle_max": "62 deg", "sensor_width": None, "sensor_height": None}


def test_views_along_the_line_of_sight() -> None:
    found = based("seeing", {})
    view = sheet(found, "cameras/c1", "view")
    assert view.slant == view.distance == 5.0
    first, assumed, source = found.working(view, "slant")
    row = found.context.ledger.values["line-of-sight"]
    assert first == "slant = distance = 5 m"
    assert assumed == f"assumed: {row.about}"
    assert source == f"source: {row.source}"


def test_views_by_the_angle_that_the_part_states() -> None:
    """Geometry: a view of 62 degrees is 2 x 5 m x tan(31 deg) = 6.0086 m wide at 5 m."""
    found = based("seeing", {}, {EYE: {"optics": WIDE}})
    view = sheet(found, "cameras/c1", "view")
    assert view.angle == pytest.approx(62.0)
    assert view.width == pytest.approx(2 * 5 * math.tan(math.radians(31)))
    assert found.working(view, "width")[0] == "width = spread x slant = 1.20172 x 5 m = 6.0086 m"
    assert "spread = 2 x tan(stated angle / 2) = 2 x tan(62 deg / 2) = 1.2017" in found.working(view, "width")


def test_views_of_a_lens_without_f_number_leave_the_light_open() -> None:
    view = sheet(based("seeing", {}, {EYE: {"optics": {"f_number": None}}}), "cameras/c1", "view")
    assert view.missing("light_gain") == view.missing("f_number") == (f"parts/{EYE}/optics/f_number",)


def test_views_of_what_is_not_known_to_be_recorded() -> None:
    """No encoding row is stated: width and angle are known, density is not."""
    found = based("seeing", {}, {"tarnwell/case-recorder-v": {"encodes": None}})
    view = sheet(found, "cameras/c1", "view")
    lacking = sheet(found, "cameras/c1", "camera").missing("recorded_width")
    assert lacking
    for field in ("columns", "columns_full", "halved", "density", "density_full", "farthest"):
        assert view.known(field) is None
        assert view.missing(field) == lacking
    assert view.width == pytest.approx(5 * 4.8 / 4)


def test_views_of_network_cameras_are_never_halved() -> None:
    """4.8 mm behind 4 mm at 5 m: 6 m wide; 1920 columns over it are 320 px/m."""
    optics = {"focal_min": "4 mm", "focal_max": "4 mm", "sensor_width": "4.8 mm"}
    wants = {"see": "identify", "at": "5 m"}
    found = based("hybrid", {"cameras": {"n1": {"wants": wants}}}, {"tarnwell/case-net": {"optics": optics}})
    view = sheet(found, "cameras/n1", "view")
    assert (view.columns, view.columns_full, view.halved) == (1920, 1920, False)
    assert view.density == view.density_full == pytest.approx(320.0)


def test_areas_fed_by_a_switch() -> None:
    """Two cameras of an area on one switch with power hang on one device; beside a supply's output they are two."""
    parts = {
        "hollin/case-switch": {"poe_ports": 4, "poe_watts": "60 W", "poe_class_port": 4},
        "tarnwell/case-net": {"power": {"kind": "poe", "volts": "48 V", "volts_min": None, "volts_max": None, "poe_class": 2}},
    }
    fed = {"power": {"from": "sw1/1", "over": [{"cable": "cat5e", "length": "50 m"}]}, "area": "yard"}
    also = {"power": {"from": "sw1/2", "over": [{"cable": "cat5e", "length": "20 m"}]}, "area": "yard"}
    one = sheet(based("hybrid", {"cameras": {"n1": fed, "n2": also}}, parts), "areas/yard")
    assert (one.feeders, one.feeder, one.camera_count) == (1, "sw1", 2)
    two = sheet(based("hybrid", {"cameras": {"n1": fed, "n2": also, "c1": {"area": "yard"}}}, parts), "areas/yard")
    assert two.feeders == 2
    # They share the switch and its cable to the recorder. Beside a camera on a supply and coax only the recorder is shared.
    assert (one.shared_parts, one.shared_part) == (2, "switches/sw1")
    assert (two.shared_parts, two.shared_part) == (0, "")


def test_an_area_on_two_outputs_of_one_supply_shares_that_supply() -> None:
    """By hand: outputs 1 and 2 of psu1; with a junction behind each, still psu1 alone; through one junction all before it."""
    areas = {"c1": {"area": "slip"}, "c2": {"area": "slip"}}
    assert _shared({"cameras": areas}) == (1, "supplies/psu1")
    trunk = {"j1": {"power": {"from": "psu1/1", "over": [{"cable": "dc-1.5mm2", "length": "5 m"}]}}}
    ends = {name: {"area": "slip", "power": {"from": "j1", "over": []}} for name in areas}
    # Supply, output, the run to the junction, and the junction.
    assert _shared({"junctions": trunk, "cameras": ends}) == (4, "supplies/psu1")
    assert _shared({"junctions": {"j1": {}}, "cameras": ends}) == (1, "junctions/j1")
    # Nobody wrote what feeds the junction: it may be psu1 as well.
    one = {"c1": ends["c1"], "c2": {"area": "slip"}}
    found = sheet(based("two-makers", {"junctions": {"j1": {}}, "cameras": one}), "areas/slip")
    assert found.known("shared_parts") is None
    assert found.missing("shared_parts") == ("junctions/j1/power",)


def _shared(site: dict[str, Any]) -> tuple[Any, Any]:
    found = sheet(based("two-makers", site), "areas/slip")
    return found.shared_parts, found.shared_part


def test_what_the_site_assumes_replaces_the_table_and_nothing_else() -> None:
    table = assumable(None)
    written = assumable(Assumptions.model_validate({"bits_per_pixel": 0.1}))
    changed = {name for name in table if table[name] != written[name]}
    assert changed == {"bits-per-pixel-h264", "bits-per-pixel-h265"}
    assert all(written[name].source == FROM_SITE for name in changed)
    assert assumable(Assumptions.model_validate({"bits_per_pixel": None})) == table


def test_a_switch_with_nothing_behind_it_says_so() -> None:
    extra: dict[str, Any] = {"part": "hollin/case-switch", "into": "sw1/3", "over": [{"cable": "cat5e", "length": "5 m"}]}
    found = based("hybrid", {"switches": {"sw2": extra}})
    one = sheet(found, "switches/sw2", "switch")
    assert one.load == 0.0
    assert found.working(one, "load") == ("no network camera behind it",)
