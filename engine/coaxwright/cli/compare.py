"""`coaxwright compare`: what changed between two versions of a site, or between the plan and what was measured."""

from __future__ import annotations

import datetime
from pathlib import Path

import click

from coaxwright.cli.contradictions import tell_once
from coaxwright.cli.exits import CLEAN, FINDINGS, UNCHECKED
from coaxwright.cli.groups import Exampled
from coaxwright.cli.options import format_option, output_option, rules_option, today_option
from coaxwright.cli.output import deliver


@click.command(
    cls=Exampled,
    examples=(
        "coaxwright compare plan-a.site.yaml plan-b.site.yaml",
        "coaxwright compare designed.site.yaml built.site.yaml --format html --output changes.html",
        "coaxwright compare plan.site.yaml --measured handover/csv/commissioning.csv",
    ),
)
@click.argument("old", metavar="OLD", type=click.Path(path_type=Path))
@click.argument("new", metavar="[NEW]", required=False, type=click.Path(path_type=Path))
@click.option("--measured", metavar="SHEET", type=click.Path(path_type=Path),
              help="A filled commissioning sheet, .csv or .xlsx, in place of NEW.")
@format_option("text", "md", "html", "json")
@today_option
@rules_option
@output_option
def compare(
    old: Path, new: Path | None, measured: Path | None, form: str, today: datetime.date | None,
    extra_rules: tuple[Path, ...], output: Path | None,
) -> int:  # fmt: skip
    """Show what changed from site OLD to site NEW: devices, quantities, runs, facts, findings. Nothing is edited.

    Both are judged by the same rules on the same day. With --measured, what was measured on site is compared with what the
    plan expects, and what is off points to its likeliest cause. Exit status: 0 when nothing differs or is off, 1 when
    something is, 2 when they cannot be compared.
    """
    if (new is None) == (measured is None):
        raise click.UsageError("give either a second site or --measured SHEET")
    if measured is not None:
        return _measured(old, measured, form, today, extra_rules, output)
    assert new is not None
    return _sites(old, new, form, today, extra_rules, output)


def _sites(
    old: Path, new: Path, form: str, today: datetime.date | None, extra_rules: tuple[Path, ...], output: Path | None
) -> int:
    from coaxwright.checking import load_rulebook
    from coaxwright.comparing.sites import compare as compared

    found = compared(old, new, rulebook=load_rulebook(extra_rules), today=today)
    tell_once([*found.before.contradictions, *found.after.contradictions])
    if form == "json":
        from coaxwright.comparing.data import comparison_json

        deliver(comparison_json(found), output)
    else:
        from coaxwright.cli.showing import show
        from coaxwright.comparing.words import comparison_document

        show(comparison_document(found, form), form, output)
    if found.before.summary.fault or found.after.summary.fault:
        return UNCHECKED
    return CLEAN if found.same else FINDINGS


def _measured(
    site: Path, sheet: Path, form: str, today: datetime.date | None, extra_rules: tuple[Path, ...], output: Path | None
) -> int:
    from coaxwright.checking import check, load_rulebook, load_site
    from coaxwright.handover.measured import measured_against, measured_document, measured_json
    from coaxwright.handover.plan import Plan

    loaded = load_site(site)
    plan = Plan(loaded, check(loaded, rulebook=load_rulebook(extra_rules), today=today))
    found = measured_against(plan, str(sheet))
    if form == "json":
        deliver(measured_json(plan, found), output)
    else:
        from coaxwright.cli.showing import show

        show(measured_document(plan, found), form, output)
    return FINDINGS if found.off else CLEAN
