"""`coaxwright what-if`: what would change if something were set otherwise."""

from __future__ import annotations

import datetime
from pathlib import Path

import click

from coaxwright.cli.contradictions import tell_of_site
from coaxwright.cli.exits import CLEAN, FINDINGS
from coaxwright.cli.groups import Exampled
from coaxwright.cli.handed import SiteState
from coaxwright.cli.options import format_option, output_option, rules_option, today_option
from coaxwright.cli.output import deliver


@click.command(
    cls=Exampled,
    examples=(
        "coaxwright what-if boatyard.site.yaml --set cameras/slipway/video/over/0/length=120m",
        "coaxwright what-if boatyard.site.yaml --set supplies/psu1/trim=13V --set cameras/slipway/part=fennick/bullet-4",
        "coaxwright what-if boatyard.site.yaml --remove cameras/slipway",
        "coaxwright what-if boatyard.site.yaml --vary cameras/slipway/power/over/0/length=80m,100m,120m",
    ),
)
@click.argument("site", metavar="SITE", type=click.Path(path_type=Path))
@click.option("--set", "settings", metavar="PATH=VALUE", multiple=True, help="A value of the site file; may be repeated.")
@click.option("--remove", "removals", metavar="PATH", multiple=True, help="Something to be left out; may be repeated.")
@click.option("--vary", "varying", metavar="PATH=V1,V2,...", multiple=True,
              help="Several values, a row for each; with two, for each pair. May be repeated.")
@format_option("text", "json", "md", "html", "csv")
@today_option
@rules_option
@output_option
def what_if(settings: tuple[str, ...], removals: tuple[str, ...], varying: tuple[str, ...], site: Path, form: str,
            today: datetime.date | None, extra_rules: tuple[Path, ...], output: Path | None) -> int:  # fmt: skip
    """Show only what changes when SITE is edited: fact by fact and finding by finding. Nothing is written.

    With --vary a table of what holds.

    Exit status: 0 when no error is new, worse or open by the edit, 1 when one is, 2 when it cannot be made or checked;
    with --vary 0 when some row holds without an error, else 1.
    """
    if not settings and not removals and not varying:
        raise click.UsageError("nothing is to be changed: give --set PATH=VALUE or --remove PATH")
    from coaxwright.checking import load_rulebook, load_site
    from coaxwright.fixes.rejudging import start
    from coaxwright.fixes.what_if import differences, tried

    state = start(load_site(site), rulebook=load_rulebook(extra_rules), today=today)
    tell_of_site(state.basis.loaded)
    if varying:
        return _varied(tried(state, settings, removals).after if settings or removals else state, varying, form, output)
    found = differences(tried(state, settings, removals))
    if form == "json":
        from coaxwright.fixes.plain_results import what_if_values
        from coaxwright.show.json_text import to_json

        deliver(to_json(what_if_values(found)), output)
    else:
        from coaxwright.cli.showing import show
        from coaxwright.fixes.what_if_words import what_if_document

        show(what_if_document(found, form), form, output)
    new = any(each.level == "error" and each.kind == "fail" and not each.waived for each in found.introduced)
    return FINDINGS if new or any(harm.level == "error" for harm in found.worse) else CLEAN


def _varied(state: SiteState, varying: tuple[str, ...], form: str, output: Path | None) -> int:
    """A table of what the site comes to for each value, or each combination of values."""
    from coaxwright.fixes.varying import varied, varied_data, varied_document

    paths, found = varied(state, varying)
    if form == "json":
        from coaxwright.show.json_text import to_json

        deliver(to_json(varied_data(paths, found)), output)
    else:
        from coaxwright.cli.showing import show

        show(varied_document(paths, found, form), form, output)
    return CLEAN if any(each.holds for each in found) else FINDINGS
