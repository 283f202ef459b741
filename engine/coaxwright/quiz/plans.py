"""A plan that is asked about: site and parts as plain values, edits on them, and every fact of what comes out.

An edit is data (`forms.Edit`): where it is made (`cameras/*/power/over/*/length`), and what is done there. `*` stands
for every key or index, `@` for the device asked about, `parts/@` for its part, `kind:disk` for every part of a kind.
Nothing here knows questions.
"""

from __future__ import annotations

import json
import random
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Any

from coaxwright.facts.binding import Facts, compute_facts
from coaxwright.model.part_base import PartBase
from coaxwright.model.parts import PartFile
from coaxwright.model.site import Site
from coaxwright.quiz.forms import Edit
from coaxwright.reading.catalogue import Catalogue, PartSource
from coaxwright.reading.site_reader import LoadedSite, with_value
from coaxwright.reading.validation import validated
from coaxwright.reading.yaml_source import Document, parse_document
from coaxwright.topology.wiring import build_topology

Steps = tuple[str | int, ...]
_QUANTITY = re.compile(r"(-?[0-9.]+)( .*)?")


def put_at(at: str, value: object) -> Edit:
    """The edit that puts a value at a place."""
    return Edit.model_validate({"at": at, "put": value})


class NoSuchPlace(LookupError):
    """An edit that finds nothing to change."""


@dataclass(frozen=True)
class Plan:
    """A site and the parts that it names, as plain values; neither is ever changed in place."""

    site: Mapping[str, Any]
    parts: Mapping[str, Any]

    def facts(self) -> Facts:
        """Every fact, computed once. Raises Refusal where the values make no site."""
        return self._facts

    @cached_property
    def _facts(self) -> Facts:
        loaded = self.loaded()
        return compute_facts(
            loaded, build_topology(loaded), _memo(_text(self.parts), _text(self.site.get("assume") or {}))
        )

    def loaded(self) -> LoadedSite:
        """The plan as a site that was read. Raises Refusal."""
        site = {key: value for key, value in self.site.items() if key != "parts"}
        blank = Site.model_construct(site="quiz")
        return with_value(LoadedSite("quiz", blank, _blank(), _catalogue(_text(self.parts))), site)

    def part_of(self, device: Steps) -> str:
        """The part id of a device such as `("cameras", "c1")`. KeyError."""
        return str(self.site[str(device[0])][device[1]]["part"])


@lru_cache(maxsize=1)
def _blank() -> Document:
    return parse_document('{"site": "quiz"}', "quiz")


def _text(value: Mapping[str, Any]) -> str:
    return json.dumps(value, ensure_ascii=False)


@lru_cache(maxsize=256)
def _memo(parts: str, assume: str) -> dict[Any, Any]:
    """What follows from these parts alone, kept from one plan to the next."""
    return {}


@lru_cache(maxsize=256)
def _catalogue(parts: str) -> Catalogue:
    own = {name: part for name, part in json.loads(parts).items() if not name.startswith("generic/")}
    held = {name: _part(name, _text(part)) for name, part in own.items()}
    return (
        Catalogue((PartSource("quiz parts", _blank(), PartFile.model_construct(parts=held)),)) if held else Catalogue()
    )


@lru_cache(maxsize=4096)
def _part(name: str, text: str) -> PartBase:
    """One part as a model; an edit changes one or two of many, so each is read once. Raises Refusal."""
    document = parse_document(f'{{"parts": {{{json.dumps(name)}: {text}}}}}', "quiz parts")
    return validated(PartFile, document).parts[name]


def edited(plan: Plan, edits: Sequence[Edit], device: Steps = (), draw: random.Random | None = None) -> Plan:
    """The plan after all edits in turn; `device` is what `@` stands for, `draw` makes the choices of an edit.

    Raises NoSuchPlace for an edit that finds nothing to change.
    """
    values: dict[str, Any] = {"site": dict(plan.site), "parts": dict(plan.parts)}
    for edit in edits:
        for path in places(values, edit, device):
            values = _changed(values, path, edit, draw)
    return Plan(values["site"], values["parts"])


def places(values: Mapping[str, Any], edit: Edit, device: Steps) -> list[Steps]:
    """Where an edit is made, as paths from the top; one path, there or not, where it has no wildcard."""
    group, *rest = edit.at.split("/")
    root: Steps = ("parts",) if group == "parts" else ("site", _alias(group, device, 0))
    if group == "parts" and rest[:1] == ["@"]:
        rest = [str(values["site"][device[0]][device[1]]["part"]), *rest[1:]]
    found = list(_matching(values, root, tuple(_alias(step, device, 1) for step in rest)))
    if not found and not edit.maybe:
        raise NoSuchPlace(edit.at)
    return found


def _alias(step: str, device: Steps, place: int) -> str:
    return str(device[place]) if step == "@" and device else step


def _matching(values: object, done: Steps, rest: tuple[str, ...]) -> Iterator[Steps]:
    if not rest:
        yield done
        return
    here = below(values, done)
    for key in _keys(here, rest[0]):
        yield from _matching(values, (*done, key), rest[1:])


def _keys(here: object, step: str) -> Iterator[str | int]:
    if step == "*":
        yield from (range(len(here)) if isinstance(here, list | tuple) else here if isinstance(here, Mapping) else ())
    elif step.startswith("kind:"):
        kinds = here if isinstance(here, Mapping) else {}
        yield from (name for name, part in kinds.items() if part.get("kind") == step[5:])
    elif isinstance(here, list | tuple):
        yield from (int(each) for each in (step,) if step.isdecimal() and int(step) < len(here))
    else:
        yield step


def below(value: object, path: Steps) -> object:
    """What stands at a path; None where nothing does."""
    for step in path:
        if isinstance(value, Mapping):
            value = value.get(str(step))
        elif isinstance(value, list | tuple) and isinstance(step, int) and step < len(value):
            value = value[step]
        else:
            return None
    return value


def _changed(values: dict[str, Any], path: Steps, edit: Edit, draw: random.Random | None) -> dict[str, Any]:
    old = below(values, path)
    if edit.drop:
        return dict(_without(values, path))
    if edit.times is not None:
        return dict(with_at(values, path, _scaled(old, edit.times, edit.at)))
    if edit.copies is not None:
        source = below(values, (*path[:2], *edit.copies.split("/")))
        if source is None:
            raise NoSuchPlace(f"{edit.at}: {edit.copies}")
        return dict(with_at(values, path, source))
    return dict(with_at(values, path, drawn(edit, draw)))


def drawn(edit: Edit, draw: random.Random | None) -> object:
    """The new value that an edit puts or draws."""
    if edit.pick is not None and draw is not None:
        return draw.choice(edit.pick)
    if edit.between is not None and draw is not None:
        low, high = (_number(text) for text in edit.between)
        steps = round((high - low) / edit.step)
        return f"{_plain(low + edit.step * draw.randint(0, steps))}{_unit(edit.between[0])}"
    return edit.put


def _number(text: object) -> float:
    found = _QUANTITY.fullmatch(str(text))
    if found is None:
        raise NoSuchPlace(f"`{text}` is no number with a unit")
    return float(found[1])


def _unit(text: object) -> str:
    found = _QUANTITY.fullmatch(str(text))
    return (found[2] or "") if found else ""


def _plain(value: float) -> str:
    return f"{value:.9g}"


def _scaled(old: object, factor: float, at: str) -> str:
    if old is None:
        raise NoSuchPlace(at)
    return f"{_plain(_number(old) * factor)}{_unit(old)}"


def with_at(value: Any, path: Steps, new: object) -> Any:
    """A copy with another value at a path; groups that lack are made."""
    if not path:
        return new
    head, rest = path[0], path[1:]
    if isinstance(value, list | tuple):
        place = int(head)
        if place >= len(value):
            raise NoSuchPlace(str(head))
        return [*value[:place], with_at(value[place], rest, new), *value[place + 1 :]]
    held = dict(value or {})
    return {**held, str(head): with_at(held.get(str(head)), rest, new)}


def with_words(value: object, words: Mapping[str, str]) -> Any:
    """A copy with other words, wherever one of them is a whole value: parts under other names."""
    if isinstance(value, Mapping):
        return {key: with_words(each, words) for key, each in value.items()}
    if isinstance(value, list | tuple):
        return [with_words(each, words) for each in value]
    return words.get(value, value) if isinstance(value, str) else value


def _without(value: object, path: Steps) -> Any:
    head, rest = path[0], path[1:]
    if isinstance(value, list | tuple):
        place = int(head)
        kept = [*value[:place], *value[place + 1 :]]
        return kept if not rest else [*value[:place], _without(value[place], rest), *value[place + 1 :]]
    if not isinstance(value, Mapping) or head not in value:
        raise NoSuchPlace(str(head))
    if rest:
        return {**value, str(head): _without(value[str(head)], rest)}
    return {key: each for key, each in value.items() if key != head}
