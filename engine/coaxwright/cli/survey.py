"""`coaxwright schedule survey`: a filled survey sheet into the `measured:` values of a site, shown before anything is written."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import Any

import click

from coaxwright.cli.exits import CLEAN, FINDINGS
from coaxwright.cli.groups import Exampled
from coaxwright.cli.handed import Document, Surveyed
from coaxwright.cli.options import new_output_option
from coaxwright.cli.output import complain, deliver
from coaxwright.errors import Problem, Refusal


@click.command(
    "survey",
    cls=Exampled,
    examples=(
        "coaxwright schedule survey survey.csv --site boatyard.site.yaml",
        "coaxwright schedule survey survey.csv --site boatyard.site.yaml --output surveyed.site.yaml --by 'J. K.'",
        "coaxwright schedule survey survey.csv --site boatyard.site.yaml --unknown house/old-coax --in-place",
    ),
)
@click.argument("sheet", metavar="SHEET", type=click.Path(path_type=Path))
@click.option("--site", metavar="SITE", type=click.Path(path_type=Path), required=True, help="The site that was surveyed.")
@new_output_option("--output", "-o", metavar="FILE", help="Write a copy of SITE with what was measured.")
@click.option("--in-place", is_flag=True, help="Write it into SITE itself; what was there stays beside it for undoing.")
@click.option("--unknown", metavar="PART", default="", help="A cable part without figures, for cables that nobody knows.")
@click.option("--on", metavar="DATE", type=click.DateTime(["%Y-%m-%d"]), help="The day of the survey.")
@click.option("--by", metavar="NAME", default="", help="Who measured.")
def survey(
    sheet: Path, site: Path, output: Path | None, in_place: bool, unknown: str, on: datetime.datetime | None, by: str
) -> int:
    """Read the filled survey SHEET of a pack (.csv or .xlsx) into what was measured of the runs of SITE.

    What would change is shown, and nothing is written, unless --output names a copy or --in-place is given. Exit status: 0
    when all was understood, 1 when something in the sheet needs review first, 2 when it cannot be read: then every cell
    that is wrong is named.
    """
    if output is not None and in_place:
        raise click.UsageError("name either --output, for a copy, or --in-place")
    from coaxwright.handover.surveyed import Marks, read_survey
    from coaxwright.reading.site_reader import read_site
    from coaxwright.schedules.importing import Imported
    from coaxwright.schedules.writing import changes, checked

    loaded = read_site(site)
    if unknown and not loaded.catalogue.has(unknown):
        raise Refusal([Problem("--unknown", f"there is no part `{unknown}`", "write one into a part file of the site")])
    marks = Marks(on.date().isoformat() if on else "", by, unknown)
    found = read_survey(str(sheet), loaded.document.value, loaded.catalogue, marks)
    result = Imported(found.value)
    checked(result, str(site), loaded.catalogue)
    for line in _told(found):
        complain(line)
    _write(site, output, in_place, loaded.document, changes(loaded.document, result))
    return FINDINGS if found.warnings else CLEAN


def _told(found: Surveyed) -> list[str]:
    """What was read, what stays open and what has to be reviewed, a line each."""
    lines = [f"read: {each}" for each in found.read] or ["nothing new was filled in"]
    lines += [f"open: {each}: cable not known, what needs its figures stays open" for each in found.open]
    lines += [f"remark: {each}" for each in found.remarks]
    return lines + [f"review: {each}" for each in found.warnings]


def _write(site: Path, output: Path | None, in_place: bool, document: Document, operations: list[dict[str, Any]]) -> None:
    from coaxwright.cli.schedule import visible_lines
    from coaxwright.fixes.yaml_edits import edited
    from coaxwright.schedules.writing import preview, update

    if not operations:
        deliver("nothing to change: the site says all this already\n")
    elif in_place:
        deliver(visible_lines(update(site, document, operations)))
        complain(f"{site}: updated; next: coaxwright check {site}")
    elif output is not None:
        deliver(edited(document, operations).text, output)
        complain(f"{output}: written; next: coaxwright compare {site} {output}")
    else:
        deliver(visible_lines(preview(document, operations)))
        complain("nothing was written: add --output FILE for a copy, or --in-place")
