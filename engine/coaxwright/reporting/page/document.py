"""The page put together: head with its stylesheet and what it may load (nothing), an index for several sites, each
site's sections in the order in which people ask.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path

from coaxwright.findings import Report, SiteReport
from coaxwright.reporting import ordering, wording
from coaxwright.reporting.page.sections.brief import closing
from coaxwright.reporting.page.sections.cameras import cameras
from coaxwright.reporting.page.sections.drawing import drawing
from coaxwright.reporting.page.sections.ending import assumed, colophon, opened, waived
from coaxwright.reporting.page.sections.extents import extents
from coaxwright.reporting.page.sections.failing import failing
from coaxwright.reporting.page.sections.findings import findings
from coaxwright.reporting.page.sections.opening import opening, state, verdict
from coaxwright.reporting.page.sections.power import others, power
from coaxwright.reporting.page.sections.recorders import recorders
from coaxwright.reporting.page.sections.views import views
from coaxwright.reporting.page.survey import Survey
from coaxwright.show.figures import count
from coaxwright.show.markup import Child, Markup, join, tag
from coaxwright.show.page import finished
from coaxwright.show.pieces import link, listed, mark, section, table

_JUMPS = (
    ("findings", "findings"), ("drawing", "drawing"), ("cameras", "cameras"), ("recorders", "recorders"),
    ("power", "supplies"), ("failing", "if one thing fails"), ("views", "views"), ("extents", "how far"),
    ("open", "open"), ("waived", "waived"), ("assumed", "assumed"),
)  # fmt: skip


def document(report: Report, *, full: bool = False) -> str:
    """The whole page for one site or several. On paper it is short, unless it is made `full`."""
    surveys = [Survey(site, report.rules, f"s{place}") for place, site in enumerate(report.sites, 1)]
    several = len(surveys) != 1 or bool(report.unread)
    title = report.sites[0].site if len(report.sites) == 1 else count(len(report.sites), "site")
    index = _index(report, [(survey, f"#{survey.section('site')}") for survey in surveys]) if several else None
    skip = tag("a", "Skip to the findings", href=f"#{surveys[0].section('findings')}", class_="skip") if surveys else None
    sites = [_site(survey, report, several, full) for survey in surveys]
    return _finished(title, [skip, tag("main", index, sites) if several else None, None if several else join(sites)])


def folder(report: Report, *, full: bool = False) -> dict[str, str]:
    """One page for each site and `index.html`, by file name: for a folder of many sites."""
    surveys = [Survey(site, report.rules) for site in report.sites]
    names = _file_names(report.sites)
    pages = {
        name: _finished(survey.report.site, [_site(survey, report, False, full)])
        for name, survey in zip(names, surveys, strict=True)
    }
    index = _index(report, list(zip(surveys, names, strict=True)))
    return {"index.html": _finished(count(len(surveys), "site"), [tag("main", index)]), **pages}


def _file_names(sites: Sequence[SiteReport]) -> list[str]:
    """A name of plain letters from each site file's own, each once."""
    found: dict[str, None] = {}
    for site in sites:
        stem = re.sub(r"[^a-z0-9]+", "-", Path(site.file).name.lower().removesuffix(".site.yaml")).strip("-") or "site"
        taken = (f"{stem}.html", *(f"{stem}-{number}.html" for number in range(2, len(sites) + 2)))
        found[next(name for name in taken if name not in found and name != "index.html")] = None
    return list(found)


def _finished(title: str, body: Sequence[Child]) -> str:
    return finished(f"{title}: coaxwright report", body)


def _site(survey: Survey, report: Report, several: bool, full: bool) -> Markup:
    parts = {
        "findings": findings(survey),
        "drawing": drawing(survey),
        "cameras": cameras(survey),
        "recorders": recorders(survey),
        "power": power(survey),
        "failing": failing(survey),
        "views": views(survey),
        "extents": extents(survey),
        "others": others(survey),
        "closing": closing(survey),
        "open": opened(survey),
        "waived": waived(survey),
        "assumed": assumed(survey),
        "colophon": colophon(survey, report),
    }
    jumps = [tag("li", link(survey.section(name), words)) for name, words in _JUMPS if parts[name] is not None]
    heading = tag("h1", tag("b", survey.report.site), " ", tag("span", "checked before anything is bought"))
    head = tag(
        "header",
        heading,
        tag("nav", tag("ul", jumps, class_="jump"), aria_label=f"Parts of the report on {survey.report.site}"),
        id=survey.section("site") if several else None,
    )
    kind = "site full" if full else "site"
    if several:
        return tag("article", head, opening(survey), *parts.values(), class_=kind, aria_label=survey.report.site)
    return tag("div", head, tag("main", opening(survey), *parts.values()), class_=kind)


def _index(report: Report, sites: Sequence[tuple[Survey, str]]) -> Markup:
    """Several sites, the worst first, each with where it stands; and what could not be read."""
    order = sorted(sites, key=lambda site: _badness(site[0].report))
    rows = [_index_row(survey, address) for survey, address in order]
    summary = ordering.total(site.summary for site in report.sites)
    heads = ("site", "verdict", "errors", "warnings", "open", "passed", "file")
    made = table(count(len(rows), "site"), heads, rows, class_="stacked") if rows else None
    heading = tag("h1", tag("b", count(len(rows), "site")))
    return tag("div", heading, tag("p", wording.counts(summary)), made, _unread(report), class_="index")


def _unread(report: Report) -> Markup | None:
    if not report.unread:
        return None
    return section("unread", "Could not be read", listed([str(problem) for problem in report.unread]))


def _badness(site: SiteReport) -> tuple[int, int, int, str]:
    summary = site.summary
    return (-summary.fault - summary.error, -summary.warning, -summary.open, site.site)


def _index_row(survey: Survey, address: str) -> list[Child]:
    summary = survey.report.summary
    numbers = [str(getattr(summary, name)) for name in ("error", "warning", "open", "passed")]
    told = join([mark(state(summary)), " ", verdict(survey)])
    return [tag("a", survey.report.site, href=address), told, *numbers, tag("code", survey.report.file)]
