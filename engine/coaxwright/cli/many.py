"""`coaxwright check --format jsonl`: many sites, a line of JSON each, progress on standard error."""

from __future__ import annotations

import datetime
import sys
import time
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from functools import partial
from pathlib import Path

import click

from coaxwright.cli.contradictions import tell_once
from coaxwright.cli.exits import FailOn, totals_status
from coaxwright.cli.output import complain, silence_stdout
from coaxwright.cli.sites import site_files
from coaxwright.errors import Problem, Refusal
from coaxwright.estate import Job, Line, job_of, site_lines

EVERY_SECONDS = 2.0


def check_many_lines(
    sites: Sequence[Path], job: Job, jobs: int, output: Path | None, fail_on: FailOn, strict: bool, resume: Path | None = None
) -> int:  # fmt: skip
    """Write the line of every site in order; returns the exit status over all. Raises Refusal for bad rules."""
    if not sites:
        raise click.UsageError("no site is named: give a .site.yaml file, or a folder that holds some")
    files, problems = site_files(sites)
    for problem in problems:
        complain(str(problem))
    tally, paths = _Tally(len(files)), list(map(str, files))
    if resume is not None:
        _resume(resume, paths, job, jobs, tally)
    elif output is not None:
        _write(tally.counting(site_lines(paths, job, jobs)), output)
    else:
        _print(tally.counting(site_lines(paths, job, jobs)))
    tally.close()
    return totals_status(tally.totals, bool(files) and not problems and not tally.unread, fail_on, strict)


def job_of_call(extra_rules: Sequence[Path], today: datetime.date | None, resume: Path | None) -> Job:
    """What a call judges by. The day is that on which the file to be resumed was begun, unless the call names another."""
    from coaxwright.estate.journal import day_begun

    job, day = job_of(extra_rules, today), day_begun(resume) if resume is not None else ""
    if today is not None or not day:
        return job
    complain(f"coaxwright: goes on with {resume}, by the day {day}")
    return job._replace(today=day)


def _resume(file: Path, paths: list[str], job: Job, jobs: int, tally: _Tally) -> None:
    """Write to a file, going on where that was begun."""
    from coaxwright.estate.journal import write_lines

    lines = write_lines(file, paths, job, partial(site_lines, jobs=jobs))
    for _ in tally.counting(lines):
        pass


def _write(lines: Iterable[Line], output: Path) -> None:
    """Each line as soon as it is there; the file is there once all are."""
    from coaxwright.reading.atomic import writing_atomically

    with writing_atomically(output) as stream:
        stream.writelines(f"{line.text}\n".encode() for line in lines)


def _print(lines: Iterable[Line]) -> None:
    """Each line as soon as it is there; a reader that has gone away is no fault."""
    try:
        for line in lines:
            sys.stdout.write(line.text + "\n")
            sys.stdout.flush()
    except BrokenPipeError:
        silence_stdout()
    except OSError as error:
        silence_stdout()
        raise Refusal([Problem("standard output", f"cannot be written: {error.strerror}")]) from error


class _Tally:
    """Counts over all sites, told on standard error now and then."""

    def __init__(self, files: int) -> None:
        self.files, self.done, self.unread = files, 0, 0
        self.totals: Counter[str] = Counter()
        self._told = time.monotonic()
        self._contradictions: dict[str, None] = {}

    def counting(self, lines: Iterable[Line]) -> Iterator[Line]:
        """Pass the lines on and count them."""
        for line in lines:
            self.done += 1
            self.unread += line.unread
            self.totals.update(line.counts)
            self._contradictions.update(dict.fromkeys(line.contradictions))
            if time.monotonic() - self._told >= EVERY_SECONDS:
                self._tell()
            yield line

    def _tell(self) -> None:
        self._told = time.monotonic()
        complain(f"coaxwright: {self.done} of {self.files} sites")

    def close(self) -> None:
        """The last word, and what contradicts itself in part files: once, however many sites use it."""
        tell_once(self._contradictions)
        totals = self.totals
        found = f"{totals['error']} errors, {totals['warning']} warnings, {totals['note']} notes, {totals['open']} open"
        complain(f"coaxwright: {self.done} of {self.files} sites: {found}; {self.unread} could not be read")
