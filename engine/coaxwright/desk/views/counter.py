"""The counter's view: what is asked on the left, the answer beside it; on a phone one below the other."""

from __future__ import annotations

import re
from collections.abc import Sequence
from urllib.parse import urlencode

from coaxwright.catalogues.records import Entry
from coaxwright.desk.counter.asking import Asked, Told
from coaxwright.desk.counter.shelf import MOST_COUNTED, Hits, Shelf
from coaxwright.desk.views.pieces import button, goes
from coaxwright.errors import Problem
from coaxwright.pairing.answers import Answer
from coaxwright.pairing.extras import USUAL
from coaxwright.pairing.table_forms import LEVELS
from coaxwright.pairing.telling import MARKS, sections
from coaxwright.pairing.verdicts import verdict_words
from coaxwright.show.figures import count
from coaxwright.show.markup import NOTHING, Child, Markup, join, tag
from coaxwright.show.pieces import mark

TASKS = {"pair": "One pair", "list": "A whole list", "replace": "What replaces it", "table": "Many on many"}
"""The tasks of the counter by the first step of the address, in the order of the tabs."""
HEADS = {
    "full": "Works", "asked-down": "Works, as the recorder asks", "reduced-width": "Works, with a loss",
    "needs-setting": "No picture until someone switches it", "no-picture": "No picture", "too-long": "Too long a run",
    "unfit-cable": "The cable does not fit", None: "Not known yet",
}  # fmt: skip
FAMILIES = (("25", "50 Hz, 25 frames"), ("30", "60 Hz, 30 frames"))
_SIGNS = frozenset(MARKS.values())


def place(task: str, asked: Asked) -> str:
    """The address of a task with these fields."""
    fields = {name: getattr(asked, name) for name in Asked.__dataclass_fields__}
    said = urlencode({name: value for name, value in fields.items() if value and (name, value) != ("rate", "25")})
    return f"/counter/{task}/{said}" if said or task != "pair" else "/counter"


def room(shelf: Shelf, task: str, asked: Asked, number: int, form: Markup, answer: Markup) -> Markup:
    """The whole view. `number` counts customers: with a new one the fields are new."""
    return tag(
        "div",
        tag("div", tag("h1", "Will it work?", id="h1", tabindex="-1"), catalogue_words(shelf), class_="where"),
        tag("nav", tag("ul", [_task(name, words, task, asked) for name, words in TASKS.items()]),
            aria_label="Counter", class_="tasks"),
        tag(
            "div",
            tag("section", tag("h2", "Ask", id="h-ask", class_="ears"), form, aria_labelledby="h-ask"),
            tag("section", answer, id="counter-answer", aria_label="Answer"),
            class_="two",
        ),
        class_="counter", id=f"counter-{number}",
    )  # fmt: skip


def _task(name: str, words: str, now: str, asked: Asked) -> Markup:
    current = "page" if name == now else None
    return tag("li", tag("button", words, type="button", data_go=place(name, asked), aria_current=current))


def catalogue_words(shelf: Shelf) -> Markup:
    """How large the catalogue is, and where it is; with a button to open other files."""
    parts = shelf.count()
    told = f"Catalogue: {parts:,} {'part' if parts == 1 else 'parts'}, kept on this device."
    if not parts:
        told = "There is no part here yet: open part files, or start with the example."
    other = button("counter-open", "Open part files", class_="plain", pick=".yaml,.yml", many=True)
    back = button("counter-back", "Back to the catalogue of this page", class_="plain") if shelf.laid_over else None
    return tag("p", told, " ", other, back, class_="quiet")


# Asking


def ask_form(asked: Asked, number: int) -> Markup:
    """The fields of one pair; each is answered while it is filled in."""
    return tag(
        "form",
        part_field("camera", "Camera: name, article number or words", asked.camera),
        part_field("recorder", "Recorder", asked.recorder),
        tag("div", _cable(asked.cable), field("length", "Length", asked.length, placeholder="90 m"), class_="pair"),
        tag(
            "details",
            tag("summary", "More: how it is switched, for whom"),
            field("switched", "The camera is switched to", asked.switched, placeholder="as it comes; or: tvi 1920x1080@25"),
            _rate(asked.rate),
            field("customer", "For whom (stands on the printed answer)", asked.customer),
            open=bool(asked.switched or asked.customer or asked.rate != "25"),
        ),
        tag("div", tag("button", "Answer", type="submit", class_="main-act"),
            button("counter-next", "Next customer"), class_="acts"),
        id=f"ask-{number}", data_live="counter-look", data_do="counter-look", class_="ask",
    )  # fmt: skip


def part_field(kind: str, words: str, value: str) -> Markup:
    """A field for a part, with a list of what is found below it."""
    anchor = f"q-{kind}"
    return tag(
        "div",
        tag("label", words, for_=anchor),
        tag("input", type="text", id=anchor, name=kind, value=value, autocomplete="off", spellcheck="false", role="combobox",
            aria_expanded="false", aria_autocomplete="list", data_complete="counter-find", data_follow="yes",
            data_args=f'{{"kind":"{kind}"}}', maxlength="200"),
    )  # fmt: skip


def field(name: str, words: str, value: str, placeholder: str = "") -> Markup:
    """A field of words."""
    anchor = f"q-{name}"
    shown = tag("input", type="text", id=anchor, name=name, value=value, autocomplete="off", placeholder=placeholder or None,
                maxlength="200")  # fmt: skip
    return tag("div", tag("label", words, for_=anchor), shown)


def _cable(value: str) -> Markup:
    names = ["", *dict.fromkeys((*USUAL, *([value] if value else [])))]
    options = [tag("option", name or "not said", value=name, selected=name == value) for name in names]
    return tag("div", tag("label", "Cable, if known", for_="q-cable"), tag("select", options, id="q-cable", name="cable"))


def _rate(value: str) -> Markup:
    options = [tag("option", words, value=rate, selected=rate == value) for rate, words in FAMILIES]
    return tag("div", tag("label", "Mains and frame family", for_="q-rate"), tag("select", options, id="q-rate", name="rate"))


# What is found


def hits(found: Hits, articles: dict[str, str], words: str) -> Markup:
    """The list below a field: what begins with the words is marked in it."""
    items = [_hit(place, each, articles.get(each.id, ""), words) for place, each in enumerate(found.entries)]
    if not items:
        foot = f"No part is called that. Enter keeps “{words}”."
    else:
        left = found.count - len(items)
        more = f" {'More than ' if found.count >= MOST_COUNTED else ''}{left:,} more: type on." if left > 0 else ""
        foot = f"↓ chooses, Enter takes, Esc closes.{more}"
    return join([*items, tag("li", foot, class_="foot", role="presentation")])


def _hit(place: int, entry: Entry, article: str, words: str) -> Markup:
    price = "" if entry.price is None else f"{entry.price:g} {entry.currency or ''}".rstrip()
    if entry.retired:
        after = f"; replaced by {entry.successor}" if entry.successor else ""
        told: list[Child] = [mark("note"), f"no longer sold{f' since {entry.since}' if entry.since else ''}{after}"]
    else:
        told = [". ".join(each for each in (entry.title or "", article, price) if each)]
    return tag("li", tag("b", marked(entry.id, words)), tag("span", told, class_="quiet"), id=f"pick-{place}", role="option",
               aria_selected="false", data_value=entry.id)  # fmt: skip


def marked(name: str, words: str) -> Markup:
    """A name with the beginnings marked that are typed."""
    begun = sorted(filter(None, re.split(r"[\W_]+", words.lower())), key=len, reverse=True)
    pieces: list[Child] = []
    for piece in re.split(r"([\W_]+)", name):
        found = next((each for each in begun if piece.lower().startswith(each)), "")
        pieces += [tag("mark", piece[: len(found)]), piece[len(found) :]] if found else [piece]
    return join(pieces)


# The answer


def waiting(asked: Asked) -> Markup:
    """Before both are named."""
    lacking = "a camera and a recorder" if not (asked.camera or asked.recorder) else "a recorder" if asked.camera else "a camera"
    return tag("p", f"Name {lacking}: the answer stands here at once.", class_="quiet")


def refused(problems: Sequence[Problem]) -> Markup:
    """What stands in the way of an answer."""
    return tag("ul", [tag("li", _problem(each)) for each in problems[:6]], class_="say warn problems")


def _problem(problem: Problem) -> str:
    what = f"{problem.file}: {problem.what}" if problem.file and problem.file not in problem.what else problem.what
    what = what if problem.file and what.startswith(problem.file) else f"{what[:1].upper()}{what[1:]}"
    return f"{what}{f'. {problem.right[:1].upper()}{problem.right[1:]}' if problem.right else ''}."


def answered(told: Told) -> Markup:
    """The words to say, then the details, each with its fact in its summary."""
    answer, asked = told.answer, told.asked
    return join([
        tag(
            "div", headline(answer), tag("p", f"{answer.camera} on {answer.recorder}, input {answer.number}", class_="quiet"),
            tag("p", verdict_words(answer), class_="spoken", id="spoken"),
            tag("div", goes(place("print", asked), "Print this answer", class_="main-act"),
                button("copy-words", "Copy the words", of="spoken"), file_button(asked, "pair"), site_button(asked, "pair"),
                class_="acts"),
            class_="answer",
        ),
        tag("div", [_row(name, lines) for name, lines in sections(answer) if name not in ("Caution", "Rules")], class_="fold"),
        *(tag("p", tag("b", "Caution. "), each, class_="caution") for each in answer.cautions),
    ])  # fmt: skip


def headline(answer: Answer, rank: str = "h2") -> Markup:
    """The level in a few words, with its mark."""
    verdict = answer.cell.verdict
    return tag(rank, tag("span", mark(LEVELS[verdict]), HEADS[verdict], class_=f"level {LEVELS[verdict]}"),
               id="h-answer", tabindex="-1")  # fmt: skip


def file_button(asked: Asked, kind: str) -> Markup:
    """A button that gives the answer as a page of its own."""
    fields = {name: getattr(asked, name) for name in Asked.__dataclass_fields__ if getattr(asked, name)}
    return button("counter-file", "Save it as a page", **fields, file=kind)


def site_button(asked: Asked, kind: str) -> Markup:
    """A button that makes the answer a site in the designer's view."""
    fields = {name: getattr(asked, name) for name in Asked.__dataclass_fields__ if getattr(asked, name)}
    return button("counter-site", "Open as a site", **fields, file=kind)


def plain_line(line: str) -> str:
    """A line without the sign that stands for its outcome in text."""
    sign, _, rest = line.partition(" ")
    return rest if sign in _SIGNS else line


def _row(name: str, lines: Sequence[str]) -> Markup:
    """One detail: folded where there is more than its fact."""
    first, more = plain_line(lines[0]), lines[1:]
    if len(lines) > 1 and name in ("Sold", "Sources", "By hand", "Own maker", "Other inputs"):
        first, more = _short(name, lines), lines
    if not more:
        return tag("p", tag("b", name), tag("span", first), class_="fact")
    below = [tag("p", plain_line(each)) for each in more]
    return tag("details", tag("summary", tag("b", name), tag("span", first)), below)


def _short(name: str, lines: Sequence[str]) -> str:
    if name == "Sold":
        return "; ".join(lines)
    what = {"Sources": "source", "By hand": "way", "Own maker": "difference", "Other inputs": "group"}[name]
    return count(len(lines), what)


def stale(words: str) -> Markup:
    """Nothing to show, in words."""
    return tag("p", words, class_="quiet") if words else NOTHING
