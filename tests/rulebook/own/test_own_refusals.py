"""Every mistake in a file of a user's facts is told at its place, with what is wrong; nothing is skipped."""

# ruff: noqa: E501
from __future__ import annotations

import re
import textwrap
from collections.abc import Callable
from pathlib import Path

import pytest

from coaxwright.errors import Refusal
from coaxwright.facts.sheets.kinds import fact_kinds
from coaxwright.rulebook.loading import load_rulebook

Write = Callable[..., Path]


def told(folder: Path) -> list[str]:
    with pytest.raises(Refusal) as caught:
        load_rulebook([folder])
    return [str(problem).removeprefix(f"{folder}/") for problem in caught.value.problems]


def fact(body: str, kind: str = "feed", cases: str = "[{given: {}, open: [volts_night]}]", head: str = "") -> str:
    """A file of one fact `mine`."""
    return f"kind: {kind}\n{head}facts:\n  mine:\n    says: A sentence.\n{textwrap.indent(textwrap.dedent(body), '    ')}\n    cases: {cases}\n"


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        (fact("is: feed.volts_nite > 0.0"), r"facts/a.yaml:5:9: a feed has no `volts_nite`; did you mean `volts_night`\?"),
        (fact("unit: A\nis: feed.volts_night"), "facts/a.yaml:6:9: it is a number in V, and the fact a number in A; .*"),
        (fact("unit: blorp!\nis: feed.volts_night"), "facts/a.yaml:5:11: `blorp!` is not a unit.*"),
        (fact("unit: V\nis: feed.volts_night * 0.9"), "facts/a.yaml:6:28: 0.9 is a figure without a source; .*limit.NAME`"),
        (fact("is: feed.load"), "facts/a.yaml:5:9: it is a camera, which no fact can be"),
        (fact("is: feed.volts_night >"), r"facts/a.yaml:5:\d+: .*"),
        (fact("is: feed.mine > 0.0"), "facts/a.yaml:4:5: the facts need one another: feed.mine -> feed.mine; break the circle"),
        (fact("one_of: [{when: feed.kinds_meet, is: '1'}]"), "facts/a.yaml:5:13: no branch applies where feed.kinds_meet is false.*"),
        (fact("one_of: [{when: feed.kinds_meet, is: '1'}, {when: has(feed.cable), is: '2'}, {is: '0'}]"),
         "facts/a.yaml:5:13: branches 1 and 2 both apply where .*"),
        (fact("is: '1'\none_of: [{is: '1'}]"), "facts/a.yaml:4:5: a fact has either `is` or `one_of`; write one of the two"),
        (fact("says: again"), "facts/a.yaml:5:5: .*"),
        (fact("is: '1'\nassumes: codec"), "facts/a.yaml:6:5: `assumes` is not a key here; .*"),
        (fact("is: '1'", kind="fed"), "facts/a.yaml:1:7: `fed` is no kind of sheet that facts can be added to; did you mean `feed`.*"),
        (fact("is: '1'", kind="path"), "facts/a.yaml:1:7: `path` is no kind of sheet that facts can be added to.*"),
        (fact("is: '1'", head="given: {x: {says: y}}\n"), "facts/a.yaml:2:1: `given` is not a key here; .*"),
        (fact("is: '1'", head="limits: {x: {value: 10 %, source: common practice}}\n"),
         "facts/a.yaml:2:13: no expression reads the limit `x`; write `limit.x`, or remove it"),
        (fact("is: feed.volts_night > limit.x", head="limits: {x: {value: 10 V}}\n"), "facts/a.yaml:2:10: `source` is missing.*"),
        (fact("is: feed.volts_night > limit.x", head="limits: {x: {value: 10 blorps, source: me}}\n"),
         "facts/a.yaml:2:21: `10 blorps` is no number with a unit known here.*"),
        (fact("is: feed.volts_night > limit.x", head="limits: {x: {value: 10 A, source: me}}\n"), "facts/a.yaml:6:9: .* V .* A.*"),
        (fact("is: '1'", cases="[]"), "facts/a.yaml:6:12: `cases` has too few entries; write at least 1"),
    ],
)  # fmt: skip
def test_a_mistake_is_told_at_its_place(mine: Write, text: str, wanted: str) -> None:
    (found,) = told(mine(facts__a=text))
    assert re.fullmatch(wanted, found), found


@pytest.mark.parametrize("name", ["volts_night", "subject", "kind", "missing", "own", "pointer"])
def test_a_name_of_the_program_cannot_be_taken(mine: Write, name: str) -> None:
    (found,) = told(mine(facts__a=fact("is: feed.kinds_meet").replace("mine:", f"{name}:")))
    if name in fact_kinds()["feed"].fields:
        assert found == f"facts/a.yaml:4:5: `feed.{name}` is a fact of the program; give it another name"
    else:
        assert found == f"facts/a.yaml:4:5: the name `{name}` is taken by the program; give it another name"


def test_a_step_of_the_program_cannot_be_taken(mine: Write) -> None:
    (found,) = told(mine(facts__a=fact("is: view.night", kind="view").replace("mine:", "spread:")))
    assert "`spread` is taken by the program" in found


def test_two_files_cannot_declare_one_fact(mine: Write) -> None:
    text = fact("is: feed.kinds_meet")
    (found,) = told(mine(facts__a=text, facts__b=text))
    assert re.fullmatch(r"facts/b.yaml:4:5: the fact `feed.mine` is declared by .*/facts/a.yaml:4:5; give .*", found)


def test_a_circle_over_two_files_and_kinds_is_named(mine: Write) -> None:
    one = fact("is: '!link.camera.hers'", kind="link")
    other = fact("is: '!camera.link.mine'", kind="camera").replace("mine:", "hers:", 1)
    (found,) = told(mine(facts__a=one, facts__b=other))
    assert found == "facts/a.yaml:4:5: the facts need one another: link.mine -> camera.hers -> link.mine; break the circle"


def test_a_rule_that_reads_a_wrong_fact_is_not_blamed(mine: Write) -> None:
    rule = 'about: feed\nrequire: "feed.mine"\nsays: "no"\n'
    (found,) = told(mine(facts__a=fact("is: feed.volts_nite > 0.0"), own__r=rule))
    assert found.startswith("facts/a.yaml:5:9:")


def test_a_rule_cannot_read_a_step(mine: Write) -> None:
    text = fact(
        "is: feed.inner",
        head="steps: {inner: {says: x, is: feed.kinds_meet, cases: [{given: {kinds_meet: true}, gives: true}]}}\n",
    )
    (found,) = told(mine(facts__a=text, own__r='about: feed\nrequire: "feed.inner"\nsays: "no"\n'))
    assert found.startswith("own/r.yaml:2:11: a feed has no `inner`"), found


def test_many_in_a_row_are_refused(mine: Write) -> None:
    rows = [
        f"  m{place}: {{says: x, is: 'feed.m{place - 1} + 1', cases: [{{given: {{}}, open: [m{place - 1}]}}]}}"
        for place in range(1, 60)
    ]
    first = "  m0: {says: x, is: '1', cases: [{given: {}, gives: 1}]}"
    found = told(mine(facts__a="\n".join(["kind: feed", "facts:", *reversed(rows), first])))
    assert any("more than 40 facts rest on one another in a row" in each for each in found)


def test_facts_stand_in_their_folder_and_cases_beside_each(mine: Write) -> None:
    (found,) = told(mine(facts__a=fact("is: feed.kinds_meet"), facts__a_cases="cases: [{name: x, passes: [y]}]\n"))
    assert found.startswith("facts/a.cases.yaml: cases of facts stand beside each fact")


def test_a_topic_named_facts_may_still_hold_rules(mine: Write) -> None:
    rule = """\
        id: facts/any
        title: A rule
        level: note
        about: feed
        require: feed.volts_night > 0.0
        says: none
        why: Because.
        sources: [{title: common practice}]
        since: "0.1"
        """
    book = load_rulebook([mine(facts__any=rule, facts__a=fact("is: feed.kinds_meet"))])
    assert book.rule("facts/any").level == "note"
    assert [each.id for each in book.own.facts] == ["feed.mine"]
