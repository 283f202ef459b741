"""What the page hands out is what the command line writes for the same file; long work can be watched and stopped."""

from __future__ import annotations

import io
import shutil
import time
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from coaxwright import pace
from coaxwright.cli.main import run
from coaxwright.desk.downloads import KINDS
from coaxwright.desk.session import STOPPED, Session
from coaxwright.workspace.project import Workspace
from coaxwright.workspace.store import FolderStore

ROOT = Path(__file__).resolve().parents[2]
NURSERY = ROOT / "examples" / "plant-nursery"
WANTS = ROOT / "tests" / "proposals" / "wants"
SITE = "rowan-bank.site.yaml"

Start = Callable[..., Any]
Open = Callable[..., Any]


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A copy of the example, which is where the commands run."""
    place = tmp_path / "folder"
    shutil.copytree(NURSERY, place)
    monkeypatch.chdir(place)
    return place


def open_site(folder: Path, name: str) -> Workspace:
    work = Workspace(FolderStore(folder))
    work.open(name)
    return work


REPORTS = {"report": ["report", SITE], "customer": ["report", SITE, "--for", "customer"]}


@pytest.mark.parametrize("kind", REPORTS)
def test_a_report_is_the_command_lines(folder: Path, tmp_path: Path, kind: str) -> None:
    written = tmp_path / "by-command.html"
    assert run([*REPORTS[kind], "--output", str(written)]) == 0
    assert KINDS[kind](open_site(folder, SITE)).data == written.read_bytes()


def test_what_changed_is_the_command_lines(folder: Path, tmp_path: Path) -> None:
    """The older file stands in a folder of its own under the same name, as the page compares a file with itself."""
    work = open_site(folder, SITE)
    assert work.set_cells([("/cameras/gate/power/over/0/length", "30")]) == []
    old, new, written = tmp_path / "old", tmp_path / "new", tmp_path / "by-command.html"
    shutil.copytree(folder, old)
    shutil.copytree(folder, new)
    (new / SITE).write_bytes(work.site.data)
    assert run(["compare", str(old / SITE), str(new / SITE), "--format", "html", "--output", str(written)]) == 1
    by_command = written.read_text().replace(f"{old}/", "").replace(f"{new}/", "")
    assert KINDS["compared"](work).data.decode() == by_command


def test_the_pack_is_the_command_lines(folder: Path, tmp_path: Path) -> None:
    run(["pack", SITE, "--output", str(tmp_path / "pack")])
    made = KINDS["pack"](open_site(folder, SITE))
    assert made.name == "rowan-bank-handover.zip"
    archive = zipfile.ZipFile(io.BytesIO(made.data))
    written = {path.relative_to(tmp_path / "pack").as_posix(): path for path in (tmp_path / "pack").rglob("*") if path.is_file()}
    assert set(archive.namelist()) == set(written)
    for name, path in written.items():
        if not name.endswith(".xlsx"):  # a workbook notes when it was made
            assert archive.read(name) == path.read_bytes(), name


def test_without_a_writer_of_workbooks_the_pack_goes_without(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("coaxwright.desk.downloads.find_spec", lambda _: None)
    names = zipfile.ZipFile(io.BytesIO(KINDS["pack"](open_site(folder, SITE)).data)).namelist()
    assert "pack.xlsx" not in names
    assert "csv/bill.csv" in names


def test_a_system_is_proposed_and_written_as_the_command_line_does(tmp_path: Path) -> None:
    place, other = tmp_path / "folder", tmp_path / "other"
    for each in (place, other):
        shutil.copytree(WANTS, each)
        six = (each / "six.site.yaml").read_text()
        (each / "six.site.yaml").write_text(six[: six.index("  door1:")])
    session = Session(open_site(place, "six.site.yaml"))
    assert "Propose a system" in session.answer({"do": "look", "view": {}})["fragments"]["bar"]["html"]
    assert "propose-search" in session.answer({"do": "propose"})["dialog"]["html"]
    found = session.answer({"do": "propose-search", "prefer": "fewest"})
    assert "six.proposed.site.yaml" in found["dialog"]["html"]
    name = "six.site.proposed.site.yaml"
    taken = session.answer({"do": "propose-take", "name": name, "version": 0, "view": {}})
    assert (taken["ok"], taken["open"], taken["close"]) == (True, name, True)
    run(["propose", str(other / "six.site.yaml"), "--prefer", "fewest", "--output", str(other / name)])
    assert (place / name).read_bytes() == (other / name).read_bytes()
    again = session.answer({"do": "propose-take", "name": name, "view": {}})
    assert not again["ok"], "the site that it was for is no longer open"
    outside = session.answer({"do": "propose-take", "name": "../x.site.yaml", "view": {}})
    assert not outside["ok"]


class Slow:
    """Something to look for that never ends by itself."""

    def __init__(self) -> None:
        self.looked = self.asked = 0

    def __call__(self, *_: str) -> Any:
        self.asked += 1
        while not pace.out_of_time():
            self.looked += 1
            pace.step("changes tried", self.looked, 1000)
            time.sleep(0.01)
        return None


def test_long_work_is_watched_stopped_and_gives_way(start: Start, tab: Open, monkeypatch: pytest.MonkeyPatch) -> None:
    running = start()
    slow, actions = Slow(), running.work.actions
    monkeypatch.setattr(running.work, "actions", slow)
    at = tab(running)
    page = at.open()
    page.get_by_role("button", name="gate gets 9.31 V").click()
    page.wait_for_function("() => /[0-9]+ of 1000 changes tried/.test(document.getElementById('looking')?.innerText ?? '')")
    gate = at.cell("/cameras/gate/power/over/0/length")
    gate.focus()
    page.keyboard.type("69")
    page.keyboard.press("Enter")
    page.wait_for_function("() => document.getElementById('c/cameras/gate/power/over/0/length').dataset.text === '69 m'")
    for _ in range(200):  # the edit makes it look anew: what is stopped is that, not the look before it
        if slow.asked > 1:
            break
        page.wait_for_timeout(50)
    page.locator("#looking [data-do=stop]").click()
    page.wait_for_selector(f"text={STOPPED}")
    monkeypatch.setattr(running.work, "actions", actions)
    page.get_by_role("button", name="Look again").click()
    page.wait_for_selector(".change")
    assert at.heard == []


def test_a_page_that_takes_long_can_be_stopped(start: Start, tab: Open, monkeypatch: pytest.MonkeyPatch) -> None:
    running = start()
    slow, limits = Slow(), running.work.limits

    def stopped(subject: str) -> Any:
        slow()
        return limits(subject)

    monkeypatch.setattr(running.work, "limits", stopped)
    at = tab(running)
    page = at.open()
    at.cell("/cameras/gate#").focus()
    page.get_by_role("button", name="How far can it move?").click()
    page.wait_for_function("() => /changes tried/.test(document.getElementById('dialog').innerText)")
    page.locator("#dialog [data-do=stop]").click()
    page.wait_for_selector(f"#dialog >> text={STOPPED}")
    assert at.heard == []
