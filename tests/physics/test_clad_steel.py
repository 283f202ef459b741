"""What `cable/clad-steel-centre` says of clad centres, by the field inside a layered wire.

Own solution in Bessel functions of the wave equation in steel and copper (Ramo, Whinnery, Van Duzer, Fields and Waves in
Communication Electronics, skin effect in round wires; steel of 9 % IACS and relative permeability 100 are assumed, so a trend).
Nothing of the engine is used.
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest
import yaml

special = pytest.importorskip("scipy.special")
MU, COPPER = 4e-7 * math.pi, 58.0e6
STEEL, PERMEABILITY = 0.09 * COPPER, 100.0
RADIUS = {18: 0.512e-3, 20: 0.406e-3}


def core(radius: float, share: float) -> float:
    """Radius of the steel of a wire of that conductivity as a share of copper's, at direct current."""
    return radius * math.sqrt((1.0 - share) / (1.0 - STEEL / COPPER))


def impedance(mhz: float, radius: float, inside: float) -> complex:
    """Ohm/m of a wire of copper over steel of radius `inside` (none: copper)."""
    omega = 2e6 * math.pi * mhz
    k = [(1 - 1j) / math.sqrt(2 / (omega * mu * sigma)) for mu, sigma in ((MU * PERMEABILITY, STEEL), (MU, COPPER))]
    ratio = 0.0
    if inside:
        # E and H go on across the border: H = (k / (j omega mu)) dE/dr with E = A J0 + B Y0, scaled against overflow.
        steel = k[0] * special.jve(1, k[0] * inside) / special.jve(0, k[0] * inside) / PERMEABILITY
        j0, j1 = special.jve(0, k[1] * inside), special.jve(1, k[1] * inside)
        h0, h1 = special.hankel2e(0, k[1] * inside), special.hankel2e(1, k[1] * inside)
        ratio = -(k[1] * j1 - steel * j0) / (k[1] * h1 - steel * h0)
        ratio *= _scale(k[1], radius, inside)
    x = k[1] * radius
    e = special.jve(0, x) + ratio * special.hankel2e(0, x)
    h = special.jve(1, x) + ratio * special.hankel2e(1, x)
    return k[1] / (2 * math.pi * radius * COPPER) * e / h


def _scale(k: complex, radius: float, inside: float) -> complex:
    """What the scaled functions at both radii leave out: exp(-|Im|) of J and exp(+j z) of H."""
    outer, inner = k * radius, k * inside
    j_inner, h_inner = math.exp(abs(inner.imag)), _e(-1j * inner)
    return (j_inner / h_inner) * (_e(-1j * outer) / math.exp(abs(outer.imag)))


def _e(z: complex) -> complex:
    return math.exp(z.real) * complex(math.cos(z.imag), math.sin(z.imag))


def times(mhz: float, gauge: int, share: float) -> float:
    radius = RADIUS[gauge]
    return impedance(mhz, radius, core(radius, share)).real / impedance(mhz, radius, 0.0).real


@pytest.mark.parametrize(("gauge", "share", "mhz", "wanted"), [
    (18, 0.21, 1, 1.8), (20, 0.21, 1, 2.2), (18, 0.14, 1, 4.1), (20, 0.14, 1, 5.0), (18, 0.21, 5, 0.98), (20, 0.21, 10, 0.94),
    (18, 0.21, 0.5, 2.4), (20, 0.21, 37, 0.99),
])  # fmt: skip
def test_a_clad_centre_against_copper(gauge: int, share: float, mhz: float, wanted: float) -> None:
    assert times(mhz, gauge, share) == pytest.approx(wanted, rel=0.06)


def test_the_rule_says_these_figures() -> None:
    rule = yaml.safe_load((Path(__file__).parents[2] / "rules/cable/clad-steel-centre.yaml").read_text("utf-8"))
    told = rule["sources"][0]["for"]
    assert "1.8 times (18 AWG) to 2.2 times (20 AWG)" in told
    assert "five times as much as copper at 1 MHz" not in told
