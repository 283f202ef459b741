"""The coax cameras of a site as a set: which part, how switched, over which run, and where each stands today."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Any

from coaxwright.errors import Problem, Refusal
from coaxwright.immutable import immutable
from coaxwright.model.site import Camera as CameraEntry
from coaxwright.model.site import Hop
from coaxwright.model.site import Recorder as RecorderEntry
from coaxwright.pairing.listed_pieces import of_network
from coaxwright.pairing.sets import Piece
from coaxwright.pairing.small_sites import Question
from coaxwright.reading.site_reader import LoadedSite


@immutable
class SiteSet:
    """The cameras of a site. `today` are the same pieces with the settings of the recorder that they are on, `ports`
    their recorder (its place in `boxes`) and input; `unplugged` are cameras on no recorder, `notes` what is left out,
    `network` how many network cameras there are besides.
    """

    pieces: tuple[Piece, ...]
    today: tuple[Piece, ...]
    ports: tuple[tuple[int, int], ...]
    boxes: tuple[str, ...]
    names: tuple[str, ...]
    notes: tuple[str, ...]
    network: int = 0


@dataclass(slots=True)
class _Found:
    """What was found so far; lives for one call."""

    pieces: list[Piece] = field(default_factory=list)
    today: list[Piece] = field(default_factory=list)
    ports: list[tuple[int, int]] = field(default_factory=list)
    network: list[str] = field(default_factory=list)
    loose: list[str] = field(default_factory=list)
    runs: list[str] = field(default_factory=list)


def site_set(loaded: LoadedSite, question: Question) -> SiteSet:
    """Cameras that stand on a recorder input. Raises Refusal for a site without one."""
    site, catalogue, found = loaded.site, loaded.catalogue, _Found()
    names = tuple(site.recorders)
    boxes = tuple(catalogue.full_id(each.part) for each in site.recorders.values())
    for name, entry in site.cameras.items():
        part = catalogue.full_id(entry.part)
        recorder, _, number = entry.video.into.partition("/") if entry.video else ("", "", "")
        if not catalogue.part(part).emits:
            found.network.append(name)
        elif recorder not in names or not number.isdecimal():
            found.loose.append(name)
        else:
            _add(found, name, part, entry, site.recorders[recorder], question)
            found.ports.append((names.index(recorder), int(number)))
    if not found.pieces:
        raise Refusal([Problem(loaded.file, "no coax camera stands on a recorder input here", "name a list of cameras")])
    return SiteSet(
        tuple(found.pieces), tuple(found.today), tuple(found.ports), boxes, names, tuple(_notes(found)), len(found.network),
    )  # fmt: skip


def _add(found: _Found, name: str, part: str, entry: CameraEntry, recorder: RecorderEntry, question: Question) -> None:
    """One camera with its run, where that is plain cable."""
    family = entry.set.family if entry.set else None
    mode = str(entry.set.mode) if entry.set and entry.set.mode else None
    asked = replace(question, family=family, mode=mode)
    over: tuple[Any, ...] = (entry.video and entry.video.over) or ()
    if len(over) == 1 and _plain(over[0], entry):
        asked = replace(asked, cable=over[0].cable, length=f"{over[0].length:g} m")
    elif over:
        found.runs.append(name)
    found.pieces.append(Piece(part, asked, name))
    found.today.append(Piece(part, replace(asked, made=tuple(recorder.set or ())), name))


def _plain(hop: Hop, entry: CameraEntry) -> bool:
    """One run of cable indoors, of which nothing else is said: judged as the run of a pair is."""
    inside = entry.place is None or entry.place.setting in (None, "indoor")
    stated = hop.model_fields_set - {"cable", "length", "setting"}
    return bool(hop.cable and hop.length and inside and not stated and hop.setting in (None, "indoor"))


def _notes(found: _Found) -> list[str]:
    told = []
    if found.network:
        told.append(of_network(found.network))
    if found.loose:
        told.append(f"on no recorder input today and left out: {', '.join(found.loose)}")
    if found.runs:
        several = ", ".join(found.runs)
        told.append(f"runs outdoors, of several pieces or with boxes are not judged here (`what-if` on the site does): {several}")
    return told
