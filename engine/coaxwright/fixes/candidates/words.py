"""The table from the words of rule files (`do:`) to the generators of candidates, and how it is used."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Set
from dataclasses import replace
from typing import Any

from coaxwright.fixes.candidates import cables, devices, feeds, needs, pictures
from coaxwright.fixes.candidates.bench import Bench, Candidate, Want
from coaxwright.rulebook.judging import Judgement, told
from coaxwright.rulebook.suggestions import suggestions

Generator = Callable[[Bench, Want], Iterator[Candidate]]

GENERATORS: Mapping[str, Generator] = {
    "add_box": cables.add_box,
    "add_disk": devices.add_disk,
    "add_junction": feeds.add_junction,
    "add_pickup": pictures.add_pickup,
    "add_recorder": devices.add_recorder,
    "add_supply": feeds.add_supply,
    "change_address": devices.change_address,
    "change_cable": cables.change_cable,
    "change_codec": pictures.change_codec,
    "change_disk": devices.change_disk,
    "change_need": needs.change_need,
    "change_part": devices.change_part,
    "change_path": devices.change_path,
    "larger_battery": feeds.larger_battery,
    "larger_disk": devices.change_disk,
    "lower_trim": feeds.lower_trim,
    "move_feed": feeds.move_feed,
    "move_input": pictures.move_input,
    "plug_into_ups": feeds.plug_into_ups,
    "raise_trim": feeds.raise_trim,
    "set_control": pictures.set_control,
    "set_rate": pictures.set_rate,
    "set_recorder": pictures.set_recorder,
    "set_sound": pictures.set_sound,
    "shorten_run": cables.shorten_run,
    "split_feed": feeds.split_feed,
    "switch_mode": pictures.switch_mode,
}


_CHOOSE = frozenset({"add_supply", "change_cable", "change_disk", "change_part", "larger_battery", "larger_disk"})
"""Words that choose among parts: where they do not clear it, no part that the site knows does."""
_OF_PARTS = _CHOOSE | {"add_box", "add_disk", "add_junction", "add_pickup", "add_recorder", "plug_into_ups"}
"""Words for which a part is needed."""


def candidates(bench: Bench, judgement: Judgement) -> Iterator[Candidate]:
    """What could be changed about a finding: all that its rule declares, in its order; each edit once."""
    seen: set[str] = set()
    for declared, _ in suggestions(judgement):
        want = wanted(judgement, declared)
        generate = GENERATORS.get(declared["do"])
        if want is None or generate is None:
            continue
        for candidate in generate(bench, want):
            key = repr(candidate.patch)
            if key not in seen:
                seen.add(key)
                yield replace(candidate, word=declared["do"])


def to_be_bought(bench: Bench, judgement: Judgement) -> list[str]:
    """What would have to be bought where nothing that the site knows clears a finding, in the rule's own words."""
    return list(dict.fromkeys(_left(bench, judgement, _OF_PARTS)))


def to_be_done(bench: Bench, judgement: Judgement) -> list[str]:
    """What is left to a person there, since the site file holds nothing that could be changed for it."""
    return list(dict.fromkeys(_left(bench, judgement, GENERATORS.keys() - _OF_PARTS - {"change_need"})))


def _left(bench: Bench, judgement: Judgement, words: Set[str]) -> Iterator[str]:
    for declared, sentence in suggestions(judgement):
        if sentence is None or declared["do"] not in words:
            continue
        want = wanted(judgement, declared)
        made = () if want is None else GENERATORS[declared["do"]](bench, want)
        if declared["do"] in _CHOOSE or next(iter(made), None) is None:
            yield told(judgement, sentence)


def wanted(judgement: Judgement, declared: Mapping[str, Any]) -> Want | None:
    """What a declared fix is about on this subject; None where that is not known."""
    bound = judgement.frame.bind(judgement.rule, judgement.subject)
    value: Any = None
    for place, name in enumerate(str(declared.get("of") or judgement.rule.scope.subject).split(".")):
        value = bound.get(name) if place == 0 else value.known(name)
        if value is None:
            return None
    return Want(declared["do"], (value,), declared.get("prefer", ""), judgement.rule.id)
