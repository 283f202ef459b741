"""What a change gives up: needs that the site file states and that the edited one no longer does, in words.

Read off the two site files, never off the change's own title. Needs are devices that are listed (a balun, an amplifier or
a joint that is left out is a means, and what it did is judged), wishes of a camera,
its recording, sound and control, its runs of cable, days to be kept, running time without mains, viewers, and that
a finding counts at all (waivers, rules switched off).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from coaxwright.fixes.components import GROUPS, named_elsewhere
from coaxwright.fixes.rejudging import SiteState
from coaxwright.model.common import Strict
from coaxwright.model.quantities import format_quantity
from coaxwright.model.site import Camera as CameraEntry
from coaxwright.model.site import Recorder as RecorderEntry
from coaxwright.model.site import Wants

_MORE = {"rate": "fps", "retention": "d", "at": "m", "width": "m"}
"""Wishes that are numbers, with their units: the larger asks for more."""
_TOLD = {
    "full_width": "full width of {0}",
    "sound": "sound of {0}",
    "talk_back": "talking back at {0}",
    "control": "control of {0}",
    "firmware": "firmware updates of {0} over the coax",
    "sorted_motion": "sorted alarms of {0}",
    "night": "the view of {0} at night",
    "colour_night": "colour at night of {0}",
    "see": "the view class wanted of {0}",
    "near": "the nearest distance wanted of {0}",
    "rate": "the rate wanted of {0}",
    "retention": "the days wanted of {0}",
    "at": "the distance wanted of {0}",
    "width": "the scene width wanted of {0}",
}
_OF_RECORDER = {
    "viewers": "remote viewers of {0}",
    "viewed": "channels that each viewer of {0} watches",
    "playback": "channels played back on {0}",
    "network_cameras": "network cameras of {0}",
    "spare_disks": "spare disks of {0}",
}
_OF_SUPPLY = {"autonomy": ("running time of {0} without mains", "h")}
_CENTIMETRE = 0.01
"""Lengths that are written out rounded are still the same run."""
_RUNS = ("video", "network", "power", "sound", "control")


def given_up(before: SiteState, after: SiteState) -> tuple[str, ...]:
    """The needs that are dropped or lowered from one site to the other; nothing where none is."""
    return tuple(dict.fromkeys((*_of_site(before, after), *_of_entries(before, after))))


def _of_site(before: SiteState, after: SiteState) -> Iterator[str]:
    was, now = before.site, after.site
    if was is now:
        return
    if was.retention is not None and (now.retention or 0.0) < was.retention:
        yield _less("days of recording", was.retention, now.retention, "d")
    if was.growth is not None and (now.growth or 0.0) < was.growth:
        yield "room to grow"
    known = {(each.rule, each.on) for each in was.waivers}
    for waiver in now.waivers:
        if (waiver.rule, waiver.on) not in known:
            yield f"the finding {waiver.rule} on {waiver.on}: it is waived"
    for rule, setting in now.rules.items():
        if setting != was.rules.get(rule):
            yield f"the rule {rule} as it was: it is set otherwise"


def _of_entries(before: SiteState, after: SiteState) -> Iterator[str]:
    for group in GROUPS:
        one, other = before.value.get(group) or {}, after.value.get(group) or {}
        if one is other:
            continue
        for name, written in one.items():
            if other.get(name) is not written:
                was, now = (getattr(state.site, group).get(name) for state in (before, after))
                if now is not None or group != "boxes" or not _means(before, name):
                    yield from _of_entry(group, name, was, now)
                if now is not None:
                    yield from _unprotected(before, name, was, now)


def _unprotected(state: SiteState, name: str, was: Strict, now: Strict) -> Iterator[str]:
    """Arresters and isolators that leave a way; other boxes are means, and what they do is judged."""
    for use in _RUNS:
        gone = _boxes(getattr(was, use, None)) - _boxes(getattr(now, use, None))
        for box in sorted(gone):
            if _protects(state, box):
                yield f"the {_does(state, box)} {box} on the way of {name}"


def _means(state: SiteState, box: str) -> bool:
    """Whether a box stands on a way and serves the picture alone; one that nothing uses was listed for a reason."""
    return not _protects(state, box) and named_elsewhere(state.value, ("boxes", box))


def _protects(state: SiteState, box: str) -> bool:
    """Whether a box is there for people and devices, and not as a means to the picture."""
    return _does(state, box) in ("arrester", "isolator")


def _does(state: SiteState, box: str) -> str:
    model = state.site.boxes.get(box)
    return state.basis.loaded.catalogue.part(model.part).does if model is not None else ""


def _boxes(way: object) -> set[str]:
    return {hop.box for hop in (getattr(way, "over", None) or ()) if hop.box is not None}


def _of_entry(group: str, name: str, was: Strict, now: Strict | None) -> Iterator[str]:
    if now is None:
        yield f"{_WORD.get(group, '')}{name}".strip()
        return
    if isinstance(was, CameraEntry) and isinstance(now, CameraEntry):
        yield from _wishes(name, was.wants, now.wants)
        yield from _of_camera(name, was, now)
    elif isinstance(was, RecorderEntry) and isinstance(now, RecorderEntry):
        yield from _fewer(name, was, now)
    elif group == "supplies":
        for field, (told, unit) in _OF_SUPPLY.items():
            first, second = getattr(was, field), getattr(now, field)
            if first is not None and (second or 0.0) < first:
                yield _less(told.format(name), first, second, unit)
    yield from _ways(name, was, now)


_WORD = {"cameras": "the camera ", "recorders": "the recorder ", "monitors": "the screen ", "supplies": "the supply "}


def _wishes(name: str, was: Wants | None, now: Wants | None) -> Iterator[str]:
    """Wishes that are gone or ask for less; one whose direction nobody knows counts when it changes."""
    for field in was.model_fields_set if was is not None else ():
        one, other = getattr(was, field), getattr(now, field, None)
        if one is None or one is False or one == other:
            continue
        told = _TOLD.get(field, f"{field} of {{0}}").format(name)
        if field in _MORE:
            if (other or 0.0) < one:
                yield _less(told, one, other, _MORE[field])
        else:
            yield told


def _less(told: str, was: float, now: float | None, unit: str) -> str:
    wanted = format_quantity(was, unit)
    return f"{told} ({wanted})" if now is None else f"{told} ({format_quantity(now, unit)} instead of {wanted})"


def _of_camera(name: str, was: CameraEntry, now: CameraEntry) -> Iterator[str]:
    """The picture, its sound, its control and its power, where they were drawn and are not any more."""
    drawn, is_drawn = ((each.video or each.network) is not None for each in (was, now))
    recorder = getattr(was.network, "recorder", None)
    if (drawn and not is_drawn) or (recorder and now.network and not now.network.recorder):
        yield f"the recording of {name}"
    for field in ("sound", "control"):
        if getattr(was, field) is not None and getattr(now, field) is None:
            yield _TOLD[field].format(name)
    if was.power is not None and now.power is None:
        yield f"the power of {name}"
    if was.heater and not now.heater:
        yield f"the heater of {name}"


def _fewer(name: str, was: RecorderEntry, now: RecorderEntry) -> Iterator[str]:
    for field, told in _OF_RECORDER.items():
        if (getattr(now, field) or 0) < (getattr(was, field) or 0):
            yield told.format(name)
    if set(was.monitors) - set(now.monitors):
        yield f"screens of {name}"
    if was.redundancy != "none" and was.redundancy != now.redundancy:
        yield f"{was.redundancy} of {name}"
    if was.power is not None and now.power is None:
        yield f"the power of {name}"


def _ways(name: str, was: Strict, now: Strict) -> Iterator[str]:
    """Cable that gets shorter, or is not written any more, between the same two ends."""
    for use in _RUNS:
        one, other = getattr(was, use, None), getattr(now, use, None)
        if one is None or other is None or not one.over:
            continue
        if _far_end(one) == _far_end(other) and _shorter(one.over, other.over or ()):
            yield f"cable of the {use} of {name}"


def _far_end(way: Strict) -> str | None:
    return getattr(way, "into", None) or getattr(way, "source", None)


def _shorter(one: Iterable[Any], other: Iterable[Any]) -> bool:
    """Whether known lengths add up to less than before, or are not known any more."""
    lengths = [[hop.metres for hop in way if hop.cable is not None] for way in (one, other)]
    if any(length is None for length in lengths[0]):
        return bool(lengths[0]) and not lengths[1]
    if any(length is None for length in lengths[1]):
        return True
    return bool(sum(lengths[1]) < sum(lengths[0]) - _CENTIMETRE)
