"""`coaxwright schedule`: camera schedules from spreadsheets into a site, and a site out as schedules."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from coaxwright.cli.contradictions import tell_of_site
from coaxwright.cli.groups import Exampled, LazyGroup
from coaxwright.cli.handed import Imported, Recognised, Schedule, Sheet
from coaxwright.cli.options import new_output_option, parts_option
from coaxwright.cli.output import complain, deliver
from coaxwright.cli.projects import project_options

_TABLE = {
    "import": ("coaxwright.cli.schedule:import_schedule", "Make or update a site from a camera schedule."),
    "survey": ("coaxwright.cli.survey:survey", "Read a filled survey sheet into what was measured of a site's runs."),
    "export": ("coaxwright.cli.schedule:export_schedule", "Write a site as camera, cable, power and disk schedules."),
}


@click.group(
    cls=LazyGroup,
    table=_TABLE,
    examples=(
        "coaxwright schedule import cameras.xlsx --site boatyard.site.yaml --preview",
        "coaxwright schedule export boatyard.site.yaml --output boatyard.xlsx",
    ),
)
def schedule() -> None:
    """Read camera schedules from spreadsheets into a site, and write a site out as schedules."""


@click.command(
    "import",
    cls=Exampled,
    examples=(
        "coaxwright schedule import cameras.xlsx --site boatyard.site.yaml --preview",
        "coaxwright schedule import cameras.xlsx --site boatyard.site.yaml",
        "coaxwright schedule import cameras.csv --output new.site.yaml --name 'Alder Wharf' --parts 'parts/*.yaml'"
        " --recorder rec1=tarnwell/hybrid-8",
        "coaxwright schedule import boatyard.xlsx --output copy.site.yaml",
    ),
)
@click.argument("file", metavar="FILE", type=click.Path(path_type=Path))
@click.option("--site", "site", metavar="SITE", type=click.Path(path_type=Path), help="The site file to update.")
@click.option("--output", metavar="FILE", type=click.Path(path_type=Path), help="The new site file to make.")
@click.option("--sheet", metavar="NAME", help="The sheet of the workbook that is the camera schedule.")
@click.option("--name", metavar="TEXT", help="Name of a new site.")
@click.option("--video-rate", type=click.Choice(["25", "30"]), help="Frame family of the country, for a new site.")
@click.option(
    "--recorder", "recorders", metavar="ID=PART", multiple=True, help="A recorder of a new site; may be repeated."
)
@click.option("--supply", "supplies", metavar="ID=PART", multiple=True, help="A supply of a new site; may be repeated.")
@click.option("--cable", metavar="PART", help="Video cable of runs whose row names none.")
@click.option("--power-cable", metavar="PART", help="Power cable of runs whose row names none.")
@parts_option
@click.option(
    "--preview", is_flag=True, help="Tell how the columns are understood and what would change; write nothing."
)
def import_schedule(
    file: Path,
    site: Path | None,
    output: Path | None,
    sheet: str | None,
    preview: bool,
    cable: str | None,
    power_cable: str | None,
    **new: object,
) -> int:
    """Read the schedule FILE (.xlsx, .ods, .csv, or a folder of .csv files) into a site.

    Either everything is read or nothing is written: all bad cells are listed with their addresses.
    """
    if (site is None) == (output is None):
        raise click.UsageError("name either --site, to update it, or --output, to make a new one")
    if site is not None and any(new.values()):
        raise click.UsageError("--name, --video-rate, --recorder, --supply and --parts are for a new site")
    from coaxwright.schedules.importing import recognise, rest_of
    from coaxwright.schedules.sources import schedule_sheets

    cables = {use: part for use, part in (("video", cable), ("power", power_cable)) if part is not None}
    sheets = schedule_sheets(file)
    found, rest = recognise(sheets, sheet), rest_of(sheets) if sheet is None else None
    if site is not None:
        return _update(site, found, rest, cables, preview)
    assert output is not None
    return _make(output, found, rest, cables, preview, new)


def _update(site: Path, found: list[Recognised], rest: Sheet | None, cables: dict[str, str], preview: bool) -> int:
    from coaxwright.reading.site_reader import read_site
    from coaxwright.schedules.importing import imported
    from coaxwright.schedules.writing import changes, checked, update
    from coaxwright.schedules.writing import preview as shown

    loaded = read_site(site)
    result = imported(found, rest, loaded.document.value, loaded.catalogue, cables)
    checked(result, str(site), loaded.catalogue)
    operations = changes(loaded.document, result)
    _tell(found, result)
    if not operations:
        deliver("nothing to change: the site says all this already\n")
    elif preview:
        deliver(visible_lines(shown(loaded.document, operations)))
    else:
        deliver(visible_lines(update(site, loaded.document, operations)))
        complain(f"{site}: updated; next: coaxwright check {site}")
    return 0


def _make(
    output: Path, found: list[Recognised], rest: Sheet | None, cables: dict[str, str], preview: bool, new: dict[str, Any]
) -> int:
    from coaxwright.schedules.importing import imported, rest_value
    from coaxwright.schedules.sources import catalogue_for
    from coaxwright.schedules.writing import checked, site_text, write_new

    base = {**rest_value(rest), **_new_base(**new)}
    base.setdefault("site", output.name.removesuffix(".yaml").removesuffix(".site"))
    catalogue = catalogue_for(base, output.parent)
    groups: dict[str, Any] = {
        key: base[key] for key in ("site", "video_rate", "parts", "recorders", "supplies") if key in base
    }
    result = imported(found, rest, groups, catalogue, cables)
    checked(result, str(output), catalogue)
    _tell(found, result)
    if preview:
        deliver(visible_lines(site_text(result.value)))
        return 0
    write_new(output, result)
    complain(f"{output}: written; next: coaxwright check {output}")
    return 0


def _new_base(
    name: str | None,
    video_rate: str | None,
    recorders: tuple[str, ...],
    supplies: tuple[str, ...],
    globs: tuple[str, ...],
) -> dict[str, Any]:
    """What the options say of a new site."""
    base: dict[str, Any] = {}
    if name is not None:
        base["site"] = name
    if video_rate is not None:
        base["video_rate"] = int(video_rate)
    if globs:
        base["parts"] = list(globs)
    for key, written in (("recorders", recorders), ("supplies", supplies)):
        for each in written:
            device, sign, part = each.partition("=")
            if not sign or not device or not part:
                raise click.UsageError(f"{each}: write ID=PART, as in rec1=tarnwell/hybrid-8")
            base.setdefault(key, {})[device] = {"part": part}
    return base


def _tell(found: list[Recognised], result: Imported) -> None:
    """How the columns were understood, on standard error."""
    from coaxwright.schedules.sources import told

    complain(told(found, result))


def visible_lines(text: str) -> str:
    """Lines that hold nothing that a terminal obeys."""
    from coaxwright.show.painter import visible

    return "".join(f"{visible(line)}\n" for line in text.splitlines())


@click.command(
    "export",
    cls=Exampled,
    examples=(
        "coaxwright schedule export boatyard.site.yaml --output boatyard.xlsx",
        "coaxwright schedule export boatyard.site.yaml --output schedules/",
        "coaxwright schedule export boatyard.site.yaml --output schedules.html",
    ),
)
@click.argument("site", metavar="SITE", type=click.Path(path_type=Path))
@project_options
@new_output_option(
    "--output", "-o", metavar="FILE|FOLDER", required=True,
    help="A workbook (.xlsx), a page to print (.html), Markdown (.md), or a folder for CSV files.",
)
def export_schedule(site: Path, output: Path) -> int:
    """Write SITE as schedules of cameras, recorders, supplies, cables, power, disks, and a bill of materials.

    The workbook (or the folder) reads back as the same site with `schedule import`.
    """  # fmt: skip
    from coaxwright.checking import facts_of
    from coaxwright.cli.house_prices import priced_site
    from coaxwright.schedules.derived import derived_schedules
    from coaxwright.schedules.exporting import site_schedules
    from coaxwright.schedules.workbook import write_csv_folder, write_workbook

    loaded = priced_site(site)
    tell_of_site(loaded)
    schedules = [*site_schedules(loaded.document.value), *derived_schedules(loaded, facts_of(loaded))]
    if output.suffix.lower() == ".xlsx":
        write_workbook(output, schedules)
        complain(f"{output}: {', '.join(each.name for each in schedules)}")
        return 0
    if output.suffix.lower() in _PAGES:
        _export_page(output, loaded.site.site, schedules)
        return 0
    if output.suffix and not output.is_dir():
        raise click.UsageError(f"{output}: name a .xlsx, .html or .md file, or a folder for CSV files")
    complain(f"{output}: {', '.join(write_csv_folder(output, schedules))}")
    return 0


_PAGES = {".html": "html", ".md": "md"}


def _export_page(output: Path, site: str, schedules: list[Schedule]) -> None:
    from coaxwright.schedules.exporting import schedules_document
    from coaxwright.show.forms import rendered

    deliver(rendered(schedules_document(site, schedules), _PAGES[output.suffix.lower()]), output)
    complain(f"{output}: {', '.join(each.name for each in schedules)}")
