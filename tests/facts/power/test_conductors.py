"""What conductors may carry, what stands before them, and how warm they get, from site files."""

from __future__ import annotations

import math
from typing import Any

import pytest

from coaxwright.reading.tables import load_generic_parts


def _run(facts: Any, subject: str = "cameras/a/power/over/0") -> Any:
    return facts.sheet(subject, "run")


def _site(kit: Any, cable: str, metres: float = 3, place: Any = None, supply: str = "tarnwell/strong", **hop: Any) -> Any:
    camera = kit.fed("fennick/heavy", "psu1/1", {"cable": cable, "length": f"{metres} m", **hop})
    if place is not None:
        camera["place"] = place
    return {"supplies": {"psu1": {"part": supply}}, "cameras": {"a": camera}}


def _parts(kit: Any, watts: float = 90, **supply: Any) -> dict[str, Any]:
    strong = {
        "kind": "supply", "source": "invented", "volts": "12 V", "amps": "30 A", "outputs": 2,
        "amps_per_output": "30 A", "output_protection": "fuse",
    }  # fmt: skip
    stated = {name: value for name, value in {**strong, **supply}.items() if value is not None}
    return {"tarnwell/strong": stated, "fennick/heavy": kit.camera_part(watts, "constant-power")}


def test_every_cable_that_comes_with_the_program_has_a_current(build, kit):
    """A current and a greatest device from a published table for each that may carry power."""
    for name, part in load_generic_parts().items():
        if part.kind != "cable" or part.conductor is None or not {"power", "network"} & set(part.carries):
            continue
        run = _run(build(_site(kit, name, 0.01), _parts(kit, 0.1)))
        assert run.amps_max > 0, name
        assert run.device_max > 0, name
        assert run.amps_basis.startswith(("DIN ", "IEC ", "NEC ")), name


# Published currents at 30 °C; conductors stated to be at 30 °C, so nothing is taken off.
@pytest.mark.parametrize(
    ("cable", "amps", "device"),
    [
        ("dc-0.5mm2", 3, 3),  # DIN VDE 0298-4 Table 11; IEC 60335-1 Table 11
        ("dc-0.75mm2", 6, 6),
        ("dc-1mm2", 10, 10),
        ("dc-1.5mm2", 16, 16),
        ("dc-2.5mm2", 23, 23),  # IEC 60364-5-52:2009 Table B.52.2, B2
        ("dc-4mm2", 30, 30),
        ("dc-20awg", 3, 3),  # the row of 0.5 mm2
        ("dc-18awg", 5.6, 7),  # NEC 2023 240.4(D): 7 A, 5.6 A for hours
        ("dc-16awg", 8, 10),
        ("dc-14awg", 15, 15),
        ("cat5e", 2, 2),  # NEC 2017 Table 725.144, one cable, from memory
        ("cat6", 2.5, 2.5),
    ],
)
def test_published_currents(build, kit, cable, amps, device):
    run = _run(build(_site(kit, cable, temperature="30 °C"), _parts(kit, 1)))
    assert (run.amps_max, run.device_max) == (pytest.approx(amps), pytest.approx(device))


@pytest.mark.parametrize(
    ("hop", "place", "amps"),
    [
        ({}, None, 6 * 0.87),  # 40 °C assumed; IEC 60364-5-52 Table B.52.14
        ({}, {"ambient_max": "50 °C"}, 6 * 0.71),
        ({}, {"ambient_max": "25 °C"}, 6.0),  # cool air is not credited
        ({"temperature": "60 °C"}, {"ambient_max": "20 °C"}, 6 * 0.5),
        ({"bunched": 6}, None, 6 * 0.87 * 0.57),  # Table B.52.17 row 1
        ({"bunched": 10}, None, 6 * 0.87 * 0.45),
        ({"laid": "insulation"}, None, 6 * 0.87 / 2),
    ],
)
def test_corrections(build, kit, hop, place, amps):
    run = _run(build(_site(kit, "dc-0.75mm2", place=place, **hop), _parts(kit, 1)))
    assert run.amps_max == run.device_max == pytest.approx(amps)


@pytest.mark.parametrize(("laid", "amps"), [("conduit", 16.5), ("clipped", 19.5), ("free-air", 22), ("insulation", 9.75)])
def test_laying(build, kit, laid, amps):
    """IEC 60364-5-52:2009 Tables B.52.2 and B.52.10, 1.5 mm2; halved in insulation."""
    run = _run(build(_site(kit, "dc-1.5mm2", temperature="30 °C", laid=laid), _parts(kit, 1)))
    assert run.amps_max == pytest.approx(amps)


def test_gauges_and_bunches_by_their_own_code(build, kit):
    """NEC 2023 Tables 400.5(A)(1), 310.15(B)(1)(1) and (C)(1): 13 A x 0.82 x 0.5 of 16 AWG at 40 °C, ten circuits: 5.33 A
    with 0.5 for 10 to 20 conductors; the row of twelve circuits, 24 conductors, has 0.45.
    """
    run = _run(build(_site(kit, "dc-16awg", bunched=9), _parts(kit, 1)))
    assert run.amps_max == pytest.approx(13 * 0.82 * 0.5)
    run = _run(build(_site(kit, "dc-16awg", bunched=10), _parts(kit, 1)))
    assert run.amps_max == pytest.approx(13 * 0.82 * 0.45)


def test_clad_aluminium(build, kit):
    """62.9 % IACS (ASTM B566 class 10A): root of that of copper's current; NEC 240.4(D) 10 A before 14 AWG."""
    part = {"kind": "cable", "source": "invented", "carries": ["power"],
            "conductor": {"size": "14 AWG", "material": "copper-clad-aluminium", "stranding": "solid"}}  # fmt: skip
    run = _run(build(_site(kit, "hollin/clad", temperature="30 °C"), {**_parts(kit, 1), "hollin/clad": part}))
    assert run.amps_max == pytest.approx(15 * math.sqrt(0.629), rel=1e-4)
    assert run.device_max == 10


def test_pairs_in_parallel(build, kit):
    run = _run(build(_site(kit, "cat5e", temperature="30 °C", pairs=3), _parts(kit, 1)))
    assert (run.amps_max, run.device_max) == (6, 6)


def test_the_part_goes_before_the_table(build, kit):
    part = {"kind": "cable", "source": "invented", "carries": ["power"], "conductor": {"size": "0.5 mm2", "amps": "4 A"}}
    facts = build(_site(kit, "hollin/own"), {**_parts(kit, 1), "hollin/own": part})
    run = _run(facts)
    assert (run.amps_max, run.device_max, run.amps_basis) == (4.0, 4.0, "as its maker states")
    assert "conductor-current" not in {each.assumption.name for each in facts.assumed}


def test_the_table_is_listed_as_an_assumption(build, kit):
    facts = build(_site(kit, "dc-0.5mm2"), _parts(kit, 1))
    assert {each.assumption.name: each.count for each in facts.assumed}["conductor-current"] == 1


@pytest.mark.parametrize(
    ("conductor", "missing"),
    [
        ({"material": "copper"}, ("amps", "size")),
        ({"size": "1 mm2"}, ("amps", "material")),
        ({"size": "28 AWG", "material": "copper"}, ("amps",)),
    ],
)
def test_what_the_table_lacks_is_open(build, kit, conductor, missing):
    part = {"kind": "cable", "source": "invented", "carries": ["power"], "conductor": conductor}
    run = _run(build(_site(kit, "hollin/own"), {**_parts(kit, 1), "hollin/own": part}))
    for field in ("amps_max", "device_max"):
        assert run.known(field) is None
        assert run.missing(field) == tuple(f"parts/hollin/own/conductor/{name}" for name in missing)


@pytest.mark.parametrize(
    ("supply", "amps"),
    [
        ({"outputs": 1, "amps": "2 A", "amps_per_output": None, "output_protection": "electronic"}, 2.0),
        ({"outputs": 1, "amps": "2 A", "amps_per_output": None, "output_protection": None}, None),
        ({"outputs": 2, "amps": "2 A", "amps_per_output": None, "output_protection": "fuse"}, None),
        ({"output_protection": "none"}, math.inf),
    ],
)
def test_what_stands_before_it(build, kit, supply, amps):
    assert _run(build(_site(kit, "dc-0.5mm2"), _parts(kit, 1, **supply))).known("amps_protective") == amps


# Its own heat


def test_the_heat_of_a_strong_current_counts(build, kit):
    """9 A in 0.5 mm2: past the 8.64 A that bring it to 70 °C (IEC 60364-5-52 annex D form), so it is taken at 70 °C."""
    facts = build(_site(kit, "dc-0.5mm2"), _parts(kit, 90))
    run, feed = _run(facts), kit.feed(facts, "a")
    assert run.amps_night > 9
    assert run.temperature == feed.temperature == pytest.approx(70)
    assert feed.ohms == pytest.approx(2 * 3 * 0.039 * (1 + 0.00393 * 50))
    assert feed.volts_night == pytest.approx(12 - feed.amps_night * feed.ohms)


def test_the_temperature_stands_with_the_current(build, kit):
    """6 A in 0.5 mm2, constant current: k = 40 / 1.1965 x (6 / 8.6426)^2, rise k x 1.0393 / (1 - 0.00393 k), from 30 °C."""
    parts = {**_parts(kit), "fennick/heavy": kit.camera_part(72, "constant-current")}
    run = _run(build(_site(kit, "dc-0.5mm2"), parts))
    k = 40 / 1.1965 * (6 / (13.1 * 0.5**0.6)) ** 2
    assert run.temperature == pytest.approx(30 + k * 1.0393 / (1 - 0.00393 * k), abs=1e-6)


def test_a_small_current_is_within_what_is_allowed_for(build, kit):
    """1 A in 0.5 mm2 heats by about half a kelvin of the ten that the assumed 40 °C allow for."""
    run = _run(build(_site(kit, "dc-0.5mm2"), _parts(kit, 12)))
    assert run.temperature == 40


def test_a_temperature_that_is_written_stands(build, kit):
    run = _run(build(_site(kit, "dc-0.5mm2", temperature="20 °C"), _parts(kit, 90)))
    assert run.temperature == 20


# A battery behind the supply


@pytest.mark.parametrize(
    ("stated", "entry", "volts", "most"),
    [
        ({}, {}, 13.5, 13.8),  # 2.25 to 2.30 V a cell, common practice
        ({"float_volts": "13.6 V"}, {}, 13.6, 13.6),
        ({"float_volts": "12 V"}, {}, 12.0, 12.0),
        ({}, {"trim": "13.2 V"}, 13.2, 13.2),
        ({"boost_volts": "14.7 V"}, {}, 13.5, 14.7),  # cyclic charge of 2.45 V a cell, common practice
        ({"boost_volts": "14.4 V"}, {"trim": "13.2 V"}, 13.2, 14.4),
        ({"boost_volts": "13.6 V"}, {}, 13.5, 13.8),  # never less than the float
        ({"volts": "24 V"}, {}, 27.0, 27.6),
        ({"volts": "13.8 V"}, {}, 13.8, 13.8),
        ({"regulation": "5 %"}, {}, 13.5, 14.4),
    ],
)
def test_a_supply_that_keeps_a_battery_charged_floats(build, kit, stated, entry, volts, most):
    site = _site(kit, "dc-1.5mm2")
    site["supplies"]["psu1"].update(entry)
    facts = build(site, _parts(kit, 1, battery_backed=True, **stated))
    supply, feed = facts.sheet("supplies/psu1"), kit.feed(facts, "a")
    assert supply.volts == pytest.approx(volts)
    assert feed.volts_idle == pytest.approx(most)
    assert feed.volts_night < supply.volts + (most - volts if "regulation" in stated else 0)
    used = {each.assumption.name for each in facts.assumed}
    assert ("battery-float-least" in used) is (not entry and "float_volts" not in stated)


def test_alternating_current_and_no_battery_do_not_float(build, kit):
    for stated in ({"battery_backed": False}, {"battery_backed": True, "gives": "ac"}):
        facts = build(_site(kit, "dc-1.5mm2"), _parts(kit, 1, **stated))
        assert kit.feed(facts, "a").volts_idle == 12.0
        assert facts.sheet("supplies/psu1").known("volts_float") is None


@pytest.mark.parametrize(("cables", "air", "amps"), [(30, 30, 0.6), (30, 45, 0.6 * 0.71), (192, 30, 0.3), (193, 30, None)])
def test_pairs_in_a_bundle(build, kit, cables, air, amps):
    """NEC 2017 Table 725.144, 24 AWG, 60 degC cable (from memory), and Table 310.15(B)(1)(1). 90 W at 52 V are 0.433 A in each
    of four wires: 0.6 A holds in 30 cables at 30 degC, 0.426 A at 45 degC do not."""
    run = _run(build(_site(kit, "cat5e", bunched=cables, temperature=f"{air} °C"), _parts(kit, 1)))
    assert run.known("amps_max") == (None if amps is None else pytest.approx(amps))
    if amps is not None:
        assert (amps >= 90 / 52 / 4) == (air == 30 and cables == 30)
