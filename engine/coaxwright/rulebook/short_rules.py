"""The rule of three lines (`about`, `require`, `says`) that a user may write in a folder of his own.

It becomes a whole rule: its id and title come from its file, and where a rule names its source it says that there is none.
"""

from __future__ import annotations

from collections.abc import Mapping

from coaxwright.model.rules import Rule, ShortRule

NO_SOURCE = "no source"
SINCE = "0.0"
_KEYS = frozenset(name for name in ShortRule.model_fields)


def is_short(value: object) -> bool:
    """Whether a file states nothing but what a rule of three lines may; it then needs neither title, reason nor source."""
    return isinstance(value, Mapping) and bool(value) and value.keys() <= _KEYS


def completed(short: ShortRule, identifier: str) -> Rule:
    """The whole rule."""
    words = identifier.partition("/")[2].replace("-", " ")
    stated = short.model_dump(by_alias=True, exclude_none=True)
    whole = {
        **stated, "id": identifier, "title": words[:1].upper() + words[1:], "since": SINCE, "status": "preview",
        "why": "A check of the user's own; its file gives no reason and names no source.", "sources": [{"title": NO_SOURCE}],
    }  # fmt: skip
    return Rule.model_validate(whole)


def sourceless(rule: Mapping[str, object]) -> bool:
    """Whether a rule, as plain data, was written in the short form."""
    return rule["since"] == SINCE
