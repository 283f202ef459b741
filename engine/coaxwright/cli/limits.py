"""`coaxwright limits`: how far each number of a subject can move before a rule fails."""

from __future__ import annotations

import datetime
from pathlib import Path

import click

from coaxwright.cli.contradictions import tell_of_site
from coaxwright.cli.exits import CLEAN
from coaxwright.cli.groups import Exampled
from coaxwright.cli.handed import SiteState
from coaxwright.cli.options import format_option, output_option, rules_option, time_limit_option, today_option
from coaxwright.cli.output import deliver
from coaxwright.pace import TimeLimit, within


@click.command(
    cls=Exampled,
    examples=(
        "coaxwright limits boatyard.site.yaml cameras/slipway",
        "coaxwright limits boatyard.site.yaml supplies/psu1 --level warning",
        "coaxwright limits boatyard.site.yaml site",
        "coaxwright limits boatyard.site.yaml cameras/slipway --number 'power length' "
        "--against cameras/slipway/power/over/0/cable=dc-1mm2,dc-1.5mm2,dc-2.5mm2",
    ),
)
@click.argument("site", metavar="SITE", type=click.Path(path_type=Path))
@click.argument("subject", metavar="SUBJECT")
@click.option("--level", type=click.Choice(["error", "warning", "note"]), default="error", show_default=True,
              help="The least level of finding that ends a range.")
@click.option("--number", "names", metavar="NAME", multiple=True,
              help="Only this number, as the answer names it; may be repeated.")
@click.option("--against", metavar="PATH=V1,V2,...", multiple=True,
              help="Look for the ranges beside each of these values; given twice, beside each pair. May be repeated.")
@time_limit_option
@format_option("text", "json", "md", "html", "csv")
@today_option
@rules_option
@output_option
def limits(
    site: Path, subject: str, level: str, names: tuple[str, ...], against: tuple[str, ...], time_limit: float | None,
    form: str, today: datetime.date | None, extra_rules: tuple[Path, ...], output: Path | None,
) -> int:  # fmt: skip
    """Tell for each number that SITE writes for SUBJECT how far it can move before a rule fails.

    SUBJECT is an entry, as in cameras/slipway, or `site`. Each range was found by judging the site again with
    other values; also the smallest standard sizes that hold. With --against a table of the ranges beside other
    values: length against conductor, days against disks.
    """
    from coaxwright.checking import load_rulebook, load_site
    from coaxwright.fixes.rejudging import start

    with within(TimeLimit(time_limit)):
        state = start(load_site(site), rulebook=load_rulebook(extra_rules), today=today)
        tell_of_site(state.basis.loaded)
        if against:
            _against(state, subject, against, names, level, form, output)
        else:
            _alone(state, subject, names, level, form, output)
    return CLEAN


def _alone(state: SiteState, subject: str, names: tuple[str, ...], level: str, form: str, output: Path | None) -> None:
    """The ranges in the site as it is."""
    from coaxwright.fixes.limits import limits_of, not_looked_into

    found, sizes = limits_of(state, subject, level, names)
    left = [number.name for number in not_looked_into(state, subject, found, names)]
    if form == "json":
        from coaxwright.fixes.plain_results import limits_values
        from coaxwright.show.json_text import to_json

        deliver(to_json(limits_values(subject, found, sizes, left)), output)
    else:
        from coaxwright.cli.showing import show
        from coaxwright.fixes.limit_words import limits_document

        show(limits_document(subject, found, sizes, form, left), form, output)


def _against(
    state: SiteState, subject: str, asked: tuple[str, ...], names: tuple[str, ...], level: str, form: str, output: Path | None
) -> None:
    """The ranges beside other values."""
    from coaxwright.fixes.against import extents, limits_against

    paths, found = limits_against(state, subject, asked, names, level)
    if form == "json":
        from coaxwright.fixes.plain_results import against_values
        from coaxwright.show.json_text import to_json

        deliver(to_json(against_values(subject, paths, found)), output)
    else:
        from coaxwright.cli.showing import show
        from coaxwright.fixes.limit_words import extents_document

        show(extents_document(subject, extents(subject, paths, found), form), form, output)
