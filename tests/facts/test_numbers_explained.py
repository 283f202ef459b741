"""Every number of a way, a line, a jacket, a screen or a place has a working, or is one that somebody states."""

from __future__ import annotations

import dataclasses
from pathlib import Path

from coaxwright.checking import facts_of, load_site
from coaxwright.facts.sheets import SHEETS

SITES = sorted((Path(__file__).parents[2] / "examples").glob("*/*.site.yaml"))
STATED = {
    "input": {"number"},
    "hop": {"metres", "reach"},
    "sheath": {"pairs"},
    "monitor": {"distance"},
    "view": {"distance", "focal", "focal_min", "focal_max", "lamp_range", "f_number", "least_light", "night_light", "near",
             "width_wanted"},
    "exposure": {"temperature_max", "ambient_max", "height"},
    "laying": {"metres", "beside_mains", "mains_circuits"},
    "link": set(), "serial_bus": set(), "area": set(),
}  # fmt: skip
"""Numbers that a site file or a part states, by kind of sheet."""


def test_every_computed_number_has_a_working() -> None:
    silent, told = set(), set()
    for path in SITES:
        facts = facts_of(load_site(path))
        for kind in STATED:
            names = [entry.name for entry in dataclasses.fields(SHEETS[kind]) if entry.metadata]  # type: ignore[arg-type]
            for sheet in facts.by_kind(kind):
                for name in names:
                    if type(sheet.known(name)) in (int, float):
                        (told if facts.working(sheet, name) else silent).add((kind, name))
    assert silent <= {(kind, name) for kind, names in STATED.items() for name in names}
    assert len(told) > 40
