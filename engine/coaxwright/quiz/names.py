"""Names of parts that tell a figure: when a question changes the figure, the name follows, or says nothing of it.

A stock part `maker-a/recorder-8` has eight inputs. A plan in which it has sixteen prints `maker-a/recorder-16`; one in
which the diagonal of `maker-c/screen-24` is left out prints `maker-c/screen`. The stock keeps its names: edits that
put a part there go on finding it, with the figures that it is named after.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from typing import Any

from coaxwright.model.common import parse_channels, parse_mode
from coaxwright.model.quantities import parse_quantity
from coaxwright.quiz.plans import Plan, with_words

_UNITS: Mapping[str, tuple[str, str, float]] = {
    "supply": ("amps", "amps", 1.0), "disk": ("capacity", "bytes", 1e12),
}  # fmt: skip
"""By kind of part: the field that its name tells, its quantity, and the unit of the name."""


def following(before: Plan, after: Plan) -> Plan:
    """The plan `after` edits, with every part renamed whose name tells a figure that it had `before` and has no more."""
    names = dict(_renamed(before, after))
    if not names:
        return after
    parts: dict[str, Any] = {}
    for name, part in after.parts.items():
        parts[names.get(name, name)] = part
        if name in names:
            parts[name] = before.parts[name]
    return Plan(with_words(after.site, names), parts)


def _renamed(before: Plan, after: Plan) -> Iterator[tuple[str, str]]:
    for name, part in after.parts.items():
        if (old := before.parts.get(name)) not in (None, part):
            told, tells = figure(old), figure(part)
            if told is not None and told != tells and _places(name, told):
                yield name, _free(name, told, tells, after)


def _free(name: str, told: int, tells: int | None, plan: Plan) -> str:
    """The name with the new figure in the place of the old; without one where there is none, or that name is taken."""
    start, end = _places(name, told)[-1]
    wanted = f"{name[:start]}{'' if tells is None else tells}{name[end:]}"
    bare = re.sub(r"-(?=-|$)", "", f"{name[:start]}{name[end:]}")
    return wanted if tells is not None and wanted not in plan.parts else bare


def _places(name: str, number: int) -> list[tuple[int, int]]:
    """Where a number stands in a name as a number of its own."""
    return [found.span() for found in re.finditer(r"\d+(?:\.\d+)?", name) if found[0] == str(number)]


def figure(part: Mapping[str, Any]) -> int | None:
    """The figure after which a part of its kind is named: inputs, megapixels, inches, ports, amperes, terabytes.

    None where its entry does not state it, or it is no whole number.
    """
    kind = str(part.get("kind"))
    if kind in _UNITS:
        field, quantity, unit = _UNITS[kind]
        return None if part.get(field) is None else _whole(parse_quantity(quantity, str(part[field])) / unit)
    found = _FIGURES.get(kind)
    return found(part) if found else None


def _whole(value: float) -> int | None:
    return round(value) if abs(value - round(value)) < 1e-9 else None


def _inputs(part: Mapping[str, Any]) -> int | None:
    channels = [each for row in part.get("inputs") or () for each in parse_channels(row["channels"])]
    return len(set(channels)) or None


def _megapixels(part: Mapping[str, Any]) -> int | None:
    rows = [*(part.get("emits") or ()), *([part["network"]] if part.get("network") else [])]
    texts = [each for row in rows for each in (row["mode"] if isinstance(row["mode"], list | tuple) else [row["mode"]])]
    modes = [parse_mode(text) for text in texts]
    return max((round(mode.width * mode.height / 1e6) for mode in modes), default=None)


def _stated(field: str) -> Callable[[Mapping[str, Any]], int | None]:
    return lambda part: None if part.get(field) is None else _whole(float(part[field]))


_FIGURES: Mapping[str, Callable[[Mapping[str, Any]], int | None]] = {
    "camera": _megapixels, "recorder": _inputs, "monitor": _stated("diagonal"), "switch": _stated("ports"),
}  # fmt: skip
