"""A class whose abilities are known sits three exams: what marks and statistics make of it.

Right or wrong is drawn by the three-parameter logistic model (Birnbaum 1968): c + (1 - c) / (1 + exp(-a (ability - b))), with
c = 1/3 for three options and 0 for an entered number. Abilities, a and b are drawn here, and are known to nobody but the test.
Two questions of each exam are bad: of one the key is wrong, in the other those who know more choose an option that is not it.

`python -m tests.course.simulated --classes 300` prints the figures of docs/quality.md; `--exam DIR` takes the keys of an exam
that `coaxwright course exam` made, version by version, in place of invented ones.
"""

from __future__ import annotations

import argparse
import json
import math
import random
import statistics
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from coaxwright.course.history import by_pattern, read_history
from coaxwright.course.results import questions_data
from coaxwright.course.sittings import Exam, Sitting, mark

LEARNERS, QUESTIONS, EXAMS = 15, 40, 3
WRONG_KEY, TURNED = 7, 23
"""Numbers of the bad questions."""


@dataclass(frozen=True)
class Traits:
    """How one question behaves; `turned` is the option that those who know more choose."""

    slope: float
    hardness: float
    guess: float

    def chance(self, ability: float) -> float:
        """That it is answered rightly."""
        return self.guess + (1 - self.guess) / (1 + math.exp(-self.slope * (ability - self.hardness)))


def abilities(draw: random.Random) -> dict[str, float]:
    """A class: normal, so that many are alike in the middle, as classes are."""
    return {f"learner {number:02}": draw.gauss(0, 1.2) for number in range(1, LEARNERS + 1)}


def invented_key(draw: random.Random) -> dict[str, Any]:
    """A key of 40 questions, one in eight of which takes a number."""
    return {"items": {f"{draw.getrandbits(32):08x}": _item(draw, number) for number in range(1, QUESTIONS + 1)}}


def _item(draw: random.Random, number: int) -> dict[str, Any]:
    common = {
        "number": number,
        "pattern": f"topic/kind-{number}",
        "topic": f"topic {(number - 1) // 10 + 1}",
        "question": "?",
    }
    if number % 8 == 0:
        entered = {"value": 9.5, "tolerance": 0.01, "unit": "V"}
        return {**common, "key": None, "answer": "9.5 V", "entered": entered, "options": {}, "typical": []}
    key = draw.choice("ABC")
    options = {
        letter: {"text": letter, "right": letter == key, "slip": "s", "named": "n", "feedback": "f"} for letter in "ABC"
    }
    return {**common, "key": key, "answer": key, "entered": None, "options": options, "typical": []}


def traits_of(key: Mapping[str, Any], draw: random.Random) -> list[Traits]:
    """Slopes about 1.2, hardness over three units (invented, in the range that is met in courses: from memory)."""
    return [
        Traits(draw.uniform(0.8, 1.6), draw.gauss(0, 1), 0.0 if item["entered"] else 1 / 3)
        for item in key["items"].values()
    ]


def spoilt(key: Mapping[str, Any]) -> dict[str, Any]:
    """The key as the trainer has it: that of one question is wrong."""
    items = dict(key["items"])
    name = list(items)[WRONG_KEY - 1]
    item = items[name]
    other = next(letter for letter in "ABC" if letter != item["key"])
    options = {
        letter: {**each, "right": letter == other, "slip": "s", "named": "n", "feedback": "f"}
        for letter, each in item["options"].items()
    }
    items[name] = {**item, "key": other, "options": options}
    return {**key, "items": items}


def given(key: Mapping[str, Any], traits: Sequence[Traits], ability: float, draw: random.Random) -> list[str]:
    """What one learner answers."""
    answers = []
    for number, (item, each) in enumerate(zip(key["items"].values(), traits, strict=True), start=1):
        right = draw.random() < each.chance(ability)
        if item["entered"]:
            answers.append(str(item["entered"]["value"]) if right else "1")
            continue
        others = [letter for letter in item["options"] if letter != item["key"]]
        if number == TURNED:
            answers.append(others[0] if right else draw.choice([item["key"], others[1]]))
        else:
            answers.append(item["key"] if right else draw.choice(others))
    return answers


def sit(key: Mapping[str, Any], known: Mapping[str, float], draw: random.Random, title: str) -> Sitting:
    """One exam by the whole class, marked by the spoilt key."""
    traits = traits_of(key, draw)
    rows = [(name, "A", given(key, traits, ability, draw)) for name, ability in known.items()]
    return mark(Exam({"title": title, "versions": ["A"], "points": 1}, {"A": spoilt(key)}), rows)


def ranks(values: Sequence[float]) -> list[float]:
    """Ranks from 1, the mean of those that are shared."""
    ordered = sorted(values)
    return [ordered.index(value) + (ordered.count(value) + 1) / 2 for value in values]


def spearman(one: Sequence[float], other: Sequence[float]) -> float:
    """Spearman's coefficient: Pearson's of the ranks (Spearman 1904)."""
    return statistics.correlation(ranks(one), ranks(other))


@dataclass(frozen=True)
class Outcome:
    """Of one class: how well each exam's marks and all marks order it, what sittings and history say of bad questions."""

    single: tuple[float, ...]
    together: float
    found: tuple[tuple[int, ...], ...]
    in_history: frozenset[int]


def outcome(seed: int, folder: Path, keys: Sequence[Mapping[str, Any]] = ()) -> Outcome:
    """A class of this seed; the history goes through files in `folder`."""
    draw = random.Random(seed)
    known = abilities(draw)
    first = invented_key(draw)
    sittings = [sit(keys[number] if keys else first, known, draw, f"exam {number + 1}") for number in range(EXAMS)]
    marks = [[float(each.right) for each in sitting.sat] for sitting in sittings]
    true = list(known.values())
    return Outcome(
        tuple(spearman(true, each) for each in marks), spearman(true, [sum(each) for each in zip(*marks, strict=True)]),
        tuple(tuple(number.number for number in sitting.numbers if "key" in number.remark) for sitting in sittings),
        frozenset(_in_history(sittings, folder)),
    )  # fmt: skip


def _in_history(sittings: Sequence[Sitting], folder: Path) -> list[int]:
    places = []
    for sitting in sittings:
        place = folder / sitting.exam.title
        place.mkdir(exist_ok=True)
        (place / "questions.json").write_text(json.dumps(questions_data(sitting)))
        places.append(place)
    numbers = {", ".join(each.patterns): each.number for each in sittings[0].numbers}
    return [numbers[each.pattern] for each in by_pattern(read_history(places)) if "key" in each.remark]


def _main() -> None:
    import tempfile

    asked = argparse.ArgumentParser()
    asked.add_argument("--classes", type=int, default=300)
    asked.add_argument("--exam", type=Path)
    call = asked.parse_args()
    keys = [json.loads(path.read_text()) for path in sorted(call.exam.glob("key-*.json"))[:EXAMS]] if call.exam else []
    with tempfile.TemporaryDirectory() as folder:
        all_of = [outcome(seed, Path(folder), keys) for seed in range(call.classes)]
    single = sorted(each for one in all_of for each in one.single)
    together = sorted(one.together for one in all_of)
    bad = {WRONG_KEY, TURNED}
    sat = [set(numbers) for one in all_of for numbers in one.found]
    print(f"one exam of {QUESTIONS}: {_spread(single)}; lowest tenth below {single[len(single) // 10]:.3f}")
    print(f"three exams together: {_spread(together)}")
    found, false = sum(len(each & bad) for each in sat), sum(len(each - bad) for each in sat)
    print(f"one sitting: {found} of {2 * len(sat)} bad ones found, {false} of {(QUESTIONS - 2) * len(sat)} good ones doubted")
    both, false = sum(bad <= one.in_history for one in all_of), sum(len(one.in_history - bad) for one in all_of)
    print(f"history: both found in {both} of {len(all_of)}, {false} of {(QUESTIONS - 2) * len(all_of)} good ones doubted")


def _spread(found: Sequence[float]) -> str:
    least = sum(each >= 0.85 for each in found) / len(found)
    return f"Spearman median {statistics.median(found):.3f}, at least 0.85 in {least:.0%}"


if __name__ == "__main__":
    _main()
