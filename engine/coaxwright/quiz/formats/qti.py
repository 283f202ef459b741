"""A paper as a QTI 2.1 content package: a manifest, a test, and one file for each item.

The package for learners holds no response processing and no correct response; the package with the key scores. The
published schema does not see identifiers that lead nowhere: `broken_names` does. Same input, same bytes.
"""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterator, Mapping
from typing import Any
from xml.etree import ElementTree as Xml

from coaxwright.quiz.drawing import as_text
from coaxwright.quiz.printed import Question, Sheet
from coaxwright.quiz.tables import Table
from coaxwright.reporting.painter import visible

NAMESPACE = "http://www.imsglobal.org/xsd/imsqti_v2p1"
PACKAGE = "http://www.imsglobal.org/xsd/imscp_v1p1"
MATCH = "http://www.imsglobal.org/question/qti_v2p1/rptemplates/match_correct"
_WHEN = (2000, 1, 1, 0, 0, 0)
Key = Mapping[str, Any]


def package(sheet: Sheet, key: Key | None = None) -> bytes:
    """The package of a paper; with the key's plain data it scores answers and gives feedback."""
    files = {f"items/{name(question)}.xml": item_xml(question, _of(key, question)) for question in sheet.questions}
    files["test.xml"] = _test(sheet)
    files["imsmanifest.xml"] = _manifest(sheet)
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as packed:
        for path in sorted(files):
            packed.writestr(zipfile.ZipInfo(path, _WHEN), files[path], zipfile.ZIP_DEFLATED)
    return buffer.getvalue()


def _of(key: Key | None, question: Question) -> Key | None:
    return None if key is None else key["items"][question.id]


def name(question: Question) -> str:
    """Identifier of an item: a letter first, as identifiers need."""
    return f"q{question.id}"


def shown(text: str) -> str:
    """Someone's words with every character as an escape that XML cannot hold or that is not seen (XML 1.0, 2.2)."""
    return visible(text).replace("\ufffe", "\\ufffe").replace("\uffff", "\\uffff")


def _text(element: Xml.Element) -> str:
    Xml.indent(element)
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + Xml.tostring(element, encoding="unicode") + "\n"


def _below(parent: Xml.Element, tag: str, text: str | None = None, **attributes: str) -> Xml.Element:
    child = Xml.SubElement(parent, tag, attributes)
    child.text = None if text is None else shown(text)
    return child


def item_xml(question: Question, key: Key | None = None) -> str:
    """One item; with its key, what is right and how it is scored."""
    item = Xml.Element(
        "assessmentItem", {"xmlns": NAMESPACE, "identifier": name(question), "title": f"Question {question.number}",
                           "adaptive": "false", "timeDependent": "false"},
    )  # fmt: skip
    _declare(item, question, key)
    body = _below(item, "itemBody")
    _below(body, "p", question.intro)
    for table in question.tables:
        _table(body, table)
    if question.given:
        _table(body, Table("given", "Also given", ("what", "value"), question.given))
    if question.lines:
        _below(body, "pre", "\n".join(map(shown, as_text(question.lines))).replace("\n", " \n"))
    _interaction(body, question)
    if key is not None:
        _scoring(item, question, key)
    return _text(item)


def _declare(item: Xml.Element, question: Question, key: Key | None) -> None:
    kind = "float" if question.entered else "identifier"
    response = _below(item, "responseDeclaration", identifier="RESPONSE", cardinality="single", baseType=kind)
    if key is None:
        return
    right = _below(response, "correctResponse")
    _below(right, "value", f"{key['entered']['value']:.6g}" if question.entered else str(key["key"]))
    score = _below(item, "outcomeDeclaration", identifier="SCORE", cardinality="single", baseType="float")
    _below(_below(score, "defaultValue"), "value", "0")


def _table(body: Xml.Element, table: Table) -> None:
    made = _below(body, "table")
    _below(made, "caption", table.title)
    drop = 1 if table.of == "site" else 0
    row = _below(_below(made, "thead"), "tr")
    for head in table.heads[drop:]:
        _below(row, "th", head)
    below = _below(made, "tbody")
    for cells in table.rows:
        row = _below(below, "tr")
        for cell in cells[drop:]:
            _below(row, "td", cell)


def _interaction(body: Xml.Element, question: Question) -> None:
    if question.entered:
        _below(body, "p", question.stem)
        line = _below(body, "p", "Answer: ")
        entry = _below(line, "textEntryInteraction", responseIdentifier="RESPONSE", expectedLength="10")
        entry.tail = f" {shown(question.unit)}"
        return
    choice = _below(body, "choiceInteraction", responseIdentifier="RESPONSE", shuffle="false", maxChoices="1")
    _below(choice, "prompt", question.stem)
    for letter, text in question.options:
        _below(choice, "simpleChoice", text, identifier=letter)


def _scoring(item: Xml.Element, question: Question, key: Key) -> None:
    if not question.entered:
        _below(item, "responseProcessing", template=MATCH)
        return
    condition = _below(_below(item, "responseProcessing"), "responseCondition")
    share = f"{100 * key['entered']['tolerance']:g}"
    branch = _below(condition, "responseIf")
    equal = _below(branch, "equal", toleranceMode="relative", tolerance=f"{share} {share}")
    _below(equal, "correct", identifier="RESPONSE")
    _below(equal, "variable", identifier="RESPONSE")
    _below(_below(branch, "setOutcomeValue", identifier="SCORE"), "baseValue", "1", baseType="float")


def _test(sheet: Sheet) -> str:
    test = Xml.Element(
        "assessmentTest", {"xmlns": NAMESPACE, "identifier": f"paper-{sheet.letter}", "title": shown(sheet.title)}
    )
    part = _below(test, "testPart", identifier="part1", navigationMode="nonlinear", submissionMode="simultaneous")
    section = _below(part, "assessmentSection", identifier="section1", title=f"Paper {sheet.letter}", visible="true")
    for question in sheet.questions:
        _below(section, "assessmentItemRef", identifier=name(question), href=f"items/{name(question)}.xml")
    return _text(test)


def _manifest(sheet: Sheet) -> str:
    manifest = Xml.Element("manifest", {"xmlns": PACKAGE, "identifier": f"manifest-{sheet.letter}"})
    about = _below(manifest, "metadata")
    _below(about, "schema", "QTIv2.1 Package")
    _below(about, "schemaversion", "1.0.0")
    _below(manifest, "organizations")
    resources = _below(manifest, "resources")
    test = _below(resources, "resource", identifier="test", type="imsqti_test_xmlv2p1", href="test.xml")
    _below(test, "file", href="test.xml")
    for question in sheet.questions:
        _below(test, "dependency", identifierref=f"r-{name(question)}")
    for question in sheet.questions:
        path = f"items/{name(question)}.xml"
        made = _below(resources, "resource", identifier=f"r-{name(question)}", type="imsqti_item_xmlv2p1", href=path)
        _below(made, "file", href=path)
    return _text(manifest)


def broken_names(packed: bytes) -> Iterator[str]:
    """What the schema does not catch: files and identifiers that lead nowhere, keys that name no choice."""
    with zipfile.ZipFile(io.BytesIO(packed)) as files:
        names = set(files.namelist())
        manifest = Xml.fromstring(files.read("imsmanifest.xml"))
        known = {each.get("identifier") for each in manifest.iter(f"{{{PACKAGE}}}resource")}
        for each in manifest.iter(f"{{{PACKAGE}}}file"):
            if each.get("href") not in names:
                yield f"the manifest names {each.get('href')}, which is not there"
        for each in manifest.iter(f"{{{PACKAGE}}}dependency"):
            if each.get("identifierref") not in known:
                yield f"the manifest depends on {each.get('identifierref')}, which is not there"
        for each in Xml.fromstring(files.read("test.xml")).iter(f"{{{NAMESPACE}}}assessmentItemRef"):
            if each.get("href") not in names:
                yield f"the test names {each.get('href')}, which is not there"
        for path in sorted(names):
            if path.startswith("items/"):
                item = Xml.fromstring(files.read(path))
                if path != f"items/{item.get('identifier')}.xml":
                    yield f"{path} is called {item.get('identifier')} inside, by which no test knows it"
                yield from (f"{path}: {said}" for said in _broken_item(item))


def _broken_item(item: Xml.Element) -> Iterator[str]:
    def all_of(tag: str) -> list[Xml.Element]:
        return list(item.iter(f"{{{NAMESPACE}}}{tag}"))

    if not (item.get("identifier") or "0")[0].isalpha():
        yield f"identifier {item.get('identifier')} does not begin with a letter"
    declared = {each.get("identifier") for each in all_of("responseDeclaration")}
    for each in (*all_of("choiceInteraction"), *all_of("textEntryInteraction")):
        if each.get("responseIdentifier") not in declared:
            yield f"{each.get('responseIdentifier')} is not declared"
    outcomes = {each.get("identifier") for each in all_of("outcomeDeclaration")}
    for each in all_of("setOutcomeValue"):
        if each.get("identifier") not in outcomes:
            yield f"{each.get('identifier')} is not declared"
    choices = [each.get("identifier") for each in all_of("simpleChoice")]
    if len(set(choices)) != len(choices):
        yield "two choices have one identifier"
    for each in all_of("correctResponse"):
        for value in each:
            if choices and value.text not in choices:
                yield f"the key {value.text} names no choice"
