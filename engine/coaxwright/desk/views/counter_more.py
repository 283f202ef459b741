"""The counter's other tasks: the printed answer, a whole list, what replaces a part, many on many."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import replace

from coaxwright.desk.counter.asking import Asked, Told
from coaxwright.desk.views import counter
from coaxwright.desk.views.counter import field, file_button, headline, part_field, place, plain_line, site_button
from coaxwright.desk.views.pieces import button, goes
from coaxwright.pairing.telling import sections
from coaxwright.pairing.verdicts import verdict_words
from coaxwright.show.html import fragment
from coaxwright.show.markup import NOTHING, Markup, join, tag
from coaxwright.show.pieces import facts
from coaxwright.show.tree import Block, Document, Section, Table

MOST_TOLD = 20
"""Contradictions shown, as many as the command line tells."""
_PRINTED = (
    "Cable", "Picture", "Rate", "Sound", "Control", "Firmware", "Sorted motion", "Line sound", "Reach", "Power", "By hand",
    "Other inputs", "Part files", "Open",
)  # fmt: skip


def printed(told: Told) -> Markup:
    """One page to be handed over: A4 or Letter, with what it can be traced by."""
    answer, asked = told.answer, told.asked
    lines = dict(sections(answer))
    rows = [(name, lines[name]) for name in _PRINTED if name in lines and lines[name] != ["nothing"]]
    question = answer.question
    over = f" over {question.length or 'a run'} of {question.cable}" if question.cable else ""
    head = [
        *((("For", told.stamp.customer),) if told.stamp.customer else ()), ("Date", told.stamp.date),
        ("Asked", f"{answer.camera} on {answer.recorder}{over}"),
    ]  # fmt: skip
    return tag(
        "div",
        tag("div", button("print", "Print", class_="main-act"),
            goes(place("pair", asked), "Back to the counter"), class_="acts"),
        tag("div", tag("h1", "Will it work? An answer", id="h1", tabindex="-1"), tag("b", f"Reference {told.stamp.reference}"),
            class_="where"),
        facts(head),
        tag("div", headline(answer), tag("p", verdict_words(answer), class_="spoken"), class_="answer"),
        _table("What to expect", [(name, [plain_line(each) for each in said]) for name, said in rows]),
        _table("Prices, without tax", [(each.partition(": ")[0], [each.partition(": ")[2]]) for each in lines["Sold"]]),
        [tag("p", tag("b", "Caution. "), each, class_="caution") for each in answer.cautions],
        tag("h2", "What this answer rests on"),
        tag("p", "; ".join(lines.get("Sources", ["nothing stated"])), "."),
        tag("p", f"{lines['Not judged'][0][:1].upper()}{lines['Not judged'][0][1:]}."),
        tag("p", f"Parts {told.stamp.parts}. Rules {told.stamp.rules.removeprefix('sha256:')[:12]}. Coaxwright "
            f"{told.stamp.version}. The same question to the same parts and rules gives the same answer.", class_="quiet"),
        class_="sheet",
    )  # fmt: skip


def _table(caption: str, rows: list[tuple[str, list[str]]]) -> Markup:
    made = [tag("tr", tag("th", name, scope="row"), tag("td", [tag("p", each) for each in said])) for name, said in rows]
    return tag("table", tag("caption", caption), tag("tbody", made), class_="tbl")


def list_form(asked: Asked, number: int) -> Markup:
    """A whole list, pasted or typed."""
    return tag(
        "form",
        tag("label", "One camera a line: how many, which, what to keep. A table with headings may be pasted too.",
            for_="q-cameras"),
        tag("textarea", asked.cameras, id="q-cameras", name="cameras", rows="6", maxlength="4000",
            placeholder="4 fennick/turret-5, sound on 2\n2 tarnwell/dome-2"),
        field("recorders", "On which recorders: ids with commas, or a pattern (all where it is empty)", asked.recorders,
              "tarnwell/*"),
        field("keep", "What must be kept, of how many", asked.keep, "sound=2, full=8"),
        tag("div", tag("button", "Answer", type="submit", class_="main-act"), button("counter-next", "Next customer"),
            class_="acts"),
        carried(asked, "camera", "recorder"),
        id=f"list-{number}", data_do="counter-list", class_="ask",
    )  # fmt: skip


def carried(asked: Asked, *names: str) -> list[Markup]:
    """Fields of other tasks that stay as they are while this one is looked at."""
    return [tag("input", type="hidden", name=name, value=getattr(asked, name)) for name in names if getattr(asked, name)]


def replace_form(asked: Asked, number: int) -> Markup:
    """What replaces one of a pair."""
    return tag(
        "form",
        part_field("camera", "Camera: name, article number or words", asked.camera),
        part_field("recorder", "Recorder", asked.recorder),
        field("among", "Only parts with these words (all where it is empty)", asked.among, "5 turret"),
        tag("div", _submit("camera", "What replaces the camera?", number),
            _submit("recorder", "What replaces the recorder?", number),
            class_="acts"),
        id=f"replace-{number}", data_do="counter-replace", class_="ask",
    )  # fmt: skip


def _submit(which: str, words: str, number: int) -> Markup:
    args = json.dumps({"which": which})
    return tag("button", words, type="button", data_do="counter-replace", data_form=f"replace-{number}", data_args=args)


def table_form(asked: Asked, number: int) -> Markup:
    """Several cameras on several recorders, each with each."""
    return tag(
        "form",
        field("among", "Cameras: ids with commas, or a pattern (all where it is empty)", asked.among, "fennick/*"),
        field("recorders", "Recorders", asked.recorders, "tarnwell/*"),
        tag("div", tag("button", "Answer", type="submit", class_="main-act"), class_="acts"),
        carried(asked, "camera", "recorder"),
        id=f"table-{number}", data_do="counter-table", class_="ask",
    )  # fmt: skip


def document(found: Document, asked: Asked, kind: str, told: Sequence[str] = ()) -> Markup:
    """A document of the engine as part of the page, with the same as a file. `told`: what contradicts itself in parts."""
    blocks = tuple(_still(each) for each in found.blocks)
    return join([
        tag("h2", found.title, id="h-answer", tabindex="-1"),
        tag("div", file_button(asked, kind), site_button(asked, kind) if kind == "set" else None, class_="acts"),
        contradicting(told),
        tag("div", fragment(replace(found, blocks=blocks)), class_="told"),
    ])  # fmt: skip


def contradicting(told: Sequence[str]) -> Markup:
    """Parts that contradict themselves: what rests on them is to be taken with care."""
    if not told:
        return NOTHING
    left = len(told) - MOST_TOLD
    shown = [tag("li", each) for each in told[:MOST_TOLD]] + ([tag("li", f"and {left} more")] if left > 0 else [])
    return tag("div", tag("p", tag("b", "These parts contradict themselves. "), "Have their entries mended before you rely on "
                          "this."), tag("ul", shown), class_="say warn")  # fmt: skip


def _still(block: Block) -> Block:
    """A table without the fields that only a page of its own has."""
    if isinstance(block, Table):
        return replace(block, search=None, outcomes=())
    return replace(block, blocks=tuple(map(_still, block.blocks))) if isinstance(block, Section) else block


FORMS = {"pair": counter.ask_form, "list": list_form, "replace": replace_form, "table": table_form}

