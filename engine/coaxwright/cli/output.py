"""Where results and complaints go: results to standard output or a file, complaints to standard error."""

from __future__ import annotations

import os
import sys
import warnings
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from coaxwright.cli.progress import wipe
from coaxwright.errors import Problem, Refusal
from coaxwright.show.painter import visible


def deliver(text: str, output: Path | None = None) -> None:
    """Give a result to the user: to `output`, replaced as a whole or not at all, or to standard output.

    A reader that has gone away (`| head`) is no fault. Raises Refusal when it cannot be written.
    """
    if output is None:
        _print(text)
    else:
        deliver_bytes(text.encode(), output)


def deliver_bytes(data: bytes, output: Path) -> None:
    """Write a result to a file, as a whole or not at all. Raises Refusal when it cannot be written."""
    from coaxwright.reading.atomic import write_bytes_atomically

    try:
        write_bytes_atomically(output, data)
    except OSError as error:
        raise Refusal([Problem(str(output), f"cannot be written: {error.strerror or error}")]) from error


def deliver_folder(folder: Path, files: Mapping[str, str | bytes]) -> None:
    """Give several files to the user, in a folder of which `new_output_option` has asked already whether it may be written
    to; their names go to standard output. Raises Refusal when they cannot be written.
    """
    from coaxwright.reading.folders import write_folder

    write_folder(folder, files, replace=True)
    deliver("".join(f"{folder / name}\n" for name in files))


def _print(text: str) -> None:
    """Write in the encoding of the terminal; what it lacks becomes an escape."""
    wipe()
    stream: Any = sys.stdout
    if stream is None:
        raise Refusal([Problem("standard output", "is closed")])
    try:
        stream.flush()
        stream.buffer.write(text.encode(stream.encoding or "utf-8", "backslashreplace"))
        stream.buffer.flush()
    except BrokenPipeError:
        silence_stdout()
    except OSError as error:
        silence_stdout()
        raise Refusal([Problem("standard output", f"cannot be written: {error.strerror}")]) from error


def silence_stdout() -> None:
    """Send what is buffered for standard output nowhere, so that Python does not complain when it ends."""
    try:
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())
        os.close(nowhere)
    except (OSError, ValueError, AttributeError):
        return


def complain(text: str) -> None:
    """Say what is wrong on standard error, each line harmless to a terminal."""
    if sys.stderr is None:
        return
    wipe()
    try:
        for line in text.splitlines():
            sys.stderr.write(f"{visible(line)}\n")
    except OSError:
        return


@contextmanager
def warnings_told() -> Iterator[None]:
    """Within this block, what the engine warns of is said in plain words on standard error, each thing once."""
    from coaxwright.reading.kept import CacheWarning

    said: set[str] = set()

    def tell(message: Warning | str, category: type[Warning], *place: Any, **more: Any) -> None:
        if not issubclass(category, CacheWarning):
            before(message, category, *place, **more)
        elif str(message) not in said:
            said.add(str(message))
            complain(f"coaxwright: {message}")

    before = warnings.showwarning
    warnings.showwarning = tell
    try:
        yield
    finally:
        warnings.showwarning = before


def print_problems(refusal: Refusal) -> None:
    """Say all that a refusal holds, a line each."""
    for problem in refusal.problems:
        complain(visible(str(problem)))
