"""Random faulty sites, every change that `fix` and `fix --all` show for them, each carried out on the file and judged.

    python tests/fixes/harms/run.py --sites 1000 --seed 7 --jobs 2
    python tests/fixes/harms/run.py --only 7:41            one site, with its files kept under --keep DIR

The program is a black box: its commands, their JSON, and files. What a change promises stands in `judging.py`.
"""

from __future__ import annotations

import argparse
import json
import sys
import tempfile
import traceback
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path
from random import Random
from typing import Any

if __package__ in (None, ""):
    sys.path.insert(0, str(Path(__file__).resolve().parents[3]))

from tests.fixes.harms.invented_sites import Made, made
from tests.fixes.harms.judging import Harm, Sides, gives_up, harms_of_change, order_harms, worsened
from tests.fixes.harms.patches import DoesNotApply, patched
from tests.fixes.harms.program import Key, Refused, Seen, checked, rules_read_once, told, written

Data = dict[str, Any]


@dataclass
class Outcome:
    """What one site, or many, came to."""

    sites: int = 0
    refused: int = 0
    with_change: int = 0
    changes: int = 0
    sets: int = 0
    findings: int = 0
    harms: list[Harm] = field(default_factory=list)

    def add(self, other: Outcome) -> None:
        for name in ("sites", "refused", "with_change", "changes", "sets", "findings"):
            setattr(self, name, getattr(self, name) + getattr(other, name))
        self.harms += other.harms


class OneSite:
    """One random site under test, in a folder."""

    def __init__(self, folder: Path, site: Made) -> None:
        self.folder, self.made = folder, site
        self.file = written(folder, site.site, site.parts)
        self.outcome = Outcome(sites=1)
        self.before = Seen({}, {}, set(), {})
        self._seen: dict[str, Sides | str] = {}

    def run(self) -> Outcome:
        try:
            self.before = checked(self.file)
        except Refused:
            self.outcome.refused = 1
            return self.outcome
        draw = Random(self.made.name)
        level = draw.choice(["error", "error", "error", "warning", "note"])
        budget = draw.choice([4, 4, 4, 8, 8, 30])
        subjects = sorted({subject for (_, subject), (own, _) in self.before.fails.items() if own == level})
        on = draw.choice(subjects) if subjects and draw.random() < 0.75 else ""
        self.single(level, budget, on)
        self.whole(draw.choice(["error", "error", "warning"]), draw.choice(["fewest", "cheapest"]), budget * 3)
        self.outcome.with_change = int(self.outcome.changes + self.outcome.sets > 0)
        return self.outcome

    def single(self, level: str, budget: int, on: str = "") -> None:
        """Every change that `fix` shows, or of the findings on one subject."""
        words = ("--level", level, "--budget", str(budget), *(("--on", on) if on else ()))
        found = told("fix", str(self.file), *words)
        for finding in found["findings"]:
            self.outcome.findings += 1
            key, worse = (finding["rule"], finding["subject"]), []
            for fix in finding["fixes"]:
                self.outcome.changes += 1
                worse.append(self._hold(" ".join(("fix", *words)), fix, [key], finding["level"]))
            for kind, detail in order_harms(finding["fixes"], worse):
                self._harm(kind, "fix", " on ".join(key), "", detail)

    def whole(self, level: str, prefer: str, budget: int) -> None:
        """The set that `fix --all` shows: it is for all that fails at that level, but for what it names as left."""
        words = ("--all", "--level", level, "--prefer", prefer, "--budget", str(budget))
        plan = told("fix", str(self.file), *words)
        if not plan["patch"]:
            return
        self.outcome.sets += 1
        counted = ("error",) if level == "error" else ("error", "warning")
        left = {(each["rule"], each["subject"]) for each in plan["in_the_way"]}
        targets = [key for key, (own, _) in self.before.fails.items() if own in counted and key not in left]
        title = "; ".join(step["title"] for step in plan["steps"])
        self._hold(
            " ".join(("fix", *words)), {**plan, "title": title}, targets, "error" if level == "error" else "warning"
        )

    def _hold(self, command: str, change: Data, targets: list[Key], cleared: str) -> bool:
        """Carry a change out and note its harms. Returns whether something is worse by it."""
        sides = self._sides(change["patch"])
        about = " on ".join(targets[0]) if len(targets) == 1 else f"{len(targets)} findings"
        if isinstance(sides, str):
            kind, _, words = sides.partition(": ")
            self._harm(kind, command, about, change["title"], words)
            return False
        for kind, detail in harms_of_change(sides, change, targets, cleared):
            self._harm(kind, command, about, change["title"], detail)
        return not gives_up(change) and any(True for _ in worsened(sides))

    def _sides(self, patch: list[Data]) -> Sides | str:
        """The site before and after a patch was written into the file."""
        key = json.dumps(patch, sort_keys=True)
        if key not in self._seen:
            self._seen[key] = self._carried_out(patch)
        return self._seen[key]

    def _carried_out(self, patch: list[Data]) -> Sides | str:
        try:
            now = patched(self.made.site, patch)
            after = checked(written(self.folder, now))
            return Sides(self.before, after, self.made.site, now, self.made.parts)
        except DoesNotApply as error:
            return f"does-not-apply: {error}"
        except Refused as error:
            return f"cannot-be-checked: {error}"
        finally:
            written(self.folder, self.made.site)

    def _harm(self, kind: str, command: str, target: str, title: str, detail: str) -> None:
        self.outcome.harms.append(Harm(kind, self.made.name, command, target, title, detail))


def one(number: int, seed: int, keep: str = "") -> Outcome:
    """One site of a seed, in a folder of its own. A crash of the program is a harm of its own kind."""
    with tempfile.TemporaryDirectory() as own, rules_read_once():
        folder = Path(keep or own)
        try:
            return OneSite(folder, made(seed, number)).run()
        except Exception:  # noqa: BLE001 - told with its site, and the others go on
            last = traceback.format_exc().strip().splitlines()
            return Outcome(sites=1, harms=[Harm("crash", f"{seed}:{number}", "", "", "", " / ".join(last[-3:]))])


def many(sites: int, seed: int, jobs: int = 1, first: int = 0) -> Iterator[Outcome]:
    """So many sites of a seed, over processes where there are several."""
    numbers = range(first, first + sites)
    if jobs == 1:
        yield from (one(number, seed) for number in numbers)
        return
    with ProcessPoolExecutor(jobs) as pool:
        yield from pool.map(partial(one, seed=seed), numbers, chunksize=4)


def total(outcomes: Iterator[Outcome], log: Any = None) -> Outcome:
    """All outcomes together; harms are written to `log` as they come."""
    found = Outcome()
    for each in outcomes:
        found.add(each)
        if log is not None:
            for harm in each.harms:
                print(harm, file=log, flush=True)
            if found.sites % 25 == 0:
                print(
                    f"... {found.sites} sites, {found.changes} changes, {len(found.harms)} harms",
                    file=sys.stderr,
                    flush=True,
                )
    return found


def summary(found: Outcome) -> str:
    kinds = Counter(harm.kind for harm in found.harms)
    lines = [
        f"sites {found.sites} (refused {found.refused}), with a change {found.with_change}, "
        f"findings asked about {found.findings}, changes of `fix` {found.changes}, "
        f"sets of `fix --all` {found.sets}, harms {len(found.harms)}"
    ]
    return "\n".join([*lines, *(f"  {kind}: {count}" for kind, count in sorted(kinds.items()))])


def main() -> int:
    words = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    words.add_argument("--sites", type=int, default=30)
    words.add_argument("--seed", type=int, default=1)
    words.add_argument("--first", type=int, default=0, help="number of the first site")
    words.add_argument("--jobs", type=int, default=1)
    words.add_argument("--only", help="SEED:NUMBER of one site")
    words.add_argument("--keep", default="", help="with --only: the folder in which its files stay")
    asked = words.parse_args()
    if asked.only:
        seed, _, number = asked.only.partition(":")
        Path(asked.keep).mkdir(parents=True, exist_ok=True) if asked.keep else None
        found = total(iter([one(int(number), int(seed), asked.keep)]), sys.stdout)
    else:
        found = total(many(asked.sites, asked.seed, asked.jobs, asked.first), sys.stdout)
    print(summary(found))
    return 1 if found.harms else 0


if __name__ == "__main__":
    sys.exit(main())
