"""`compare` for Python callers."""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import fields
from typing import Any

from coaxwright.api.results import Told
from coaxwright.api.sites import AnyRules, AnySite, rules_of, site_of
from coaxwright.checking import Rulebook
from coaxwright.comparing import sites
from coaxwright.comparing.data import comparison_data
from coaxwright.comparing.judged import LISTS
from coaxwright.comparing.records import Comparison
from coaxwright.comparing.words import comparison_document
from coaxwright.immutable import immutable
from coaxwright.show.plain_data import plain
from coaxwright.show.tree import Document


@immutable
class Compared(Comparison, Told):
    """What differs between two sites: `same`, devices, quantities (pieces, m), runs, facts (base units), findings."""

    def to_dict(self) -> dict[str, Any]:
        """Plain values, equal to `coaxwright compare --format json`."""
        return dict(plain(comparison_data(self)))

    def rows(self) -> Sequence[Mapping[str, Any]]:
        """A row for each finding that is new, gone, worse or better: `change`, `rule`, `subject`, `level`, `message`."""
        return [
            {"change": change, "rule": each.one.rule, "subject": each.one.subject, "level": each.one.level,
             "message": each.one.message}
            for change in LISTS
            for each in getattr(self, change)
        ]  # fmt: skip

    def _document(self, form: str) -> Document:
        return comparison_document(self, form)


def compare(
    old: AnySite, new: AnySite, *, rules: AnyRules = (), today: datetime.date | None = None,
    rulebook: Rulebook | None = None,
) -> Compared:  # fmt: skip
    """What differs from one site to another, both judged by the same rules on the same day.

    `rulebook` says the same as `rules` and is kept for older callers. Returns a `Compared`.

    Raises Refusal where either cannot be judged.
    """
    found = sites.compare(site_of(old), site_of(new), rulebook=rulebook or rules_of(rules), today=today)
    return Compared(**{each.name: getattr(found, each.name) for each in fields(found)})
