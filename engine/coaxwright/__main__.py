"""The command as a process: `coaxwright`, or `python -m coaxwright`.

Imports nothing by itself, so that an interruption while the command is still being loaded ends as quietly as a
later one.
"""

from __future__ import annotations

import sys
from typing import NoReturn


def main() -> NoReturn:
    """Run the command line and end the process with its exit status."""
    try:
        from coaxwright.cli.main import run

        status = run()
    except KeyboardInterrupt:
        sys.stderr.write("coaxwright: interrupted\n")
        status = 130
    sys.exit(status)


if __name__ == "__main__":
    main()
