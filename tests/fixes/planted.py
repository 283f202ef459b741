"""Clean sites, and faults put into them one by one: what undoing each takes is known, so no cheapest repair may take more.

Nothing here is taken from the program: parts and lengths are chosen so that the clean sites have no error, which the tests try.
"""

from __future__ import annotations

import copy
from collections.abc import Callable
from random import Random
from typing import Any, NamedTuple

Value = dict[str, Any]


class Planted(NamedTuple):
    """A site with faults, the site before, and the words of each fault: one change undoes it."""

    clean: Value
    faulty: Value
    faults: tuple[str, ...]


def clean_site(draw: Random, cameras: int) -> Value:
    """So many cameras on recorders of eight inputs and supplies of nine outputs, everything with room to spare."""
    site: Value = {"site": f"Planted {draw.randint(0, 999)}", "video_rate": 25, "retention": "20 days"}
    recorder = {"part": "tarnwell/middle-8", "disks": ["generic/disk-8tb"], "place": _INDOORS}
    supply = {"part": "generic/dc12-10a-9way", "trim": "12.8 V", "place": _INDOORS}
    groups = range(1, -(-cameras // 6) + 1)
    site["recorders"] = {f"r{n}": copy.deepcopy(recorder) for n in groups}
    site["supplies"] = {f"p{n}": copy.deepcopy(supply) for n in groups}
    site["cameras"] = {f"c{n + 1}": _camera(draw, n) for n in range(cameras)}
    return site


_INDOORS = {"setting": "indoor", "building": "b", "ambient_max": "30 °C"}


def _camera(draw: Random, n: int) -> Value:
    run, port = {"length": f"{draw.choice([20, 30, 40, 60])} m", "setting": "indoor"}, f"{n // 6 + 1}/{n % 6 + 1}"
    video = {"into": f"r{port}", "over": [{"cable": "rg59-copper", **run}]}
    power = {"from": f"p{port}", "over": [{"cable": "dc-2.5mm2", **run}]}
    return {
        "part": "fennick/turret-5",
        "set": {"family": "tvi", "mode": "1920x1080@25"},
        "video": video,
        "power": power,
        "place": {**_INDOORS, "reach": "out-of-reach"},
        "wants": {"rate": "10 fps"},
    }


Fault = Callable[[Random, Value, str], bool]
"""Puts a fault in at a camera; False where there is no room for it."""


def _thin(draw: Random, site: Value, camera: str) -> bool:
    run = site["cameras"][camera]["power"]["over"][0]
    run.update(cable="dc-0.5mm2")
    return _metres(run) >= 60


def _metres(run: Value) -> int:
    return int(run["length"].split()[0])


def _no_input(draw: Random, site: Value, camera: str) -> bool:
    site["cameras"][camera]["video"]["into"] = site["cameras"][camera]["video"]["into"].split("/")[0] + "/9"
    return True


def _shared_input(draw: Random, site: Value, camera: str) -> bool:
    recorder, _, number = site["cameras"][camera]["video"]["into"].partition("/")
    taken = f"{recorder}/{int(number) % 6 + 1}"
    found = any(each["video"]["into"] == taken for each in site["cameras"].values())
    site["cameras"][camera]["video"]["into"] = taken
    return found


def _no_output(draw: Random, site: Value, camera: str) -> bool:
    site["cameras"][camera]["power"]["from"] = site["cameras"][camera]["power"]["from"].split("/")[0] + "/12"
    return True


def _wrong_family(draw: Random, site: Value, camera: str) -> bool:
    site["cameras"][camera]["set"] = {"family": "ahd", "mode": "1920x1080@50"}
    return True


def _high_trim(draw: Random, site: Value, camera: str) -> bool:
    supply = site["supplies"][site["cameras"][camera]["power"]["from"].split("/")[0]]
    found = supply["trim"] == "12.8 V"
    supply["trim"] = "14 V"
    return found


def _small_disk(draw: Random, site: Value, camera: str) -> bool:
    recorder = site["recorders"][site["cameras"][camera]["video"]["into"].split("/")[0]]
    found = recorder["disks"] == ["generic/disk-8tb"]
    recorder["disks"] = ["generic/disk-1tb"]
    return found


def _small_supply(draw: Random, site: Value, camera: str) -> bool:
    supply = site["supplies"][site["cameras"][camera]["power"]["from"].split("/")[0]]
    found = supply["part"] == "generic/dc12-10a-9way"
    supply["part"] = "generic/dc12-1a"
    return found


def _outdoors(draw: Random, site: Value, camera: str) -> bool:
    site["cameras"][camera]["part"] = "brackwater/dome-2"
    return True


FAULTS: dict[str, Fault] = {
    "thin conductors": _thin, "an input that is not there": _no_input, "an input that another has": _shared_input,
    "an output that is not there": _no_output, "a mode that nobody takes": _wrong_family, "a trim that is too high": _high_trim,
    "a disk that is too small": _small_disk,
    "a supply that is too small": _small_supply, "a camera that is too weak": _outdoors,
}  # fmt: skip


def planted(seed: int | str, cameras: int, faults: int) -> Planted:
    """A clean site of so many cameras with so many faults in it, each at a camera of its own."""
    draw = Random(f"planted/{seed}")
    clean = clean_site(draw, cameras)
    site, told = clean, []
    free = sorted(clean["cameras"])
    draw.shuffle(free)
    while free and len(told) < faults:
        word, changed = draw.choice(sorted(FAULTS)), copy.deepcopy(site)
        if FAULTS[word](draw, changed, free[-1]):
            site = changed
            told.append(f"{word} at {free[-1]}")
            free.pop()
    return Planted(clean, site, tuple(told))
