"""Coaxwright: will these cameras, this recorder, these cables, disks and supplies really work together?

For Python callers: `load_site`, `load_text`, `check`, `pair`, `fix`, `repair`, `limits`, `what_if`, `compare`,
`propose` and `quiz`, described in docs/python/index.md; `check_many` and `load_rulebook` for many sites. Types for
editors and type checkers stand in `__init__.pyi`. All raise `Refusal`, with every problem at its place, for input that
cannot be used.
"""

from __future__ import annotations

import sys
from types import ModuleType

__version__ = "0.1.0"

_HOMES = {
    "AnyRules": "api.sites", "AnySite": "api.sites", "Checked": "api.checks", "Compared": "api.comparisons",
    "Finding": "findings", "Fix": "findings", "Fixed": "api.changes", "Limits": "api.changes",
    "LoadedSite": "checking", "Paired": "api.pairs", "Problem": "errors", "Proposed": "api.proposals", "Quiz": "api.papers",
    "Refusal": "errors", "Repaired": "api.changes", "Report": "findings", "Result": "api.results",
    "Rulebook": "checking", "SiteReport": "findings", "WhatIf": "api.changes", "check": "api.checks",
    "check_many": "checking", "compare": "api.comparisons", "fix": "api.changes", "limits": "api.changes",
    "load_rulebook": "checking", "load_site": "api.sites", "load_text": "api.sites", "pair": "api.pairs",
    "propose": "api.proposals", "quiz": "api.papers", "repair": "api.changes",
    "what_if": "api.changes",
}  # fmt: skip
__all__ = [
    "AnyRules", "AnySite", "Checked", "Compared", "Finding", "Fix", "Fixed", "Limits", "LoadedSite", "Paired",
    "Problem", "Proposed", "Quiz", "Refusal", "Repaired", "Report", "Result", "Rulebook", "SiteReport", "WhatIf",
    "__version__", "check", "check_many", "compare", "fix", "limits", "load_rulebook", "load_site",
    "load_text", "pair", "propose", "quiz", "repair", "what_if",
]  # fmt: skip


def __getattr__(name: str) -> object:
    """The public names, each imported when asked for: `coaxwright --version` must not pay for it."""
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from importlib import import_module

    return getattr(import_module(f"coaxwright.{_HOMES[name]}"), name)


def __dir__() -> list[str]:
    return sorted([*globals(), *__all__])


class _Package(ModuleType):
    """This package: `quiz` is the function although a room is called so too, whichever is imported first."""

    @property
    def quiz(self) -> object:
        return __getattr__("quiz")

    @quiz.setter
    def quiz(self, room: object) -> None:
        """The import system binds the room here; `from coaxwright.quiz import ...` finds it without that."""


sys.modules[__name__].__class__ = _Package
