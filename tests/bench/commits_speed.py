"""Does a judgement cost more than at an earlier commit? `python tests/bench/commits_speed.py OLD [NEW]`.

Both commits are taken out of the repository whole, each with its own rules, and do the same work in processes of their
own, in turn, in processor time, with the cyclic collector off: the sites are those of OLD. New rules judge more, so what
counts is time divided by judgements (passed, not passed, open, waived, not applicable). A whole check tells findings too;
where new rules find more in the same sites that costs more for each judgement, and so telling has a figure of its own.
The last line answers whether any figure is more than a tenth worse; with `--check` the exit status is 1 where one is.
"""

from __future__ import annotations

import argparse
import gc
import json
import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
CAMERAS, MOST = 1_000, 1.10
EDITS = (
    (f"/cameras/c{CAMERAS // 2}/video/over/0/length", "150 m"),
    (f"/cameras/c{CAMERAS // 3}/power/over/0/cable", "dc-4mm2"),
    ("/supplies/p4/trim", "13.5 V"),
    ("/recorders/r2/record/codec", "h264"),
)
Work = Callable[[], tuple[float, int]]
"""Does it once; the seconds of processor that it took, and how many judgements, or findings, that was."""
COUNTED = ("error", "warning", "note", "open", "waived", "passed", "not_applicable", "fault")


def _took(work: Callable[[], object]) -> float:
    gc.collect()
    begin = time.process_time()
    made = work()
    took = time.process_time() - begin
    del made
    return took


def works(sites: Path) -> dict[str, Work]:
    """What is measured; imported from whichever commit this process works for."""
    from coaxwright.checking import check, load_rulebook, load_site
    from coaxwright.fixes.rejudging import start

    rulebook = load_rulebook()
    examples = [load_site(path) for path in sorted((sites / "examples").rglob("*.site.yaml"))]
    large = [load_site(path) for path in sites.glob("large/*.site.yaml")]
    state = start(large[0], rulebook=rulebook)
    patches = [[{"op": "replace", "path": place, "value": value}] for place, value in EDITS]
    assert not any(state.after(patch).full for patch in patches)

    def told(those: list[Any]) -> list[Any]:
        return [check(each, rulebook=rulebook) for each in those]

    def judged(those: list[Any]) -> list[Any]:
        return [start(each, rulebook=rulebook) for each in those]

    def judgements(those: list[Any]) -> int:
        return sum(getattr(report.summary, name) for report in told(those) for name in COUNTED)

    of = {"all examples": (examples, judgements(examples)), f"{CAMERAS:,} cameras": (large, judgements(large))}
    findings = sum(len(report.findings) for report in told(examples))
    found: dict[str, Work] = {}
    for name, (those, count) in of.items():
        found[f"facts and judgements of {name}, a judgement"] = lambda t=those, c=count: (_took(lambda: judged(t)), c)
        found[f"whole check of {name}, a judgement"] = lambda t=those, c=count: (_took(lambda: told(t)), c)
    share = of[f"{CAMERAS:,} cameras"][1] * len(EDITS) // CAMERAS
    found["edits judged again, a judgement of one camera"] = lambda: (
        _took(lambda: [state.after(patch) for patch in patches]), share,
    )  # fmt: skip
    found["telling of all examples, a finding"] = lambda: (
        _took(lambda: told(examples)) - _took(lambda: judged(examples)), findings,
    )  # fmt: skip
    return found


def serve(sites: Path) -> None:
    """A process of one commit: does what each line of its input names, and answers seconds and judgements."""
    known = works(sites)
    print(json.dumps(list(known)), flush=True)
    gc.disable()
    for line in sys.stdin:
        print(json.dumps(known[line.rstrip("\n")]()), flush=True)


class Worker:
    """A commit in a folder of its own, at work in a process."""

    def __init__(self, folder: Path, revision: str) -> None:
        self.tree = folder / revision
        self.tree.mkdir()
        archive = subprocess.run(["git", "archive", revision], cwd=ROOT, check=True, capture_output=True).stdout
        subprocess.run(["tar", "-x"], cwd=self.tree, input=archive, check=True)
        self.environment = {
            **os.environ, "PYTHONPATH": str(self.tree / "engine"), "XDG_CACHE_HOME": str(folder / f"cache-{revision}"),
        }  # fmt: skip

    def begin(self, sites: Path) -> list[str]:
        """Start to serve; the names of what it can do."""
        call = [sys.executable, __file__, "--serve", str(sites)]
        self.process = subprocess.Popen(
            call, env=self.environment, cwd=self.tree, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
        )
        return list(json.loads(self._line()))

    def _line(self) -> str:
        line = self.process.stdout.readline() if self.process.stdout else ""
        if not line:
            raise SystemExit(f"{self.tree.name} ended with {self.process.wait()}")
        return line

    def took(self, name: str) -> tuple[float, int]:
        """Microseconds of processor for each, and how many there are."""
        assert self.process.stdin
        print(name, file=self.process.stdin, flush=True)
        seconds, count = json.loads(self._line())
        return 1e6 * seconds / count, count

    def end(self) -> None:
        if self.process.stdin:
            self.process.stdin.close()
        self.process.wait()


def prepared(old: Worker, folder: Path) -> Path:
    """The sites that both judge: the examples of OLD, and a large one made by its own script."""
    sites = folder / "sites"
    (sites / "large").mkdir(parents=True)
    (old.tree / "examples").rename(sites / "examples")
    (old.tree / "examples").symlink_to(sites / "examples")
    call = [sys.executable, "tests/bench/big_sites.py", str(CAMERAS), str(sites / "large")]
    subprocess.run(call, cwd=old.tree, env=old.environment, check=True, capture_output=True)
    return sites


def compared(old: Worker, new: Worker, names: list[str], rounds: int) -> list[str]:
    """A line printed for each figure; the names of those that are worse by more than a tenth."""
    worse = []
    for name in names:
        old.took(name), new.took(name)  # neither is the first
        pairs = [(old.took(name), new.took(name)) for _ in range(rounds)]
        before, after = (statistics.median(pair[side][0] for pair in pairs) for side in (0, 1))
        ratio = statistics.median(late[0] / early[0] for early, late in pairs)
        (_, fewer), (_, more) = pairs[0]
        print(f"{name}: {before:.2f} us before ({fewer:,}), {after:.2f} us now ({more:,}): {ratio:.3f}", flush=True)
        if ratio > MOST:
            worse.append(f"{name} {ratio:.3f}")
    return worse


def main() -> int:
    """Print the figures and the answer."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("old", nargs="?")
    parser.add_argument("new", nargs="?", default="HEAD")
    parser.add_argument("--rounds", type=int, default=7)
    parser.add_argument("--check", action="store_true", help="exit status 1 where a figure is more than a tenth worse")
    parser.add_argument("--serve", metavar="SITES", help=argparse.SUPPRESS)
    asked = parser.parse_args()
    if asked.serve:
        serve(Path(asked.serve))
        return 0
    if not asked.old:
        parser.error("name the commit to compare with")
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        old, new = Worker(folder, asked.old), Worker(folder, asked.new)
        sites = prepared(old, folder)
        names = old.begin(sites)
        assert new.begin(sites) == names
        worse = compared(old, new, names, asked.rounds)
        old.end()
        new.end()
    said = f"no: {', '.join(worse)}" if worse else "yes"
    print(f"at most 10 % more for each judgement than {asked.old}: {said}")
    return int(asked.check and bool(worse))


if __name__ == "__main__":
    raise SystemExit(main())
