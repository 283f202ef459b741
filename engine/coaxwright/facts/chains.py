"""Chains of conditions that must all hold, judged without guessing: yes, no with the first reason, or open.

Not for expressions of rules, which follow the same logic in `language`.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple


class Check(NamedTuple):
    """One condition: whether it holds (None: not known), what is wrong where it does not, what to supply.

    `cause` is the code of what is wrong: rules compare codes, people read the words.
    """

    holds: bool | None
    broken: str = ""
    lacking: tuple[str, ...] = ()
    cause: str = ""


class Verdict(NamedTuple):
    """Whether all conditions hold; `broken_by` and `cause` the first that does not, `lacking` what would settle it."""

    works: bool | None
    broken_by: str = ""
    lacking: tuple[str, ...] = ()
    cause: str = ""

    def as_check(self) -> Check:
        """This verdict as one condition of a longer chain."""
        return Check(self.works, self.broken_by, self.lacking, self.cause)


def judge(checks: Iterable[Check]) -> Verdict:
    """No where one condition fails, whatever is unknown; else open where one is unknown; else yes."""
    lacking: dict[str, None] = {}
    unknown = False
    for check in checks:
        if check.holds is False:
            return Verdict(False, check.broken, cause=check.cause)
        if check.holds is None:
            unknown = True
            lacking.update(dict.fromkeys(check.lacking))
    return Verdict(None, "", tuple(lacking)) if unknown else Verdict(True)


def stated(value: bool | None, broken: str, path: str, cause: str) -> Check:
    """A condition that a datasheet states or leaves out."""
    return Check(value, broken, (path,), cause)


def in_family(
    families: tuple[str, ...] | None,
    family: str | None,
    who_does_what: str,
    path: str,
    unsettled: tuple[str, ...],
    cause: str,
) -> Check:
    """Whether something is done in the family that the camera is switched to.

    `who_does_what` reads like `the camera sends no sound over the coax`; `unsettled` says what to supply
    for the family where it is not known; `cause` is the code of the device that does it in no family.
    """
    if families is None:
        return Check(None, "", (path,))
    if not families:
        return Check(False, who_does_what, cause=cause)
    if family is None:
        return Check(None, "", unsettled)
    return Check(family in families, f"{who_does_what} in {family.upper()}", cause="family")
