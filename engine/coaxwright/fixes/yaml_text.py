"""Plain values as YAML text in the style of site files: short things on one line, in braces and brackets.

Whatever is written here reads back as the same value by the program's own reader; text that would read as
something else is quoted. Not here: where in a file it goes (`yaml_edits`).
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator

from coaxwright.reading.yaml_scalars import ScalarRefusal, resolve

WIDTH = 110
_PLAIN = re.compile(r"[^\W_][\w./@+°²³µΩ%()' -]*", re.UNICODE)


def flow(value: object) -> str:
    """A value on one line."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{flow(key)}: {flow(each)}" for key, each in value.items()) + "}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(flow(each) for each in value) + "]"
    if isinstance(value, str):
        return value if _reads_back(value) else json.dumps(value, ensure_ascii=False)
    return json.dumps(value)


def _reads_back(text: str) -> bool:
    """Whether unquoted text is read as this very text."""
    if not _PLAIN.fullmatch(text) or text != text.strip() or " #" in text:
        return False
    try:
        return resolve(text) == text
    except ScalarRefusal:
        return False


def entry(key: str, value: object, indent: str) -> Iterator[str]:
    """The lines of one entry of a block group; what is too long for one line goes over several."""
    line = f"{indent}{flow(key)}: {flow(value)}"
    below = indent + "  "
    if len(line) <= WIDTH and not _is_group(value):
        yield line
    elif isinstance(value, dict) and value:
        yield f"{indent}{flow(key)}:"
        for name, each in value.items():
            yield from entry(name, each, below)
    elif isinstance(value, list) and value:
        yield f"{indent}{flow(key)}:"
        for each in value:
            yield f"{below}- {flow(each)}"
    else:
        yield line


def _is_group(value: object) -> bool:
    """A group of entries, each of which is better read on a line of its own."""
    return isinstance(value, dict) and bool(value) and all(isinstance(each, dict) and each for each in value.values())
