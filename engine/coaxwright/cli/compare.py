"""`coaxwright compare`: what changed between two versions of a site."""

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
    ),
)
@click.argument("old", metavar="OLD", type=click.Path(path_type=Path))
@click.argument("new", metavar="NEW", type=click.Path(path_type=Path))
@format_option("text", "md", "html", "json")
@today_option
@rules_option
@output_option
def compare(
    old: Path, new: Path, form: str, today: datetime.date | None, extra_rules: tuple[Path, ...], output: Path | None
) -> int:
    """Show what changed from site OLD to site NEW: devices, quantities, runs, facts, findings. Nothing is edited.

    Both are judged by the same rules on the same day. Exit status: 0 when nothing differs, 1 when something does, 2
    when they cannot be compared.
    """
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
