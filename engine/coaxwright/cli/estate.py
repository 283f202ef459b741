"""`coaxwright estate`: many sites on one page."""

from __future__ import annotations

import datetime
import json
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

import click

from coaxwright.cli.exits import CLEAN, UNCHECKED
from coaxwright.cli.groups import Exampled
from coaxwright.cli.options import format_option, output_option, rules_option, today_option
from coaxwright.cli.projects import by_project
from coaxwright.errors import Problem, Refusal


@click.command(
    cls=Exampled,
    examples=(
        "coaxwright estate sites/ --jobs 2 --format html --output estate.html",
        "coaxwright estate estate.jsonl --since yesterday.jsonl",
        "coaxwright estate estate.jsonl --format csv --most 1000",
    ),
)
@click.argument("sources", metavar="SITE|FOLDER|REPORT...", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--since", metavar="FILE", type=click.Path(path_type=Path),
              help="Tell which sites changed since FILE: a report in JSON or jsonl, or a baseline.")
@click.option("--most", metavar="N", type=click.IntRange(1, 1_000_000), default=40, show_default=True,
              help="Worst sites to list.")
@click.option("--jobs", metavar="N", type=click.IntRange(1, 64), default=1, show_default=True, callback=by_project("jobs"),
              help="Processes to spread the sites over.")
@format_option("text", "md", "html", "csv", "json")
@today_option
@rules_option
@output_option
def estate(
    sources: tuple[Path, ...], since: Path | None, most: int, jobs: int, form: str, today: datetime.date | None,
    extra_rules: tuple[Path, ...], output: Path | None,
) -> int:  # fmt: skip
    """Tell of many sites together: how many hold, which faults are commonest, which sites are worst, what changed.

    Sites and folders are judged now; a REPORT of `check --format jsonl` or json is taken as it is. Exit status 0 when all
    could be read, 2 when something could not.
    """
    from coaxwright.cli.showing import give
    from coaxwright.estate.known import read_known
    from coaxwright.estate.summary import estate_data, estate_document
    from coaxwright.estate.tally import Gathering

    gathering = Gathering(read_known(since), str(since)) if since else Gathering()
    for source, line in _lines(sources, extra_rules, today, jobs):
        try:
            gathering.take(line)
        except (KeyError, TypeError, ValueError, AttributeError):
            right = "name a report of `check --format jsonl` or json"
            raise Refusal([Problem(str(source), "this is no report of findings", right)]) from None
    found = gathering.done()
    give(form, output, lambda: estate_data(found), lambda: estate_document(found, most))
    broken = any(site.fault for site in found.sites)
    return UNCHECKED if found.unread or broken or not found.sites else CLEAN


def _lines(
    sources: Sequence[Path], extra_rules: Sequence[Path], today: datetime.date | None, jobs: int
) -> Iterator[tuple[Path, Mapping[str, Any]]]:
    """The line of every site, with what it is from."""
    from coaxwright import pace
    from coaxwright.cli.sites import site_files
    from coaxwright.estate import job_of, site_lines
    from coaxwright.estate.saved import saved_lines

    saved = [each for each in sources if each.suffix in (".json", ".jsonl")]
    for source in saved:
        for line in pace.counted(saved_lines(source), "sites"):
            yield source, line
    files, problems = site_files([each for each in sources if each not in saved])
    if problems:
        raise Refusal(problems)
    made = site_lines(list(map(str, files)), job_of(extra_rules, today), jobs)
    for path, one in zip(files, pace.counted(made, "sites", len(files)), strict=True):
        yield path, json.loads(one.text)
