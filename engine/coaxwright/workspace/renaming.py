"""Giving an entry another name: its key, and every port word and waiver that means it, in place."""

from __future__ import annotations

import re
from collections.abc import Iterator

from coaxwright.errors import Problem, Refusal
from coaxwright.fixes.yaml_text import flow
from coaxwright.model.quantities import quoted
from coaxwright.reading.yaml_source import Document
from coaxwright.workspace.columns import Steps

_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9_.-]{0,63}")
_PORTS = ("into", "from", "recorder", "box")


def renamed(document: Document, group: str, name: str, to: str) -> str:
    """The text with an entry under another name. Raises Refusal for a name that is none, or is taken, and
    where there is no such entry.
    """
    if not _NAME.fullmatch(to):
        raise Refusal([Problem(document.file, f"{quoted(to)} is no name", "use letters, digits, `-`, `_` and `.`")])
    if name not in (document.value.get(group) or {}):
        raise Refusal(
            [Problem(document.file, f"there is no {quoted(name)} under `{group}`", "look at the sheet again")]
        )
    if to in (document.value.get(group) or {}):
        raise Refusal([Problem(document.file, f"there is a `{to}` already", "choose another name")])
    spans = [(document.key_span((group, name)), flow(to))]
    for path, text in _words(document.value, ()):
        if group != "cameras" and path[-1] in _PORTS and (text == name or text.startswith(f"{name}/")):
            spans.append((document.span(path), flow(to + text[len(name) :])))
        elif path[0] == "waivers" and path[-1] == "on" and (text + "/").startswith(f"{group}/{name}/"):
            spans.append((document.span(path), flow(f"{group}/{to}" + text[len(group) + 1 + len(name) :])))
    text = document.text
    for span, new in sorted(spans, key=lambda each: -each[0].start):
        text = text[: span.start] + new + text[span.end :]
    return text


def _words(value: object, path: Steps) -> Iterator[tuple[Steps, str]]:
    """Every text of a value with its path."""
    if isinstance(value, str):
        yield path, value
    elif isinstance(value, dict):
        for key, each in value.items():
            yield from _words(each, (*path, key))
    elif isinstance(value, list):
        for place, each in enumerate(value):
            yield from _words(each, (*path, place))
