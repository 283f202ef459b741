"""One workspace behind one page: requests of the protocol, and fragments of what changed on the page.

A request with `view` gets, besides the reply of the protocol, the fragments whose hash is not the one that the page
has. What only the page needs (`DESK`) is answered here. One request at a time: the caller sees to that.
"""

from __future__ import annotations

import base64
import hashlib
import json
import os
from collections.abc import Callable, Iterator, Mapping
from typing import Any

from coaxwright import pace
from coaxwright.desk import bringing, downloads, example, taking_in
from coaxwright.desk.views import compare, drawing, every_figure, grid, limits, more, notice, start, todo, top
from coaxwright.desk.views.look import FILES, Look, look_of
from coaxwright.errors import Problem, Refusal
from coaxwright.findings import Summary
from coaxwright.reporting.json_report import unread_data
from coaxwright.show.markup import NOTHING, Markup
from coaxwright.show.plain_data import plain
from coaxwright.workspace.acting import Actions
from coaxwright.workspace.project import Workspace
from coaxwright.workspace.protocol import BadRequest, reply, standing, text_of, to_bytes

Answer = dict[str, Any]
NO_COUNTS = Summary()


class GiveWay(pace.TimeLimit):
    """A search for changes never makes anything newer wait: it stops, and is begun again when the page is idle."""

    def __init__(self, session: Session) -> None:
        super().__init__(None)
        self._session = session

    def over(self) -> bool:
        """Whether something newer was asked."""
        self.stopped = self.stopped or self._session.waiting > 1
        return self.stopped


class Session:
    """A page's other half. `waiting` is the number of requests that came and are not answered; the server counts them."""

    def __init__(self, work: Workspace) -> None:
        self.work = work
        self.waiting = 0
        self._found: dict[tuple[str, str], Actions] = {}
        self._found_for = (-1, "")

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
        before = self._counts()
        do = request.get("do")
        own = DESK.get(do) if isinstance(do, str) else None
        answer = self._own(own, request) if own else reply(self.work, request)
        if "view" in request:
            answer |= self._page(request, answer, before)
        return answer

    def _own(self, own: Callable[[Session, Mapping[str, Any]], Any], request: Mapping[str, Any]) -> Answer:
        """What only the page asks, with the standing that every reply has."""
        asker = request.get("id")
        answer: Answer = {"id": asker if isinstance(asker, int | str) else None}
        try:
            answer |= {"ok": True, "result": own(self, request)}
        except ImportError:
            more = Problem("", "this needs more than the single file holds", "use `coaxwright desk` for it")
            answer |= {"ok": False, "problems": [unread_data(more)]}
        except BadRequest as error:
            answer |= {"ok": False, "problems": [unread_data(Problem("", str(error)))]}
        except Refusal as refusal:
            answer |= {"ok": False, "problems": [unread_data(each) for each in refusal.problems]}
        return answer | standing(self.work)

    def _counts(self) -> Summary:
        site = self.work.site if self.work.is_open else None
        return site.report.summary if site is not None and site.report is not None else NO_COUNTS

    # The page.

    def _page(self, request: Mapping[str, Any], answer: Answer, before: Summary) -> Answer:
        look = look_of(request.get("view"))
        fragments = {}
        for name, made in self._fragments(look):
            digest = hashlib.sha256(made.encode()).hexdigest()[:16]
            fragments[name] = {"hash": digest} if look.have.get(name) == digest else {"hash": digest, "html": made}
        told = self._notice(request, answer, before)
        page: Answer = {
            "fragments": fragments,
            "spoken": top.spoken(self.work) if self.work.is_open else "",
            "title": self._title(),
        }
        if told is not None:
            page["notice"] = told
        if self.work.is_open:
            site = self.work.site
            page["place"] = hashlib.sha256(f"{self.work.store.root}\n{site.name}".encode()).hexdigest()[:16]
            if look.text_version != site.version:
                page["text"] = site.text
        return page

    def _title(self) -> str:
        if not self.work.is_open:
            return "Coaxwright desk"
        site = self.work.site
        name = site.report.site if site.report is not None else site.name
        return f"{name}: {top.spoken(self.work)} Coaxwright desk"

    def _fragments(self, look: Look) -> Iterator[tuple[str, Markup]]:
        """Every region of the page; empty where there is nothing to show."""
        work = self.work
        if not work.is_open or look.sheet == FILES:
            yield "start", start.start(work)
            yield from ((name, NOTHING) for name in ("bar", "verdict", "site", "todo", "drawing", "more"))
            return
        yield "start", NOTHING
        yield "bar", top.bar(work) or NOTHING
        yield "verdict", top.judged(work) or NOTHING
        yield "site", grid.site(work, look)
        yield "todo", todo.todo(work, look, self._actions(look)) or NOTHING
        yield "drawing", drawing.drawn(work) or NOTHING
        yield "more", more.more(work) or NOTHING

    def _actions(self, look: Look) -> Actions | None:
        """What can be done about the open finding: looked for when the page asks for it, then kept for this text."""
        site = self.work.site
        if self._found_for != (site.version, site.name):
            self._found_for = (site.version, site.name)
            self._found.clear()
        if look.finding not in self._found and look.changes:
            try:
                with pace.within(GiveWay(self)) as limit:
                    found = self.work.actions(*look.finding)
            except Refusal:
                return None
            if limit.stopped:
                return None
            self._found[look.finding] = found
        return self._found.get(look.finding)

    def _notice(self, request: Mapping[str, Any], answer: Answer, before: Summary) -> str | None:
        """The notice on what was asked; empty takes an old one away, None leaves it."""
        do = request.get("do")
        result: Any = answer.get("result")
        if answer.get("disk") in ("changed", "gone"):
            return notice.disk_changed(self.work.site.unsaved_steps, answer["disk"] == "gone")
        if not answer["ok"]:
            return notice.said("err", "Not done.", " ".join(_told(each) for each in answer["problems"][:4]))
        if do == "disk" and result["disk"] in ("changed", "gone"):
            return notice.disk_changed(self.work.site.unsaved_steps, result["disk"] == "gone")
        if do == "apply":
            return notice.applied(result["title"], before, self._counts())
        if do == "set":
            refused = [(each["path"], each["what"], each["right"]) for each in result["refused"]]
            asked = len(request["cells"])
            return (
                notice.refused(refused, asked - len(refused))
                if refused and asked > 1
                else NOTHING
                if not refused
                else None
            )
        if do == "import":
            return notice.taken_in(result["told"], before, self._counts())
        if do == "theirs":
            return notice.kept(result["left"])
        return _DONE[do](self, request) if do in _DONE else None

    def saved(self, request: Mapping[str, Any]) -> str:
        """What a save wrote."""
        name = request.get("name") or self.work.site.name
        return notice.said("done", "Saved.", f"{name}; comments and layout kept.")


def _told(problem: Mapping[str, Any]) -> str:
    what, right = problem["what"], problem["right"]
    return f"{what[:1].upper()}{what[1:]}{f'; {right}' if right else ''}."


def _nothing(session: Session, request: Mapping[str, Any]) -> str:
    return NOTHING


_DONE: dict[Any, Callable[[Session, Mapping[str, Any]], str]] = {
    "save": Session.saved, "undo": _nothing, "redo": _nothing, "open": _nothing, "begin": _nothing, "bring": _nothing,
    "example": _nothing,
    "text": _nothing, "patch": _nothing, "add": _nothing, "remove": _nothing, "rename": _nothing, "dismiss": _nothing,
}  # fmt: skip


def _look(session: Session, request: Mapping[str, Any]) -> Any:
    """Nothing but the page as it is."""


def _compare(session: Session, request: Mapping[str, Any]) -> Any:
    return {"html": compare.comparison(session.work.compared())}


def _bring(session: Session, request: Mapping[str, Any]) -> Any:
    """Files from elsewhere; the first site among them is opened."""
    sites = bringing.brought(session.work, request.get("files"), replace=request.get("replace") is True)
    if sites and request.get("replace") is not True:
        session.work.open(sites[0])
    return {"sites": sites}


def _folder(session: Session, request: Mapping[str, Any]) -> Any:
    return {"files": bringing.kept(session.work)}


def _import(session: Session, request: Mapping[str, Any]) -> Any:
    if request.get("version") != session.work.site.version:
        raise BadRequest("the site was changed elsewhere meanwhile: choose the file again")
    return {"told": taking_in.taken_in(session.work, text_of(request, "name"), text_of(request, "base64"))}


def _limits(session: Session, request: Mapping[str, Any]) -> Any:
    subject = text_of(request, "subject")
    return {"html": limits.limits(subject, *session.work.limits(subject))}


def _figures(session: Session, request: Mapping[str, Any]) -> Any:
    return {"html": every_figure.every_figure(session.work.explain(text_of(request, "subject")))}


def _trial(session: Session, request: Mapping[str, Any]) -> Any:
    """A trial value in words: what would fail, what would be mended."""
    value = request.get("value")
    if not isinstance(value, int | float) or isinstance(value, bool):
        raise BadRequest("`value` has to be a number")
    found = session.work.trial(text_of(request, "subject"), text_of(request, "path"), float(value))
    changes = found.changes
    told = [*(f"Mends: {each.message}" for each in changes.gone[:3]), *(f"New: {each.message}" for each in changes.new[:3])]
    return {"told": found.told, "says": " ".join(told) or "No finding comes or goes.", "patch": plain(found.patch)}


def _download(session: Session, request: Mapping[str, Any]) -> Any:
    kind = text_of(request, "kind")
    if kind not in downloads.KINDS:
        raise BadRequest(f"`kind` is one of: {', '.join(downloads.KINDS)}")
    made = downloads.KINDS[kind](session.work)
    return {"name": made.name, "type": made.type, "base64": base64.b64encode(made.data).decode()}


def _example(session: Session, request: Mapping[str, Any]) -> Any:
    name = example.copied(session.work.store.root)
    session.work.open(name)
    return {"name": name}


def _begin(session: Session, request: Mapping[str, Any]) -> Any:
    """A new site; with `sample`, beside the invented parts of the example."""
    if request.get("sample") is True:
        example.sample_parts(session.work.store.root)
    made = reply(session.work, {**request, "do": "create"})
    if not made["ok"]:
        raise Refusal([Problem(each["file"], each["what"], each["right"]) for each in made["problems"]])


DESK: dict[str, Callable[[Session, Mapping[str, Any]], Any]] = {
    "look": _look, "dismiss": _look, "compare-page": _compare, "download": _download, "example": _example,
    "begin": _begin, "figures": _figures, "limits-page": _limits, "trial": _trial, "import": _import, "bring": _bring,
    "folder": _folder,
}  # fmt: skip
"""What the page asks besides the protocol."""
