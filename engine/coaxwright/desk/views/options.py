"""The list below a field that completes what is typed: options with what tells them apart, and how many there are."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from coaxwright.show.markup import join, tag


def listed(
    options: Iterable[tuple[str, str]], count: int, typed: str, *, thing: str = "to choose from"
) -> dict[str, Any]:
    """What an act of `data-complete` answers with: the options as value and figures, and their number among all."""
    shown = list(options)
    items = [
        tag("li", tag("b", value), tag("span", figures, class_="quiet"), role="option", id=f"pick-{place}",
            aria_selected="false", data_value=value)
        for place, (value, figures) in enumerate(shown)
    ]  # fmt: skip
    left = count - len(shown)
    more = f" {left} more: type on." if left > 0 else ""
    words = (
        f"↓ chooses, Enter takes, Esc closes.{more}"
        if count
        else f"Nothing is called “{typed}”. Enter keeps what you typed."
    )
    html = join([*items, tag("li", words, class_="foot", role="presentation")])
    return {"html": html, "count": count, "spoken": f"{count} {thing}." if count else "Nothing found."}
