"""Many sites: each site file comes to one line of JSON, worked out by itself, so that any engine can spread them.

`site_line` is the whole job on one file, a function of the path and plain values: a pool of processes here, or the
workers of a distributed engine, give the same bytes. Nothing is kept of a site once its line is out.
"""

from __future__ import annotations

import datetime
import json
from collections import deque
from collections.abc import Iterable, Iterator, Sequence
from concurrent.futures import Future, ProcessPoolExecutor
from functools import lru_cache
from itertools import islice
from pathlib import Path
from typing import Any, NamedTuple

from coaxwright.checking import check, load_rulebook
from coaxwright.errors import Refusal
from coaxwright.reporting.json_report import site_data, unread_data
from coaxwright.rulebook.library import Rulebook
from coaxwright.rulebook.settings import day_of_today
from coaxwright.show.json_text import FORMAT
from coaxwright.workers import settle_in

AHEAD = 16
"""Sites a process that are under way or done and not yet given out: bounds memory however many sites there are."""


class Job(NamedTuple):
    """What every site is judged by: folders of further rules, the day for waivers (ISO), and whether facts are told."""

    rules: tuple[str, ...] = ()
    today: str = ""
    facts: bool = False


class Line(NamedTuple):
    """One site's line of JSON without its end, and what it adds to the status: counts of the summary, and `unread`.

    `contradictions` are errors within the part entries that the site uses: many sites may have the same.
    """

    text: str
    counts: dict[str, int]
    contradictions: tuple[str, ...] = ()

    @property
    def unread(self) -> bool:
        """The site could not be checked."""
        return not self.counts


def job_of(rules: Sequence[Path | str] = (), today: datetime.date | None = None, facts: bool = False) -> Job:
    """A job as plain values, fit to be sent to another process or machine."""
    return Job(tuple(map(str, rules)), (today or day_of_today()).isoformat(), facts)


@lru_cache(maxsize=2)
def _rulebook(rules: tuple[str, ...]) -> Rulebook:
    return load_rulebook([Path(each) for each in rules])


def site_line(path: str, job: Job) -> Line:
    """Check one site file. What cannot be read is a line too: `file` and `unread`. Raises Refusal for bad rules."""
    rulebook = _rulebook(job.rules)
    try:
        report = check(path, rulebook=rulebook, today=datetime.date.fromisoformat(job.today))
    except Refusal as refusal:
        return Line(_json({"format": FORMAT, "file": path, "unread": [unread_data(each) for each in refusal.problems]}), {})
    data = site_data(report, facts=job.facts)
    head = {"format": FORMAT, "rulebook": rulebook.digest, "today": job.today}
    return Line(_json({**head, **data}), data["summary"], report.contradictions)


def _json(data: dict[str, Any]) -> str:
    return json.dumps(data, allow_nan=False, separators=(",", ":")).replace("\x7f", "\\u007f")


def site_lines(paths: Iterable[str], job: Job, jobs: int = 1) -> Iterator[Line]:
    """The line of every path, in their order, worked out by `jobs` processes (1: here)."""
    _rulebook(job.rules)
    if jobs == 1:
        yield from (site_line(path, job) for path in paths)
        return
    pool = ProcessPoolExecutor(jobs, initializer=_start_worker, initargs=(job.rules,))
    try:
        yield from _in_order(pool, iter(paths), job, jobs * AHEAD)
    finally:
        pool.shutdown(cancel_futures=True)


def _in_order(pool: ProcessPoolExecutor, paths: Iterator[str], job: Job, ahead: int) -> Iterator[Line]:
    """Keep `ahead` sites under way; give out the first as soon as it is done."""
    waiting: deque[Future[Line]] = deque(pool.submit(site_line, path, job) for path in islice(paths, ahead))
    while waiting:
        line = waiting.popleft().result()
        waiting.extend(pool.submit(site_line, path, job) for path in islice(paths, 1))
        yield line


def _start_worker(rules: tuple[str, ...]) -> None:
    settle_in()
    _rulebook(rules)
