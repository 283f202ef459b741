"""The counter as a room of the page: its address, and what its fields and buttons ask."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from urllib.parse import parse_qsl

from coaxwright.desk import bringing
from coaxwright.desk.answers import Act, Download, Held, Request, Shown, once
from coaxwright.desk.counter.as_site import site_of_pair, site_of_set
from coaxwright.desk.counter.asking import Asked, Told, asked_of, resolved, told
from coaxwright.desk.counter.comparing import replaced, tabled
from coaxwright.desk.counter.sets import told_set
from coaxwright.desk.counter.shelf import CATALOGUE, MOST_LISTED, MOST_WHOLE, Shelf
from coaxwright.desk.room import Room
from coaxwright.desk.views import counter, counter_more
from coaxwright.errors import Refusal
from coaxwright.show.markup import Markup
from coaxwright.workspace.protocol import BadRequest, text_of

READY = Path(__file__).resolve().parents[2] / CATALOGUE
"""The catalogue that a page without a server has inside."""
_KEY = "counter"


def shelf_of(held: Held) -> Shelf:
    """The catalogue of this page."""
    if _KEY not in held.kept:
        ready = READY if held.inside and READY.is_file() else None
        most = MOST_WHOLE if held.inside else MOST_LISTED
        held.kept[_KEY] = Shelf(held.work.store.root, held.kept.get("catalogue", ()), ready, most)
    shelf: Shelf = held.kept[_KEY]
    return shelf


def fields_of(rest: str) -> tuple[str, Asked]:
    """The task and the fields that an address states."""
    task, _, said = rest.partition("/")
    return task, asked_of(dict(parse_qsl(said)))


def shown(held: Held, rest: str) -> Markup:
    """The view at an address."""
    task, asked = fields_of(rest)
    shelf = shelf_of(held)
    if task == "print":
        try:
            return counter_more.printed(_told(held, asked))
        except Refusal as refusal:
            return counter.refused(refusal.problems)
    name = task if task in counter.TASKS else "pair"
    number = held.kept.get("customers", 0)
    form = counter_more.FORMS[name](asked, number)
    return counter.room(shelf, name, asked, number, form, _answer(held, name, asked))


def _answer(held: Held, task: str, asked: Asked) -> Markup:
    """What stands beside the fields: the answer, or in words what is lacking. Each is worked out once."""
    shelf = shelf_of(held)
    shelf.records()
    known: dict[tuple[object, ...], Markup] = held.kept.setdefault("answers", {})
    key = (shelf.version, task, asked)

    def made() -> Markup:
        try:
            return _MADE[task](held, asked)
        except Refusal as refusal:
            return counter.refused(refusal.problems)

    return once(known, key, made, _MOST_KEPT)


def _told(held: Held, asked: Asked) -> Told:
    """The answer of one pair, worked out once for whomever it is. Raises Refusal."""
    shelf = shelf_of(held)
    shelf.records()
    key = (shelf.version, replace(asked, customer=""))
    last: tuple[object, Told] | None = held.kept.get("told")
    if last is None or last[0] != key:
        last = held.kept["told"] = (key, told(held.work, shelf, key[1]))
    found = last[1]
    return replace(found, asked=asked, stamp=replace(found.stamp, customer=asked.customer))


def _pair(held: Held, asked: Asked) -> Markup:
    return counter.answered(_told(held, asked)) if asked.both else counter.waiting(asked)


def _list(held: Held, asked: Asked) -> Markup:
    if not asked.cameras:
        return counter.stale("The answer stands here once there is a list.")
    return counter_more.document(told_set(held.work, shelf_of(held), asked).document(), asked, "set")


def _table(held: Held, asked: Asked) -> Markup:
    if not (asked.among or asked.recorders):
        return counter.stale("Each camera on each recorder. Empty fields stand for all.")
    found = tabled(held.work, shelf_of(held), asked)
    return counter_more.document(found.document(), asked, "table", found.contradictions)


def _replaced(held: Held, asked: Asked) -> Markup:
    if asked.which and not asked.both:
        return counter.waiting(asked)
    if not asked.which:
        return counter.stale("Parts that keep at least as much in the same place, those that lose least first.")
    found = replaced(held.work, shelf_of(held), asked, asked.which)
    return counter_more.document(found.document(), asked, f"replace-{asked.which}", found.contradictions)


_MADE: dict[str, Callable[[Held, Asked], Markup]] = {"pair": _pair, "list": _list, "table": _table, "replace": _replaced}
_MOST_KEPT = 16


# Acts


def _asked(request: Request) -> Asked:
    return asked_of({name: value for name, value in request.items() if isinstance(value, str)})


def _find(held: Held, request: Request) -> Shown:
    """Parts for the words typed so far."""
    kind = text_of(request, "kind")
    if kind not in ("camera", "recorder"):
        raise BadRequest("`kind` is camera or recorder")
    words = text_of(request, "text")[:200]
    shelf = shelf_of(held)
    found = shelf.find(words, kind) if words.strip() else shelf.first(kind)
    articles = shelf.articles(found.entries)
    html = counter.hits(found, articles, words)
    said = f"{found.count:,} found."
    return Shown({"html": html, "count": found.count, "spoken": said})


def _answering(task: str) -> Act:
    """An act that puts an answer beside the fields, and its question into the address."""

    def act(held: Held, request: Request) -> Shown:
        asked = _asked(request)
        if task in ("pair", "replace"):
            asked = resolved(shelf_of(held), asked)
        if asked.which not in ("", "camera", "recorder"):
            raise BadRequest("`which` is camera or recorder")
        answer, live = _answer(held, task, asked), request.get("live") is True
        focus = () if live else ("h-answer", "counter-answer")
        return Shown(parts={"counter-answer": answer}, go=counter.place(task, asked), focus=focus)

    return act


def _next(held: Held, request: Request) -> Shown:
    """Fields empty for the next customer, focus in the first."""
    held.kept["customers"] = held.kept.get("customers", 0) + 1
    return Shown(parts={"f-room": shown(held, "")}, go="/counter", focus=("q-camera",), say="Next customer.")


def _file(held: Held, request: Request) -> Shown:
    """An answer as a page of its own: the bytes of the command line."""
    asked, kind = _asked(request), text_of(request, "file")
    shelf, work = shelf_of(held), held.work
    if kind == "pair":
        found = _told(held, asked)
        return _download(f"{found.stamp.reference}.html", found.file())
    if kind == "set":
        return _download("cameras-on-recorders.html", told_set(work, shelf, asked).file())
    if kind == "table":
        return _download("table.html", tabled(work, shelf, asked).file())
    if kind in ("replace-camera", "replace-recorder"):
        which = kind.removeprefix("replace-")
        return _download(f"{kind}.html", replaced(work, shelf, asked, which).file())
    raise BadRequest("`file` is pair, set, table, replace-camera or replace-recorder")


def _download(name: str, page: str) -> Shown:
    return Shown(file=Download(name, "text/html", page.encode()), say=f"{name} is downloaded.")


def _site(held: Held, request: Request) -> Shown:
    """An answer as a site in the designer's view."""
    asked, shelf = _asked(request), shelf_of(held)
    if text_of(request, "file") == "set":
        name = site_of_set(held.work, shelf, told_set(held.work, shelf, asked))
    else:
        name = site_of_pair(held.work, shelf, _told(held, asked))
    return Shown(go="/site/cameras", focus=("h-site",), say=f"{name} is open.")


def _open(held: Held, request: Request) -> Shown:
    """Part files from elsewhere, laid over the catalogue."""
    bringing.brought(held.work, request.get("files"), replace=held.inside)
    shelf_of(held).over(True)
    return Shown(parts={"f-room": shown(held, "")}, go="/counter", focus=("q-camera",), say="Opened.")


def _back(held: Held, request: Request) -> Shown:
    shelf_of(held).over(False)
    return Shown(parts={"f-room": shown(held, "")}, go="/counter", focus=("q-camera",))


ACTS: dict[str, Act] = {
    "counter-find": _find, "counter-look": _answering("pair"), "counter-list": _answering("list"),
    "counter-table": _answering("table"), "counter-replace": _answering("replace"), "counter-next": _next,
    "counter-file": _file, "counter-site": _site, "counter-open": _open, "counter-back": _back,
}  # fmt: skip
ROOM = Room("counter", "Counter", shown, ACTS)
