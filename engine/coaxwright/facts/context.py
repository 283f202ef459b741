"""What the component functions share: the site as read, its topology, and the sheets that exist already.

A component function (`bind_supply`, `bind_recorder`) gets a context and one name, reads only what belongs to
that supply tree or that recorder, fills sheets, and returns the new ones. Nothing here computes.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field, replace
from typing import Any

from coaxwright.facts.assumed import Ledger
from coaxwright.facts.sheets import Camera, Junction, Recorder, Site, Supply
from coaxwright.immutable import immutable
from coaxwright.topology.source import SiteSource
from coaxwright.topology.wiring import Topology


@immutable
class Context:
    """Sheets by id in file order; `ledger` is the component's own.

    The sheets listed here exist before any component function runs: `subject`, `pointer`,
    `name` and `part` are set on them, and nothing that has to be computed. `memo` holds what follows from
    parts alone, for all components; keys are tuples that begin with the name of the module.
    """

    loaded: SiteSource
    topology: Topology
    site: Site
    cameras: Mapping[str, Camera]
    recorders: Mapping[str, Recorder]
    supplies: Mapping[str, Supply]
    junctions: Mapping[str, Junction]
    ledger: Ledger
    memo: dict[Any, Any] = field(default_factory=dict)

    def part(self, identifier: str) -> Any:
        """The catalogue entry of that id; KeyError where there is none (reading refuses that before)."""
        return self.loaded.catalogue.part(identifier)

    def for_component(self) -> Context:
        """The same with an empty ledger, for one component."""
        return replace(self, ledger=self.ledger.branch())
