"""Sheets that hold what they declare, and documentation that says what the code does."""

from __future__ import annotations

import re
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from coaxwright.language import parsing
from coaxwright.language.building import MACROS
from coaxwright.language.conforming import wrong_fields
from coaxwright.language.evaluating import MAX_STEPS
from coaxwright.language.types import STANDARD_FUNCTIONS, Bool, FieldSpec, KindSpec
from coaxwright.language.typing_check import check_expression

DOCUMENT = (Path(__file__).parents[2] / "docs" / "rule-language.md").read_text(encoding="utf-8")


def test_the_sheets_of_these_tests_conform(world: SimpleNamespace) -> None:
    kinds = world.environment.kinds
    feed = world.sheets["feed"]
    for sheet, kind in [(feed, "feed"), (feed.load, "load"), *((hop, "hop") for hop in feed.hops)]:
        assert wrong_fields(sheet, kinds[kind]) == []


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("volts", 12),
        ("volts", None),
        ("volts", "12 V"),
        ("joints", 3.0),
        ("joints", True),
        ("joints", 2**63),
        ("live", 1),
        ("kind", "boat"),
        ("name", None),
        ("modes", "1280x720"),
        ("modes", (1,)),
        ("lengths", [60]),
        ("load", None),
        ("load", "slipway"),
        ("hops", (None,)),
    ],
)
def test_a_wrong_value_is_found(field: str, value: object, world: SimpleNamespace, sheet_class: Any) -> None:
    found = wrong_fields(sheet_class("feed", **{field: value}), world.environment.kinds["feed"])
    assert len(found) == 1
    assert found[0].startswith(f"feed.{field} is {value!r}")


def test_an_unset_field_that_is_required_is_found(sheet_class: Any) -> None:
    kind = KindSpec("feed", {"live": FieldSpec("live", Bool(), "live", optional=False)}, "feed")
    assert wrong_fields(sheet_class("feed"), kind) == ["feed.live is unset and not optional"]


def test_documented_limits_are_those_of_the_code() -> None:
    rows = dict(re.findall(r"^\| ([^|]+?) \| ([0-9,]+)[^|]*\|$", DOCUMENT.split("## Limits")[1], re.MULTILINE))
    limits = [int(value.replace(",", "")) for value in rows.values()]
    assert limits == [
        parsing.MAX_CHARACTERS,
        parsing.MAX_NODES,
        parsing.MAX_DEPTH,
        parsing.MAX_CHAIN,
        parsing.MAX_HEIGHT,
        parsing.MAX_MACROS,
        MAX_STEPS,
    ]


@pytest.mark.parametrize("name", sorted([*STANDARD_FUNCTIONS, *MACROS, "has"]))
def test_every_function_is_documented(name: str) -> None:
    assert re.search(rf"^\|[^|]*\b{name}\(", DOCUMENT, re.MULTILINE)


@pytest.mark.parametrize(
    "text",
    [
        "feed.volts >= feed.load.volts_min",
        "has(feed.metres) && feed.metres <= limit.longest",
        'path.hops.exists(hop, hop.kind == "box" && hop.blocks_sound)',
    ],
)
def test_documented_examples_parse(text: str) -> None:
    assert text in DOCUMENT or text.replace("volts >=", "volts_night >=") in DOCUMENT
    parsing.parse_expression(text)


def test_what_the_document_says_is_refused_is_refused(world: SimpleNamespace) -> None:
    from coaxwright.errors import Refusal

    for text in ("feed.joints * 2.0 > 1.0", 'feed.load.kind == "camra"'):
        with pytest.raises(Refusal):
            check_expression(text, world.environment)
    for text in ("double(feed.joints) * 2.0 > 1.0", "feed.volts * 0.9 > 0.0", "feed.joints <= 3"):
        assert check_expression(text, world.environment, Bool()).text == text
