"""A filled commissioning sheet against the plan: what is off, what most likely stands behind it, what was not measured."""

from __future__ import annotations

import math
from typing import Any

from coaxwright.handover.commissioning import range_words
from coaxwright.handover.expected import WORDS, Expected, expected_of
from coaxwright.handover.filled import Filled, read_filled
from coaxwright.handover.likely import Cause, Off, causes
from coaxwright.handover.plan import Plan
from coaxwright.immutable import immutable
from coaxwright.show.figures import count, plain
from coaxwright.show.json_text import to_json
from coaxwright.show.tree import Block, Caution, Column, Document, Item, Listing, Paragraph, Section, Table

FORMAT = 2
_EARTH_VOLTS = 1.0
"""Between the earths of two buildings, coax unplugged: from here on the page says whom to ask (common practice, from memory)."""


@immutable
class Measured:
    """What came back. `within` are values in bounds, `unjudged` those that nobody could say bounds for; `stale` names
    what the sheet expected otherwise than the plan does now.
    """

    off: tuple[Off, ...]
    within: tuple[tuple[Expected, float], ...]
    unjudged: tuple[tuple[Expected, float], ...]
    empty: tuple[Expected, ...]
    causes: tuple[Cause, ...]
    earths: tuple[str, ...]
    stale: tuple[str, ...] = ()


def measured_against(plan: Plan, path: str) -> Measured:
    """The sheet read back. Raises Refusal for one that cannot be read; nothing is edited."""
    expected = {each.code: each for each in expected_of(plan)}
    filled = read_filled(path, expected)
    off: dict[str, Off] = {}
    within, unjudged = [], []
    for code, each in expected.items():
        if code not in filled.readings:
            continue
        value = filled.readings[code].value
        if each.least is None and each.most is None:
            unjudged.append((each, value))
        elif (each.least is not None and value < each.least) or (each.most is not None and value > each.most):
            off[code] = Off(each, value, each.most is not None and value > each.most, filled.readings[code].place)
        else:
            within.append((each, value))
    values = {code: reading.value for code, reading in filled.readings.items()}
    return Measured(
        tuple(off.values()), tuple(within), tuple(unjudged), _empty(expected, filled), tuple(causes(plan, off, values)),
        tuple(each.subject for each, value in unjudged if each.measure == "earth-volts" and value > _EARTH_VOLTS),
        tuple(code for code, printed in filled.printed.items() if _differs(expected[code], printed)),
    )  # fmt: skip


def _differs(each: Expected, printed: float) -> bool:
    """Whether a sheet was made from another plan than this."""
    return each.value is None or abs(each.value - printed) > 10**-each.decimals


def _empty(expected: dict[str, Expected], filled: Filled) -> tuple[Expected, ...]:
    return tuple(each for code, each in expected.items() if code not in filled.readings)


def measured_document(plan: Plan, found: Measured) -> Document:
    """What came back, causes first."""
    blocks: list[Block] = []
    if found.causes:
        blocks.append(Section("Likeliest causes", (Listing(list(map(_cause, found.causes)), "number"),)))
    if found.off:
        rows = [_row(each.expected, each.value, "too high" if each.high else "too low") for each in found.off]
        blocks.append(Section("Out of bounds", (_table(rows),)))
    if found.earths:
        words = f"{', '.join(found.earths)}: more than {plain(_EARTH_VOLTS, 0)} V between coax and recorder."
        blocks.append(Caution(f"{words} Do not plug it in; this needs review by a licensed electrician."))
    if found.within or found.unjudged:
        rows = [_row(each, value, "within") for each, value in found.within]
        rows += [_row(each, value, "no bounds known") for each, value in found.unjudged]
        blocks.append(Section("As expected", (_table(rows),)))
    if found.stale:
        words = "The plan has changed since this sheet was made: it expected otherwise for"
        blocks.append(Paragraph(f"{words} {', '.join(found.stale)}. What counts is the plan as it is now."))
    if found.empty:
        names = ", ".join(each.code for each in found.empty)
        blocks.append(Section("Not measured, and so open", (Paragraph(names),)))
    return Document(f"{plan.loaded.site.site}: measured against the plan", tuple(blocks), _verdict(found),
                    (("plan", plan.loaded.file),), titled=False)  # fmt: skip


def _cause(cause: Cause) -> Item:
    return Item(cause.words, (Listing((f"next: {cause.next}", f"explains: {', '.join(cause.codes)}"), "none"),))


def _verdict(found: Measured) -> str:
    taken = len(found.off) + len(found.within) + len(found.unjudged)
    left = f"; {len(found.empty)} not measured" if found.empty else ""
    if not taken:
        return f"Nothing was measured{left}."
    if not found.off:
        return f"All {count(taken, 'measured value')} lie where the plan expects them{left}."
    causes_found = count(len(found.causes), "likely cause")
    return f"{len(found.off)} of {count(taken, 'measured value')} out of bounds, with {causes_found}{left}."


def _row(each: Expected, value: float, word: str) -> tuple[str, ...]:
    shown = "open" if math.isinf(value) else plain(value, 4)
    expected = "not known" if each.value is None else f"{each.value:.{each.decimals}f}"
    return (each.subject, WORDS[each.measure], shown, expected, range_words(each), each.unit, word)


def _table(rows: list[tuple[str, ...]]) -> Table:
    heads = ("of", "what", Column("measured", "number"), Column("expected", "number"), "from … to", "unit", "")
    return Table(heads, rows)


def measured_json(plan: Plan, found: Measured) -> str:
    """The same for programs."""
    data = {
        "format": FORMAT,
        "site": plan.loaded.site.site,
        "file": plan.loaded.file,
        "causes": [{"words": each.words, "codes": list(each.codes), "next": each.next} for each in found.causes],
        "off": [_off_data(each) for each in found.off],
        "within": [_data(*each) for each in found.within],
        "unjudged": [_data(*each) for each in found.unjudged],
        "stale": list(found.stale),
        "empty": [each.code for each in found.empty],
    }
    return to_json(data)


def _off_data(each: Off) -> dict[str, Any]:
    return {**_data(each.expected, each.value), "how": "high" if each.high else "low", "place": each.place}


def _data(each: Expected, value: float) -> dict[str, Any]:
    return {
        "code": each.code, "unit": each.unit, "expected": each.value, "least": each.least, "most": each.most,
        "measured": None if math.isinf(value) else value, "open_line": math.isinf(value),
    }  # fmt: skip
