"""The few findings that no rule file makes: about waivers and settings themselves.

Their topics are reserved.
"""

from __future__ import annotations

from collections.abc import Mapping

from coaxwright.immutable import immutable


@immutable
class BuiltIn:
    """A finding of the program's own: id, level, title and why it exists."""

    id: str
    level: str
    title: str
    why: str


UNUSED = BuiltIn(
    "waiver/unused",
    "warning",
    "Waiver that answers for nothing",
    "The finding that it was written for is gone, or never was. "
    "Left standing, it would silence the next one unseen.",
)
EXPIRED = BuiltIn(
    "waiver/expired",
    "warning",
    "Waiver that has run out",
    "It was given until a day that has passed. "
    "What it answered for counts again until someone renews or removes it.",
)
RULE_OFF = BuiltIn(
    "setting/rule-off",
    "note",
    "Rule switched off for this site",
    "A rule that is off judges nothing, so a clean report says less than it seems to.",
)
NOT_CHOSEN = BuiltIn(
    "setting/camera-not-chosen",
    "error",
    "Camera that is known by its wants alone",
    "What it is there for is written, and no part that does it. Nothing about its picture, cable or power can be "
    "judged before one is chosen.",
)
BUILT_IN: Mapping[str, BuiltIn] = {each.id: each for each in (UNUSED, EXPIRED, RULE_OFF, NOT_CHOSEN)}
RESERVED_TOPICS = frozenset(each.partition("/")[0] for each in BUILT_IN)
