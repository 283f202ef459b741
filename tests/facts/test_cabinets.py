"""Closed cabinets against worked examples that are published outside the project.

Outside: surfaces of 5.712 m2 and 4.38 m2 and 242 W for 10 degrees (handbook examples of enclosure makers after VDE 0660-500 and
IEC TR 60890, k 5.5); 24 x 0.42 l x 5 = 0.05 m3/Ah and A = 28 Q of EN 50272-2; density and heat of air (1.2 kg/m3 x 1005 J/kgK).
"""

from __future__ import annotations

from typing import Any

import pytest

from coaxwright.checking import facts_of
from coaxwright.errors import Refusal
from coaxwright.facts.place.cabinets_working import CABINET_WORKINGS
from coaxwright.model.rules import Case
from coaxwright.rulebook.cases import case_site, load_bases

CUBE = {
    "width": "1 m", "height": "1 m", "depth": "1 m", "stands": "free", "material": "painted-steel",
    "place": {"ambient_max": "30 °C"},
}  # fmt: skip


def facts(site: dict[str, Any], parts: dict[str, Any] | None = None) -> Any:
    return facts_of(case_site(load_bases(), Case(name="one", base="trunk-and-port", site=site, parts=parts or {})))


def cabinet(**entry: Any) -> Any:
    (found,) = facts({"cabinets": {"one": {**CUBE, **entry}}}).by_kind("cabinet")
    return found


@pytest.mark.parametrize(("size", "surface"), [((0.8, 2.0, 0.6), 5.712), ((0.6, 2.0, 0.5), 4.38)])
def test_published_surfaces(size: tuple[float, float, float], surface: float) -> None:
    entry = {key: f"{value} m" for key, value in zip(("width", "height", "depth"), size, strict=True)}
    assert cabinet(**entry).surface == pytest.approx(surface, rel=1e-12)


def test_a_published_example_of_ten_degrees() -> None:
    # 4.4 m2 (4.38 rounded) of painted steel give off 242 W at 10 degrees.
    found = cabinet(width="0.6 m", height="2 m", depth="0.5 m", other_heat="242 W")
    assert found.rise == pytest.approx(10.0, rel=0.006)


def test_a_fan_takes_along_what_its_air_holds() -> None:
    # A cube of no size to speak of: all goes with the air, 1.2 kg/m3 x 1005 J/kgK x 31 m3/h / 3600 s = 10.4 W a degree.
    small = dict.fromkeys(("width", "height", "depth"), "1 mm")
    assert 100 / cabinet(**small, fan=31, other_heat="100 W").rise == pytest.approx(1.2 * 1005 * 31 / 3600, rel=0.04)


def test_gas_of_a_battery() -> None:
    # EN 50272-2: 24 x 0.42e-3 m3/Ah x 5 x 6 cells x 8 mA/Ah x 24 Ah; the rounded 0.05 of the standard is 0.8 % below.
    found = facts({"cabinets": {"one": CUBE}, "supplies": {"psu1": {"battery": "24 Ah", "place": {"cabinet": "one"}}}})
    (sheet,) = found.by_kind("cabinet")
    assert sheet.vents_wanted == pytest.approx(28 * 24 * 0.42e-3 * 5 * 6 * 0.008 * 24, rel=0.01)


def test_every_working_ends_in_its_fact() -> None:
    site = {
        "cabinets": {"one": {**CUBE, "other_heat": "5 W"}},
        "supplies": {"psu1": {"place": {"ambient_max": None, "cabinet": "one"}}},
        "ups": {"ups1": {"place": {"ambient_max": None, "cabinet": "one"}}},
        "recorders": {"rec1": {"place": {"ambient_max": None, "cabinet": "one"}}},
    }
    found = facts(site, {"hollin/case-ups": {"efficiency": "80 %"}})
    for kind, field in (*CABINET_WORKINGS, ("recorder", "ambient_max"), ("cabinet", "rise"), ("disk_group", "temperature")):
        sheet = found.by_kind(kind)[0]
        lines = found.working(sheet, field)
        assert f"{getattr(sheet, field):.5g}" in lines[0].replace(" degC", ""), (kind, field, lines)


def test_heat_adds_up_device_by_device() -> None:
    inside = {"place": {"cabinet": "one"}}
    site = {"cabinets": {"one": CUBE}, "switches": {"sw1": inside}, "recorders": {"rec1": inside}, "ups": {"ups1": inside}}
    (sheet,) = facts(site, {"hollin/case-ups": {"efficiency": "80 %"}}).by_kind("cabinet")
    assert sheet.watts == pytest.approx(35 + 15 + (35 + 15) * 0.25)
    assert (sheet.devices, sheet.rise) == (3, pytest.approx(sheet.watts / 27.5))


@pytest.mark.parametrize(
    ("site", "said"),
    [
        ({"cabinets": {"one": CUBE}, "supplies": {"psu1": {"place": {"cabinet": "ome"}}}}, "no cabinet `ome`"),
        ({"cabinets": {"one": CUBE}, "cameras": {"c1": {"place": {"cabinet": "one"}}}}, "`cabinet` is not for cameras"),
        ({"cabinets": {"one": {"place": {"cabinet": "one"}}}}, "`cabinet` is not for cabinets"),
    ],
)
def test_what_stands_nowhere_is_refused(site: dict[str, Any], said: str) -> None:
    with pytest.raises(Refusal, match=said):
        facts(site)
