"""Options that several commands share."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import click

from coaxwright.cli.exits import FAIL_ON, FailOn

Decorated = TypeVar("Decorated", bound=Callable[..., Any])


def rules_option(function: Decorated) -> Decorated:
    """`--rules DIR`, as often as wanted: folders of rules besides those of the program."""
    return click.option(
        "--rules",
        "extra_rules",
        metavar="DIR",
        multiple=True,
        type=click.Path(path_type=Path),
        help="A folder of rules to use besides those that come with the program; may be repeated.",
    )(function)


def parts_option(function: Decorated) -> Decorated:
    """`--parts GLOB`, as often as wanted: part files besides the generic parts."""
    return click.option(
        "--parts",
        "globs",
        metavar="GLOB",
        multiple=True,
        help="Part files to read besides the generic parts, as in 'parts/*.yaml'; may be repeated.",
    )(function)


def output_option(function: Decorated) -> Decorated:
    """`--output FILE`: write there, as a whole or not at all."""
    return click.option(
        "--output",
        "-o",
        metavar="FILE",
        type=click.Path(path_type=Path),
        help="Write to FILE, as a whole or not at all, and not to standard output.",
    )(function)


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
        help="The least level of finding that gives exit status 1.",
    )


def today_option(function: Decorated) -> Decorated:
    """`--today DATE`: the day by which waivers hold or have run out."""
    return click.option(
        "--today",
        metavar="DATE",
        type=click.DateTime(["%Y-%m-%d"]),
        callback=lambda context, option, value: None if value is None else value.date(),
        help="The day by which waivers are judged, as in 2026-12-01; today in UTC unless given.",
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
