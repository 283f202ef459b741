"""`coaxwright catalogue`: search the catalogue, check it, lay price lists over it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from coaxwright.cli.exits import CLEAN, FINDINGS
from coaxwright.cli.groups import Exampled, LazyGroup
from coaxwright.cli.handed import Entry
from coaxwright.cli.options import format_option, output_option, parts_option, rules_option
from coaxwright.cli.output import complain, deliver
from coaxwright.show.tree import Document

_TABLE = {
    "find": ("coaxwright.cli.catalogue:find", "Search parts by words, other names and article numbers."),
    "add": ("coaxwright.cli.catalogue_lists:add", "Add the parts of a price list that the catalogue has not."),
    "check": ("coaxwright.cli.catalogue:check", "Look for what is wrong or missing in the catalogue."),
    "update": ("coaxwright.cli.catalogue_lists:update", "Lay a newer price list over it: shown first, undone at will."),
}
MOST = 20


@click.group(
    cls=LazyGroup,
    table=_TABLE,
    examples=("coaxwright catalogue find turret 5", "coaxwright catalogue update prices.csv --kind camera --maker fennick"),
)
def catalogue() -> None:
    """The catalogue: a folder of part files, found by --parts, COAXWRIGHT_PARTS, or in the user's data folder."""


@click.command(
    "find",
    cls=Exampled,
    examples=("coaxwright catalogue find turret 5", "coaxwright catalogue find 104-22-5 --kind camera"),
)
@click.argument("words", metavar="WORDS...", nargs=-1, required=True)
@parts_option
@click.option("--kind", metavar="KIND", help="Only parts of this kind: camera, recorder, supply ...")
@click.option("--most", type=click.IntRange(1, 1000), default=MOST, show_default=True, help="So many at most.")
@format_option("text", "json", "csv", "md", "html")
@output_option
def find(
    words: tuple[str, ...], globs: tuple[str, ...], kind: str | None, most: int, form: str, output: Path | None
) -> int:
    """Search by WORDS of the id, title, maker, other names and article numbers; every word has to begin one of them.

    Exit status 0 when something is found, 1 when not (near names are told), 2 when there is no catalogue.
    """
    from coaxwright.catalogues.finding import near, search
    from coaxwright.catalogues.index import Index
    from coaxwright.catalogues.places import catalogue_files
    from coaxwright.cli.catalogues import beside
    from coaxwright.cli.showing import show

    files = catalogue_files(globs)
    _refuse_nothing(files)
    with Index(files, beside(globs)) as index:
        found = search(index, " ".join(words), kind, most)
        asked = "" if found else near(index, " ".join(words), kind)
    if not found:
        complain(f"nothing is called {' '.join(words)}{f'; {asked}' if asked else ''}")
    if form == "json":
        deliver(_json(found, asked), output)
    elif found:
        show(_document(found, " ".join(words)), form, output)
    return CLEAN if found else FINDINGS


def _refuse_nothing(files: list[str]) -> None:
    if not files:
        from coaxwright.catalogues.places import VARIABLE, data_folder
        from coaxwright.errors import Problem, Refusal

        right = f"name part files with --parts, set {VARIABLE}, or put them into {data_folder()}"
        raise Refusal([Problem("catalogue", "there is none", right)])


def _json(found: list[Any], asked: str) -> str:
    from coaxwright.show.json_text import to_json
    from coaxwright.show.plain_data import plain

    return to_json({"format": 2, "parts": [plain(each) for each in found], "did_you_mean": asked or None})


def _document(found: list[Any], words: str) -> Document:
    from coaxwright.show.tree import Document, Table

    rows = [(each.id, each.kind, each.title or "", _price(each), _sold(each), each.path) for each in found]
    table = Table(("part", "kind", "title", "price", "sold", "file"), rows)
    return Document(f"Parts for {words}", (table,), titled=False)


def _price(one: Entry) -> str:
    return "no price" if one.price is None else f"{one.price:g} {one.currency or ''}".rstrip()


def _sold(one: Entry) -> str:
    if not one.retired:
        return "yes"
    since = f" since {one.since}" if one.since else ""
    return f"no longer{since}{f'; replaced by {one.successor}' if one.successor else ''}"


@click.command(
    "check",
    cls=Exampled,
    examples=("coaxwright catalogue check", "coaxwright catalogue check --parts 'parts/*.yaml' --open"),
)
@parts_option
@click.option("--open/--no-open", "with_open", default=False, show_default=True, help="List facts too that are not stated.")
@format_option("text", "json")
@rules_option
@output_option
def check(globs: tuple[str, ...], with_open: bool, form: str, extra_rules: tuple[Path, ...], output: Path | None) -> int:
    """Look for entries that cannot be used, and for what `parts check` looks for in the others.

    Exit status 0 when there are notes at most, 1 with warnings, errors or entries that cannot be used, 2 without a
    catalogue.
    """
    from coaxwright.catalogues.linting import remarks_on
    from coaxwright.catalogues.loading import load_all
    from coaxwright.catalogues.places import catalogue_files
    from coaxwright.checking import load_rulebook
    from coaxwright.cli.parts_care import tell

    files = catalogue_files(globs)
    _refuse_nothing(files)
    loaded = load_all(files)
    for name, problems in loaded.bad.items():
        for each in problems:
            complain(f"{each} (`{name}` cannot be used)")
    found = remarks_on(loaded.catalogue, load_rulebook(extra_rules) if with_open else None)
    tell(found, form, output)
    return FINDINGS if loaded.bad or any(each.level != "note" for each in found) else CLEAN
