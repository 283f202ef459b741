"""One workspace behind one page: requests of the protocol, and fragments of what changed on the page.

A request with `view` gets, besides the reply of the protocol, the fragments whose hash is not the one that the page
has. What only the page asks stands in `acts` and, for each other view, in its `Room`. One request at a time: the caller
sees to that.
"""

from __future__ import annotations

import dataclasses
import hashlib
import json
import os
from collections.abc import Iterator, Mapping
from typing import Any

from coaxwright import pace
from coaxwright.desk.acts import ACTS
from coaxwright.desk.answers import Act, Held, Shown
from coaxwright.desk.ears import Ears, Inside, Patience
from coaxwright.desk.followed import after, notice_of
from coaxwright.desk.rooms import ROOMS, room_of
from coaxwright.desk.views import drawing, grid, more, start, todo, top
from coaxwright.desk.views.look import FILES, Look, look_of
from coaxwright.errors import Problem, Refusal
from coaxwright.findings import Summary
from coaxwright.reporting.json_report import unread_data
from coaxwright.show.markup import NOTHING, Markup, join, tag
from coaxwright.workspace.acting import Actions
from coaxwright.workspace.project import Workspace
from coaxwright.workspace.protocol import CHANGES, BadRequest, reply, standing, to_bytes

Answer = dict[str, Any]
NO_COUNTS = Summary()
STOPPED = "Stopped before all was looked into."
EDITS = CHANGES | {"paste", "import", "supply", "forget-now"}
"""What a tab that is to read leaves alone."""
OF_THE_SITE = ("bar", "foot", "verdict", "site", "todo", "drawing", "more")
DESK: dict[str, Act] = {**ACTS, **{name: act for room in ROOMS for name, act in room.acts.items()}}
"""What the page asks besides the protocol."""


def _only_read(held: Held, request: Mapping[str, Any]) -> Shown:
    raise Refusal([Problem("", "this tab is to read: the site is edited in another one", "press `Edit here instead`")])


class Session:
    """A page's other half."""

    def __init__(self, work: Workspace, *, inside: Inside | None = None) -> None:
        self.work, self.held, self.ears = work, Held(work, inside=inside is not None), inside or Ears()
        self._found: dict[tuple[str, str], Actions] = {}
        self._found_for = (-1, "")
        self._halted = ("", "")

    def now(self, request: bytes) -> bytes:
        """What is answered while something else is being worked on: how far that is, and that it is to stop."""
        try:
            asked = json.loads(request)
        except (ValueError, RecursionError):
            asked = None
        if isinstance(asked, dict) and asked.get("do") == "stop":
            self.ears.stop = True
        return to_bytes({"ok": True, "progress": self.ears.progress})

    def replied(self, request: bytes) -> bytes:
        """The answer to the bytes of a request. Never raises for what a request can hold."""
        try:
            asked = json.loads(request)
        except (ValueError, RecursionError):
            asked = None
        if not isinstance(asked, dict):
            return to_bytes(
                {"id": None, "ok": False, "problems": [unread_data(Problem("", "a request is a JSON object"))]}
            )
        try:
            return to_bytes(self.answer(asked))
        except Exception as error:  # noqa: BLE001 - whatever is left is our fault; the site and its history stay
            return to_bytes(self._confession(error))

    def _confession(self, error: Exception) -> Answer:
        """A fault of the program itself, told in one line; the traceback only for who asks for it."""
        if os.environ.get("COAXWRIGHT_TRACEBACK"):
            import traceback

            traceback.print_exc()
        what = f"a fault in the program itself ({type(error).__name__}: {error}); your changes are kept"
        return {"id": None, "ok": False, "problems": [unread_data(Problem("", what))]} | standing(self.work)

    def answer(self, request: Mapping[str, Any]) -> Answer:
        """The answer to one request, with fragments where it states a view."""
        self.ears.begin()
        gives_way = request.get("soon") is True or request.get("live") is True
        with pace.within(Patience(self.ears, gives_way=gives_way)) as limit, pace.heard_by(self.ears.hear):
            return self._answer(request, limit)

    def _answer(self, request: Mapping[str, Any], limit: pace.TimeLimit) -> Answer:
        before = self._counts()
        do = request.get("do")
        own = DESK.get(do) if isinstance(do, str) else None
        if do in EDITS and look_of(request.get("view")).reading:
            own = _only_read
        answer, shown = self._own(own, request) if own else (reply(self.work, request), Shown())
        if "view" in request:
            shown = shown if own else after(self.held, request, answer)
            answer |= self._page(request, answer, shown, before)
        if limit.stopped and shown.dialog:
            title, html = shown.dialog
            shown = dataclasses.replace(shown, dialog=(title, join([tag("p", STOPPED, class_="say warn"), html])))
        return answer | shown.data()

    def _own(self, own: Act, request: Mapping[str, Any]) -> tuple[Answer, Shown]:
        """What only the page asks, with the standing that every reply has."""
        asker, shown, problems = request.get("id"), Shown(), []
        try:
            shown = own(self.held, request)
        except ImportError:
            problems = [Problem("", "this needs more than the single file holds", "use `coaxwright desk` for it")]
        except BadRequest as error:
            problems = [Problem("", str(error))]
        except Refusal as refusal:
            problems = list(refusal.problems)
        answer: Answer = {"id": asker if isinstance(asker, int | str) else None, "ok": not problems}
        if problems:
            answer["problems"] = [unread_data(each) for each in problems]
        else:
            answer["result"] = shown.result
        return answer | standing(self.work), shown

    def _counts(self) -> Summary:
        site = self.work.site if self.work.is_open else None
        return site.report.summary if site is not None and site.report is not None else NO_COUNTS

    # The page.

    def _page(self, request: Mapping[str, Any], answer: Answer, shown: Shown, before: Summary) -> Answer:
        look = look_of(request.get("view"))
        look = dataclasses.replace(look, at=shown.go) if shown.go else look
        fragments = {}
        for name, made in self._fragments(look, request):
            digest = hashlib.sha256(made.encode()).hexdigest()[:16]
            fragments[name] = {"hash": digest} if look.have.get(name) == digest else {"hash": digest, "html": made}
        told = notice_of(self.held, request, answer, before, self._counts())
        verdict = self.work.is_open and request.get("do") not in ("save", "look")
        page: Answer = {
            "fragments": fragments,
            "spoken": top.spoken(self.work) if verdict else "",
            "title": self._title(look),
        }
        if told is not None:
            page["notice"] = told
        if self.work.is_open:
            site = self.work.site
            page["place"] = hashlib.sha256(f"{self.work.store.root}\n{site.name}".encode()).hexdigest()[:16]
            if look.text_version != site.version:
                page["text"] = site.text
        return page

    def _title(self, look: Look) -> str:
        room = room_of(look.at)
        if room is not None:
            return f"{room[0].word}: Coaxwright desk"
        if not self.work.is_open:
            return "Coaxwright desk"
        site = self.work.site
        name = site.report.site if site.report is not None else site.name
        return f"{name}: {top.spoken(self.work)} Coaxwright desk"

    def _fragments(self, look: Look, request: Mapping[str, Any]) -> Iterator[tuple[str, Markup]]:
        """Every region of the page; empty where there is nothing to show."""
        work, room = self.work, room_of(look.at)
        yield "views", top.views(ROOMS, room[0].name if room else "")
        yield "room", room[0].shown(self.held, room[1]) if room else NOTHING
        if room or not work.is_open or look.sheet == FILES:
            yield "start", NOTHING if room else start.start(work)
            yield from ((name, NOTHING) for name in OF_THE_SITE)
            return
        yield "start", NOTHING
        yield "bar", top.bar(work, look.reading) or NOTHING
        yield "foot", top.foot(work, look.reading) or NOTHING
        yield "verdict", top.judged(work) or NOTHING
        yield "site", grid.site(work, look)
        yield "todo", todo.todo(work, look, self._actions(request, look.finding)) or NOTHING
        yield "drawing", drawing.drawn(work) or NOTHING
        yield "more", more.more(work) or NOTHING

    def _actions(self, request: Mapping[str, Any], finding: tuple[str, str]) -> Actions | str | None:
        """What can be done about the open finding: looked for when the page asks for it, then kept for this text; None
        while it is not known, a word where the search was stopped.
        """
        site = self.work.site
        if self._found_for != (site.version, site.name):
            self._found_for, self._halted = (site.version, site.name), ("", "")
            self._found.clear()
        if request.get("halted") is True:
            self._halted = finding
        elif request.get("again") is True:
            self._halted = ("", "")
        if finding not in self._found and self._halted == finding != ("", ""):
            return STOPPED
        if finding not in self._found and request.get("soon") is True:
            self._look_for(finding)
        return self._found.get(finding)

    def _look_for(self, finding: tuple[str, str]) -> None:
        with pace.within(Patience(self.ears, gives_way=True)) as limit:
            try:
                found = self.work.actions(*finding)
            except Refusal:
                return
        if not limit.stopped:
            self._found[finding] = found
