"""The words for a condition that is not met any more: a fact that is yes, no or a word, told by its own sentence."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from coaxwright.facts.sheets import Camera
from coaxwright.fixes import outcomes


@pytest.mark.parametrize(
    ("field", "old", "new", "told"),
    [
        ("has_power", True, False, "does not hold any more"),
        ("has_power", False, True, "holds now"),
        ("power_kind", "dc", "ac", "is ac now and was dc"),
        ("power_kind", None, "ac", "is ac now"),
        ("watts_night", 4.0, 9.0, ""),
        ("no_such_fact", False, True, ""),
    ],
)
def test_a_fact_that_changed_in_words(field: str, old: Any, new: Any, told: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """A number is left to the judgement, which tells it with its unit; what has no sentence is not told."""
    monkeypatch.setattr(outcomes, "_value", lambda *_: Camera())
    words = outcomes._change(None, SimpleNamespace(field=field, operand=None), old, new, {})  # type: ignore[arg-type]
    assert words.endswith(told) if told else words == ""
    if told:
        assert words.startswith('"')
