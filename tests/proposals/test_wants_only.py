"""Cameras that are known by their wants alone: read, checked as one open finding each, refused where they make no sense."""

from __future__ import annotations

from pathlib import Path

import pytest

from coaxwright.checking import check, load_site
from coaxwright.cli.main import run
from coaxwright.errors import Refusal

WANTS = """\
site: A shop
retention: 10 days
positions:
  office: {place: {setting: indoor}}
cameras:
  door: {wants: {see: identify, at: 2 m}, distances: {office: 20 m}}
  till: {wants: {}, distances: {office: 9 m}}
"""


@pytest.fixture
def wants(tmp_path: Path) -> Path:
    path = tmp_path / "shop.site.yaml"
    path.write_text(WANTS, encoding="utf-8")
    return path


def test_check_gives_one_open_finding_for_each(wants: Path) -> None:
    found = check(wants).findings
    assert [(each.kind, each.rule, each.subject, each.missing) for each in found] == [
        ("open", "setting/camera-not-chosen", "cameras/door", ("cameras/door/part",)),
        ("open", "setting/camera-not-chosen", "cameras/till", ("cameras/till/part",)),
    ]
    assert [each.span.line for each in found if each.span] == [6, 7]


def test_the_exit_status_is_that_of_open_findings(wants: Path) -> None:
    assert run(["check", str(wants)]) == 0
    assert run(["check", "--strict", str(wants)]) == 3


@pytest.mark.parametrize(
    ("old", "new", "said", "line"),
    [
        ("{office: 20 m}", "{offic: 20 m}", "there is no position `offic`", 6),
        ("at: 2 m", "at: 2", "`2`", 6),
        ("wants: {}", "wants: {nigth: true}", "`nigth` is not a key here", 7),
        ("wants: {},", "wants: {}, video: {into: r/1},", "`part` is missing here", 7),
        ("wants: {},", "", "`part` is missing here", 7),
        ("site: A shop", "site: A shop\ncameras without a part: {a: {wants: {}}}", "is not a key here", 1),
    ],
)
def test_what_makes_no_sense_is_told_at_its_place(wants: Path, old: str, new: str, said: str, line: int) -> None:
    wants.write_text(WANTS.replace(old, new), encoding="utf-8")
    with pytest.raises(Refusal) as refused:
        load_site(wants)
    told = [(each.span.line, each.what) for each in refused.value.problems if each.span]
    assert any(at == line and said in what for at, what in told), told
