"""Suggestions for a word that is not known."""

from __future__ import annotations

from collections.abc import Iterable

_MOST_CHOICES = 20_000


def did_you_mean(word: str, choices: Iterable[str]) -> str:
    """`did you mean x?` or `did you mean x or y?` for near words among the choices, else an empty string.

    Near is: equal but for capitals, spaces, `_` and `-`; equal behind the `/`; the only one to begin so; or
    similar spelling.
    """
    near = nearest(word, choices)
    return f"did you mean {' or '.join(f'`{choice}`' for choice in near)}?" if near else ""


def nearest(word: str, choices: Iterable[str], most: int = 2) -> list[str]:
    """Up to `most` near choices, best first, each once."""
    known = sorted({choice for choice in choices if isinstance(choice, str)})[:_MOST_CHOICES]
    folded = _folded(word)
    if not folded or len(word) > 128:
        return []
    same = [choice for choice in known if _folded(choice) == folded]
    if same:
        return same[:most]
    behind = [choice for choice in known if _folded(choice.rpartition("/")[2]) == folded]
    if behind:
        return behind[:most]
    begun = [choice for choice in known if len(folded) >= 3 and _folded(choice).startswith(folded)]
    return begun if len(begun) == 1 else _similar(folded, known, most)


def _similar(folded: str, known: list[str], most: int) -> list[str]:
    """By spelling; difflib is imported here because a run without mistakes never needs it."""
    from difflib import get_close_matches

    by_fold: dict[str, str] = {}
    for choice in known:
        by_fold.setdefault(_folded(choice), choice)
    near_length = [fold for fold in by_fold if abs(len(fold) - len(folded)) <= max(2, len(folded) // 2)]
    return [by_fold[fold] for fold in get_close_matches(folded, near_length, n=most, cutoff=0.75)]


def _folded(word: str) -> str:
    return word.casefold().replace("_", "").replace("-", "").replace(" ", "")
