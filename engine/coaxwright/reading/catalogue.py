"""The catalogue of one site: generic parts and those of its part files, by id or by another name that a part has.

A part file that many sites share is read once. Not here: whether a site names the right kind (`site_reader`).
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping
from functools import lru_cache
from pathlib import Path
from typing import Any

from coaxwright.errors import Problem, Refusal, Span
from coaxwright.immutable import immutable
from coaxwright.model.parts import Part, PartFile
from coaxwright.model.quantities import quoted
from coaxwright.reading.cable_names import HOW_NAMED, near_cables, plain_name, says_conductor, size_of
from coaxwright.reading.suggest import did_you_mean
from coaxwright.reading.tables import load_generic_parts
from coaxwright.reading.validation import refusal, validated
from coaxwright.reading.yaml_source import Document, read_document

GENERIC = "generic/"


@immutable
class PartSource:
    """One part file: the document, its name, and its entries by id."""

    file: str
    document: Document
    entries: PartFile


class Catalogue:
    """Parts by id. `parts` holds all, generic ones first; `sources` the files that the site brought."""

    __slots__ = ("_kinds", "_known", "_named", "_origin", "parts", "sources")

    def __init__(self, sources: tuple[PartSource, ...] = ()) -> None:
        """Raises Refusal when an id stands in two files, naming both, or a kit holds an unknown part."""
        self.sources = sources
        self.parts: dict[str, Part] = dict(load_generic_parts())
        self._known: dict[str, str] = {}
        self._kinds: dict[str, tuple[str, ...]] = {}
        self._named: dict[str, tuple[str, ...]] | None = None
        self._origin: dict[str, PartSource] = {}
        problems = self._add_sources()
        problems += self._kit_problems()
        if problems:
            raise refusal(problems)

    def part(self, identifier: str) -> Any:
        """The part of that id or name, or of `generic/` and that id; KeyError where there is none."""
        return self.parts[self.full_id(identifier)]

    def with_changes(self, changes: Mapping[str, Mapping[str, Any]]) -> Catalogue:
        """The same catalogue in which some parts, by whole id, have other values."""
        made = Catalogue.__new__(Catalogue)
        for name in Catalogue.__slots__:
            setattr(made, name, getattr(self, name))
        made.parts = {**self.parts, **{name: self.parts[name].model_copy(update=new) for name, new in changes.items()}}
        return made

    def full_id(self, identifier: str) -> str:
        """The id under which the part stands; KeyError where there is none."""
        known = self._known.get(identifier)
        if known is None:
            known = identifier if identifier in self.parts else GENERIC + identifier
            if known not in self.parts or ("/" in identifier and known != identifier):
                known = self._by_name(identifier)
            self._known[identifier] = known
        return known

    def names_a_size(self, identifier: str) -> bool:
        """Whether this is another name of a generic part and says no more than a size, as `RG-59`."""
        full = self.full_id(identifier)
        other = plain_name(identifier) != plain_name(full.removeprefix(GENERIC))
        return other and full in load_generic_parts() and not says_conductor(identifier)

    def called(self, name: str) -> tuple[str, ...]:
        """Ids of all parts that have this among their other names (`aliases`, `articles`), capitals, blanks and signs apart.

        The id of a cable counts as a name of it.
        """
        if self._named is None:
            named: dict[str, list[str]] = {}
            for identifier, part in self.parts.items():
                for alias in (*part.aliases, *part.articles, *((identifier,) if part.kind == "cable" else ())):
                    named.setdefault(plain_name(alias), []).append(identifier)
            self._named = {plain: tuple(dict.fromkeys(ids)) for plain, ids in named.items()}
        return self._named.get(plain_name(name), ())

    def _by_name(self, name: str) -> str:
        """The one part of that other name; KeyError where there is none, or several."""
        found = self.called(name)
        if len(found) != 1:
            raise KeyError(name)
        return found[0]

    def kind(self, identifier: str) -> str:
        """The kind of that part: `camera`, `cable` ...; KeyError where there is none."""
        return str(self.part(identifier).kind)

    def ids(self, kind: str | None = None) -> tuple[str, ...]:
        """Ids of all parts, or of those of one kind, sorted."""
        if kind is None:
            return tuple(sorted(self.parts))
        if kind not in self._kinds:
            self._kinds[kind] = tuple(sorted(name for name, part in self.parts.items() if part.kind == kind))
        return self._kinds[kind]

    def maker(self, identifier: str) -> str:
        """Who makes it: what the entry says, otherwise the word before the `/`, otherwise `generic`."""
        name = self.full_id(identifier)
        stated = self.parts[name].maker
        return stated or (name.partition("/")[0] if "/" in name else "generic")

    def where(self, identifier: str) -> tuple[str, Span] | None:
        """File and place of the entry; None for a generic part."""
        source = self.source_of(identifier)
        return None if source is None else (source.file, source.document.key_span(("parts", self.full_id(identifier))))

    def source_of(self, identifier: str) -> PartSource | None:
        """The part file in which it stands; None for a generic part."""
        return self._origin.get(self.full_id(identifier))

    def _add_sources(self) -> list[Problem]:
        problems = []
        for source in self.sources:
            for name, part in source.entries.parts.items():
                if name in self.parts:
                    problems.append(_twice(name, source, self._origin.get(name)))
                else:
                    self.parts[name] = part
                    self._origin[name] = source
        return problems

    def _kit_problems(self) -> list[Problem]:
        """Kits that hold parts which are not there."""
        problems = []
        for source in self.sources:
            for name, part in source.entries.parts.items():
                items = part.contains if part.kind == "kit" else ()
                for index, item in enumerate(items):
                    if not self.has(item.part):
                        path = ("parts", name, "contains", index, "part")
                        what, right = self.unknown(item.part, None)
                        span = source.document.nearest_span(path)
                        problems.append(Problem(source.file, what, right, span, path))
        return problems

    def has(self, identifier: str) -> bool:
        """Whether there is such a part."""
        try:
            self.full_id(identifier)
        except KeyError:
            return False
        return True

    def unknown(self, identifier: str, kind: str | None) -> tuple[str, str]:
        """What to say of an id that no part has: near ids, of the wanted kind first."""
        several = self.called(identifier)
        if several:
            return f"{quoted(identifier)} is a name of {' and of '.join(several)}", "write the id of one of them"
        near = self._near(identifier, kind)
        files = len(self.sources)
        read = (
            f"it is in none of the {files} part files read"
            if files
            else "no part files are named under `parts`"
        )
        right = f"{HOW_NAMED}; {read}" if kind == "cable" else f"{read}; add it to one"
        return f"there is no part {quoted(identifier)}", near or right

    def _near(self, identifier: str, kind: str | None) -> str:
        if kind == "cable" or (kind is None and size_of(identifier) is not None):
            return near_cables(identifier, self.ids("cable"))
        return did_you_mean(identifier, self.ids(kind)) or did_you_mean(identifier, self.ids())


def _twice(name: str, source: PartSource, first: PartSource | None) -> Problem:
    path = ("parts", name)
    span = source.document.key_span(path)
    if first is None:
        return Problem(
            source.file, f"{quoted(name)} is a generic part already", "give it another id", span, path
        )
    line = first.document.key_span(path).line
    what = f"the part {quoted(name)} stands in {first.file}:{line} too"
    return Problem(source.file, what, "keep one of the two, or rename one", span, path)


def build_catalogue(files: Iterable[tuple[Path, str]]) -> Catalogue:
    """The catalogue with these part files (path, shown name). Raises Refusal with all their problems."""
    sources: list[PartSource] = []
    problems: list[Problem] = []
    for path, name in files:
        try:
            sources.append(read_part_file(path, name))
        except Refusal as refused:
            problems.extend(refused.problems)
    if problems:
        raise refusal(problems)
    return Catalogue(tuple(sources))


def read_part_file(path: str | os.PathLike[str], name: str) -> PartSource:
    """One part file. Raises Refusal."""
    try:
        state = os.stat(path)
    except OSError:
        return _read_part_file(os.fspath(path), name, ())
    return _read_part_file(os.fspath(path), name, (state.st_mtime_ns, state.st_size, state.st_ino))


@lru_cache(maxsize=256)
def _read_part_file(path: str, name: str, _state: tuple[int, ...]) -> PartSource:
    document = read_document(path, name)
    return PartSource(name, document, validated(PartFile, document))
