"""The command as a process: `coaxwright`, or `python -m coaxwright`.

Imports nothing by itself, so that an interruption while the command is still being loaded ends as quietly as a
later one.
"""

from __future__ import annotations

import gc
import os
import sys
from typing import NoReturn

_COLLECT_AFTER = 400_000
"""New objects before the cyclic collector looks for rings: more than starting up makes, less than a large site."""


def main() -> NoReturn:
    """Run the command line and end the process with its exit status."""
    try:
        gc.set_threshold(_COLLECT_AFTER)
        # No plug-in that happens to be installed has a say in what is read; none is looked for.
        os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
        from coaxwright.cli.main import run

        status = run()
    except BaseException as error:
        from coaxwright.interruptions import told_of_interruption

        if not told_of_interruption(error):
            raise
        status = 130
    _leave(status)


def _leave(status: int) -> NoReturn:
    """End at once: to take everything apart, object by object, takes longer than a small check."""
    try:
        sys.stdout.flush()
        sys.stderr.flush()
    except (OSError, ValueError, AttributeError):
        sys.exit(status)
    os._exit(status)


if __name__ == "__main__":
    main()
