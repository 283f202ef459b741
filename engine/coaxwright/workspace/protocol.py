"""Talking with a workspace in JSON: one request, one reply, the same bytes in process and over a wire.

A request is an object with `id` (given back), `do` (what is asked), the arguments of that, and for what changes the
site `version`: the version that the asker saw last. Where the site has gone on since, nothing is done and the reply
says `behind`. A reply has `id`, `version`, `ok`, and `result`; or `problems` where the request was refused. Everything
that can be asked: `ASKED`. `docs/desk.md` describes it.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from typing import Any

from coaxwright import __version__
from coaxwright.errors import Problem, Refusal
from coaxwright.fixes.limit_words import limit_words
from coaxwright.fixes.patching import PatchError, difference, pointer
from coaxwright.reporting.json_report import finding_data, fix_data, site_data, unread_data
from coaxwright.show.plain_data import plain
from coaxwright.workspace import adding
from coaxwright.workspace.comparing import Comparison
from coaxwright.workspace.edits import Edit
from coaxwright.workspace.project import Workspace
from coaxwright.workspace.site_text import value_of
from coaxwright.workspace.store import ChangedOnDisk

PROTOCOL = 1
MOST_BYTES = 8 * 1024 * 1024
_MOST_PATHS = 50

Asked = Mapping[str, Any]


class BadRequest(ValueError):
    """A request that is none: what is wrong with it, in words."""


class Behind(Exception):
    """The asker saw an older version of the site than there is."""


def text_of(request: Asked, name: str, default: str | None = None) -> str:
    """An argument that is a text. BadRequest where it is missing or something else."""
    value = request.get(name, default)
    if not isinstance(value, str):
        raise BadRequest(f"`{name}` has to be a text")
    return value


def number_of(request: Asked, name: str, default: int | None = None) -> int:
    """An argument that is a whole number. BadRequest where it is missing or something else."""
    value = request.get(name, default)
    if not isinstance(value, int) or isinstance(value, bool):
        raise BadRequest(f"`{name}` has to be a whole number")
    return value


def _hello(work: Workspace, request: Asked) -> dict[str, Any]:
    if request.get("protocol", PROTOCOL) != PROTOCOL:
        raise BadRequest(f"this speaks protocol {PROTOCOL}")
    return {"protocol": PROTOCOL, "engine": __version__, "rulebook": work.rulebook.digest, "files": work.store.names()}


def _open(work: Workspace, request: Asked) -> None:
    work.open(text_of(request, "name"))


def _create(work: Workspace, request: Asked) -> None:
    rate = number_of(request, "video_rate", 25)
    if rate not in (25, 30):
        raise BadRequest("`video_rate` is 25 or 30")
    parts = any(name.is_file() for name in work.store.root.glob("parts/*.yaml"))
    text = adding.new_site(text_of(request, "site"), rate, text_of(request, "retention", ""), parts)
    work.create(text_of(request, "name"), text)


def _set(work: Workspace, request: Asked) -> dict[str, Any]:
    wanted = request.get("cells")
    if not isinstance(wanted, list) or not all(_is_cell(each) for each in wanted):
        raise BadRequest("`cells` has to be a list of {path, text}")
    refused = work.set_cells([(each["path"], each["text"]) for each in wanted], text_of(request, "name", ""))
    return {"refused": [{"path": path, "what": what, "right": right} for path, what, right in refused]}


def _is_cell(cell: object) -> bool:
    return isinstance(cell, dict) and isinstance(cell.get("path"), str) and isinstance(cell.get("text"), str)


def _text(work: Workspace, request: Asked) -> None:
    work.site.set_text(text_of(request, "text"), joins=request.get("joins") is True)


def _patch(work: Workspace, request: Asked) -> None:
    patch = request.get("patch")
    if not isinstance(patch, list) or not all(isinstance(each, dict) for each in patch):
        raise BadRequest("`patch` has to be an RFC 6902 patch")
    try:
        work.patch(patch, text_of(request, "name", "a change"))
    except (KeyError, TypeError, AttributeError) as error:
        raise BadRequest("`patch` has to be an RFC 6902 patch") from error


def _undo(work: Workspace, request: Asked) -> object:
    return _stepped(work, work.site.undo)


def _redo(work: Workspace, request: Asked) -> object:
    return _stepped(work, work.site.redo)


def _stepped(work: Workspace, step: Callable[[], Edit | None]) -> object:
    """Where the text changed: the line, and pointers of the values, as far as both texts can be read."""
    before = value_of(work.site)
    edit = step()
    if edit is None:
        return {"line": None, "paths": []}
    paths = [pointer(path) for path, _, _ in difference(before, value_of(work.site))]
    return {"line": work.site.text.count("\n", 0, edit.start) + 1, "paths": paths[:_MOST_PATHS]}


def _add(work: Workspace, request: Asked) -> object:
    group = text_of(request, "group")
    if group == "disks":
        work.add_disk(text_of(request, "recorder"))
        return {"name": ""}
    return {"name": work.add(group, text_of(request, "name", ""), text_of(request, "part", ""))}


def _remove(work: Workspace, request: Asked) -> None:
    work.remove(text_of(request, "path"))


def _rename(work: Workspace, request: Asked) -> None:
    work.rename(text_of(request, "group"), text_of(request, "name"), text_of(request, "to"))


def _apply(work: Workspace, request: Asked) -> dict[str, Any]:
    return {"title": work.apply(text_of(request, "rule"), text_of(request, "subject"), number_of(request, "number"))}


def _actions(work: Workspace, request: Asked) -> dict[str, Any]:
    found = work.actions(text_of(request, "rule"), text_of(request, "subject"))
    return {"fixes": [fix_data(fix) for fix in found.fixes], "why": found.why, "supply": list(found.supply)}


def _judge(work: Workspace, request: Asked) -> dict[str, Any]:
    report = work.site.report
    return {
        "old": work.site.old,
        "site": site_data(report, facts=request.get("facts") is True) if report is not None else None,
        "problems": [unread_data(each) for each in work.site.problems],
    }


def _explain(work: Workspace, request: Asked) -> list[Any]:
    return [
        {
            "name": each.name,
            "value": plain(each.value),
            "unit": each.unit,
            "doc": each.doc,
            "working": list(each.working),
        }
        for each in work.explain(text_of(request, "subject"))
    ]


def _limits(work: Workspace, request: Asked) -> dict[str, Any]:
    found, sizes = work.limits(text_of(request, "subject"))
    return {
        "limits": [
            {"name": each.number.name, "path": pointer(each.number.path), "value": each.number.value, "unit": each.number.unit,
             "step": each.number.step, "least": each.number.least, "most": each.number.most, "of_part": each.number.of_part,
             "told": limit_words(each)}
            for each in found
        ],
        "smallest": plain(sizes),
    }  # fmt: skip


def _try(work: Workspace, request: Asked) -> dict[str, Any]:
    value = request.get("value")
    if not isinstance(value, int | float) or isinstance(value, bool):
        raise BadRequest("`value` has to be a number")
    found = work.trial(text_of(request, "subject"), text_of(request, "path"), float(value))
    return {"told": found.told, "patch": plain(found.patch), **_differences(found.changes)}


def _complete(work: Workspace, request: Asked) -> dict[str, Any]:
    found = work.complete(text_of(request, "path"), text_of(request, "text", ""))
    return {"count": found.count, "options": [{"value": each.value, "figures": each.figures} for each in found.shown]}


def _rows(work: Workspace, request: Asked) -> list[Any]:
    return [
        {"subject": row.subject, "name": row.name,
         "cells": [{"column": cell.column.name, "path": "/" + "/".join(map(str, cell.path)), "text": cell.text}
                   for cell in row.cells]}
        for row in work.rows(text_of(request, "sheet"))
    ]  # fmt: skip


def _compare(work: Workspace, request: Asked) -> dict[str, Any]:
    found = work.compared()
    return {"diff": found.diff, **_differences(found)}


def _differences(found: Comparison) -> dict[str, Any]:
    moved = [("worse", found.worse), ("better", found.better)]
    return {
        "new": [finding_data(each) for each in found.new],
        "gone": [finding_data(each) for each in found.gone],
        **{name: [[finding_data(one), finding_data(other)] for one, other in pairs] for name, pairs in moved},
    }


def _save(work: Workspace, request: Asked) -> None:
    if "name" in request:
        work.save_copy(text_of(request, "name"))
    else:
        work.save()


def _disk(work: Workspace, request: Asked) -> dict[str, Any]:
    return {"disk": work.on_disk() if work.is_open else "none"}


def _theirs(work: Workspace, request: Asked) -> dict[str, Any]:
    if request.get("keep_mine") is True:
        left, among = work.put_on_top()
        return {"left": left, "of": among}
    work.take_theirs()
    return {"left": [], "of": 0}


ASKED: dict[str, Callable[[Workspace, Asked], Any]] = {
    "hello": _hello, "open": _open, "create": _create, "disk": _disk, "rows": _rows, "judge": _judge,
    "explain": _explain, "limits": _limits, "try": _try, "complete": _complete, "actions": _actions,
    "compare": _compare, "set": _set, "text": _text, "patch": _patch, "undo": _undo, "redo": _redo, "add": _add,
    "remove": _remove, "rename": _rename, "apply": _apply, "save": _save, "theirs": _theirs,
}  # fmt: skip
CHANGES = frozenset({"set", "text", "patch", "undo", "redo", "add", "remove", "rename", "apply", "save", "theirs"})
"""What needs the version that the asker saw."""


def reply(work: Workspace, request: Asked) -> dict[str, Any]:
    """The reply to one request. Never raises for what a request can hold."""
    answer: dict[str, Any] = {"id": request.get("id") if isinstance(request.get("id"), int | str) else None}
    try:
        result = _answered(work, request)
        answer |= {"ok": True, "result": result}
    except Behind:
        answer |= {"ok": False, "behind": True, "problems": [_problem("the site was changed elsewhere meanwhile")]}
    except ChangedOnDisk:
        answer |= {"ok": False, "disk": work.on_disk(), "problems": [_problem("the file changed on disk")]}
    except (BadRequest, PatchError) as error:
        answer |= {"ok": False, "problems": [_problem(str(error))]}
    except Refusal as refusal:
        answer |= {"ok": False, "problems": [unread_data(each) for each in refusal.problems]}
    return answer | standing(work)


def _answered(work: Workspace, request: Asked) -> object:
    do = request.get("do")
    asked = ASKED.get(do) if isinstance(do, str) else None
    if asked is None:
        raise BadRequest(f"`do` is one of: {', '.join(ASKED)}")
    if do in CHANGES and number_of(request, "version") != work.site.version:
        raise Behind
    return asked(work, request)


def standing(work: Workspace) -> dict[str, Any]:
    """How the open site stands: its version, what can be undone, whether it is saved."""
    if not work.is_open:
        return {"version": 0, "open": None}
    site = work.site
    undo, redo = site.history.done[-1:], site.history.undone[-1:]
    return {
        "version": site.version,
        "open": site.name,
        "unsaved": site.unsaved_steps,
        "undo": undo[0].name if undo else None,
        "redo": redo[0].name if redo else None,
        "readable": not site.problems,
    }


def _problem(what: str) -> dict[str, Any]:
    return unread_data(Problem("", what))


def replied(work: Workspace, request: bytes) -> bytes:
    """The reply to a request as bytes, as bytes: what every host sends on unchanged."""
    try:
        asked = json.loads(request)
    except (ValueError, RecursionError):
        asked = None
    if not isinstance(asked, dict):
        answer: dict[str, Any] = {"id": None, "ok": False, "problems": [_problem("a request is a JSON object")]}
    else:
        answer = reply(work, asked)
    return to_bytes(answer)


def to_bytes(answer: Mapping[str, Any]) -> bytes:
    """A reply as ASCII JSON in one line."""
    return json.dumps(answer, allow_nan=False, separators=(",", ":")).encode() + b"\n"
