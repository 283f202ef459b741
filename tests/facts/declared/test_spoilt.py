"""A declaration spoilt in one place is refused, or one of its own cases does not hold."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from coaxwright.errors import Refusal
from coaxwright.facts.declared.cases import failing
from coaxwright.facts.declared.checking import check_facts
from coaxwright.reading.yaml_source import parse_document

FILES = sorted((Path(__file__).parents[3] / "rules" / "facts").glob("*.yaml"))
SPOILT = (
    (" / ", " * "), (" * ", " / "), (" - ", " + "), (" + ", " - "), ("hypot(", "max("), ("square(", "abs("), ("sqrt(", "abs("),
    ("atan(", "tan("), ("tan(", "atan("), ("2.0", "1.0"), ("!has", "has"), (" && ", " || "), (" == ", " != "), (" < ", " >= "),
    (" <= ", " < "), (" > ", " <= "), ("min(", "max("), ("max(", "min("), ("sum(", "max("), ("size(", "2 * size("),
    ("pow(", "max("),
)  # fmt: skip


def spoilt(text: str) -> Iterator[tuple[str, str]]:
    """What was written instead, and the file with it."""
    for line in re.finditer(r"^\s*(?:- )?\{?(?:is|when):.*$", text, re.MULTILINE):
        for old, new in SPOILT:
            for hit in re.finditer(re.escape(old), line[0]):
                start = line.start() + hit.start()
                yield f"{line[0].strip()}: {old}->{new}", text[:start] + new + text[start + len(old) :]


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_no_spoilt_declaration_gets_by(file: Path) -> None:
    text, tried = file.read_text(encoding="utf-8"), 0
    assert not failing(check_facts(parse_document(text, file.name)))
    for what, changed in spoilt(text):
        tried += 1
        try:
            assert failing(check_facts(parse_document(changed, file.name))), what
        except Refusal:
            continue
    assert tried, "something was spoilt"
