"""Settings of a project file for options that a call does not give."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any, TypeVar

import click
from click.core import ParameterSource

Decorated = TypeVar("Decorated", bound=Callable[..., Any])
_NAMED, _UNWANTED, _READ = "_project_file", "_no_project", "coaxwright.project"
_FILE = "coaxwright.project.yaml"


def project_options(function: Decorated) -> Decorated:
    """`--project FILE` and `--no-project`, once for a command."""
    if any(each.name == _NAMED for each in getattr(function, "__click_params__", ())):
        return function
    named = click.option(
        "--project", _NAMED, metavar="FILE", type=click.Path(path_type=Path), is_eager=True, expose_value=False, callback=_keep,
        help=f"The settings file; the nearest {_FILE} at or above the site (or this folder) unless given.",
    )  # fmt: skip
    unwanted = click.option(
        "--no-project", _UNWANTED, is_flag=True, is_eager=True, expose_value=False, callback=_keep,
        help="Use no settings file.",
    )  # fmt: skip
    return named(unwanted(function))


def _keep(context: click.Context, option: click.Parameter, value: object) -> None:
    if value:
        context.meta[str(option.name)] = value


def by_project(setting: str) -> Callable[[click.Context, click.Parameter, Any], Any]:
    """A callback of an option that a call may leave out: then what the project says under `setting`, if it says it."""

    def settled(context: click.Context, option: click.Parameter, value: object) -> object:
        left_out = context.get_parameter_source(str(option.name)) is ParameterSource.DEFAULT
        return settings_of(context).get(setting, value) if left_out and not context.resilient_parsing else value

    return settled


def settings_of(context: click.Context) -> Mapping[str, Any]:
    """What the project of this call says, read once and told of; nothing where there is none. Raises Refusal."""
    if _READ not in context.meta:
        path = _path(context)
        context.meta[_READ] = {} if path is None else _read(path)
    found: Mapping[str, Any] = context.meta[_READ]
    return found


def _path(context: click.Context) -> Path | None:
    named: Path | None = context.meta.get(_NAMED)
    if named is not None or context.meta.get(_UNWANTED):
        return named
    from coaxwright.reading.projects_near import project_above

    return project_above(list(_named_places(context)))


def _read(path: Path) -> Mapping[str, Any]:
    from coaxwright.cli.output import complain
    from coaxwright.reading.project_files import read_project

    complain(f"coaxwright: settings of {path}")
    return read_project(path).said()


def _named_places(context: click.Context) -> Iterator[Path]:
    """Files and folders that the arguments of the call name and that are there."""
    names = {each.name for each in context.command.params if isinstance(each, click.Argument)}
    for name in names & context.params.keys():
        given = context.params[name]
        for each in given if isinstance(given, tuple) else (given,):
            if isinstance(each, Path | str) and os.path.exists(each) and os.fspath(each) != "-":
                yield Path(each)
