"""Paper and key as HTML of one file each, made to be printed on A4 or Letter: no scripts, nothing loaded."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from coaxwright.quiz.drawing import as_svg
from coaxwright.quiz.printed import CAUTION, NOTE, Question, Sheet
from coaxwright.quiz.tables import Table
from coaxwright.show.markup import Markup, tag
from coaxwright.show.page import finished

CSS = """
@page { margin: 16mm 15mm; }
body { font: 10.5pt/1.35 "DejaVu Sans", Arial, sans-serif; color: #111; max-width: 180mm; margin: 0 auto; padding: 4mm; }
h1 { font-size: 15pt; margin: 0 0 2mm; } h2 { font-size: 11.5pt; margin: 0 0 1mm; break-after: avoid; }
.who { display: flex; gap: 10mm; margin: 3mm 0; } .who span { flex: 1; border-bottom: 1px solid #111; }
.note { border-left: 2.5pt solid #111; padding-left: 3mm; margin: 3mm 0; }
section { border-top: 1pt solid #111; padding: 3mm 0 4mm; }
table { border-collapse: collapse; margin: 1.5mm 0 2.5mm; font-size: 8.6pt; break-inside: avoid; max-width: 100%; }
caption { text-align: left; font-weight: bold; padding-bottom: .5mm; }
th, td { border: .6pt solid #555; padding: .6mm 1.4mm; text-align: left; vertical-align: top; overflow-wrap: break-word; }
th { background: #eee; font-weight: bold; } td.n { white-space: nowrap; }
.intro, table.site, .right, div > strong { break-after: avoid; } .intro { margin: 1mm 0 2mm; } div > strong { display: block; }
.stem { font-weight: bold; margin: 2.5mm 0 1.5mm; } .ask { break-inside: avoid; }
ol.options { list-style: none; margin: 0; padding: 0; } ol.options li { padding: .7mm 0; }
.tick { display: inline-block; width: 3.6mm; height: 3.6mm; border: 1pt solid #111; margin-right: 2mm; vertical-align: -0.5mm; }
svg.plan { max-width: 172mm; display: block; margin: 1mm 0 2mm; break-inside: avoid; }
svg.plan text { font: 11px "DejaVu Sans", Arial, sans-serif; fill: #111; paint-order: stroke; stroke: #fff; stroke-width: 3px; }
svg.plan rect { fill: #fff; stroke: #111; } svg.plan path { fill: none; stroke: #111; stroke-width: 1.1; }
svg.plan path.power { stroke-dasharray: 5 3; }
footer { border-top: 1pt solid #111; padding-top: 2mm; font-size: 8.5pt; } .right { font-weight: bold; }
ul { margin: .5mm 0 2mm; padding-left: 5mm; }
"""


def _document(title: str, body: Iterable[Markup]) -> str:
    """Black on white whatever the screen prefers: it is made to be printed."""
    return finished(title, body, css=CSS, common=False)


def paper(sheet: Sheet, front: Sequence[str] = ()) -> str:
    """The paper; `front` are paragraphs before the first question."""
    title = f"{sheet.title}: paper {sheet.letter}"
    parts = [
        tag("h1", title),
        tag("div", tag("span", "Name"), tag("span", "Date"), class_="who"),
        tag("p", f"Time: {sheet.minutes} minutes.") if sheet.minutes else Markup(""),
        *(tag("p", each) for each in front),
        tag("p", NOTE, class_="note"),
        *map(_question, sheet.questions),
        tag("footer", tag("p", CAUTION), tag("p", sheet.mark)),
    ]
    return _document(title, parts)


def _question(question: Question) -> Markup:
    given = Table("given", "Also given", ("what", "value"), question.given) if question.given else None
    tables = [_table(table) for table in (*question.tables, *((given,) if given else ()))]
    drawn = Markup(as_svg(question.lines, "What is joined to what; as in the tables")) if question.lines else None
    return tag(
        "section", tag("h2", f"{question.number}. ", tag("small", f"({question.id})")), tag("p", question.intro, class_="intro"),
        tables,
        drawn, tag("div", tag("p", question.stem, class_="stem"), _answers(question), class_="ask"),
    )  # fmt: skip


def _answers(question: Question) -> Markup:
    if question.entered:
        return tag("p", f"Answer: ____________ {question.unit}")
    items = [
        tag("li", tag("span", "", class_="tick", aria_hidden="true"), f"{letter}: {text}")
        for letter, text in question.options
    ]
    return tag("ol", items, class_="options")


MOST_COLUMNS = 8


def _table(table: Table) -> Markup:
    """A table; one of few rows and many columns is turned on its side, so that it fits the sheet."""
    site = table.of == "site"
    heads, rows = (table.heads[1:], [row[1:] for row in table.rows]) if site else (table.heads, table.rows)
    caption = tag("caption", table.title)
    if len(heads) > MOST_COLUMNS and len(rows) <= MOST_COLUMNS // 2:
        lines = [tag("tr", tag("th", head, scope="row"), [_cell(row[place], 0) for row in rows])
                 for place, head in enumerate(heads)]  # fmt: skip
        return tag("table", caption, tag("tbody", lines), class_="sides")
    top = tag("tr", [tag("th", head, scope="col") for head in heads])
    body = [tag("tr", [_cell(cell, len(heads)) for cell in row]) for row in rows]
    return tag("table", caption, tag("thead", top), tag("tbody", body), class_="site" if site else None)


def _cell(cell: str, columns: int) -> Markup:
    return tag("td", cell, class_="n" if len(cell) < 22 and columns <= MOST_COLUMNS + 1 else None)


def key(data: Mapping[str, Any]) -> str:
    """The key, from its plain data."""
    title = f"{data['title']}: key to paper {data['letter']}"
    rows = [
        tag("tr", [tag("td", each) for each in
                   (str(item["number"]), identifier, item["key"] or "entered", item["answer"], item["band"])])
        for identifier, item in data["items"].items()
    ]  # fmt: skip
    heads = [tag("th", each, scope="col") for each in ("question", "id", "key", "answer", "difficulty (estimate)")]
    parts = [
        tag("h1", title),
        tag("p", "For the trainer. Keep apart from the paper.", class_="note"),
        tag("table", tag("thead", tag("tr", heads)), tag("tbody", rows)),
        *(_solution(identifier, item) for identifier, item in data["items"].items()),
        tag("footer", tag("p", CAUTION), tag("p", data["made_by"])),
    ]
    return _document(title, parts)


def _solution(identifier: str, item: Mapping[str, Any]) -> Markup:
    wrong = [f"{letter}, {each['text']}: {each['named']}. {each['feedback']}" for letter, each in item["options"].items()
             if not each["right"]]  # fmt: skip
    wrong += [f"{each['text']}: {each['named']}. {each['feedback']}" for each in item["typical"]]
    entered = f" (taken as right within {item['entered']['tolerance']:.0%})" if item["entered"] else ""
    return tag(
        "section", tag("h2", f"{item['number']}. ", tag("small", f"({identifier})")),
        tag("p", item["question"], class_="intro"),
        tag("p", f"{item['key'] + ': ' if item['key'] else ''}{item['answer']}{entered}", class_="right"),
        _listed("Working", item["working"]), _listed("What the other answers come from", wrong),
        _listed("Sources", item["sources"]), tag("p", f"Caution: {item['caution']}") if item["caution"] else None,
    )  # fmt: skip


def _listed(title: str, lines: Iterable[str]) -> Markup:
    return tag("div", tag("strong", title), tag("ul", [tag("li", line) for line in lines]))
