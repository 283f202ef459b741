"""What is asked at the counter, as the page's address says it, and what `pairing` answers.

Nothing is judged or worded here: the answer is the one that `coaxwright pair` gives for the same parts.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from coaxwright.desk.counter.shelf import Shelf
from coaxwright.errors import Problem, Refusal
from coaxwright.immutable import immutable
from coaxwright.model.common import FAMILIES, parse_mode
from coaxwright.model.quantities import QuantityError, parse_quantity, quoted
from coaxwright.pairing.answers import Answer, answer
from coaxwright.pairing.cells import Clerk
from coaxwright.pairing.names import known
from coaxwright.pairing.printing import render_answer
from coaxwright.pairing.small_sites import Question
from coaxwright.pairing.stamps import Stamp, stamp
from coaxwright.rulebook.settings import day_of_today
from coaxwright.workspace.project import Workspace

LONGEST = 4000


@immutable
class Asked:
    """The fields of the counter as they are filled in; empty where nothing is."""

    camera: str = ""
    recorder: str = ""
    cable: str = ""
    length: str = ""
    switched: str = ""
    customer: str = ""
    cameras: str = ""
    recorders: str = ""
    keep: str = ""
    among: str = ""
    rate: str = "25"
    which: str = ""

    @property
    def both(self) -> bool:
        """Whether a camera and a recorder are named."""
        return bool(self.camera and self.recorder)


def asked_of(fields: Mapping[str, str]) -> Asked:
    """The fields that an address states; others are left out, what is too long is cut."""
    names = Asked.__dataclass_fields__
    return Asked(**{name: value.strip()[:LONGEST] for name, value in fields.items() if name in names})


def resolved(shelf: Shelf, asked: Asked) -> Asked:
    """The same with parts in the place of the words typed for them: the part so called, else the first that is found."""
    return replace(asked, camera=_part(shelf, "camera", asked.camera), recorder=_part(shelf, "recorder", asked.recorder))


def _part(shelf: Shelf, kind: str, words: str) -> str:
    hits = shelf.find(words, kind, 1).entries if words else ()
    return hits[0].id if hits else words


def question_of(asked: Asked) -> Question:
    """The fields as a question. Raises Refusal for what cannot be read."""
    cable = asked.cable or ("rg59-copper" if asked.length else "")
    length = _length(asked.length) if cable else None
    family, mode = _switched(asked.switched)
    if asked.rate not in ("25", "30"):
        raise Refusal([Problem(quoted(asked.rate), "is no frame family", "choose 25 or 30")])
    return Question(family, mode, (), cable or None, length, int(asked.rate))


def _length(text: str) -> str | None:
    """A length with its unit; a bare number is metres."""
    if not text:
        return None
    bare = text.replace(".", "", 1)
    whole = f"{text} m" if bare.isascii() and bare.isdecimal() else text
    try:
        parse_quantity("length", whole)
    except QuantityError as error:
        raise Refusal([Problem(quoted(text), "is not a length", "write a number and a unit: 70 m, 230 ft")]) from error
    return whole


def _switched(text: str) -> tuple[str | None, str | None]:
    """`tvi 1920x1080@25`: how the camera is switched; either may be left out."""
    family = mode = None
    for word in text.split():
        if word.lower() in FAMILIES:
            family = word.lower()
            continue
        try:
            parse_mode(word)
        except ValueError as error:
            right = f"write a family ({', '.join(FAMILIES)}) and a mode such as 1920x1080@25"
            raise Refusal([Problem(quoted(word), "is neither a family nor a mode", right)]) from error
        mode = word
    return family, mode


@immutable
class Told:
    """An answer with what it can be traced by."""

    asked: Asked
    answer: Answer
    stamp: Stamp

    def file(self) -> str:
        """The page that is handed over: the bytes that `coaxwright pair ... --format html` gives."""
        return render_answer(self.answer, "html", stamp=self.stamp)


def told(work: Workspace, shelf: Shelf, asked: Asked) -> Told:
    """The answer to the pair. Raises Refusal."""
    question = question_of(asked)
    names = [asked.camera, asked.recorder, *([question.cable] if question.cable else [])]
    catalogue = shelf.catalogue(names)
    clerk = Clerk(catalogue, work.rulebook)
    if question.cable:
        known(catalogue, question.cable, "cable")
    found = answer(clerk, asked.camera, asked.recorder, question, work.rulebook)
    marked = stamp(catalogue, names_of(found), question, work.rulebook.digest, work.today or day_of_today(), asked.customer)
    return Told(asked, found, marked)


def names_of(found: Answer) -> list[str]:
    """Parts that an answer is about."""
    cable = found.question.cable
    return [found.camera, found.recorder, *([cable] if cable else [])]

