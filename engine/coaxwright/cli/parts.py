"""`coaxwright parts`: list the known parts, or show one as its file states it; the rest is in `parts_care`."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

import click

from coaxwright.cli.groups import Exampled, LazyGroup
from coaxwright.cli.handed import Catalogue
from coaxwright.cli.options import format_option, output_option, parts_option
from coaxwright.cli.output import deliver
from coaxwright.cli.showing import give, lines
from coaxwright.errors import Problem, Refusal
from coaxwright.show.json_text import FORMAT, to_json
from coaxwright.show.painter import visible
from coaxwright.show.tree import Document

_TABLE = {
    "list": ("coaxwright.cli.parts:list_parts", "List parts: generic ones and those of part files."),
    "show": ("coaxwright.cli.parts:show_part", "Show one part as its file states it."),
    "new": ("coaxwright.cli.parts_care:new_part", "Write an entry to be filled in, every field explained."),
    "check": ("coaxwright.cli.parts_care:check_parts", "Look for what is wrong or missing in part files."),
    "import": ("coaxwright.cli.parts_care:import_parts", "Read a table of parts from CSV, XLSX or ODS."),
}


@click.group(
    cls=LazyGroup,
    table=_TABLE,
    examples=("coaxwright parts list --kind cable", "coaxwright parts show rg59-copper"),
)
def parts() -> None:
    """List the known parts, show one, and make and check part files."""


@click.command(
    "list",
    cls=Exampled,
    examples=("coaxwright parts list", "coaxwright parts list --parts 'parts/*.yaml' --kind camera"),
)
@parts_option
@click.option("--kind", metavar="KIND", help="Only parts of this kind: camera, recorder, cable ...")
@format_option("text", "json")
@output_option
def list_parts(globs: tuple[str, ...], kind: str | None, form: str, output: Path | None) -> int:
    """List parts with their kinds: the generic ones, and those of the files that --parts names."""
    from coaxwright.model.parts import PART_KINDS

    if kind is not None and kind not in PART_KINDS:
        raise click.BadParameter(f"{kind} is no kind of part; there are: {', '.join(PART_KINDS)}")
    from coaxwright.cli.catalogues import catalogue_of

    catalogue = catalogue_of(globs)
    rows = [{"id": name, "kind": catalogue.kind(name)} for name in catalogue.ids(kind)]
    give(form, output, lambda: rows, lambda: Document("", (lines(_listed(catalogue, rows)),)))
    return 0


def _listed(catalogue: Catalogue, rows: Sequence[Mapping[str, str]]) -> Iterator[str]:
    width = max((len(row["id"]) for row in rows), default=0)
    for row in rows:
        yield f"{row['id']:<{width}}  {row['kind']:<8}  {catalogue.part(row['id']).title or ''}".rstrip()
    yield f"{len(rows)} parts."


@click.command(
    "show",
    cls=Exampled,
    examples=(
        "coaxwright parts show rg59-copper",
        "coaxwright parts show fennick/turret-5 --parts 'parts/*.yaml'",
    ),
)
@click.argument("part_id", metavar="ID")
@parts_option
@format_option("text", "json")
@output_option
def show_part(part_id: str, globs: tuple[str, ...], form: str, output: Path | None) -> int:
    """Show the part ID as its file states it, and where that is."""
    from coaxwright.cli.catalogues import catalogue_of

    catalogue = catalogue_of(globs)
    if not catalogue.has(part_id):
        what, right = catalogue.unknown(part_id, None)
        raise Refusal([Problem(part_id, what, right)])
    name = catalogue.full_id(part_id)
    file, line, entry = _stated(catalogue, name)
    if form == "json":
        deliver(to_json({"format": FORMAT, "id": name, "file": file, "line": line, "part": entry}), output)
        return 0
    import yaml

    text = yaml.safe_dump({name: entry}, sort_keys=False, allow_unicode=True, width=100)
    shown = [visible(each) for each in (f"{file}, line {line}", "", *text.splitlines())]
    deliver("\n".join(shown) + "\n", output)
    return 0


def _stated(catalogue: Catalogue, name: str) -> tuple[str, int, Mapping[str, Any]]:
    """File, line and entry of a part, with its quantities as they were written."""
    from coaxwright.reading.tables import generic_part_files
    from coaxwright.reading.yaml_source import parse_document

    documents = [(source.file, source.document) for source in catalogue.sources]
    for path in generic_part_files():
        file = f"rules/tables/{path.name}"
        documents.append((file, parse_document(path.read_text(encoding="utf-8"), file)))
    file, document = next(each for each in documents if name in each[1].value["parts"])
    return file, document.key_span(("parts", name)).line, document.value["parts"][name]
