"""Which site files a call means."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from coaxwright.errors import Problem, Refusal


def site_files(sites: Sequence[Path]) -> tuple[list[Path], list[Problem]]:
    """The files that are meant, each once, folders searched; and what names no site."""
    from coaxwright.reading.files import find_sites

    files: dict[Path, None] = {}
    problems: list[Problem] = []
    for site in sites:
        try:
            files.update(dict.fromkeys(find_sites(site) if site.is_dir() else [site]))
        except Refusal as refusal:
            problems += refusal.problems
    return list(files), problems
