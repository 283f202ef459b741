"""The entries of part files one by one: a bad one blocks itself alone, and is named with its place.

An entry is a stretch of lines below `parts:`; the others are blanked out, so that every place stays that of the file.
Not here: which files there are, and the index kept of them (`index`).
"""

from __future__ import annotations

import hashlib
import os
import re
from collections.abc import Iterable, Sequence

from coaxwright.errors import Problem, Refusal
from coaxwright.immutable import immutable
from coaxwright.model.parts import PartFile
from coaxwright.reading.catalogue import Catalogue, PartSource
from coaxwright.reading.validation import validated
from coaxwright.reading.yaml_source import decode, parse_document, read_bytes

_PARTS = re.compile(r"parts:\s*(#.*)?")
_KEY = re.compile(r"""( +)(?:"([^"]+)"|'([^']+)'|([^\s#'"{\[&*!|>%@`-][^\s#]*?)):(?:\s|$)""")


@immutable
class Slices:
    """Where each entry stands: `lines` of the file, and first and last line (0-based, last excluded) of every entry by id."""

    lines: list[str]
    spans: dict[str, tuple[int, int]]
    begin: int
    end: int

    def text(self, names: Iterable[str]) -> str:
        """The file with these entries alone, all other lines of entries empty."""
        kept = list(self.lines)
        kept[self.begin : self.end] = ["\n"] * (self.end - self.begin)
        for name in names:
            first, last = self.spans[name]
            kept[first:last] = self.lines[first:last]
        return "".join(kept)


def slices_of(text: str) -> Slices | None:
    """The entries of a file as stretches of lines; None where they do not stand below one another, each on its own lines."""
    lines = text.splitlines(keepends=True)
    head = next((place for place, line in enumerate(lines) if _PARTS.fullmatch(line.rstrip())), None)
    if head is None or "\t" in text:
        return None
    keys: list[tuple[str, int]] = []
    indent, end = 0, len(lines)
    for place in range(head + 1, len(lines)):
        line = lines[place]
        bare = line.strip()
        if not bare or bare.startswith("#"):
            continue
        depth = len(line) - len(line.lstrip(" "))
        indent = indent or depth
        if not depth:
            end = place
            break
        if depth < indent:
            return None
        match = _KEY.match(line) if depth == indent else None
        if match is not None:
            keys.append((match[2] or match[3] or match[4], place))
    names = [name for name, _ in keys]
    if not names or len(set(names)) != len(names):
        return None
    starts = [place for _, place in keys]
    return Slices(lines, dict(zip(names, zip(starts, [*starts[1:], end], strict=True), strict=True)), head + 1, end)


@immutable
class FileEntries:
    """What a part file holds: the entries that can be used (None where there is none), and what is wrong with others.

    `bad` has the problems by id; under the empty id those of the file itself.
    """

    file: str
    sha256: str
    source: PartSource | None
    bad: dict[str, tuple[Problem, ...]]
    slices: Slices | None


def read_entries(path: str | os.PathLike[str], name: str) -> FileEntries:
    """The entries of one part file. Raises nothing for what is in it, Refusal where it cannot be opened or is no text."""
    data = read_bytes(path, name)
    text, digest = decode(data, name).removeprefix("\ufeff"), hashlib.sha256(data).hexdigest()
    slices = slices_of(text)
    try:
        source = _source(text, name, digest)
    except Refusal as refusal:
        if slices is None:
            return FileEntries(name, digest, None, {"": refusal.problems}, None)
        return _one_by_one(name, digest, slices, refusal)
    if slices is not None and list(slices.spans) != list(source.entries.parts):
        slices = None
    return FileEntries(name, digest, source, {}, slices)


def _source(text: str, name: str, digest: str) -> PartSource:
    document = parse_document(text, name)
    document.sha256 = digest
    return PartSource(name, document, validated(PartFile, document))


def _one_by_one(name: str, digest: str, slices: Slices, refusal: Refusal) -> FileEntries:
    """Each entry by itself; where none can be used, what is wrong with the file as a whole is told."""
    bad: dict[str, tuple[Problem, ...]] = {}
    good: list[str] = []
    suspect = _suspects(slices, refusal)
    for entry in slices.spans:
        if entry not in suspect:
            good.append(entry)
            continue
        try:
            _source(slices.text([entry]), name, digest)
        except Refusal as refused:
            bad[entry] = refused.problems
        else:
            good.append(entry)
    source = None
    try:
        source = _source(slices.text(good), name, digest) if good else None
    except Refusal:
        if len(suspect) < len(slices.spans):
            return _one_by_one(name, digest, slices, Refusal([Problem(name, "cannot be read as a whole")]))
        return FileEntries(name, digest, None, {"": refusal.problems}, slices)
    return FileEntries(name, digest, source, bad if source else {"": refusal.problems}, slices)


def _suspects(slices: Slices, refusal: Refusal) -> set[str]:
    """Entries in which a problem stands; all where one stands elsewhere, or many were found (not all may be told)."""
    lines = [each.span.line - 1 if each.span else -1 for each in refusal.problems]
    found = {name for name, (first, last) in slices.spans.items() if any(first <= line < last for line in lines)}
    inside = all(slices.begin <= line < slices.end for line in lines)
    return found if inside and len(lines) < 100 else set(slices.spans)


def tolerant_catalogue(files: Iterable[FileEntries]) -> tuple[Catalogue, dict[str, tuple[Problem, ...]]]:
    """The catalogue of all entries that can be used, and what is wrong with others, by id (`FILE` where it is the file).

    An id that stands in two files is used from neither; a kit that holds what is not there is left out.
    """
    bad: dict[str, tuple[Problem, ...]] = {}
    sources: list[PartSource] = []
    for each in files:
        bad.update({name or each.file: problems for name, problems in each.bad.items()})
        if each.source is not None:
            sources.append(each.source)
    while True:
        try:
            return Catalogue(tuple(sources)), bad
        except Refusal as refusal:
            names = [str(each.path[1]) for each in refusal.problems if len(each.path) > 1 and each.path[0] == "parts"]
            if not names:
                raise
            for problem in refusal.problems:
                if len(problem.path) > 1:
                    name = str(problem.path[1])
                    bad[name] = (*bad.get(name, ()), problem)
            sources = _without(sources, names)


def _without(sources: Sequence[PartSource], names: Iterable[str]) -> list[PartSource]:
    """The sources without these entries; one that holds nothing else is left out."""
    gone = set(names)
    found = []
    for source in sources:
        left = {name: part for name, part in source.entries.parts.items() if name not in gone}
        if len(left) == len(source.entries.parts):
            found.append(source)
        elif left:
            entries = source.entries.model_copy(update={"parts": left})
            found.append(PartSource(source.file, source.document, entries))
    return found
