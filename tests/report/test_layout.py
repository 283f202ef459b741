"""The drawing's layout as pure functions: nothing meets, nothing is lost, nothing too small, always the same."""

from __future__ import annotations

import itertools
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coaxwright.findings import Report
from coaxwright.reporting.page.drawing import lanes as lanes_module
from coaxwright.reporting.page.drawing.from_site import plan_of
from coaxwright.reporting.page.drawing.lanes import SPACE, lanes, spread
from coaxwright.reporting.page.drawing.layout import lay_out
from coaxwright.reporting.page.drawing.lettering import SIZE, fitted, shortened, width
from coaxwright.reporting.page.drawing.pages import ONE_SHEET, pages
from coaxwright.reporting.page.drawing.plan import Device, Line, Plan, part_of
from coaxwright.reporting.page.drawing.shapes import Box, Rectangle, Sheet, Wire, Words
from coaxwright.reporting.page.survey import Survey

ROOT = Path(__file__).resolve().parents[2]
LETTER_AND_A4 = (792.0 - 2 * 22.7, 595.0 - 2 * 22.7)
"""Points inside 8 mm margins: Letter (ANSI Y14.1, 11 in) is the narrower, A4 (ISO 216, 210 mm) the lower."""
EXAMPLES = sorted(path.name.removesuffix(".site.yaml") for path in (ROOT / "examples").rglob("*.site.yaml"))
NAMES = st.text(alphabet="abcdefgh-0123456789", min_size=1, max_size=24)


@st.composite
def plans(draw: st.DrawFn, most: int = 40) -> Plan:
    """Any plan: some recorders, supplies with trunks that branch, cameras on either, findings here and there."""
    count = draw(st.integers(0, most))
    recorders = tuple(Device(f"recorders/r{n}", "recorder", draw(NAMES)) for n in range(draw(st.integers(0, 3))))
    sources = tuple(Device(f"supplies/p{n}", "supply", draw(NAMES), "12 V") for n in range(draw(st.integers(0, 5))))
    rules = st.sampled_from([(), (), ("power/undervoltage",), ("cable/loss-beyond-limit", "cable/joint-count")])
    junctions: list[Device] = []
    power: dict[str, tuple[Line, ...]] = {}
    for n in range(draw(st.integers(0, 8)) if sources else 0):
        above = draw(st.sampled_from([*(each.key for each in sources), *(each.key for each in junctions)]))
        junctions.append(Device(f"junctions/j{n}", "junction", draw(NAMES)))
        power[f"junctions/j{n}"] = (Line("power", f"junctions/j{n}", above, "1", "9 m", (), draw(rules), "error"),)
    ends = [each.key for each in (*sources, *junctions)]
    video: dict[str, tuple[Line, ...]] = {}
    cameras = []
    for n in range(count):
        key = f"cameras/c{n}"
        level = draw(st.sampled_from(["", "", "error", "warning", "note"]))
        cameras.append(Device(key, "camera", draw(NAMES), "5 MP", draw(st.sampled_from(["", "a", "b", "c"])), level))
        if recorders and draw(st.integers(0, 9)):
            end = draw(st.sampled_from([each.key for each in recorders]))
            boxes = tuple(f"x{k}" for k in range(draw(st.integers(0, 4))))
            video[key] = (Line("video", key, end, str(n + 1), "85 m", boxes, draw(rules), "error"),)
        if ends and draw(st.integers(0, 9)):
            power[key] = (Line("power", key, draw(st.sampled_from(ends)), "2", "45 m", (), draw(rules), "warning"),)
    return Plan(tuple(cameras), recorders, sources, tuple(junctions), video, power)


def wired(count: int) -> Plan:
    """A plain site of so many cameras: supplies of 16, every other one with a trunk of 8 junctions."""
    cameras = tuple(Device(f"cameras/c{n}", "camera", f"camera-{n}", "", f"hall-{n * 6 // count}") for n in range(count))
    sources = tuple(Device(f"supplies/p{n}", "supply", f"psu-{n}", "13.2 V") for n in range(-(-count // 16)))
    power: dict[str, tuple[Line, ...]] = {}
    junctions = []
    for n, camera in enumerate(cameras):
        supply = n // 16
        end = f"supplies/p{supply}"
        if supply % 2:
            end, before = f"junctions/j{n // 2}", f"junctions/j{n // 2 - 1}"
            if n % 2 == 0:
                junctions.append(Device(end, "junction", f"tap-{n // 2}"))
                power[end] = (Line("power", end, before if n % 16 else f"supplies/p{supply}", "1", "20 m"),)
        power[camera.key] = (Line("power", camera.key, end, "1", "12 m", (), ("power/undervoltage",) if n % 5 == 0 else ()),)
    video = {
        camera.key: (Line("video", camera.key, f"recorders/r{n // 32}", str(n % 32 + 1), "85 m"),)
        for n, camera in enumerate(cameras)
    }
    recorders = tuple(Device(f"recorders/r{n}", "recorder", f"rec-{n}") for n in range(-(-count // 32)))
    return Plan(cameras, recorders, sources, tuple(junctions), video, power)


def overlaps(sheet: Sheet) -> list[str]:
    """Everything that meets what it should not: boxes, lettering on other lettering, lettering on others' boxes."""
    boxes = [(box.device.key, box.area) for box in sheet.boxes]
    found = [f"{a[0]} meets {b[0]}" for a, b in itertools.combinations(boxes, 2) if a[1].meets(b[1])]
    words = [(each.text, each.area()) for each in sheet.lettering()]
    found += [f"`{a[0]}` meets `{b[0]}`" for a, b in itertools.combinations(words, 2) if a[1].meets(b[1])]
    own = {id(each): box.device.key for box in sheet.boxes for each in box.words}
    for each in sheet.lettering():
        for box in sheet.boxes:
            mine = own.get(id(each)) == box.device.key or (each.role in ("port", "detail") and box.device.kind == "recorder")
            if not mine and each.area().meets(box.area):
                found.append(f"`{each.text}` meets box {box.device.key}")
    return found


def outside(sheet: Sheet) -> list[str]:
    """What leaves the sheet."""
    inside = Rectangle(-0.1, -0.1, sheet.wide + 0.2, sheet.high + 0.2)
    areas = [(each.text, each.area()) for each in sheet.lettering()] + [(box.device.key, box.area) for box in sheet.boxes]
    return [
        name for name, area in areas
        if area.x < inside.x or area.y < inside.y
        or area.x + area.wide > inside.x + inside.wide or area.y + area.high > inside.y + inside.high
    ]  # fmt: skip


def ends_meet(sheet: Sheet, plan: Plan) -> list[str]:
    """Every line begins and ends on the edges of the boxes that it joins."""
    boxes: dict[str, list[Rectangle]] = {}
    for box in sheet.boxes:
        boxes.setdefault(box.device.key, []).append(box.area)
    wrong = []
    for wire in sheet.wires:
        first, last = wire.pieces[0][0], wire.pieces[-1][-1]
        near, far = (wire.line.end, wire.line.start) if wire.line.use == "power" else (wire.line.start, wire.line.end)
        for key, point in ((near, first), (far, last)):
            if not any(_on_edge(area, point) for area in boxes.get(key, [])):
                wrong.append(f"{wire.line.use} line of {wire.line.start} misses {key}")
    return wrong


def _stretches(sheet: Sheet) -> list[tuple[Line, Rectangle]]:
    """Every straight stretch of every line, as a rectangle without thickness."""
    found = []
    for wire in sheet.wires:
        for piece in wire.pieces:
            for (x, y), (to_x, to_y) in itertools.pairwise(piece):
                assert x == to_x or y == to_y, "only upright and level lines"
                found.append((wire.line, Rectangle(min(x, to_x), min(y, to_y), abs(to_x - x), abs(to_y - y))))
    return found


def _crosses(stretch: Rectangle, area: Rectangle) -> bool:
    """Whether a line runs through the inside of an area."""
    slack = 0.05
    across = stretch.x < area.x + area.wide - slack and stretch.x + stretch.wide > area.x + slack
    return across and stretch.y < area.y + area.high - slack and stretch.y + stretch.high > area.y + slack


def hidden(sheet: Sheet) -> list[str]:
    """Lines that run behind a box, and lettering that stands on a line of another device."""
    stretches = _stretches(sheet)
    found = [
        f"{line.use} of {line.start} runs behind {box.device.key}"
        for line, stretch in stretches for box in sheet.boxes if _crosses(stretch, box.area)
    ]  # fmt: skip
    found += [
        f"`{words.text}` covers {line.use} of {line.start}"
        for wire in sheet.wires for words in wire.words for line, stretch in stretches
        if (line.use, line.start) != (wire.line.use, wire.line.start) and _crosses(stretch, words.area())
    ]  # fmt: skip
    return found


def _on_edge(area: Rectangle, point: tuple[float, float]) -> bool:
    x, y = point
    return (abs(x - area.x) < 0.01 or abs(x - area.x - area.wide) < 0.01) and area.y <= y <= area.y + area.high


def test_the_measures_measure() -> None:
    """What the tests below look for is found where it is: else they could not fail."""
    a, b = Device("cameras/a", "camera", "a"), Device("recorders/b", "recorder", "b")
    line = Line("video", a.key, b.key)
    near, far = Rectangle(0, 0, 30, 10), Rectangle(100, 0, 30, 40)
    words = Words("name", 2, 7)
    fine = Sheet(130, 40, (), (Box(a, near, (words,)), Box(b, far, ())), (Wire(line, (((30, 5), (100, 5)),)),), (), ())
    assert not overlaps(fine) + outside(fine) + hidden(fine) + ends_meet(fine, Plan())
    over = Box(Device("x", "camera", "x"), Rectangle(25, 2, 30, 10), ())
    assert overlaps(replace(fine, boxes=(*fine.boxes, over))) == ["cameras/a meets x"]
    assert hidden(replace(fine, boxes=(*fine.boxes, over))) == ["video of cameras/a runs behind x"]
    assert overlaps(replace(fine, words=(Words("more", 4, 8),))) == ["`more` meets `name`", "`more` meets box cameras/a"]
    assert outside(replace(fine, words=(Words("far away", 120, 8),))) == ["far away"]
    assert ends_meet(replace(fine, wires=(Wire(line, (((31, 5), (100, 5)),)),)), Plan())
    other = Wire(Line("video", "cameras/c", b.key), (((60, 0), (60, 40)),))
    label = replace(fine.wires[0], words=(Words("label", 60, 8, "middle"),))
    assert hidden(replace(fine, wires=(label, other))) == ["`label` covers video of cameras/c"]


@given(plans())
@settings(max_examples=100, deadline=None)
def test_any_plan(plan: Plan) -> None:
    sheet = lay_out(plan)
    if sheet is None:
        assert len(plan.cameras) + len(plan.junctions) > 30
        return
    assert not overlaps(sheet)
    assert not outside(sheet)
    assert not hidden(sheet)
    assert not ends_meet(sheet, plan)
    assert {each.key for each in plan.cameras} <= {box.device.key for box in sheet.boxes}
    assert {each.key for each in plan.sources} <= {box.device.key for box in sheet.boxes}
    assert {each.key for each in plan.junctions} <= {box.device.key for box in sheet.boxes}
    drawn = [(wire.line.use, wire.line.start, wire.line.end) for wire in sheet.wires]
    wanted = {(line.use, line.start, line.end) for line in plan.lines()}
    assert set(drawn) == wanted


@pytest.mark.parametrize("count", [1, 4, 16, 64])
def test_one_sheet_up_to_64(count: int) -> None:
    plan = wired(count)
    made = pages(plan, "b")
    assert len(made) == 1
    sheet = made[0].sheet
    assert not overlaps(sheet)
    assert not outside(sheet)
    assert not hidden(sheet)
    assert not ends_meet(sheet, plan)
    assert sheet.wide <= LETTER_AND_A4[0]
    assert sheet.high <= LETTER_AND_A4[1] - 80.0, "80 pt are for heading and key"


def test_lettering_is_at_least_seven_points() -> None:
    """Experience with printed drawings: below 7 pt labels are not read without effort (common practice)."""
    assert SIZE >= 7.0


def test_beyond_64_an_overview_and_a_sheet_for_each_block() -> None:
    plan = wired(128)
    made = pages(plan, "b")
    assert made[0].title == "Overview"
    blocks = made[1:]
    shown = [camera.key for page in blocks for camera in page.part.cameras]
    assert sorted(shown) == sorted(camera.key for camera in plan.cameras), "each camera on exactly one block's sheet"
    assert {device.link for device in made[0].part.cameras} == {page.name for page in blocks}
    assert all(wire.words for wire in made[0].sheet.wires if wire.line.rules), "lines with findings carry their rules"
    for page in made:
        assert len(page.part.cameras) <= ONE_SHEET
        assert not overlaps(page.sheet)
        assert not outside(page.sheet)
        assert not hidden(page.sheet)
        assert not ends_meet(page.sheet, page.part)


def test_a_very_large_building_is_divided() -> None:
    plan = wired(300)
    one = tuple(Device(each.key, each.kind, each.name, "", "barn") for each in plan.cameras)
    made = pages(Plan(one, plan.recorders, plan.sources, plan.junctions, plan.video, plan.power), "b")
    blocks = [page for page in made if page.name]
    assert len(blocks) >= 5
    assert sum(len(page.part.cameras) for page in blocks) == 300
    assert all("barn, part" in page.title for page in blocks)


def test_an_overview_that_does_not_fit_is_divided() -> None:
    plan = wired(64 * 32)
    spread_out = tuple(Device(each.key, each.kind, each.name, "", f"hut-{n // 32}") for n, each in enumerate(plan.cameras))
    made = pages(Plan(spread_out, plan.recorders, plan.sources, plan.junctions, plan.video, plan.power), "b")
    overviews = [page for page in made if page.title.startswith("Overview")]
    blocks = [page for page in made if page.name]
    assert len(overviews) > 1
    assert len(blocks) == 64
    assert sorted(device.link for page in overviews for device in page.part.cameras) == sorted(page.name for page in blocks)
    assert {box.device.key for page in overviews for box in page.sheet.boxes} >= {each.key for each in plan.recorders}
    for page in overviews:
        assert not overlaps(page.sheet) + outside(page.sheet) + hidden(page.sheet) + ends_meet(page.sheet, page.part)


def test_the_same_plan_gives_the_same_sheet() -> None:
    assert lay_out(wired(64)) == lay_out(wired(64))


def test_it_does_not_run_away(guarded: Callable[[float], Any]) -> None:
    """Well below what a person notices; it takes 4 ms."""
    plan = wired(64)
    with guarded(100):
        lay_out(plan)


def test_a_part_keeps_what_its_cameras_hang_on() -> None:
    plan = wired(64)
    camera = plan.cameras[25].key
    part = part_of(plan, frozenset([camera]))
    assert [each.key for each in part.cameras] == [camera]
    assert set(plan.above(camera)) == {each.key for each in (*part.sources, *part.junctions)}
    assert lay_out(part) is not None


@pytest.mark.parametrize("which", [*EXAMPLES, 1, 4, 16, 64, 128])
def test_real_sites(which: str | int, reports: Callable[[str | int], Report]) -> None:
    report = reports(which)
    survey = Survey(report.sites[0], report.rules)
    plan = plan_of(survey)
    assert plan.cameras
    for page in pages(plan, "b"):
        assert not overlaps(page.sheet)
        assert not outside(page.sheet)
        assert not hidden(page.sheet)
    told = {line.start for line in plan.lines() if "undervoltage" in str(line.rules)}
    found = {each.subject for each in report.sites[0].findings if "undervoltage" in each.rule and each.kind == "fail"}
    assert told == {subject for subject in found if subject.startswith(("cameras/", "junctions/"))}


def _brute_force(stretches: list[tuple[float, float]]) -> int:
    """Fewest lanes: the most stretches (with their space) that share a height. Interval graphs are perfect (Golumbic,
    Algorithmic Graph Theory and Perfect Graphs, ch. 8; from memory)."""
    starts = [top for top, _ in stretches]
    return max(sum(top <= at < bottom + SPACE for top, bottom in stretches) for at in starts)


@given(st.lists(st.tuples(st.integers(0, 60), st.integers(1, 30)), min_size=1, max_size=12))
def test_lanes_are_as_few_as_can_be(drawn: list[tuple[int, int]]) -> None:
    stretches = {f"n{place}": (float(top), float(top + long)) for place, (top, long) in enumerate(drawn)}
    found, count = lanes(stretches)
    assert count == _brute_force(list(stretches.values()))
    for a, b in itertools.combinations(stretches, 2):
        if found[a] == found[b]:
            (first, second) = sorted((stretches[a], stretches[b]))
            assert first[1] + lanes_module.SPACE <= second[0]


@given(st.lists(st.floats(0, 400), max_size=15))
def test_spread_boxes_do_not_meet(wanted: list[float]) -> None:
    found = spread({f"b{place}": each for place, each in enumerate(wanted)}, 22.0, 2.0, 0.0, 420.0)
    middles = sorted(found.values())
    assert all(later - earlier >= 24.0 - 1e-9 for earlier, later in itertools.pairwise(middles))
    assert all(11.0 - 1e-9 <= each <= 409.0 + 1e-9 for each in middles)


@given(st.text(alphabet=st.characters(codec="utf-8"), max_size=50), st.floats(5, 200))
def test_cut_words_fit(text: str, room: float) -> None:
    for cut in (fitted(text, room), shortened(text, room)):
        assert width(cut) <= room + 1e-6 or cut == ""


def test_names_that_differ_at_their_ends_stay_apart() -> None:
    names = [f"loading-dock-camera-{number}" for number in range(1, 20)]
    assert len({shortened(name, 60.0) for name in names}) == len(names)
