"""Reads a site file: text to model, its part files to a catalogue, and every named part looked up.

All problems of the site file come together, in order of place. Not here: ports and how things are joined
(`topology`).
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any

from coaxwright.errors import Problem, Refusal, Span
from coaxwright.immutable import immutable
from coaxwright.model.quantities import quoted
from coaxwright.model.site import MAINS_GROUPS, PLAIN_MAINS, Hop, Site
from coaxwright.reading.catalogue import Catalogue, build_catalogue
from coaxwright.reading.defaults import Defaulted, default_cables, laid_over
from coaxwright.reading.files import Untrusted, confined_files
from coaxwright.reading.price_files import NO_PRICES, PriceBook, house_prices, priced, read_prices
from coaxwright.reading.suggest import did_you_mean
from coaxwright.reading.validation import refusal, validated, validated_value, worded
from coaxwright.reading.yaml_source import Document, parse_document, read_document

Steps = tuple[str | int, ...]
_ARTICLES = {"camera": "a camera", "recorder": "a recorder", "supply": "a supply", "disk": "a disk",
             "cable": "a cable run", "box": "an in-line box", "pickup": "a pickup", "switch": "a switch",
             "monitor": "a monitor", "kit": "a kit", "ups": "a UPS"}  # fmt: skip


@immutable
class LoadedSite:
    """One site as read: `file` as shown, the `site` model, `document` for places, `catalogue` for parts, with the
    prices of its price files, `prices`. `defaulted` are the values that come from `defaults` of the site file.
    """

    file: str
    site: Site
    document: Document
    catalogue: Catalogue
    prices: PriceBook = NO_PRICES
    defaulted: tuple[Defaulted, ...] = ()


def read_site(
    path: str | os.PathLike[str], *, extra_parts: Sequence[str | os.PathLike[str]] = (),
    prices: Sequence[str | os.PathLike[str]] = (),
) -> LoadedSite:  # fmt: skip
    """The site of a file, with the part files that it names and these besides; where it names no price files, with the prices
    of these. Raises Refusal.
    """
    return _loaded(read_document(path), Path(path).parent, extra_parts, prices)


def load_site_text(
    text: str, file: str, root: str | os.PathLike[str], *, extra_parts: Sequence[str | os.PathLike[str]] = ()
) -> LoadedSite:
    """The site of a text; its part files are looked for below `root`. Raises Refusal."""
    return _loaded(parse_document(text, file), Path(root), extra_parts)


def load_site_with(text: str, file: str, catalogue: Catalogue) -> LoadedSite:
    """The site of a text whose parts are those of a catalogue that was read already. Raises Refusal."""
    document = parse_document(text, file)
    site = validated(Site, document)
    check_references(site, catalogue, document)
    site, defaulted = laid_over(site)
    return LoadedSite(file, site, document, catalogue, defaulted=defaulted)


def with_value(loaded: LoadedSite, value: dict[str, Any]) -> LoadedSite:
    """The same site with another plain value (an edit that is tried); places are of the old text.

    Raises Refusal when the value is no site, or names parts that are not there. The part files stay.
    """
    site = validated_value(Site, value, loaded.document)
    check_references(site, loaded.catalogue, loaded.document)
    site, defaulted = laid_over(site)
    return replace(loaded, site=site, defaulted=defaulted)


def _loaded(
    document: Document, root: Path, extra: Sequence[str | os.PathLike[str]], house: Sequence[str | os.PathLike[str]] = ()
) -> LoadedSite:
    problems: list[Problem] = []
    site: Site | None = None
    catalogue: Catalogue | None = None
    prices = NO_PRICES
    try:
        site = validated(Site, document)
    except Refusal as refused:
        problems.extend(refused.problems)
    try:
        catalogue = build_catalogue(_part_files(document, root, extra))
        named = list(_files(document, root, "prices").values())
        prices = read_prices(named, catalogue) if named else house_prices(house, catalogue)
    except Refusal as refused:
        problems.extend(refused.problems)
    if problems or site is None or catalogue is None:
        raise Refusal(sorted(problems, key=lambda problem: problem.file != document.file))
    check_references(site, catalogue, document)
    site, defaulted = laid_over(site)
    return LoadedSite(document.file, site, document, priced(catalogue, prices), prices, defaulted)


def _part_files(
    document: Document, root: Path, extra: Sequence[str | os.PathLike[str]]
) -> list[tuple[Path, str]]:
    """Part files with shown names, each once. Refusal for patterns that lead nowhere or outside."""
    found = _files(document, root, "parts")
    for each in extra:
        found.setdefault(os.path.realpath(each), (Path(each), os.fspath(each)))
    return list(found.values())


def _files(document: Document, root: Path, key: str) -> dict[str, tuple[Path, str]]:
    """Files that the patterns under a key name, with shown names, by what they really are."""
    found: dict[str, tuple[Path, str]] = {}
    problems = []
    patterns = document.value.get(key)
    for index, pattern in enumerate(patterns if isinstance(patterns, list) else ()):
        try:
            paths = confined_files(root, pattern) if isinstance(pattern, str) else []
        except Untrusted as error:
            span = document.span((key, index))
            problems.append(Problem(document.file, error.what, error.right, span, (key, index)))
            continue
        for path in paths:
            shown = os.path.join(os.path.dirname(document.file), os.path.relpath(path, os.path.realpath(root)))
            found.setdefault(os.path.realpath(path), (path, shown))
    if problems:
        raise Refusal(problems)
    return found


def check_references(site: Site, catalogue: Catalogue, document: Document) -> None:
    """Raises Refusal unless every part named is there and of its kind, and settings and screens are known."""
    wrong: list[tuple[Span, Steps, Callable[[], tuple[str, str]]]] = []
    fine: dict[tuple[str, str], bool] = {}
    for kind, name, path in _named_parts(site):
        if (kind, name) not in fine:
            fine[kind, name] = catalogue.has(name) and catalogue.kind(name) == kind
        if not fine[kind, name]:
            wrong.append((document.nearest_span(path), path, partial(_wrong_part, kind, name, catalogue)))
    for what, right, path in _wrong_names(site, catalogue):
        wrong.append((document.nearest_span(path), path, partial(_said, what, right)))
    if wrong:
        raise refusal(worded(document.file, wrong))


def _said(what: str, right: str) -> tuple[str, str]:
    return what, right


def _wrong_part(kind: str, name: str, catalogue: Catalogue) -> tuple[str, str]:
    """What is wrong with naming this part where one of that kind is needed."""
    try:
        found = catalogue.kind(name)
    except KeyError:
        return catalogue.unknown(name, kind)
    near = did_you_mean(name, catalogue.ids(kind))
    return (
        f"{quoted(name)} is {_ARTICLES[found]}; {_ARTICLES[kind]} needs a {kind} part",
        near or f"name a {kind} part",
    )


def parts_used(site: Site) -> tuple[str, ...]:
    """Every part that a site names, each once, as it is written there."""
    return tuple(dict.fromkeys(name for _, name, _ in _named_parts(site)))


def _named_parts(site: Site) -> Iterator[tuple[str, str, Steps]]:
    """Kind needed, part named, and where."""
    groups: tuple[tuple[str, str, dict[str, Any]], ...] = (
        ("camera", "cameras", site.cameras),
        ("recorder", "recorders", site.recorders),
        ("supply", "supplies", site.supplies),
        ("box", "boxes", site.boxes),
        ("switch", "switches", site.switches),
        ("monitor", "monitors", site.monitors),
        ("ups", "ups", site.ups),
    )
    for kind, group, entries in groups:
        for name, entry in entries.items():
            yield kind, entry.part, (group, name, "part")
    for name, recorder in site.recorders.items():
        for index, disk in enumerate(recorder.disks or ()):
            yield "disk", disk, ("recorders", name, "disks", index)
    for name, camera in site.cameras.items():
        if camera.sound is not None and camera.sound.pickup is not None:
            yield "pickup", camera.sound.pickup, ("cameras", name, "sound", "pickup")
    for path, cable in default_cables(site):
        yield "cable", cable, path
    for path, hops in _ways(site):
        for index, hop in enumerate(hops):
            if hop.cable is not None:
                yield "cable", hop.cable, (*path, "over", index, "cable")


def _ways(site: Site) -> Iterator[tuple[Steps, tuple[Hop, ...]]]:
    """Every cable path that is written."""
    for name, camera in site.cameras.items():
        uses = (
            ("video", camera.video),
            ("network", camera.network),
            ("power", camera.power),
            ("sound", camera.sound),
            ("control", camera.control),
        )
        for use, way in uses:
            if way is not None and way.over:
                yield ("cameras", name, use), way.over
    powered: tuple[tuple[str, dict[str, Any]], ...] = (
        ("recorders", site.recorders),
        ("junctions", site.junctions),
        ("boxes", site.boxes),
    )
    for group, entries in powered:
        for name, entry in entries.items():
            if entry.power is not None and entry.power.over:
                yield (group, name, "power"), entry.power.over
    for name, switch in site.switches.items():
        if switch.over:
            yield ("switches", name), switch.over


def _wrong_positions(site: Site) -> Iterator[tuple[str, str, Steps]]:
    """Positions to which a camera has a way and that the site does not have."""
    for name, camera in site.wanted.items():
        for position in camera.distances:
            if position not in site.positions:
                right = did_you_mean(position, site.positions) or "add it under `positions`"
                what = f"there is no position {quoted(position)} on this site"
                yield what, right, ("cameras", name, "distances", position)


_HOUSED = ("recorders", "supplies", "boxes", "switches", "ups", "junctions")


def _wrong_cabinets(site: Site) -> Iterator[tuple[str, str, Steps]]:
    """Devices in a cabinet that is not there, and cameras in one."""
    for group in ("cameras", *_HOUSED, "cabinets"):
        for name, entry in getattr(site, group).items():
            cabinet = None if entry.place is None else entry.place.cabinet
            path = (group, name, "place", "cabinet")
            if cabinet is None:
                continue
            if group not in _HOUSED:
                yield f"`cabinet` is not for {group}", f"it is for {', '.join(_HOUSED)}", path
            elif cabinet not in site.cabinets:
                right = did_you_mean(cabinet, site.cabinets) or "add it under `cabinets`"
                yield f"there is no cabinet {quoted(cabinet)} on this site", right, path


def _wrong_names(site: Site, catalogue: Catalogue) -> Iterator[tuple[str, str, Steps]]:
    """Recorder settings that its part does not have; screens, UPS and positions that are not on the site."""
    yield from _wrong_plugs(site)
    yield from _wrong_positions(site)
    yield from _wrong_cabinets(site)
    for name, recorder in site.recorders.items():
        for index, screen in enumerate(recorder.monitors):
            if screen not in site.monitors:
                right = did_you_mean(screen, site.monitors) or "add it under `monitors`"
                yield (
                    f"there is no monitor {quoted(screen)} on this site",
                    right,
                    ("recorders", name, "monitors", index),
                )
        if (
            not recorder.set
            or not catalogue.has(recorder.part)
            or catalogue.kind(recorder.part) != "recorder"
        ):
            continue
        part = catalogue.part(recorder.part)
        known = {
            *part.settings,
            *(each.after for group in part.inputs for each in group.accepts if each.after),
        }
        for index, setting in enumerate(recorder.set):
            if setting not in known:
                listed = (
                    f"its settings are {', '.join(sorted(known))}" if known else "its part states no settings"
                )
                what = f"{quoted(recorder.part)} has no setting {quoted(setting)}"
                yield what, did_you_mean(setting, known) or listed, ("recorders", name, "set", index)


def _wrong_plugs(site: Site) -> Iterator[tuple[str, str, Steps]]:
    """Mains plugs in a UPS that is not there."""
    if PLAIN_MAINS in site.ups:
        yield f"`{PLAIN_MAINS}` means the plain mains", "give the UPS another id", ("ups", PLAIN_MAINS)
    for group in MAINS_GROUPS:
        for name, entry in getattr(site, group).items():
            if entry.mains is None:
                continue
            path = (group, name, "mains")
            if entry.mains != PLAIN_MAINS and entry.mains not in site.ups:
                right = did_you_mean(entry.mains, (*site.ups, PLAIN_MAINS)) or "add it under `ups`, or write `mains`"
                yield f"there is no UPS {quoted(entry.mains)} on this site", right, path
