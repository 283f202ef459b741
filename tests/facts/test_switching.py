"""Whether a camera's mode can be switched where it hangs. Source: common practice; worked by hand."""

from __future__ import annotations

import pytest

from coaxwright.facts.picture.switching import switchable

MENU, BUTTON, DIP = "menu-over-coax", "menu-button", "dip-switch"


@pytest.mark.parametrize(
    ("ways", "picture", "control", "can", "by"),
    [
        (None, True, True, None, ()),
        ((), True, True, False, ()),
        ((MENU,), True, True, True, (MENU,)),
        ((MENU,), False, True, False, ()),
        ((MENU,), True, False, False, ()),
        ((MENU,), None, True, None, (MENU,)),
        ((MENU,), True, None, None, (MENU,)),
        ((MENU,), False, None, False, ()),
        ((MENU, BUTTON), False, True, True, (BUTTON,)),
        ((MENU, BUTTON), True, True, True, (MENU, BUTTON)),
        ((DIP,), False, False, True, (DIP,)),
        ((DIP,), None, None, True, (DIP,)),
    ],
)
def test_by_what_a_camera_is_switched(ways, picture, control, can, by):
    found = switchable(ways, picture, control)
    assert (found.can, found.ways) == (can, by)
    assert bool(found.because) is (found.can is not True)
