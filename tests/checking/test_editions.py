"""A finding cites the edition of IEC 62676-4 whose class it was judged by, and no other.

Outside figures: classes of the second edition (20, 40, 80, 125, 250, 500, 1500 px/m) as two public secondary pages print them.
"""

from __future__ import annotations

import pytest

from coaxwright.checking import check
from coaxwright.model.rules import Case
from coaxwright.reading.tables import load_table
from coaxwright.rulebook.cases import case_site, load_bases


def findings(see: str, at: str) -> dict:
    site = {"cameras": {"c1": {"wants": {"see": see, "at": at}}}}
    report = check(case_site(load_bases(), Case(name="one", base="seeing", site=site)))
    return {each.rule: each for each in report.findings}


def test_validate_cites_the_present_edition() -> None:
    cited = [source.title for source in findings("validate", "5 m")["view/density-low"].sources]
    assert "IEC 62676-4:2025" in cited
    assert "IEC 62676-4:2014" not in cited


def test_identify_cites_the_withdrawn_one_and_says_so() -> None:
    low = findings("identify", "7 m")["view/density-low"]
    assert [source.title for source in low.sources if "62676" in source.title] == ["IEC 62676-4:2014"]
    assert "withdrawn" in str(low.sources[0])


def test_identify_that_passes_is_told_what_the_present_one_asks() -> None:
    found = findings("identify", "5.5 m")
    assert "view/density-low" not in found
    assert "500 px/m" in found["view/edition-withdrawn"].message
    assert found["view/edition-withdrawn"].confidence != "from memory"


@pytest.mark.parametrize("see", ["recognise", "validate"])
def test_nothing_is_said_where_both_are_held(see: str) -> None:
    assert "view/edition-withdrawn" not in findings(see, "3 m")


def test_classes_of_the_present_edition() -> None:
    assert [row["density"] for row in load_table("view-classes-2025").rows] == [20, 40, 80, 125, 250, 500, 1500]
