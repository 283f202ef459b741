"""Suggestions for a word that is not known."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

_MOST_CHOICES = 20_000


def did_you_mean(word: str, choices: Iterable[str]) -> str:
    """`did you mean x?` or `did you mean x or y?` for near words among the choices, else an empty string.

    Near is: equal but for capitals, spaces, `_` and `-`; equal behind the `/`; the only one to begin so; or
    similar spelling.
    """
    return asked(nearest(word, choices))


def asked(near: Sequence[str]) -> str:
    """The question after these words; empty for none."""
    return f"did you mean {' or '.join(f'`{choice}`' for choice in near)}?" if near else ""


def did_you_mean_or_listed(word: str, choices: Iterable[str]) -> str:
    """The nearest word, also one that is less alike; where there is none, the words that there are (at most 12).

    For short lists, such as the fields of one kind of sheet.
    """
    known = sorted(choices)
    listed = f"there is: {', '.join(known[:12])}{' ...' if len(known) > 12 else ''}" if known else ""
    return asked(nearest(word, known, 1, alike=0.6)) or listed


def nearest(word: str, choices: Iterable[str], most: int = 2, *, alike: float = 0.75) -> list[str]:
    """Up to `most` near choices, best first, each once; `alike` is the least likeness of spelling, 0 to 1."""
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
    return begun if len(begun) == 1 else _similar(folded, known, most, alike)


def _similar(folded: str, known: list[str], most: int, alike: float) -> list[str]:
    """By spelling; difflib is imported here because a run without mistakes never needs it."""
    from difflib import get_close_matches

    by_fold: dict[str, str] = {}
    for choice in known:
        by_fold.setdefault(_folded(choice), choice)
    near_length = [fold for fold in by_fold if abs(len(fold) - len(folded)) <= max(2, len(folded) // 2)]
    return [by_fold[fold] for fold in get_close_matches(folded, near_length, n=most, cutoff=alike)]


def _folded(word: str) -> str:
    return word.casefold().replace("_", "").replace("-", "").replace(" ", "")
