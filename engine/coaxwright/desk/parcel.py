"""Many files as one run of bytes, laid out by a few lines of script: an index in JSON with names and lengths, then the files."""

from __future__ import annotations

import json
from collections.abc import Mapping

_HEAD = 4
"""Bytes of the length of the index, big end first."""


def packed(files: Mapping[str, bytes]) -> bytes:
    """The files, sorted by name: the same bytes for the same content."""
    names = sorted(files)
    index = json.dumps([[name, len(files[name])] for name in names], separators=(",", ":")).encode()
    return b"".join((len(index).to_bytes(_HEAD, "big"), index, *(files[name] for name in names)))


def unpacked(parcel: bytes) -> dict[str, bytes]:
    """What `packed` made of."""
    at = _HEAD + int.from_bytes(parcel[:_HEAD], "big")
    files = {}
    for name, length in json.loads(parcel[_HEAD:at]):
        files[name] = parcel[at : at + length]
        at += length
    return files
