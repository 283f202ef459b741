"""`coaxwright check --watch`: sites are judged again as soon as a file changes that they were read from."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from pathlib import Path

from coaxwright.cli.exits import INTERRUPTED, UNCHECKED
from coaxwright.cli.output import complain, print_problems
from coaxwright.cli.sites import site_files
from coaxwright.errors import Refusal
from coaxwright.estate.watching import Changes, State, folder_state

LEAST_PAUSE = 0.3
"""Seconds between two looks; of many sites five times what a look takes."""
Told = Callable[[list[Path]], object]

pause = time.sleep


def watch(sites: Sequence[Path], rules: Sequence[Path], tell: Told) -> int:
    """Have `tell` judge and show all sites, then those that changed, until interrupted; that is no fault and says nothing."""
    files, problems = site_files(sites)
    if not files:
        print_problems(Refusal(problems))
        return UNCHECKED
    changes, seen = Changes(), folder_state(rules)
    complain(f"coaxwright: watching {len(files)} sites; an interruption (Ctrl-C) ends it")
    try:
        _judge(files, changes, tell)
        while True:
            start = time.monotonic()
            seen = _look(sites, rules, changes, seen, tell)
            pause(max(LEAST_PAUSE, 5 * (time.monotonic() - start)))
    except KeyboardInterrupt:
        return INTERRUPTED


def _look(sites: Sequence[Path], rules: Sequence[Path], changes: Changes, seen: State, tell: Told) -> State:
    """Judge what changed since the last look; the state of the rules now."""
    files, _ = site_files(sites)
    files = [each for each in files if each.exists()]
    for each in changes.gone(files):
        complain(f"coaxwright: {each} is gone")
    now = folder_state(rules)
    changed = files if now != seen else changes.changed(files)
    if changed:
        complain(f"coaxwright: {time.strftime('%H:%M:%S')} changed: {_named(changed) if now == seen else 'the rules'}")
        _judge(changed, changes, tell)
    return now


def _named(files: Sequence[Path]) -> str:
    more = f" and {len(files) - 3} more" if len(files) > 3 else ""
    return ", ".join(map(str, files[:3])) + more


def _judge(files: list[Path], changes: Changes, tell: Told) -> None:
    """Rules that cannot be used are told of; they may be mended meanwhile."""
    for each in files:
        changes.read(each, _patterns(each))
    try:
        tell(files)
    except Refusal as refusal:
        print_problems(refusal)


def _patterns(site: Path) -> list[str] | None:
    """What leads to the part and price files of a site; None where its text cannot be read."""
    from coaxwright.reading.yaml_source import read_document

    try:
        value = read_document(site).value
    except Refusal:
        return None
    listed = (value.get(key) for key in ("parts", "prices"))
    return [each for some in listed if isinstance(some, list) for each in some if isinstance(each, str)]
