"""One question with a catalogue of some 20,000 parts: `python tests/bench/catalogue_speed.py [FOLDER]`.

Makes 60 files of invented parts (kept in FOLDER), then times a whole process three ways: the first question, which makes
the index; further questions, which use it; and the same question with the two parts alone. Processor time and memory of
the whole process are told, and the ratio of the second to the third, which is what the size of the catalogue costs.
"""

from __future__ import annotations

import importlib.util
import os
import resource
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
FILES, CAMERAS, RECORDERS, TIMES = 60, 300, 33, 5


def made(folder: Path) -> tuple[str, str]:
    """The files, and a camera and a recorder of them."""
    spec = importlib.util.spec_from_file_location("big_catalogue", ROOT / "tests" / "bench" / "big_catalogue.py")
    assert spec is not None
    assert spec.loader is not None
    ranges = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(ranges)
    for place in range(FILES):
        text = ranges.catalogue(CAMERAS, RECORDERS, seed=place)
        text = text.replace("/cam-", f"/cam-{place}-").replace("/rec-", f"/rec-{place}-")
        (folder / f"{place:02}.yaml").write_text(text, encoding="utf-8")
    lines = (folder / "07.yaml").read_text(encoding="utf-8").splitlines()
    ids = [line.strip(" :") for line in lines if line.startswith("  ") and not line.startswith("   ")]
    return ids[0], next(name for name in ids if "/rec-" in name)


def asked(camera: str, recorder: str, parts: str, home: Path, *more: str) -> tuple[float, int]:
    """Processor seconds and KiB of one process."""
    environment = {**os.environ, "PYTHONPATH": str(ROOT / "engine"), "XDG_CACHE_HOME": str(home / "cache")}
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    call = [sys.executable, "-m", "coaxwright", "pair", camera, recorder, "--parts", parts, *more]
    subprocess.run(call, env=environment, stdout=subprocess.DEVNULL, check=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime, after.ru_maxrss


def main(folder: Path) -> None:
    """Make, ask, tell."""
    whole = folder / "parts"
    whole.mkdir(parents=True, exist_ok=True)
    camera, recorder = made(whole)
    alone = folder / "alone"
    alone.mkdir(exist_ok=True)
    sys.path.insert(0, str(ROOT / "engine"))
    from coaxwright.catalogues.entries import read_entries

    slices = read_entries(whole / "07.yaml", "07.yaml").slices
    assert slices is not None
    (alone / "two.yaml").write_text(slices.text([camera, recorder]), encoding="utf-8")
    few = [asked(camera, recorder, str(alone / "*.yaml"), folder) for _ in range(TIMES)]
    first = asked(camera, recorder, str(whole / "*.yaml"), folder)
    with_index = [asked(camera, recorder, str(whole / "*.yaml"), folder) for _ in range(TIMES)]
    count = FILES * (CAMERAS + RECORDERS)
    print(f"{count} parts: first question {first[0]:.2f} s of processor, {first[1] / 1024:.0f} MB (the most so far)")
    best, small = min(each[0] for each in with_index), min(each[0] for each in few)
    for side in ("camera", "recorder"):
        spent, most = asked(camera, recorder, str(whole / "*.yaml"), folder, "--replace", side)
        print(f"--replace {side}: {spent:.2f} s, {most / 1024:.0f} MB, the most so far")
    print(f"with the index {best:.2f} s; with two parts alone {small:.2f} s; ratio {best / small:.2f}")


if __name__ == "__main__":
    if len(sys.argv) > 1:
        main(Path(sys.argv[1]))
    else:
        with tempfile.TemporaryDirectory() as name:
            main(Path(name))
