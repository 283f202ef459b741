"""Throughput of one and of two processes over many sites, as a ratio: `python tests/bench/many_sites.py [SITES] [--check]`.

Runs alternate, the medians are compared; on a machine that does other work at the time the ratio is too small. Prints
the ratio to linear: (throughput of 2) / (2 x throughput of 1). With `--check` the exit status is 1 where that is less than
LEAST, which needs an idle machine of two cores and 2,000 sites.
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
LEAST = 0.85


def seconds(folder: Path, jobs: int) -> float:
    """Wall seconds of one whole `check` process."""
    start = time.perf_counter()
    command = [sys.executable, "-m", "coaxwright", "check", str(folder), "--format", "jsonl", "--jobs", str(jobs)]
    done = subprocess.run([*command, "--replace", "--output", str(folder / "out.jsonl")], capture_output=True, check=False)
    if done.returncode not in (0, 1):
        raise SystemExit(done.stderr.decode())
    return time.perf_counter() - start


def main(count: int) -> float:
    """Print medians and the ratio to linear, and return that."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        site = write_site(CAMERAS, folder)
        text = site.read_text(encoding="utf-8")
        for number in range(count - 1):
            (folder / f"s{number:05}.site.yaml").write_text(text, encoding="utf-8")
        pairs = [(seconds(folder, 1), seconds(folder, 2)) for _ in range(RUNS)]
    one, two = (statistics.median(each) for each in zip(*pairs, strict=True))
    print(f"{count} sites of {CAMERAS} cameras: 1 process {one:.2f} s, 2 processes {two:.2f} s")
    share = one / (2 * two)
    print(f"share of linear: {share:.2f}   at least {LEAST}")
    return share


if __name__ == "__main__":
    words = [each for each in sys.argv[1:] if each != "--check"]
    reached = main(int(words[0]) if words else 2000)
    sys.exit(1 if "--check" in sys.argv and reached < LEAST else 0)
