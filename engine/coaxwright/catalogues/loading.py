"""The catalogue that a question about a few named parts needs, out of however many files there are.

Small catalogues are read whole. Of large ones the index says where the named parts stand, and only those are read, with
what they are compared with: the cameras of the recorder's maker, and what is in a kit.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

from coaxwright.catalogues.entries import read_entries, tolerant_catalogue
from coaxwright.catalogues.index import Index
from coaxwright.catalogues.records import Records
from coaxwright.errors import Problem, Refusal
from coaxwright.facts.makers import maker_of
from coaxwright.immutable import immutable
from coaxwright.model.parts import PartFile
from coaxwright.reading.catalogue import Catalogue
from coaxwright.reading.collector import collector_off
from coaxwright.reading.suggest import did_you_mean
from coaxwright.reading.tables import load_generic_parts

SMALL = 256 * 1024
"""Bytes of part files up to which all are read: no index is faster there."""


@immutable
class Loaded:
    """A catalogue, and what is wrong with entries that are left out of it, by id (or file)."""

    catalogue: Catalogue
    bad: Mapping[str, tuple[Problem, ...]]


def load_all(files: Sequence[str], folder: Path | None = None) -> Loaded:
    """Every entry that can be used: of many by their index, without reading the files again.

    Raises Refusal for a file that cannot be opened.
    """
    if _small(files):
        return Loaded(*tolerant_catalogue(read_entries(name, name) for name in files))
    with collector_off(), Index(files, folder) as index:
        return Loaded(*tolerant_catalogue(index.everything()))


def _small(files: Sequence[str]) -> bool:
    return sum(os.path.getsize(name) for name in files) <= SMALL


def load_named(files: Sequence[str], names: Iterable[str], folder: Path | None = None) -> Loaded:
    """The catalogue in which these parts stand: all of a small one. Raises Refusal for a part that is bad or not there."""
    if _small(files):
        loaded = load_all(files)
        for name in names:
            if name in loaded.bad and not loaded.catalogue.has(name):
                raise Refusal(loaded.bad[name])
        return loaded
    with Index(files, folder) as index:
        return named(index, list(names))


def named(index: Records, names: Sequence[str]) -> Loaded:
    """The catalogue of these parts of an index, with what they are compared with. Raises Refusal."""
    bad = index.bad()
    wanted = [found for name in names for found in _ids(index, name, bad)]
    catalogue = Catalogue(tuple(index.sources(_with_contents(index, wanted))))
    makers = {maker_of(name, catalogue.part(name)) for name in wanted if catalogue.kind(name) == "recorder"}
    for maker in sorted(makers):
        beside = {
            name: value
            for name, value in index.values("kind = 'camera' and maker = ?", maker).items()
            if name not in bad
        }
        catalogue.parts.update(_parts({name: value for name, value in beside.items() if name not in catalogue.parts}))
    return Loaded(catalogue, bad)


def _parts(values: Mapping[str, Any]) -> dict[str, Any]:
    return dict(PartFile.model_validate({"parts": values}).parts) if values else {}


def _ids(index: Records, name: str, bad: Mapping[str, tuple[Problem, ...]]) -> list[str]:
    """The entries that a name may mean; none for a generic part. Raises Refusal."""
    if name in bad:
        raise Refusal(bad[name])
    if index.has(name):
        return [name]
    if name in load_generic_parts() or f"generic/{name}" in load_generic_parts():
        return []
    called = [each for each in index.called(name) if each not in bad]
    if called:
        return called  # the catalogue tells what the name may mean
    near = did_you_mean(name, index.names()) or "`coaxwright catalogue find WORDS` searches"
    raise Refusal([Problem(name, f"there is no part `{name}`", near)])


def _with_contents(index: Records, wanted: Sequence[str]) -> list[str]:
    """The parts, and what is in their boxes where they are kits, kits in kits too."""
    found, todo = dict.fromkeys(wanted), list(wanted)
    while todo:
        marks = ", ".join("?" * len(todo))
        values = index.values(f"kind = 'kit' and id in ({marks})", *todo)
        inside = [str(item["part"]) for each in values.values() for item in each.get("contains", ())]
        todo = [name for name in dict.fromkeys(inside) if name not in found and index.has(name)]
        found.update(dict.fromkeys(todo))
    return list(found)
