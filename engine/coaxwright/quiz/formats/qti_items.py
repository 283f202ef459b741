"""One question as a QTI 2.1 item: what is printed, and with its key what is right, how it is scored, and feedback.

A number is scored by two comparisons with printed bounds: players know those, and not all know tolerances of `equal`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any
from xml.etree import ElementTree as Xml

from coaxwright.quiz.drawing import as_text
from coaxwright.quiz.printed import NOTE, Question
from coaxwright.quiz.tables import Table
from coaxwright.show.painter import visible

Key = Mapping[str, Any]


def name(question: Question) -> str:
    """Identifier of an item: a letter first, as identifiers need."""
    return f"q{question.id}"


def picture_path(question: Question) -> str:
    """Where the drawing of an item stands in the package."""
    return f"pictures/{name(question)}.svg"


def shown(text: str) -> str:
    """Someone's words with every character as an escape that XML cannot hold or that is not seen (XML 1.0, 2.2)."""
    return visible(text).replace("\ufffe", "\\ufffe").replace("\uffff", "\\uffff")


def below(parent: Xml.Element, tag: str, text: str | None = None, **attributes: str) -> Xml.Element:
    """A new last child with someone's words in it."""
    child = Xml.SubElement(parent, tag, attributes)
    child.text = None if text is None else shown(text)
    return child


def item(question: Question, key: Key | None = None) -> Xml.Element:
    """One item; with its key, what is right, how it is scored, and what to tell who chose otherwise."""
    made = Xml.Element(
        "assessmentItem", {"identifier": name(question), "title": f"Question {question.number}",
                           "adaptive": "false", "timeDependent": "false"},
    )  # fmt: skip
    _declare(made, question, key)
    _body(below(made, "itemBody"), question)
    if key is not None:
        _score(made, question, key)
        _feedback(made, question, key)
    return made


# What is printed


def _body(body: Xml.Element, question: Question) -> None:
    below(body, "p", question.intro)
    for table in question.tables:
        _table(body, table)
    if question.given:
        _table(body, Table("given", "Also given", ("what", "value"), question.given))
    if question.lines:
        words = "; ".join(line.strip() for line in as_text(question.lines))
        below(below(body, "p"), "img", src=f"../{picture_path(question)}", alt=shown(f"Drawing: {words}"))
    below(body, "p", NOTE)
    _interaction(body, question)


def _table(body: Xml.Element, table: Table) -> None:
    made = below(body, "table")
    below(made, "caption", table.title)
    drop = 1 if table.of == "site" else 0
    row = below(below(made, "thead"), "tr")
    for head in table.heads[drop:]:
        below(row, "th", head)
    rows = below(made, "tbody")
    for cells in table.rows:
        row = below(rows, "tr")
        for cell in cells[drop:]:
            below(row, "td", cell)


def _interaction(body: Xml.Element, question: Question) -> None:
    if question.entered:
        below(body, "p", question.stem)
        line = below(body, "p", "Answer: ")
        entry = below(line, "textEntryInteraction", responseIdentifier="RESPONSE", expectedLength="10")
        entry.tail = f" {shown(question.unit)}"
        return
    choice = below(body, "choiceInteraction", responseIdentifier="RESPONSE", shuffle="false", maxChoices="1")
    below(choice, "prompt", question.stem)
    for letter, text in question.options:
        below(choice, "simpleChoice", text, identifier=letter)


# What is right


def _declare(made: Xml.Element, question: Question, key: Key | None) -> None:
    kind = "float" if question.entered else "identifier"
    response = below(made, "responseDeclaration", identifier="RESPONSE", cardinality="single", baseType=kind)
    if key is None:
        return
    right = below(response, "correctResponse")
    below(right, "value", f"{key['entered']['value']:.6g}" if question.entered else str(key["key"]))
    for outcome, start in (("SCORE", "0"), ("MAXSCORE", "1")):
        declared = below(made, "outcomeDeclaration", identifier=outcome, cardinality="single", baseType="float")
        below(below(declared, "defaultValue"), "value", start)
    below(made, "outcomeDeclaration", identifier="FEEDBACK", cardinality="single", baseType="identifier")


def _score(made: Xml.Element, question: Question, key: Key) -> None:
    processing = below(made, "responseProcessing")
    condition = below(processing, "responseCondition")
    if question.entered:
        _score_number(condition, key)
        return
    branch = below(condition, "responseIf")
    match = below(branch, "match")
    below(match, "variable", identifier="RESPONSE")
    below(match, "correct", identifier="RESPONSE")
    _set(branch, "SCORE", "1", "float")
    told = below(processing, "setOutcomeValue", identifier="FEEDBACK")
    below(told, "variable", identifier="RESPONSE")


def _score_number(condition: Xml.Element, key: Key) -> None:
    branch = below(condition, "responseIf")
    _between(branch, key["entered"]["value"], key["entered"]["tolerance"])
    _set(branch, "SCORE", "1", "float")
    _set(branch, "FEEDBACK", "right", "identifier")
    for place, wrong in enumerate(key["typical"], start=1):
        if wrong["value"] is not None:
            branch = below(condition, "responseElseIf")
            _between(branch, wrong["value"], key["entered"]["tolerance"])
            _set(branch, "FEEDBACK", f"slip{place}", "identifier")
    _set(below(condition, "responseElse"), "FEEDBACK", "wrong", "identifier")


def bounds(value: float, tolerance: float) -> tuple[str, str]:
    """The least and the greatest number that count as `value`, as they are written; `tolerance` is a share of it.

    One part in a billion is added on both sides, so that a bound itself counts whatever a player's arithmetic.
    """
    room = abs(value) * (tolerance + 1e-9)
    return f"{value - room:.12g}", f"{value + room:.12g}"


def _between(branch: Xml.Element, value: float, tolerance: float) -> None:
    both = below(branch, "and")
    for tag, bound in zip(("gte", "lte"), bounds(value, tolerance), strict=True):
        compared = below(both, tag)
        below(compared, "variable", identifier="RESPONSE")
        below(compared, "baseValue", bound, baseType="float")


def _set(branch: Xml.Element, outcome: str, value: str, kind: str) -> None:
    below(below(branch, "setOutcomeValue", identifier=outcome), "baseValue", value, baseType=kind)


def _feedback(made: Xml.Element, question: Question, key: Key) -> None:
    """What to tell: for the right answer its working, for a wrong one the slip that leads to it."""
    right, answer = ["Right.", *key["working"]], f"The answer is {key['answer']}."
    if question.entered:
        _modal(made, "right", right)
        for place, wrong in enumerate(key["typical"], start=1):
            if wrong["value"] is not None:
                _modal(made, f"slip{place}", [*_slip(wrong), answer, *key["working"]])
        _modal(made, "wrong", [answer, *key["working"]])
        return
    for letter, option in key["options"].items():
        _modal(made, letter, right if option["right"] else [*_slip(option), answer])


def _slip(wrong: Key) -> tuple[str, str]:
    """What somebody who answered so did, as a sentence, and what to tell."""
    named = str(wrong["named"])
    return f"{named[:1].upper()}{named[1:]}.", wrong["feedback"]


def _modal(made: Xml.Element, identifier: str, lines: Iterable[str]) -> None:
    feedback = below(made, "modalFeedback", outcomeIdentifier="FEEDBACK", identifier=identifier, showHide="show")
    for line in filter(None, lines):
        below(feedback, "p", line)
