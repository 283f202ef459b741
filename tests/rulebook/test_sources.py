"""The register of sources: every figure has a publication that is known in some way, or says that it has none."""

from __future__ import annotations

import csv
import io
import json
import re

import pytest

from coaxwright.checking import check
from coaxwright.cli.main import run as coaxwright
from coaxwright.model.rules import Case
from coaxwright.reading.tables import load_table
from coaxwright.rulebook.cases import case_site, load_bases
from coaxwright.rulebook.loading import load_rulebook
from coaxwright.rulebook.sources import KNOWN, entry_of, register

ENTRIES = register(load_rulebook())
STANDARD = re.compile(r"\b(?:ISO/IEC|IEC|IEEE|ITU-[RT]|SMPTE ST|CTA-|ASTM|NFPA|TIA-|EN|DIN VDE|UL|RFC|NEC|MIL-) ?[A-Z]{0,2}\.?\d")


def test_nothing_is_without_a_source() -> None:
    assert [each for each in ENTRIES if each.known == "not registered"] == []
    assert len(ENTRIES) > 500


def test_every_standard_named_anywhere_is_registered() -> None:
    missing = {each.source for each in ENTRIES if STANDARD.search(each.source) and not each.publications}
    assert missing == set()


def test_every_rule_limit_and_table_of_figures_is_listed() -> None:
    figures = {each.figure for each in ENTRIES}
    for rule in load_rulebook().rules:
        assert rule.id in figures or all("datasheet" in note["title"] for note in rule.plain["sources"]), rule.id
        assert {f"{rule.id} limit {name} {limit.written}" for name, limit in rule.limits.items()} <= figures
    assert any(each.startswith("table conductors-iec60228: ") for each in figures)
    assert any(each.startswith("constant ") for each in figures)
    assert any(each.startswith("fact ") for each in figures)


def test_superseded_first_then_memory() -> None:
    superseded = [bool(each.superseded_by) for each in ENTRIES]
    assert superseded == sorted(superseded, reverse=True)
    rest = [KNOWN.index(each.known) for each in ENTRIES if not each.superseded_by]
    assert rest == sorted(rest)


@pytest.mark.parametrize(
    ("source", "known", "superseded"),
    [
        ("IEC 60228:2004 table 3", "secondary", "IEC 60228:2023, edition 4.0"),
        ("IEC 62676-4:2014 clause 6.7", "secondary", "IEC 62676-4:2025 (October 2025)"),
        ("IEC 62676-4:2025", "secondary", ""),
        ("TIA-568-C.2, 6.4.7", "secondary", "TIA-568.2-E"),
        ("NEC 2026, article 722", "secondary", ""),
        ("IEC 60364-4-41", "memory", ""),
        ("IEC 60529, from memory", "memory", ""),
        ("common practice", "common practice", ""),
        ("geometrical optics", "derivation", ""),
        ("a page somewhere", "not registered", ""),
    ],
)
def test_how_a_source_is_known(source: str, known: str, superseded: str) -> None:
    found = entry_of("x", source)
    assert (found.known, found.superseded_by) == (known, superseded)


def test_rows_of_the_register() -> None:
    for row in load_table("sources").rows:
        assert re.fullmatch(r"20\d\d-\d\d-\d\d", row["date"])


def test_a_finding_that_rests_on_a_publication_known_from_memory_says_so() -> None:
    site = {"supplies": {"psu1": {"trim": "12 V"}}}
    report = check(case_site(load_bases(), Case(name="one", base="one-camera", site=site)))
    assert all(each.confidence in ("stated", "assumed", "from memory") for each in report.findings)
    rules = load_rulebook().by_id
    for each in report.findings:
        notes = rules[each.rule].plain["sources"] if each.rule in rules else ()
        if any(entry_of("", ", ".join(map(str, note.values()))).known == "memory" for note in notes):
            assert each.confidence == "from memory"


def test_the_command(capsys: pytest.CaptureFixture[str]) -> None:
    assert coaxwright(["rules", "sources", "--format", "json", "--known", "memory"]) == 0
    listed = json.loads(capsys.readouterr().out)
    assert {each["known"] for each in listed} == {"memory"}
    assert list(listed[0]) == ["figure", "source", "publications", "known", "superseded_by", "date"]


def test_superseded_as_csv(capsys: pytest.CaptureFixture[str]) -> None:
    assert coaxwright(["rules", "sources", "--format", "csv", "--known", "superseded"]) == 0
    rows = list(csv.reader(io.StringIO(capsys.readouterr().out.lstrip("\ufeff"))))
    head = next(row for row in rows if row and row[0] == "figure")
    assert head == ["figure", "known", "superseded by", "source", "publications", "date"]
    assert len(rows) > 50


def test_a_way_of_knowing_that_there_is_not(capsys: pytest.CaptureFixture[str]) -> None:
    assert coaxwright(["rules", "sources", "--known", "hearsay"]) == 2
    assert "superseded" in capsys.readouterr().err
