"""Which case of guided diagnosis is wanted: on the boatyard or the open site, of which symptom, by which seed."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from coaxwright.checking import load_site
from coaxwright.course.cases import Case, case_data, make_case
from coaxwright.desk.answers import Held, once
from coaxwright.desk.example import OF_CASES
from coaxwright.diagnosis.knowledge import WORKS, load_knowledge
from coaxwright.errors import Problem, Refusal
from coaxwright.immutable import immutable
from coaxwright.reading.site_reader import LoadedSite
from coaxwright.resources import data_root

HERE, BOATYARD = "here", "boatyard"
_MOST_CASES = 8
"""Cases that are kept: of more, the one that was asked for longest ago is made again when it is wanted."""


@immutable
class Chosen:
    """`here`: on the open site; `symptom` is one of the knowledge, or empty for any."""

    here: bool = False
    symptom: str = ""
    seed: int = 1

    @property
    def address(self) -> str:
        """As the page's address has it."""
        return f"/course/diagnosis/{self.place}{self.seed}"

    @property
    def place(self) -> str:
        """The part of the address before the seed."""
        if not (self.here or self.symptom):
            return ""
        return f"{HERE if self.here else BOATYARD}{f':{self.symptom}' if self.symptom else ''}/"


def chosen_of(rest: str) -> tuple[Chosen, str]:
    """What an address such as `here:no-picture/3/m1.h` chooses, and the steps behind it."""
    where, _, symptom = rest.partition("/")[0].partition(":")
    stated = where in (HERE, BOATYARD)
    seed, _, steps = (rest.partition("/")[2] if stated else rest).partition("/")
    return Chosen(where == HERE, symptom if stated else "", seed_of(seed)), steps


def seed_of(text: str) -> int:
    """A seed that an address states; 1 for what is none."""
    return int(text) if text.isascii() and text.isdecimal() and len(text) < 9 else 1


def symptoms() -> dict[str, str]:
    """Every symptom that a fault put in can show, with its words."""
    known = load_knowledge().symptoms
    return {name: each.says for name, each in known.items() if each.when and name != WORKS}


def open_site(held: Held) -> LoadedSite:
    """The open site as it is edited. Raises Refusal where there is none, or it cannot be judged."""
    site = held.work.site
    if site.state is None:
        raise Refusal([Problem(site.name, "cannot be judged as it stands", "mend what is told of it first")])
    loaded: LoadedSite = site.state.basis.loaded
    return loaded


def case_of(held: Held, chosen: Chosen) -> tuple[Case, Mapping[str, Any]]:
    """The case with what its page needs, made once for the text of the site. Raises Refusal."""
    if chosen.symptom and chosen.symptom not in symptoms():
        raise Refusal([Problem("case", f"there is no symptom `{chosen.symptom}`", "choose one of the list")])
    text = (held.work.site.name, held.work.site.version) if chosen.here else ("", 0)
    known: dict[tuple[object, ...], tuple[Case, Mapping[str, Any]]] = held.kept.setdefault("cases", {})

    def made() -> tuple[Case, Mapping[str, Any]]:
        where = Path(str(data_root("examples"))) / OF_CASES / "alder-wharf.site.yaml"
        loaded = open_site(held) if chosen.here else load_site(where)
        found = make_case(loaded, held.work.rulebook, chosen.seed, symptom=chosen.symptom)
        return found, case_data(found)

    return once(known, (chosen, *text), made, _MOST_CASES)
