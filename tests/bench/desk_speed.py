"""From an edit to the verdict on the desk: `python tests/bench/desk_speed.py [CAMERAS ...]`.

For each size: the median of edits of one cable length, each with every fragment of the page made again, and over the
wire to it; beside it the machine's own time for a whole check of the same text, so that figures of two machines can be
compared. Aim: 100 ms at 64 cameras on an idle machine.
"""

from __future__ import annotations

import http.client
import json
import statistics
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

sys.path.append(str(Path(__file__).parent))
from big_sites import write_site

from coaxwright.checking import check
from coaxwright.desk.serving import Desk
from coaxwright.desk.session import Session
from coaxwright.reading.site_reader import load_site_text
from coaxwright.workspace.project import Workspace
from coaxwright.workspace.store import FolderStore

TIMES = 15


def milliseconds(work: Any) -> float:
    """The median of several runs, each with another length of cable."""
    taken = []
    for number in range(TIMES):
        begun = time.perf_counter()
        work(number)
        taken.append((time.perf_counter() - begun) * 1000)
    return statistics.median(taken)


def edit(work: Workspace, number: int, have: dict[str, str]) -> dict[str, Any]:
    """A request as the page sends it when a length is typed."""
    camera = list(work.site.document.value["cameras"])[7]
    cells = [{"path": f"/cameras/{camera}/video/over/0/length", "text": f"{40 + number} m"}]
    view = {"at": "/site/cameras", "have": have}
    return {"id": number, "do": "set", "version": work.site.version, "cells": cells, "view": view}


def measured(cameras: int, folder: Path) -> dict[str, float]:
    """The figures for one size."""
    path = write_site(cameras, folder)
    work = Workspace(FolderStore(folder))
    work.open(path.name)
    session, have = Session(work), {}
    desk = Desk(session)
    desk.start()
    line = http.client.HTTPConnection("127.0.0.1", desk.port)
    headers = {"Content-Type": "application/json", "Authorization": f"Bearer {desk.token}"}

    def taken(answer: dict[str, Any]) -> None:
        assert answer["ok"], answer
        have.update({name: each["hash"] for name, each in answer["fragments"].items()})

    def wire(number: int) -> None:
        line.request("POST", "/ask", json.dumps(edit(work, number + 100, have)), headers)
        taken(json.loads(line.getresponse().read()))

    text = path.read_text(encoding="utf-8")
    try:
        return {
            "whole check": milliseconds(lambda number: check(load_site_text(f"{text}# {number}\n", path.name, folder))),
            "edit to verdict": milliseconds(lambda number: taken(session.answer(edit(work, number, have)))),
            "over the wire": milliseconds(wire),
        }
    finally:
        line.close()
        desk.stop()


def main() -> None:
    """One line a size."""
    for cameras in map(int, sys.argv[1:] or ("16", "64", "256")):
        with tempfile.TemporaryDirectory() as folder:
            told = measured(cameras, Path(folder))
        print(f"{cameras:5} cameras  " + "  ".join(f"{name} {value:.0f} ms" for name, value in told.items()))


if __name__ == "__main__":
    main()
