"""The two editions of QTI that packages are written in: their names, and a 2.1 tree in the words of 3.0.

QTI 3.0 (1EdTech, final 2022) holds the same elements and attributes as 2.1 in lower case with hyphens, `qti-` before
an element that is not HTML; the words of feedback stand in a `qti-content-body`.
"""

from __future__ import annotations

import re
from xml.etree import ElementTree as Xml

from coaxwright.immutable import immutable

_HTML = frozenset(
    ["p", "div", "span", "table", "caption", "thead", "tbody", "tr", "th", "td", "img", "ul", "ol", "li", "br", "pre"]
)
_HUMP = re.compile(r"(?<=[a-z0-9])(?=[A-Z])")


@immutable
class Edition:
    """Namespaces, and what a manifest calls its resources."""

    name: str
    items: str
    package: str
    schema: str
    version: str
    item_type: str
    test_type: str

    def tag(self, name: str) -> str:
        """An element of 2.1 as this edition calls it."""
        return name if self.name == "2.1" or name in _HTML else f"qti-{_hyphens(name)}"

    def attribute(self, name: str) -> str:
        """An attribute of 2.1 as this edition calls it."""
        return name if self.name == "2.1" else _hyphens(name)


def _hyphens(name: str) -> str:
    return _HUMP.sub("-", name).lower()


EDITIONS = {
    "2.1": Edition(
        "2.1",
        "http://www.imsglobal.org/xsd/imsqti_v2p1",
        "http://www.imsglobal.org/xsd/imscp_v1p1",
        "QTIv2.1 Package",
        "1.0.0",
        "imsqti_item_xmlv2p1",
        "imsqti_test_xmlv2p1",
    ),
    "3.0": Edition(
        "3.0",
        "http://www.imsglobal.org/xsd/imsqtiasi_v3p0",
        "http://www.imsglobal.org/xsd/qti/qtiv3p0/imscp_v1p1",
        "QTI Package",
        "3.0.0",
        "imsqti_item_xmlv3p0",
        "imsqti_test_xmlv3p0",
    ),
}


def in_edition(element: Xml.Element, edition: Edition) -> Xml.Element:
    """The same tree in the words of an edition."""
    made = Xml.Element(edition.tag(element.tag), {edition.attribute(key): value for key, value in element.items()})
    made.text, made.tail = element.text, element.tail
    inner = made
    if edition.name == "3.0" and element.tag == "modalFeedback":
        inner = Xml.SubElement(made, "qti-content-body")
    inner.extend(in_edition(child, edition) for child in element)
    return made
