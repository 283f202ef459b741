"""QTI packages against the published schema (IMS QTI 2.1, XSD), and what no schema sees: names that lead nowhere."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from coaxwright.quiz.bank import Bank
from coaxwright.quiz.formats import qti, qti_names
from coaxwright.quiz.items import Item
from coaxwright.quiz.papers import Paper
from coaxwright.quiz.printed import key_data, sheet_of

SCHEMA = Path(__file__).parents[3] / "shared" / "standards" / "qti" / "imsqti_v2p1p2.xsd"


@pytest.fixture(scope="module")
def packages(bank: Bank, item_of: Callable[..., Item]) -> Mapping[str, bytes]:
    """A paper with one question of every kind, without its key and with it."""
    kinds = {pattern.form.kind: pattern.id for pattern in bank.patterns}
    items = tuple(item_of(identifier) for _, identifier in sorted(kinds.items()))
    paper = Paper("A", "One of each <kind> & sort", 1, "sha256:" + "0" * 64, "0", items)
    sheet = sheet_of(paper)
    return {"paper": qti.package(sheet), "key": qti.package(sheet, key_data(bank, paper))}


@pytest.mark.parametrize("name", ["paper", "key"])
def test_every_kind_of_question_is_valid(packages: Mapping[str, bytes], name: str) -> None:
    assert list(qti_names.broken_names(packages[name])) == []
    if not SCHEMA.exists():
        pytest.skip("the published QTI schema is not beside the repository")
    etree = pytest.importorskip("lxml.etree")
    schema = etree.XMLSchema(etree.parse(str(SCHEMA), etree.XMLParser(no_network=True)))
    for path, text in unpacked(packages[name]).items():
        if path.endswith(".xml") and path != "imsmanifest.xml":
            schema.assertValid(etree.fromstring(text.encode()))


def unpacked(packed: bytes) -> dict[str, str]:
    with zipfile.ZipFile(io.BytesIO(packed)) as package:
        return {name: package.read(name).decode() for name in package.namelist()}


def repacked(held: Mapping[str, str]) -> bytes:
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w") as package:
        for name, text in held.items():
            package.writestr(name, text)
    return buffer.getvalue()


BROKEN = {
    "a file of the manifest": (r"imsmanifest", r'(<file href=")items/\w+', r"\1items/gone", "the manifest names items/gone.xml"),
    "a dependency": (r"imsmanifest", r'(identifierref=")r-\w+', r"\1r-gone", "the manifest depends on r-gone"),
    "an item of the test": (r"test\.xml", r'(href=")items/\w+', r"\1items/gone", "the test names items/gone.xml"),
    "an item by another name": (r"items/", r'(<assessmentItem [^>]*identifier=")q\w+', r"\1qgone", "is called qgone"),
    "a name with a digit first": (r"items/", r'(<assessmentItem [^>]*identifier=")q', r"\g<1>1", "does not begin with a letter"),
    "two choices alike": (r"items/", r'identifier="B"', 'identifier="A"', "two choices have one identifier"),
    "a key that is no choice": (r"items/", r"<value>[ABC]</value>", "<value>D</value>", "the key D names no choice"),
    "a response not declared": (r"items/", r'responseIdentifier="RESPONSE"', 'responseIdentifier="R"', "R is not declared"),
    "an outcome that is not declared": (r"items/", r'(setOutcomeValue identifier=")SCORE', r"\1MARK", "MARK is not declared"),
}  # fmt: skip


@pytest.mark.parametrize("name", sorted(BROKEN))
def test_what_leads_nowhere_is_told(packages: Mapping[str, bytes], name: str) -> None:
    file, old, new, said = BROKEN[name]
    held = unpacked(packages["key"])
    spoiled = {path: re.sub(old, new, text) if re.match(file, path) else text for path, text in held.items()}
    assert spoiled != held
    assert any(said in each for each in qti_names.broken_names(repacked(spoiled)))


def test_a_paper_neither_scores_nor_tells_the_key(packages: Mapping[str, bytes]) -> None:
    words = " ".join(unpacked(packages["paper"]).values())
    assert not re.search("correctResponse|responseProcessing|outcomeDeclaration|modalFeedback", words)
    assert "correctResponse" in " ".join(unpacked(packages["key"]).values())
