"""Interruptions (Ctrl-C) that arrive as something else."""

from __future__ import annotations

import sys


def told_of_interruption(error: BaseException) -> bool:
    """Say that the command was interrupted where that is what happened, and tell whether it is."""
    if not _began_with_an_interruption(error):
        return False
    if sys.stderr is not None:
        sys.stderr.write("coaxwright: interrupted\n")
    return True


def _began_with_an_interruption(error: BaseException | None) -> bool:
    """Whether an interruption stands behind it. What comes while a class is being made Python 3.11 wraps, and
    pydantic turns into an error of its own, which keeps no more of it than its name.
    """
    while error is not None:
        if isinstance(error, KeyboardInterrupt) or (type(error).__name__ == "SchemaError" and "KeyboardInterrupt" in str(error)):
            return True
        error = error.__cause__ or error.__context__
    return False
