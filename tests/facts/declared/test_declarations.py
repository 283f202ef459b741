"""A file of facts that cannot be meant is refused at its line and column; its cases are run; what is made of it is fresh."""

# ruff: noqa: E501
from __future__ import annotations

from typing import Any

import pytest

from coaxwright.errors import Refusal
from coaxwright.facts.declared.book import read_book
from coaxwright.facts.declared.cases import count, failing
from coaxwright.facts.declared.checking import Read, check_facts
from coaxwright.facts.declared.filling import loop_of, missing
from coaxwright.facts.declared.working import line, lines
from coaxwright.facts.declared.writing import modules, read_all
from coaxwright.facts.sheets import SHEETS
from coaxwright.reading.yaml_source import parse_document


def read(facts: str, kind: str = "view") -> Read:
    return check_facts(parse_document(f"kind: {kind}\nfacts:\n{facts}", "mine.yaml"))


def refused(facts: str, kind: str = "view") -> str:
    with pytest.raises(Refusal) as caught:
        read(facts, kind)
    return "\n".join(map(str, caught.value.problems))


CASES = "    cases: [{given: {slant: 20 m, lamp_range: 10 m}, gives: 2}]\n"


def test_what_is_made_is_what_the_declarations_say() -> None:
    for path, text in modules(read_all()).items():
        assert path.read_text(encoding="utf-8") == text, f"{path.name}: python -m coaxwright.facts.declared.writing --write"


def test_every_declaration_has_cases_for_a_value_and_for_what_is_open() -> None:
    for each in read_all():
        assert count(each) >= 2 * len(each.model.facts)
        for name, fact in each.model.facts.items():
            kinds = {case.open is None for case in fact.cases}
            assert kinds == {True, False}, f"{each.model.kind}.{name} wants a case with a value and one that is open"


@pytest.mark.parametrize(("facts", "what", "place"), [
    ("  far:\n    says: Far.\n    unit: m\n    is: view.slent / view.lamp_range\n" + CASES, "slent", "mine.yaml:6:"),
    ("  far:\n    says: Far.\n    unit: V\n    is: view.slant + view.near\n" + CASES, "a number in m, and the fact a number in V", "mine.yaml:6:9"),
    ("  far:\n    says: Far.\n    is: view.slant + view.focal\n" + CASES, "they cannot be added", "mine.yaml:5:"),
    ("  far:\n    says: Far.\n    is: 3.5 * view.slant / view.near\n" + CASES, "3.5 is a figure without a source", "mine.yaml:5:9"),
    ("  far:\n    says: Far.\n" + CASES, "a fact has either `is` or `one_of`", "mine.yaml:4:5"),
    ("  far:\n    says: Far.\n    unit: wat!\n    is: view.slant\n" + CASES, "is not a unit", "mine.yaml:5:"),
    ("  far:\n    says: Far.\n    is: view.camera\n" + CASES, "which no fact can be", "mine.yaml:5:"),
    ("  far:\n    says: Far.\n    is: \"[view.slant, view.near].map(x, x / view.near)[0]\"\n" + CASES, "no working can be printed", "mine.yaml:5:"),
    ("  a:\n    says: A.\n    unit: m\n    is: view.b\n" + CASES + "  b:\n    says: B.\n    unit: m\n    is: view.a\n" + CASES,
     "the facts need one another: a -> b -> a", "mine.yaml:4:5"),
], ids=lambda value: value[:24] if isinstance(value, str) else None)  # fmt: skip
def test_refused_at_its_place(facts: str, what: str, place: str) -> None:
    told = refused(facts)
    assert what in told
    assert place in told


def test_no_such_kind() -> None:
    assert "did you mean `view`" in refused("  far:\n    says: Far.\n    is: veiw.slant\n" + CASES, "veiw")


def branches(*rows: str) -> str:
    return "  far:\n    says: Far.\n    unit: m\n    one_of:\n" + "".join(f"      - {row}\n" for row in rows) + CASES


@pytest.mark.parametrize(("rows", "what"), [
    (("{when: view.night, is: view.slant}", "{when: view.night && view.halved, is: view.near}", "{is: view.near}"), "branches 1 and 2 both apply where"),
    (("{when: view.night, is: view.slant}", "{when: view.colour_night, is: view.near}"), "both apply where view.night is true and view.colour_night is true"),
    (("{when: view.lamp == 'white', is: view.slant}", "{when: \"view.lamp in ['none', 'both']\", is: view.near}"), "no branch applies where view.lamp is 'infrared'"),
    (("{when: view.slant > view.near, is: view.slant}", "{when: view.slant <= view.near, is: view.near}"), "both apply"),
    (("{is: view.slant}", "{when: view.night, is: view.near}"), "stands last"),
    (("{is: view.slant}", "{is: view.near}"), "stands last"),
])  # fmt: skip
def test_branches_that_overlap_or_leave_a_gap_are_refused(rows: tuple[str, ...], what: str) -> None:
    assert what in refused(branches(*rows))


@pytest.mark.parametrize("rows", [
    ("{when: view.night, is: view.slant}", "{when: '!view.night', is: view.near}"),
    ("{when: view.slant > view.near, is: view.slant}", "{when: '!(view.slant > view.near)', is: view.near}"),
    ("{when: view.lamp == 'white', is: view.slant}", "{when: \"view.lamp in ['none', 'both', 'infrared']\", is: view.near}"),
    ("{when: has(view.near), is: view.near}", "{when: '!has(view.near) && view.night', is: view.slant}", "{is: view.distance}"),
])  # fmt: skip
def test_branches_that_are_held_apart(rows: tuple[str, ...]) -> None:
    assert read(branches(*rows).replace("gives: 2", "gives: 20 m")).plain["facts"]


@pytest.mark.parametrize(("case", "what"), [
    ("{given: {slant: 20 m, lamp_range: 10 m}, gives: 3}", "it is 2, and the case says 3"),
    ("{given: {slant: 20 m}, gives: 2}", "it is open: it asks for lamp_range"),
    ("{given: {slant: 20 m}, open: [slant]}", "it asks for lamp_range, and the case says that it asks for slant"),
    ("{given: {slant: 20 m, lamp_range: 10 m}, open: [slant]}", "it is 2"),
    ("{given: {slant: 20 m, lamp_range: 0 m}, gives: 2}", "without value"),
    ("{given: {slant: 20, lamp_range: 10 m}, gives: 2}", "20 has no unit"),
    ("{given: {slant: 20 V, lamp_range: 10 m}, gives: 2}", "is a voltage"),
    ("{given: {slant: 20 m, near: 1 m}, gives: 2}", "the fact does not read `near`"),
    ("{given: {slant: 20 m, lamp_range: 10 m}}", "neither `gives` nor `open`"),
])  # fmt: skip
def test_a_case_that_does_not_hold_is_told_at_its_line(case: str, what: str) -> None:
    found = failing(read(f"  far:\n    says: Far.\n    is: view.slant / view.lamp_range\n    cases:\n      - {case}\n"))
    assert len(found) == 1
    assert what in str(found[0])
    assert str(found[0]).startswith("mine.yaml:7:9")


def test_a_value_is_held_to_the_digits_written() -> None:
    facts = "  far:\n    says: Far.\n    is: view.slant / view.lamp_range\n    cases:\n      - {given: {slant: 20 m, lamp_range: 3 m}, gives: %s}\n"
    assert [bool(failing(read(facts % given))) for given in ("7", "6.7", "6.67", "6.6")] == [True, False, False, True]


def made(read: Read) -> tuple[Any, Any]:
    book = read_book("view", read.plain)
    sheet: Any = SHEETS["view"]()
    sheet.subject = "cameras/c1"
    return book, sheet


def test_a_missing_value_is_named_by_what_would_supply_it() -> None:
    book, sheet = made(read("  near_ratio:\n    says: X.\n    is: view.slant / view.near\n    cases: [{given: {}, open: [slant, near]}]\n"))
    sheet.lacks("near", "cameras/c1/wants/near")
    loop_of("view", book)([sheet])
    assert sheet.known("near_ratio") is None
    assert missing(book.facts[0], sheet) == ("cameras/c1/slant", "cameras/c1/wants/near") == sheet.missing("near_ratio")


def test_what_the_fast_loop_cannot_settle_is_settled_exactly() -> None:
    """`near` is not known; the other operand decides alone."""
    facts = "  width:\n    says: X.\n    unit: m\n    one_of: [{when: view.near > view.slant || view.night, is: view.distance}, {is: view.slant}]\n"
    book, sheet = made(read(facts + "    cases: [{given: {}, open: [near]}]\n"))
    sheet.night, sheet.distance = True, 5.0
    loop_of("view", book)([sheet])
    assert sheet.width == 5.0


def test_a_difference_of_temperatures_is_in_kelvin() -> None:
    facts = "  sun_margin:\n    says: X.\n    unit: degC\n    is: exposure.temperature_max - exposure.ambient_max\n    cases: [{given: {}, open: [temperature_max, ambient_max]}]\n"
    book = read_book("exposure", read(facts, "exposure").plain)
    sheet: Any = SHEETS["exposure"]()
    sheet.temperature_max, sheet.ambient_max = 60.0, 40.0
    loop_of("exposure", book)([sheet])
    told = line(book, book.facts[0], sheet)
    assert told == "sun margin = temperature max - ambient max = 60 degC - 40 degC = 20 K"


STORED = """kind: disk_group
given:
  seconds_a_day: {unit: s/d, value: 86400, says: Seconds of a day.}
  bits_a_byte: {unit: bit/B, value: 8, says: Bits of a byte.}
  members: {whole: true, says: Disks that take part, source: {title: invented}}
facts:
  days:
    says: X.
    unit: d
    is: disk_group.raw * disk_group.bits_a_byte / (disk_group.recorder.bitrate_mean * disk_group.seconds_a_day)
    supply: cameras
    cases: [{given: {raw: 10.8 GB, recorder.bitrate_mean: 1 Mb/s}, gives: 1 d}, {given: {}, open: [raw, bitrate_mean]}]
  bays_free:
    says: X.
    is: disk_group.members - disk_group.disks
    cases: [{given: {members: 3, disks: 1}, gives: 2}, {given: {disks: 1}, open: [members]}]
"""


def stored(**stated: Any) -> tuple[Any, Any]:
    book = read_book("disk_group", check_facts(parse_document(STORED, "mine.yaml")).plain)
    sheet, recorder = SHEETS["disk_group"](), SHEETS["recorder"]()
    sheet.subject, recorder.subject, sheet.recorder = "recorders/r/disks", "recorders/r", recorder  # type: ignore[attr-defined]
    recorder.put("bitrate_mean", stated.pop("mean", None), "recorders/r/record/codec")
    for name, value in stated.items():
        setattr(sheet, name, value)
    loop_of("disk_group", book)([sheet])
    return book, sheet


def test_a_fact_reads_constants_and_other_sheets() -> None:
    book, sheet = stored(raw=10.8e9, mean=1e6)
    assert not failing(check_facts(parse_document(STORED, "mine.yaml")))
    assert sheet.days == 1.0
    assert line(book, next(each for each in book.facts if each.name == "days"), sheet) == (
        "days = raw x bits a byte / (bitrate mean x seconds a day)"
        " = 10.8 x 10^9 B x 8 bit/B / (1 x 10^6 bit/s x 86400 s/d) = 1 d"
    )


def test_what_another_sheet_lacks_is_named_and_what_ends_a_division_by_nought() -> None:
    assert stored(raw=1e9)[1].missing("days") == ("recorders/r/record/codec",)
    assert stored(raw=1e9, mean=0.0)[1].missing("days") == ("cameras",)


def test_figures_below_a_fact_say_their_source_or_their_own_working() -> None:
    book, sheet = stored(raw=1e9, mean=2e6, members=3, disks=1)
    by_name = {each.name: each for each in book.facts}
    assert lines(book, by_name["bays_free"], sheet, {}, lambda *_: ()) == (
        "bays free = members - disks = 3 - 1 = 2", "members: 3; source: invented",
    )  # fmt: skip
    told = lines(book, by_name["days"], sheet, {}, lambda owner, field: (f"{owner.kind} {field}",))
    assert told[1:] == ("disk_group raw", "recorder bitrate_mean")


def test_a_constant_takes_no_room_on_the_sheet() -> None:
    first, second = SHEETS["disk_group"](), SHEETS["disk_group"]()
    assert first.seconds_a_day == second.seconds_a_day == 86400.0  # type: ignore[attr-defined]
    assert "seconds_a_day" not in {name for each in type(first).__mro__ for name in getattr(each, "__slots__", ())}
