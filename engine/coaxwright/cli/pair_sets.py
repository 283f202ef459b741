"""`coaxwright pair --cameras LIST RECORDER-GLOB`: a whole set of cameras on each recorder."""

from __future__ import annotations

from pathlib import Path
from typing import Any, NamedTuple

import click

from coaxwright.cli.handed import Clerk, Question
from coaxwright.show.screen import Screen


class SetCall(NamedTuple):
    """The call: the list, the recorders, what is to be kept, the question, and where to look."""

    cameras: Path
    recorders: str
    keep: tuple[str, ...]
    question: Any
    conditions: tuple[str, ...]
    globs: tuple[str, ...]
    extra_rules: tuple[Path, ...]


def set_answer(call: SetCall, form: str, screen: Screen) -> str:
    """The answer in a form. Raises Refusal, and a usage error for options that have no meaning here."""
    from dataclasses import replace

    from coaxwright.checking import load_rulebook
    from coaxwright.pairing.cells import Clerk
    from coaxwright.pairing.keeping import parse_keep
    from coaxwright.pairing.set_words import answered_set, render_set
    from coaxwright.pairing.sets import as_it_stands

    _refuse_what_placing_decides(call.question)
    keep = parse_keep(call.keep)
    of_site = call.cameras.suffix in (".yaml", ".yml")
    catalogue, pieces, network, stands, notes = _from_site(call) if of_site else _from_list(call)
    clerk = Clerk(catalogue, load_rulebook(call.extra_rules) if call.extra_rules else None)
    recorders = _recorders(clerk, call)
    today = as_it_stands(clerk, stands.today, stands.ports, stands.boxes) if stands else None
    if today is not None:
        now = zip(pieces, today.placings, strict=True)
        pieces = [replace(piece, today=each.seat.cell) for piece, each in now]
    answer = answered_set(clerk, call.cameras.name, pieces, recorders, keep, notes, today, network)
    return render_set(clerk, answer, form, screen)


def _refuse_what_placing_decides(question: Question) -> None:
    for value, option in ((question.number, "--input"), (question.channels, "--channels")):
        if value is not None:
            raise click.UsageError(f"{option} is decided here: each camera of the list takes an input of its own")
    if question.switched:
        raise click.UsageError("--set family=... and mode=... are of one camera: the list has columns for them")


def _from_site(call: SetCall) -> tuple[Any, ...]:
    """Catalogue, pieces, how many network cameras, where they stand today, remarks."""
    from dataclasses import replace

    from coaxwright.cli.catalogues import part_files
    from coaxwright.cli.house_prices import priced_site
    from coaxwright.pairing.site_lists import site_set

    loaded = priced_site(call.cameras, part_files(call.globs))
    found = site_set(loaded, replace(call.question, video_rate=int(loaded.site.video_rate)))
    return loaded.catalogue, found.pieces, found.network, found, found.notes


def _from_list(call: SetCall) -> tuple[Any, ...]:
    from coaxwright.cli.catalogues import catalogue_of
    from coaxwright.pairing.listed_pieces import HalfRun, pieces_of
    from coaxwright.schedules.camera_lists import read_camera_list

    catalogue = catalogue_of(call.globs)
    listed = read_camera_list(call.cameras, catalogue)
    try:
        pieces, network, remarks = pieces_of(listed.rows, catalogue, call.question)
    except HalfRun as half:
        right = "`--cable`, `--length` or columns"
        raise click.UsageError(f"{half.place}: a run needs both, its cable and its length: {right}") from half
    if not pieces:
        raise click.UsageError(f"{call.cameras} lists network cameras only: nothing of them goes over coax")
    return catalogue, pieces, network, None, [*listed.notes, *remarks]


def _recorders(clerk: Clerk, call: SetCall) -> list[str]:
    from coaxwright.pairing.tables import kept, named, parse_condition, refuse_what_no_recorder_has

    met = [parse_condition(each) for each in call.conditions]
    found = kept(clerk.catalogue, named(clerk.catalogue, call.recorders, "recorder"), "recorder", met)
    if not found:
        raise click.UsageError("no recorders meet every --where")
    refuse_what_no_recorder_has(clerk, found, call.question)
    return list(found)
