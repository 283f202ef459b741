"""Work on many sites that goes on where it was killed: every line is kept as soon as it is worked out, and the file is
written from them in order once all are there. It has the same bytes as if nothing had happened.

The journal stands beside the file, `FILE.unfinished`: first what all is judged by, then a line for each site, with what was
read for it. A line whose site or part files changed since is worked out again; so is all where the rules did.
"""

from __future__ import annotations

import json
import os
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import IO, Any

from coaxwright import __version__
from coaxwright.errors import Problem, Refusal
from coaxwright.estate.inputs import is_same
from coaxwright.estate.lines import Job, Line, digest_of, site_lines
from coaxwright.reading.atomic import writing_atomically

Over = Callable[[Iterable[str], Job], Iterator[Line]]
"""What works lines out, in order: `site_lines`, or workers of a cluster."""


def journal_of(file: Path) -> Path:
    """Where the journal of a file stands."""
    return file.with_name(f"{file.name}.unfinished")


def day_begun(file: Path) -> str:
    """The day by which a file was begun to be worked out, ISO; empty where it was not begun."""
    try:
        with journal_of(file).open("rb") as stream:
            return str(json.loads(stream.readline())["today"])
    except (OSError, ValueError, KeyError, TypeError):
        return ""


def write_lines(file: Path, paths: Sequence[str], job: Job, over: Over = site_lines) -> Iterator[Line]:
    """Write the lines of all sites to `file`, going on where that was begun; hands each on in order.

    The file is there, as a whole, once the last line has been taken. Raises Refusal for bad rules, and where another
    process does the same, and OSError where nothing can be written.
    """
    job = job._replace(traced=True)
    with _opened(journal_of(file)) as stream, writing_atomically(file) as whole:
        journal = _Journal(stream, _head(job))
        known = {path for path in paths if journal.holds(path)}
        fresh = over((path for path in paths if path not in known), job)
        for path in paths:
            line = journal.line(path) if path in known else journal.kept(path, next(fresh))
            whole.write(f"{line.text}\n".encode())
            yield line
    journal_of(file).unlink(missing_ok=True)


def _head(job: Job) -> dict[str, Any]:
    return {"coaxwright": __version__, "rulebook": digest_of(job), "today": job.today, "facts": job.facts}


@contextmanager
def _opened(path: Path) -> Iterator[IO[bytes]]:
    """The journal, for this process alone where the system has such locks."""
    with path.open("a+b") as stream:
        try:
            import fcntl

            fcntl.flock(stream, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except ImportError:
            pass
        except OSError:
            raise Refusal([Problem(str(path), "another process is at work on this", "wait for it, or end it")]) from None
        yield stream


class _Journal:
    """Lines that are kept, by the path of their site: where each begins."""

    def __init__(self, stream: IO[bytes], head: dict[str, Any]) -> None:
        self._stream = stream
        self._at: dict[str, int] = {}
        stream.seek(0)
        if _value(stream.readline()) == head:
            self._find()
        else:
            stream.truncate(0)
            stream.write(f"{json.dumps(head)}\n".encode())
            stream.flush()

    def _find(self) -> None:
        """Note where every whole entry begins; what a killed process left of one is taken off."""
        end = self._stream.tell()
        for entry in iter(self._stream.readline, b""):
            value = _value(entry) if entry.endswith(b"\n") else None
            if not isinstance(value, list):
                break
            self._at[str(value[0])] = end
            end += len(entry)
        self._stream.truncate(end)

    def holds(self, path: str) -> bool:
        """Whether the line of a site is kept, and what it was worked out from is the same still."""
        return path in self._at and is_same(path, self._entry(path)[4])

    def line(self, path: str) -> Line:
        """The line that is kept of a site."""
        _, text, counts, contradictions, inputs = self._entry(path)
        return Line(text, counts, tuple(contradictions), inputs)

    def _entry(self, path: str) -> list[Any]:
        self._stream.seek(self._at[path])
        found: list[Any] = json.loads(self._stream.readline())
        return found

    def kept(self, path: str, line: Line) -> Line:
        """Keep a line, at once."""
        entry = [path, line.text, line.counts, line.contradictions, line.inputs]
        self._stream.seek(0, os.SEEK_END)
        self._stream.write(f"{json.dumps(entry)}\n".encode())
        self._stream.flush()
        return line


def _value(entry: bytes) -> object:
    try:
        return json.loads(entry)
    except ValueError:
        return None
