"""Stated needs that a change drops or lowers, by a list of our own from the keys of the site file."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from .losses import number

Data = dict[str, Any]
WAYS = ("video", "network", "power", "sound", "control")
STATED = ("place", "label", "area", "heater")
"""What somebody saw or decided on the spot: a change that rewrites it mends the paper, not the site."""


def dropped(before: Data, after: Data) -> Iterator[str]:
    """Everything asked for before that is no longer asked for, or for less."""
    for name in ("retention", "growth"):
        yield from lower(name, before.get(name), after.get(name))
    yield from (
        f"retention_max changed to {after.get('retention_max')}"
        for _ in "x"
        if before.get("retention_max") != after.get("retention_max")
    )
    for name in ("waivers", "rules", "assume", "video_rate", "wiring_code"):
        if before.get(name) != after.get(name):
            yield f"{name} changed"
    for group in ("cameras", "recorders", "supplies", "monitors"):
        for name, was in before.get(group, {}).items():
            now = after.get(group, {}).get(name)
            if now is None and group != "supplies":
                yield f"{group}/{name} left out"
            elif now is not None:
                yield from of_entry(f"{group}/{name}", was, now)


def of_entry(subject: str, was: Data, now: Data) -> Iterator[str]:
    wants, still = was.get("wants", {}), now.get("wants", {})
    for name, value in wants.items():
        yield from lower(f"{subject}/wants/{name}", value, still.get(name))
    if subject.startswith("cameras/"):
        yield from (
            f"{subject}/{way} left out" for way in WAYS if way in was and way not in now and not replaced(way, now)
        )
    for name in ("autonomy", "viewers", "viewed", "playback", "network_cameras"):
        yield from lower(f"{subject}/{name}", was.get(name), now.get(name))
    if was.get("redundancy", "none") != "none" and now.get("redundancy", "none") == "none":
        yield f"{subject}/redundancy given up"
    yield from (f"{subject}/{name} rewritten" for name in STATED if name in was and now.get(name) != was[name])


def replaced(way: str, now: Data) -> bool:
    """Whether another way does what this one did."""
    return (way == "video" and "network" in now) or (way == "network" and "video" in now)


def lower(name: str, was: Any, now: Any) -> Iterator[str]:
    if was is None or was == now:
        return
    if now is None:
        yield f"{name} dropped"
    elif isinstance(was, bool):
        yield from ([f"{name} dropped"] if was and not now else [])
    elif name.endswith("/see") or (number(now) or 0) < (number(was) or 0):
        yield f"{name}: {was} -> {now}"
