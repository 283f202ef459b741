"""`coaxwright report`: a report to send to a customer, to print, or to put into a ticket."""

from __future__ import annotations

import datetime
from dataclasses import replace
from pathlib import Path

import click

from coaxwright.cli.check import FIX_TRIES, checked
from coaxwright.cli.contradictions import tell_once
from coaxwright.cli.exits import FailOn, check_status
from coaxwright.cli.groups import Exampled
from coaxwright.cli.options import fail_on_option, format_option, output_option, rules_option, today_option
from coaxwright.cli.output import complain, deliver
from coaxwright.errors import Problem, Refusal
from coaxwright.findings import Report, SiteReport
from coaxwright.reporting.formats import Setting, render


@click.command(
    cls=Exampled,
    examples=(
        "coaxwright report boatyard.site.yaml --output boatyard.html",
        "coaxwright report boatyard.site.yaml --fixes --output boatyard.html",
        "coaxwright report boatyard.site.yaml --for customer --output boatyard-customer.html",
        "coaxwright report sites/ --output reports",
        "coaxwright report boatyard.site.yaml --format md",
    ),
)
@click.argument("sites", metavar="SITE...", nargs=-1, type=click.Path(path_type=Path))
@format_option("html", "md")
@fail_on_option("never")
@click.option("--for", "reader", type=click.Choice(["engineer", "customer"]), default="engineer", show_default=True,
              help="Who reads it: for a customer two to four pages in plain words, of one site.")
@click.option("--fixes", is_flag=True, help="Try changes for every finding first, and show what they bring; takes longer.")
@click.option("--limits", is_flag=True, help="Show how far runs and days may go with other cables and disks; takes longer.")
@click.option("--full", is_flag=True, help="Print all on paper too: workings, sources, every case, pictures.")
@today_option
@rules_option
@output_option
def report(
    sites: tuple[Path, ...], form: str, fail_on: FailOn, reader: str, fixes: bool, limits: bool, full: bool,
    today: datetime.date | None, extra_rules: tuple[Path, ...], output: Path | None,
) -> int:  # fmt: skip
    """Report on SITE files, or on all `*.site.yaml` files of a folder.

    The page needs nothing but itself: no network, no script. Several sites give one page with an index, or, where
    --output is a folder (or a new name without an ending), a page for each and an `index.html`. Exit status 0 when
    the report is made, 1 with --fail-on, 2 when a site could not be read.
    """
    made = checked(sites, extra_rules, today=today)
    tell_once(line for site in made.sites for line in site.contradictions)
    if fixes:
        made = _with_proven(made, extra_rules, today)
    if limits:
        made = _with_extents(made, extra_rules, today)
    for problem in made.unread:
        complain(str(problem))
    status = check_status(made, fail_on, strict=False)
    if reader == "customer":
        _for_customer(sites, made, form, output)
        return status
    setting = Setting(detail="full" if full else "grouped", exit_status=status)
    if output is not None and form == "html" and _is_folder(output, len(made.sites)):
        from coaxwright.reading.folders import write_folder
        from coaxwright.reporting.html import pages

        write_folder(output, pages(made, full=full), replace=True)
    else:
        deliver(render(form, made, setting), output)
    return status


def _for_customer(sites: tuple[Path, ...], made: Report, form: str, output: Path | None) -> None:
    """The report in plain words, of the one site that was read."""
    from coaxwright.cli.house_prices import priced_site
    from coaxwright.cli.showing import show
    from coaxwright.handover.customer import customer_document
    from coaxwright.handover.plan import Plan

    if len(made.sites) + bool(made.unread) != 1 or len(sites) != 1 or sites[0].is_dir():
        raise Refusal([Problem("--for customer", "is of one site", "name one site file")])
    if made.sites:
        show(customer_document(Plan(priced_site(sites[0]), made.sites[0]), made.today), form, output)


def _with_proven(made: Report, extra_rules: tuple[Path, ...], today: datetime.date | None) -> Report:
    """Proven changes where there are any; a finding without keeps the kinds of change that its rule names."""
    from coaxwright.cli.house_prices import project_prices
    from coaxwright.fixes.advice import with_fixes

    proven = with_fixes(made, extra_rules, FIX_TRIES, today, project_prices())
    return replace(made, sites=tuple(map(_filled, proven.sites, made.sites)))


def _with_extents(made: Report, extra_rules: tuple[Path, ...], today: datetime.date | None) -> Report:
    """How far runs and recordings of each site may go."""
    from coaxwright.checking import load_rulebook, load_site
    from coaxwright.fixes.rejudging import start
    from coaxwright.fixes.site_extents import extents_of

    rulebook = load_rulebook(extra_rules)
    states = (start(load_site(Path(site.file)), rulebook=rulebook, today=today) for site in made.sites)
    sites = zip(made.sites, states, strict=True)
    return replace(made, sites=tuple(replace(site, extents=tuple(extents_of(state))) for site, state in sites))


def _filled(proven: SiteReport, plain: SiteReport) -> SiteReport:
    pairs = zip(proven.findings, plain.findings, strict=True)
    return replace(proven, findings=tuple(each if each.fixes else before for each, before in pairs))


def _is_folder(output: Path, sites: int) -> bool:
    """A folder that is there, or for several sites a name without an ending."""
    return output.is_dir() or (sites > 1 and not output.suffix)
