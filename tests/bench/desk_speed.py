"""From an edit to the verdict on the desk: `python tests/bench/desk_speed.py [CAMERAS ...] [--runtime DIR]`.

For each size: the median of edits of one cable length, each with every fragment of the page made again, and over the
wire to it; beside it the machine's own time for a whole check of the same text, so that figures of two machines can be
compared. With a runtime (docs/desk.md) the same in the single file, in Chromium: its size, from opening to the first
verdict of the example, and an edit there. The first verdict has beside it what the browser took of the processors
(Linux), and how long this Python takes for a million additions, which says how busy the machine is. Aims at 64 cameras
on an idle machine: 100 ms, in WebAssembly 300 ms; 6 s to the first verdict; 14 MB.
"""

from __future__ import annotations

import argparse
import base64
import contextlib
import http.client
import json
import os
import shutil
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


IN_PAGE = """async (body) => {
  const begun = performance.now();
  const answer = JSON.parse(await coaxwrightHost.ask(JSON.stringify(body)));
  return [performance.now() - begun, answer];
}"""


def in_one_file(cameras: int, folder: Path, page: Any) -> dict[str, float]:
    """The same edits in the single file that is open in `page`."""
    path = write_site(cameras, folder)
    files = [{"name": each.relative_to(folder).as_posix(), "base64": base64.b64encode(each.read_bytes()).decode()}
             for each in folder.rglob("*.yaml")]  # fmt: skip
    have: dict[str, str] = {}
    work = Workspace(FolderStore(folder))
    work.open(path.name)

    def ask(body: dict[str, Any]) -> float:
        took, answer = page.evaluate(IN_PAGE, body)
        assert answer["ok"], answer
        have.update({name: each["hash"] for name, each in answer.get("fragments", {}).items()})
        return float(took)

    ask({"do": "bring", "replace": True, "files": files})
    ask({"do": "open", "name": path.name})
    ask({"do": "look", "view": {}})
    text = path.read_text(encoding="utf-8")
    whole = [ask({"do": "text", "text": f"{text}# {number}\n", "version": number}) for number in range(TIMES)]
    taken = [ask({**edit(work, number, have), "version": TIMES + number}) for number in range(TIMES)]
    return {"whole check in WebAssembly": statistics.median(whole), "edit to verdict": statistics.median(taken)}


def reference() -> float:
    """Seconds of a million additions here and now."""
    begun, total = time.perf_counter(), 0
    for number in range(1_000_000):
        total += number
    return time.perf_counter() - begun


def processor_seconds() -> float:
    """What the children of this process, and theirs, took of the processors so far (Linux; elsewhere 0)."""
    taken: dict[int, tuple[int, float]] = {}
    for stat in Path("/proc").glob("[0-9]*/stat"):
        with contextlib.suppress(OSError):
            fields = stat.read_text(encoding="utf-8", errors="replace").rpartition(")")[2].split()
            taken[int(stat.parent.name)] = (int(fields[1]), sum(map(int, fields[11:15])) / os.sysconf("SC_CLK_TCK"))
    ours = {os.getpid()}
    for _ in range(8):
        ours |= {pid for pid, (parent, _) in taken.items() if parent in ours}
    return sum(taken[pid][1] for pid in ours - {os.getpid()} if pid in taken)


def single_file(runtime: Path, sizes: list[int]) -> None:
    """Size, first verdict, edits."""
    from playwright.sync_api import sync_playwright

    from coaxwright.desk.single_file import page as whole_page

    with tempfile.TemporaryDirectory() as name, sync_playwright() as playwright:
        path = Path(name) / "coaxwright.html"
        path.write_text(whole_page(runtime), encoding="utf-8")
        print(f"single file {path.stat().st_size / 2**20:.1f} MB")
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox"])
        page = browser.new_page()
        page.set_default_timeout(180_000)
        begun, before = time.perf_counter(), processor_seconds()
        page.goto(path.as_uri())
        page.locator("[data-do=example]").click()
        page.wait_for_selector("#f-verdict .verdict")
        took, used = time.perf_counter() - begun, processor_seconds() - before
        print(f"opened to the first verdict, a press on the example included: {took:.1f} s, of the processors {used:.1f} s")
        print(f"a million additions here: {reference():.3f} s")
        for cameras in sizes:
            with tempfile.TemporaryDirectory() as folder:
                told(cameras, in_one_file(cameras, Path(folder), page))
        browser.close()


def told(cameras: int, figures: dict[str, float]) -> None:
    """One line."""
    print(f"{cameras:5} cameras  " + "  ".join(f"{name} {value:.0f} ms" for name, value in figures.items()))


def main() -> None:
    """One line a size, natively and where there is a runtime in the single file."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("cameras", nargs="*", type=int, default=[16, 64, 256])
    parser.add_argument("--runtime", type=Path)
    asked = parser.parse_args()
    for cameras in asked.cameras:
        with tempfile.TemporaryDirectory() as folder:
            told(cameras, measured(cameras, Path(folder)))
    if asked.runtime is not None:
        single_file(asked.runtime, asked.cameras)


if __name__ == "__main__":
    main()
