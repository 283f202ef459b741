"""The site as it is beside the site as it was saved: what the text changes, and what that does to the findings."""

from __future__ import annotations

from collections.abc import Sequence

from coaxwright.errors import Refusal
from coaxwright.findings import Finding, SiteReport
from coaxwright.fixes.writing import text_diff
from coaxwright.immutable import immutable
from coaxwright.workspace.site_text import OpenSite

_LEAST = 1e-6
"""A margin that moves by less is the same: what rounding makes of it."""


@immutable
class Comparison:
    """`diff` of the texts; findings that are new or gone; those that stay, before and after, where the margin moved."""

    diff: str
    new: tuple[Finding, ...]
    gone: tuple[Finding, ...]
    worse: tuple[tuple[Finding, Finding], ...]
    better: tuple[tuple[Finding, Finding], ...]


def compared(site: OpenSite) -> Comparison:
    """The open site against its saved text. Raises Refusal where the saved text cannot be judged."""
    diff = text_diff(site.name, site.saved_text, site.text)
    before = site.saved_state().report()
    return between(before, site.report or before, diff)


def against_disk(site: OpenSite, theirs: str) -> Comparison:
    """What the file on disk holds now against the open site: `diff` leads from theirs to mine. A text of theirs that
    cannot be judged has no findings to compare.
    """
    diff = text_diff(site.name, theirs, site.text)
    try:
        before = site.loaded(theirs).report()
    except Refusal:
        return Comparison(diff, (), (), (), ())
    return between(before, site.report or before, diff)


def between(before: SiteReport, after: SiteReport, diff: str = "") -> Comparison:
    """What differs between the findings of two reports on one site."""
    old, new = ({each.key: each for each in report.findings} for report in (before, after))
    both = [(old[key], new[key]) for key in old if key in new]
    came = tuple(each for key, each in new.items() if key not in old)
    went = tuple(each for key, each in old.items() if key not in new)
    return Comparison(diff, came, went, _moved(both, -1), _moved(both, 1))


def _moved(both: Sequence[tuple[Finding, Finding]], way: int) -> tuple[tuple[Finding, Finding], ...]:
    return tuple(
        (one, other)
        for one, other in both
        if one.margin is not None and other.margin is not None and (other.margin - one.margin) * way > _LEAST
    )
