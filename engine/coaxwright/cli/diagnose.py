"""`coaxwright diagnose`: what could cause what is seen on a site that stands, and what to measure next."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import Any

import click

from coaxwright.cli.exits import CLEAN, FINDINGS
from coaxwright.cli.groups import Exampled
from coaxwright.cli.options import format_option, output_option, rules_option, today_option
from coaxwright.cli.output import deliver
from coaxwright.show.tree import Document


@click.command(
    cls=Exampled,
    examples=(
        "coaxwright diagnose boatyard.site.yaml --seen 'cameras/slipway: no picture at night'",
        "coaxwright diagnose boatyard.site.yaml --seen 'cameras/slipway: no picture' --seen 'cameras/gate: works'",
        "coaxwright diagnose boatyard.site.yaml --seen 'slipway: no picture' --measured 'slipway: volts-day = 11.9'",
        "coaxwright diagnose --symptoms",
    ),
)
@click.argument("site", metavar="[SITE]", type=click.Path(path_type=Path), required=False)
@click.option("--seen", metavar="'SUBJECT: SYMPTOM'", multiple=True,
              help="What is seen, and where; may be repeated. `works` counts too.")
@click.option("--measured", metavar="'SUBJECT: MEASUREMENT = READING'", multiple=True,
              help="What was measured; may be repeated.")
@click.option("--symptoms", is_flag=True, help="List the symptoms, the measurements and what leads to what, with sources.")
@format_option("text", "json", "md", "html", "csv")
@today_option
@rules_option
@output_option
def diagnose(
    site: Path | None, seen: tuple[str, ...], measured: tuple[str, ...], symptoms: bool, form: str, today: datetime.date | None,
    extra_rules: tuple[Path, ...], output: Path | None,
) -> int:  # fmt: skip
    """Tell what could cause what is seen on SITE although its plan is right, and what to measure next.

    Each cause is put into the site and judged: a set of causes is told where the engine then finds everything that is
    seen, and no smaller set does. Exit status 1: nothing known explains it.
    """
    if symptoms:
        return _symptoms(form, output)
    if site is None:
        raise click.UsageError("name the SITE that is to be diagnosed, or --symptoms")
    from coaxwright.checking import load_rulebook, load_site
    from coaxwright.diagnosis.diagnosing import diagnose as diagnosed
    from coaxwright.diagnosis.telling import diagnosis_data, diagnosis_document

    found = diagnosed(load_site(site), seen, measured, rulebook=load_rulebook(extra_rules), today=today)
    _show(diagnosis_data(found) if form == "json" else diagnosis_document(found), form, output)
    return CLEAN if found.causes else FINDINGS


def _symptoms(form: str, output: Path | None) -> int:
    from coaxwright.diagnosis.knowledge import load_knowledge
    from coaxwright.diagnosis.telling import symptoms_data, symptoms_document

    known = load_knowledge()
    _show(symptoms_data(known) if form == "json" else symptoms_document(known), form, output)
    return CLEAN


def _show(what: Document | dict[str, Any], form: str, output: Path | None) -> None:
    if isinstance(what, dict):
        from coaxwright.show.json_text import to_json

        deliver(to_json(what), output)
    else:
        from coaxwright.cli.showing import show

        show(what, form, output)
