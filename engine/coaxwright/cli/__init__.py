"""The command line: thin commands over the package. Nothing below imports this."""

from __future__ import annotations
