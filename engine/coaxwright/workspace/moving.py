"""How far the numbers of a subject may move, and what a trial value of one of them would change. Writes nothing."""

from __future__ import annotations

from coaxwright.errors import Problem, Refusal
from coaxwright.fixes.limits import Limit, Smallest, limits_of
from coaxwright.fixes.numbers import Number, numbers_of
from coaxwright.fixes.patching import Patch, PatchError, pointer
from coaxwright.immutable import immutable
from coaxwright.workspace.comparing import Comparison, between
from coaxwright.workspace.site_text import OpenSite


@immutable
class Moved:
    """A trial value in words, what it would change, and the patch that makes it (None for a number of a part)."""

    told: str
    changes: Comparison
    patch: Patch | None


def limits(site: OpenSite, subject: str, level: str = "error") -> tuple[list[Limit], list[Smallest]]:
    """Ranges of all numbers that the file writes for a subject. Raises Refusal where the text cannot be judged now."""
    if site.state is None or site.problems:
        raise Refusal(site.problems)
    return limits_of(site.state, subject, level)


def trial(site: OpenSite, subject: str, path: str, value: float) -> Moved:
    """What another value of a number would change. Raises Refusal where it cannot be tried."""
    number = _number(site, subject, path)
    state = site.state
    assert state is not None
    value = min(max(number.rounded(value), number.least), number.most)
    patch = number.patch(state, value)
    parts = state.basis.loaded.catalogue.parts
    there = set(parts)
    try:
        after = state.after(patch).after.report()
    except PatchError as error:
        raise Refusal([Problem(site.name, str(error), "the site has changed since")]) from error
    finally:
        for name in set(parts) - there:
            del parts[name]
    return Moved(number.told(value), between(state.report(), after), None if number.of_part else patch)


def _number(site: OpenSite, subject: str, path: str) -> Number:
    if site.state is None or site.problems:
        raise Refusal(site.problems)
    for number in numbers_of(site.state, subject):
        if pointer(number.path) == path:
            return number
    raise Refusal([Problem(site.name, f"`{path}` is no number of {subject}", "look at its limits again")])
