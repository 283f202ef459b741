"""Types of what commands hand to their helpers, named without loading them: `--help` must not pay for the engine.

The type checker reads `handed.pyi` in this file's place. Here every name is one empty class, as annotations are not
evaluated: what a command needs in order to run it imports in its function.
"""

from __future__ import annotations


class _Unloaded:
    """Stands for a type while a command runs."""


def __getattr__(name: str) -> type[_Unloaded]:
    if name.startswith("_"):
        raise AttributeError(name)
    return _Unloaded
