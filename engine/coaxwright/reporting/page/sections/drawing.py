"""The drawing with its key, and the table that says the same to who cannot see it."""

from __future__ import annotations

from collections.abc import Iterator

from coaxwright.reporting.page.drawing.from_site import length, plan_of
from coaxwright.reporting.page.drawing.pages import Page, pages
from coaxwright.reporting.page.drawing.plan import Line, Plan
from coaxwright.reporting.page.drawing.svg import as_svg
from coaxwright.reporting.page.places import placed
from coaxwright.reporting.page.survey import Survey, named
from coaxwright.show.figures import count
from coaxwright.show.markup import Child, Markup, join, tag
from coaxwright.show.pieces import folded, link, mark, scrolled, table

_HEADS = ("from", "carries", "to", "at", "length", "through", "findings")


def drawing(survey: Survey) -> Markup | None:
    """Every sheet, each on a page of its own in print; None where there is nothing to draw."""
    plan = plan_of(survey)
    made = pages(plan, survey.section("block"))
    if not made:
        return None
    table_id = survey.section("lines")
    parts = [_page(survey, page, place) for place, page in enumerate(made, 1)]
    return tag(
        "section", parts, _twin(survey, plan, table_id), aria_labelledby=survey.section("drawing"), class_="drawing"
    )  # fmt: skip


def _page(survey: Survey, page: Page, place: int) -> Markup:
    """One sheet with its key; the heading of all stands on the first, so that it is not printed on a page of its own."""
    anchor = page.name or survey.section(f"sheet{place}")
    lines = page.part.lines()
    found = sum(bool(line.rules) for line in lines)
    wordy = (
        f"{count(len(page.part.cameras), 'camera')} with {count(len(lines), 'line')}, {found} of them with findings."
        " The table of lines below says the same in words."
    )
    title = f"{survey.report.site}: {page.title}"
    svg = as_svg(page.sheet, f"{anchor}-svg", title, wordy)
    heading = tag("h2", "How it hangs together", id=survey.section("drawing")) if place == 1 else None
    twin = tag("p", link(survey.section("lines"), "The same as a table"), class_="quiet no-print") if place == 1 else None
    drawn = scrolled(svg, f"Drawing: {page.title}")
    return tag("div", heading, twin, tag("h3", title, id=anchor), _key(page), drawn, class_="sheet")


def _key(page: Page) -> Markup:
    """What the lines and marks mean, as far as this sheet has them."""
    uses = {line.use for line in page.part.lines()}
    ring = (tag("circle", class_="ring", cx=4, cy=6, r=2.6), tag("circle", class_="core", cx=4, cy=6, r=0.9))
    items: list[list[Child]] = [[_sample("video", *ring), "video, a ring at the camera"]]
    if "network" in uses:
        plug = tag("path", class_="plug", d="M4 3l3 3l-3 3l-3 -3z")
        items.append([_sample("network", plug), "network, a lozenge at the camera"])
    items.append([_sample("power", tag("path", class_="bar", d="M38 3v6")), "power, a bar at the load"])
    items.append([_sample("video found"), "thick: something was found, the worst in words"])
    if any(line.boxes for line in page.part.lines()):
        items.append([_sample("video", tag("rect", class_="inline", x=17, y=3, width=6, height=6)), "a box in the line"])
    if any(box.again for box in page.sheet.boxes):
        edge = tag("rect", class_="edge again", x=1, y=1, width=38, height=10)
        items.append([tag("svg", edge, class_="plan sample supply", viewBox="0 0 40 12", aria_hidden="true"),
                      "drawn on both sides"])  # fmt: skip
    items += [[mark(name), name] for name in ("error", "warning", "note")]
    return tag("ul", [tag("li", item) for item in items], class_="key")


def _sample(classes: str, *marks: Markup) -> Markup:
    """A piece of line for the key."""
    line = tag("path", class_=f"wire {classes}", d="M0 6H40")
    return tag("svg", line, marks, class_="plan sample", viewBox="0 0 40 12", aria_hidden="true")


def _twin(survey: Survey, plan: Plan, anchor: str) -> Markup:
    rows = [*_rows(survey, plan), *_undrawn(survey)]
    caption = f"Every line of the site, {count(len(rows), 'line')}"
    made = scrolled(table(caption, _HEADS, rows, class_="lines"), caption)
    return tag("div", folded("Every line as a table", made), id=anchor, class_="long")


def _rows(survey: Survey, plan: Plan) -> Iterator[list[Child]]:
    for line in plan.lines():
        rules: Child = link(line.link, join([tag("code", rule) for rule in line.rules], ", ")) if line.rules else "none"
        yield [
            placed(survey, line.start, named(line.start)), line.use, named(line.end).removesuffix("#power"),
            line.port, line.note, _through(line), rules,
        ]  # fmt: skip


def _through(line: Line) -> str:
    return ", ".join(line.boxes) or "cable only"


def _undrawn(survey: Survey) -> Iterator[list[Child]]:
    """Lines that only the table has: sound, control, network, monitors, power of other devices."""
    if survey.facts is None:
        return
    for path in survey.facts.context.topology.lists.paths:
        of_camera = path.owner_kind == "camera" and path.use in ("video", "network", "power")
        drawn = of_camera or (path.use == "power" and path.owner_kind == "junction")
        if drawn or path.target is None:
            continue
        boxes = ", ".join(hop.box for hop in path.hops or () if hop.box is not None)
        yield [
            path.owner, f"{path.use} (not drawn)", path.target.device, path.target.connector or str(path.target.number or ""),
            length(path) or "no length", boxes or "cable only", "see findings",
        ]  # fmt: skip
