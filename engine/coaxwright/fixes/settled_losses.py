"""What a person loses by a change although no rule asks for it, in words: pixels, rate, sound, days, and what parts
lose that are replaced.

The first kind is read from the facts of both sites, the second from the parts themselves (`part_losses`). What cannot
be known any more is said to be not known. Money is told apart, as what a change costs.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Any

from coaxwright.facts.sheets import Camera, DiskGroup, Link, Sheet
from coaxwright.facts.sheets.view import View
from coaxwright.fixes.components import GROUPS
from coaxwright.fixes.part_losses import losses
from coaxwright.fixes.rejudging import SiteState, Trial
from coaxwright.model.common import Strict
from coaxwright.model.quantities import format_pair, format_quantity
from coaxwright.model.site import PowerPath, SoundPath, VideoPath

_LEAST = 1e-9
"""A fall by less than this share is rounding, not a loss."""
_WORKS = {
    "sound_works": "sound",
    "talk_back_works": "talk-back",
    "control_works": "control",
    "firmware_works": "firmware update over the coax",
    "sorted_motion_works": "sorted alarms",
}


Loss = tuple[str, str]
"""Who loses, and what, in words."""


def losses_of(trial: Trial) -> tuple[str, ...]:
    """All that is lost, what is recorded first, who loses the same together; nothing where nothing is."""
    who: dict[str, dict[str, None]] = {}
    for name, what in (*settled_losses(trial), *replaced_losses(trial.before, trial.after)):
        who.setdefault(what, {})[name] = None
    return tuple(f"{', '.join(names)}: {what}" for what, names in who.items())


# What is recorded, seen, heard and kept.


def settled_losses(trial: Trial) -> Iterator[Loss]:
    """What the facts of the touched components say of the same things before and after."""
    before, after = (_sheets(state, trial) for state in (trial.before, trial.after))
    for kind, compare in (("camera", _camera), ("link", _link), ("view", _view), ("disk_group", _days)):
        for subject, was in before.get(kind, {}).items():
            now = after.get(kind, {}).get(subject)
            if now is not None:
                yield from compare(was, now)


def _sheets(state: SiteState, trial: Trial) -> dict[str, dict[str, Any]]:
    found: dict[str, dict[str, Any]] = {}
    for component in sorted(trial.touched):
        part = state.parts.get(component)
        for kind in ("camera", "link", "view", "disk_group") if part is not None else ():
            for sheet in part.sheets.get(kind, ()):  # type: ignore[union-attr]
                found.setdefault(kind, {})[sheet.subject] = sheet
    return found


def picture_kept(trial: Trial) -> float:
    """Of the camera that loses most of its recorded picture, the share of its picture elements that is left, 0 to 1."""
    return min(_shares(trial), default=1.0)


def picture_lost(trial: Trial) -> float:
    """Recorded pictures that are lost, in pictures: a camera that keeps a quarter of its picture elements counts 0.75."""
    return sum(1.0 - min(1.0, share) for share in _shares(trial))


def _shares(trial: Trial) -> Iterator[float]:
    """Of each camera whose recorded picture is known on both sides, picture elements after over before."""
    before, after = (_sheets(state, trial).get("camera", {}) for state in (trial.before, trial.after))
    pairs = [(_recorded(was), _recorded(after[subject])) for subject, was in before.items() if subject in after]
    yield from (now / was for was, now in pairs if was and now)


def _recorded(camera: Camera) -> int:
    size = _size(camera.known("recorded_width"), camera.known("recorded_height"))
    return _area(size) if size is not None else 0


def _camera(was: Camera, now: Camera) -> Iterator[Loss]:
    sizes = [_size(sheet.known("recorded_width"), sheet.known("recorded_height")) for sheet in (was, now)]
    if sizes[0] is not None and sizes[1] is None:
        yield was.name, f"the recorded size is not known (was {_times(sizes[0])})"
    elif sizes[0] is not None and sizes[1] is not None and _area(sizes[1]) < _area(sizes[0]):
        yield was.name, f"records {_times(sizes[1])} where it recorded {_times(sizes[0])}"
    yield from _fallen(was, now, "recorded_fps", "fps", was.name, ("records", "it recorded"))
    for field, told in _WORKS.items():
        if was.known(field) is True and now.known(field) is not True:
            yield was.name, f"no {told}" if now.known(field) is False else f"{told} is not known to work"


def _size(width: int | None, height: int | None) -> tuple[int, int] | None:
    return None if width is None or height is None else (width, height)


def _times(size: tuple[int, int]) -> str:
    return f"{size[0]}x{size[1]}"


def _area(size: tuple[int, int]) -> int:
    return size[0] * size[1]


def _fallen(was: Sheet, now: Sheet, field: str, unit: str, who: str, words: tuple[str, str]) -> Iterator[Loss]:
    """A number that is the better the larger it is."""
    one, other = was.known(field), now.known(field)
    if not one:
        return
    if other is None:
        yield who, f"{words[0]} nobody knows how much ({words[1]} {format_quantity(one, unit)})"
    elif other < one * (1.0 - _LEAST):
        less, more = format_pair(other, one, unit)
        yield who, f"{words[0]} {less} where {words[1]} {more}"


def _link(was: Link, now: Link) -> Iterator[Loss]:
    if now.known("outcome") == "reduced-width" and was.known("outcome") in ("full", "asked-down"):
        yield was.camera.name, "reaches the recorder at reduced width"
    yield from _arriving(was, now)
    yield from _fallen(was, now, "acquired_fps", "fps", was.camera.name, ("comes in at", "it came in at"))


def _arriving(was: Link, now: Link) -> Iterator[Loss]:
    """The picture that an input takes, where what is recorded of it does not tell of the loss."""
    one, other = (_size(sheet.known("width"), sheet.known("height")) for sheet in (was, now))
    recorded = [_size(sheet.known("recorded_width"), sheet.known("recorded_height")) for sheet in (was, now)]
    told = recorded[0] is not None and (recorded[1] is None or _area(recorded[1]) < _area(recorded[0]))
    if one is not None and other is not None and not told and _area(other) < _area(one):
        yield was.camera.name, f"a picture of {_times(other)} comes in where {_times(one)} came in"


def _view(was: View, now: View) -> Iterator[Loss]:
    yield from _fallen(was, now, "density", "px/m", was.camera.name, ("sees", "it saw"))
    yield from _fallen(was, now, "width", "m", was.camera.name, ("covers", "it covered"))


def _days(was: DiskGroup, now: DiskGroup) -> Iterator[Loss]:
    yield from _fallen(was, now, "days", "d", was.recorder.name, ("keeps", "it kept"))


# What the parts themselves lose.


def replaced_losses(before: SiteState, after: SiteState) -> Iterator[Loss]:
    """What each part loses that stands in the place of another: devices, disks, cables of a run."""
    part = before.basis.loaded.catalogue.part
    for what, old, new, without in _replaced(before, after):
        found = losses(part(old), part(new))
        yield from ((what, each.words) for each in found if each.about not in without)


_USED_OTHERWISE = frozenset(("use as a cable",))
_OF_PAIRS = frozenset(("use as a cable", "impedance", "pairs", "category"))
_OF_POWER = frozenset(("conductor", "conductor metal", "conductor resistance", "rated current"))
_SHIELDS = frozenset(("screen", "braid"))
"""What a cable has for other uses than that of its run, or that the rules judge by its use: nobody loses it there."""


def _replaced(before: SiteState, after: SiteState) -> Iterator[tuple[str, str, str, frozenset[str]]]:
    """What is replaced, both part ids, and what of the old part was of no use there."""
    full = before.basis.loaded.catalogue.full_id
    for name, was, now in _edited(before, after):
        old, new = getattr(was, "part", None), getattr(now, "part", None)
        if old is not None and new is not None and full(old) != full(new):
            yield name, old, new, frozenset()
        for one, other in _disks(was, now):
            yield f"disks of {name}", one, other, frozenset()
        for use in ("video", "network", "power", "sound", "control"):
            for one, other in _cables(getattr(was, use, None), getattr(now, use, None)):
                if full(one) != full(other):
                    yield f"{use} cable of {name}", one, other, _unused(use, getattr(was, use), one)


def _edited(before: SiteState, after: SiteState) -> Iterator[tuple[str, Any, Any]]:
    """Entries that stand on both sides and differ."""
    for group in GROUPS:
        one, other = before.value.get(group) or {}, after.value.get(group) or {}
        if one is not other:
            for name in one:
                if name in other and other[name] is not one[name]:
                    yield name, getattr(before.site, group)[name], getattr(after.site, group)[name]


def _disks(was: Strict, now: Strict) -> Iterator[tuple[str, str]]:
    """Kinds of disk that go, each with what comes in their place."""
    old, new = (Counter(getattr(each, "disks", None) or ()) for each in (was, now))
    gone, come = list(old - new), list(new - old)
    for place, disk in enumerate(gone):
        if come:
            yield disk, come[min(place, len(come) - 1)]


def _unused(use: str, way: PowerPath | SoundPath | VideoPath, cable: str) -> frozenset[str]:
    """What a cable has that its run does not use; where other runs lie in its jacket all may count."""
    if any(hop.sheath for hop in way.over or () if hop.cable == cable):
        return frozenset()
    if use == "power":
        return _OF_PAIRS | _SHIELDS
    return _OF_PAIRS | _OF_POWER if use == "video" else _USED_OTHERWISE


def _cables(was: object, now: object) -> Iterator[tuple[str, str]]:
    """Cables of a way on both sides, run by run as far as both go; each pair once."""
    runs = [[hop.cable for hop in (getattr(way, "over", None) or ()) if hop.cable] for way in (was, now)]
    if len(runs[0]) == len(runs[1]):
        yield from dict.fromkeys(zip(*runs, strict=True))
