"""Many sites: a line each, in order, the same bytes however they are spread; one bad file stops nothing."""

from __future__ import annotations

import datetime
import json
import os
import shutil
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from coaxwright.estate import AHEAD, job_of, lines_over, site_line, site_lines

ROOT = Path(__file__).resolve().parents[2]
TODAY = datetime.date(2026, 11, 1)


@pytest.fixture(scope="module")
def estate(tmp_path_factory: pytest.TempPathFactory) -> list[str]:
    """Thirty sites of two kinds, of which two cannot be read."""
    root = tmp_path_factory.mktemp("estate")
    for number in range(28):
        scenario = ("boatyard", "cider-press")[number % 2]
        shutil.copytree(ROOT / "examples" / scenario, root / f"s{number:02}")
    (root / "s04b.site.yaml").write_text("site: [\n", encoding="utf-8")
    (root / "s09b.site.yaml").write_bytes(b"site: caf\xe9\n")
    return sorted(str(path) for path in root.rglob("*.site.yaml"))


def test_a_line_for_every_file_in_their_order(estate: list[str]) -> None:
    lines = [json.loads(line.text) for line in site_lines(estate, job_of(today=TODAY))]
    assert [line["file"] for line in lines] == estate
    assert [line["file"] for line in lines if "unread" in line] == [each for each in estate if "b.site.yaml" in each]
    assert sum("summary" in line for line in lines) == 28


def test_a_line_says_what_check_says(estate: list[str]) -> None:
    (path,) = (each for each in estate if each.endswith("s01/quill-orchard.site.yaml"))
    line = json.loads(site_line(path, job_of(facts=True)).text)
    done = _run("check", path, "--format", "json")
    (site,) = json.loads(done.stdout)["sites"]
    assert {name: line[name] for name in site} == site


@pytest.mark.parametrize("jobs", [2, 3])
def test_same_bytes_from_several_processes(estate: list[str], jobs: int) -> None:
    job = job_of(today=TODAY)
    assert list(site_lines(estate, job, jobs)) == list(site_lines(estate, job))


@pytest.mark.slow("a cluster of processes; several processes of one call are tried by default")
def test_same_bytes_from_a_cluster_of_which_a_worker_is_killed(estate: list[str]) -> None:
    distributed = pytest.importorskip("distributed", reason="needs the extra `cluster`")
    job = job_of(today=TODAY)
    with (
        distributed.LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None, processes=True) as cluster,
        distributed.Client(cluster) as client,
    ):
        lines = lines_over(client.get_executor(pure=False), estate, job, batch=4, ahead=8)
        found = [next(lines)]
        os.kill(next(iter(cluster.workers.values())).pid, signal.SIGKILL)
        found += lines
    assert found == list(site_lines(estate, job))


def test_no_more_are_begun_than_are_soon_given_out(estate: list[str]) -> None:
    begun = 0

    def paths() -> object:
        nonlocal begun
        for path in estate * 4:
            begun += 1
            yield path

    lines = site_lines(paths(), job_of(today=TODAY), 2)
    next(lines)
    assert begun <= 2 * AHEAD + 1
    lines.close()


def test_command(estate: list[str], tmp_path: Path) -> None:
    folder = str(Path(estate[0]).parents[1])
    done = _run("check", folder, "--format", "jsonl", "--jobs", "2")
    assert done.returncode == 2
    assert len(done.stdout.splitlines()) == len(estate)
    assert done.stderr.splitlines()[-1].endswith("2 could not be read")
    out = tmp_path / "estate.jsonl"
    again = _run("check", folder, "--format", "jsonl", "--output", str(out))
    assert (again.stdout, out.read_text(encoding="utf-8")) == ("", done.stdout)


@pytest.mark.parametrize(("name", "status"), [("boatyard", 0), ("cider-press", 1)])
def test_status(name: str, status: int) -> None:
    assert _run("check", str(ROOT / "examples" / name), "--format", "jsonl").returncode == status


def test_no_site_is_never_clean(tmp_path: Path) -> None:
    assert _run("check", str(tmp_path), "--format", "jsonl").returncode == 2
    assert _run("check", "--format", "jsonl").returncode == 2


def test_a_reader_that_goes_away(estate: list[str]) -> None:
    folder = str(Path(estate[0]).parents[1])
    call = f"'{sys.executable}' -m coaxwright check '{folder}' --format jsonl | head -n 1"
    done = subprocess.run(["bash", "-c", call], capture_output=True, text=True, cwd=ROOT / "engine", timeout=600)
    assert len(done.stdout.splitlines()) == 1
    assert "Traceback" not in done.stderr


def _run(*args: str) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "coaxwright", *args]
    return subprocess.run(command, capture_output=True, text=True, cwd=ROOT / "engine", timeout=600, check=False)
