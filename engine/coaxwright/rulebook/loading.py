"""Loads the rulebook: from the cache where nothing has changed, else by checking every rule file anew."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from coaxwright.rulebook.cache import Kept, cache_key, read_cache, write_cache
from coaxwright.rulebook.library import Rulebook
from coaxwright.rulebook.rule_files import digest_of, find_rule_files, state_of_folders


def load_rulebook(extra: Sequence[Path] = (), *, use_cache: bool = True) -> Rulebook:
    """The program's rules and those of the folders in `extra`.

    Raises Refusal on any bad rule, or none at all.
    """
    state = state_of_folders(extra) if use_cache else None
    key = None if state is None else cache_key(state)
    kept = None if key is None else read_cache(key)
    if kept is None:
        kept = _checked(extra)
        if key is not None:
            write_cache(key, kept)
    return Rulebook(kept.records, kept.digest, extra)


def _checked(extra: Sequence[Path]) -> Kept:
    """Every rule file read and checked. Raises Refusal."""
    from coaxwright.rulebook.rule_checks import check_rule_files

    files = find_rule_files(extra)
    return Kept(check_rule_files(files), digest_of(files))
