"""Many sites on two workers of a cluster, one of which is killed on the way: `python tests/bench/cluster_sites.py [SITES]`.

Compares the bytes with those of one process, and prints how much memory the process that asks holds at a tenth of the way
and at the end. Exit status 1 where the bytes differ, or where the memory grew by more than a tenth. Docs: performance.md.
"""

from __future__ import annotations

import hashlib
import os
import resource
import signal
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "engine"))

from big_sites import write_site
from distributed import Client, LocalCluster

from coaxwright.estate import Line, job_of, lines_over, site_lines

CAMERAS = 24


def sites(folder: Path, count: int) -> list[str]:
    """So many sites of 24 cameras, each with another name."""
    text = write_site(CAMERAS, folder).read_text(encoding="utf-8")
    for number in range(count):
        (folder / f"s{number:05}.site.yaml").write_text(text.replace("site: ", f"site: {number} ", 1), encoding="utf-8")
    return sorted(map(str, folder.glob("s?????.site.yaml")))


def held() -> float:
    """Megabytes that this process holds now."""
    pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[1])
    return pages * resource.getpagesize() / 2**20


def digest(lines: Iterator[Line], count: int, kill: int = 0) -> tuple[str, float, float]:
    """Digest of all lines; megabytes at a tenth and at the end. Half-way a process is killed, where one is named."""
    found, early = hashlib.sha256(), 0.0
    for number, line in enumerate(lines):
        found.update(f"{line.text}\n".encode())
        early = held() if number == count // 10 else early
        if kill and number == count // 2:
            os.kill(kill, signal.SIGKILL)
    return found.hexdigest(), early, held()


def main(count: int) -> int:
    """Print figures; 1 where something is not as it should be."""
    job = job_of()
    with tempfile.TemporaryDirectory() as name:
        paths = sites(Path(name), count)
        workers = {"n_workers": 2, "threads_per_worker": 1, "processes": True, "dashboard_address": None}
        with LocalCluster(**workers) as cluster, Client(cluster) as client:
            start = time.perf_counter()
            pool, first = client.get_executor(pure=False), next(iter(cluster.workers.values())).pid
            spread, early, late = digest(lines_over(pool, paths, job), count, first)
            two = time.perf_counter() - start
        start = time.perf_counter()
        alone, *_ = digest(site_lines(paths, job), count)
        one = time.perf_counter() - start
    print(f"{count} sites of {CAMERAS} cameras, two workers, one killed half-way: {two:.1f} s; one process {one:.1f} s")
    print(f"of linear: {one / (2 * two):.2f}; memory of who asks: {early:.0f} MB at a tenth, {late:.0f} MB at the end")
    print(f"same bytes: {spread == alone}")
    return 0 if spread == alone and late < 1.1 * early else 1


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 1000))
