"""`propose` for Python callers."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from dataclasses import fields
from pathlib import Path
from typing import Any, Literal

from coaxwright.api.results import Told
from coaxwright.api.sites import AnyRules, AnySite, rules_of, site_of
from coaxwright.immutable import immutable
from coaxwright.pace import TimeLimit, within
from coaxwright.proposals.searching import Proposal, Search
from coaxwright.proposals.telling import proposal_data, proposal_document, system_figures
from coaxwright.proposals.writing import write_system
from coaxwright.show.tree import Document


@immutable
class Proposed(Proposal, Told):
    """Systems for wants: `best` and `systems` (None, empty where there is none), `bound` on the cost in `currency`,
    `optimal`, and `in_the_way` where none was found. `write` makes the site file.
    """

    def to_dict(self) -> dict[str, Any]:
        """Plain values, equal to `coaxwright propose --format json`; `output` is empty."""
        return proposal_data(self, "")

    def rows(self) -> Sequence[Mapping[str, Any]]:
        """A row for each system: `name`, `cost`, parts with their numbers, `metres` of cable, inputs and outputs left."""
        return [{"name": each.name, "cost": each.plan.cost, **system_figures(self, each)} for each in self.systems]

    def write(self, output: str | os.PathLike[str], *, replace: bool = False) -> list[Path]:
        """Write the best system as a site file with comments; what was written.

        Raises Refusal where there is no system, the file exists (unless `replace`), or cannot be written.
        """
        return write_system(self, self.best, Path(output), replace)

    def _document(self, form: str) -> Document:
        return proposal_document(self, "FILE")


def propose(
    wants: AnySite, *, prefer: Literal["cheapest", "fewest"] = "cheapest", budget: int | None = None,
    time_limit: float | None = None, rules: AnyRules = (),
) -> Proposed:  # fmt: skip
    """Whole systems for a site whose cameras are known by their wants alone, each checked as a whole.

    `prefer` says which comes first: the cheapest, or the one with the fewest recorders and supplies. `budget` is how
    many small systems are judged at most, `time_limit` the seconds.

    Returns a `Proposed`; nothing is written. Raises Refusal where the site cannot be read, has no wants, or has
    anything chosen already.
    """
    with within(TimeLimit(time_limit)):
        found = Search(site_of(wants), rules_of(rules), prefer, budget).run()
    return Proposed(**{each.name: getattr(found, each.name) for each in fields(found)})
