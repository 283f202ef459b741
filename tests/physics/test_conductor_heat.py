"""Currents of conductors against published tables: correction factors, metals, and the thermal balance behind them."""

from __future__ import annotations

import math

import pytest

from coaxwright.facts.physics import conductor_heat as heat
from coaxwright.facts.physics.conductors import COPPER_ALPHA_20

PVC = [(30, 1.0), (40, 0.87), (45, 0.79), (50, 0.71), (55, 0.61), (60, 0.50), (70, 0.0)]


# IEC 60364-5-52:2009 Table B.52.14 (PVC), read in an open transcription; 35 °C 0.94 and 65 °C 0.35 are published too.
@pytest.mark.parametrize(("air", "factor"), [*PVC[:-1], (35, 0.94), (65, 0.35), (20, 1.0), (-10, 1.0), (70, 0.0), (90, 0.0)])
def test_warm_air(air, factor):
    assert heat.air_factor(PVC, air) == pytest.approx(factor, abs=0.01)


@pytest.mark.parametrize(
    ("amps", "factors", "printed"),
    [
        # Worked with the published factors: 0.75 mm2 flexible, 50 °C, six circuits (DIN VDE 0298-4, IEC 60364-5-52).
        (12, (heat.air_factor(PVC, 50), 0.57), 4.856),
        # 1.5 mm2 clipped, 40 °C, nine circuits (IEC 60364-5-52 Tables B.52.2, B.52.14, B.52.17).
        (19.5, (heat.air_factor(PVC, 40), 0.50), 8.483),
        # 1 mm2 clipped, in insulation, 35 °C (SANS 10142-1:2019 Table 6.3(a); halved as wiring handbooks have it).
        (15, (heat.IN_INSULATION, heat.air_factor(PVC, 35)), 7.05),
    ],
)
def test_worked_capacities(amps, factors, printed):
    assert amps * math.prod(factors) == pytest.approx(printed, rel=3e-3)


@pytest.mark.parametrize(("copper", "aluminium"), [(27, 21), (36, 28), (46, 36)])
def test_aluminium(copper, aluminium):
    """IEC 60364-5-52:2009 Tables B.52.10 and B.52.11, method C; aluminium of 61 % IACS."""
    assert copper * heat.metal_factor(1 / 0.61) == pytest.approx(aluminium, abs=0.15)


# IEC 60364-5-52:2009 Table B.52.2 column B2 (two loaded); 1 mm2 SANS 10142-1:2019 Table 6.3(a).
@pytest.mark.parametrize(("size", "amps"), [(1.0, 13), (1.5, 16.5), (2.5, 23), (4, 30), (6, 38)])
def test_the_law_of_sizes(size, amps):
    assert heat.thermal_amps(size) == pytest.approx(amps, abs=0.5)


@pytest.mark.parametrize(
    ("amps", "full", "air", "kelvin"),
    [(9, 18, 30, 8.98), (3, 12, 30, 2.19), (1, 9.73, 25, 0.36), (9.33, 9.73, 25, 35.6), (7, 10, 30, 18.2)],
)
def test_worked_rises(amps, full, air, kelvin):
    """Thermal balance of IEC 60364-5-52 and IEC 60287, worked apart from this program."""
    assert heat.current_rise(amps, full, air) == pytest.approx(kelvin, abs=0.006 if kelvin < 10 else 0.06)


def test_the_full_current_brings_the_conductor_to_its_limit():
    assert heat.current_rise(14.5, 14.5) == pytest.approx(40)
    assert heat.current_rise(0, 5) == 0


def test_it_runs_away():
    """Resistance grows with the heat: where 1 - alpha k is gone no temperature stands."""
    k_at_full = 40 / (1 + COPPER_ALPHA_20 * 50)
    runaway = math.sqrt(1 / (COPPER_ALPHA_20 * k_at_full))
    assert heat.current_rise(runaway * 1.001, 1) == math.inf
    assert heat.current_rise(runaway * 0.9, 1) < math.inf


def test_the_balance_holds():
    """Heat I^2 R(T) over heat carried off, rise in proportion: checked by putting the rise back in."""
    rise = heat.current_rise(6, 8, 45)
    resistance = (1 + COPPER_ALPHA_20 * (45 + rise - 20)) / (1 + COPPER_ALPHA_20 * 50)
    assert rise == pytest.approx(40 * (6 / 8) ** 2 * resistance)
