"""`coaxwright pair --replace`: what could take a place, compared as a pair, and proven on a site where one is given."""

from __future__ import annotations

from pathlib import Path
from typing import Any, NamedTuple

import click

from coaxwright.cli.handed import Catalogue, Clerk, Question, SiteState
from coaxwright.pace import TimeLimit, within
from coaxwright.show.screen import Screen


class Asked(NamedTuple):
    """The call: two parts, which of them is to be replaced, the question, and where to look."""

    camera: str
    recorder: str
    replace: str
    question: Any
    conditions: tuple[str, ...]
    globs: tuple[str, ...]
    extra_rules: tuple[Path, ...]
    site: Path | None
    time_limit: float | None


def replacements(asked: Asked, form: str, screen: Screen) -> str:
    """The answer in a form. Raises Refusal, and a usage error for what is not one pair."""
    from coaxwright.checking import load_rulebook
    from coaxwright.pairing.cells import Clerk

    rules = load_rulebook(asked.extra_rules) if asked.extra_rules or asked.site else None
    with within(TimeLimit(asked.time_limit)):
        if asked.site is None:
            from coaxwright.cli.catalogues import catalogue_of

            return _answer(asked, Clerk(catalogue_of(asked.globs), rules), None, form, screen)
        from coaxwright.cli.catalogues import part_files
        from coaxwright.cli.house_prices import priced_site
        from coaxwright.fixes.rejudging import start

        state = start(priced_site(asked.site, part_files(asked.globs)), rulebook=rules)
        return _answer(asked, Clerk(state.basis.loaded.catalogue, rules), state, form, screen)


def _answer(asked: Asked, clerk: Clerk, state: SiteState | None, form: str, screen: Screen) -> str:
    from coaxwright.cli.contradictions import tell_contradictions
    from coaxwright.fixes.part_losses import unstated
    from coaxwright.pairing.on_site import entries_with, placed, weight
    from coaxwright.pairing.printing import render_replacements

    catalogue, question = clerk.catalogue, asked.question
    refuse_half_a_cable(catalogue, question)
    if _everywhere(asked):
        return _on_all(asked, clerk, form, screen)
    pair = _pair(clerk, asked)
    old = pair[0] if asked.replace == "camera" else pair[1]
    if state is not None:
        entries_with(state, asked.replace, old)  # refused before the work
    found = _found(clerk, asked, pair)
    sites = None
    if state is not None:
        ranked = zip(found, placed(state, asked.replace, old, [each.part for each in found]), strict=True)
        both = sorted(ranked, key=lambda each: weight(each[1]))
        found, sites = [one for one, _ in both], [site for _, site in both]
    names = [*pair, *(each.part for each in found), *([question.cable] if question.cable else [])]
    tell_contradictions(catalogue, names)
    return render_replacements(_heading(asked, state), found, form, unstated(catalogue.part(old)), screen, sites)


def _everywhere(asked: Asked) -> bool:
    """One camera to be replaced on several recorders, without a site."""
    from coaxwright.pairing.tables import is_several

    return asked.replace == "camera" and asked.site is None and is_several(asked.recorder) and not is_several(asked.camera)


def _on_all(asked: Asked, clerk: Clerk, form: str, screen: Screen) -> str:
    """What replaces the camera on every recorder named."""
    from coaxwright.pairing.everywhere import render_everywhere, replace_everywhere
    from coaxwright.pairing.names import known
    from coaxwright.pairing.tables import kept, matching, named, parse_condition, refuse_what_no_recorder_has

    catalogue, met = clerk.catalogue, [parse_condition(each) for each in asked.conditions]
    camera = known(catalogue, asked.camera, "camera")
    recorders = kept(catalogue, named(catalogue, asked.recorder, "recorder"), "recorder", met)
    refuse_what_no_recorder_has(clerk, recorders, asked.question)
    candidates = kept(catalogue, matching(catalogue, "*", "camera"), "camera", met)
    return render_everywhere(camera, replace_everywhere(clerk, camera, recorders, candidates, asked.question), form, screen)


def _pair(clerk: Clerk, asked: Asked) -> tuple[str, str]:
    """The one camera and the one recorder."""
    from coaxwright.pairing.names import known
    from coaxwright.pairing.tables import is_several, refuse_what_no_recorder_has

    for name, kind in ((asked.camera, "camera"), (asked.recorder, "recorder")):
        if is_several(name):
            raise click.UsageError(_one_only(clerk.catalogue, name, kind))
    catalogue = clerk.catalogue
    pair = known(catalogue, asked.camera, "camera"), known(catalogue, asked.recorder, "recorder")
    refuse_what_no_recorder_has(clerk, [pair[1]], asked.question)
    return pair


def _one_only(catalogue: Catalogue, name: str, kind: str) -> str:
    """Why several are refused, and which could be named."""
    from coaxwright.errors import Refusal
    from coaxwright.pairing.tables import named

    try:
        found = list(dict.fromkeys(named(catalogue, name, kind)))
    except Refusal:
        found = []
    few = ", ".join(found[:3]) + (f" or another of {len(found)}" if len(found) > 3 else "")
    return (
        f"--replace asks about one camera on one recorder, and `{name}` may name several, each with a list of its own: "
        f"name one{f', such as {few}' if found else ''}"
    )


def _found(clerk: Clerk, asked: Asked, pair: tuple[str, str]) -> list[Any]:
    """Parts that keep at least as much as the pair does now."""
    from coaxwright.pairing.ranking import replace_camera, replace_recorder
    from coaxwright.pairing.tables import kept, matching, parse_condition

    met = [parse_condition(each) for each in asked.conditions]
    candidates = kept(clerk.catalogue, matching(clerk.catalogue, "*", asked.replace), asked.replace, met)
    search = replace_camera if asked.replace == "camera" else replace_recorder
    return search(clerk, *pair, candidates, asked.question)


def _heading(asked: Asked, state: SiteState | None) -> str:
    """What the list is of, and in which order."""
    from coaxwright.pairing.printing import replacement_heading

    pair = asked.replace, asked.camera, asked.recorder
    if state is None:
        return replacement_heading(*pair)
    order = f"proven on {state.site.site}: those that harm nothing there first, then those that lose least"
    return replacement_heading(*pair, order)


def refuse_half_a_cable(catalogue: Catalogue, question: Question) -> None:
    """A cable counts in every cell: so its length is needed, and it has to be one."""
    from coaxwright.pairing.names import known

    if question.cable is not None:
        known(catalogue, question.cable, "cable")
        if question.length is None:
            raise click.UsageError(
                "--cable needs its length where several pairs are asked about: --length 85m, for example"
            )
