"""What follows a request of the protocol on the page: the notice of it, where focus goes, what is said."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from coaxwright.desk.answers import Held, Request, Shown
from coaxwright.desk.downloads import KINDS
from coaxwright.desk.views import notice
from coaxwright.desk.views.look import FIRST
from coaxwright.findings import Summary
from coaxwright.fixes.patching import pointer
from coaxwright.show.markup import NOTHING, Markup

Answer = Mapping[str, Any]


def after(held: Held, request: Request, answer: Answer) -> Shown:
    """What the page does once the protocol has answered, besides showing the site as it is."""
    do = request.get("do")
    if not answer["ok"]:
        return Shown(say=f"Not saved. {_told(answer['problems'][0])}") if do == "save" else Shown()
    made = _AFTER.get(do) if isinstance(do, str) else None
    return made(held, request, answer["result"]) if made else Shown()


def _undone(held: Held, request: Request, result: dict[str, Any]) -> Shown:
    """To the first cell that changed."""
    ids = tuple(f"c{path}" for path in result["paths"])
    return Shown(say="Undone." if request["do"] == "undo" else "Done again.", focus=ids)


def _added(held: Held, request: Request, result: Mapping[str, str]) -> Shown:
    name = result["name"]
    return Shown(say=f"{name or 'A disk'} added.", focus=(f"c{pointer((request['group'], name))}#",) if name else ())


def _renamed(held: Held, request: Request, result: object) -> Shown:
    return Shown(say="Renamed.", focus=(f"c{pointer((request['group'], request['to']))}#",))


def _applied(held: Held, request: Request, result: object) -> Shown:
    return Shown(say="Applied.", focus=("undo-this",))


def _saved(held: Held, request: Request, result: object) -> Shown:
    """Where the engine runs in the page, the file goes to the browser."""
    copy = "name" in request
    file = KINDS["file"](held.work) if held.inside else None
    if file is not None and copy:
        file = file._replace(name=str(request["name"]).rpartition("/")[2])
    return Shown(say="Copy saved." if copy else "Saved.", file=file, close=copy)


_AFTER: dict[str, Callable[[Held, Request, Any], Shown]] = {
    "undo": _undone, "redo": _undone, "add": _added, "rename": _renamed, "apply": _applied, "save": _saved,
    "remove": lambda *_: Shown(say="Removed."),
    "patch": lambda *_: Shown(say="Used.", close=True),
    "open": lambda *_: Shown(go=FIRST, focus=("h1",)),
}  # fmt: skip


def notice_of(held: Held, request: Request, answer: Answer, before: Summary, now: Summary) -> Markup | None:
    """The notice on what was asked; empty takes an old one away, None leaves it."""
    do = request.get("do")
    result: Any = answer.get("result")
    on_disk = answer.get("disk") or (result["disk"] if answer["ok"] and do == "disk" else "")
    if on_disk in ("changed", "gone"):
        return notice.disk_changed(held.work.site.unsaved_steps, on_disk == "gone")
    if not answer["ok"]:
        return notice.said("err", "Not done.", " ".join(_told(each) for each in answer["problems"][:4]))
    if do == "apply":
        return notice.applied(result["title"], before, now)
    if do == "import":
        return notice.taken_in(result["told"], before, now)
    if do == "theirs":
        return notice.kept(result["left"], result["of"]) if request.get("keep_mine") is True else NOTHING
    if do == "save":
        return notice.said("done", "Saved.", f"{request.get('name') or held.work.site.name}; comments and layout kept.")
    if do in ("set", "paste", "supply"):
        return _refused(request, result)
    return NOTHING if do in _CLEARS else None


def _refused(request: Request, result: dict[str, Any]) -> Markup | None:
    """Cells that were refused; the page itself shows the refusal of one cell where it is edited."""
    if not result["refused"]:
        return NOTHING
    if request.get("in_place") is True:
        return None
    refused = [(each["path"], each["what"], each["right"]) for each in result["refused"]]
    return notice.refused(refused, result["taken"] if "taken" in result else len(request["cells"]) - len(refused))


_CLEARS = frozenset({
    "undo", "redo", "open", "begin", "bring", "example", "text", "patch", "add", "remove", "rename", "dismiss",
})  # fmt: skip


def _told(problem: Mapping[str, Any]) -> str:
    what, right = problem["what"], problem["right"]
    return f"{what[:1].upper()}{what[1:]}{f'; {right}' if right else ''}."
