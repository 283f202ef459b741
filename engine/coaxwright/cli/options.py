"""Options that several commands share."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import click

from coaxwright.cli.exits import FAIL_ON, FailOn
from coaxwright.cli.projects import by_project, project_options
from coaxwright.errors import Problem, Refusal

Decorated = TypeVar("Decorated", bound=Callable[..., Any])


def patterns_option(function: Decorated) -> Decorated:
    """`--patterns DIR`, as often as wanted: folders of question patterns besides those of the program."""
    return click.option(
        "--patterns",
        "folders",
        multiple=True,
        metavar="DIR",
        type=click.Path(path_type=Path),
        help="A folder of your own question patterns; may be repeated.",
    )(function)


def seed_option(function: Decorated) -> Decorated:
    """`--seed N`: what is drawn is drawn by it."""
    text = "The same seed gives the same bytes."
    return click.option("--seed", type=click.IntRange(0), default=1, show_default=True, help=text)(function)


def rules_option(function: Decorated) -> Decorated:
    """`--rules DIR`, as often as wanted: folders of rules besides those of the program."""
    option = click.option(
        "--rules",
        "extra_rules",
        metavar="DIR",
        multiple=True,
        type=click.Path(path_type=Path),
        callback=by_project("rules"),
        help="A folder of rules to use besides those that come with the program; may be repeated.",
    )
    return option(project_options(function))


def parts_option(function: Decorated) -> Decorated:
    """`--parts GLOB`, as often as wanted: part files besides the generic parts."""
    option = click.option(
        "--parts",
        "globs",
        metavar="GLOB",
        multiple=True,
        callback=by_project("parts"),
        help="Part files to read besides the generic parts, as in 'parts/*.yaml'; may be repeated.",
    )
    return option(project_options(function))


_REPLACE = "coaxwright.replace"
_TO_FILE = "Write to FILE, as a whole or not at all, and not to standard output."


def output_option(function: Decorated) -> Decorated:
    """`--output FILE`: write there, as a whole or not at all."""
    return new_output_option("--output", "-o", metavar="FILE", help=_TO_FILE)(function)


def output_option_beside_replace(function: Decorated) -> Decorated:
    """The same for a command whose `--replace` says something else: there it is `--replace-file`."""
    return new_output_option("--output", "-o", metavar="FILE", help=_TO_FILE, flag="--replace-file")(function)


def new_output_option(*names: str, flag: str = "--replace", **more: Any) -> Callable[[Decorated], Decorated]:
    """`--output`, which has to be new before any work is done, and `--replace`, with which it need not be."""

    def decorate(function: Decorated) -> Decorated:
        option = click.option(*names, type=click.Path(path_type=Path), callback=is_free(flag), **more)
        return option(replace_option(flag)(function))

    return decorate


def replace_option(flag: str = "--replace", what: str = "--output") -> Callable[[Decorated], Decorated]:
    """`--replace`, with which an output need not be new."""
    return click.option(
        flag, "_replace_file", is_flag=True, is_eager=True, expose_value=False, callback=_may_replace,
        help=f"Write to {what} although there is a file, or a folder that is not empty.",
    )  # fmt: skip


def _may_replace(context: click.Context, option: click.Parameter, value: bool) -> None:
    context.meta[_REPLACE] = value


def may_replace() -> bool:
    """Whether the call said that what is there may be replaced."""
    return bool(click.get_current_context().meta.get(_REPLACE))


def is_free(flag: str) -> Callable[[click.Context, click.Parameter, Path | None], Path | None]:
    """Let a name through under which nothing would be lost. Raises Refusal."""

    def check(context: click.Context, option: click.Parameter, output: Path | None) -> Path | None:
        if output is None or context.meta.get(_REPLACE):
            return output
        if output.is_file():
            if output.resolve().name.endswith(".site.yaml"):
                raise Refusal([Problem(str(output), "is a site file", "name another file for the report")])
            raise Refusal([Problem(str(output), "exists already", f"name a new file, or add {flag}")])
        if output.is_dir() and next(output.iterdir(), None) is not None:
            raise Refusal([Problem(str(output), "is a folder that is not empty", f"name a new folder, or add {flag}")])
        return output

    return check


def format_option(*names: str) -> Callable[[Decorated], Decorated]:
    """`--format NAME`, the first being the default."""
    return click.option(
        "--format",
        "form",
        type=click.Choice(names),
        default=names[0],
        show_default=True,
        help="The form of the result.",
    )


def colour_option(function: Decorated) -> Decorated:
    """`--color`: over NO_COLOR, FORCE_COLOR and TERM."""
    return click.option(
        "--color",
        "colour",
        type=click.Choice(["auto", "always", "never"]),
        default="auto",
        show_default=True,
        help="Colour: on a terminal, always or never.",
    )(function)


def fail_on_option(default: FailOn) -> Callable[[Decorated], Decorated]:
    """`--fail-on LEVEL`: which findings count for the exit status."""
    return click.option(
        "--fail-on",
        type=click.Choice(FAIL_ON),
        default=default,
        show_default=True,
        callback=by_project("fail_on") if default != "never" else None,
        help="The least level of finding that gives exit status 1.",
    )


def today_option(function: Decorated) -> Decorated:
    """`--today DATE`: the day by which waivers hold or have run out."""
    by_the_project = by_project("today")

    def settled(context: click.Context, option: click.Parameter, value: object) -> object:
        return by_the_project(context, option, value.date() if isinstance(value, datetime.datetime) else value)

    option = click.option(
        "--today",
        metavar="DATE",
        type=click.DateTime(["%Y-%m-%d"]),
        callback=settled,
        help="The day by which waivers are judged, as in 2026-12-01; today in UTC unless given.",
    )
    return option(project_options(function))


def time_limit_option(function: Decorated) -> Decorated:
    """`--time-limit S`: a search stops then and gives what it has."""
    return click.option(
        "--time-limit",
        metavar="SECONDS",
        type=click.FloatRange(0, 1_000_000),
        help="Stop searching after so many seconds; the result then says that it was stopped by time.",
    )(function)


def video_rate_option(function: Decorated) -> Decorated:
    """`--video-rate 25|30`, for questions that name no site."""
    return click.option(
        "--video-rate",
        type=click.Choice(["25", "30"]),
        default="25",
        show_default=True,
        help="Frame family of the country.",
    )(function)
