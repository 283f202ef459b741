"""A whole system proposed from the open site, where its cameras are known by what they are there for."""

from __future__ import annotations

from typing import Any

from coaxwright.desk.answers import Act, Held, Request, Shown
from coaxwright.desk.views import forms
from coaxwright.desk.views.look import FIRST
from coaxwright.errors import Problem, Refusal
from coaxwright.reading.files import SITE_SUFFIX
from coaxwright.reading.site_reader import load_site_text
from coaxwright.show.html import fragment
from coaxwright.show.markup import join
from coaxwright.workspace.protocol import BadRequest, text_of

_KEPT = "proposal"
TITLE = "Propose a system"


def _ask(held: Held, request: Request) -> Shown:
    """What is preferred."""
    return Shown(dialog=(TITLE, forms.proposal()))


def _search(held: Held, request: Request) -> Shown:
    """The systems that were found, and a form that writes the first one; what stands in the way where there is none."""
    from coaxwright.proposals.searching import Search
    from coaxwright.proposals.telling import proposal_document

    prefer = text_of(request, "prefer", "cheapest")
    if prefer not in ("cheapest", "fewest"):
        raise BadRequest("`prefer` is cheapest or fewest")
    site = held.work.site
    if site.problems or site.state is None:
        raise Refusal(site.problems)
    wanted: Any = prefer
    where = held.work.store.path(site.name)
    loaded = load_site_text(site.text, str(where), where.parent)
    found = Search(loaded, held.work.rulebook, wanted).run()
    held.kept[_KEPT] = (site.name, site.version, found)
    name = _free_name(held, site.name)
    take = forms.take_proposal(name) if found.best is not None else None
    return Shown(dialog=(TITLE, join([fragment(proposal_document(found, name)), take])), say="Looked for systems.")


def _free_name(held: Held, name: str) -> str:
    stem = name.removesuffix(SITE_SUFFIX).removesuffix(".wants")
    there = set(held.work.store.names())
    names = (f"{stem}.proposed{place}{SITE_SUFFIX}" for place in ("", *(f"-{number}" for number in range(2, 1000))))
    return next(each for each in names if each not in there)


def _take(held: Held, request: Request) -> Shown:
    """Write the first system that was found, and open it."""
    from coaxwright.proposals.writing import write_system

    site, name = held.work.site, text_of(request, "name").strip()
    if held.kept.get(_KEPT, ("", -1, None))[:2] != (site.name, site.version):
        raise Refusal([Problem(site.name, "the site has changed since", "look for systems again")])
    found, target = held.kept[_KEPT][2], held.work.store.path(name)
    write_system(found, found.best, target)
    held.work.open(name)
    return Shown({"name": name}, go=FIRST, focus=("h1",), close=True)


ACTS: dict[str, Act] = {"propose": _ask, "propose-search": _search, "propose-take": _take}
