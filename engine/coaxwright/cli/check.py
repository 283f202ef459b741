"""`coaxwright check`: judge sites by the rules."""

from __future__ import annotations

import datetime
import sys
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import click

from coaxwright.cli.contradictions import tell_once
from coaxwright.cli.exits import FailOn, check_status
from coaxwright.cli.groups import Exampled
from coaxwright.cli.options import (
    colour_option,
    fail_on_option,
    format_option,
    is_free,
    output_option,
    rules_option,
    today_option,
)
from coaxwright.cli.output import complain, deliver
from coaxwright.cli.projects import by_project
from coaxwright.cli.since import asked, since_options, with_news
from coaxwright.cli.sites import site_files
from coaxwright.errors import Problem, Refusal
from coaxwright.findings import Report, SiteReport
from coaxwright.reporting.formats import FORMATS, Detail, Setting, render
from coaxwright.show.painter import ColourChoice

JSON_LINES = "jsonl"
"""A line of JSON for each site, as soon as it is worked out: for many sites."""

_STDIN = Path("-")
FIX_TRIES = 60
"""Changes that `--fixes` tries for one finding; `coaxwright fix` tries more."""


@click.command(
    cls=Exampled,
    examples=(
        "coaxwright check boatyard.site.yaml",
        "coaxwright check sites/ --detail concise",
        "coaxwright check boatyard.site.yaml --format json --output report.json",
        "coaxwright check - --stdin-filename boatyard.site.yaml < boatyard.site.yaml",
        "coaxwright check boatyard.site.yaml --watch",
        "coaxwright check sites/ --write-baseline known.json",
        "coaxwright check sites/ --baseline known.json",
        "coaxwright check estate/ --jobs 2 --format jsonl > estate.jsonl",
        "coaxwright check estate/ --jobs 2 --format jsonl --resume estate.jsonl",
    ),
)
@click.argument("sites", metavar="SITE...", nargs=-1, type=click.Path(path_type=Path))
@format_option(*FORMATS, JSON_LINES)
@click.option(
    "--detail",
    type=click.Choice(["grouped", "full", "concise"]),
    default="grouped",
    show_default=True,
    help="For text: equal findings together, each in full, or a line each.",
)
@fail_on_option("error")
@click.option("--strict", is_flag=True, callback=by_project("strict"),
              help="Exit status 3 when something stayed open for want of a fact.")
@click.option("--fixes", is_flag=True, help="Try changes for every finding and tell those that were proven (up to 60 each).")
@click.option(
    "--jobs",
    metavar="N",
    type=click.IntRange(1, 64),
    default=1,
    show_default=True,
    callback=by_project("jobs"),
    help="Processes to spread many sites over.",
)
@click.option("--stdin-filename", "stdin_name", metavar="FILE", type=click.Path(path_type=Path),
              help="With `-`: what the text read from standard input is called; its part files are looked for beside it.")
@click.option("--watch", "watched", is_flag=True, help="Stay, and judge a site again when one of its files changes; as text.")
@click.option("--resume", metavar="FILE", type=click.Path(path_type=Path), callback=is_free("--replace"),
              help="With --format jsonl: write to FILE, and after a run that was killed go on where it was.")
@since_options
@today_option
@rules_option
@output_option
@colour_option
def check(
    sites: tuple[Path, ...],
    form: str,
    detail: Detail,
    fail_on: FailOn,
    strict: bool,
    fixes: bool,
    jobs: int,
    stdin_name: Path | None,
    watched: bool,
    resume: Path | None,
    today: datetime.date | None,
    extra_rules: tuple[Path, ...],
    output: Path | None,
    colour: ColourChoice,
) -> int:
    """Check SITE files, all `*.site.yaml` files of a folder, or with `-` the text on standard input.

    Exit status: 0 nothing at or above --fail-on, 1 findings, 2 could not check, 3 with --strict: something
    stayed open, 130 interrupted. With --baseline or --since only what is new or worse counts.
    """
    _refuse_to_replace(output, sites)
    before = asked(form)

    def told(report: Report) -> int:
        shown, counted = with_news(report, before, form, extra_rules, today)
        return _told(shown, form, detail, output, colour, check_status(counted, fail_on, strict))

    def judged(files: Sequence[Path]) -> int:
        jobs_here = 1 if form in ("html", "md") else jobs
        report = checked(files, extra_rules, jobs=jobs_here, facts=form in ("json", "html"), today=today)
        return told(_with_fixes(report, extra_rules, today) if fixes else report)

    _refuse_together(form, output, resume, watched, before)
    if _STDIN in sites or stdin_name is not None:
        _refuse_beside_stdin(sites, form, fixes or watched)
        return told(from_stdin(stdin_name or Path("stdin.site.yaml"), extra_rules, today))
    if form == JSON_LINES:
        from coaxwright.cli.many import check_many_lines, job_of_call

        return check_many_lines(sites, job_of_call(extra_rules, today, resume), jobs, output, fail_on, strict, resume)
    return _watch(sites, extra_rules, judged) if watched and sites else judged(sites)


def _watch(sites: Sequence[Path], extra_rules: Sequence[Path], judged: Callable[[list[Path]], int]) -> int:
    from coaxwright.cli.watch import watch

    return watch(sites, extra_rules, judged)


def _with_fixes(report: Report, extra_rules: Sequence[Path], today: datetime.date | None) -> Report:
    from coaxwright.cli.house_prices import project_prices
    from coaxwright.fixes.advice import with_fixes

    return with_fixes(report, extra_rules, FIX_TRIES, today, project_prices())


def _refuse_together(form: str, output: Path | None, resume: Path | None, watched: bool, before: Mapping[str, Any]) -> None:
    """Raises UsageError for options that say nothing together."""
    if resume is not None and (form != JSON_LINES or output is not None):
        raise click.UsageError("--resume FILE goes with --format jsonl, and takes the place of --output")
    if watched and (form != "text" or output is not None or "write_baseline" in before):
        raise click.UsageError("--watch tells what it finds as text on the screen: no other format, no file")


def _told(report: Report, form: str, detail: Detail, output: Path | None, colour: ColourChoice, status: int) -> int:
    """Give the report, and say on standard error what could not be read and what the part files get wrong."""
    for problem in report.unread:
        complain(str(problem))
    tell_once(line for site in report.sites for line in (*site.contradictions, *site.not_used))
    if report.sites or form != "text":
        from coaxwright.cli.showing import screen

        sees = screen(output, colour)
        deliver(render(form, report, Setting(detail, sees.painter, status, sees.width)), output)
    return status


def _refuse_beside_stdin(sites: Sequence[Path], form: str, fixes: bool) -> None:
    if tuple(sites) != (_STDIN,):
        raise click.UsageError("`-` stands alone, and --stdin-filename belongs to it: one text is read from standard input")
    if form == JSON_LINES or fixes:
        raise click.UsageError("a text from standard input is judged alone: no --format jsonl, no --fixes, no --watch")


def from_stdin(name: Path, extra_rules: Sequence[Path], today: datetime.date | None) -> Report:
    """The report on the text of a site that standard input holds."""
    from coaxwright import __version__
    from coaxwright.checking import check as judged
    from coaxwright.checking import load_rulebook, rule_infos
    from coaxwright.reading.site_reader import load_site_text
    from coaxwright.reading.yaml_source import MAX_BYTES, decode
    from coaxwright.rulebook.settings import day_of_today

    rules, day = load_rulebook(extra_rules), today or day_of_today()
    sites: tuple[SiteReport, ...] = ()
    unread: tuple[Problem, ...] = ()
    try:
        data = sys.stdin.buffer.read(MAX_BYTES + 1)
        if len(data) > MAX_BYTES:
            raise Refusal([Problem(str(name), f"is larger than {MAX_BYTES >> 20} MiB", "split it into several sites")])
        sites = (judged(load_site_text(decode(data, str(name)), str(name), name.parent), rulebook=rules, today=day),)
    except Refusal as refusal:
        unread = refusal.problems
    return Report(__version__, rules.digest, rule_infos(rules), sites, unread, day.isoformat())


def _refuse_to_replace(output: Path | None, sites: Sequence[Path]) -> None:
    """A report never takes the place of a site file."""
    if output is None or not output.exists():
        return
    if output.name.endswith(".site.yaml") or any(site.exists() and output.samefile(site) for site in sites):
        raise Refusal([Problem(str(output), "is a site file", "name another file for the report")])


def checked(
    sites: Sequence[Path], extra_rules: Sequence[Path], *, jobs: int = 1, facts: bool = True,
    today: datetime.date | None = None,
) -> Report:  # fmt: skip
    """The report on all sites that `sites` names; Refusal when the rules are wrong."""
    if not sites:
        raise click.UsageError("no site is named: give a .site.yaml file, or a folder that holds some")
    from coaxwright.checking import check_many, load_rulebook

    rulebook = load_rulebook(extra_rules)
    files, problems = site_files(sites)
    report = check_many(files, rulebook=rulebook, jobs=jobs, facts=facts, today=today)
    return replace(report, unread=(*problems, *report.unread)) if problems else report
