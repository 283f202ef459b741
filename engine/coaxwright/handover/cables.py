"""Sheets of cables: schedule, pull list by drum, labels."""

from __future__ import annotations

from collections.abc import Iterator

from coaxwright.handover.drums import on_drums
from coaxwright.handover.numbering import Cable
from coaxwright.handover.plan import Plan
from coaxwright.handover.sheets import Head, Sheet, Value
from coaxwright.show.figures import count, plain
from coaxwright.show.tree import Labels

SCHEDULES = (("Cables signal", ("video", "network", "sound", "control")), ("Cables power", ("power",)))
PER_SHEET = 36


def cable_sheets(plan: Plan) -> list[Sheet]:
    """One sheet of cables for signals and one for power."""
    drums = _drum_names(plan)
    return [
        _schedule(plan, name, [each for each in plan.cables if each.use in uses], drums) for name, uses in SCHEDULES
    ]


def _schedule(plan: Plan, name: str, cables: list[Cable], drums: dict[str, str]) -> Sheet:
    heads = (
        Head("no.", whole=True), Head("from"), Head("to"), Head("kind"), Head("lies"), Head("length, m", "number", 0),
        Head("order, m", "number", 0), Head("drum"), Head("remark"), Head("pulled, m", "box"), Head("initials", "box"),
    )  # fmt: skip
    rows = tuple(_row(plan, each, drums) for each in cables)
    share, stated = plan.waste
    why = "as the price file has it" if stated else "common practice: no price file states a waste"
    says = (
        f"One row, one cable. “Order” is the length with {plain(share * 100, 1)} % more, {why}. Lengths are along the way "
        "of the cable, as drawn. Write what was pulled.",
    )
    notes = tuple(_unsaid(plan, cables))
    return Sheet(name, heads, rows, says, notes, empty="No cable is drawn for this.")


def _row(plan: Plan, cable: Cable, drums: dict[str, str]) -> tuple[Value, ...]:
    hop = cable.hop
    order = None if hop.metres is None or cable.jacket else float(plan.ordered(hop.metres))
    lies = plan.known(cable.pointer, "run", "setting") or ""
    return (
        cable.number, cable.near, cable.far, plan.kind_words(hop.cable or ""), lies, hop.metres, order,
        drums.get(cable.number, ""), _remark(cable), None, None,
    )  # fmt: skip


def _remark(cable: Cable) -> str:
    hop = cable.hop
    said = [f"same jacket as {cable.jacket}"] if cable.jacket else []
    said += ["length not known: measure before cutting"] if hop.metres is None else []
    said += ["buried"] if hop.buried else []
    said += [count(hop.joints, "joint")] if hop.joints else []
    said += [f"{plain(hop.beside_mains, 0)} m beside mains"] if hop.beside_mains else []
    return "; ".join([*said, *([f"space: {hop.space}"] if hop.space else [])])


def _unsaid(plan: Plan, cables: list[Cable]) -> Iterator[str]:
    """What the sheet cannot tell."""
    uses = {each.use for each in cables}
    lost = [f"{line.subject} ({line.use})" for line in plan.lines if not line.known and line.use in uses]
    if lost:
        yield f"Nobody wrote over what these go: {', '.join(lost)}."
    for letter, use in (("V", "video"), ("N", "network"), ("S", "sound"), ("C", "control")):
        if use in uses and use != "video":
            yield f"{letter} is {use}."


# Drums


def pull_list(plan: Plan) -> Sheet:
    """Cuts by drum, the longest first."""
    heads = (
        Head("drum"), Head("kind"), Head("no.", whole=True), Head("from"), Head("to"), Head("cut, m", "number", 0),
        Head("left, m", "number", 0), Head("pull with"), Head("done", "box"),
    )  # fmt: skip
    rows = tuple(row for _, row in _cuts(plan))
    says = [
        "Cut in this order. Each cut is the length to order, waste and all, rounded up to whole metres; “left” is what "
        "is on the drum after it. “Pull with” names cables between the same two ends.",
        _drum_words(plan),
    ]  # fmt: skip
    return Sheet("Pull list", heads, rows, tuple(says) if rows else (), empty="No cable with a length is drawn.")


def _drum_words(plan: Plan) -> str:
    """How long the drums are, and of which cables nobody said so."""
    lengths: dict[tuple[bool, float], list[str]] = {}
    for kind in _kinds(plan):
        metres, stated = plan.drum_of(kind)
        lengths.setdefault((stated, metres), []).append(kind)
    assumed = " (assumed, common practice: neither a price file nor --drum says)"
    told = [
        f"{plain(metres, 1)} m of {', '.join(kinds)}{'' if stated else assumed}"
        for (stated, metres), kinds in sorted(lengths.items(), reverse=True)
    ]
    return f"On a drum: {'; '.join(told)}."


def _kinds(plan: Plan) -> dict[str, list[Cable]]:
    """Cables that are cut, by kind: one a jacket, with a length."""
    found: dict[str, list[Cable]] = {}
    for each in plan.cables:
        if each.hop.metres is not None and not each.jacket:
            found.setdefault(plan.kind_words(each.hop.cable or ""), []).append(each)
    return found


def _cuts(plan: Plan) -> Iterator[tuple[str, tuple[Value, ...]]]:
    """Number of each cable with its row."""
    by_number = {each.number: each for each in plan.cables}
    beside = _beside(plan)
    place = 0
    for kind, cables in _kinds(plan).items():
        pieces = [(each.number, float(plan.ordered(each.hop.metres or 0.0))) for each in cables]
        drums, too_long = on_drums(pieces, plan.drum_of(kind)[0])
        for drum in drums:
            place += 1
            left = drum.length
            for number, metres in drum.cuts:
                cable, left = by_number[number], left - metres
                yield number, (f"D{place}", kind, number, cable.near, cable.far, metres, left, beside[number], None)
        for number, metres in too_long:
            cable = by_number[number]
            row = ("by the metre", kind, number, cable.near, cable.far, metres, None, "longer than a drum", None)
            yield number, row


def _beside(plan: Plan) -> dict[str, str]:
    """Cables of the same device by number, which go the same way as a rule."""
    found = {}
    for each in plan.cables:
        others = [one.number for one in plan.cables if one.subject == each.subject and one is not each]
        found[each.number] = ", ".join(others[:3])
    return found


def _drum_names(plan: Plan) -> dict[str, str]:
    return {number: str(row[0]) for number, row in _cuts(plan)}


# Labels


def label_sheet(plan: Plan) -> Sheet:
    """Two labels for each cable: what stands on the end, and where the other one is."""
    heads = (Head("no."), Head("this end"), Head("far end"), Head("kind and length"))
    rows = tuple(row for each in plan.cables for row in _labels(plan, each))
    return Sheet("Labels", heads, rows, empty="No cable is drawn.")


def _labels(plan: Plan, cable: Cable) -> Iterator[tuple[str, ...]]:
    long = "" if cable.hop.metres is None else f", {plain(cable.hop.metres, 0)} m"
    kind = f"{plan.kind_words(cable.hop.cable or '')}{long}"
    for this, far in ((cable.near, cable.far), (cable.far, cable.near)):
        yield cable.number, this, far, kind


def label_pages(sheet: Sheet) -> list[Labels]:
    """The labels as they are cut out, as many on a sheet of paper as go there."""
    made = [(str(row[0]), f"this end: {row[1]}", f"far end: {row[2]}", str(row[3])) for row in sheet.rows]
    return [Labels(made[at : at + PER_SHEET]) for at in range(0, len(made), PER_SHEET)]
