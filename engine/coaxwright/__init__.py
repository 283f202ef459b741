"""Coaxwright: will these cameras, this recorder, these cables, disks and supplies really work together?

For Python callers: `load_site(path)` reads a site, `check(site)` gives its `SiteReport` (records of
`coaxwright.findings`: values in base units, places 1-based), `check_many(paths)` a `Report`,
`load_rulebook(folders)` the rules, `compare(old, new)` what differs between two sites. All raise `Refusal`, with
every problem at its place, for input that cannot be checked.
"""

from __future__ import annotations

from typing import Any

__version__ = "0.1.0"
__all__ = ["Refusal", "__version__", "check", "check_many", "compare", "load_rulebook", "load_site"]

_HOMES = {"Refusal": "coaxwright.errors", "compare": "coaxwright.comparing.sites"}


def __getattr__(name: str) -> Any:
    """The public names, each imported when asked for: `coaxwright --version` must not pay for it."""
    if name not in __all__:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from importlib import import_module

    return getattr(import_module(_HOMES.get(name, "coaxwright.checking")), name)


def __dir__() -> list[str]:
    return sorted([*globals(), *__all__])
