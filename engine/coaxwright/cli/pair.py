"""`coaxwright pair`: will this camera work on this recorder, and how."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import Any

import click

from coaxwright.cli.groups import Exampled
from coaxwright.cli.handed import Catalogue, Clerk, Question
from coaxwright.cli.options import (
    format_option,
    output_option_beside_replace,
    parts_option,
    rules_option,
    time_limit_option,
    today_option,
    video_rate_option,
)
from coaxwright.cli.output import deliver
from coaxwright.show.screen import Screen

_FORMS = ("text", "json", "csv", "md", "html")


@click.command(
    cls=Exampled,
    examples=(
        "coaxwright pair fennick/turret-5 tarnwell/hybrid-8 --parts 'parts/*.yaml'",
        "coaxwright pair fennick/turret-5 tarnwell/hybrid-8 --set family=ahd,mode=1920x1080@25 --cable rg6-copper --length 120m",
        "coaxwright pair '*' '*' --where 'megapixels>=5' --where 'channels>=8' --format html --output pairs.html",
        "coaxwright pair 'fennick/turret-5:4,tarnwell/dome-2:2' '*' --best-for cameras",
        "coaxwright pair fennick/turret-5 tarnwell/hybrid-8 --replace camera",
        "coaxwright pair fennick/turret-5 tarnwell/hybrid-8 --replace camera --site boatyard.site.yaml",
        "coaxwright pair --cameras old-cameras.csv '*' --keep sound=6,full=8 --parts 'parts/*.yaml'",
        "coaxwright pair --cameras boatyard.site.yaml 'tarnwell/*' --format html --output recorders.html",
    ),
)
@click.argument("camera", metavar="CAMERA")
@click.argument("recorder", metavar="RECORDER", required=False)
@click.option("--cameras", "listed", metavar="LIST", type=click.Path(path_type=Path),
              help="In place of CAMERA: a list (CSV, XLSX, ODS) of cameras with quantities, a camera schedule, or a site.")
@click.option("--keep", metavar="WHAT=N", multiple=True,
              help="With --cameras: so many cameras with sound=6, full=8, picture, full-width, control, firmware, sorted-motion.")
@parts_option
@click.option("--cable", metavar="PART", help="The cable between; the usual ones are told otherwise.")
@click.option("--length", metavar="LENGTH", help="How long it is, as in `85 m` or `280 ft`.")
@click.option(
    "--set",
    "settings",
    metavar="WHAT",
    multiple=True,
    help="How the camera is switched (`family=tvi,mode=1920x1080@25`), or a recorder setting made (`made=NAME`).",
)
@video_rate_option
@click.option("--channels", type=click.IntRange(1, 1024), help="Inputs in use; all unless given.")
@click.option(
    "--input", "number", type=click.IntRange(1, 1024), help="The input to ask about; the best one unless given."
)
@click.option(
    "--where",
    "conditions",
    metavar="CONDITION",
    multiple=True,
    help="Only parts that meet it: 'price<=80', 'maker=fennick', 'recorder.channels>=8'; may be repeated.",
)
@click.option(
    "--best-for",
    type=click.Choice(["cameras", "recorder"]),
    help="Rank recorders for these cameras, or cameras for this recorder: by what is kept, then price.",
)
@click.option(
    "--replace",
    type=click.Choice(["camera", "recorder"]),
    help="List parts that keep at least as much in the place of this camera or recorder.",
)
@click.option("--site", metavar="SITE", type=click.Path(path_type=Path),
              help="With --replace: prove each part on this site too, wherever the site has the one that is replaced.")
@click.option("--for", "customer", metavar="NAME", default="", help="For whom: stands on the page of one pair (--format html).")
@click.option("--long", is_flag=True, help="Of one pair, tell all: why, other inputs, reach, power, by hand, rules, sources.")
@today_option
@time_limit_option
@format_option(*_FORMS)
@rules_option
@output_option_beside_replace
def pair(
    camera: str,
    recorder: str | None,
    listed: Path | None,
    keep: tuple[str, ...],
    globs: tuple[str, ...],
    form: str,
    extra_rules: tuple[Path, ...],
    output: Path | None,
    best_for: str | None,
    replace: str | None,
    conditions: tuple[str, ...],
    site: Path | None,
    time_limit: float | None,
    long: bool,
    today: datetime.date | None,
    customer: str,
    **asked: Any,
) -> int:
    """Tell what CAMERA and RECORDER come to: picture, rates, sound, control, reach, power, and why.

    Either may be a glob over part ids, as in 'fennick/*', or a list with commas: then a table is told. Behind a
    camera `:4` stands for four of it. Exit status 0 when it could
    be answered, whatever the answer; 2 when it could not.
    """  # fmt: skip
    from coaxwright.cli.showing import screen
    from coaxwright.pairing.tables import is_several

    question, shown = _question(**asked), screen(output)
    _refuse_without_replace(replace, site, time_limit)
    if listed is not None or keep:
        of_set = _of_set(listed, camera, recorder, best_for or replace)
        text = _set(of_set, (keep, question, conditions, globs, extra_rules), form, shown)
    elif recorder is None:
        raise click.UsageError("Missing argument 'RECORDER': name a camera and a recorder, or --cameras LIST and a recorder")
    elif replace is not None:
        call = (camera, recorder, replace, question, conditions, globs, extra_rules, site, time_limit)
        text = _replaced(call, form, shown)
    elif best_for is None and not conditions and not is_several(camera) and not is_several(recorder):
        text = _one((camera, recorder), question, form, shown, (globs, extra_rules, long, today, customer))
    else:
        text = _several((camera, recorder), question, form, shown, (globs, extra_rules, conditions, best_for))
    deliver(text, output)
    return 0


def _set(of_set: tuple[Path, str], call: tuple[Any, ...], form: str, shown: Screen) -> str:
    from coaxwright.cli.pair_sets import SetCall, set_answer

    return set_answer(SetCall(*of_set, *call), form, shown)


def _replaced(call: tuple[Any, ...], form: str, shown: Screen) -> str:
    from coaxwright.cli.replacing import Asked, replacements

    return replacements(Asked(*call), form, shown)


def _of_set(listed: Path | None, camera: str, recorder: str | None, other: str | None) -> tuple[Path, str]:
    """The list and the recorders: with --cameras the one argument names recorders."""
    if listed is None:
        raise click.UsageError("--keep belongs to --cameras LIST")
    if recorder is not None:
        raise click.UsageError("--cameras stands in place of CAMERA: name recorders only, as in --cameras list.csv '*'")
    if other is not None:
        raise click.UsageError("--cameras ranks recorders already: leave out --best-for and --replace")
    return listed, camera


def _refuse_without_replace(replace: str | None, site: Path | None, time_limit: float | None) -> None:
    if replace is None and site is not None:
        raise click.UsageError("--site belongs to --replace camera or --replace recorder")
    if time_limit is not None and site is None:
        raise click.UsageError("--time-limit belongs to --replace with --site: only that searches long")


def _question(cable: str | None, length: str | None, settings: tuple[str, ...], video_rate: str,
              channels: int | None, number: int | None) -> Question:  # fmt: skip
    """The options as a question; a usage error for what cannot be read."""
    from coaxwright.model.quantities import QuantityError, parse_quantity
    from coaxwright.pairing.small_sites import Question

    if length is not None:
        if cable is None:
            raise click.UsageError("--length needs the cable: --cable rg59-copper, for example")
        try:
            parse_quantity("length", length)
        except QuantityError as error:
            raise click.UsageError(f"--length: {error}") from None
    family, mode, made = _switched(settings)
    return Question(family, mode, made, cable, length, int(video_rate), channels, number)


def _switched(settings: tuple[str, ...]) -> tuple[str | None, str | None, tuple[str, ...]]:
    from coaxwright.model.common import FAMILIES, parse_mode

    found: dict[str, list[str]] = {"family": [], "mode": [], "made": []}
    for piece in (piece for setting in settings for piece in setting.split(",")):
        name, sign, value = (each.strip() for each in piece.partition("="))
        if not sign or name not in found or not value:
            raise click.UsageError(f"--set {piece}: write family=tvi, mode=1920x1080@25 or made=NAME")
        found[name].append(value)
    family, mode = (found[name][-1] if found[name] else None for name in ("family", "mode"))
    if family is not None and family not in FAMILIES:
        raise click.UsageError(f"--set family={family}: there are {', '.join(FAMILIES)}")
    if mode is not None:
        try:
            parse_mode(mode)
        except ValueError as error:
            raise click.UsageError(f"--set mode: {error}") from None
    return family, mode, tuple(found["made"])


def _one(pair: tuple[str, str], question: Question, form: str, screen: Screen,
         how: tuple[tuple[str, ...], tuple[Path, ...], bool, datetime.date | None, str]) -> str:  # fmt: skip
    from coaxwright.checking import load_rulebook
    from coaxwright.cli.catalogues import catalogue_with
    from coaxwright.pairing.answers import answer
    from coaxwright.pairing.cells import Clerk
    from coaxwright.pairing.printing import render_answer
    from coaxwright.pairing.stamps import stamp
    from coaxwright.rulebook.settings import day_of_today

    globs, extra_rules, long, today, customer = how
    rules = load_rulebook(extra_rules)
    clerk = Clerk(catalogue_with(globs, (*pair, question.cable)), rules if extra_rules else None)
    told = answer(clerk, *pair, question, rules)
    named = [told.camera, told.recorder, *([question.cable] if question.cable else [])]
    marked = stamp(clerk.catalogue, named, question, rules.digest, today or day_of_today(), customer)
    return render_answer(told, form, screen, long=long, stamp=marked)


def _several(pair: tuple[str, str], question: Question, form: str, screen: Screen,
             how: tuple[tuple[str, ...], tuple[Path, ...], tuple[str, ...], str | None]) -> str:  # fmt: skip
    """A table or a ranking."""
    from coaxwright.checking import load_rulebook
    from coaxwright.cli.catalogues import catalogue_of
    from coaxwright.cli.replacing import refuse_half_a_cable
    from coaxwright.pairing.cells import Clerk
    from coaxwright.pairing.table_forms import all_together, refuse_too_many, render_table
    from coaxwright.pairing.tables import kept, named, parse_condition, refuse_what_no_recorder_has, tabulate

    (camera, recorder), (globs, extra_rules, conditions, best_for) = pair, how
    clerk = Clerk(catalogue_of(globs), load_rulebook(extra_rules) if extra_rules else None)
    met = [parse_condition(each) for each in conditions]
    catalogue = clerk.catalogue
    refuse_half_a_cable(catalogue, question)
    cameras = _kept(kept(catalogue, named(catalogue, camera, "camera"), "camera", met), "cameras")
    recorders = _kept(kept(catalogue, named(catalogue, recorder, "recorder"), "recorder", met), "recorders")
    refuse_what_no_recorder_has(clerk, recorders, question)
    if best_for is not None:
        return _ranking(clerk, cameras, recorders, question, form, screen, best_for)
    kinds = list(dict.fromkeys(cameras))
    refuse_too_many(len(kinds) * len(recorders), form)
    table = tabulate(clerk, kinds, recorders, question)
    _tell_contradictions(catalogue, [*kinds, *recorders], question)
    return render_table(table, form, all_together(clerk, cameras, recorders, question), screen)


def _tell_contradictions(catalogue: Catalogue, names: list[str], question: Question) -> None:
    from coaxwright.cli.contradictions import tell_contradictions

    tell_contradictions(catalogue, [*names, *([question.cable] if question.cable else [])])


def _kept(names: list[str], what: str) -> list[str]:
    if not names:
        raise click.UsageError(f"no {what} meet every --where")
    return names


def _ranking(clerk: Clerk, cameras: list[str], recorders: list[str], question: Question, form: str, screen: Screen,
             best_for: str) -> str:  # fmt: skip
    from coaxwright.pairing.printing import render_ranking
    from coaxwright.pairing.ranking import best_cameras, best_recorders

    if best_for == "cameras":
        _refuse_what_placing_decides(question, len(cameras))
        told = best_recorders(clerk, cameras, recorders, question)
        heading = f"Recorders for {len(cameras)} cameras, each on an input of its own, by what is kept, then price"
    else:
        told = best_cameras(clerk, list(dict.fromkeys(cameras)), recorders, question)
        names = f"{', '.join(recorders[:3])}{' ...' if len(recorders) > 3 else ''}"
        heading = f"Cameras for {names}, by what is kept, then price"
    _tell_contradictions(clerk.catalogue, [*dict.fromkeys(cameras), *recorders], question)
    return render_ranking(heading, told, form, screen)


def _refuse_what_placing_decides(question: Question, cameras: int) -> None:
    if question.number is not None and cameras > 1:
        raise click.UsageError("--input names one input, and each of these cameras takes one of its own")
    if question.channels is not None:
        raise click.UsageError("--channels is decided here by the cameras named: each takes one (NAME:4 takes four)")
