"""Pages with real output: `python tests/pairing/doc_pages.py` runs every `$` line of them anew and writes what it says.

The commands run in a copy of the boatyard with a few files of their own beside it.
"""

from __future__ import annotations

import os
import re
import shlex
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PAGES = ("pair", "kits", "schedules", "parts")
FILES = {
    "parts/kits.yaml": (
        "parts:\n  tarnwell/kit-3:\n    kind: kit\n    source: packing list TW-S3\n    price: 640\n    contains:\n"
        "      - {part: tarnwell/hybrid-8}\n      - {part: tarnwell/turret-5, count: 3}\n"
        "      - {part: tarnwell/dc12-10a-9way}\n      - {part: rg59-copper, count: 3, length: 20 m}\n"
        "      - {part: dc-0.75mm2, count: 3, length: 20 m}\n"
    ),
    "cameras.csv": "Cam No;Location;Cable length (ft)\nfuel;Fuel berth, north pile;210\n",
    "wrong.csv": "Cam No;Model;Recorder;Ch;Length (m)\n007;tarnwell/turet-5;rec1;7;1,5\n008;tarnwell/dome-2;rec2;8;20 V\n",
    "suspect.yaml": (
        "parts:\n  hollin/disk:\n    kind: disk\n    source: invented\n    capacity: 4 GB\n"
        "  hollin/dome:\n    kind: camera\n    source: invented\n    emits: [{family: tvi, mode: 1920x1080@25}]\n"
        "    power: {volts: 12 V, volts_min: 13 V}\n    night: {lamp: infrared, lamp_range: 98 m}\n"
    ),
    "old.csv": "Modell;Menge;Standort\nfennick/turret-5;7;Lager\ndome-2;2;Büro\nTotal;9;\n",
    "list.csv": "Maker,Model,Price,Signals,Modes,Power (W)\nHollin,Dome 4,48.50,TVI/AHD,2560x1440@25; 1920x1080@25,5.1\n",
}


def yard(folder: Path) -> Path:
    """The folder in which the commands run."""
    place = folder / "yard"
    shutil.copytree(ROOT / "examples" / "boatyard", place)
    for name, text in FILES.items():
        (place / name).write_text(text, encoding="utf-8")
    return place


def run(line: str, place: Path) -> str:
    """What a command prints, complaints too."""
    words = shlex.split(line)
    if words[0] == "cat":
        return (place / words[1]).read_text(encoding="utf-8")
    call = [sys.executable, "-m", "coaxwright", *words[1:]]
    environment = {**os.environ, "PYTHONPATH": str(ROOT / "engine"), "NO_COLOR": "1"}
    done = subprocess.run(
        call,
        cwd=place,
        env=environment,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        timeout=600,
        check=False,
    )
    return done.stdout


def filled(page: str, place: Path) -> str:
    """The page with every block of commands run anew."""

    def block(match: re.Match[str]) -> str:
        lines = [line for line in match[1].splitlines() if line.startswith("$ ")]
        told = [f"{line}\n{run(line.removeprefix('$ '), place)}" for line in lines]
        return "```console\n" + "".join(told) + "```"

    return re.sub(r"```console\n(.*?)```", block, page, flags=re.DOTALL)


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as folder:
        where = yard(Path(folder))
        for name in PAGES:
            path = ROOT / "docs" / f"{name}.md"
            path.write_text(filled(path.read_text(encoding="utf-8"), where), encoding="utf-8")
