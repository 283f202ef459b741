"""The folder of a workspace: what may be named, and that nothing is lost when it is written."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest

from coaxwright.errors import Refusal
from coaxwright.fixes.writing import undo
from coaxwright.workspace.project import Workspace
from coaxwright.workspace.store import ChangedOnDisk, FolderStore

PRESS = "quill-orchard.site.yaml"

OUTSIDE = [
    "../other.site.yaml", "/etc/x.site.yaml", "a/../../x.site.yaml", "a//x.site.yaml", ".x.site.yaml", ".hid/x.site.yaml",
    "x.yaml", "x.site.yaml.exe", ".site.yaml", "", "a\\x.site.yaml", "c:x.site.yaml", "con.site.yaml", "aux/x.site.yaml",
    "x\0.site.yaml", "x\n.site.yaml", "x\u202e.site.yaml", "x*.site.yaml", "y" * 300 + ".site.yaml", "./x.site.yaml",
    "no-such-folder/x.site.yaml", "trail./x.site.yaml", "~/x.site.yaml/../../../y.site.yaml",
]  # fmt: skip


@pytest.mark.parametrize("name", OUTSIDE, ids=repr)
def test_no_name_leads_out_of_the_folder(folder: Path, name: str) -> None:
    store = FolderStore(folder)
    before = sorted(folder.parent.rglob("*"))
    for act in (lambda: store.read(name), lambda: store.create(name, b"site: x\n"), lambda: store.replace(name, b"", "")):
        with pytest.raises(Refusal):
            act()
    assert store.digest(name) == ""
    assert sorted(folder.parent.rglob("*")) == before


@pytest.mark.skipif(not hasattr(os, "symlink"), reason="no links here")
def test_links_that_lead_out_are_refused(folder: Path, tmp_path: Path) -> None:
    outside = tmp_path / "outside"
    outside.mkdir()
    (outside / "secret.site.yaml").write_text("site: Secret\n")
    (folder / "link.site.yaml").symlink_to(outside / "secret.site.yaml")
    (folder / "way").symlink_to(outside)
    store = FolderStore(folder)
    for name in ("link.site.yaml", "way/secret.site.yaml", "way/new.site.yaml"):
        with pytest.raises(Refusal):
            store.read(name)
        with pytest.raises(Refusal):
            store.create(name, b"site: x\n")
    assert (outside / "secret.site.yaml").read_text() == "site: Secret\n"
    assert not (outside / "new.site.yaml").exists()


def test_saving_is_taken_back_by_the_command_line_too(work: Workspace, folder: Path) -> None:
    opened = (folder / PRESS).read_bytes()
    work.set_cells([("/cameras/yard/power/over/0/length", "30 m")])
    work.save()
    assert (folder / PRESS).read_bytes() == opened.replace(b"dc-0.5mm2, length: 70 m", b"dc-0.5mm2, length: 30 m")
    assert (work.site.changed, work.site.unsaved_steps, work.on_disk()) == (False, 0, "same")
    undo(folder / PRESS)
    assert (folder / PRESS).read_bytes() == opened
    assert work.on_disk() == "changed"


def test_a_file_that_changed_meanwhile_is_not_written_over(work: Workspace, folder: Path) -> None:
    work.set_cells([("/cameras/yard/power/over/0/length", "30 m")])
    theirs = (folder / PRESS).read_text().replace("retention: 30 days", "retention: 10 days")
    (folder / PRESS).write_text(theirs)
    with pytest.raises(ChangedOnDisk):
        work.save()
    assert (folder / PRESS).read_text() == theirs
    work.save_copy("quill-orchard.copy.site.yaml")
    assert "length: 30 m, setting: sheltered}]}\n    sound" in (folder / "quill-orchard.copy.site.yaml").read_text()
    with pytest.raises(Refusal):
        work.save_copy("quill-orchard.copy.site.yaml")


def test_a_file_that_changed_with_nothing_to_save_is_not_written_over(work: Workspace, folder: Path) -> None:
    theirs = (folder / PRESS).read_text() + "# one more line\n"
    (folder / PRESS).write_text(theirs)
    with pytest.raises(ChangedOnDisk):
        work.save()
    assert (folder / PRESS).read_text() == theirs


def test_mine_on_top_of_theirs_loses_nothing(work: Workspace, folder: Path) -> None:
    work.set_cells([("/cameras/yard/power/over/0/length", "30 m")])
    work.set_cells([("/cameras/porch/wants/rate", "9 fps")])
    mine = work.site.text
    theirs = (folder / PRESS).read_text().replace("retention: 30 days", "retention: 10 days")
    start, end = theirs.index("  porch:"), theirs.index("  shop:")
    (folder / PRESS).write_text(theirs[:start] + theirs[end:])
    left, among = work.put_on_top()
    assert left == ["/cameras/porch"] or left == ["/cameras/porch/wants"]
    assert among == 2
    assert "retention: 10 days" in work.site.text
    assert "dc-0.5mm2, length: 30 m" in work.site.text
    while work.site.text != mine:
        assert work.site.undo() is not None


def test_a_file_that_is_gone_is_written_anew(work: Workspace, folder: Path) -> None:
    (folder / PRESS).unlink()
    assert work.on_disk() == "gone"
    work.save()
    assert (folder / PRESS).read_text() == work.site.text


def test_line_ends_and_the_byte_order_mark_stay(folder: Path) -> None:
    data = b"\xef\xbb\xbf" + (folder / PRESS).read_bytes().replace(b"\n", b"\r\n")
    (folder / PRESS).write_bytes(data)
    work = Workspace(FolderStore(folder))
    work.open(PRESS)
    work.set_cells([("/cameras/yard/power/over/0/length", "30 m")])
    work.site.set_text(work.site.text.replace("\r\n", "\n").replace("retention: 30 days", "retention: 10 days"))
    work.save()
    wanted = data.replace(b"dc-0.5mm2, length: 70 m", b"dc-0.5mm2, length: 30 m").replace(b"30 days", b"10 days")
    assert (folder / PRESS).read_bytes() == wanted


def test_a_full_disk_leaves_both_file_and_text(work: Workspace, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from coaxwright.fixes import writing

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    work.set_cells([("/cameras/yard/power/over/0/length", "30 m")])
    text, held = work.site.text, (folder / PRESS).read_bytes()
    monkeypatch.setattr(writing, "write_atomically", full)
    with pytest.raises(Refusal, match="No space left"):
        work.save()
    assert (work.site.text, (folder / PRESS).read_bytes()) == (text, held)
    assert work.site.unsaved_steps == 1


def test_a_folder_without_sites_is_empty_and_no_fault(tmp_path: Path) -> None:
    assert FolderStore(tmp_path).names() == []
    shutil.rmtree(tmp_path)
    assert FolderStore(tmp_path).names() == []
