"""Price lists for commands: how the columns are understood is always told, and kept for the next list of that maker."""

from __future__ import annotations

import os
from collections.abc import Callable, Container, Mapping
from pathlib import Path
from typing import Any, TypeVar

import click

from coaxwright.cli.handed import FoundTable, PartTable
from coaxwright.cli.output import complain

Decorated = TypeVar("Decorated", bound=Callable[..., Any])


def table_options(function: Decorated) -> Decorated:
    """How the columns and cells of a list are to be read."""
    options = (
        click.option("--map", "mapped", metavar="HEADING=FIELD", multiple=True,
                     help="What a heading means, as in 'VK 2=price'; may be repeated."),
        click.option("--decimal", type=click.Choice(["comma", "point"]), help="What decimals begin with; evident unless given."),
        click.option("--lenient", is_flag=True, help="Leave cells open that cannot be read, name them, and go on."),
        click.option("--mapping", type=click.Path(path_type=Path), metavar="FILE",
                     help="A mapping written before; that of the maker in the catalogue unless given."),
    )  # fmt: skip
    for option in reversed(options):
        function = option(function)
    return function


def read_list(file: Path, asked: Mapping[str, Any], home: Path | None, known: Container[str] = ()) -> PartTable:
    """The table of a list, its columns told on standard error whether its cells can be read or not. Raises Refusal.

    `home` is the folder of the catalogue: a mapping that is named in the call is kept there for the maker.
    `known` are parts that a catalogue has, of which a list may tell no more than a price.
    """
    from coaxwright.schedules.mappings import Mapping as Kept
    from coaxwright.schedules.mappings import mapping_file, read_mapping, write_mapping
    from coaxwright.schedules.part_tables import find_part_table, known_kind, read_found

    kind, maker = known_kind(asked["kind"]), asked["maker"]
    kept = mapping_file(home, maker, kind) if home is not None and maker else None
    stated = asked["mapping"] or (kept if kept is not None and kept.is_file() else None)
    before = read_mapping(stated) if stated is not None else Kept()
    columns = {**before.columns, **_mapped(asked["mapped"])}
    mapping = Kept(columns, asked["decimal"] or before.decimal, asked["currency"] or before.currency)
    if stated is not None:
        complain(f"mapping of {stated}")
    found = find_part_table(file, kind, asked["sheet"], mapping.columns)
    _tell_columns(found, file)
    table = read_found(
        found, maker=maker, currency=mapping.currency, decimal=mapping.decimal, lenient=asked["lenient"], known=known
    )
    complain(f"{table.sheet.name or os.fspath(file)}: {len(table.entries)} parts")
    for note in table.notes:
        complain(f"note: {note}")
    if kept is not None and mapping != before and (asked["mapped"] or asked["decimal"]):
        write_mapping(kept, mapping)
        complain(f"{kept}: the mapping is kept for the next list of {maker}")
    return table


def _mapped(pieces: tuple[str, ...]) -> dict[str, str]:
    found = {}
    for piece in pieces:
        heading, sign, field = (each.strip() for each in piece.rpartition("="))
        if not (heading and sign and field):
            raise click.UsageError(f"--map {piece}: write HEADING=FIELD, as in 'VK 2=price'")
        found[heading] = field
    return found


def _tell_columns(found: FoundTable, file: Path) -> None:
    from coaxwright.reading.spreadsheet import column_letters

    complain(f"{found.sheet.name or os.fspath(file)}: headings in row {found.header.row + 1}")
    for mapped in found.header.mapped:
        at = "/".join(map(str, mapped.column.at)) or "id"
        unit = f", bare numbers in {mapped.unit}" if mapped.unit else ""
        complain(f"  {column_letters(mapped.place)}  {mapped.heading.text} -> {at}{unit}")
    for heading in found.header.ignored:
        complain(f"  not read: {heading}")
