"""`coaxwright pack`: the sheets that a job needs, from the site as it was checked."""

from __future__ import annotations

import datetime
from pathlib import Path

import click

from coaxwright.cli.contradictions import tell_once
from coaxwright.cli.exits import CLEAN, FINDINGS, UNCHECKED
from coaxwright.cli.groups import Exampled
from coaxwright.cli.options import may_replace, new_output_option, rules_option, today_option
from coaxwright.cli.output import complain
from coaxwright.errors import Problem, Refusal


@click.command(
    cls=Exampled,
    examples=(
        "coaxwright pack boatyard.site.yaml --output handover",
        "coaxwright pack boatyard.site.yaml --output handover --version 'plan C' --drum 305m --replace",
    ),
)
@click.argument("site", metavar="SITE", type=click.Path(path_type=Path))
@new_output_option("--output", "-o", metavar="DIR", required=True, help="The folder, which has to be new or empty.")
@click.option("--version", metavar="TEXT", default="", help="What this plan is called, on every sheet of paper.")
@click.option("--drum", metavar="LENGTH", help="Length of a drum where no price file says, as in 305m; 100 m otherwise.")
@today_option
@rules_option
def pack(site: Path, output: Path, version: str, drum: str | None, today: datetime.date | None,
         extra_rules: tuple[Path, ...]) -> int:  # fmt: skip
    """Write what is ordered, pulled, labelled, measured and kept for SITE: a workbook, CSV files, one page to print.

    Cable schedule, pull list by drum, labels, patch list, addresses, bill, commissioning sheet, survey sheet,
    maintenance, and the report. Exit status: 0 when all is written and the plan has no error, 1 when it has, 2 when
    nothing could be written.
    """
    from coaxwright import __version__
    from coaxwright.checking import check, load_rulebook, rule_infos
    from coaxwright.cli.house_prices import priced_site
    from coaxwright.findings import Report
    from coaxwright.handover.pack import pack_files
    from coaxwright.handover.plan import Plan
    from coaxwright.reading.folders import write_folder
    from coaxwright.rulebook.settings import day_of_today

    length = None if drum is None else _metres(drum)
    rules, loaded, day = load_rulebook(extra_rules), priced_site(site), today or day_of_today()
    judged = check(loaded, rulebook=rules, today=day)
    tell_once(judged.contradictions)
    report = Report(__version__, rules.digest, rule_infos(rules), (judged,), (), day.isoformat())
    files = pack_files(Plan(loaded, judged, length), report, version)
    write_folder(output, files, may_replace())
    complain(f"{output}: {', '.join(files)}")
    if judged.summary.fault:
        return UNCHECKED
    return FINDINGS if judged.summary.error else CLEAN


def _metres(text: str) -> float:
    from coaxwright.model.quantities import KINDS, QuantityError

    try:
        length = float(KINDS["length"].read(text))
    except QuantityError as error:
        raise Refusal([Problem("--drum", str(error))]) from error
    if length <= 0:
        raise Refusal([Problem("--drum", f"`{text}` is no length of a drum", "write one as in 305m")])
    return length
