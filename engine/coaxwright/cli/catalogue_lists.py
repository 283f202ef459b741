"""`coaxwright catalogue add | update`: price lists into the catalogue, and newer ones over it."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Container, Mapping
from pathlib import Path
from typing import Any, NamedTuple, TypeVar

import click

from coaxwright.cli.exits import CLEAN, FINDINGS
from coaxwright.cli.groups import Exampled
from coaxwright.cli.handed import Merge
from coaxwright.cli.options import format_option
from coaxwright.cli.output import complain, deliver
from coaxwright.cli.price_lists import read_list, table_options

Decorated = TypeVar("Decorated", bound=Callable[..., Any])


def _list_options(function: Decorated) -> Decorated:
    """What both commands ask of a list."""
    options = (
        click.option("--kind", metavar="KIND", help="Which kind of part the list is of; not for part files."),
        click.option("--sheet", metavar="NAME", help="The sheet of the workbook."),
        click.option("--maker", metavar="ID", help="Maker of parts whose id names none."),
        click.option("--currency", metavar="CODE", help="Currency of the prices, as in EUR."),
        table_options,
        click.option("--catalogue", "folder", type=click.Path(path_type=Path), metavar="DIR",
                     help="The folder of the catalogue: COAXWRIGHT_PARTS or the user's data folder unless given."),
        format_option("text", "json", "md", "html", "csv"),
    )  # fmt: skip
    for option in reversed(options):
        function = option(function)
    return function


class _Listed(NamedTuple):
    """What a list holds: entries by id as a part file has them, and the currency of their prices."""

    entries: Mapping[str, Mapping[str, Any]]
    currency: str | None


@click.command(
    "add", cls=Exampled, examples=("coaxwright catalogue add prices.csv --kind camera --maker fennick --currency EUR",)
)
@click.argument("file", metavar="FILE", type=click.Path(path_type=Path))
@_list_options
def add(file: Path, form: str, folder: Path | None, **asked: object) -> int:
    """Add the parts of FILE (a price list, or a part file) that the catalogue has not. What is there stays as it is.

    Exit status 0 when all are in now, 1 when the catalogue has some of them otherwise, 2 when the list could not be read.
    """
    from coaxwright.catalogues.merging import Merge, merge_of, write_merge
    from coaxwright.cli.catalogues import catalogue_folder

    home = folder or catalogue_folder()
    there = _there(home)
    listed = _read(file, asked, home, there)
    merge = merge_of(listed.entries, listed.currency, there)
    new = Merge(merge.new, (), {}, merge.same)
    written = [] if new.empty else write_merge(new, home, _file_of(file, asked), listed.currency)
    deliver(_told(merge, form, f"{len(merge.new)} parts added"))
    for name in written:
        complain(f"{name}: written; `coaxwright catalogue update --undo` takes it back")
    if merge.changes:
        complain(f"{len(merge.changes)} parts are there and say something else: `catalogue update {file}` shows and writes it")
    return FINDINGS if merge.changes else CLEAN


@click.command(
    "update",
    cls=Exampled,
    examples=(
        "coaxwright catalogue update prices-4.csv --kind camera --maker fennick",
        "coaxwright catalogue update prices-4.csv --kind camera --maker fennick --retire-missing --write",
        "coaxwright catalogue update --undo",
    ),
)
@click.argument("file", metavar="FILE", type=click.Path(path_type=Path), required=False)
@click.option("--write", is_flag=True, help="Write what is shown; without it nothing is written.")
@click.option("--retire-missing", is_flag=True, help="Parts of this maker and kind that the list lacks are no longer sold.")
@click.option("--date", "day", type=click.DateTime(["%Y-%m-%d"]), help="The day of the list, kept with new prices.")
@click.option("--undo", is_flag=True, help="Take back the last `add` or `update`.")
@_list_options
def update(file: Path | None, form: str, folder: Path | None, write: bool, retire_missing: bool,
           day: datetime.datetime | None, undo: bool, **asked: object) -> int:  # fmt: skip
    """Lay FILE, a newer list, over the catalogue: new parts, changed prices, parts no longer sold. Other fields stay.

    Exit status 0 when there is nothing to change or it was written, 1 when there is, 2 when it could not be read.
    """
    from coaxwright.catalogues.merging import merge_of, retired_too, take_back, write_merge
    from coaxwright.cli.catalogues import catalogue_folder

    home = folder or catalogue_folder()
    if undo:
        for name in take_back(home):
            complain(f"{name}: as it was")
        return CLEAN
    if file is None:
        raise click.UsageError("name the list, or --undo")
    there = _there(home)
    listed = _read(file, asked, home, there)
    merge = merge_of(listed.entries, listed.currency, there, day.date().isoformat() if day else None)
    if retire_missing:
        merge = retired_too(merge, there)
    deliver(_told(merge, form, "as written" if write else "nothing is written yet: add --write"))
    if merge.empty or not write:
        return CLEAN if merge.empty else FINDINGS
    for name in write_merge(merge, home, _file_of(file, asked), listed.currency):
        complain(f"{name}: written; `coaxwright catalogue update --undo` takes it back")
    return CLEAN


def _file_of(file: Path, asked: Mapping[str, Any]) -> str:
    """The part file that new parts of a list go to."""
    return f"{asked['maker'] or file.stem}.yaml"


def _read(file: Path, asked: Mapping[str, Any], home: Path, known: Container[str] = ()) -> _Listed:
    if file.suffix in (".yaml", ".yml"):
        from coaxwright.catalogues.entries import read_entries
        from coaxwright.errors import Refusal

        read = read_entries(file, str(file))
        if read.source is None or read.bad:
            raise Refusal([problem for problems in read.bad.values() for problem in problems])
        return _Listed(read.source.document.value["parts"], read.source.entries.currency)
    if asked["kind"] is None:
        raise click.UsageError("--kind says which kind of part a table lists: --kind camera, for example")
    table = read_list(file, asked, home, known)
    return _Listed(table.entries, table.currency)


def _there(home: Path) -> dict[str, tuple[str, Mapping[str, Any], str | None]]:
    """Every entry of the catalogue: its file, what it states, and the currency of its price."""
    from coaxwright.catalogues.index import Index
    from coaxwright.catalogues.places import below

    files = below(home) if home.is_dir() else []
    if not files:
        return {}
    with Index(files, home) as index:
        values = index.values("1")
        return {each.id: (each.path, values[each.id], each.currency) for each in index.entries()}


def _told(merge: Merge, form: str, ending: str) -> str:
    """The comparison in a form."""
    from coaxwright.catalogues.merge_words import merge_data, merge_document
    from coaxwright.show.forms import rendered
    from coaxwright.show.json_text import to_json

    return to_json(merge_data(merge)) if form == "json" else rendered(merge_document(merge, ending), form)
