"""Part files as the index has them: all their entries without reading the text again; places are looked up when asked for.

Not here: which files are up to date (`index`).
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from typing import Any

from coaxwright.catalogues.entries import Slices, slices_of
from coaxwright.errors import Problem, Refusal, Span
from coaxwright.immutable import immutable
from coaxwright.model.parts import PartFile
from coaxwright.reading.catalogue import PartSource
from coaxwright.reading.collector import collector_off
from coaxwright.reading.yaml_source import Document, Steps, decode, parse_document, read_bytes


class StoredDocument(Document):
    """A part file whose values are known; its text is read, of one entry at a time, where a place is asked for.

    A place raises Refusal where the file is no longer the one that the index has.
    """

    __slots__ = ("_path", "_read", "_whole")

    def __init__(self, path: str, file: str, sha256: str, value: dict[str, Any]) -> None:
        self._path, self.file, self.sha256, self.value, self.bom = path, file, sha256, value, False
        self._read: dict[str, Document] = {}
        self._whole: Text | None = None

    def span(self, path: Steps) -> Span:
        """Where the value at this path stands. Raises KeyError if the document has no such path."""
        return self._of(path).span(path)

    def key_span(self, path: Steps) -> Span:
        """Where the key or list item at the end of this path stands. Raises KeyError if there is none."""
        return self._of(path).key_span(path)

    def nearest_span(self, path: Steps) -> Span:
        """Where the longest part of this path that the document has stands, by its key where it has one."""
        return self._of(path).nearest_span(path)

    def _of(self, path: Steps) -> Document:
        """The document with the entry that a path leads to; all of it for other paths."""
        entry = str(path[1]) if len(path) > 1 and path[0] == "parts" else ""
        if entry not in self._read:
            if self._whole is None:
                self._whole = text_of(self._path, self.file, self.sha256)
            self._read[entry] = self._whole.document([entry] if entry else [])
        return self._read[entry]


@immutable
class Text:
    """The text of a part file, and where its entries stand in it."""

    file: str
    text: str
    sha256: str
    slices: Slices | None

    def document(self, names: Sequence[str]) -> Document:
        """The file with these entries alone where they stand below one another, else all of it; all of it for no names.

        Raises Refusal.
        """
        alone = self.slices is not None and bool(names) and all(name in self.slices.spans for name in names)
        document = parse_document(self.slices.text(names) if alone and self.slices else self.text, self.file)
        document.sha256 = self.sha256
        return document


def text_of(path: str, shown: str, sha256: str | None = None) -> Text:
    """A part file as it is. Raises Refusal where it cannot be read, or (with `sha256`) is another one meanwhile."""
    data = read_bytes(path, shown)
    digest = hashlib.sha256(data).hexdigest()
    if sha256 is not None and digest != sha256:
        raise Refusal([Problem(shown, "was changed while it was being read", "ask again")])
    text = decode(data, shown).removeprefix("\ufeff")
    return Text(shown, text, digest, slices_of(text))


def stored_source(path: str, shown: str, sha256: str, value: dict[str, Any]) -> PartSource:
    """A part file from values that were found good when they were put into the index."""
    with collector_off():
        entries = PartFile.model_validate(value)
    return PartSource(shown, StoredDocument(path, shown, sha256, value), entries)
