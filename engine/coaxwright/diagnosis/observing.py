"""What was seen and what was measured on a site: read from words, and looked for among the facts of a site as tried."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping
from typing import Any

from coaxwright.diagnosis.forms import Measurement
from coaxwright.diagnosis.knowledge import Knowledge, value_of
from coaxwright.errors import Problem, Refusal
from coaxwright.facts.binding import Facts
from coaxwright.immutable import immutable
from coaxwright.reading.suggest import did_you_mean

Reading = float | str
SITE = "site"
_GROUPS = {"camera": "cameras", "recorder": "recorders", "supply": "supplies"}
_CALL = "what was called"
_NUMBER = re.compile(r"\s*([-+]?[0-9]+(?:[.,][0-9]+)?)\s*(.*)")


@immutable
class Seen:
    """A symptom of a subject."""

    subject: str
    symptom: str


@immutable
class Measured:
    """A reading of a measurement at a subject."""

    subject: str
    measurement: str
    reading: Reading


def read_seen(text: str, known: Knowledge, subjects: Iterable[str]) -> Seen:
    """`cameras/yard: no picture at night`. Raises Refusal with what would be right."""
    subject, _, words = text.partition(":")
    says = {each.says: name for name, each in known.symptoms.items()}
    name = _one_of(words.strip(), {**says, **{name: name for name in known.symptoms}}, "symptom", "--symptoms lists all")
    return Seen(_subject(subject.strip(), known.symptoms[name].about, f"`{known.symptoms[name].says}`", subjects), name)


def read_measured(text: str, known: Knowledge, subjects: Iterable[str]) -> Measured:
    """`cameras/yard: volts-night = 10.4`. Raises Refusal with what would be right."""
    left, equals, right = text.partition("=")
    subject, _, words = left.partition(":")
    if not equals:
        raise _refused(f"`{text}` has no `=`", "write 'cameras/yard: volts-night = 10.4'")
    says = {each.says: name for name, each in known.measurements.items()}
    name = _one_of(words.strip(), {**says, **{name: name for name in known.measurements}}, "measurement", "--symptoms lists all")
    measurement = known.measurements[name]
    place = _subject(subject.strip(), measurement.about, f"`{measurement.says}`", subjects)
    return Measured(place, name, _reading(right.strip(), measurement))


def _reading(text: str, measurement: Measurement) -> Reading:
    """A figure in the measurement's unit, or a word."""
    found = _NUMBER.fullmatch(text)
    if found is None:
        if measurement.unit:
            raise _refused(f"`{text}` is no figure", f"a figure in {measurement.unit}")
        return text
    if found[2].strip() not in ("", measurement.unit):
        raise _refused(f"`{text}` is not in {measurement.unit or 'a plain figure'}", f"a figure in {measurement.unit}")
    return float(found[1].replace(",", "."))


def _one_of(word: str, names: Mapping[str, str], what: str, otherwise: str) -> str:
    folded = {" ".join(name.lower().split()): found for name, found in names.items()}
    found = folded.get(" ".join(word.lower().split()))
    if found is None:
        raise _refused(f"there is no {what} `{word}`", did_you_mean(word, names) or otherwise)
    return found


def _subject(word: str, about: str, what: str, subjects: Iterable[str]) -> str:
    """The subject that is meant; a camera may go by its name alone."""
    there = list(subjects)
    if about == SITE:
        return SITE
    group = _GROUPS[about]
    full = word if "/" in word else f"{group}/{word}"
    if full not in there:
        mine = [each for each in there if each.startswith(f"{group}/") and each.count("/") == 1]
        raise _refused(f"there is no `{word}` here", did_you_mean(full, mine) or f"there is: {', '.join(mine[:12])}")
    if full.partition("/")[0] != group:
        raise _refused(f"{what} is told of {group}, not of `{word}`", f"name one of {group}")
    return full


def _refused(what: str, right: str) -> Refusal:
    return Refusal([Problem(_CALL, what, right)])


def shows(known: Knowledge, facts: Facts, seen: Seen) -> bool:
    """Whether a symptom shows on a site; never where its facts are not known."""
    symptom = known.symptoms[seen.symptom]
    sheet = facts.sheet(seen.subject, symptom.about)
    return symptom.when is not None and sheet is not None and value_of(symptom.when, symptom.about, sheet) is True


def reading_of(known: Knowledge, facts: Facts, name: str, subject: str) -> Reading | None:
    """What a measurement would show on a site, by its facts; None where no fact tells, or it is not known."""
    measurement = known.measurements[name]
    sheet = facts.sheet(subject, measurement.about)
    if measurement.reads is None or sheet is None:
        return None
    found: Any = value_of(measurement.reads, measurement.about, sheet)
    return found if found is None or isinstance(found, str) else float(found) / measurement.scale


def agree(measurement: Measurement, one: Reading | None, other: Reading | None) -> bool:
    """Whether two readings count as one; nothing known agrees with all."""
    if one is None or other is None:
        return True
    if isinstance(one, str) or isinstance(other, str):
        return str(one) == str(other)
    return math.isclose(one, other, rel_tol=measurement.share, abs_tol=max(measurement.within, 1e-9))
