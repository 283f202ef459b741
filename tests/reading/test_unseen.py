"""What nobody sees: characters without ink, and problems beyond those that are shown."""

from __future__ import annotations

from typing import Any

import pytest

from coaxwright.errors import Refusal
from coaxwright.model.quantities import KINDS, QuantityError
from coaxwright.reading import complaints
from coaxwright.reading.site_reader import load_site_text
from coaxwright.reading.validation import MAX_PROBLEMS
from coaxwright.reading.yaml_source import parse_document

UNSEEN = ["\u00ad", "\u200b", "\u2060", "\u2063", "\u180e", "\u3164", "\ufff9", "\U000e0041"]


@pytest.mark.parametrize("sign", UNSEEN, ids=ascii)
@pytest.mark.parametrize("written", ["as it is", "as an escape"])
def test_a_character_without_ink_is_refused_at_its_place(sign: str, written: str) -> None:
    """Unicode 15, default ignorable code points: two labels that differ by one look the same."""
    label = f"ga{sign}te" if written == "as it is" else f'"ga\\U{ord(sign):08X}te"'
    with pytest.raises(Refusal) as caught:
        parse_document(f"site: x\ncameras: {{c: {{label: {label}}}}}\n", "f")
    (problem,) = caught.value.problems
    assert f"U+{ord(sign):04X}" in problem.what
    assert problem.span is not None
    assert problem.span.line == 2


def test_joiners_that_scripts_need_are_read() -> None:
    text = "\u0645\u06cc\u200c\u062e\u0648\u0627\u0647\u0645 \U0001f469\u200d\U0001f527"
    assert parse_document(f"site: {text}\n", "f").value == {"site": text}


def _told(text: str) -> tuple[str, ...]:
    with pytest.raises(Refusal) as caught:
        load_site_text(text, "f", "/nonexistent")
    return tuple(map(str, caught.value.problems))


def test_words_are_found_for_problems_that_are_shown_only(monkeypatch: pytest.MonkeyPatch) -> None:
    asked = 0
    near = complaints.did_you_mean

    def counted(word: str, choices: Any) -> str:
        nonlocal asked
        asked += 1
        return near(word, choices)

    monkeypatch.setattr(complaints, "did_you_mean", counted)
    told = _told("site: x\n" + "".join(f"noze{number}: 1\n" for number in range(3000)))
    assert asked == MAX_PROBLEMS
    assert len(told) == MAX_PROBLEMS + 1
    assert told[0].startswith("f:2:1: `noze0` is not a key here")
    assert told[99].startswith("f:101:1: `noze99` is not a key here")
    assert told[100] == "f: 2900 more problems are not shown; mend the first ones"


def test_near_parts_are_looked_for_as_seldom(monkeypatch: pytest.MonkeyPatch) -> None:
    from coaxwright.reading.catalogue import Catalogue

    asked = []
    unknown = Catalogue.unknown
    monkeypatch.setattr(Catalogue, "unknown", lambda self, *words: (asked.append(words), unknown(self, *words))[1])
    told = _told("site: x\ncameras:\n" + "".join(f"  c{n}: {{part: fennik/turret-{n}}}\n" for n in range(1000)))
    assert len(asked) == MAX_PROBLEMS
    assert told[0].startswith("f:3:14: there is no part `fennik/turret-0`")
    assert told[-1] == "f: 900 more problems are not shown; mend the first ones"


@pytest.mark.parametrize(
    ("text", "what", "right"),
    [
        ("1 m m", "`1 m m` has 2 units behind one number", "write 1 m"),
        ("12 m km", "`12 m km` has 2 units behind one number", "write 12 m"),
        ("3 ft ft ft", "`3 ft ft ft` has 3 units behind one number", "write 3 ft"),
    ],
)
def test_two_units_behind_one_number(text: str, what: str, right: str) -> None:
    with pytest.raises(QuantityError) as caught:
        KINDS["length"].read(text)
    assert (caught.value.what, caught.value.right) == (what, right)
