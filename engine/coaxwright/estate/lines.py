"""Many sites: each site file comes to one line of JSON, worked out by itself, so that any engine can spread them.

`site_line` is the whole job on one file, a function of the path and plain values: a pool of processes here, or the
workers of a distributed engine, give the same bytes. Nothing is kept of a site once its line is out.
"""

from __future__ import annotations

import datetime
import json
from collections import deque
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from functools import lru_cache
from itertools import islice
from pathlib import Path
from typing import Any, NamedTuple, Protocol

from coaxwright.checking import check, load_rulebook, load_site
from coaxwright.errors import Problem, Refusal
from coaxwright.estate.inputs import inputs_of, text_digest
from coaxwright.reporting.json_report import site_data, unread_data
from coaxwright.rulebook.library import Rulebook
from coaxwright.rulebook.settings import day_of_today
from coaxwright.show.json_text import FORMAT
from coaxwright.workers import settle_in

AHEAD = 16
"""Sites a process that are under way or done and not yet given out: bounds memory however many sites there are."""
BATCH = 8
"""Sites that a worker of a cluster gets at a time: sending them costs less than judging them."""
DEATHS = 3
"""So many times processes may end while they judge (killed for want of memory, say) before the work is given up."""


class Job(NamedTuple):
    """What every site is judged by: folders of further rules, the day for waivers (ISO), and whether facts are told.

    `traced`: each line says what was read for it, so that it can be used again as long as that stays the same.
    """

    rules: tuple[str, ...] = ()
    today: str = ""
    facts: bool = False
    traced: bool = False


class Line(NamedTuple):
    """One site's line of JSON without its end, and what it adds to the status: counts of the summary, and `unread`.

    `contradictions` are errors within the part entries that the site uses: many sites may have the same. `inputs` says
    what was read, where the job is traced and the site could be read.
    """

    text: str
    counts: dict[str, int]
    contradictions: tuple[str, ...] = ()
    inputs: str = ""

    @property
    def unread(self) -> bool:
        """The site could not be checked."""
        return not self.counts


class Task(Protocol):
    """Work that was handed over."""

    def result(self) -> Any:
        """Wait for its answer."""
        ...


class Pool(Protocol):
    """What spreads work: an executor of the standard library, or of a cluster (`Client.get_executor` of Dask)."""

    def submit(self, work: Callable[..., Any], /, *words: object) -> Task:
        """Begin work; the answer has `result()`."""
        ...


def job_of(rules: Sequence[Path | str] = (), today: datetime.date | None = None, facts: bool = False) -> Job:
    """A job as plain values, fit to be sent to another process or machine."""
    return Job(tuple(map(str, rules)), (today or day_of_today()).isoformat(), facts)


@lru_cache(maxsize=2)
def _rulebook(rules: tuple[str, ...]) -> Rulebook:
    return load_rulebook([Path(each) for each in rules])


def digest_of(job: Job) -> str:
    """The digest of the rules that a job judges by. Raises Refusal for bad rules."""
    return _rulebook(job.rules).digest


def site_line(path: str, job: Job) -> Line:
    """Check one site file. What cannot be read is a line too: `file` and `unread`. Raises Refusal for bad rules."""
    rulebook = _rulebook(job.rules)
    try:
        read = text_digest(path) if job.traced else ""  # before it is judged: an edit meanwhile is seen as one afterwards
        site = load_site(path)
        report = check(site, rulebook=rulebook, today=datetime.date.fromisoformat(job.today))
        inputs = inputs_of(path, read, site) if job.traced else ""
    except Refusal as refusal:
        return Line(_json({"format": FORMAT, "file": path, "unread": [unread_data(each) for each in refusal.problems]}), {})
    data = site_data(report, facts=job.facts)
    head = {"format": FORMAT, "rulebook": rulebook.digest, "today": job.today}
    return Line(_json({**head, **data}), data["summary"], report.contradictions, inputs)


def site_batch(paths: Sequence[str], job: Job) -> list[Line]:
    """The lines of a few sites."""
    return [site_line(path, job) for path in paths]


def _json(data: dict[str, Any]) -> str:
    return json.dumps(data, allow_nan=False, separators=(",", ":")).replace("\x7f", "\\u007f")


def site_lines(paths: Iterable[str], job: Job, jobs: int = 1) -> Iterator[Line]:
    """The line of every path, in their order, worked out by `jobs` processes (1: here).

    A process that is killed meanwhile is replaced, and what it had begun is begun again. Raises Refusal for bad rules, and
    where that happens DEATHS times.
    """
    _rulebook(job.rules)
    if jobs == 1:
        yield from (site_line(path, job) for path in paths)
        return
    crew = _Crew(jobs, job)
    try:
        yield from _in_order(crew, ([path] for path in paths), job, jobs * AHEAD)
    finally:
        crew.shutdown()


def lines_over(pool: Pool, paths: Iterable[str], job: Job, batch: int = BATCH, ahead: int = 4 * AHEAD) -> Iterator[Line]:
    """The line of every path, in their order, worked out by the workers of a pool, `batch` sites at a time.

    No more than `ahead` sites are under way or done and not yet given out, so memory does not grow with their number.
    """
    waiting = iter(paths)
    batches = iter(lambda: list(islice(waiting, batch)), [])
    yield from _in_order(pool, batches, job, max(1, ahead // batch))


def _in_order(pool: Pool, batches: Iterable[list[str]], job: Job, ahead: int) -> Iterator[Line]:
    """Keep `ahead` batches under way; give out the first as soon as it is done."""
    batches = iter(batches)
    waiting = deque(pool.submit(site_batch, batch, job) for batch in islice(batches, ahead))
    while waiting:
        lines = waiting.popleft().result()
        waiting.extend(pool.submit(site_batch, batch, job) for batch in islice(batches, 1))
        yield from lines


class _Crew:
    """Processes that work as a pool does; where one is killed, all are replaced and begin again what is not done."""

    def __init__(self, jobs: int, job: Job) -> None:
        self._jobs, self._job, self._deaths = jobs, job, 0
        self._pool = self._begun()

    def _begun(self) -> ProcessPoolExecutor:
        return ProcessPoolExecutor(self._jobs, initializer=_start_worker, initargs=(self._job.rules,))

    def submit(self, work: Callable[..., Any], /, *words: object) -> _Task:
        """Begin work."""
        return _Task(self, work, words)

    def begin(self, work: Callable[..., Any], words: Sequence[Any]) -> tuple[ProcessPoolExecutor, Any]:
        """Hand work to the processes that there are: those, and its future."""
        try:
            return self._pool, self._pool.submit(work, *words)
        except BrokenProcessPool:
            self.replace(self._pool)
            return self.begin(work, words)

    def replace(self, broken: ProcessPoolExecutor) -> None:
        """Other processes in the place of those, unless that was done already. Raises Refusal when it happens too often."""
        if broken is not self._pool:
            return
        self._deaths += 1
        broken.shutdown(wait=False, cancel_futures=True)
        if self._deaths >= DEATHS:
            what = f"processes that judge sites were killed {DEATHS} times"
            raise Refusal([Problem("--jobs", what, "take fewer of them (each needs memory); with --resume what is done stays")])
        self._pool = self._begun()

    def shutdown(self) -> None:
        """End the processes."""
        self._pool.shutdown(cancel_futures=True)


class _Task:
    """Work that a crew has begun, and begins again where the process was killed."""

    def __init__(self, crew: _Crew, work: Callable[..., Any], words: Sequence[Any]) -> None:
        self._crew, self._work, self._words = crew, work, words
        self._pool, self._future = crew.begin(work, words)

    def result(self) -> list[Line]:
        """What came of it; waits for it."""
        while True:
            try:
                found: list[Line] = self._future.result()
                return found
            except BrokenProcessPool:
                self._crew.replace(self._pool)
                self._pool, self._future = self._crew.begin(self._work, self._words)


def _start_worker(rules: tuple[str, ...]) -> None:
    settle_in()
    _rulebook(rules)
