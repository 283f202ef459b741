"""Interruptions (Ctrl-C) that arrive as something else."""

from __future__ import annotations


def began_with_an_interruption(error: BaseException | None) -> bool:
    """Whether an interruption stands behind it. What comes while a class is being made Python 3.11 wraps, and
    pydantic turns into an error of its own, which keeps no more of it than its name.
    """
    while error is not None:
        if isinstance(error, KeyboardInterrupt) or (type(error).__name__ == "SchemaError" and "KeyboardInterrupt" in str(error)):
            return True
        error = error.__cause__ or error.__context__
    return False
