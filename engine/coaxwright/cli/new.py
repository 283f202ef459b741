"""`coaxwright new`: a first site file from a few answers."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

import click

from coaxwright.cli.groups import Exampled
from coaxwright.cli.handed import Answers
from coaxwright.cli.output import complain, deliver
from coaxwright.errors import Problem, Refusal


@click.command(
    cls=Exampled,
    examples=(
        "coaxwright new mill.site.yaml",
        "coaxwright new mill.site.yaml --name 'Weir mill' --cameras 6 --parts 'parts/*.yaml' --length 40m",
        "coaxwright new mill.site.yaml --cameras gate,yard,office --camera fennick/turret-5 --recorder tarnwell/hybrid-8",
    ),
)
@click.argument("site", metavar="SITE", type=click.Path(path_type=Path))
@click.option("--name", metavar="TEXT", help="What the site is called.")
@click.option("--cameras", metavar="N|NAMES", help="How many cameras, or their names with commas between.")
@click.option("--length", metavar="LENGTH", help="Length of a run, as in 40m, where nothing better is known yet.")
@click.option("--setting", type=click.Choice(["indoor", "sheltered", "outdoor"]), help="Where most cameras stand.")
@click.option("--retention", metavar="DAYS", type=click.IntRange(1, 3650), help="Days that recordings are to be kept.")
@click.option("--video-rate", type=click.Choice(["25", "30"]), help="Frame family of the country.")
@click.option(
    "--camera",
    metavar="PART",
    default="",
    help="Part of all cameras; without it one that suits the recorder.",
)
@click.option("--recorder", metavar="PART", default="", help="Part of the recorder; without it one with enough inputs.")
@click.option(
    "--parts", "patterns", metavar="GLOB", multiple=True, help="Part files below the folder of SITE; may be repeated."
)
@click.option("--cable", metavar="PART", default="", help="Cable of video runs; without it solid-copper RG-59.")
@click.option(
    "--power-cable",
    metavar="PART",
    default="",
    help="Cable of power runs; without it the thinnest usual one that holds.",
)
def new(site: Path, **given: object) -> int:
    """Write SITE, a commented site file that checks, from a few answers; nothing that is there is replaced.

    On a terminal it asks for what no option says; elsewhere it takes the usual answers. Where no camera or recorder is
    named and no part file has one, a part file with entries to be filled in is written beside it. Exit status: 0 when
    it is written, 2 when it cannot be.
    """
    from coaxwright.reading.atomic import write_atomically
    from coaxwright.reporting.wording import counts
    from coaxwright.schedules.new_site import new_site

    _refuse_what_is_there(site)
    made = new_site(_answers(site, given), site.name, site.parent)
    for name in made.files:
        _refuse_what_is_there(site.with_name(name))
    try:
        for name, text in made.files.items():
            write_atomically(site.with_name(name), text)
    except OSError as error:
        raise Refusal([Problem(str(site), f"cannot be written: {error.strerror or error}")]) from error
    deliver(f"{', '.join(str(site.with_name(name)) for name in made.files)}\n")
    complain(f"{counts(made.report.summary)}. Next: coaxwright check {site}")
    return 0


def _refuse_what_is_there(path: Path) -> None:
    if path.exists():
        raise Refusal([Problem(str(path), "exists already", "name a new file")])


def _answers(site: Path, given: dict[str, Any]) -> Answers:
    from coaxwright.schedules.new_site import Answers, camera_names, whole_number

    stem = site.name.partition(".")[0] or "site"
    name = given["name"] or _ask("What is the site called", stem)
    cameras = given["cameras"] or _ask("How many cameras, or their names with commas between", "4")
    setting = given["setting"] or _ask("Where do most stand: indoor, sheltered, outdoor", "indoor")
    retention = given["retention"] or _ask("How many days are recordings kept", "14")
    rate = given["video_rate"] or _ask("Frame family of the country: 25 or 30", "25")
    length = given["length"] or _ask("How long is a usual run, as in 40m (empty: not known)", "")
    return Answers(
        name, camera_names(cameras, "--cameras"), _chosen("--video-rate", rate, ("25", "30")),
        whole_number("--retention", str(retention)),
        _metres(length),
        str(_choice("--setting", setting, ("indoor", "sheltered", "outdoor"))), given["camera"], given["recorder"],
        given["patterns"], given["cable"], given["power_cable"],
    )  # fmt: skip


def _ask(question: str, usual: str) -> str:
    """The answer of who sits at the terminal; the usual one where nobody does."""
    if sys.stdin is None or not sys.stdin.isatty():
        return usual
    return str(click.prompt(question, default=usual, err=True, show_default=bool(usual)))


def _choice(option: str, text: str, choices: tuple[str, ...]) -> str:
    if text not in choices:
        raise Refusal([Problem(option, f"`{text}` is no choice", f"write {' or '.join(choices)}")])
    return text


def _chosen(option: str, text: str, choices: tuple[str, ...]) -> int:
    return int(_choice(option, text, choices))


def _metres(text: str) -> float | None:
    from coaxwright.model.quantities import KINDS, QuantityError

    if not text.strip():
        return None
    try:
        return float(KINDS["length"].read(text))
    except QuantityError as error:
        raise Refusal([Problem("--length", str(error))]) from error
