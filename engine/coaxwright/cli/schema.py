"""`coaxwright schema`: the JSON Schemas that come with the program."""

from __future__ import annotations

from pathlib import Path

import click

from coaxwright.cli.groups import Exampled
from coaxwright.cli.options import output_option
from coaxwright.cli.output import deliver
from coaxwright.errors import Problem, Refusal
from coaxwright.resources import data_root

_ENDING = ".schema.json"


@click.command(cls=Exampled, examples=("coaxwright schema site", "coaxwright schema"))
@click.argument("name", required=False)
@output_option
def schema(name: str | None, output: Path | None) -> int:
    """Print the JSON Schema called NAME; without NAME, the names there are."""
    root = data_root("schemas")
    names = sorted(each.name.removesuffix(_ENDING) for each in root.iterdir() if each.name.endswith(_ENDING))
    if name is None:
        deliver("".join(f"{each}\n" for each in names), output)
        return 0
    if name not in names:
        from coaxwright.reading.suggest import did_you_mean

        right = did_you_mean(name, names) or f"there are: {', '.join(names)}"
        raise Refusal([Problem(name, "is no schema of the program", right)])
    deliver((root / f"{name}{_ENDING}").read_text(encoding="utf-8"), output)
    return 0
