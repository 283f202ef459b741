"""Answers and tables of pairs as one self-contained page: no request leaves it, and it reads without its script.

Outcomes can be hidden with check boxes, which is style alone; finding cameras by typing takes the few lines of
script, and its field is only shown where they run. Everything is native and so works from the keyboard.
"""

from __future__ import annotations

from collections.abc import Sequence

from coaxwright.pairing.answers import Answer
from coaxwright.pairing.by_hand import WORDS
from coaxwright.pairing.printing import title
from coaxwright.pairing.tables import Table
from coaxwright.pairing.telling import MARKS, cell_words, sections
from coaxwright.pairing.verdicts import verdict_words
from coaxwright.show.markup import Markup, join, page, script, stylesheet, tag

_STYLE = """
:root{color-scheme:light dark}
body{margin:1rem auto;max-width:90rem;padding:0 1rem;font:1rem/1.45 "Segoe UI","Noto Sans","DejaVu Sans",sans-serif;
background:#fff;color:#17211f}
h1{font-size:1.3rem}
table{border-collapse:collapse}
th,td{border:1px solid #7d8985;padding:.25rem .5rem;text-align:left;vertical-align:top}
thead th{position:sticky;top:0;background:#eaf0ed}
.scroll{overflow:auto;max-height:80vh}
.scroll:focus-visible,input:focus-visible{outline:3px solid #0b4a72;outline-offset:2px}
td.full,td.asked-down{border-left:4px solid #0f5b34}
td.reduced-width,td.open{border-left:4px double #744600}
td.needs-setting,td.no-picture,td.too-long,td.unfit-cable{border-left:4px dashed #9c0f1c}
fieldset{margin:.6rem 0;border:1px solid #7d8985}
label{display:inline-block;min-height:24px;margin-right:1rem}
[hidden]{display:none}
@media (prefers-color-scheme:dark){body{background:#141a19;color:#e8efec}thead th{background:#232d2a}}
@media print{.scroll{max-height:none;overflow:visible}fieldset{display:none}}
"""
_SCRIPT = """
const field = document.getElementById("find");
field.closest("p").hidden = false;
field.addEventListener("input", () => {
  const wanted = field.value.toLowerCase();
  let shown = 0;
  for (const row of document.querySelectorAll("tbody tr")) {
    row.hidden = !row.firstElementChild.textContent.toLowerCase().includes(wanted);
    if (!row.hidden) { shown += 1; }
  }
  document.getElementById("shown").textContent = shown + " cameras shown";
});
"""
_CLASSES: dict[str | None, str] = {outcome: outcome or "open" for outcome in MARKS}


def answer_page(answer: Answer) -> str:
    """One answer as a page."""
    rows = [
        tag("tr", tag("th", heading, scope="row"), tag("td", *(tag("p", line) for line in said)))
        for heading, said in sections(answer)
    ]
    body = tag(
        "body", tag("main", tag("h1", title(answer)), tag("p", verdict_words(answer)), tag("table", tag("tbody", rows)))
    )
    return page(_head(title(answer), _STYLE), body)


def table_page(table: Table, together: Sequence[str] = ()) -> str:
    """A table as a page; `together` lines tell what all cameras come to on one recorder."""
    hiding = "".join(
        f"body:has(#show-{name}:not(:checked)) td.{name}>span{{visibility:hidden}}" for name in _CLASSES.values()
    )
    heading = f"{len(table.cameras)} cameras on {len(table.recorders)} recorders"
    body = tag(
        "body",
        tag("main", tag("h1", heading), _find(), _outcomes(), tag("div", _grid(table), class_="scroll", tabindex="0",
            role="region", aria_label="Table of pairs"), _together(together)),
        script(_SCRIPT),
    )  # fmt: skip
    return page(_head(heading, _STYLE + hiding), body)


def _head(heading: str, style: str) -> Markup:
    return tag(
        "head",
        tag("meta", charset="utf-8"),
        tag("meta", name="viewport", content="width=device-width,initial-scale=1"),
        tag("title", heading),
        stylesheet(style),
    )


def _together(lines: Sequence[str]) -> Markup | None:
    if not lines:
        return None
    heading = tag("h2", "All cameras on one recorder, each on an input of its own")
    return tag("section", heading, tag("ul", [tag("li", line) for line in lines]))


def _find() -> Markup:
    label = tag("label", "Find cameras ", tag("input", id="find", type="search", autocomplete="off"))
    return tag("p", label, tag("span", "", id="shown", role="status"), hidden=True)


def _outcomes() -> Markup:
    boxes = [
        tag("label", tag("input", id=f"show-{name}", type="checkbox", checked=True), f" {MARKS[outcome]} {name}",
            f" ({WORDS[outcome]})" if outcome == "needs-setting" else None)
        for outcome, name in _CLASSES.items()
    ]  # fmt: skip
    return tag("fieldset", tag("legend", "Show outcomes"), boxes)


def _grid(table: Table) -> Markup:
    words = [tag("td", tag("span", cell_words(cell)), class_=_CLASSES[cell.verdict]) for cell in table.cells]
    made: dict[int, Markup] = {}
    rows = []
    for camera, group in zip(table.cameras, table.kind_of, strict=True):
        if group not in made:
            made[group] = join(words[number] for number in table.row(group))
        rows.append(tag("tr", tag("th", camera, scope="row"), made[group]))
    head = tag("tr", tag("th", "camera", scope="col"), [tag("th", each, scope="col") for each in table.recorders])
    return tag("table", tag("thead", head), tag("tbody", rows))
