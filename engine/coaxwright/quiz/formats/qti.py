"""A paper as a QTI content package, 2.1 or 3.0: a manifest, a test, a file for each item, a picture for each drawing.

The package for learners holds no response processing and no correct response; the package with the key scores. The
published schema does not see identifiers that lead nowhere: `qti_names` does. Same input, same bytes.
"""

from __future__ import annotations

import io
import zipfile
from xml.etree import ElementTree as Xml

from coaxwright.quiz.drawing import as_picture
from coaxwright.quiz.formats.qti_editions import EDITIONS, Edition, in_edition
from coaxwright.quiz.formats.qti_items import Key, below, item, name, picture_path, shown
from coaxwright.quiz.printed import Question, Sheet

_WHEN = (2000, 1, 1, 0, 0, 0)


def package(sheet: Sheet, key: Key | None = None, edition: str = "2.1") -> bytes:
    """The package of a paper; with the key's plain data it scores answers and gives feedback."""
    spoken = EDITIONS[edition]
    files = {f"items/{name(question)}.xml": item_xml(question, _of(key, question), spoken) for question in sheet.questions}
    files |= {picture_path(question): _picture(question) for question in sheet.questions if question.lines}
    files["test.xml"] = _written(_test(sheet, scored=key is not None), spoken)
    files["imsmanifest.xml"] = _text(_manifest(sheet, spoken))
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as packed:
        for path in sorted(files):
            packed.writestr(zipfile.ZipInfo(path, _WHEN), files[path], zipfile.ZIP_DEFLATED)
    return buffer.getvalue()


def _of(key: Key | None, question: Question) -> Key | None:
    return None if key is None else key["items"][question.id]


def _picture(question: Question) -> str:
    return as_picture(tuple((shown(start), shown(end), shown(over)) for start, end, over in question.lines))


def item_xml(question: Question, key: Key | None = None, edition: Edition = EDITIONS["2.1"]) -> str:
    """One item as the text of its file."""
    return _written(item(question, key), edition)


def _written(element: Xml.Element, edition: Edition) -> str:
    made = in_edition(element, edition)
    made.attrib = {"xmlns": edition.items, **made.attrib}
    return _text(made)


def _text(element: Xml.Element) -> str:
    Xml.indent(element)
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + Xml.tostring(element, encoding="unicode") + "\n"


def _test(sheet: Sheet, *, scored: bool) -> Xml.Element:
    """The test: every item once, a time limit where there is one, and in all what the items score."""
    test = Xml.Element("assessmentTest", {"identifier": f"paper-{sheet.letter}", "title": shown(sheet.title)})
    totals = ("SCORE", "MAXSCORE") if scored else ()
    for outcome in totals:
        below(test, "outcomeDeclaration", identifier=outcome, cardinality="single", baseType="float")
    if sheet.minutes:
        below(test, "timeLimits", maxTime=str(60 * sheet.minutes))
    part = below(test, "testPart", identifier="part1", navigationMode="nonlinear", submissionMode="simultaneous")
    section = below(part, "assessmentSection", identifier="section1", title=f"Paper {sheet.letter}", visible="true")
    for question in sheet.questions:
        below(section, "assessmentItemRef", identifier=name(question), href=f"items/{name(question)}.xml")
    if scored:
        processing = below(test, "outcomeProcessing")
        for outcome in totals:
            total = below(below(processing, "setOutcomeValue", identifier=outcome), "sum")
            below(total, "testVariables", variableIdentifier=outcome)
    return test


def _manifest(sheet: Sheet, edition: Edition) -> Xml.Element:
    manifest = Xml.Element("manifest", {"xmlns": edition.package, "identifier": f"manifest-{sheet.letter}"})
    about = below(manifest, "metadata")
    below(about, "schema", edition.schema)
    below(about, "schemaversion", edition.version)
    below(manifest, "organizations")
    resources = below(manifest, "resources")
    test = below(resources, "resource", identifier="test", type=edition.test_type, href="test.xml")
    below(test, "file", href="test.xml")
    for question in sheet.questions:
        below(test, "dependency", identifierref=f"r-{name(question)}")
    for question in sheet.questions:
        _resource(resources, question, edition)
    return manifest


def _resource(resources: Xml.Element, question: Question, edition: Edition) -> None:
    path = f"items/{name(question)}.xml"
    made = below(resources, "resource", identifier=f"r-{name(question)}", type=edition.item_type, href=path)
    below(made, "file", href=path)
    if question.lines:
        below(made, "file", href=picture_path(question))
