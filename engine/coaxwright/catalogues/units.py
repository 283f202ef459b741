"""Values that look like another unit than the one written: GB for TB, bytes for bits, feet for metres, loop for one way.

Pure: a part and what was written of it in, sentences out. Bounds are common practice: what parts of today have,
with room on both sides.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from coaxwright.facts.physics.coax import attenuation
from coaxwright.model.camera_parts import CameraPart
from coaxwright.model.recorder_parts import DiskPart, RecorderPart
from coaxwright.model.wiring_parts import BoxPart, CablePart, SupplyPart
from coaxwright.reading.tables import load_generic_parts

Path = tuple[str | int, ...]
Finding = tuple[Path, str, str]
Suspect = Callable[[Any, Mapping[str, Any]], Iterator[Finding]]

DISK = (0.2e12, 60e12)
"""Bytes: disks for recorders."""
STREAM = (0.1e6, 40e6)
"""bit/s of one recorded stream."""
TRAFFIC = (4e6, 3e9)
"""bit/s of a whole recorder."""
CAMERA_WATTS = (0.3, 90.0)
SUPPLY_AMPS = (0.1, 100.0)
FOCAL_MM = (1.0, 150.0)
COPPER = (0.94, 1.2)
"""Resistance of copper conductors of a nominal size, of that of solid copper of just that size: IEC 60228 tables 1 to 3."""
FEET = 3.28084
ROUND_METRES = (5, 10, 15, 20, 25, 30, 35, 40, 50, 60, 70, 80, 90, 100, 120, 150, 200, 250, 300, 400, 500)
LOSS_TEST_MHZ = 50.0


def _beyond(value: float | None, bounds: tuple[float, float]) -> bool:
    return value is not None and not bounds[0] <= value <= bounds[1]


def _written(entry: Mapping[str, Any], *path: str) -> str:
    """What stands in the file at a path; empty where nothing does."""
    value: Any = entry
    for step in path:
        value = value.get(step) if isinstance(value, Mapping) else None
    return "" if value is None else str(value)


def feet_for_metres(metres: float | None) -> int | None:
    """The round length in metres that a length written in metres would be, had it been feet; None where it is no such.

    98 m is 30 m in feet; 100 m and 50 m are round themselves and pass.
    """
    if metres is None or metres % 5 == 0:
        return None
    return next((each for each in ROUND_METRES if abs(metres - each * FEET) < 0.6), None)


def _is_metres(text: str) -> bool:
    return text.rstrip().endswith(("m", "metres", "metre", "meters", "meter")) and not text.rstrip().endswith(
        ("mm", "cm", "km")
    )


def _feet(at: Path, metres: float | None, text: str) -> Iterator[Finding]:
    found = feet_for_metres(metres)
    if found is not None and _is_metres(text):
        yield (
            at,
            f"{text} is {found} m in feet",
            f"write {found} m, or {round(found * FEET)} ft, if the datasheet says feet",
        )


def _camera(part: CameraPart, entry: Mapping[str, Any]) -> Iterator[Finding]:
    for name in ("watts_day", "watts_night"):
        watts = getattr(part.power, name, None)
        if _beyond(watts, CAMERA_WATTS):
            what = f"{_written(entry, 'power', name)} is not what cameras draw"
            yield ("power", name), what, "mW for W, or the power of a whole set?"
    if part.night is not None:
        yield from _feet(("night", "lamp_range"), part.night.lamp_range, _written(entry, "night", "lamp_range"))
    for name in ("focal_min", "focal_max"):
        focal = getattr(part.optics, name, None)
        if _beyond(focal, FOCAL_MM):
            yield (
                ("optics", name),
                f"{_written(entry, 'optics', name)} is no focal length of a camera",
                "focal lengths are in mm",
            )


def _recorder(part: RecorderPart, entry: Mapping[str, Any]) -> Iterator[Finding]:
    if _beyond(part.disk_max, DISK):
        yield ("disk_max",), f"{_written(entry, 'disk_max')} is no size of a disk", "TB for GB, or bits for bytes?"
    rates = {("record_bitrate",): part.record_bitrate}
    for name in ("incoming", "outgoing"):
        rates["network", name] = getattr(part.network, name, None)  # type: ignore[index]
    for at, rate in rates.items():
        if _beyond(rate, TRAFFIC):
            what = f"{_written(entry, *at)} is not what a recorder takes in or gives out"
            yield at, what, "Mb/s are megabits: Gb for Mb, or bytes for bits?"
    for place, row in enumerate(part.bitrates or ()):
        if _beyond(row.bitrate, STREAM):
            what = f"{row.bitrate / 1e6:g} Mb/s is not the rate of one stream"
            yield ("bitrates", place), what, "kb/s for Mb/s, or bytes for bits?"


def _disk(part: DiskPart, entry: Mapping[str, Any]) -> Iterator[Finding]:
    if _beyond(part.capacity, DISK):
        yield (
            ("capacity",),
            f"{_written(entry, 'capacity')} is no size of a disk for recorders",
            "GB for TB, or bits for bytes?",
        )
    if "iB" in _written(entry, "capacity"):
        what = f"{_written(entry, 'capacity')}: makers of disks count in powers of ten"
        yield ("capacity",), what, "write TB, unless the label says TiB"


def _supply(part: SupplyPart, entry: Mapping[str, Any]) -> Iterator[Finding]:
    for name in ("amps", "amps_per_output"):
        if _beyond(getattr(part, name), SUPPLY_AMPS):
            yield (name,), f"{_written(entry, name)} is not what such a supply gives", "mA for A?"


def _box(part: BoxPart, entry: Mapping[str, Any]) -> Iterator[Finding]:
    yield from _feet(("reach",), part.reach, _written(entry, "reach"))


def _cable(part: CablePart, entry: Mapping[str, Any]) -> Iterator[Finding]:
    """Loss for 100 ft is 3.28 times less than for 100 m: beside the generic cables it stands out."""
    points = part.attenuation
    if points and "coax" in part.carries and points[0][0] <= LOSS_TEST_MHZ <= points[-1][0]:
        loss, known = attenuation(points, LOSS_TEST_MHZ), _generic_losses()
        if loss < 0.6 * min(known):
            range_known = f"{min(known):.2f} to {max(known):.2f}"
            what = f"{loss:.2f} dB/100 m at {LOSS_TEST_MHZ:g} MHz is far below any coax known here ({range_known})"
            yield ("attenuation",), what, "is the datasheet's table for 100 ft? multiply by 3.28"
        elif loss > 2.5 * max(known):
            what = f"{loss:.1f} dB/100 m at {LOSS_TEST_MHZ:g} MHz is far above any coax known here"
            yield ("attenuation",), what, "is the datasheet's table for 1000 ft, or for 1 km? divide"
    yield from _conductor(part, entry)


def _generic_losses() -> list[float]:
    """dB/100 m of the generic coaxes at the test frequency."""
    parts = [part for part in load_generic_parts().values() if part.kind == "cable" and "coax" in part.carries]
    return [
        attenuation(part.attenuation, LOSS_TEST_MHZ)
        for part in parts
        if part.attenuation and part.attenuation[0][0] <= LOSS_TEST_MHZ <= part.attenuation[-1][0]
    ]


def _conductor(part: CablePart, entry: Mapping[str, Any]) -> Iterator[Finding]:
    """Stated resistance against that of copper of the stated size: twice is a loop, 3.28 times is feet."""
    conductor = part.conductor
    if conductor is None or conductor.size is None or conductor.resistance is None:
        return
    if conductor.material not in (None, "copper"):
        return
    ratio = conductor.resistance * conductor.size / (1.0 / 58.0)
    text = _written(entry, "conductor", "resistance")
    feet = "a figure for 1000 ft taken for 1 km; mind the unit"
    for factor, why in ((2.0, "the loop of two conductors; halve it"), (FEET, feet), (1 / FEET, feet)):
        if COPPER[0] <= ratio / factor <= COPPER[1]:
            what = f"{text} is {ratio:.2f} times what copper of {_written(entry, 'conductor', 'size')} has"
            yield ("conductor", "resistance"), what, f"perhaps {why}"


MISTAKES: dict[str, tuple[Suspect, ...]] = {
    "camera": (_camera,),
    "recorder": (_recorder,),
    "disk": (_disk,),
    "supply": (_supply,),
    "cable": (_cable,),
    "box": (_box,),
    "pickup": (_box,),
}
