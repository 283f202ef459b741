"""Suggestions for unknown words."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from coaxwright.reading.suggest import did_you_mean

KEYS = ["cameras", "recorders", "supplies", "video_rate", "retention", "retention_max", "site"]
PARTS = ["generic/balun-passive", "fennick/turret-5", "fennick/dome-2", "tarnwell/hybrid-8"]


@pytest.mark.parametrize(
    ("word", "choices", "phrase"),
    [
        ("camera", KEYS, "did you mean `cameras`?"),
        ("camras", KEYS, "did you mean `cameras`?"),
        ("Cameras", KEYS, "did you mean `cameras`?"),
        ("video-rate", KEYS, "did you mean `video_rate`?"),
        ("videorate", KEYS, "did you mean `video_rate`?"),
        ("sup", KEYS, "did you mean `supplies`?"),
        ("retentoin", KEYS, "did you mean `retention` or `retention_max`?"),
        ("turret-5", PARTS, "did you mean `fennick/turret-5`?"),
        ("fennick/turet-5", PARTS, "did you mean `fennick/turret-5`?"),
        ("fennick/", PARTS, ""),
        ("zebra", KEYS, ""),
        ("", KEYS, ""),
        ("x" * 5000, KEYS, ""),
        ("anything", [], ""),
        ("cam1", ["cam2", "cam3", "zzz"], "did you mean `cam3` or `cam2`?"),
    ],
)
def test_phrases(word: str, choices: list[str], phrase: str) -> None:
    assert did_you_mean(word, choices) == phrase


def test_many_choices_are_quick_and_order_does_not_matter(guarded: Callable[[float], Any]) -> None:
    choices = [f"camera-{number:05d}" for number in range(10_000)]
    with guarded(2000):
        assert did_you_mean("camera-0500", choices) == did_you_mean("camera-0500", choices[::-1])
