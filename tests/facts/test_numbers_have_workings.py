"""Every number on a sheet has a working, or is one that somebody wrote: for the subject, for its part, or for the site.

README: "every number ... with its working". What was written is looked for by its value, in the records themselves, so
that nobody keeps a list of fields that need no working. A count that happens to equal a written number on one site does
not on all.
"""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from pydantic import BaseModel

from coaxwright.checking import facts_of, load_site
from coaxwright.facts.binding import Facts
from coaxwright.facts.sheets import SHEETS, Sheet

SITES = sorted((Path(__file__).parents[2] / "examples").glob("*/*.site.yaml"))
OWED = {
    "box", "device_feed", "feed", "junction", "network_port", "output", "poe_port", "poe_source",
    "run", "sheath", "supply", "switch",
}  # fmt: skip
"""Kinds of sheets on which some numbers have no working yet; this set only gets smaller."""
KINDS = tuple(kind for kind in SHEETS if kind not in OWED)


def numbers(value: Any) -> Iterator[float]:
    """Every number in a record, those at the end of a path too, as in `rec1/3`."""
    if isinstance(value, BaseModel):
        for name in type(value).model_fields:
            yield from numbers(getattr(value, name))
    elif isinstance(value, dict):
        for each in value.values():
            yield from numbers(each)
    elif isinstance(value, list | tuple):
        for each in value:
            yield from numbers(each)
    elif isinstance(value, str):
        yield from (float(found[1]) for found in [re.search(r"/(\d+)$", value)] if found)
    elif isinstance(value, int | float) and not isinstance(value, bool):
        yield float(value)


def written(found: Facts, sheet: Sheet) -> set[float]:
    """Numbers that somebody wrote for the subject, its parts, or the site."""
    site = found.context.loaded.site
    group, _, name = sheet.subject.partition("/")
    single = [value for value in dict(site).values() if not isinstance(value, dict)]
    if group == "site":
        return set(numbers(single))
    entry = (getattr(site, group, None) or {}).get(name.partition("/")[0])
    parts = {*filter(None, [getattr(entry, "part", None), getattr(sheet, "part", None)]), *(getattr(entry, "disks", None) or ())}
    named = [camera.video for camera in site.cameras.values()] if sheet.kind == "input" else []
    return set(numbers([entry, *(found.context.part(part) for part in parts), *single, *named]))


def told(found: Facts, kind: str) -> Iterator[tuple[Sheet, str, float, bool]]:
    """Each known number of the kind, and whether its working is told."""
    for sheet in found.by_kind(kind):
        for field in dataclasses.fields(sheet):  # type: ignore[arg-type]
            value = sheet.known(field.name)
            if isinstance(value, int | float) and not isinstance(value, bool):
                yield sheet, field.name, float(value), bool(found.working(sheet, field.name))


@pytest.mark.parametrize("site", SITES, ids=lambda site: site.stem)
def test_every_number_has_a_working_or_was_written(site: Path) -> None:
    found = facts_of(load_site(site))
    bare = [
        f"{sheet.subject}: {kind}.{field} is {value:g}"
        for kind in KINDS
        for sheet, field, value, worked in told(found, kind)
        if not worked and value not in written(found, sheet)
    ]
    assert not bare, "\n".join(bare)


def test_the_guard_finds_a_number_without_working(monkeypatch: pytest.MonkeyPatch) -> None:
    """With the tables of workings taken away, what is summed is neither told nor written."""
    monkeypatch.setattr("coaxwright.facts.workings._TABLES", ())
    found = facts_of(load_site(SITES[0]))
    for kind, field in (("recorder", "bitrate_mean"), ("disk_group", "raw"), ("camera", "bitrate")):
        bare = {name for sheet, name, value, worked in told(found, kind) if not worked and value not in written(found, sheet)}
        assert field in bare
