"""Focus at a lens's full opening, faces, and what a lamp lights, against what is published outside the project.

Outside: Greenleaf, Photographic Optics (1950), the equations of depth of field, by two worked examples of public pages
(50 mm, F8, 0.02 mm: 15625 mm; 35 mm, F11, 0.03 mm: 3712.12 mm, both without the focal length itself); a ray traced through a thin
lens by 1/f = 1/a + 1/b; Dodgson, Proc. SPIE 5291 (63 mm between the eyes), by published pairs of density and eyes.
"""

from __future__ import annotations

from typing import Any

import pytest

from coaxwright.checking import facts_of
from coaxwright.model.rules import Case
from coaxwright.rulebook.cases import case_site, load_bases


def view(camera: dict[str, Any], optics: dict[str, Any] | None = None) -> Any:
    parts = {"tarnwell/case-eye": {"optics": optics or {}}}
    loaded = case_site(load_bases(), Case(name="one", base="seeing", site={"cameras": {"c1": camera}}, parts=parts))
    (found,) = facts_of(loaded).by_kind("view")
    return found


@pytest.mark.parametrize(("focal", "number", "confusion", "published"), [(50, 8, 0.02, 15625), (35, 11, 0.03, 3712.12)])
def test_hyperfocal_distances_of_published_examples(focal: float, number: float, confusion: float, published: float) -> None:
    # 1920 columns of the confusion's width are the sensor.
    optics = {"focal_min": f"{focal} mm", "focal_max": f"{focal} mm", "f_number": number}
    optics["sensor_width"] = f"{1920 * confusion} mm"
    found = view({"lens": {"focus": "5 m"}}, optics)
    assert found.hyperfocal * 1000 - focal == pytest.approx(published, abs=0.005)


def spread(focal: float, number: float, focused: float, at: float) -> float:
    """Width of a point's image in mm by tracing a ray from the rim of the lens: 1/f = 1/a + 1/b."""
    film, image = (1 / (1 / focal - 1 / each) for each in (focused, at))
    return focal / number * abs(film - image) / image


@pytest.mark.parametrize(("focal", "number", "focus", "at"), [(4, 2.0, 2.0, 7.0), (12, 1.6, 10.0, 4.0), (25, 1.8, 20.0, 60.0)])
def test_a_point_off_the_focus_is_spread(focal: float, number: float, focus: float, at: float) -> None:
    optics = {"focal_min": f"{focal} mm", "focal_max": f"{focal} mm", "f_number": number}
    found = view({"lens": {"focus": f"{focus} m"}, "wants": {"at": f"{at} m"}}, optics)
    assert found.focus_spread == pytest.approx(spread(focal, number, focus * 1000, at * 1000) / 0.0025, rel=1e-9)


@pytest.mark.parametrize(("at", "sharp"), [(7.6, 1.0), (14.8, 1.0), (6.0, 2.1), (30.0, 2.1)])
def test_published_depth_of_field_of_twelve_millimetres(at: float, sharp: float) -> None:
    # 12 mm at F1.6 and 2.9 um focused on 10 m: H = 31 m, sharp from 7.6 to 14.8 m.
    optics = {"focal_min": "12 mm", "focal_max": "12 mm", "f_number": 1.6, "sensor_width": f"{1920 * 0.0029} mm"}
    found = view({"lens": {"focus": "10 m"}, "wants": {"at": f"{at} m"}}, optics)
    assert found.hyperfocal == pytest.approx(31, abs=0.1)
    assert found.focus_spread == pytest.approx(sharp, rel=0.02)


@pytest.mark.parametrize(("focal", "near", "far"), [(4, 0.5, 5.0), (8, 2.0, 30.0), (25, 10.0, 20.0)])
def test_best_focus_spreads_both_ends_alike(focal: float, near: float, far: float) -> None:
    optics = {"focal_min": f"{focal} mm", "focal_max": f"{focal} mm"}
    found = view({"wants": {"at": f"{far} m", "near": f"{near} m"}}, optics)
    ends = [spread(focal, 2.0, found.focus_best * 1000, each * 1000) / 0.0025 for each in (near, far)]
    assert ends == pytest.approx([found.focus_blur] * 2, rel=1e-9)
    for elsewhere in (0.97, 1.03):  # nowhere else is the worse end better
        worse = max(spread(focal, 2.0, found.focus_best * elsewhere * 1000, each * 1000) / 0.0025 for each in (near, far))
        assert worse > found.focus_blur


@pytest.mark.parametrize(("density", "eyes"), [(62.5, 3.9), (125, 7.9), (250, 15.8), (500, 31.5), (1000, 63), (1500, 94.5)])
def test_eyes_by_density(density: float, eyes: float) -> None:
    found = view({"wants": {"at": f"{1920 / 1.2 / density} m", "face": {"pixels": 32, "angle": "0 deg"}}})
    assert found.face_pixels == pytest.approx(eyes, abs=0.051)


def test_a_pane_throws_back_four_percent_a_surface() -> None:
    # Fresnel equations at right angles, n = 1.5: what view/lamp-behind-glass says of a pane.
    assert pytest.approx(0.04) == ((1.5 - 1) / (1.5 + 1)) ** 2
