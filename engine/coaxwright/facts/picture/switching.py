"""Whether a person can switch a camera's mode as things are, and by what.

A menu over the coax is seen on the recorder's own picture and worked by control over the coax: where there is no
picture, or no control, nobody gets at it (common practice). A button, switches or a service lead at the camera work
in any case. What the part does not say is not known. Pure: works on a part's `switched_by`.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from coaxwright.facts.picture.signals import OVER_COAX as MENU
from coaxwright.facts.picture.signals import SWITCHED_BY


class Switchable(NamedTuple):
    """Whether it can be switched (None: not known), by which ways, and what is in the way or not known."""

    can: bool | None
    ways: tuple[str, ...]
    because: str

    @property
    def how(self) -> str:
        """The ways in words: `with its menu button or with its switches`."""
        return " or ".join(SWITCHED_BY[way] for way in self.ways)


def switchable(switched_by: Sequence[str] | None, picture: bool | None, control: bool | None) -> Switchable:
    """What a camera can be switched by, given whether a picture arrives and whether control over the coax works.

    `picture` and `control` are of the camera as it is switched now, on the input where it is; None: not known.
    """
    if switched_by is None:
        return Switchable(None, (), "its part does not say how it is switched")
    if not switched_by:
        return Switchable(False, (), "its part says that nothing switches it")
    menu = MENU in switched_by
    seen = _both(picture, control)
    ways = tuple(way for way in switched_by if way != MENU or seen is True)
    if ways:
        return Switchable(True, ways, "")
    assert menu
    if seen is None:
        return Switchable(
            None, (MENU,), f"only {SWITCHED_BY[MENU]}, and whether that can be seen and worked is not known"
        )
    what = "without a picture nobody sees it" if picture is False else "no control over the coax gets there"
    return Switchable(False, (), f"it is switched only {SWITCHED_BY[MENU]}, and {what}")


def _both(picture: bool | None, control: bool | None) -> bool | None:
    if picture is False or control is False:
        return False
    return None if picture is None or control is None else True
