"""Candidates about serial control lines: one speed and one protocol for all, wired from one to the next."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Any

from coaxwright.fixes.candidates.bench import CABLE, SETTING, Bench, Candidate, Want


def on_line(bench: Bench, port: str) -> list[str]:
    """Cameras whose control comes over a serial port, in file order."""
    cameras = bench.site.cameras.items()
    return [name for name, camera in cameras if camera.control is not None and camera.control.into == port]


def one_for_all(bench: Bench, want: Want) -> Iterator[Candidate]:
    """One speed, or one protocol, for every camera of a line: what most of them have first."""
    for sheet in want.sheets:
        if sheet.kind == "serial_bus":
            names = on_line(bench, f"{sheet.name}/rs485")
            for field in ("speed", "protocol"):
                written = {name: getattr(bench.entry("cameras", name).control, field) for name in names}
                if len({each for each in written.values() if each is not None}) > 1:
                    yield from _set_all(bench, sheet.name, field, written)


def _set_all(bench: Bench, recorder: str, field: str, written: dict[str, Any]) -> Iterator[Candidate]:
    counted = Counter(each for each in written.values() if each is not None)
    for value in sorted(counted, key=lambda each: (-counted[each], str(each))):
        others = [name for name, each in written.items() if each != value]
        told = f"{value:g} baud" if field == "speed" else str(value)
        if all(_can(bench, name, field, value) for name in others):
            patch = tuple(bench.write(("cameras", name, "control", field), told) for name in others)
            title = f"set {', '.join(others)} to {told}, as the others on {recorder}/rs485"
            yield Candidate(title, patch, SETTING)


def _can(bench: Bench, name: str, field: str, value: object) -> bool:
    """Whether the camera's part has that speed or protocol; one that states nothing may have it."""
    control = bench.part(bench.entry("cameras", name).part).control
    serial = None if control is None else control.serial
    stated = None if serial is None else serial.speeds if field == "speed" else serial.protocols
    return stated is None or value in stated


def chained(bench: Bench, want: Want) -> Iterator[Candidate]:
    """Cameras of a line that are wired as a star, from one to the next instead; their cable lengths stay to be checked."""
    for sheet in want.sheets:
        if sheet.kind == "serial_bus":
            names = on_line(bench, f"{sheet.name}/rs485")
            stars = [name for name in names if bench.entry("cameras", name).control.wiring == "star"]
            if stars:
                patch = tuple(bench.write(("cameras", name, "control", "wiring"), "chain") for name in stars)
                yield Candidate(f"wire {', '.join(stars)} from one to the next, over the same lengths", patch, CABLE)
