"""Throughput of one and of two processes over many sites, as a ratio: `python tests/bench/many_sites.py [SITES]`.

Runs alternate, the medians are compared; on a machine that does other work at the time the ratio is too small. Prints
the ratio to linear: (throughput of 2) / (2 x throughput of 1).
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from big_sites import write_site

CAMERAS = 24
RUNS = 3


def seconds(folder: Path, jobs: int) -> float:
    """Wall seconds of one whole `check` process."""
    start = time.perf_counter()
    command = [sys.executable, "-m", "coaxwright", "check", str(folder), "--format", "jsonl", "--jobs", str(jobs)]
    done = subprocess.run([*command, "--replace", "--output", str(folder / "out.jsonl")], capture_output=True, check=False)
    if done.returncode not in (0, 1):
        raise SystemExit(done.stderr.decode())
    return time.perf_counter() - start


def main(count: int) -> None:
    """Print medians and the ratio."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        site = write_site(CAMERAS, folder)
        text = site.read_text(encoding="utf-8")
        for number in range(count - 1):
            (folder / f"s{number:05}.site.yaml").write_text(text, encoding="utf-8")
        pairs = [(seconds(folder, 1), seconds(folder, 2)) for _ in range(RUNS)]
    one, two = (statistics.median(each) for each in zip(*pairs, strict=True))
    print(f"{count} sites of {CAMERAS} cameras: 1 process {one:.2f} s, 2 processes {two:.2f} s")
    print(f"share of linear: {one / (2 * two):.2f}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 2000)
