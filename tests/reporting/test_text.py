"""The report for people: what it must tell, in which order, and what it must never let through."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest

from coaxwright.errors import Problem, Span
from coaxwright.findings import Finding, Report
from coaxwright.reporting.formats import Setting, render
from coaxwright.reporting.text import WIDTH
from coaxwright.show.painter import Painter, columns

Make = Callable[..., Finding]
MakeReport = Callable[..., Report]
DETAILS = ("grouped", "full", "concise")

ONE_FINDING = r"""Heron quay boathouse (heron.site.yaml)

| ERROR  power/undervoltage  Camera falls below its minimum supply voltage at night load
| slipway gets 10.04 V at night; it needs at least 10.8 V.
| Against the limit: short by 7.0 %.
|
| at heron.site.yaml, line 4, column 12 (/cameras/slipway/power)
|     4 >     power: {from: psu1/1, over: [{cable: dc-0.75mm2, length: 85 m}]}
|                    \_______________________________________________________/
| why       Lamps and heaters come on together after dark.
| working   12.6 V at psu1 less 2.56 V lost in 85 m of dc-0.75mm2
| mends it:
|   - 1.5 mm2 instead of 0.75 mm2 (clears power/undervoltage; costs 12.5 EUR)
| could be tried (not yet proven on this site):
|   - raise the trim of psu1
| source    IEC 60228, table 1: conductor resistance
| CAUTION   Work on supplies is for a competent person under local wiring rules.

Assumed, since nobody gave it:
  conductor temperature: 60 degC (common practice, 12 times)

1 error, 0 warnings, 0 notes; 0 open, 0 waived, 7 passed, 3 not applicable (11 judgements). """
ONE_FINDING += "Next: `coaxwright explain power/undervoltage` tells why that rule exists.\n"


def test_one_finding_in_full(make_finding: Make, make_report: MakeReport) -> None:
    assert render("text", make_report(make_finding()), Setting()) == ONE_FINDING


def test_a_narrow_terminal(make_finding: Make, make_report: MakeReport) -> None:
    """Prose keeps to the width; what is copied or clicked (head, place, line of the file, closing) stays on a line."""
    wide, narrow = (render("text", make_report(make_finding()), Setting(width=width)) for width in (None, 44))
    assert [word for word in narrow.split() if word != "|"] == [word for word in wide.split() if word != "|"]
    long = [line for line in narrow.splitlines() if len(line) > 44]
    assert [line.split()[1][:5] for line in long] == ["ERROR", "at", "4", "\\____", "could", "error"]
    assert "| CAUTION   Work on supplies is for a\n|           competent person under local\n" in narrow


def test_equal_findings_are_grouped(make_finding: Make, make_report: MakeReport) -> None:
    found = [make_finding(subject=f"cameras/c{n:02}", span=Span(4, n + 1)) for n in range(40)]
    text = render("text", make_report(*found), Setting())
    assert text.count("| why ") == 1
    assert "the same at 39 more:" in text
    assert all(f"cameras/c{n:02} (line 4): slipway gets 10.04 V" in text for n in range(1, 40))
    assert len(text.splitlines()) < 80
    assert "--detail concise" in text


def test_full_tells_each_in_full(make_finding: Make, make_report: MakeReport) -> None:
    found = [make_finding(subject=f"cameras/c{n}") for n in range(3)]
    assert render("text", make_report(*found), Setting(detail="full")).count("| why ") == 3


def test_worst_level_comes_first(every_kind: Report) -> None:
    text = render("text", every_kind, Setting())
    words = re.findall(r"^\| (ERROR|WARNING|NOTE|FAULT|OPEN|WAIVED) ", text, re.MULTILINE)
    assert words == ["ERROR", "WARNING", "NOTE", "FAULT", "OPEN", "WAIVED"]


def test_last_line_counts_every_outcome(every_kind: Report) -> None:
    last = render("text", every_kind, Setting()).splitlines()[-1]
    assert last.startswith(
        "1 error, 1 warning, 1 note; 1 open, 1 waived, 7 passed, 3 not applicable, 1 fault in rules (16 judgements)."
    )
    assert "Next: " in last


@pytest.mark.parametrize("detail", DETAILS)
def test_last_line_is_there_in_every_detail(every_kind: Report, detail: str) -> None:
    last = render("text", every_kind, Setting(detail=detail)).splitlines()[-1]  # type: ignore[arg-type]
    assert "(16 judgements)" in last


def test_open_ones_say_what_to_supply(make_finding: Make, make_report: MakeReport) -> None:
    missing = ("cameras/quay/power/over/0/length",)
    found = [make_finding(kind="open", subject="cameras/quay", rule=rule, missing=missing)
             for rule in ("power/undervoltage", "power/collapse")]  # fmt: skip
    text = render("text", make_report(*found), Setting())
    assert text.count("supply ") == 2  # the second one is the next step
    assert "| supply power/over/0/length of cameras/quay (line 4)\n" in text
    assert "|   for power/collapse, power/undervoltage\n" in text
    assert "Next: supply what is listed as open" in text


def test_waived_ones_stay_with_their_reason(every_kind: Report) -> None:
    text = render("text", every_kind, Setting())
    assert "reason: riser cannot be re-pulled (by J. Alder, until 2027-06-01)" in text
    assert "power/undervoltage on cameras/gate" in text


def test_nothing_found(make_report: MakeReport) -> None:
    text = render("text", make_report(), Setting())
    assert text.splitlines()[-1] == (
        "0 errors, 0 warnings, 0 notes; 0 open, 0 waived, 7 passed, 3 not applicable (10 judgements). "
        "Next: nothing to mend under these rules."
    )


def test_concise_is_a_line_each_and_never_wrapped(make_finding: Make, make_report: MakeReport) -> None:
    long = "word " * 60 + "end."
    found = [make_finding(subject=f"cameras/c{n}", message=long) for n in range(5)]
    lines = render("text", make_report(*found), Setting(detail="concise")).splitlines()
    assert len(lines) == 6
    assert all(line.startswith("heron.site.yaml:4:12: error power/undervoltage cameras/c") for line in lines[:5])


def test_unread_files_are_counted(make_report: MakeReport) -> None:
    problem = Problem("b.site.yaml", "no such file")
    assert "; 1 not read." in render("text", make_report(unread=(problem,)), Setting())


def test_prose_is_wrapped(make_finding: Make, make_report: MakeReport) -> None:
    text = render("text", make_report(make_finding(why="船着場 " * 80)), Setting())
    told = [line for line in text.splitlines() if "船着場" in line]
    assert len(told) > 3
    assert max(columns(line) for line in told) <= WIDTH + 2


@pytest.mark.parametrize("margin", [-0.00001, -0.004, -0.07, -0.5, -7.0])
def test_margin_never_prints_as_nothing(make_finding: Make, make_report: MakeReport, margin: float) -> None:
    text = render("text", make_report(make_finding(margin=margin)), Setting())
    assert "short by " in text
    assert not re.search(r"short by 0\.?0* %", text)


@pytest.mark.parametrize("margin", [None, float("nan"), float("inf"), float("-inf")])
def test_no_margin_is_no_line(make_finding: Make, make_report: MakeReport, margin: float | None) -> None:
    assert "Against the limit" not in render("text", make_report(make_finding(margin=margin)), Setting())


def test_place_outside_the_text_is_survived(make_finding: Make, make_report: MakeReport) -> None:
    for span in (Span(900, 3), Span(0, 0), Span(4, 900), Span(9, 1)):
        assert "power/undervoltage" in render("text", make_report(make_finding(span=span)), Setting())


def test_excerpt_only_from_the_file_that_is_at_hand(make_finding: Make, make_report: MakeReport) -> None:
    text = render("text", make_report(make_finding(file="parts/a.yaml")), Setting())
    assert "at parts/a.yaml, line 4, column 12" in text
    assert "4 >" not in text


PAYLOADS = [
    "\x1b[2J", "\x1b]0;t\x07", "\x1b]8;;http://a\x1b\\link", "\x1b]52;c;QQ==\x07", "\x9b31m", "\x9d0;t\x9c",
    "\x90q\x9c", "\x07", "\x08\x08", "\r over", "\x00", "\x7f", "\u202egnp", "\u2066a", "\u2028", "\u200b",
    "\ufeff", "\udc9b", "\x0e", "\x85",
]  # fmt: skip
FIELDS = ("message", "subject", "pointer", "file", "title", "why", "caution")


@pytest.mark.parametrize("detail", DETAILS)
@pytest.mark.parametrize("payload", PAYLOADS, ids=ascii)
def test_nothing_reaches_the_terminal(make_finding: Make, make_report: MakeReport, payload: str, detail: str) -> None:
    found = [make_finding(**{field: f"a{payload}b"}) for field in FIELDS]
    found.append(make_finding(working=(payload,), kind="open", missing=(payload,)))
    made = make_report(*found, site=f"s{payload}", text=f"a{payload}b\n" * 9)
    text = render("text", made, Setting(detail=detail))  # type: ignore[arg-type]
    assert payload not in text
    assert not re.search("[\x00-\x09\x0b-\x1f\x7f-\x9f\u200b\u2028\u202a-\u202e\u2066-\u2069\ufeff]", text)


def test_markup_is_only_text(make_finding: Make, make_report: MakeReport) -> None:
    text = render("text", make_report(make_finding(message="[/] [bold] {x} %s camera[cable-run]")), Setting())
    assert "[/] [bold] {x} %s camera[cable-run]" in text


@pytest.mark.parametrize("detail", DETAILS)
def test_colour_adds_only_colour(every_kind: Report, detail: str) -> None:
    plain = render("text", every_kind, Setting(detail=detail))  # type: ignore[arg-type]
    painted = render("text", every_kind, Setting(detail=detail, painter=Painter(True)))  # type: ignore[arg-type]
    assert painted != plain
    assert re.sub("\x1b\\[[0-9;]*m", "", painted) == plain


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_lines_are_counted_as_editors_do(make_finding: Make, make_report: MakeReport, end: str) -> None:
    """U+2028 and U+0085 end no line; CR, LF and CR LF do."""
    text = end.join(["a\u2028b", "c\x85d", "third", "e"])
    made = make_report(make_finding(span=Span(3, 1, 3, 6)), text=text)
    assert "3 > third\n" in render("text", made, Setting())


def test_many_findings_in_full_take_linear_time(
    make_finding: Make, make_report: MakeReport, guarded: Callable[[float], Any]
) -> None:
    """4,000 findings in a file of 40,000 lines: the file is split once, not once a finding."""
    found = [make_finding(subject=f"cameras/c{n}", span=Span(n * 10 + 1, 3)) for n in range(4000)]
    made = make_report(*found, text="  c: {part: x}\n" * 40_000)
    with guarded(1000):
        assert render("text", made, Setting(detail="full")).count("| why ") == 4000


def test_open_subjects_that_lack_the_same_stand_together(make_finding: Make, make_report: MakeReport) -> None:
    found = [
        make_finding(kind="open", subject=f"cameras/c{n}", missing=(f"cameras/c{n}/place/ambient_min",))
        for n in range(3)
    ]
    found.append(make_finding(kind="open", subject="feeds/x", missing=("parts/p/power/watts_night",)))
    text = render("text", make_report(*found), Setting())
    of = "cameras/c0 (line 4), cameras/c1 (line 4), cameras/c2 (line 4)"
    assert f"| supply place/ambient_min of {of}\n" in text
    assert "| supply parts/p/power/watts_night\n|   for power/undervoltage on feeds/x (line 4)\n" in text


def test_next_step(make_finding: Make, make_report: MakeReport) -> None:
    def last(*found: Finding) -> str:
        return render("text", make_report(*found), Setting()).splitlines()[-1].partition(" Next: ")[2]

    note, gap = make_finding(level="note", rule="a/b"), make_finding(kind="open", missing=("x",))
    assert last(note, make_finding(level="warning", rule="c/d"), gap).startswith("`coaxwright explain c/d`")
    assert last(note, gap) == "supply what is listed as open, then check again."
    assert last(note) == "nothing to mend under these rules."
