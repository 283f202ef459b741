"""A guided diagnosis on the page: what the customer says, what is known, what can be measured, which suspects are left."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from coaxwright.course import cases
from coaxwright.course.cases import HINT, WRONG, Case, offered
from coaxwright.desk.training.choosing import BOATYARD, HERE, Chosen
from coaxwright.desk.training.solving import Walk, best_next, told, would
from coaxwright.desk.views.pieces import button, goes
from coaxwright.diagnosis.telling import headline
from coaxwright.show.markup import Markup, join, tag
from coaxwright.show.pieces import mark, table

MOST_TOLD = 8


def choosing(chosen: Chosen, site: str, known: Mapping[str, str]) -> Markup:
    """Which site the fault is put into, and what it is to show."""
    sites = [(BOATYARD, "the boatyard of the examples"), *(((HERE, f"the open site: {site}"),) if site else ())]
    where = HERE if chosen.here else BOATYARD
    shows = [("", "anything", not chosen.symptom), *((name, says, name == chosen.symptom) for name, says in known.items())]
    return tag(
        "form",
        _select("where", "A fault is put into", [(name, words, name == where) for name, words in sites]),
        _select("symptom", "What it shows", shows),
        tag("div", tag("button", "Begin", type="submit"), class_="acts"),
        id="case", data_do="course-case", class_="choose",
    )  # fmt: skip


def _select(name: str, words: str, options: Sequence[tuple[str, str, bool]]) -> Markup:
    made = [tag("option", says, value=value, selected=selected) for value, says, selected in options]
    anchor = f"q-{name}"
    return tag("div", tag("label", words, for_=anchor), tag("select", made, id=anchor, name=name))


def case(made: Case, data: Mapping[str, Any], walk: Walk, chosen: Chosen) -> Markup:
    """The case as far as it was walked."""
    seed = chosen.seed
    suspects = [headline(each.suspect, made.known) for each in made.diagnosis.causes]
    spots = [(made.known.measurements[name].says, subject) for name, subject in offered(made)]
    site = made.diagnosis.search.state.site.site
    return join([
        tag("div", tag("h2", f"{site}: what is wrong?", id="h-case", tabindex="-1"),
            tag("span", f"case {seed}; {_minutes(walk.spent)} used", class_="quiet"),
            tag("div", goes(replace(chosen, seed=seed + 1).address, "Another case"),
                button("course-file", "Save it as a page", file="case", here=chosen.here, symptom=chosen.symptom, seed=seed),
                class_="acts"), class_="head"),
        tag(
            "div",
            tag("section", *cases.told(made), _known(data, spots, walk), _suspects(data, suspects, walk, chosen),
                aria_label="What is known"),
            tag("section", _end(walk, data) if walk.over else _measures(data, spots, walk, chosen), cases.site_table(made),
                aria_label="What to do next"),
            class_="two even",
        ),
        tag("details", tag("summary", "For the trainer: what each measurement would do now"),
            _panel(data, spots, suspects, walk)),
    ])  # fmt: skip


def _minutes(minutes: float) -> str:
    return f"{minutes:g} minutes"


def step(chosen: Chosen, walk: Walk, next_: str) -> str:
    """The address after one more step."""
    return f"{chosen.address}/{'.'.join([*walk.steps, next_])}"


def _known(data: Mapping[str, Any], spots: Sequence[tuple[str, str]], walk: Walk) -> Markup:
    items = [
        tag("li", tag("b", f"{spots[place][0]}, {spots[place][1]}: "), f"{data['spots'][place]['says']}. ",
            tag("span", data["spots"][place]["how"], class_="quiet"))
        for place in walk.measured
    ]  # fmt: skip
    return join([tag("h3", "What you know"), tag("ol", items) if items else tag("p", "Nothing is measured yet.", class_="quiet")])


def _suspects(data: Mapping[str, Any], suspects: Sequence[str], walk: Walk, chosen: Chosen) -> Markup:
    items = []
    for place, words in enumerate(suspects):
        if place in walk.fallen:
            said = tag("span", mark("note"), f"ruled out by measurement {walk.fallen[place]}", class_="quiet")
        elif place in walk.wrong:
            said = tag("span", mark("error"), f"repaired, and the fault stays: {WRONG} minutes", class_="error")
        elif walk.over:
            said = tag("span", mark("pass"), "that is it", class_="pass") if place == walk.named else tag("span", "open")
        else:
            said = goes(step(chosen, walk, f"s{place}"), "This is it")
        items.append(tag("li", tag("b", words), said))
    out = f"{len(walk.fallen)} of {len(suspects)} are ruled out."
    return join([tag("h3", "What could it be?"), tag("p", out, class_="quiet"), tag("ul", items, class_="suspects")])


def _measures(data: Mapping[str, Any], spots: Sequence[tuple[str, str]], walk: Walk, chosen: Chosen) -> Markup:
    items = [
        tag("li", goes(step(chosen, walk, f"m{place}"), f"{says}, {subject} ({data['spots'][place]['minutes']:g} min)",
                       class_="option"))
        for place, (says, subject) in enumerate(spots)
        if place not in walk.measured
    ]  # fmt: skip
    hint = None
    if walk.hinted:
        place = walk.hint
        words = "Nothing more tells them apart: name one." if place is None else f"Look at: {spots[place][0]}, {spots[place][1]}."
        hint = tag("p", tag("b", "Hint. "), words, class_="said")
    back = ".".join(walk.steps[:-1])
    return join([
        tag("h3", "What do you do next?"), tag("ul", items, class_="options"), hint,
        tag("div", goes(step(chosen, walk, "h"), f"Hint, costs {HINT} minutes"),
            goes(f"{chosen.address}/{back}", "Back one step") if walk.steps else None, class_="acts"),
    ])  # fmt: skip


def _end(walk: Walk, data: Mapping[str, Any]) -> Markup:
    return join([tag("h3", "Found"), tag("p", told(walk, data).words, class_="answer", id="found", tabindex="-1")])


def _panel(data: Mapping[str, Any], spots: Sequence[tuple[str, str]], suspects: Sequence[str], walk: Walk) -> Markup:
    """What only a trainer is to see; the page that is saved for learners does not have it."""
    rows = [
        (f"{spots[each.place][0]}, {spots[each.place][1]}", "; ".join(suspects[place] for place in each.out) or "nothing",
         f"{each.left} of {len(suspects)}", f"{data['spots'][each.place]['minutes']:g} min")
        for each in would(walk, data, len(suspects))[:MOST_TOLD]
    ]  # fmt: skip
    best = best_next(walk, data)
    said = "Nothing more tells them apart." if best is None else f"Best for its minutes: {spots[best][0]}, {spots[best][1]}."
    true = "; ".join(suspects[place] for place in data["true"])
    return join([
        tag("p", f"{said} It is: {true}."), table("", ["next", "rules out", "left", "takes"], rows, class_="tbl stack"),
    ])  # fmt: skip
