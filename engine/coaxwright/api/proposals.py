"""`propose` for Python callers."""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import field
from pathlib import Path
from typing import Any, Literal

from coaxwright.api.pairs import part_files
from coaxwright.api.results import Told
from coaxwright.api.sites import AnyRules, AnySite, rules_of, site_of
from coaxwright.immutable import immutable
from coaxwright.proposals.searching import Proposal, Search
from coaxwright.proposals.telling import proposal_data, proposal_document
from coaxwright.proposals.writing import write_system
from coaxwright.reading.site_reader import read_site
from coaxwright.show.plain_data import plain
from coaxwright.show.tree import Document


@immutable
class Proposed(Told):
    """What `propose` found: `found` with `systems` (the best first), `bound` on the cost (in `currency`) and
    `in_the_way` where there is none. Each system is a whole site that was judged; it needs review before it is built.
    """

    found: Proposal = field(repr=False)

    @property
    def complete(self) -> bool:
        """Whether there is a system to be written."""
        return self.found.best is not None

    def write(self, output: str | os.PathLike[str], *, replace: bool = False) -> list[Path]:
        """Write the best system as a site file, with part files that it needs; returns what was written.

        Raises Refusal where there is none, where a file stands there without `replace`, or nothing can be written.
        """
        return write_system(self.found, self.found.best, Path(output), replace)

    def to_dict(self) -> dict[str, Any]:
        """Plain values, as `coaxwright propose --format json` but that no file is named."""
        return dict(plain(proposal_data(self.found, "")))

    def rows(self) -> Sequence[Mapping[str, Any]]:
        """A row for each system that was found, with its figures."""
        return list(self.to_dict().get("systems", []))

    def _document(self, form: str) -> Document:
        return proposal_document(self.found, "")


def propose(
    wants: AnySite, *, parts: str | Iterable[str | os.PathLike[str]] = (),
    prefer: Literal["cheapest", "fewest"] = "cheapest", budget: int | None = None, rules: AnyRules = (),
) -> Proposed:  # fmt: skip
    """Make a whole system from wants: cameras known by what they are there for, distances, and priced parts.

    `wants` is a site whose cameras have `wants` and no part. `parts` are further part files, or globs (with a path as
    `wants`); `budget` is how many judgements are made at most. Nothing is written: `write` of the result does that.

    Returns a `Proposed`. Raises Refusal where the wants cannot be read.
    """
    files = part_files(parts)
    path = isinstance(wants, str | os.PathLike)
    loaded = read_site(wants, extra_parts=[each for each, _ in files]) if path else site_of(wants)  # type: ignore[arg-type]
    return Proposed(Search(loaded, rules_of(rules), prefer, budget).run())
