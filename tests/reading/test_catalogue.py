"""Parts by id: short ids, doubles, kits, and reading a shared file once."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from coaxwright.errors import Refusal
from coaxwright.reading.catalogue import Catalogue, build_catalogue, read_part_file
from coaxwright.reading.tables import load_generic_parts


def write(path: Path, text: str) -> tuple[Path, str]:
    path.write_text(text)
    return path, path.name


CABLE = "{kind: cable, source: invented, carries: [coax]}"


def test_generic_parts_by_short_and_full_id() -> None:
    catalogue = Catalogue()
    assert catalogue.parts == dict(load_generic_parts())
    assert catalogue.full_id("balun-passive") == "generic/balun-passive"
    assert catalogue.part("balun-passive") is catalogue.part("generic/balun-passive")
    assert catalogue.maker("balun-passive") == "generic"
    assert catalogue.where("balun-passive") is None
    assert "generic/balun-passive" in catalogue.ids("box")
    assert set(catalogue.ids()) == set(catalogue.parts)


@pytest.mark.parametrize("identifier", ["nothing", "generic/nothing", "other/balun-passive", "", "/"])
def test_no_such_part(identifier: str) -> None:
    with pytest.raises(KeyError):
        Catalogue().part(identifier)
    assert not Catalogue().has(identifier)


def test_an_id_is_looked_up_as_it_is_first(tmp_path: Path) -> None:
    catalogue = build_catalogue([write(tmp_path / "a.yaml", f"parts: {{balun-passive: {CABLE}}}")])
    assert catalogue.kind("balun-passive") == "cable"
    assert catalogue.kind("generic/balun-passive") == "box"


def test_maker_as_stated(tmp_path: Path) -> None:
    text = "parts: {hollin/x: {kind: cable, source: invented, carries: [coax], maker: tarnwell}}"
    assert build_catalogue([write(tmp_path / "a.yaml", text)]).maker("hollin/x") == "tarnwell"


def test_doubles_name_both_files(tmp_path: Path) -> None:
    files = [
        write(tmp_path / "a.yaml", f"parts:\n  hollin/x: {CABLE}\n"),
        write(
            tmp_path / "b.yaml", f"parts:\n  hollin/y: {CABLE}\n  hollin/x: {CABLE}\n  rg59-copper: {CABLE}\n"
        ),
    ]
    with pytest.raises(Refusal) as caught:
        build_catalogue(files)
    assert [str(problem) for problem in caught.value.problems] == [
        "b.yaml:3:3: the part `hollin/x` stands in a.yaml:2 too; keep one of the two, or rename one",
        "b.yaml:4:3: `rg59-copper` is a generic part already; give it another id",
    ]


def test_kits_hold_known_parts(tmp_path: Path) -> None:
    text = f"""\
parts:
  hollin/x: {CABLE}
  hollin/kit: {{kind: kit, source: x, contains: [{{part: hollin/x}}, {{part: hollin/z}}, {{part: qqq}}]}}
"""
    with pytest.raises(Refusal) as caught:
        build_catalogue([write(tmp_path / "a.yaml", text)])
    assert [problem.what for problem in caught.value.problems] == [
        "there is no part `hollin/z`",
        "there is no part `qqq`",
    ]


def test_where_an_entry_stands(tmp_path: Path) -> None:
    catalogue = build_catalogue([write(tmp_path / "a.yaml", f"parts:\n  hollin/x: {CABLE}\n")])
    place = catalogue.where("hollin/x")
    assert place is not None
    assert (place[0], place[1].line, place[1].column) == ("a.yaml", 2, 3)


def test_problems_of_all_files_come_together(tmp_path: Path) -> None:
    files = [
        write(tmp_path / "a.yaml", "parts: {}"),
        write(tmp_path / "b.yaml", "parts: [x"),
        write(
            tmp_path / "c.yaml",
            "parts: {x: {kind: camera, source: s, emits: [{family: tvo, mode: [1x1@1]}]}}",
        ),
    ]
    with pytest.raises(Refusal) as caught:
        build_catalogue([*files, (tmp_path / "d.yaml", "d.yaml")])
    assert [str(problem) for problem in caught.value.problems] == [
        "a.yaml:1:8: `parts` has too few entries; write at least 1",
        "b.yaml:1:8: the list `[` opened on line 1 lacks a `,` or its `]`; write `[a, b]`",
        "c.yaml:1:55: `tvo` is not a choice for `family`; write one of cvbs, ahd, tvi, cvi, sdi",
        "c.yaml:1:67: `1x1@1` is not a video mode;"
        " write columns x lines @ frames a second, as in 2560x1440@25",
        "d.yaml: there is no such file; check the path",
    ]


def test_a_shared_file_is_read_once_and_again_when_it_changes(tmp_path: Path) -> None:
    path, name = write(tmp_path / "a.yaml", f"parts: {{hollin/x: {CABLE}}}")
    first = read_part_file(path, name)
    assert read_part_file(path, name) is first
    path.write_text(f"parts: {{hollin/other: {CABLE}}}")
    os.utime(path, ns=(1, 1))
    assert set(read_part_file(path, name).entries.parts) == {"hollin/other"}
