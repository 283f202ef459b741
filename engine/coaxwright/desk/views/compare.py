"""The site as it is beside the site as it was saved."""

from __future__ import annotations

from collections.abc import Sequence

from coaxwright.findings import Finding
from coaxwright.reporting import wording
from coaxwright.show.figures import count
from coaxwright.show.markup import Child, Markup, join, tag
from coaxwright.show.pieces import level
from coaxwright.workspace.comparing import Comparison


def comparison(found: Comparison, same: str = "Nothing differs from the saved file.") -> Markup:
    """Findings that came, went and moved, then the lines of the file that differ."""
    if not found.diff:
        return tag("p", same)
    return tag(
        "div",
        _findings("New", found.new), _findings("Gone", found.gone), _moved("Worse than before", found.worse),
        _moved("Better than before", found.better),
        tag("h3", "Lines of the file"),
        tag("pre", _diff(found.diff), tabindex="0", role="region", aria_label="Lines that differ"),
    )  # fmt: skip


def _diff(text: str) -> Markup:
    lines: list[Child] = []
    for line in text.splitlines()[2:]:
        kind = {"+": "ins", "-": "del"}.get(line[:1])
        lines.append(tag(kind, line) if kind else line)
    return join(lines, "\n")


def _findings(words: str, found: Sequence[Finding]) -> Markup:
    items = [tag("li", level(each.level), " ", each.message) for each in found]
    return join([tag("h3", f"{words}: {count(len(found), 'finding')}"), tag("ul", items) if items else None])


def _moved(words: str, pairs: Sequence[tuple[Finding, Finding]]) -> Markup | None:
    if not pairs:
        return None
    items = [
        tag(
            "li",
            level(after.level),
            " ",
            after.message,
            f" Was {wording.margin(before.margin)}, now {wording.margin(after.margin)}.",
        )
        for before, after in pairs
    ]
    return join([tag("h3", f"{words}: {count(len(pairs), 'finding')}"), tag("ul", items)])
