"""`coaxwright kit`: does a kit work as a system, and what is missing from its box."""

from __future__ import annotations

from pathlib import Path

import click

from coaxwright.cli.contradictions import tell_once
from coaxwright.cli.exits import CLEAN, FINDINGS
from coaxwright.cli.groups import Exampled, LazyGroup
from coaxwright.cli.options import format_option, output_option, parts_option, rules_option, video_rate_option
from coaxwright.cli.output import deliver

_TABLE = {
    "check": ("coaxwright.cli.kit:check_kit", "Prove up to which run length a kit works, and list what it lacks.")
}


@click.group(cls=LazyGroup, table=_TABLE, examples=("coaxwright kit check tarnwell/kit-4 --parts 'parts/*.yaml'",))
def kit() -> None:
    """Kits: parts that contain parts, such as four cameras, a recorder, a supply and cables."""


@click.command(
    "check",
    cls=Exampled,
    examples=(
        "coaxwright kit check tarnwell/kit-4 --parts 'parts/*.yaml'",
        "coaxwright kit check tarnwell/kit-4 --parts 'parts/*.yaml' --cable rg6-copper --power-cable dc-1mm2",
    ),
)
@click.argument("name", metavar="KIT")
@parts_option
@click.option(
    "--cable", default="rg59-copper", show_default=True, metavar="PART", help="Video cable where the box holds none."
)
@click.option(
    "--power-cable",
    default="dc-0.75mm2",
    show_default=True,
    metavar="PART",
    help="Power cable where the box holds none.",
)
@video_rate_option
@format_option("text", "json", "md", "html", "csv")
@rules_option
@output_option
def check_kit(
    name: str,
    globs: tuple[str, ...],
    cable: str,
    power_cable: str,
    video_rate: str,
    form: str,
    extra_rules: tuple[Path, ...],
    output: Path | None,
) -> int:
    """Lay the kit KIT out as a site and check it: as it is boxed, and up to the longest run that holds.

    Exit status 0 when nothing fails and nothing is missing, 1 otherwise, 2 when it could not be checked.
    """  # fmt: skip
    from coaxwright.checking import load_rulebook
    from coaxwright.cli.catalogues import catalogue_with
    from coaxwright.cli.showing import screen
    from coaxwright.pairing import kits
    from coaxwright.pairing.kit_sites import StandIns
    from coaxwright.pairing.kit_words import render_kit
    from coaxwright.pairing.names import known

    catalogue = catalogue_with(globs, (name, cable, power_cable))
    stand_ins = StandIns(known(catalogue, cable, "cable"), known(catalogue, power_cable, "cable"), int(video_rate))
    answer = kits.check_kit(catalogue, known(catalogue, name, "kit"), stand_ins, load_rulebook(extra_rules))
    tell_once(answer.contradictions)
    deliver(render_kit(answer, form, screen(output)), output)
    return CLEAN if answer.complete else FINDINGS
