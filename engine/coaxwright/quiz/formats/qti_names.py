"""What no schema of QTI sees: files and identifiers of a package that lead nowhere, keys that name no choice."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterator
from xml.etree import ElementTree as Xml

from coaxwright.quiz.formats.qti_editions import EDITIONS, Edition


def broken_names(packed: bytes) -> Iterator[str]:
    """What the schema does not catch: files and identifiers that lead nowhere, keys that name no choice."""
    with zipfile.ZipFile(io.BytesIO(packed)) as files:
        names = set(files.namelist())
        manifest = Xml.fromstring(files.read("imsmanifest.xml"))
        edition = next(each for each in EDITIONS.values() if manifest.tag.startswith(f"{{{each.package}}}"))
        known = {each.get("identifier") for each in manifest.iter(f"{{{edition.package}}}resource")}
        for each in manifest.iter(f"{{{edition.package}}}file"):
            if each.get("href") not in names:
                yield f"the manifest names {each.get('href')}, which is not there"
        for each in manifest.iter(f"{{{edition.package}}}dependency"):
            if each.get("identifierref") not in known:
                yield f"the manifest depends on {each.get('identifierref')}, which is not there"
        for each in _all(Xml.fromstring(files.read("test.xml")), "assessmentItemRef", edition):
            if each.get("href") not in names:
                yield f"the test names {each.get('href')}, which is not there"
        for path in sorted(names):
            if path.startswith("items/"):
                item = Xml.fromstring(files.read(path))
                if path != f"items/{item.get('identifier')}.xml":
                    yield f"{path} is called {item.get('identifier')} inside, by which no test knows it"
                yield from (f"{path}: {said}" for said in _broken_item(item, edition, names))


def _all(root: Xml.Element, tag: str, edition: Edition) -> list[Xml.Element]:
    return list(root.iter(f"{{{edition.items}}}{edition.tag(tag)}"))


def _broken_item(item: Xml.Element, edition: Edition, files: set[str]) -> Iterator[str]:
    def values(attribute: str, *tags: str) -> list[str | None]:
        return [each.get(edition.attribute(attribute)) for tag in tags for each in _all(item, tag, edition)]

    if not (item.get("identifier") or "0")[0].isalpha():
        yield f"identifier {item.get('identifier')} does not begin with a letter"
    named = {
        "responseDeclaration": values("responseIdentifier", "choiceInteraction", "textEntryInteraction"),
        "outcomeDeclaration": [*values("identifier", "setOutcomeValue"), *values("outcomeIdentifier", "modalFeedback")],
    }
    for declaration, names in named.items():
        declared = set(values("identifier", declaration))
        yield from (f"{each} is not declared" for each in names if each not in declared)
    for source in values("src", "img"):
        if str(source).removeprefix("../") not in files:
            yield f"it shows {source}, which is not there"
    choices = values("identifier", "simpleChoice")
    if len(set(choices)) != len(choices):
        yield "two choices have one identifier"
    for each in _all(item, "correctResponse", edition):
        yield from (f"the key {value.text} names no choice" for value in each if choices and value.text not in choices)
