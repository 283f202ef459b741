"""Workings of pictures, records and disks: every sum in them computes again from its own line, by arithmetic alone."""

from __future__ import annotations

import ast
import dataclasses
import operator
import re
from pathlib import Path
from typing import Any

import pytest

from coaxwright.facts.binding import Facts
from coaxwright.facts.declared.book import book_of
from coaxwright.facts.picture.picture_working import PICTURE_WORKINGS
from coaxwright.facts.record.record_working import RECORD_WORKINGS
from coaxwright.facts.sheets import SHEETS
from coaxwright.facts.sheets.declared import STEPS
from coaxwright.facts.workings import working

from .sites_for_pictures import cam, facts, rec

UNITS = re.compile(r"dB/100 m|bit/px|bit/s|bit/B|s/d|1/s|Mpx/s|Mb/s|\b(?:columns|lines|fps|px|MHz|dB|TB|B|m|d|s)\b")
OPERATORS: dict[type[ast.operator], Any] = {
    ast.Add: operator.add, ast.Sub: operator.sub, ast.Mult: operator.mul, ast.Div: operator.truediv,
}  # fmt: skip
RESULT = re.compile(r"-?[0-9.]+(?: x 10+)?")
COMMENT = re.compile(r"\(((?![^()]* [x/+-] )[^()]*)\)")


def compute(text: str) -> float:
    """The value of a sum written in trade form: comments and units go, `x` is times."""
    bare = COMMENT.sub("", text)
    bare = UNITS.sub("", bare).replace(" x ", " * ")
    assert re.fullmatch(r"[0-9.()*/+\- ]+", bare), f"not arithmetic: {text!r} -> {bare!r}"
    return _value(ast.parse(bare.strip(), mode="eval").body)


def _value(node: ast.expr) -> float:
    if isinstance(node, ast.BinOp):
        return float(OPERATORS[type(node.op)](_value(node.left), _value(node.right)))
    if isinstance(node, ast.UnaryOp):
        return -_value(node.operand)
    assert isinstance(node, ast.Constant)
    return float(node.value)


def sums(lines: tuple[str, ...]) -> list[tuple[str, float, float]]:
    """Every line that equates a sum with a number: the line, its sum computed, its result; what is only read is left out."""
    found = []
    for line in lines:
        steps = re.sub(r"(?<= x 1)0\^([0-9]+)", lambda power: "0" * int(power[1]), line).split(" = ")
        if len(steps) > 1 and re.search("[0-9]", steps[-2]):
            found.append((line, compute(steps[-2]), compute(RESULT.match(steps[-1])[0])))  # type: ignore[index]
    return found


def test_the_arithmetic_of_this_test() -> None:
    assert compute("45 m x (17.2 dB - 0.2 dB) / 3.4 dB") == pytest.approx(225.0)
    assert compute("6.863 dB/100 m (rg59-copper) x 1.0392 (40 degC) x 45 m / 100") == pytest.approx(3.2094, rel=1e-4)
    with pytest.raises(AssertionError):
        compute("6 apples x 2")


def site() -> dict[str, Any]:
    over = [
        {"cable": "hollin/coax", "length": "60 m", "joints": 2, "temperature": "30 °C"},
        {"box": "iso1"},
        {"cable": "hollin/coax", "length": "45.5 m"},
        {"cable": "hollin/coax", "length": "10 m"},
    ]
    cameras = {
        "own": cam("tarnwell/c5", "rec1/1", sound={"by": "coax"}, control={"by": "coax"}),
        "wide": cam("fennick/c2", "rec1/2", set={"family": "tvi", "mode": "2560x1440@25"}),
        "dark": cam("fennick/c2", "rec1/3", set={"family": "cvi", "mode": "1920x1080@25"}),
        "slow": cam("fennick/c2", "rec1/4", record={"rate": "8 fps", "second_stream": "512 kb/s"}),
        "shed": cam("fennick/c2", "rec1/8", record={"bitrate": "2 Mb/s", "schedule": "motion"}),
    }
    cameras["own"]["video"]["over"] = over
    record = {"codec": "h264", "bitrate": None, "schedule": "continuous"}
    record = {key: value for key, value in record.items() if value is not None}
    recorders = {"rec1": rec(record=record, redundancy="raid1", spare_disks=0)}
    return {
        "retention": "20 days",
        "recorders": recorders,
        "cameras": cameras,
        "boxes": {"iso1": {"part": "hollin/iso"}},
    }


@pytest.fixture(params=["400 Mpx/s", "90 Mpx/s"])
def found(request: pytest.FixtureRequest, tmp_path: Path) -> Facts:
    return facts(tmp_path, site(), {"tarnwell/r8": {"encodes_total": request.param}})


def test_every_sum_computes_again_to_its_fact(found: Facts) -> None:
    checked = 0
    for kind, field in {**PICTURE_WORKINGS, **RECORD_WORKINGS}:
        for sheet in found.by_kind(kind):
            if sheet.known(field) is None:
                continue
            lines = working(found.context, sheet, field)
            assert lines, f"{sheet.subject} {field}"
            for line, left, right in sums(lines):
                assert left == pytest.approx(right, rel=2e-4, abs=1e-9), line
                checked += 1
    assert checked > 60


@pytest.mark.parametrize(
    ("kind", "subject", "field", "scale"),
    [
        ("link", "cameras/own", "loss", 1), ("link", "cameras/own", "reach", 1), ("link", "cameras/own", "metres", 1),
        ("link", "cameras/own", "joints", 1), ("link", "cameras/own", "loss_limit", 1),
        ("link", "cameras/wide", "width", 1), ("link", "cameras/wide", "pixels", 1),
        ("link", "cameras/own", "level_rate", 1), ("link", "cameras/own", "top_frequency", 1),
        ("camera", "cameras/own", "bitrate", 1), ("recorder", "recorders/rec1", "encode_demand", 1e6),
        ("recorder", "recorders/rec1", "encode_used", 1e6), ("recorder", "recorders/rec1", "bitrate", 1e6),
        ("recorder", "recorders/rec1", "bitrate_mean", 1e6), ("recorder", "recorders/rec1", "level_rate", 1),
        ("recorder", "recorders/rec1", "channels_spare", 1),
        ("disk_group", "recorders/rec1/disks", "days", 1), ("disk_group", "recorders/rec1/disks", "usable", 1),
        ("disk_group", "recorders/rec1/disks", "needed", 1), ("disk_group", "recorders/rec1/disks", "raw", 1e12),
        ("disk_group", "recorders/rec1/disks", "written_per_year", 1),
        ("disk_group", "recorders/rec1/disks", "bays_free", 1),
    ],
)  # fmt: skip
def test_a_sum_ends_in_the_fact_itself(found: Facts, kind: str, subject: str, field: str, scale: float) -> None:
    sheet = found.sheet(subject, kind)
    assert sheet is not None
    first = next(iter(sums(working(found.context, sheet, field))))
    assert first[1] * scale == pytest.approx(sheet.known(field), rel=2e-4)


def test_the_shared_rate_computes_again(tmp_path: Path) -> None:
    found = facts(tmp_path, site(), {"tarnwell/r8": {"encodes_total": "90 Mpx/s"}})
    link = found.sheet("cameras/own", "link")
    assert link is not None
    assert link.known("limited_by") == "shared-budget"
    lines = working(found.context, link, "recorded_fps")
    assert sums(lines)[0][1] == pytest.approx(link.known("recorded_fps"), rel=2e-4)


@pytest.mark.parametrize("redundancy", ["none", "raid0", "raid1"])
def test_disks_share_the_writing(tmp_path: Path, redundancy: str) -> None:
    plan = site()
    plan["recorders"]["rec1"]["redundancy"] = redundancy
    found = facts(tmp_path, plan)
    group = found.sheet("recorders/rec1/disks", "disk_group")
    assert group is not None
    for field in ("written_per_year", "usable"):
        line = sums(working(found.context, group, field))[0]
        assert line[1] == pytest.approx(group.known(field), rel=2e-4), line[0]


def test_computed_fields_all_have_a_working() -> None:
    """Fields that follow from others; the rest is read from the site or a part, or is another sheet."""
    read = {
        "camera", "recorder", "input", "site", "hops", "links", "disks", "same_maker", "family_taken", "emits_set_mode",
        "because", "other_building", "other_earth",
    }  # fmt: skip
    fields = {each.name for each in dataclasses.fields(SHEETS["link"])}  # type: ignore[arg-type]
    book = book_of("link")
    assert book is not None
    explained = {field for kind, field in PICTURE_WORKINGS if kind == "link"} | {fact.name for fact in book.facts}
    assert fields - read == explained - set(STEPS["link"])


def test_sources_stand_below_the_sums(found: Facts) -> None:
    link = found.sheet("cameras/own", "link")
    assert link is not None
    lines = working(found.context, link, "loss")
    assert any("degC assumed" in line for line in lines)
    assert any(line.startswith("hollin/coax: ") for line in lines)
    camera = found.sheet("cameras/own", "camera")
    assert camera is not None
    assert any("Amerasinghe" in line for line in working(found.context, camera, "bitrate"))


def test_level_in_the_codec_recorded(tmp_path: Path) -> None:
    """1080p25: H.264 level 4 (Table A-1), H.265 level 4 (Annex A); 5 MP 12.5: 5 and 5. Two encoders agree."""
    plan = site()
    plan["recorders"]["rec1"]["record"]["codec"] = "h265"
    found = facts(tmp_path, plan)
    for name, level in (("own", "5"), ("slow", "4")):
        link = found.sheet(f"cameras/{name}", "link")
        assert link is not None
        lines = working(found.context, link, "level")
        assert link.known("level") == level
        assert f"recorded in H.265: level {level} by its own table" in lines


def test_what_is_missing_is_said(tmp_path: Path) -> None:
    plan = site()
    plan["cameras"]["own"]["video"]["over"][0].pop("length")
    found = facts(tmp_path, plan)
    link = found.sheet("cameras/own", "link")
    assert link is not None
    assert working(found.context, link, "loss") == ("not known; supply cameras/own/video/over/0/length",)
