"""The commissioning sheet: what to expect beside an empty box. In files a row for each value, on paper one for each camera."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from coaxwright.handover.expected import UNITS, WORDS, Expected, expected_of
from coaxwright.handover.plan import Plan
from coaxwright.handover.sheets import Head, Sheet, Value
from coaxwright.show.tree import Column, Table

NAME = "Commissioning"
MEASURED, CODE = "measured", "code"
_GROUPS = (
    ("volts-night", "volts at night"), ("power-loop", "power loop, ohm"), ("coax-loop", "coax loop, ohm"), ("loss", "loss, dB"),
)  # fmt: skip
_SECOND = (("density", "detail, px/m"), ("rate", "pictures a second"), ("earth-volts", "screen to case, V AC"))
CAUTION = (
    "Work on supplies is for a competent person under local wiring rules; disconnect the mains first. A tingle or a spark "
    "on a cable from another building: do not plug it in, and call a licensed electrician."
)
_SAYS = (
    "Measure volts at the camera at night load: cover its light sensor until the lamps are on. Loop ohms: far end "
    "joined, both ends unplugged. Write the number, not a tick; an empty box stays an open question.",
    "Outside “from … to”: stop and tell the designer. `coaxwright compare SITE --measured` reads this sheet back as CSV or "
    "workbook, by its code.",
)


def commissioning_sheet(plan: Plan) -> Sheet:
    """A row for each thing that is measured."""
    heads = (
        Head("of"), Head("what"), Head("unit"), Head("expected", "number", 4), Head("from", "number", 4),
        Head("to", "number", 4), Head(MEASURED, "box"), Head("by", "box"), Head("remark"), Head(CODE),
    )  # fmt: skip
    rows = tuple(_row(each) for each in expected_of(plan))
    return Sheet(NAME, heads, rows, _SAYS, cautions=(CAUTION,), sign=("measured by", "meter, its number", "date"))


def _row(each: Expected) -> tuple[Value, ...]:
    remark = "the plan itself fails here: mend it first" if each.fails else ""
    remark = remark or ("" if each.value is not None else "not known beforehand: write it down")
    name = each.subject.partition("/")[2]
    return (name, WORDS[each.measure], each.unit, each.value, each.least, each.most, None, None, remark, each.code)


def paper_tables(plan: Plan) -> list[Table]:
    """The same values as on paper: one row a camera, a group of columns for each thing measured."""
    found = expected_of(plan)
    cameras = [f"cameras/{name}" for name in plan.loaded.site.cameras]
    tables = [_grouped(found, cameras, groups) for groups in (_GROUPS, _SECOND)]
    others = [each for each in found if each.measure in ("supply-volts", "bitrate") or each.subject not in cameras]
    return [*(each for each in tables if each.rows), *([_others(others)] if others else [])]


def _grouped(found: Sequence[Expected], cameras: Sequence[str], groups: Sequence[tuple[str, str]]) -> Table:
    by_code = {each.code: each for each in found}
    used = [(measure, head) for measure, head in groups if any(f"{camera}/{measure}" in by_code for camera in cameras)]
    heads = [Column("camera")]
    for _, head in used:
        heads += [Column("expected", "number", group=head), Column("from … to", "number", group=head),
                  Column("measured", "box", group=head)]  # fmt: skip
    rows = [
        (camera.partition("/")[2], *(cell for measure, _ in used for cell in _cells(by_code.get(f"{camera}/{measure}"))))
        for camera in cameras
        if any(f"{camera}/{measure}" in by_code for measure, _ in used)
    ]
    return Table(heads, rows, fold="scroll")


def _cells(each: Expected | None) -> Iterator[str | None]:
    yield from (("–", "", "") if each is None else (_figure(each, each.value), range_words(each), None))


def _figure(each: Expected, value: float | None) -> str:
    if value is None:
        return "?"
    return f"{value:.{each.decimals}f}" + (" (fails)" if each.fails else "")


def range_words(each: Expected) -> str:
    """`10.8 to 12.9`, `at most 20.4`, `at least 12`, or nothing."""
    low, high = (None if bound is None else f"{bound:.{each.decimals}f}" for bound in (each.least, each.most))
    if low is not None and high is not None:
        return f"{low} to {high}"
    return f"at least {low}" if low is not None else f"at most {high}" if high is not None else ""


def _others(found: Sequence[Expected]) -> Table:
    heads = (
        Column("whole system"), Column("what"), Column("expected", "number"), Column("from … to", "number"),
        Column("measured", "box"),
    )  # fmt: skip
    rows = [
        (each.subject.partition("/")[2], f"{WORDS[each.measure]}, {UNITS[each.measure]}", _figure(each, each.value),
         range_words(each), None)
        for each in found
    ]  # fmt: skip
    return Table(heads, rows, fold="scroll")

