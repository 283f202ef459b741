"""Every field that a person may write is read by a fact, told by what a change of part loses, or stands here with its reason."""

from __future__ import annotations

import inspect
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from pydantic import BaseModel

from coaxwright.checking import check
from coaxwright.facts.assumed import assumable
from coaxwright.facts.binding import compute_facts
from coaxwright.facts.unused import UNUSED_OF_PARTS, UNUSED_OF_SITES, unused_in, unused_of_site
from coaxwright.fixes.part_losses import losses
from coaxwright.model import (
    assumptions,
    camera_parts,
    part_base,
    parts,
    recorder_parts,
    site,
    site_settings,
    wiring_parts,
)
from coaxwright.model.camera_parts import CameraPart
from coaxwright.reading.site_reader import LoadedSite, load_site_text, read_site
from coaxwright.reading.tables import load_assumptions
from coaxwright.topology.wiring import build_topology

from . import comparing

ROOT = Path(__file__).resolve().parents[2]
MODELS = [
    each
    for module in (assumptions, camera_parts, part_base, parts, recorder_parts, site, site_settings, wiring_parts)
    for each in vars(module).values()
    if inspect.isclass(each) and issubclass(each, BaseModel) and each.__module__ == module.__name__
]
FOR_READERS = {
    "title", "aliases", "price", "currency", "retired", "remarks", "notes", "label", "reason", "retired_since", "successor",
    "articles", "price_date", "stock", "lead_time", "price_tiers", "pieces", "warranty_years", "read", "facts", "datasheet",
    "revision", "page", "date",
    "firmware_from", "firmware_to",
}  # fmt: skip
ELSEWHERE = {
    "kind": "which model a part is read by",
    "PartFile.parts": "the catalogue is made of them",
    "Site.parts": "the files of the catalogue", "Site.prices": "the files of prices, laid over the catalogue",
    **{f"WantedCamera.{name}": "proposals write it down again" for name in ("place", "wants", "record", "area")},
    "WantedCamera.distances": "ways of proposals", "Site.wanted": "wishes of proposals",
    "Site.positions": "where proposals put recorders and supplies", "Position.place": "the same",
    "PowerInput.volts_tolerance": "the window is worked out as the entry is read: tests/catalogues/test_tolerance.py",
    "Hop.measured": "tests/facts/power/test_measured.py states it", "Supply.measured": "the same",
    "Site.defaults": "laid over the entries when a site is read",
    **{f"{model}.{name}": "the same" for model in ("Defaults", "DefaultsHere") for name in site.Defaults.model_fields},
    **{f"Cables.{name}": "the same" for name in site.Cables.model_fields},
    "Site.rules": "settings of rules", "Site.waivers": "waivers of findings",
    "Waiver.by": "told with a waived finding", "Waiver.on": "waivers", "Waiver.rule": "waivers", "Waiver.until": "waivers",
    "RuleSetting.level": "settings of rules", "RuleSetting.limits": "settings of rules",
    "KitPart.contains": "kits", "KitItem.count": "kits", "KitItem.length": "kits", "KitItem.part": "kits",
    "Recorder.monitors": "read from the other end: a monitor names its output",
    "BoxPart.housing": "boxes are judged where they stand by their paths only", "PickupPart.housing": "the same of pickups",
    "PickupPart.power": "a pickup takes its power from its line (common practice)",
    "SwitchPart.housing": "sites of tests put no switch where it asks more", "SwitchPart.power": "switches plug into the mains",
}  # fmt: skip
"""What rooms other than `facts` read, and where."""


def _traced(monkeypatch: pytest.MonkeyPatch) -> set[tuple[str, str]]:
    """A set that fills with every (model, field) that is read from now on."""
    seen: set[tuple[str, str]] = set()

    def reading(self: Any, name: str) -> Any:
        seen.add((type(self).__name__, name))
        return object.__getattribute__(self, name)

    for model in MODELS:
        monkeypatch.setattr(model, "__getattribute__", reading, raising=False)
    return seen


def _sites() -> Iterator[LoadedSite]:
    for path in sorted((ROOT / "examples").glob("*/*.site.yaml")):
        yield read_site(path)
    for seed in range(60):
        yield comparing.loaded_of(*comparing.rich_known_case_of(seed))


def _own_fields() -> Iterator[tuple[type[BaseModel], str]]:
    for model in MODELS:
        for name in model.model_fields:
            if name in model.__annotations__:
                yield model, name


def test_every_field_is_read(monkeypatch: pytest.MonkeyPatch) -> None:
    sites = list(_sites())
    catalogue = [part for loaded in sites for part in _parts(loaded)]
    seen = _traced(monkeypatch)
    for loaded in sites:
        facts = compute_facts(loaded, build_topology(loaded))
        for link in facts.by_kind("link"):
            facts.working(link, "reach")
    by_kind: dict[str, list[Any]] = {}
    for part in catalogue:
        by_kind.setdefault(part.kind, []).append(part)
    for group in by_kind.values():
        for old, new in pairwise(group):
            losses(old, new)
    unread = [f"{model.__name__}.{name}" for model, name in _own_fields() if not _seen(model, name, seen)]
    assert ("Optics", "sensor_width") in seen
    named = {f"Assumptions.{name}" for name in site.Assumptions.model_fields.keys() - UNUSED_OF_SITES.keys()}
    unread = [each for each in unread if each not in named]
    excused = {*UNUSED_OF_PARTS, *UNUSED_OF_SITES, *FOR_READERS}
    assert [each for each in unread if each not in ELSEWHERE and each.partition(".")[2] not in {*excused, "kind"}] == []
    told = {each.partition(".")[2] for each in unread}
    assert (set(UNUSED_OF_PARTS) | set(UNUSED_OF_SITES)) - told == set(), "it is read now: say so no longer"


def _parts(loaded: LoadedSite) -> Iterator[Any]:
    for source in loaded.catalogue.sources:
        yield from source.entries.parts.values()


def _seen(model: type[BaseModel], name: str, seen: set[tuple[str, str]]) -> bool:
    return any((each.__name__, name) in seen for each in MODELS if issubclass(each, model))


def test_every_assumption_of_a_site_stands_for_one_of_the_table() -> None:
    table = load_assumptions()
    for field in site.Assumptions.model_fields.keys() - UNUSED_OF_SITES.keys():
        value = 1.0
        written = site.Assumptions.model_construct(_fields_set={field}, **{field: value})
        assert {name for name, row in assumable(written).items() if row is not table[name]}, field


def test_what_is_not_used_is_told() -> None:
    sends: dict[str, Any] = {"kind": "camera", "source": "s", "emits": [{"family": "tvi", "mode": "1920x1080@25"}]}
    optics = {"focal_min": "4 mm", "focal_max": "4 mm", "sensor_height": "2.7 mm"}
    part = CameraPart.model_validate({**sends, "optics": optics, "power": {"inrush_time": "2 ms"}})
    assert [path for path, _ in unused_in(part)] == [("optics", "sensor_height"), ("power", "inrush_time")]
    assert all("is not used yet" in words for _, words in unused_in(part))
    assert list(unused_in(CameraPart.model_validate(sends))) == []


def test_a_site_file_that_states_it_is_told_too() -> None:
    file = ROOT / "examples" / "boatyard" / "alder-wharf.site.yaml"
    text = file.read_text(encoding="utf-8")
    place = "    label: Slipway and crane\n"
    tilted = load_site_text(text.replace(place, place + "    lens: {tilt: 30 deg}\n"), "wharf.site.yaml", file.parent)
    line = 1 + text[: text.index(place)].count("\n") + 1
    (words,) = unused_of_site(tilted)
    assert words.startswith(f"wharf.site.yaml:{line}:")
    assert "note: cameras/slipway/lens: `tilt` is not used yet" in words
    assert check(tilted).not_used == (words,)
    assert check(file).not_used == ()
