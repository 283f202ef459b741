"""Ranges beside other values: each end against a full check of the edited file on both sides, lengths of power against
the published resistances of conductors, and what the command, the page and Python say of them."""

from __future__ import annotations

import datetime
import itertools
import json
import math
from pathlib import Path

import pytest

from coaxwright import limits
from coaxwright.checking import check, load_site
from coaxwright.cli.main import run
from coaxwright.errors import Refusal
from coaxwright.findings import Stretch
from coaxwright.fixes.against import extents, limits_against, written
from coaxwright.fixes.limit_words import extents_document, stretch_words
from coaxwright.fixes.rejudging import start
from coaxwright.fixes.site_extents import extents_of
from coaxwright.reading.site_reader import with_value
from coaxwright.show.forms import rendered

SITE = Path(__file__).parents[2] / "examples/boatyard/alder-wharf.site.yaml"
RUN = "cameras/slipway/power/over/0"
OHMS_PER_KM = {"dc-0.75mm2": 26.0, "dc-1mm2": 19.5, "dc-1.5mm2": 13.3, "dc-2.5mm2": 7.98}
"""Greatest resistance at 20 degC of flexible plain copper (class 5): IEC 60228, table 3."""
DISKS = "recorders/rec1/disks"


@pytest.fixture(scope="module")
def state(rulebook, day):
    return start(load_site(SITE), rulebook=rulebook, today=day)


@pytest.fixture(scope="module")
def by_conductor(state):
    return limits_against(state, "cameras/slipway", [f"{RUN}/cable={','.join(OHMS_PER_KM)}"], ["power length"])


def errors(state, edit):
    """Errors of a full check of the file with an edit."""
    value = json.loads(json.dumps(state.value, default=str))
    edit(value)
    report = check(with_value(state.basis.loaded, value), rulebook=state.basis.rulebook, today=state.basis.today)
    return {each.key for each in report.findings if each.kind == "fail" and each.level == "error"}


def test_length_against_conductor_is_the_closed_form(by_conductor):
    """One constant-power load on one line (maximum power transfer theorem): R = Vmin (V0 - Vmin) / P; copper 0.393 % a
    kelvin (IEC 60028), conductors at 40 degC as the engine's documentation takes them; 12.8 V, 10.8 V and 5.2 W are of
    the example."""
    _, rows = by_conductor
    for row in rows:
        (limit,) = row.limits
        loop = 2 * OHMS_PER_KM[row.values[0]] / 1000 * (1 + 0.00393 * 20)
        longest = math.floor(10.8 * (12.8 - 10.8) / 5.2 / loop)
        (extent,) = extents("cameras/slipway", ["cable"], [row])
        assert [(span.low, span.high) for span in extent.rows[0].stretches] == [(1, longest)]
        assert bool(limit.now) == (longest < 85)
        assert row.present == (row.values == ("dc-1.5mm2",))


def test_each_end_is_where_a_full_check_says(state, by_conductor):
    _, rows = by_conductor
    for row, beyond in itertools.product(rows, (False, True)):
        (extent,) = extents("cameras/slipway", ["cable"], [row])
        metres = extent.rows[0].stretches[0].high + beyond

        def edit(value, cable=row.values[0], metres=metres):
            value["cameras"]["slipway"]["power"]["over"][0].update(cable=cable, length=f"{metres:g} m")

        assert bool(errors(state, edit)) == beyond


def test_days_against_disks(state):
    sizes = [["generic/disk-1tb"], ["tarnwell/disk-8tb"], ["tarnwell/disk-8tb"] * 2]
    asked = f"{DISKS}=" + ",".join(f"[{','.join(each)}]" for each in sizes)
    paths, rows = limits_against(state, "site", [asked], ["retention"])
    (extent,) = extents("site", paths, rows)
    assert [row.label for row in extent.rows] == ["generic/disk-1tb", "tarnwell/disk-8tb", "2 of tarnwell/disk-8tb"]
    for disks, row in zip(sizes, extent.rows, strict=True):
        days = row.stretches[-1].high
        for more in (0, 1):

            def edit(value, disks=disks, days=days + more):
                value["recorders"]["rec1"]["disks"] = disks
                value["retention"] = f"{days:g} days"

            assert bool(errors(state, edit)) == bool(more)


def test_what_a_value_breaks_by_itself_stands_beside_it(state):
    """12 V beneath what cameras need is wrong whatever the rate wanted is."""
    (_, (low, now)) = limits_against(state, "cameras/slipway", ["supplies/psu1/trim=11V,12.8V"], ["rate wanted"])
    assert ("power/undervoltage", "cameras/slipway") in low.besides
    assert (now.besides, now.present) == ((), True)
    (extent,) = extents("cameras/slipway", ["trim"], [low])
    assert "worse by itself: power/undervoltage on cameras/slipway" in extent.rows[0].words


def test_two_other_values_give_every_pair_and_json_says_the_same_as_python(capsys):
    asked = {f"{RUN}/cable": ["dc-1mm2", "none-such"], "supplies/psu1/trim": ["12 V", "13 V"]}
    words = [part for path, values in asked.items() for part in ("--against", f"{path}={','.join(values)}")]
    day = "2026-01-01"
    head = ["limits", str(SITE), "cameras/slipway", "--number", "power length", "--today", day]
    assert run([*head, *words, "--format", "json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert [row["values"] for row in told["against"]] == [list(pair) for pair in itertools.product(*asked.values())]
    assert [row["refused"] is None for row in told["against"]] == [True, True, False, False]
    found = limits(SITE, "cameras/slipway", numbers=["power length"], against=asked, today=datetime.date.fromisoformat(day))
    assert found.to_dict() == told
    assert len(found.rows()) == 2
    assert {row["supplies/psu1/trim"] for row in found.rows()} == {"12 V", "13 V"}


@pytest.mark.parametrize(
    ("form", "said"), [("md", "| dc-1mm2 |"), ("html", "<svg"), ("csv", "dc-1mm2,up to 98 m"), ("text", "up to 98 m")]
)
def test_each_form_tells_it(form, said, state, by_conductor):
    paths, rows = by_conductor
    assert said in rendered(extents_document("cameras/slipway", extents("cameras/slipway", paths, rows), form), form)


@pytest.mark.parametrize(
    ("names", "asked", "said"),
    [
        (["power lenght"], "retention=1 days", "power length"),
        ([], f"retention={','.join(['1 days'] * 101)}", "101 combinations"),
        ([], "retention", "lists no values"),
    ],
)
def test_what_cannot_be_asked_is_refused(state, names, asked, said):
    with pytest.raises(Refusal) as refused:
        limits_against(state, "cameras/slipway", [asked], names)
    assert said in str(refused.value)


def test_stretches_in_words():
    assert stretch_words(Stretch(12, 13.2), "V") == "12 V to 13.2 V"
    assert stretch_words(Stretch(1, 144, further_down=True), "m") == "up to 144 m"
    assert stretch_words(Stretch(21, 365, further_up=True), "d") == "from 21 days on, tried to 365 days"
    assert stretch_words(Stretch(5, 5), "m") == "5 m alone"
    assert written([{"part": "a"}, "b"]) == '{"part": "a"}, b'


def test_the_report_shows_them_as_pictures(capsys, monkeypatch, state):
    found = list(extents_of(state))
    monkeypatch.setattr("coaxwright.fixes.site_extents.extents_of", lambda _: found)
    assert [(each.subject, each.name) for each in found] == [
        ("cameras/slipway", "power length"), ("cameras/slipway", "video length"), ("site", "retention"),
    ]  # fmt: skip
    for each in found:
        assert [row.present for row in each.rows].count(True) == 1
        assert [row.stretches[-1].high for row in each.rows] == sorted(row.stretches[-1].high for row in each.rows)
    assert run(["report", str(SITE), "--limits"]) == 0
    page = capsys.readouterr().out
    assert page.count("that holds</title>") == 3
    assert "How far it may go" in page
