"""Guesses found from outside: a field is left out, and what passes without it must not fail for some value of it.

Nothing of the engine's own map of dependencies is used. A field that some legal value of makes a judgement fail is one that
the judgement rests on; without it the judgement is open, or does not apply, or an assumption is listed. Otherwise
the engine has put a value in its place that nobody reads of.
"""

from __future__ import annotations

import copy
import re
from random import Random
from typing import Any, NamedTuple

from coaxwright.errors import Refusal
from coaxwright.facts.binding import Facts
from coaxwright.rulebook.judging import frame_of, judge_exactly, judge_rule

from . import comparing

Path = tuple[Any, ...]
NAMED = (
    "cameras", "recorders", "supplies", "junctions", "boxes", "switches", "monitors", "ups", "cabinets", "conduits", "sheaths",
)  # fmt: skip
"""Groups of a site file whose keys are ids."""
DRAWN = {
    "a way, a feed or a line that nobody draws is not there, and a rule says so of what needs one": (
        "video", "power", "sound", "control", "network", "over", "from", "into", "uplink", "pairs", "terminated", "wiring",
    ),
    "a device that nobody lists is not there": ("box", "disks", "battery", "screen", "pickup", "joints", "sheath"),
    "people or cameras that are only counted are none where nobody counts any": ("network_cameras", "viewers", "viewed"),
    "a wish that nobody wrote is none: nothing is promised for it": (
        "wants", "autonomy", "retention", "retention_max", "rate", "playback", "redundancy", "second_stream", "schedule",
    ),
    "how something is switched: left out, it is as its part starts, or open (`starts_as` is not among these words)": (
        "set", "family", "mode", "record", "bitrate",
    ),
    "a name for people or an address; what is judged of it is only that it is there, or that two are not alike": (
        "label", "area", "network_address",
    ),
    "what the site itself states in the place of an assumption: without it the assumption is listed": ("assume",),
}  # fmt: skip
"""Words of a plan that say what there is and what is wanted, by the reason why leaving one out is another plan and no gap in
this one (docs/writing-a-site.md)."""
PLAN = frozenset(word for words in DRAWN.values() for word in words)
NUMBER = re.compile(r"^(-?[0-9]+(?:\.[0-9]+)?)( .+)?$")


class Judged(NamedTuple):
    """Facts of a site, and what fails or is open by rule and subject."""

    facts: Facts
    found: dict[tuple[str, str], str]


def judged(site: Any, parts: Any, rulebook: Any) -> Judged | None:
    """None where the site is refused: the field is required, or the value is not legal."""
    try:
        facts = comparing.engine_facts(site, parts)
    except Refusal:
        return None
    found = {}
    for rule in rulebook.rules:
        for each in judge_rule(rule, facts).judgements:
            found[rule.id, each.subject.subject] = each.kind
    return Judged(facts, found)


def passes(state: Judged, rulebook: Any, key: tuple[str, str]) -> bool:
    """Whether a judgement that neither fails nor is open passes; it may not apply, or have no subject."""
    rule = rulebook.rule(key[0])
    sheet = state.facts.sheet(key[1], rule.scope.subject)
    return sheet is not None and judge_exactly(rule, sheet, frame_of(rule, state.facts)).kind == "pass"


COVERED = {"laid": "conductor-current", "bunched": "conductor-current", "ambient_max": "conductor-current"}
"""Assumptions that a report lists whether or not a field is written, and that say what is taken where it is not."""


def newly_assumed(without: Judged, given: Judged, field: str) -> bool:
    """Whether leaving the field out adds to what reports list as assumed, or they list what stands for it."""
    before = {used.assumption.name: used.count for used in given.facts.assumed}
    listed = {used.assumption.name: used.count for used in without.facts.assumed}
    return COVERED.get(field) in listed or any(count > before.get(name, 0) for name, count in listed.items())


# Fields


def leaves(value: Any, path: Path = ()) -> list[tuple[Path, Any]]:
    """Every field that a file could leave out: keys of mappings, down to what is no mapping or list of mappings."""
    found: list[tuple[Path, Any]] = []
    if isinstance(value, dict):
        for name, inner in value.items():
            found.append(((*path, name), inner))
            found += leaves(inner, (*path, name))
    elif isinstance(value, list):
        for index, inner in enumerate(value):
            found += leaves(inner, (*path, index))
    return found


def shape_of(path: Path, parts: Any) -> Path:
    """A path with ids and places taken out, so that the same field of another entry has the same shape."""
    if path[0] == "parts":
        kind = parts[path[1]]["kind"]
        head: Path = ("part", kind + ("-of-network" if "network" in parts[path[1]] and kind == "camera" else ""))
        rest = path[2:]
    else:
        head, rest = (path[0], "*") if path[0] in NAMED else (path[0],), path[2:] if path[0] in NAMED else path[1:]
    return (*head, *("#" if isinstance(step, int) else step for step in rest))


def pool(seeds: range) -> dict[Path, list[Any]]:
    """Values of every field that random sites have, by shape."""
    found: dict[Path, list[Any]] = {}
    for seed in seeds:
        site, parts = comparing.rich_known_case_of(seed)
        for path, value in leaves({**site, "parts": parts}):
            if path[0] in (*NAMED, "parts") and len(path) < 3:
                continue
            several = found.setdefault(shape_of(path, parts), [])
            if value not in several and len(several) < 6:
                several.append(value)
    return found


def others(value: Any) -> list[Any]:
    """Far values of the same kind: a field's effect may show only there."""
    if isinstance(value, bool):
        return [not value]
    if isinstance(value, int | float):
        return [value * 5, value / 5, int(value) + 1]
    match = NUMBER.match(value) if isinstance(value, str) else None
    if match:
        number, unit = float(match.group(1)), match.group(2) or ""
        return [f"{number * factor:g}{unit}" for factor in (0.1, 0.5, 2, 10)]
    return []


def at(whole: Any, path: Path) -> Any:
    for step in path:
        whole = whole[step]
    return whole


def changed(whole: Any, path: Path, value: Any = None, *, out: bool = False) -> Any:
    """A copy with one field written, or left out."""
    made = copy.deepcopy(whole)
    holder = at(made, path[:-1])
    holder.pop(path[-1], None)
    if not out:
        holder[path[-1]] = value
    return made


class Guess(NamedTuple):
    """A judgement that passes without a field and fails with a value of it, though nothing is listed as assumed."""

    rule: str
    subject: str
    shape: Path
    value: Any


def guesses(whole: Any, path: Path, values: list[Any], rulebook: Any) -> list[Guess]:
    """What the engine guesses in the place of one field of one site."""

    def state(one: Any) -> Judged | None:
        return judged({name: each for name, each in one.items() if name != "parts"}, one["parts"], rulebook)

    without = state(changed(whole, path, out=True))
    if without is None:
        return []
    found = {}
    for value in values:
        given = state(changed(whole, path, value))
        for key, kind in () if given is None else given.found.items():
            if kind != "fail" or key in without.found or key in found or newly_assumed(without, given, str(path[-1])):
                continue
            if passes(without, rulebook, key):
                found[key] = Guess(*key, shape_of(path, whole["parts"]), value)
    return list(found.values())


def places(whole: Any, known: dict[Path, list[Any]]) -> list[Path]:
    """Fields that a site has or could have: every key of a known shape whose holder is there."""
    found = {}
    by_holder: dict[Path, set[Any]] = {}
    for shape in known:
        by_holder.setdefault(shape[:-1], set()).add(shape[-1])
    holders = [(("site",), whole), *((path, value) for path, value in leaves(whole))]
    for path, value in holders:
        for place, each in enumerate(value) if isinstance(value, list) else ((None, value),):
            if isinstance(each, dict):
                here: Path = () if path == ("site",) else path if place is None else (*path, place)
                if len(here) == 1 and here[0] in (*NAMED, "parts"):
                    continue
                shape = shape_of(here, whole["parts"]) if here else ()
                for name in by_holder.get(shape, ()):
                    drawn = here[:1] != ("parts",) and name in PLAN
                    if isinstance(name, str) and name != "*" and not drawn:
                        found[(*here, name)] = True
    return list(found)


def hunt(seed: int, known: dict[Path, list[Any]], rulebook: Any, most: int) -> tuple[list[Guess], int]:
    """Guesses over `most` fields of one random site, and how many fields were tried."""
    draw = Random(seed)
    site, parts = comparing.rich_known_case_of(seed)
    whole = {**site, "parts": parts}
    fields = places(whole, known)
    found: list[Guess] = []
    tried = draw.sample(fields, min(most, len(fields)))
    for path in tried:
        values = list(known[shape_of(path, parts)])
        now = at(whole, path[:-1]).get(path[-1])
        values += others(now if now is not None else values[0])
        draw.shuffle(values)
        found += guesses(whole, path, values[:7], rulebook)
    return found, len(tried)
