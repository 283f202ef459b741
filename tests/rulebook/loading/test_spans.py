"""Places of expressions over several lines, counted by hand; excerpts; ends of every node; few fixed words."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

import pytest

from coaxwright.errors import Refusal
from coaxwright.language.evaluating import evaluate
from coaxwright.language.figures import limits_read
from coaxwright.language.functions import OperationFault, divide_int, int_of_text, modulo_int
from coaxwright.language.parsing import RESERVED, parse_expression, span_in
from coaxwright.language.syntax import walk
from coaxwright.language.templates import check_template, fill
from coaxwright.language.typing_check import check_expression
from coaxwright.rulebook.environment import rule_environment
from coaxwright.rulebook.limits import read_limit
from coaxwright.rulebook.scope import JOINT, joint_scope, kind_scope, path_scope

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
from handmade import Facts, make, rule

ENVIRONMENT = rule_environment(kind_scope("feed"), {})


@pytest.mark.parametrize(
    ("start", "end", "place"),
    [
        (0, 2, (1, 1, 1, 3)), (1, 2, (1, 2, 1, 3)), (3, 5, (2, 1, 2, 3)), (4, 7, (2, 2, 3, 2)), (6, 7, (3, 1, 3, 2)),
        (0, 7, (1, 1, 3, 2)),
    ],
)  # fmt: skip
def test_lines_and_columns_count_from_one(start: int, end: int, place: tuple[int, ...]) -> None:
    """ab / cd / e: offsets 0-1, 3-4 and 6."""
    span = span_in("ab\ncd\ne", start, end)
    assert (span.line, span.column, span.end_line, span.end_column, span.start, span.end) == (*place, start, end)


@pytest.mark.parametrize(
    "text",
    [
        "a.x && b.y && c.z", "a.x || b.y || c.z", "a.x ? b.y : c.z", "a.x + b.y", "-a.x", "!a.x", "a.b.c", "has(a.b)",
        "a.x[0]", "[a, b, c]", "size(a.x)", "a.x.contains('b')", "a.x.all(i, i.y)", "a in [1, 2]", "'text'", "1.5",
    ],
)  # fmt: skip
def test_a_node_ends_where_its_text_ends(text: str) -> None:
    tree = parse_expression(f"  {text}")
    assert (tree.start, tree.end) == (2, 2 + len(text))
    assert all(2 <= node.start < node.end <= tree.end for node in walk(tree))


def test_a_problem_of_a_sentence_is_told_at_its_line() -> None:
    with pytest.raises(Refusal) as refused:
        check_template("first\nsecond {feed.nonsense} third", ENVIRONMENT, check_expression)
    (problem,) = refused.value.problems
    assert problem.span is not None
    assert (problem.span.line, problem.span.column, problem.span.end_line) == (2, 9, 2)
    with pytest.raises(Refusal) as refused:
        check_template("one {feed.volts_night|m}", ENVIRONMENT, check_expression)
    span = refused.value.problems[0].span
    assert span is not None
    assert (span.line, span.column, span.end_line, span.end_column, span.start, span.end) == (1, 5, 1, 25, 4, 24)


@pytest.mark.parametrize(("length", "shown"), [(60, "{}"), (61, "{}...")])
def test_long_expressions_are_told_in_sixty_characters(length: int, shown: str) -> None:
    text = "feed.cable + '" + "a" * (length - len("feed.cable + ''")) + "'"
    assert len(text) == length
    with pytest.raises(Refusal) as refused:
        check_expression(f"{text} == 1", ENVIRONMENT)
    expected = shown.format(text if length == 60 else text[:57])
    assert f"`{expected}`" in refused.value.problems[0].what


@pytest.mark.parametrize(("written", "shown"), [(True, "true"), (False, "false"), (2, "2"), (1.5, "1.5"), ("3 V", "3 V")])
def test_how_a_limit_is_written(written: Any, shown: str) -> None:
    from coaxwright.facts.sheets.kinds import known_units

    assert read_limit("x", {"value": written, "about": "a", "source": "s"}, known_units()).written == shown


def test_whole_numbers_of_text_have_at_most_forty_characters() -> None:
    assert int_of_text("0" * 39 + "7") == 7
    with pytest.raises(OperationFault):
        int_of_text("0" * 40 + "7")


@pytest.mark.parametrize(("left", "right"), [(7, 2), (-7, 2), (7, -2), (-7, -2), (0, 5), (0, -5), (1, 3), (-1, 3), (6, 3)])
def test_quotient_and_remainder(left: int, right: int) -> None:
    """Truncation towards zero: q b + r = a with |r| < |b| and r of the sign of a; CEL specification, as in C."""
    quotient, remainder = divide_int(left, right), modulo_int(left, right)
    assert quotient * right + remainder == left
    assert abs(remainder) < abs(right)
    assert remainder == 0 or (remainder < 0) == (left < 0)
    assert quotient == int(left / right)


def test_limits_that_are_read() -> None:
    """Only what follows `limit.`; the same name elsewhere is no limit."""
    keys = {"limits": "{least: {value: 11 V, source: common practice}, most: {value: 15 V, source: common practice}}"}
    bounded = rule(about="feed", require="feed.volts_night >= limit.least && feed.volts_night <= limit.most", **keys)
    assert limits_read([bounded.require]) == {"least", "most"}
    assert limits_read([check_expression("feed.volts_night >= feed.volts_day", ENVIRONMENT)]) == set()


def test_words_that_no_variable_may_bear() -> None:
    """Reserved words of the Common Expression Language specification, "Syntax"."""
    words = "true false null in as break const continue else for function if import let loop package namespace return var void"
    assert set(words.split()) | {"while"} == RESERVED


def test_a_limit_reaches_the_exact_evaluator_without_a_site() -> None:
    from coaxwright.rulebook.judging import judge_rule

    limits = "{least: {value: 11 V, source: common practice}}"
    bounded = rule(about="feed", require="feed.volts_night >= limit.least", limits=limits)
    verdict = judge_rule(bounded, Facts(make("feed", "cameras/a", volts_night=12.0), make("feed", "cameras/b", volts_night=10.0)))
    assert (verdict.passed, [each.kind for each in verdict.judgements]) == (1, ["fail"])


def test_runs_of_power_are_no_boxes() -> None:
    from coaxwright.rulebook.judging import judge_rule

    camera, supply = make("camera", "cameras/c1", name="c1"), make("supply", "supplies/p", name="p")
    feed = make("feed", "cameras/c1", load=camera, source=supply, metres=60.0)
    run = make("run", "cameras/c1/power/over/0", owner="cameras/c1", use="power", metres=60.0, cable="dc")
    text = "path.hops.all(h, h.is_run && !h.is_box && h.medium == 'power' && h.name == 'dc' && h.part == 'dc')"
    plain = rule(about="{from: camera, along: power, to: supply}", require=f'"{text}"')
    assert judge_rule(plain, Facts(camera, supply, feed, run)).passed == 1


@pytest.mark.parametrize(
    ("scope", "subject", "variable", "words"),
    [
        (kind_scope("feed"), "feed", "feed", "every feed"),
        (joint_scope("output", "camera"), "output", JOINT, "every output, for each camera that it feeds"),
        (path_scope("camera", "video", "input"), "path", JOINT, "every path along video from camera to input"),
    ],
)
def test_scopes_in_words(scope: Any, subject: str, variable: str, words: str) -> None:
    assert (scope.subject, scope.sweep_variable, str(scope)) == (subject, variable, words)


@pytest.mark.parametrize(
    ("values", "same_unit"),
    [((9.81, 9.81), True), ((9.8149, 9.8151), False), ((9.8149, 9.8101), False), ((9.8101, 9.8149), False)],
)
def test_more_digits_only_for_values_that_differ(values: tuple[float, float], same_unit: bool) -> None:
    template = check_template("{feed.volts_night|V} {feed.volts_day|V} {feed.metres|m}", ENVIRONMENT, check_expression)
    sheet = make("feed", "cameras/c1", volts_night=values[0], volts_day=values[1], metres=9.81)
    night, _, day, _, metres, _ = fill(template, {"feed": sheet}).split()
    assert (night == day) is same_unit
    assert metres == "9.8"
    assert (float(night) < float(day)) == (values[0] < values[1])


def test_sheets_are_looked_for_by_themselves() -> None:
    environment = rule_environment(kind_scope("output"), {})
    one, other = make("feed", "cameras/a", cable="x"), make("feed", "cameras/b", cable="x")
    checked = check_expression("output.feeds.exists(f, f in output.feeds.filter(g, g.own_output) && f.cable == 'x')", environment)
    one.own_output, other.own_output = False, True
    assert evaluate(checked, {"output": make("output", "supplies/p/1", feeds=[one, other])}) is True
    assert evaluate(checked, {"output": make("output", "supplies/p/1", feeds=[one])}) is False


def test_problems_are_told_in_the_order_of_the_text() -> None:
    with pytest.raises(Refusal) as refused:
        check_expression("feed.zzz == 1 && feed.aaa == 1 && feed.mmm == 1", ENVIRONMENT)
    starts = [problem.span.start for problem in refused.value.problems if problem.span]
    assert len(starts) == 3
    assert starts == sorted(starts)


@pytest.mark.parametrize(
    ("written", "other", "noun"),
    [("a", 1, "text"), (True, 1, "true or false"), (3, "x", "a whole number"), (1.5, "x", "a plain number")],
)
def test_what_a_limit_has_to_be_is_said(written: Any, other: Any, noun: str) -> None:
    from coaxwright.facts.sheets.kinds import known_units
    from coaxwright.model.quantities import QuantityError
    from coaxwright.rulebook.limits import override_limit

    limit = read_limit("x", {"value": written, "about": "a", "source": "s"}, known_units())
    with pytest.raises(QuantityError, match=rf"is not {noun}(;|$)"):
        override_limit(limit, other)


@pytest.mark.parametrize(("text", "start"), [("a.b == == 1", 7), ("a.b && ", 7), (") a", 0)])
def test_a_sign_out_of_place_is_one_character_wide(text: str, start: int) -> None:
    with pytest.raises(Refusal) as refused:
        parse_expression(text)
    span = refused.value.problems[0].span
    assert span is not None
    assert start - 4 <= span.start <= start
    assert span.end - span.start <= 2


def test_pages_end_with_one_line_end() -> None:
    from coaxwright.rulebook.builtin import BUILT_IN
    from coaxwright.rulebook.pages import builtin_page

    for about in BUILT_IN.values():
        page = builtin_page(about)
        assert page.endswith("\n")
        assert not page.endswith("\n\n")
        assert f"# {about.id}" in page
