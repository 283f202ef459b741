"""Facts that differ, and every other value of the site file that does."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from coaxwright.comparing.records import FactDifference, SettingChange
from coaxwright.comparing.renaming import GROUPS, Names
from coaxwright.comparing.things import leaves
from coaxwright.facts.binding import Facts
from coaxwright.facts.sheets import SHEETS
from coaxwright.model.site import Site
from coaxwright.reading.site_reader import LoadedSite

_ALIKE = 1e-9
"""Two orders of the same sums differ by less than this share."""
_TOLD_ELSEWHERE = frozenset({"part", "disks", "pickup", "over", "into", "source"})
"""Keys whose values stand among devices and runs."""


def fact_differences(before: Facts, after: Facts, names: Names) -> Iterator[FactDifference]:
    """Facts of single values that differ, in the order of the sheets."""
    old = {
        (names.subject(subject), name): (_as_now(subject, name, value, names), about)
        for (subject, name), (value, about) in _values(before).items()
    }
    new = _values(after)
    for key in dict.fromkeys([*old, *new]):
        was, now = old.get(key), new.get(key)
        if not alike(was and was[0], now and now[0]):
            about = (was or now or (None, {}))[1]
            yield FactDifference(*key, was and was[0], now and now[0], about["unit"], about["doc"])


def _as_now(subject: str, name: str, value: object, names: Names) -> object:
    """A value of the older side that is an id, or a subject, as the newer side calls it."""
    if not isinstance(value, str):
        return value
    if name.endswith(".name") and subject.count("/") == 1:
        return names.subject(subject).partition("/")[2] if subject.endswith(f"/{value}") else value
    return names.subject(value)


def alike(one: object, other: object) -> bool:
    """Whether two values of a fact are the same but for the order of sums."""
    if isinstance(one, float) and isinstance(other, float):
        return math.isclose(one, other, rel_tol=_ALIKE, abs_tol=_ALIKE) or one == other
    return type(one) is type(other) and bool(one == other)


def _values(facts: Facts) -> dict[tuple[str, str], tuple[Any, Any]]:
    """Value and declaration of each fact by subject and `kind.field`."""
    found: dict[tuple[str, str], tuple[Any, Any]] = {}
    for kind in SHEETS:
        for sheet in facts.by_kind(kind):
            for name, field in type(sheet).__dataclass_fields__.items():  # type: ignore[attr-defined]
                value = sheet.known(name)
                if field.metadata and isinstance(value, bool | int | float | str):
                    found[sheet.subject, f"{kind}.{name}"] = (value, field.metadata)
    return found


def setting_changes(before: LoadedSite, after: LoadedSite, names: Names) -> Iterator[SettingChange]:
    """Values of the site file that stand in none of the other lists, of entries that both sides have."""
    old = {names.subject(path): (path, value) for path, value in _settings(before.site).items()}
    new = {path: (path, value) for path, value in _settings(after.site).items()}
    both = _entries(old) & _entries(new)
    for path in dict.fromkeys([*old, *new]):
        was, now = old.get(path), new.get(path)
        if (was and was[1]) != (now and now[1]) and (_entry(path) is None or _entry(path) in both):
            yield SettingChange(path, was and _written(before, *was), now and _written(after, *now))


def _settings(site: Site) -> dict[str, Any]:
    return {path: value for path, value in leaves(site) if not _TOLD_ELSEWHERE & set(path.split("/")[2:])}


def _entry(path: str) -> str | None:
    """The entry of a group that a path lies in; None for all else."""
    steps = path.split("/")
    return "/".join(steps[:2]) if steps[0] in GROUPS else None


def _entries(paths: dict[str, Any]) -> set[str | None]:
    return set(map(_entry, paths))


def _written(loaded: LoadedSite, path: str, value: object) -> str:
    """A value as the site file has it; as it was understood where it stands there in another form."""
    node: Any = loaded.document.value
    for step in path.split("/"):
        try:
            node = node[int(step)] if isinstance(node, list) else node["from" if step == "source" else step]
        except (KeyError, ValueError, IndexError, TypeError):
            return f"{value}"
    return f"{node}" if isinstance(node, str | int | float) else f"{value}"
