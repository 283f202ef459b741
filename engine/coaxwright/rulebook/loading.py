"""Loads the rulebook: from the cache where nothing has changed, else as it came with the wheel where that fits the rules
by content, else by checking every rule file anew.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from coaxwright.rulebook.cache import Kept, as_kept, cache_key, content_key, read_cache, shipped_cache, write_cache
from coaxwright.rulebook.library import Rulebook
from coaxwright.rulebook.rule_files import RuleFile, find_rule_files, state_of_folders


def load_rulebook(extra: Sequence[Path] = (), *, use_cache: bool = True) -> Rulebook:
    """The program's rules and those of the folders in `extra`.

    Raises Refusal on any bad rule, or none at all.
    """
    state = state_of_folders(extra) if use_cache else None
    key = None if state is None else cache_key(state)
    kept = None if key is None else read_cache(key)
    if kept is None:
        files = find_rule_files(extra)
        kept = _shipped(files) if use_cache and not extra else None
        kept = kept or checked_files(files)
        if key is not None:
            write_cache(key, kept)
    return Rulebook(kept.records, kept.digest, extra, kept.own) if extra else _made_before(kept)


_MADE: list[tuple[bytes, Rulebook]] = []
"""The program's own rules as this process has them already, with the bytes that they were made from."""


def _made_before(kept: Kept) -> Rulebook:
    """The rulebook of these very bytes, where this process has made it: what it has compiled so far is not compiled again.

    That is four fifths of a second check of a small site. The bytes are read and compared every time, so that rules,
    or a cache, that changed meanwhile are seen.
    """
    for body, made in _MADE:
        if body == kept.body:
            return made
    _MADE[:] = [(kept.body, Rulebook(kept.records, kept.digest))]
    return _MADE[0][1]


def _shipped(files: Sequence[RuleFile]) -> Kept | None:
    return shipped_cache(shipped_key(files))


def shipped_key(files: Sequence[RuleFile]) -> str:
    """What the checked form of these files is made from: rules and cases, by content."""
    return content_key(pair for file in files for pair in ((file.name, file.data), (file.cases_name, file.cases or b"")))


def checked_files(files: Sequence[RuleFile]) -> Kept:
    """Every rule file checked, and every file of facts that users add. Raises Refusal."""
    from coaxwright.rulebook.rule_checks import check_folders

    return as_kept(*check_folders(files))
