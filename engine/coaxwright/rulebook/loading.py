"""Loads the rulebook: from the cache where nothing has changed, else by checking every rule file anew."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from coaxwright.rulebook.cache import cache_key, read_cache, write_cache
from coaxwright.rulebook.library import Rulebook
from coaxwright.rulebook.rule_files import digest_of, find_rule_files, state_of


def load_rulebook(extra: Sequence[Path] = (), *, use_cache: bool = True) -> Rulebook:
    """The program's rules and those of the folders in `extra`.

    Raises Refusal on any bad rule, or none at all.
    """
    files = find_rule_files(extra)
    key = cache_key(state_of(files)) if use_cache else ""
    records = read_cache(key) if use_cache else None
    if records is None:
        from coaxwright.rulebook.rule_checks import check_rule_files

        records = check_rule_files(files)
        if use_cache:
            write_cache(key, records)
    return Rulebook(records, digest_of(files), extra)
