"""What was read for the line of a site: its text, and the part and price files that its patterns led to.

A line may be used again as long as all of that is the same. The patterns are kept too, since a file that is new may match.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Iterable
from pathlib import Path

from coaxwright.reading.files import Untrusted, confined_files
from coaxwright.reading.site_reader import LoadedSite


def text_digest(path: str | os.PathLike[str]) -> str:
    """SHA-256 of a file; empty where it cannot be read."""
    try:
        return hashlib.sha256(Path(path).read_bytes()).hexdigest()
    except OSError:
        return ""


def inputs_of(path: str, read: str, site: LoadedSite) -> str:
    """What was read for a site, as JSON on one line; `read` is the digest of its text."""
    patterns = [each for key in ("parts", "prices") for each in site.document.value.get(key) or ()]
    return json.dumps({"text": read, "patterns": patterns, "files": _digest(path, patterns)}, separators=(",", ":"))


def _digest(path: str, patterns: Iterable[str]) -> str:
    """One digest of all files that the patterns lead to, with their names."""
    root, found = os.path.dirname(path), hashlib.sha256()
    for pattern in patterns:
        for each in confined_files(root or ".", pattern):
            found.update(f"{each.name}\0{text_digest(each)}\0".encode("utf-8", "backslashreplace"))
    return found.hexdigest()


def is_same(path: str, inputs: str) -> bool:
    """Whether what would be read for a site now is what was read then. False for what says nothing."""
    try:
        kept = json.loads(inputs)
        text = text_digest(path)
        return bool(text and kept["text"] == text and kept["files"] == _digest(path, kept["patterns"]))
    except (ValueError, KeyError, TypeError, Untrusted):
        return False
