"""`coaxwright parts new | check | import`: making and looking after catalogues."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import click

from coaxwright.cli.exits import CLEAN, FINDINGS
from coaxwright.cli.groups import Exampled
from coaxwright.cli.options import format_option, may_replace, new_output_option, output_option, rules_option
from coaxwright.cli.output import complain, deliver
from coaxwright.cli.price_lists import table_options
from coaxwright.errors import Problem, Refusal


@click.command(
    "new",
    cls=Exampled,
    examples=(
        "coaxwright parts new camera",
        "coaxwright parts new recorder --id fennick/hybrid-16 --output parts/fennick.yaml",
    ),
)
@click.argument("kind", metavar="KIND")
@click.option("--id", "part_id", metavar="ID", help="The id of the new part; `maker/name` unless given.")
@output_option
def new_part(kind: str, part_id: str | None, output: Path | None) -> int:
    """Write an entry of KIND to be filled in: every field, its unit, and where a datasheet usually states it."""
    from coaxwright.catalogues.skeletons import skeleton
    from coaxwright.model.parts import PART_KINDS

    if kind not in PART_KINDS:
        from coaxwright.reading.suggest import did_you_mean

        right = did_you_mean(kind, PART_KINDS) or f"there are: {', '.join(PART_KINDS)}"
        raise Refusal([Problem(kind, "is no kind of part", right)])
    deliver(skeleton(kind, part_id or f"maker/{kind}-name"), output)
    return CLEAN


@click.command(
    "check",
    cls=Exampled,
    examples=("coaxwright parts check 'parts/*.yaml'", "coaxwright parts check parts/fennick.yaml --no-open"),
)
@click.argument("globs", metavar="FILE|GLOB...", nargs=-1, required=True)
@click.option(
    "--open/--no-open",
    "with_open",
    default=True,
    show_default=True,
    help="List facts too that are not stated and leave rules open.",
)
@format_option("text", "json")
@rules_option
@output_option
def check_parts(
    globs: tuple[str, ...], with_open: bool, form: str, extra_rules: tuple[Path, ...], output: Path | None
) -> int:
    """Look for what is wrong in part files: impossible values, units mistaken, entries twice, facts that are missing.

    Exit status 0 when there are notes at most, 1 with warnings or errors, 2 when a file could not be read.
    """  # fmt: skip
    from coaxwright.catalogues.linting import remarks_on
    from coaxwright.checking import load_rulebook
    from coaxwright.cli.catalogues import strict_catalogue

    found = remarks_on(strict_catalogue(globs), load_rulebook(extra_rules) if with_open else None)
    tell(found, form, output)
    return FINDINGS if any(each.level != "note" for each in found) else CLEAN


def tell(found: Sequence[Any], form: str, output: Path | None) -> None:
    """Show what was found in part files, as text or JSON."""
    from coaxwright.cli.showing import give, lines
    from coaxwright.show.tree import Document

    data = [{
        "file": each.file, "line": each.span.line, "column": each.span.column, "part": each.part,
        "path": list(each.path), "level": each.level, "about": each.about, "what": each.what, "right": each.right,
    } for each in found]  # fmt: skip
    counts = {level: sum(each.level == level for each in found) for level in ("error", "warning", "note")}
    last = ", ".join(f"{count} {level}{'' if count == 1 else 's'}" for level, count in counts.items())
    give(form, output, lambda: data, lambda: Document("", (lines([*map(str, found), last]),)))


@click.command(
    "import",
    cls=Exampled,
    examples=(
        "coaxwright parts import cameras.csv --kind camera --preview",
        "coaxwright parts import price-list.xlsx --kind camera --sheet Domes --maker fennick --output parts/fennick.yaml",
    ),
)
@click.argument("file", metavar="FILE", type=click.Path(path_type=Path))
@click.option(
    "--kind", required=True, metavar="KIND", help="Which kind of part: camera, recorder, supply, disk, cable, box."
)
@click.option("--sheet", metavar="NAME", help="The sheet of the workbook.")
@click.option("--maker", metavar="ID", help="Maker of parts whose id names none.")
@click.option("--currency", metavar="CODE", help="Currency of the prices, as in EUR.")
@table_options
@click.option(
    "--preview", is_flag=True, help="Tell how the columns are understood and show the entries; write nothing."
)
@new_output_option("--output", "-o", metavar="FILE", help="The new part file; else standard output.")
def import_parts(file: Path, kind: str, preview: bool, output: Path | None, **asked: object) -> int:
    """Read a table of parts (.csv, .xlsx or .ods) as a part file. All bad cells are listed, and then nothing is written."""
    from coaxwright.cli.price_lists import read_list
    from coaxwright.schedules.part_tables import write_parts

    table = read_list(file, {"kind": kind, **asked}, None)
    if output is None or preview:
        deliver(table.text)
        return CLEAN
    write_parts(output, table, may_replace())
    complain(f"{output}: written; next: coaxwright parts check {output}")
    return CLEAN

