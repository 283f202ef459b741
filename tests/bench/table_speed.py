"""A table of parts of which no two are alike: `python tests/bench/table_speed.py [CAMERAS RECORDERS] [FOLDER]`.

Every camera differs from every other in what it sends or in its features, every recorder in what it takes, asks for and
encodes, so that no answer can be had from that of a like pair by name or row alone. Told: processor time and memory of the
whole process, for 3,000 cameras and 300 recorders unless named, and the progress that a terminal is shown. The script stops
where two parts are alike after all.
"""

from __future__ import annotations

import os
import random
import resource
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
MAKERS = ("tarnwell", "fennick", "brackwater", "hollin", "marlow-ferry", "quayside", "ostler", "pennant")
FAMILIES = ("tvi", "ahd", "cvi")
SIZES = ("1280x720", "1920x1080", "2560x1440", "2592x1944", "3840x2160")
RATES = ("12.5", "15", "20", "25", "30")
MODES = [f"{size}@{rate}" for size in SIZES for rate in RATES]


def _some(rng: random.Random, things: list[str] | tuple[str, ...], least: int, most: int) -> list[str]:
    return sorted(rng.sample(things, rng.randint(least, most)), key=things.index)


def _list(things: list[str]) -> str:
    return f"[{', '.join(things)}]"


def camera(place: int, rng: random.Random) -> str:
    """A camera with modes of its own for each family."""
    maker, families = rng.choice(MAKERS), _some(rng, FAMILIES, 1, 3)
    rows = [(family, _some(rng, MODES, 3, 9)) for family in families]
    emits = "".join(f"      - {{family: {family}, mode: {_list(modes)}}}\n" for family, modes in rows)
    heeds = rng.random() < 0.8
    if heeds and rng.random() < 0.2:
        left = [mode for mode in MODES if mode not in rows[0][1]]
        emits += f"      - {{family: {rows[0][0]}, mode: {rng.choice(left)}, only: when-asked}}\n"
    sound = f"{{microphone: {str(rng.random() < 0.6).lower()}, over_coax: {_list(_some(rng, families, 1, len(families)))}}}"
    return (
        f"  {maker}/cam-{place}:\n    kind: camera\n    source: invented datasheet {place}\n    price: {rng.randrange(25, 400)}\n"
        f"    emits:\n{emits}    starts_as: {{family: {rows[0][0]}, mode: {rows[0][1][-1]}}}\n"
        f"    switched_by: [menu-button]\n    heeds_asks: {str(heeds).lower()}\n    sound: {sound}\n"
        f"    control: {{over_coax: {_list(_some(rng, families, 1, len(families)))}, moves: false}}\n"
    )


def recorder(place: int, rng: random.Random) -> str:
    """A recorder that takes modes of its own, two kinds of inputs, and encodes at rates of its own."""
    maker, channels = rng.choice(MAKERS), rng.choice((4, 8, 16, 32))
    half = channels // 2
    groups = "".join(_group(rng, first, last) for first, last in ((1, half), (half + 1, channels)))
    encodes = "".join(f"      - {{up_to: {size}, rate: {rng.randint(8, 30)} fps}}\n" for size in reversed(SIZES))
    return (
        f"  {maker}/rec-{place}:\n    kind: recorder\n    source: invented datasheet {place}\n"
        f"    price: {rng.randrange(90, 2400)}\n"
        f"    inputs:\n{groups}    encodes:\n{encodes}    encodes_total: {max(250, channels * rng.randint(20, 70))} Mpx/s\n"
        f"    sound: {{coax_channels: 1-{rng.randint(1, channels)}, coax_families: {_list(_some(rng, FAMILIES, 1, 3))}}}\n"
        f"    control: {{coax_families: {_list(_some(rng, FAMILIES, 1, 3))}, coax_maker: {rng.choice(['any', 'own'])}}}\n"
        f"    sorted_motion: 1-{rng.randint(1, channels)}\n"
    )


def _group(rng: random.Random, first: int, last: int) -> str:
    rows = [(family, _some(rng, MODES, 4, 12), rng.random() < 0.3) for family in _some(rng, FAMILIES, 2, 3)]
    told = "".join(
        f"          - {{family: {family}, mode: {_list(modes)}{', width: reduced' if reduced else ''}}}\n"
        for family, modes, reduced in rows
    )
    family, modes, _ = rows[0]
    seen = rng.choice([mode for mode in MODES if mode not in modes])
    ask = f"{{maker: {rng.choice(['any', 'own'])}, family: {family}, seen: {seen}, wanted: {modes[0]}}}"
    return f"      - channels: {first}-{last}\n        accepts:\n{told}        asks: [{ask}]\n"


def catalogue(cameras: int, recorders: int, seed: int = 11) -> str:
    """The text of a part file. The same numbers give the same bytes."""
    rng = random.Random(seed)
    made = [camera(place, rng) for place in range(cameras)] + [recorder(place, rng) for place in range(recorders)]
    return "# Invented: no such parts exist.\ncurrency: EUR\nparts:\n" + "".join(made)


def alike(path: Path) -> tuple[int, int]:
    """How many kinds of cameras and of recorders the program tells apart."""
    sys.path.insert(0, str(ROOT / "engine"))
    from coaxwright.pairing.grouping import kinds_of
    from coaxwright.reading.catalogue import build_catalogue

    made = build_catalogue([(path, path.name)])
    cameras = kinds_of((name, made.part(name)) for name in made.ids("camera"))
    recorders = {repr((part.inputs, part.encodes, part.encodes_total)) for part in map(made.part, made.ids("recorder"))}
    return len(cameras.kinds), len(recorders)


def main(cameras: int, recorders: int, folder: Path) -> None:
    """Make, ask for the table, tell."""
    path = folder / "parts.yaml"
    path.write_text(catalogue(cameras, recorders), encoding="utf-8")
    kinds = alike(path)
    if kinds != (cameras, recorders):
        sys.exit(f"some are alike: {kinds}")
    environment = {**os.environ, "PYTHONPATH": str(ROOT / "engine"), "XDG_CACHE_HOME": str(folder / "cache")}
    for form in ("csv", "csv", "json", "text"):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        call = [sys.executable, "-m", "coaxwright", "pair", "*", "*", "--parts", str(path), "--format", form]
        subprocess.run([*call, "--output", str(folder / f"table.{form}"), "--replace-file"], env=environment, check=True)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        spent = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
        most = after.ru_maxrss / 1024
        print(f"{cameras} x {recorders} as {form}: {spent:.1f} s of processor; {most:.0f} MB, the most so far")


if __name__ == "__main__":
    numbers = [int(each) for each in sys.argv[1:3]] or [3000, 300]
    if len(sys.argv) > 3:
        main(*numbers, Path(sys.argv[3]))
    else:
        with tempfile.TemporaryDirectory() as name:
            main(*numbers, Path(name))
