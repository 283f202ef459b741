"""`check --baseline`, `--since` and `--write-baseline`: what is new against what was found before."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any, TypeVar

import click

from coaxwright.cli.options import is_free
from coaxwright.cli.output import complain, deliver
from coaxwright.cli.projects import by_project
from coaxwright.findings import Report

Decorated = TypeVar("Decorated", bound=Callable[..., Any])
_META = "coaxwright.since"
_WHOLE = ("json", "sarif", "junit")
"""Forms that tell all findings and mark which are new."""
FORMS = ("text", "annotations", "statistics", *_WHOLE)


def since_options(function: Decorated) -> Decorated:
    """`--baseline FILE`, `--since WHAT`, `--write-baseline FILE`; asked for with `asked`."""
    options = (
        click.option("--baseline", metavar="FILE", type=click.Path(path_type=Path), callback=_baseline, expose_value=False,
                     help="Tell and count only what is new or worse than in FILE: a baseline, or a saved report in JSON."),
        click.option("--since", metavar="REVISION|FILE", callback=_keep, expose_value=False,
                     help="The same against the sites as they were in a git revision, or against a saved report."),
        click.option("--write-baseline", metavar="FILE", type=click.Path(path_type=Path), callback=_new, expose_value=False,
                     help="Write what is found to FILE, to compare with later; exit status 0 where all was read."),
    )  # fmt: skip
    for option in reversed(options):
        function = option(function)
    return function


def _keep(context: click.Context, option: click.Parameter, value: object) -> None:
    if value is not None:
        context.meta.setdefault(_META, {})[str(option.name)] = value


def _baseline(context: click.Context, option: click.Parameter, value: Path | None) -> None:
    _keep(context, option, by_project("baseline")(context, option, value))


def _new(context: click.Context, option: click.Parameter, value: Path | None) -> None:
    _keep(context, option, is_free("--replace")(context, option, value))


def asked(form: str) -> dict[str, Any]:
    """What of the three was asked for, by name. Raises UsageError where they do not go together."""
    context = click.get_current_context()
    found: dict[str, Any] = dict(context.meta.get(_META, {}))
    if "since" in found or "write_baseline" in found:
        said = context.get_parameter_source("baseline") is click.core.ParameterSource.COMMANDLINE
        if said or {"since", "write_baseline"} <= found.keys():
            raise click.UsageError("--baseline, --since and --write-baseline each stand alone")
        found.pop("baseline", None)
    if form not in FORMS and {"baseline", "since"} & found.keys():
        raise click.UsageError(f"what is new is told in the formats {', '.join(FORMS)}; a page or a line is of the whole site")
    return found


def with_news(
    report: Report, asked: dict[str, Any], form: str, extra_rules: Sequence[Path], today: datetime.date | None
) -> tuple[Report, Report]:
    """What is to be shown, and what counts for the exit status: what is new, where something was asked for. Raises Refusal."""
    if "write_baseline" in asked:
        return report, _written(report, asked["write_baseline"])
    if not asked:
        return report, report
    from coaxwright.estate.known import compared, news_only, read_known

    if "baseline" in asked:
        known, against = read_known(asked["baseline"]), str(asked["baseline"])
    elif Path(asked["since"]).is_file():
        known, against = read_known(Path(asked["since"])), asked["since"]
    else:
        from coaxwright.cli.revisions import known_at

        known, against = known_at(asked["since"], report, extra_rules, today), asked["since"]
    marked = compared(report, known, against)
    news = news_only(marked)
    return marked if form in _WHOLE else news, news


def _written(report: Report, path: Path) -> Report:
    """Write the baseline; against it nothing is new."""
    from coaxwright.estate.known import baseline_text, compared, known_of, news_only

    deliver(baseline_text(report, path.parent), path)
    count = sum(len(site.findings) for site in report.sites)
    complain(f"coaxwright: {count} findings of {len(report.sites)} sites written to {path}")
    return news_only(compared(report, known_of(report), str(path)))
