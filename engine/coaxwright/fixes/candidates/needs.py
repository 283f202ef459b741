"""Candidates that give up a need. They hide a finding more than they mend it, so they come last and say so."""

from __future__ import annotations

import math
from collections.abc import Iterator

from coaxwright.facts.sheets import Camera, DiskGroup
from coaxwright.fixes.candidates.bench import NEED, Bench, Candidate, Want, cameras_of, entries_of
from coaxwright.model.site import Camera as CameraEntry

_WORDS = {
    "full_width": "accept reduced width for {0}",
    "sound": "do without sound from {0}",
    "talk_back": "do without talking back at {0}",
    "control": "do without control of {0}",
    "firmware": "update the firmware of {0} on site",
    "sorted_motion": "do without sorted alarms from {0}",
    "retention": "keep {0} as long as the site's other cameras",
}


def change_need(bench: Bench, want: Want) -> Iterator[Candidate]:
    """Give up one wish, or lower it to what is reached."""
    if want.sheets and want.sheets[0].kind == "disk_group":
        yield from _shorter(bench, want.sheets[0])
    for name in cameras_of(want.sheets):
        yield from _less(bench, name, _sheet_of(want, name))
    if want.sheets and want.sheets[0].kind == "recorder":
        for recorder in entries_of(want.sheets, "recorder"):
            yield from _all_give_up(bench, recorder)


def _sheet_of(want: Want, name: str) -> Camera | None:
    return next((sheet for sheet in want.sheets if sheet.kind == "camera" and sheet.name == name), None)


def _less(bench: Bench, name: str, sheet: Camera | None) -> Iterator[Candidate]:
    camera = bench.entry("cameras", name)
    for field in camera.wants.model_fields_set if camera.wants else ():
        if field in _WORDS:
            patch = [bench.removal(("cameras", name, "wants", field))]
            if field in ("sound", "control") and getattr(camera, field) is not None:
                patch.append(bench.removal(("cameras", name, field)))
            yield Candidate(_WORDS[field].format(name), tuple(patch), NEED)
        elif field == "rate" and sheet is not None and sheet.known("recorded_fps"):
            reached = math.floor(sheet.recorded_fps * 10.0) / 10.0
            written = bench.write(("cameras", name, "wants", "rate"), f"{reached:g} fps")
            yield Candidate(f"accept {reached:g} fps for {name}", (written,), NEED)
    for field in ("sound", "control"):
        drawn = getattr(camera, field) is not None
        if drawn and (camera.wants is None or field not in camera.wants.model_fields_set):
            yield Candidate(_WORDS[field].format(name), (bench.removal(("cameras", name, field)),), NEED)


def _all_give_up(bench: Bench, recorder: str) -> Iterator[Candidate]:
    """Wishes of several cameras of one recorder, given up from the last camera backwards."""
    for field in ("sorted_motion", "sound", "full_width"):
        wishing = [name for name in bench.cameras_on(recorder) if _wishes(bench.entry("cameras", name), field)]
        for count in range(2, len(wishing) + 1):
            chosen = wishing[-count:]
            patch = tuple(bench.removal(("cameras", name, "wants", field)) for name in chosen)
            yield Candidate(_WORDS[field].format(", ".join(chosen)), patch, NEED)


def _wishes(camera: CameraEntry, field: str) -> bool:
    return camera.wants is not None and bool(getattr(camera.wants, field))


def _shorter(bench: Bench, group: DiskGroup) -> Iterator[Candidate]:
    """The days that the disks hold, for the site and for every camera of the recorder that wants more."""
    if group.known("days") is None:
        return
    days = math.floor(group.days)
    patch = []
    if bench.site.retention is not None and bench.site.retention > days:
        patch.append(bench.write(("retention",), f"{days} days"))
    for name in cameras_of([group]):
        wants = bench.entry("cameras", name).wants
        if wants is not None and wants.retention is not None and wants.retention > days:
            patch.append(bench.write(("cameras", name, "wants", "retention"), f"{days} days"))
    if patch and days >= 1:
        yield Candidate(f"accept {days} days", tuple(patch), NEED)
