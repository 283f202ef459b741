"""Holds what the oracle says of a site against what the program says."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any, NamedTuple

from .oracle import GAP, NEAR, Facts, Oracle

#: Figures are equal within this share; volts near a collapse move far for little.
NEAR_ENOUGH = 1e-6
VOLTS_NEAR_ENOUGH = 1e-4


class Difference(NamedTuple):
    """One fact on which the two differ."""

    subject: str
    fact: str
    oracle: Any
    program: Any


def place(subject: str, fact: str) -> tuple[str, str]:
    """Where the program's JSON has a fact of the oracle."""
    if subject == "volts":
        name, season = fact.rsplit(" ", 1)
        return (name if "/" in name else f"junctions/{name}"), f"volts_{season}"
    if subject.startswith("links/"):
        return subject.replace("links/", "cameras/"), fact
    return subject.replace("/inputs/", "/"), fact


def same(oracle: Any, program: Any, close: float) -> bool:
    """Whether two values are the same."""
    numbers = all(isinstance(one, int | float) and not isinstance(one, bool) for one in (oracle, program))
    if not numbers:
        return oracle == program and isinstance(oracle, bool) == isinstance(program, bool)
    return bool(abs(oracle - program) <= close * max(abs(oracle), abs(program), 1e-9))


def compare(folder: Path, program: dict[str, dict[str, Any]]) -> tuple[int, list[Difference]]:
    """How many facts were compared, and those that differ."""
    facts = Oracle(folder).answer()
    return len(facts), list(differences(facts, program))


def differences(facts: Facts, program: dict[str, dict[str, Any]]) -> Iterator[Difference]:
    """Facts that differ; what is open on one side only differs too."""
    for (subject, fact), value in facts.items():
        where, name = place(subject, fact)
        other = program.get(where, {}).get(name)
        close = VOLTS_NEAR_ENOUGH if name.startswith("volts_") else NEAR_ENOUGH
        if value == NEAR or same(value, other, close):
            continue
        yield Difference(where, name, GAP if value == GAP else value, other)
