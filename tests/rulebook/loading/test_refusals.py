"""Every refusal of the rule loader, at its file, line and column, and what it says would be right."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from coaxwright.errors import Refusal
from coaxwright.rulebook.rule_checks import check_rule_files
from coaxwright.rulebook.rule_files import RuleFile

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
from handmade import rule_file, rule_text

SAG = {"about": "feed", "require": "feed.volts_night >= feed.load.volts_min"}
# Line 1 is the id; title, level, says, why, sources, since follow; keys given to rule_text begin on line 8.


def _told(*files: RuleFile) -> list[str]:
    with pytest.raises(Refusal) as caught:
        check_rule_files(files)
    return [str(problem) for problem in caught.value.problems]


def _one(*files: RuleFile) -> str:
    (only,) = _told(*files)
    return only


def _refused(**keys: str) -> str:
    return _one(rule_file(rule_text(**{**SAG, **keys})))


def test_a_good_rule_is_taken() -> None:
    (record,) = check_rule_files([rule_file(rule_text(**SAG))])
    assert record["rule"]["id"] == "power/sag"


@pytest.mark.parametrize(
    ("keys", "at", "what"),
    [
        (
            {"require": "feed.volts_nigth >= feed.load.volts_min"},
            "feed.volts_nigth",
            "a feed has no `volts_nigth`; did you mean `volts_night`?",
        ),
        ({"require": "feed.volts_night >= feed.metres"}, "feed.volts_night >=", "in V"),
        ({"require": "feed.volts_night"}, "feed.volts_night", "must be true/false"),
        (
            {"require": "fed.volts_night >= feed.load.volts_min"},
            "fed.",
            "there is no `fed` here; did you mean `feed`?",
        ),
        ({"require": "feed.volts_night >= feed.load.volts_min &&"}, "&&+2", "ends too early"),
        ({"when": "feed.load.kind == 'camra'"}, "'camra", "'camra'"),
        ({"margin": "feed.volts_night"}, "feed.volts_night", "a number without unit"),
        ({"about": "fead"}, "fead", "`fead` is not a kind that rules judge"),
        ({"about": "path"}, "path", "`path` is not a kind that rules judge"),
        (
            {"about": "{kind: output, feeding: recorder}"},
            "{kind",
            "`output` feeding `recorder` is not a relation",
        ),
        ({"about": "{from: camera, along: sound, to: recorder}"}, "{from", "not a path that the facts know"),
        ({"working": "['fine', 'at {feed.volts|V}']"}, "feed.volts|", "a feed has no `volts`"),
        (
            {"working": "['at {feed.volts_night|m}']"},
            "{feed.volts_night|m",
            "is in V, not in `m`; write `{feed.volts_night|V}`",
        ),
        ({"working": "['at {feed.load.name|V}']"}, "{feed.load.name|V", "has no unit, not in `V`"),
        ({"working": "['at {feed.load}']"}, "{feed.load}", "cannot be printed"),
        ({"working": "['a stray } here']"}, "} here", "`}` stands alone; write it twice"),
        ({"fixes": "[{do: change_cable, of: feed.metres}]"}, "feed.metres", "nothing that can be changed"),
        ({"fixes": "[{do: change_cable, of: fede}]"}, "fede", "did you mean `feed`?"),
        ({"fixes": "[{do: change_cable, says: 'use {feed.cabel}'}]"}, "feed.cabel", "did you mean `cable`?"),
    ],
)
def test_what_a_rule_says_of_the_facts(keys: dict[str, str], at: str, what: str) -> None:
    text = rule_text(**{**SAG, **keys})
    told = _one(rule_file(text))
    assert told.startswith(f"rules/power/sag.yaml:{_place(text, next(iter(keys)), at)}: "), told
    assert what in told


def _place(text: str, key: str, word: str) -> str:
    """Line and column at which `word` stands in the value of `key`; `word+2` means two characters further."""
    word, _, more = word.partition("+")
    lines = text.split("\n")
    number = next(place for place, line in enumerate(lines) if line.startswith(f"{key}:"))
    return f"{number + 1}:{lines[number].index(word, len(key) + 1) + 1 + int(more or 0)}"


@pytest.mark.parametrize(
    ("condition", "figure"),
    [
        ("feed.load.wants_rate / feed.load.wants_rate > 12.0", "12.0"),
        ("feed.load.recorded_width >= 704", "704"),
        ("feed.load.recorded_width * 3 > 0", "3"),
        ("'[1, 7].exists(n, n == feed.load.recorded_width)'", "7"),
    ],
)
def test_a_figure_without_a_source(condition: str, figure: str) -> None:
    text = rule_text(about="feed", require=condition)
    told = _one(rule_file(text))
    assert told.startswith(
        f"rules/power/sag.yaml:{_place(text, 'require', figure)}: {figure} is a figure without a source; "
    )
    assert "limit.NAME" in told


@pytest.mark.parametrize("figure", ["0", "1", "2", "100", "-1"])
def test_figures_that_state_nothing_of_the_trade_may_stand(figure: str) -> None:
    check_rule_files([rule_file(rule_text(about="feed", require=f"feed.load.recorded_width > {figure}"))])
    double = f"feed.load.volts_min / feed.load.volts_max > {figure}.0"
    check_rule_files([rule_file(rule_text(about="feed", require=double))])


LIMITED = {"about": "feed", "require": "feed.metres <= limit.far"}


@pytest.mark.parametrize(
    ("limit", "place", "what"),
    [
        ("{value: 5 furlongs, source: s}", "10:23", "`furlongs`"),
        ("{value: 24 V, source: s}", "9:10", "in m and `limit.far` in V"),
        ("{value: '12', source: s}", "10:23", "a number in quotes"),
        ("{value: 3 cm, source: s}", "10:23", "may be meant as a length or a small length"),
        ("{value: 1.2.3 m, source: s}", "10:23", "`1.2.3 m` is no number with a unit known here"),
    ],
)
def test_limits_that_cannot_be_read(limit: str, place: str, what: str) -> None:
    told = _one(rule_file(rule_text(**LIMITED, limits=f"{{far: {limit}}}")))
    assert told.startswith(f"rules/power/sag.yaml:{place}: "), told
    assert what in told


def test_a_limit_that_nothing_reads() -> None:
    told = _one(rule_file(rule_text(**SAG, limits="{far: {value: 3 m, source: s}}")))
    assert told.startswith("rules/power/sag.yaml:10:15: no expression reads the limit `far`")


def test_a_limit_that_is_not_stated() -> None:
    told = _one(rule_file(rule_text(**LIMITED)))
    assert "there is no `limit` here" in told
    told = _one(rule_file(rule_text(**LIMITED, limits="{fra: {value: 3 m, source: s}}")))
    assert "a limit has no `far`; did you mean `fra`?" in told


def test_a_limit_without_a_source() -> None:
    told = _one(rule_file(rule_text(**LIMITED, limits="{far: {value: 3 m}}")))
    assert "source" in told
    assert told.startswith("rules/power/sag.yaml:10:")


def test_an_unknown_key_and_a_missing_one() -> None:
    told = _refused(requires="true")
    assert told.startswith("rules/power/sag.yaml:10:1: ")
    assert "`requires`" in told
    assert "`require`" in told
    missing = rule_text(**SAG).replace('since: "0.1"\n', "")
    assert "`since`" in _one(rule_file(missing))


def test_wrong_values_of_keys() -> None:
    told = _one(rule_file(rule_text(**SAG).replace("level: error", "level: fatal")))
    assert told.startswith("rules/power/sag.yaml:3:8: ")
    assert "`fatal`" in told
    assert "error, warning, note" in told


def test_no_wording_of_the_validation_library_is_shown() -> None:
    broken = rule_text(**SAG).replace("level: error", "level: fatal").replace("title: A title", "title: 3")
    for told in _told(rule_file(broken)):
        assert "Input should be" not in told
        assert "pydantic" not in told


def test_all_problems_of_all_files_are_told_at_once() -> None:
    first = rule_file(rule_text(about="feed", require="feed.a == feed.b", margin="feed.c"))
    second = rule_file(rule_text("power/other", about="fead", require="'true'"), "power/other")
    told = _told(first, second)
    assert [line.partition(": ")[0] for line in told] == [
        "rules/power/sag.yaml:9:10", "rules/power/sag.yaml:9:20", "rules/power/sag.yaml:10:9",
        "rules/power/other.yaml:8:8",
    ]  # fmt: skip


def test_an_id_that_is_not_that_of_the_file() -> None:
    told = _one(rule_file(rule_text("power/slump", **SAG)))
    assert told == "rules/power/sag.yaml:1:5: the id `power/slump` is not that of the file; write `power/sag`"


def test_a_topic_of_the_programs_own() -> None:
    told = _one(rule_file(rule_text("waiver/sag", **SAG), "waiver/sag"))
    assert "topic of the program's own" in told


def test_an_id_taken_twice_names_both_places() -> None:
    again = RuleFile(Path("x"), "mine/power/sag.yaml", ("power/sag",), rule_text(**SAG).encode(), None)
    told = _one(rule_file(rule_text(**SAG)), again)
    assert told.startswith("mine/power/sag.yaml:1:5: the id `power/sag` is taken by rules/power/sag.yaml:1:5")


def test_a_former_id_may_not_be_anothers_and_a_successor_must_exist() -> None:
    other = rule_file(rule_text("power/other", **SAG, aliases="[power/sag]"), "power/other")
    assert "power/other.yaml:10:11: the id `power/sag` is taken by rules/power/sag.yaml:1:5" in _one(
        rule_file(rule_text(**SAG)), other
    )
    told = _one(rule_file(rule_text(**SAG, replaced_by="power/gone")))
    assert told == "rules/power/sag.yaml:10:14: there is no rule `power/gone`"


def test_a_file_that_cannot_be_read_as_yaml_or_as_text() -> None:
    assert _one(rule_file("id: [power/sag")).startswith("rules/power/sag.yaml:")
    raw = RuleFile(Path("x"), "rules/power/sag.yaml", ("power/sag",), b"id: caf\xe9", None)
    assert "not UTF-8 at byte 8" in _one(raw)
    assert "twice" in _one(rule_file(rule_text(**SAG) + "level: note\n"))


def test_cases_that_cannot_be_read() -> None:
    cases = "cases:\n  - {name: one, fials: []}\n  - {name: two, passes: [cameras/c1]}\n"
    told = _one(rule_file(rule_text(**SAG), cases=cases))
    assert told.startswith("rules/power/sag.cases.yaml:2:")
    assert "`fials`" in told
    assert "`fails`" in told


FOLDED = """\
id: power/sag
title: A title
level: error
about: feed
require: >-
  feed.volts_night
  >= feed.load.volts_mni
says: >-
  The camera gets
  {feed.volts_night|V} and that
  is {feed.bad}
why: |
  Because.
sources: [{title: common practice}]
since: "0.1"
"""


def test_problems_in_block_scalars_stand_at_their_own_line_and_column() -> None:
    assert [line.rpartition(": ")[0].partition(": ")[0] for line in _told(rule_file(FOLDED))] == [
        "rules/power/sag.yaml:7:6", "rules/power/sag.yaml:11:7",
    ]  # fmt: skip


def test_problems_in_quoted_scalars_stand_behind_the_quote() -> None:
    assert _refused(require="'feed.bad'").startswith("rules/power/sag.yaml:9:11: ")
    doubled = _refused(require="'feed.cable == ''x'' && feed.bad'")
    assert doubled.startswith("rules/power/sag.yaml:9:34: "), doubled
