"""What each fact of a subject rests on: what is stated and where, and what is assumed in the place of what is not.

Found by trying, on demand, and by no second map of dependencies that could differ from what is computed: every stated
value is left out in turn (a required number is changed by a hundredth), every assumption changed, and what moves
with it rests on it. What the subject does not depend on at all is cut away first. Not for checking: a check takes
one computation, this takes a few hundred small ones.
"""

from __future__ import annotations

import copy
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import fields, replace
from functools import partial
from typing import Any, Literal

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from coaxwright.errors import Refusal, Span
from coaxwright.facts.assumed import Used, assumable
from coaxwright.facts.binding import Facts, compute_facts
from coaxwright.facts.sheets import by_subject
from coaxwright.immutable import immutable
from coaxwright.model.common import Strict, VideoMode
from coaxwright.model.parts import Part
from coaxwright.model.site import Site
from coaxwright.reading.site_reader import LoadedSite
from coaxwright.topology.wiring import build_topology

Field = tuple[str, str]
"""Kind of sheet, and field of it."""
Values = dict[Field, Any]
Path = tuple[str | int, ...]
How = Literal["stated", "worked out", "assumed", "open"]
Rebuild = Callable[[Any], LoadedSite]
Finish = Callable[[Facts], Facts]
_SHOWN = 8
"""Stated values that a line of text names; JSON has all."""
_FIRST = ("cameras", "monitors", "boxes", "switches", "junctions")
"""Groups of entries that others are joined to seldom or not at all: cut away first."""
_CHOICES = {"load-kind": ("resistive", "constant-current"), "schedule": ("motion",)}
"""Other choices for assumptions that are words and are read as such."""
_BY_WORD = {
    "codec": ("bitrate", "bitrate_mean", "days", "days_kept", "written_per_year", "level"),
    "network-codec": ("bitrate", "bitrate_mean", "days", "days_kept", "written_per_year"),
    "encoder-sharing": ("recorded_fps", "limited_by", "encode_used", "level_rate", "bitrate", "days_kept"),
    "encoder-total": ("recorded_fps", "limited_by", "encode_used", "level_rate", "bitrate", "days_kept"),
    "supply-trim": ("volts", "volts_day", "volts_night", "volts_none"),
    "lampless-night": ("watts_night", "volts_night", "amps_night"),
    "line-of-sight": ("slant", "width", "density"),
}
"""Assumptions that are words about how something is done, with the fields that they decide first."""


@immutable
class Place:
    """Where a value is stated: its path, and file and line where the file was read (a built-in part has neither)."""

    path: str
    file: str
    line: int


@immutable
class Taken:
    """An assumption taken: its name in the table `assumptions`, its value as written, and its source."""

    name: str
    value: str
    source: str

    @classmethod
    def of(cls, used: Used) -> Taken:
        """The row that was used."""
        row = used.assumption
        return cls(row.name, row.written, row.source)


@immutable
class Provenance:
    """What a fact rests on. `kind`: stated, worked out, assumed (in part), or open (not known)."""

    kind: How
    stated: tuple[Place, ...]
    assumed: tuple[Taken, ...]


def provenance(
    loaded: LoadedSite, facts: Facts, subject: str, finish: Finish = lambda facts: facts
) -> dict[Field, Provenance]:
    """What every fact of a subject rests on, by kind of sheet and field; empty for a subject that is none.

    `finish` adds what is computed after the program's own facts.
    """
    base = _values(facts, subject)
    if not base:
        return {}
    trials = _Trials(_cut(loaded, subject, base, finish), subject, base, finish)
    moved = trials.stated()
    assumed = {used: trials.by_assumption(used) for used in facts.assumed}
    found = {}
    for field, value in base.items():
        paths = [path for path, fields_moved in moved.items() if field in fields_moved]
        rows = tuple(Taken.of(used) for used, fields_moved in assumed.items() if field in fields_moved)
        places = tuple(_place(loaded, path) for path in paths)
        found[field] = Provenance(_kind(facts, subject, field, value, bool(rows), len(paths) > 1), places, rows)
    return found


def _kind(facts: Facts, subject: str, field: Field, value: object, assumed: bool, several: bool) -> How:
    if value is None:
        return "open"
    if assumed:
        return "assumed"
    sheet = facts.sheet(subject, field[0])
    computed = several or (sheet is not None and bool(facts.working(sheet, field[1])))
    return "worked out" if computed else "stated"


def _values(facts: Facts, subject: str) -> Values:
    """Every field of every sheet of a subject, other sheets by their subjects."""
    found: Values = {}
    for sheet in facts.of(subject):
        for entry in fields(sheet):  # type: ignore[arg-type]
            found.setdefault((sheet.kind, entry.name), by_subject(sheet.known(entry.name)))
    return found


def _place(loaded: LoadedSite, path: Path) -> Place:
    shown = "/".join(map(str, path))
    given = next((each.where for each in loaded.defaulted if each.path == path), None)
    if given is not None:
        at = tuple(given.split("/"))
        return Place(f"{shown} ({given})", loaded.file, loaded.document.nearest_span(at).line)
    if path[0] != "parts":
        return Place(shown, loaded.file, loaded.document.nearest_span(path).line)
    for source in loaded.catalogue.sources:
        if path[1] in source.entries.parts:
            span: Span = source.document.nearest_span(path)
            return Place(shown, source.file, span.line)
    return Place(shown, "", 0)


# Cutting away


def _computed(
    loaded: LoadedSite, subject: str, finish: Finish, values: Mapping[str, Any] | None = None
) -> Values | None:
    """What the subject's facts come to; None where what is left is no site that can be computed."""
    try:
        return _values(finish(compute_facts(loaded, build_topology(loaded), values=values)), subject)
    except (Refusal, KeyError, AttributeError, StopIteration, TypeError, ValueError, IndexError):
        return None


def _cut(loaded: LoadedSite, subject: str, base: Values, finish: Finish) -> LoadedSite:
    """The site without entries that nothing of the subject depends on."""
    groups = [name for name in type(loaded.site).model_fields if isinstance(getattr(loaded.site, name), dict)]
    for group in sorted(groups, key=lambda name: (name not in _FIRST, _FIRST.index(name) if name in _FIRST else 0)):
        loaded = _without(loaded, subject, base, finish, (group, list(getattr(loaded.site, group))))
    return loaded


def _without(
    loaded: LoadedSite, subject: str, base: Values, finish: Finish, entries: tuple[str, list[str]]
) -> LoadedSite:
    """Half by half: what can go together goes together. `entries` are the group and the names in it."""
    group, names = entries
    if not names or names == [subject.partition("/")[2].partition("/")[0]]:
        return loaded
    kept = {name: entry for name, entry in getattr(loaded.site, group).items() if name not in names}
    smaller = replace(loaded, site=loaded.site.model_copy(update={group: kept}))
    if _computed(smaller, subject, finish) == base:
        return smaller
    if len(names) == 1:
        return loaded
    half = len(names) // 2
    loaded = _without(loaded, subject, base, finish, (group, names[:half]))
    return _without(loaded, subject, base, finish, (group, names[half:]))


# Trying


class _Trials:
    """Changes of one value each, tried on what is left of a site."""

    def __init__(self, loaded: LoadedSite, subject: str, base: Values, finish: Finish) -> None:
        self.loaded, self.subject, self.base, self.finish = loaded, subject, base, finish
        self.found: dict[Path, set[Field]] = {}

    def moved(self, loaded: LoadedSite, values: Mapping[str, Any] | None = None) -> set[Field] | None:
        """The fields that differ; None where that is no site."""
        got = _computed(loaded, self.subject, self.finish, values)
        if not got:
            return None
        return {field for field, value in self.base.items() if got.get(field) != value}

    def stated(self) -> dict[Path, set[Field]]:
        """Every stated value of the site and of the parts it names, with the fields that rest on it."""
        self._model(self.loaded.site, (), self._with_site)
        for identifier in sorted(self._parts()):
            part = self.loaded.catalogue.part(identifier)
            self._model(part, ("parts", identifier), partial(self._with_part, identifier))
        return self.found

    def by_assumption(self, used: Used) -> set[Field]:
        """The fields that rest on an assumption."""
        row, found = used.assumption, set()
        values = assumable(self.loaded.site.assume)
        for other in _others(row.name, row.value):
            found |= self.moved(self.loaded, {**values, row.name: replace(row, value=other)}) or set()
        words = _BY_WORD.get(row.name, ())
        return found | {field for field, value in self.base.items() if field[1] in words and value is not None}

    def _with_site(self, site: Site) -> LoadedSite:
        return replace(self.loaded, site=site)

    def _with_part(self, name: str, part: Part) -> LoadedSite:
        catalogue = copy.copy(self.loaded.catalogue)
        catalogue.parts = {**catalogue.parts, name: part}
        return replace(self.loaded, catalogue=catalogue)

    def _parts(self) -> set[str]:
        has = self.loaded.catalogue.has
        named = _texts(self.loaded.site.model_dump(exclude={"parts", "waivers", "rules"}, exclude_defaults=True))
        return {self.loaded.catalogue.full_id(name) for name in named if has(name)}

    def _model(self, model: BaseModel, path: Path, rebuild: Rebuild) -> None:
        """Every field of a record that is not left to its default."""
        for name, field in type(model).model_fields.items():
            value = getattr(model, name)
            if field.is_required() or value != field.get_default(call_default_factory=True):
                self._value(value, field, (*path, field.alias or name), _in_field(model, name, rebuild))

    def _value(self, value: object, field: FieldInfo, path: Path, rebuild: Rebuild) -> None:
        """One value: left out where it can be, then what is in it; what its parts do not explain is its own."""
        without = set()
        if not field.is_required():
            moved = self.moved(rebuild(field.get_default(call_default_factory=True)))
            if moved == set():
                return
            without = moved or set()
        if self._inside(value, path, rebuild):
            inner = (fields_moved for each, fields_moved in self.found.items() if each[: len(path)] == path)
            without = without.difference(*inner)
        elif not without:
            for other in _others("", value):
                without |= self.moved(rebuild(other)) or set()
        if without:
            self.found[path] = without

    def _inside(self, value: object, path: Path, rebuild: Rebuild) -> bool:
        """Records within a value, each tried without first; False where there are none."""
        if isinstance(value, BaseModel):
            self._model(value, path, rebuild)
        elif isinstance(value, dict) and value:
            for name, entry in value.items():
                self._entry(entry, (*path, name), _in_dict(value, name, rebuild))
        elif isinstance(value, tuple) and value and all(isinstance(one, BaseModel) for one in value):
            for place, one in enumerate(value):
                if self.moved(rebuild((*value[:place], *value[place + 1 :]))) != set():
                    self._entry(one, (*path, place), _in_tuple(value, place, rebuild))
        else:
            return False
        return True

    def _entry(self, entry: Strict, path: Path, rebuild: Rebuild) -> None:
        if isinstance(entry, BaseModel):
            self._model(entry, path, rebuild)


def _in_field(model: BaseModel, name: str, rebuild: Rebuild) -> Rebuild:
    return lambda new: rebuild(model.model_copy(update={name: new}))


def _in_dict(value: dict[Any, Any], name: object, rebuild: Rebuild) -> Rebuild:
    return lambda new: rebuild({**value, name: new})


def _in_tuple(value: tuple[Any, ...], place: int, rebuild: Rebuild) -> Rebuild:
    return lambda new: rebuild((*value[:place], new, *value[place + 1 :]))


def _others(name: str, value: object) -> Iterator[Any]:
    """Values near to this one: a hundredth more, another choice, half the frame rate; none for other words.

    A hundredth is small beside what is stated and large beside rounding (common practice).
    """
    if isinstance(value, VideoMode):
        yield value._replace(fps=value.fps / 2)
    elif isinstance(value, bool):
        yield not value
    elif isinstance(value, int | float):
        yield value * 1.01 if value else 0.01
    elif isinstance(value, tuple) and value and all(isinstance(one, int | float) for one in value):
        yield tuple(one + 1 for one in value)
    elif isinstance(value, tuple) and len(value) > 1:
        yield from (value[:place] + value[place + 1 :] for place in range(len(value)))
    yield from _CHOICES.get(name, ())


def _texts(value: object) -> Iterator[str]:
    """Every text in plain data."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, Mapping):
        for inner in value.values():
            yield from _texts(inner)
    elif isinstance(value, Iterable):
        for inner in value:
            yield from _texts(inner)


def words(found: Provenance) -> list[str]:
    """What a fact rests on, as lines of text: stated values with their places, assumptions with their sources."""
    lines = []
    if found.stated:
        shown, more = found.stated[:_SHOWN], len(found.stated) - _SHOWN
        named = [f"{one.path} ({one.file}:{one.line})" if one.file else f"{one.path} (built in)" for one in shown]
        lines.append(f"{found.kind}, from {', '.join(named)}{f' and {more} more' if more > 0 else ''}")
    lines += [f"assumed: {row.name} {row.value}; source: {row.source}" for row in found.assumed]
    return lines
