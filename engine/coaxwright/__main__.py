"""Runs the command line as `python -m coaxwright`."""

from __future__ import annotations

from coaxwright.cli.main import main

if __name__ == "__main__":
    main()
