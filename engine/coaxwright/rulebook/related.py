"""Places that a judgement has to do with, beside its own: of one drop the camera, the cable, the supply; of a link the
camera, the recorder input, the runs; of disks their recorder. And what it comes from.

Which places follow from the kind of thing judged, for every rule; a rule file adds others under `related`, and says under
`cause` what its findings come from. A clause of a sentence whose figure is not known is left out.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache
from typing import Any, NamedTuple

from coaxwright.facts.sheets import Sheet
from coaxwright.language.checked import Checked
from coaxwright.language.evaluating import evaluate
from coaxwright.language.templates import NOT_KNOWN, fill
from coaxwright.model.quantities import format_quantity
from coaxwright.rulebook.judging import Judgement
from coaxwright.rulebook.subjects import SLOTS

Steps = tuple[str | int, ...]
_SLOT = re.compile(r"\{([a-z_0-9.]+)(?:\|([^}]*))?\}")


class Place(NamedTuple):
    """A place: subject and document path of the thing, and what it has to do with the judgement."""

    subject: str
    pointer: Steps
    says: str


class Row(NamedTuple):
    """Places of one sort: the way to their sheets, the document path below each, the clauses of their sentence (the first
    is needed), the topics of rules that they matter to (all where none is named), and a flag that they must have.
    """

    way: str
    clauses: tuple[str, ...]
    below: Steps = ()
    topics: tuple[str, ...] = ()
    flag: str = ""


_CAMERA = ("{name} is the camera", "it needs at least {volts_min|V}", "it draws {watts_night|W} at night")
_HANGS = ("{name} hangs on it", "it draws {watts_night|W} at night")
_SUPPLY = ("{name} is the supply", "it gives {volts|V}", "{amps_night|A} of {amps_max|A} at night")
_JUNCTION = ("{name} is the junction it hangs on", "{volts_night|V} there at night")
_RECORDER = ("{name} is the recorder",)
_RUNS = (
    Row("hops", ("{name} is a run of the way", "{metres|m}", "it loses {loss|dB}"), flag="is_run"),
    Row("hops", ("{name} is a box on the way", "it loses {loss|dB}"), flag="is_box"),
)
ROWS: Mapping[str, tuple[Row, ...]] = {
    "feed": (
        Row("load", _CAMERA),
        Row("", ("{cable} is its own cable", "{metres|m}", "{ohms|ohm} there and back"), ("over",)),
        Row("junction", _JUNCTION),
        Row("source", _SUPPLY),
    ),
    "evening": (
        Row("feed.load", ("{name} is the camera", "it needs at least {volts_min|V}")),
        Row("feed.source", _SUPPLY),
    ),
    "device_feed": (Row("source", _SUPPLY),),
    "junction": (Row("source", _SUPPLY),),
    "output": (Row("supply", _SUPPLY), Row("feeds.load", _HANGS)),
    "supply": (Row("members.feeds.load", _HANGS, (), ("power",)),),
    "battery": (Row("supply", _SUPPLY), Row("supply.members.feeds.load", _HANGS)),
    "poe_source": (Row("members", ("{name} is powered from it",)),),
    "poe_port": (Row("source", ("{name} gives the power", "{watts_max|W} in all")),),
    "link": (
        Row("camera", ("{name} is the camera", "it sends {link.family} {link.emitted_mode}")),
        Row("input", ("input {number} of {recorder.name} takes it",)),
        Row("recorder", _RECORDER),
        *_RUNS,
    ),
    "view": (
        Row("camera", ("{name} is the camera",)),
        Row("camera.link.recorder", ("{name} records {camera.recorded_width} columns",)),
    ),
    "camera": (
        Row("", ("it stands {setting}",), ("place",), ("place",)),
        Row("feed.source", _SUPPLY, (), ("power",)),
        Row("link.recorder", _RECORDER, (), ("picture", "signal", "sound", "control", "storage")),
        Row("link.hops", ("{name} is a box on the way",), (), ("sound", "control"), "is_box"),
    ),
    "disk_group": (
        Row("recorder", ("{name} is the recorder", "it writes {bitrate_mean|bit/s} on average over the day")),
        Row("", ("{disks} disks are fitted", "{usable|B} usable"), ()),
    ),
    "input": (Row("recorder", _RECORDER), Row("cameras", ("{name} names this input",))),
    "recorder": (Row("links.camera", ("{name} goes to it",), (), ("picture", "signal", "storage", "network", "display")),),
    "serial_bus": (Row("recorder", _RECORDER),),
    "standby": (
        Row("ups", ("{name} is the UPS that feeds it", "it lasts {hours|h}")),
        Row("battery.supply", ("{name} is the supply whose battery feeds it",)),
    ),
    "housed": (Row("cabinet", ("it stands in {name}", "the air in it reaches {air|degC}")),),
    "disk_risk": (Row("group.recorder", ("{name} is the recorder",)),),
    "ending": (Row("camera.link.recorder", _RECORDER),),
    "area": (Row("cameras", ("{name} watches it",)),),
}


def places(judgement: Judgement) -> Iterator[Place]:
    """The places of a judgement, each once: those of its rule, then those of what it is about."""
    own = tuple(judgement.subject.pointer)
    seen: set[tuple[str, Steps]] = set()
    for place in _all(judgement, own):
        key = place.subject, place.pointer
        if key not in seen:
            seen.add(key)
            yield place


def _all(judgement: Judgement, own: Steps) -> Iterator[Place]:
    yield from _named(judgement)
    for sheet in _subjects(judgement):
        if sheet is not judgement.subject:
            yield Place(sheet.subject, tuple(sheet.pointer), "this is judged together with the others")
        yield from _general(sheet, judgement.rule.topic)
    if len(own) > 2:
        yield Place("/".join(map(str, own[:2])), own[:2], f"{own[1]} is the device that this belongs to")


def _subjects(judgement: Judgement) -> list[Any]:
    subject = judgement.subject
    if isinstance(subject, Sheet):
        return [subject]
    return [each for name in SLOTS if isinstance(each := getattr(subject, name, None), Sheet) and hasattr(each, "pointer")]


def _general(sheet: Sheet, topic: str) -> Iterator[Place]:
    for row in ROWS.get(sheet.kind, ()):
        if row.topics and topic not in row.topics:
            continue
        for end in _ends(sheet, row.way):
            says = _sentence(end, row.clauses, sheet) if not row.flag or end.known(row.flag) else ""
            if says:
                yield Place(end.subject, (*end.pointer, *row.below), says)


def _ends(sheet: object, way: str) -> list[Any]:
    """The sheets at the end of a way over references, lists opened."""
    found = [sheet]
    for step in way.split(".") if way else ():
        reached = (getattr(each, step, None) for each in found)
        found = [one for each in reached for one in (each if isinstance(each, list | tuple) else (each,)) if one is not None]
    return found


def _sentence(sheet: object, clauses: Sequence[str], about: object) -> str:
    """The clauses whose values are known; empty where the first is not."""
    told = [_clause(sheet, clause, about) for clause in clauses]
    return ", ".join(filter(None, told)) if told[0] else ""


def _clause(sheet: object, clause: str, about: object) -> str:
    texts, slots = _cut(clause)
    told = [texts[0]]
    for (steps, unit), text in zip(slots, texts[1:], strict=True):
        value = _value(sheet, steps, unit, about)
        if value is None:
            return ""
        told += (value, text)
    return "".join(told)


@lru_cache(maxsize=256)
def _cut(clause: str) -> tuple[Sequence[str], Sequence[tuple[Sequence[str], str]]]:
    """The texts between the slots of a clause, and of each slot the steps and the unit."""
    pieces = _SLOT.split(clause)
    return pieces[::3], [(way.split("."), unit or "") for way, unit in zip(pieces[1::3], pieces[2::3], strict=True)]


def _value(sheet: object, steps: Sequence[str], unit: str, about: object) -> str | None:
    """A value as printed; `camera...` starts at a reference of what is judged where the sheet has none such."""
    value = sheet
    for step in steps:
        value = getattr(value, step, None) if value is not sheet or hasattr(sheet, step) else getattr(about, step, None)
        if value is None:
            return None
    return format_quantity(value, unit) if isinstance(value, float) else str(value)


# What the rule file says


def evaluated(judgement: Judgement, checked: Checked) -> object:
    """What an expression of its rule comes to where something was judged; it counts towards what telling may cost."""
    steps = judgement.frame.telling
    before = steps.left
    value = evaluate(checked, judgement.frame.bind(judgement.rule, judgement.subject), steps)
    steps.forgive(before)
    return value


def _told(judgement: Judgement, template: tuple[Any, ...]) -> str:
    """A sentence; empty where a value in it is not known."""
    sentence = fill(template, judgement.frame.bind(judgement.rule, judgement.subject), judgement.frame.telling)
    return "" if NOT_KNOWN in sentence else sentence


def _named(judgement: Judgement) -> Iterator[Place]:
    """Places that the rule file names."""
    for of, template in judgement.rule.related:
        found = evaluated(judgement, of)
        says = _told(judgement, template)
        for sheet in found if isinstance(found, list | tuple) else (found,):
            if isinstance(sheet, Sheet) and says:
                yield Place(sheet.subject, tuple(sheet.pointer), says)


class Root(NamedTuple):
    """What a judgement comes from: a code, and the place of its root; `says` may be empty."""

    code: str
    place: Place

    def __str__(self) -> str:
        """Code and root in one word: equal for all that comes from one thing."""
        return f"{self.code}:{self.place.subject}"


def root(judgement: Judgement) -> Root:
    """What a judgement comes from: the first cause of its rule that holds, else what is judged itself."""
    code = _code(judgement)
    for row in judgement.rule.causes:
        if row.when is None or evaluated(judgement, row.when) is True:
            sheet = evaluated(judgement, row.of)
            if isinstance(sheet, Sheet):
                says = _told(judgement, row.says) if row.says else ""
                return Root(row.code or code, Place(sheet.subject, tuple(sheet.pointer), says))
    own = judgement.subject
    return Root(code, Place(own.subject, tuple(own.pointer), ""))


def _code(judgement: Judgement) -> str:
    """What a fact that the rule reads says of the cause (`sound_cause` beside `sound_works`), else the rule's name."""
    rule = judgement.rule
    bound = judgement.frame.bind(rule, judgement.subject)
    for path in rule.require.paths:
        sheet = bound.get(path[0])
        for step in path[1:-1]:
            sheet = getattr(sheet, step, None)
        field = path[-1]
        for name in (field if field.endswith("_cause") else field.removesuffix("_works") + "_cause", field):
            value = getattr(sheet, name, None) if name.endswith("_cause") or name == "limited_by" else None
            if isinstance(value, str) and value != "none":
                return value
    return rule.id.rpartition("/")[2]
