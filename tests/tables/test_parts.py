"""Generic parts: all are valid, sorted, sourced; cables agree with the tables and with published figures."""

from __future__ import annotations

import math
import re
from typing import Any

import pytest

from coaxwright.errors import Refusal
from coaxwright.facts.physics.coax import attenuation, check_points
from coaxwright.reading.table_files import build_parts
from coaxwright.reading.tables import generic_part_files, load_generic_parts, load_table

PARTS = load_generic_parts()
CABLES = {name: part for name, part in PARTS.items() if part.kind == "cable"}
LOSSY = {name: part for name, part in CABLES.items() if part.attenuation}
POWER = {name: part for name, part in CABLES.items() if name.startswith("dc-")}
FEET_PER_100_M = 3.28084
GAUGE = re.compile(r"dc-([0-9]+)awg")


def test_ids_are_sorted_in_every_file() -> None:
    for file in generic_part_files():
        ids = list(build_parts(file.read_text(encoding="utf-8"), file.name))
        assert ids == sorted(ids), file.name


def test_ids_tell_devices_from_cables() -> None:
    for name, part in PARTS.items():
        assert name.startswith("generic/") == (part.kind != "cable"), name


@pytest.mark.parametrize("name", PARTS)
def test_sources_and_titles(name: str) -> None:
    part = PARTS[name]
    assert re.search(
        r"IEC |ASTM |ANSI/SCTE |TIA-568|ARRL |NBS |circuit theory|common practice|from memory", part.source
    )
    assert part.title
    assert part.maker is None
    assert part.price is None


def test_what_sites_name_is_there() -> None:
    wanted = {
        "rg59-copper", "rg6-copper", "rg11-copper", "rg59-ccs", "rg6-ccs", "mini-coax", "rg58", "cat5e",
        "cat6", "cat5e-cca", "cat3", "dc-0.5mm2", "dc-0.75mm2", "dc-1mm2", "dc-1.5mm2", "dc-2.5mm2",
        "dc-4mm2", "dc-18awg",
        "line-screened-0.22mm2", "generic/balun-passive", "generic/coupler-bnc", "generic/dc12-10a-9way",
        "generic/disk-4tb", "generic/line-pickup",
    }  # fmt: skip
    assert wanted <= set(PARTS)


@pytest.mark.parametrize("name", LOSSY)
def test_loss_rises_with_frequency(name: str) -> None:
    points = LOSSY[name].attenuation
    check_points(points)
    losses = [loss for _, loss in points]
    assert losses == sorted(set(losses))
    assert LOSSY[name].attenuation_kind


# ANSI/SCTE 74 greatest attenuation, dB per 100 ft (from memory, widely reprinted).
DROP = {
    5: (0.86, 0.58, 0.38), 55: (2.05, 1.60, 0.96), 211: (3.81, 3.05, 1.90), 250: (4.10, 3.30, 2.05),
    300: (4.45, 3.55, 2.25), 350: (4.80, 3.85, 2.42), 400: (5.10, 4.15, 2.60), 450: (5.40, 4.40, 2.75),
    550: (5.95, 4.90, 3.04), 750: (6.97, 5.65, 3.65), 1000: (8.12, 6.55, 4.35),
}  # fmt: skip


@pytest.mark.parametrize(("part", "column"), [("rg59-ccs", 0), ("rg6-ccs", 1), ("rg11-ccs", 2)])
def test_drop_cable(part: str, column: int) -> None:
    points = dict(PARTS[part].attenuation)
    assert set(points) == set(DROP)
    for mhz, row in DROP.items():
        assert points[mhz] == pytest.approx(row[column] * FEET_PER_100_M, abs=0.006)
    assert PARTS[part].attenuation_kind == "greatest"


# ARRL Handbook nominal matched loss at 1, 10, 100 and 1000 MHz, dB per 100 ft (from memory).
HANDBOOK = {
    "rg59-copper": (0.6, 1.1, 3.4, 12.0),
    "rg59-foam-copper": (0.5, 0.9, 2.2, 9.1),
    "rg6-copper": (0.4, 0.8, 2.7, 9.8),
    "rg6-foam-copper": (0.3, 0.7, 1.8, 5.9),
    "rg11-copper": (0.2, 0.7, 2.0, 7.1),
    "rg11-foam-copper": (0.1, 0.4, 1.3, 5.2),
}


@pytest.mark.parametrize("part", HANDBOOK)
def test_handbook_cable(part: str) -> None:
    points = PARTS[part].attenuation
    assert [mhz for mhz, _ in points] == [1, 10, 100, 1000]
    for (_, loss), feet in zip(points, HANDBOOK[part], strict=True):
        assert loss == pytest.approx(feet * FEET_PER_100_M, abs=0.006)


@pytest.mark.parametrize(("mhz", "per_100_feet"), [(30, 1.79), (150, 4.11)])
def test_handbook_cable_between_its_points(mhz: float, per_100_feet: float) -> None:
    """ARRL General Class manual Table 6-1 erratum, RG-59: another edition's figures, within 6 %."""
    loss = attenuation(PARTS["rg59-copper"].attenuation, mhz)
    assert loss == pytest.approx(per_100_feet * FEET_PER_100_M, rel=0.06)


@pytest.mark.parametrize(
    ("part", "form"),
    # a sqrt f + b f + c / sqrt f: TIA-568-C.2; Cat 6 and Cat 3 from memory.
    [("cat5e", (1.967, 0.023, 0.05)), ("cat6", (1.808, 0.017, 0.2)), ("cat3", (2.320, 0.238, 0.0))],
)
def test_pair_attenuation_follows_its_formula(part: str, form: tuple[float, float, float]) -> None:
    for mhz, loss in PARTS[part].attenuation:
        assert loss == pytest.approx(form[0] * mhz**0.5 + form[1] * mhz + form[2] / mhz**0.5, abs=0.055)


@pytest.mark.parametrize(
    ("part", "mhz", "loss"), [("cat5e", 100, 22.0), ("cat6", 100, 19.8), ("cat3", 16, 13.1)]
)
def test_pair_attenuation_at_its_end(part: str, mhz: float, loss: float) -> None:
    """TIA-568-C.2 (Cat 5e), and from memory."""
    assert dict(PARTS[part].attenuation)[mhz] == loss


@pytest.mark.parametrize("name", [name for name in CABLES if name.endswith("-cca")])
def test_no_loss_is_invented(name: str) -> None:
    assert PARTS[name].attenuation is None
    assert PARTS[name].category is None


@pytest.mark.parametrize("name", POWER)
def test_resistance_is_that_of_the_table(name: str) -> None:
    """IEC 60228:2004 metric; ASTM B258 and NBS Handbook 100 gauges; ASTM B566 class 10A if clad."""
    conductor = POWER[name].conductor
    gauge = GAUGE.match(name)
    if gauge:
        row = load_table("wire-awg").row(int(gauge[1]))
        copper = row["solid" if conductor.stranding == "solid" else "stranded"]
        assert conductor.size == pytest.approx(row["area"], rel=1e-4)
    else:
        copper = load_table("conductors-iec60228").row(conductor.size, conductor.stranding)["resistance"]
        assert name.startswith(f"dc-{conductor.size:g}mm2")
    factor = load_table("conductor-materials").row(conductor.material)["factor"]
    assert conductor.resistance == pytest.approx(copper * factor, rel=1e-3 if factor != 1 else 1e-5)
    assert ("-cca" in name) == (conductor.material == "copper-clad-aluminium")


@pytest.mark.parametrize("name", ["cat5e", "cat6", "cat3"])
def test_pair_conductors(name: str) -> None:
    """TIA-568-C.2: at most 9.38 ohm per 100 m of conductor at 20 degC."""
    assert PARTS[name].conductor.resistance == pytest.approx(0.0938)
    assert PARTS[name].conductor.resistance > load_table("wire-awg").row(24)["solid"]


@pytest.mark.parametrize("name", [n for n in CABLES if n.endswith(("-outdoor", "-burial"))])
def test_other_sheaths_change_nothing_else(name: str) -> None:
    base, sheath = name.rsplit("-", 1)
    mine, other = PARTS[name].model_dump(), PARTS[base].model_dump()
    changed = {key for key in mine if mine[key] != other[key]}
    assert changed - {"aliases"} == {"title", "rated"}
    assert PARTS[name].rated == sheath
    assert PARTS[base].rated == "indoor"


def test_impedances() -> None:
    """Common practice: 75 ohm video, 50 ohm radio, 93 ohm terminals; 100 ohm pair (TIA-568)."""
    odd = {"rg58": 50.0, "rg62": 93.0}
    for name, cable in CABLES.items():
        if "coax" in cable.carries:
            assert cable.impedance == odd.get(name, 75.0)
        elif "pair" in cable.carries:
            assert cable.impedance == 100.0


def test_clad_steel_loses_more_than_copper_at_low_frequency() -> None:
    """Foam of one size at 5 MHz: the clad steel centre is worse; layered-conductor calculation."""
    for size in ("rg59", "rg6", "rg11"):
        clad = attenuation(PARTS[f"{size}-ccs"].attenuation, 5.0)
        assert clad > attenuation(PARTS[f"{size}-foam-copper"].attenuation, 5.0)


def test_disks() -> None:
    """Decimal terabytes (SI); surveillance disks 180 TB a year (common practice)."""
    disks = {name: part for name, part in PARTS.items() if part.kind == "disk"}
    assert len(disks) == 16
    for name, disk in disks.items():
        size = re.search(r"disk-([0-9]+)tb", name)
        assert size
        assert disk.capacity == int(size[1]) * 1e12
        desktop = "desktop" in name
        assert (disk.continuous, disk.workload) == ((False, None) if desktop else (True, 180e12))


def test_supplies() -> None:
    supplies = {name: part for name, part in PARTS.items() if part.kind == "supply"}
    for name, supply in supplies.items():
        shape = re.match(r"generic/(dc12|ac24)-([0-9]+)a(?:-([0-9]+)way)?$", name)
        assert shape
        assert (supply.gives, supply.volts) == (("dc", 12.0) if shape[1] == "dc12" else ("ac", 24.0))
        assert (supply.amps, supply.outputs) == (float(shape[2]), int(shape[3] or 1))
        assert supply.class2 is None  # for its maker to state
        if supply.trim_min is not None:  # common practice: 10 % either way
            assert (supply.trim_min, supply.trim_max) == pytest.approx((10.8, 13.2))


def test_boxes() -> None:
    boxes: dict[str, Any] = {name: part for name, part in PARTS.items() if part.kind == "box"}
    matched = boxes["generic/splitter-resistive"].loss
    assert matched == pytest.approx(20 * math.log10(2), abs=0.001)  # circuit theory
    for name, box in boxes.items():
        if box.power is not None:  # what amplifies works one way
            assert box.passes_control is False, name
            assert not box.either_way
            assert box.gain is None  # no standard states it
        else:
            assert box.passes_control
    assert boxes["generic/balun-passive"].either_way
    assert {boxes["generic/balun-passive"].takes, boxes["generic/balun-passive"].gives} == {"coax", "pair"}


def test_a_wrong_part_is_refused_at_its_place() -> None:
    with pytest.raises(Refusal) as refused:
        build_parts("parts:\n  x:\n    kind: cable\n    source: common practice\n    carries: [water]\n", "f")
    assert "f:5:" in str(refused.value)
