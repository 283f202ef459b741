"""What replaces a camera on every recorder that is named: on how many of them each candidate keeps at least as much."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from coaxwright import pace
from coaxwright.errors import Problem, Refusal
from coaxwright.immutable import immutable
from coaxwright.pairing.cells import Clerk
from coaxwright.pairing.on_site import PAIR_ONLY
from coaxwright.pairing.placing import PICTURES
from coaxwright.pairing.printing import price
from coaxwright.pairing.ranking import Replacement, order, replace_camera
from coaxwright.pairing.small_sites import Question
from coaxwright.show.figures import count
from coaxwright.show.forms import rendered
from coaxwright.show.json_text import to_json
from coaxwright.show.screen import Screen
from coaxwright.show.tree import Document, Paragraph, Table

_FEW = 3


@immutable
class Everywhere:
    """A candidate with the recorders on which it keeps at least as much, and those on which it does not."""

    found: Replacement
    keeps_on: tuple[str, ...]
    worse_on: tuple[str, ...]
    successor: bool


def replace_everywhere(
    clerk: Clerk, camera: str, recorders: Sequence[str], candidates: list[str], question: Question
) -> list[Everywhere]:
    """Candidates by the number of recorders on which they keep as much, then as `--replace` orders them.

    Only recorders on which the camera gives a picture now are counted. Raises Refusal where it gives one on none.
    """
    shown = [name for name in recorders if clerk.cell(camera, name, question).verdict in PICTURES]
    if not shown:
        raise Refusal([Problem(camera, "gives a picture on none of these recorders, so that there is nothing to keep")])
    kept: dict[str, list[str]] = {}
    told: dict[str, Replacement] = {}
    for name in pace.counted(shown, "recorders"):
        for each in replace_camera(clerk, camera, name, candidates, question):
            kept.setdefault(each.part, []).append(name)
            told.setdefault(each.part, each)
    after = clerk.catalogue.part(camera).successor
    found = [
        Everywhere(one, tuple(kept[part]), tuple(name for name in shown if name not in kept[part]), part == after)
        for part, one in told.items()
    ]
    return sorted(found, key=lambda each: (-len(each.keeps_on), not each.successor, *order(each.found)))


def render_everywhere(camera: str, found: Sequence[Everywhere], form: str, screen: Screen | None = None) -> str:
    """The list in a form: text, md, html, csv or json."""
    among = len(found[0].keeps_on) + len(found[0].worse_on) if found else 0
    heading = f"Cameras that keep at least as much as {camera}, by the number of recorders on which they do"
    if form == "json":
        parts = [_data(each) for each in found]
        return to_json({"format": 2, "replacements": heading, "recorders": among, "parts": parts, "not_proven": PAIR_ONLY})
    names = ("part", "keeps as much on", "not on", "loses", "not known", "price", "remarks")
    table = Table(names, [_row(each, among) for each in found], empty="No camera keeps as much on any of these recorders.")
    return rendered(Document(heading, (table, Paragraph(PAIR_ONLY))), form, screen)


def _row(one: Everywhere, among: int) -> tuple[str, ...]:
    more = len(one.worse_on) - _FEW
    not_on = ", ".join(one.worse_on[:_FEW]) + (f" and {more} more" if more > 0 else "")
    remarks = (*(["successor, says its maker"] if one.successor else []), *one.found.remarks)
    return (
        one.found.part, f"{len(one.keeps_on)} of {count(among, 'recorder')}", not_on,
        "; ".join(one.found.loses) or "nothing that is stated", "; ".join(one.found.not_known), price(one.found),
        "; ".join(remarks),
    )  # fmt: skip


def _data(one: Everywhere) -> dict[str, Any]:
    return {
        "part": one.found.part, "keeps_on": list(one.keeps_on), "worse_on": list(one.worse_on), "successor": one.successor,
        "loses": list(one.found.loses), "not_known": list(one.found.not_known), "price": one.found.price,
        "currency": one.found.currency, "remarks": list(one.found.remarks),
    }  # fmt: skip
