"""An estate on one page: how many sites hold, which faults are commonest, which sites are worst, and what changed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from coaxwright.estate.tally import Estate, RuleCount, SiteCount, SiteNews
from coaxwright.show.figures import count
from coaxwright.show.json_text import FORMAT
from coaxwright.show.markup import tag
from coaxwright.show.tree import (
    Block,
    Cell,
    Column,
    Document,
    Facts,
    Listing,
    Note,
    Outcome,
    Picture,
    Section,
    Table,
    Words,
)

MOST = 40
"""Rows of worst sites, unless more are asked for."""
BARS = 12
_STATES = (
    ("error", "sites with errors"), ("warning", "with warnings, no errors"), ("open", "with open questions only"),
    ("holds", "with none of these"),
)  # fmt: skip
_WIDE, _ROW, _LEFT = 720, 22, 250


def estate_document(estate: Estate, most: int = MOST) -> Document:
    """The page. `most`: how many sites are listed, worst first."""
    title = f"Estate of {count(len(estate.sites) + len(estate.unread), 'site')}"
    blocks = (*_standing(estate), *_faults(estate), *_worst(estate, most), *_changes(estate), *_open(estate), *_unread(estate))
    note = Note("Counts say how often something was found, not how much it matters: that, and who has to review it, "
                "stands in the report of each site (`coaxwright report`).")  # fmt: skip
    days = (("judged as of", ", ".join(estate.days)),) if estate.days else ()
    rules = (("rules", ", ".join(estate.rulebooks)),) if estate.rulebooks else ()
    return Document(title, (*blocks, note), _verdict(estate), (*days, *rules))


def _verdict(estate: Estate) -> str:
    bad, sites = estate.in_state("error"), len(estate.sites)
    said = f"{bad} of {count(sites, 'site')} {'has' if bad == 1 else 'have'} errors"
    failing = [each for each in estate.rules if each.sites]
    if failing:
        said += f"; the commonest {failing[0].level}, {failing[0].rule}, is at {count(failing[0].sites, 'site')}"
    if estate.against:
        said += f"; since {estate.against} {count(len(estate.news), 'site')} changed"
    return f"{said}; {count(len(estate.unread), 'file')} could not be read." if estate.unread else f"{said}."


def _standing(estate: Estate) -> Iterator[Block]:
    pairs: list[tuple[str, Words]] = [(words, str(estate.in_state(state))) for state, words in _STATES]
    totals = [f"{count(sum(getattr(site, name) for site in estate.sites), one)}" for name, one in _TOTALS]
    yield Section("How the sites stand", (Facts([*pairs, ("findings", ", ".join(totals)), ("judgements", str(estate.judged))],
                                                ("sites with", "how many")),))  # fmt: skip
    if len(estate.rulebooks) > 1 or len(estate.days) > 1:
        yield Note("Not all of this was judged by the same rules on the same day: what differs between sites may come from that.")


_TOTALS = (("error", "error"), ("warning", "warning"), ("note", "note"), ("waived", "waived finding"))


def _faults(estate: Estate) -> Iterator[Block]:
    found = [each for each in estate.rules if each.fail or each.waived]
    if not found:
        return
    numbers = (Column(each, "number", "", 0) for each in ("sites", "findings", "waived"))
    columns = (Column("rule"), Column("level", wraps=False), Column("what"), *numbers)
    rows: list[Sequence[Cell]] = [(each.rule, each.level, each.title, each.sites, each.fail, each.waived) for each in found]
    drawn = [each for each in found if each.sites][:BARS]
    pictures = (_bars(drawn, len(estate.sites)),) if drawn else ()
    yield Section("Commonest faults", (*pictures, Table(columns, rows, caption="Rules by level and by how many sites fail them")))


def _bars(rules: Sequence[RuleCount], sites: int) -> Picture:
    """A bar for each rule, as long as its share of all sites; level by its word and its edge too."""
    room, drawn = _WIDE - _LEFT - 130, []
    for row, each in enumerate(rules):
        middle = row * _ROW + 15
        wide = max(2.0, room * each.sites / max(1, sites))
        drawn += [
            tag("text", each.rule, x=_LEFT - 8, y=middle, font_size=12, text_anchor="end"),
            tag("rect", x=_LEFT, y=row * _ROW + 4, width=f"{wide:.1f}", height=_ROW - 8, class_=each.level),
            tag("text", f"{each.sites} ({each.level})", x=f"{_LEFT + wide + 6:.1f}", y=middle, font_size=12),
        ]
    svg = tag("svg", drawn, viewBox=f"0 0 {_WIDE} {len(rules) * _ROW + 4}", class_="bars", role="presentation")
    said = "; ".join(f"{each.rule}: {each.sites}" for each in rules)
    caption = f"Sites, of {sites}, that fail each rule; a full bar would be all of them."
    return Picture(svg, f"Sites that fail a rule. {said}", caption)


def _worst(estate: Estate, most: int) -> Iterator[Block]:
    bad = [each for each in estate.sites if each.state != "holds"]
    if not bad:
        return
    numbers = (Column(each, "number", "", 0) for each in ("errors", "warnings", "open"))
    columns = (Column("site"), Column("stands", wraps=False), *numbers, Column("fails first"), Column("file"))
    rows = [_site_row(each) for each in bad[:most]]
    left = len(bad) - len(rows)
    more = (Note(f"{count(left, 'site')} more with findings are not listed here (--most N lists more)."),) if left else ()
    yield Section("Worst sites", (Table(columns, rows, caption="Sites with findings, the worst first"), *more))


def _site_row(site: SiteCount) -> Sequence[Cell]:
    level = site.state
    words = {"error": "errors", "warning": "warnings", "open": "open"}[level]
    shown = Outcome(level, words, level)  # type: ignore[arg-type]
    return site.site, shown, site.error + site.fault, site.warning, site.open, ", ".join(site.first) or "nothing", site.file


def _changes(estate: Estate) -> Iterator[Block]:
    if not estate.against:
        return
    columns = (Column("site"), Column("new", "number", "", 0), Column("worse", "number", "", 0), Column("gone", "number", "", 0),
               Column("what is new or worse"))  # fmt: skip
    rows = [_news_row(each) for each in estate.news]
    yield Section(f"Changed since {estate.against}", (Table(columns, rows, empty="nothing changed"),))


def _news_row(news: SiteNews) -> Sequence[Cell]:
    said = [f"{rule} on {subject}" for rule, subject in news.new]
    said += [f"{rule} on {subject}: {why}" for rule, subject, why in news.worse]
    more = [f"and {len(said) - 4} more"] if len(said) > 4 else []
    told = "; ".join([*said[:4], *more]) if news.listed else "the site is new"
    return news.site, len(news.new), len(news.worse), len(news.gone), told or "nothing"


def _open(estate: Estate) -> Iterator[Block]:
    found = sorted((each for each in estate.rules if each.open), key=lambda each: (-each.open_sites, -each.open, each.rule))
    if found:
        columns = (Column("rule"), Column("sites", "number", "", 0), Column("open", "number", "", 0), Column("what"))
        rows = [(each.rule, each.open_sites, each.open, each.title) for each in found]
        yield Section("What nobody could judge", (Table(columns, rows, caption="Rules that lack a fact, by sites"),))


def _unread(estate: Estate) -> Iterator[Block]:
    if estate.unread:
        yield Section("Could not be read", (Listing(list(estate.unread)),))


def estate_data(estate: Estate) -> dict[str, Any]:
    """The same as JSON data."""
    names = ("rule", "title", "level", "fail", "open", "waived", "sites", "open_sites")
    of_site = ("site", "file", "state", "error", "warning", "note", "open", "waived", "fault")
    data: dict[str, Any] = {
        "format": FORMAT,
        "sites": len(estate.sites),
        "states": {state: estate.in_state(state) for state, _ in _STATES},
        "judged": estate.judged,
        "rules": [{name: getattr(each, name) for name in names} for each in estate.rules],
        "worst": [{**{name: getattr(each, name) for name in of_site}, "first": list(each.first)} for each in estate.sites],
        "unread": list(estate.unread),
        "rulebooks": list(estate.rulebooks),
        "days": list(estate.days),
    }
    if estate.against:
        data["since"] = {"against": estate.against, "sites": [_news_data(each) for each in estate.news]}
    return data


def _news_data(news: SiteNews) -> dict[str, Any]:
    return {
        "site": news.site, "file": news.file, "listed": news.listed, "new": [list(key) for key in news.new],
        "worse": [list(each) for each in news.worse], "gone": [list(key) for key in news.gone],
    }  # fmt: skip
