"""Enclosure codes: digits of ingress (IEC 60529)."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaxwright.facts.physics import ingress


@pytest.mark.parametrize(
    ("code", "digits"),
    [
        ("IP66", ((6, 6),)),
        ("IPX7", ((None, 7),)),
        ("IP6X", ((6, None),)),
        ("IP66/IP67", ((6, 6), (6, 7))),
        ("IP66 / IP68", ((6, 6), (6, 8))),
        ("IP23CS", ((2, 3),)),
        ("IP69", ((6, 9),)),
    ],
)
def test_ingress_digits(code, digits):
    assert ingress.ingress_digits(code) == digits


@pytest.mark.parametrize("code", ["", "66", "IP", "IP6", "IP76", "IP667", "ip66", "IP66/", "IK10", "IP６６"])
def test_unreadable_codes_are_refused(code):
    with pytest.raises(ValueError, match="IP66, IPX7 or IP66/IP67"):
        ingress.ingress_digits(code)


# IEC 60529 clause 6: lower digits are implied up to 6; 7 and 8 do not imply the jets of 5 and 6.
@pytest.mark.parametrize(
    ("code", "required", "answer"),
    [
        ("IP66", "IP65", True),
        ("IP66", "IP66", True),
        ("IP65", "IP66", False),
        ("IP67", "IP66", False),
        ("IP67", "IP65", False),
        ("IP68", "IP65", False),
        ("IP68", "IP67", True),
        ("IP67", "IP64", True),
        ("IP67", "IP68", False),
        ("IP66/IP67", "IP66", True),
        ("IP66/IP67", "IP67", True),
        ("IP66/IP67", "IP66/IP67", True),
        ("IP66", "IP66/IP67", False),
        ("IP66", "IP67", False),
        ("IP69", "IP66", False),
        ("IP66/IP69", "IP65", True),
        ("IP54", "IP65", False),
        ("IPX6", "IP65", None),
        ("IPX4", "IP65", False),
        ("IP6X", "IP65", None),
        ("IP6X", "IPX0", None),
        ("IP20", "IPXX", True),
    ],
)
def test_ingress_comparison(code, required, answer):
    assert ingress.ingress_meets(code, required) is answer


@given(st.integers(0, 6), st.integers(0, 6), st.integers(0, 6), st.integers(0, 6))
def test_up_to_six_digits_are_ordered(solids, water, other_solids, other_water):
    met = ingress.ingress_meets(f"IP{solids}{water}", f"IP{other_solids}{other_water}")
    assert met is (solids >= other_solids and water >= other_water)


def test_implied_digits():
    assert ingress.water_implied(7) == {0, 1, 2, 3, 4, 7}
    assert ingress.water_implied(8) == {0, 1, 2, 3, 4, 7, 8}
    assert ingress.water_implied(9) == {0, 1, 2, 3, 4, 9}
    with pytest.raises(ValueError, match="0 to 9"):
        ingress.water_implied(10)
