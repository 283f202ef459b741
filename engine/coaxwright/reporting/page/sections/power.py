"""Per supply and trunk: load by day and night against what is rated, volts at every tap, and the pictures of both."""

from __future__ import annotations

from collections.abc import Iterator

from coaxwright.facts.sheets import Junction, Supply
from coaxwright.model.site import Site
from coaxwright.reporting.page.charts.volts import volts_picture
from coaxwright.reporting.page.margins import Margin, below, gauge
from coaxwright.reporting.page.pictures import ways_of
from coaxwright.reporting.page.sections.cameras import found
from coaxwright.reporting.page.survey import Survey
from coaxwright.show import figures
from coaxwright.show.markup import Child, Markup, join, tag
from coaxwright.show.pieces import part_name, section, table

_SUPPLY = ("supply", "set to", "outputs", "load by day", "load by night", "before collapse", "found")
_TRUNK = ("junction", "from the supply", "by day", "by night", "current by night", "feeds", "found")
_OTHERS = {"boxes": "box", "switches": "switch", "monitors": "monitor"}


def power(survey: Survey) -> Markup | None:
    """Tables of supplies and trunks with the pictures of volts."""
    supplies = survey.sheets("supply")
    if not supplies:
        return None
    made = table(
        figures.count(len(supplies), "supply", "supplies"), _SUPPLY, [_supply(survey, each) for each in supplies],
        class_="stacked", ids=[survey.anchor(each.subject) for each in supplies],
    )  # fmt: skip
    drawn = [volts_picture(way) for each in supplies for way in ways_of(survey, each)]
    how = tag("p", "Solid lines by day, dashed by night; dots are cameras.", class_="quiet long") if drawn else None
    pictures = tag("div", drawn, class_="pictures long")
    return section(survey.section("power"), "Supplies and trunks", made, _junctions(survey), how, pictures)


def _supply(survey: Survey, supply: Supply) -> list[Child]:
    most = supply.known("amps_max")
    return [
        join([tag("b", supply.name), part_name(supply.part)], " "),
        tag("b", figures.volts(supply.known("volts"))),
        join([tag("b", f"{supply.known('outputs_used')} of {supply.known('outputs')}")]),
        _load(supply.known("amps_day"), most),
        _load(supply.known("amps_night"), most),
        _collapse(supply),
        found(survey, survey.of(supply.subject), survey.open_by_device.get(supply.subject, ())),
    ]


def _load(amps: float | None, most: float | None) -> Markup:
    against = tag("span", f"of {figures.amps(most)}", class_="quiet") if most is not None else None
    return join([tag("b", figures.amps(amps)), against, gauge(below(amps, most))], " ")


def _collapse(supply: Supply) -> Markup:
    """How far all loads could grow; a factor without end (nothing hangs on it) has no bar."""
    factor = supply.known("margin_night")
    if supply.known("collapsed"):
        return join([tag("b", "collapses"), gauge(Margin((factor or 1.0) - 1.0 if factor else -0.5))], " ")
    if factor is None or factor == float("inf"):
        return tag("span", figures.UNKNOWN if factor is None else "no load", class_="quiet")
    return join([tag("b", f"at {factor:.2f} times the load"), gauge(Margin(factor - 1.0))], " ")


def _junctions(survey: Survey) -> Markup | None:
    sheets = survey.sheets("junction")
    if not sheets:
        return None
    return table(
        figures.count(len(sheets), "junction"), _TRUNK, [_junction(survey, each) for each in sheets], class_="stacked",
        ids=[survey.anchor(each.subject) for each in sheets],
    )  # fmt: skip


def _junction(survey: Survey, junction: Junction) -> list[Child]:
    source = junction.known("source")
    away = figures.metres(junction.known("metres_total"))
    return [
        tag("b", junction.name),
        f"{away}, {source.name}" if source is not None else "not fed",
        figures.volts(junction.known("volts_day")),
        "collapses" if junction.known("volts_night") == 0 else figures.volts(junction.known("volts_night")),
        figures.amps(junction.known("amps_night")),
        figures.count(junction.known("cameras") or 0, "camera"),
        found(survey, survey.of(junction.subject), survey.open_by_device.get(junction.subject, ())),
    ]


def others(survey: Survey) -> Markup | None:
    """Boxes, switches and monitors."""
    if survey.facts is None:
        return None
    listed = list(_others(survey, survey.facts.context.loaded.site))
    if not listed:
        return None
    rows = [row for _, row in listed]
    made = table(
        figures.count(len(rows), "device"), ("device", "kind", "part", "found"), rows,
        ids=[survey.anchor(subject) for subject, _ in listed],
    )  # fmt: skip
    return section(survey.section("others"), "Boxes, switches and monitors", made)


def _others(survey: Survey, site: Site) -> Iterator[tuple[str, list[Child]]]:
    for group in _OTHERS:
        for name, entry in getattr(site, group).items():
            subject = f"{group}/{name}"
            told = found(survey, survey.of(subject), survey.open_by_device.get(subject, ()))
            yield subject, [tag("b", name), _OTHERS[group], tag("code", entry.part), told]
