"""Lines of sites from a saved report, in JSON or jsonl, one after the other."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from coaxwright.errors import Problem, Refusal, Span
from coaxwright.reading.json_text import json_value

_RIGHT = "name a report of `check --format jsonl` or json"


def saved_lines(path: Path) -> Iterator[Mapping[str, Any]]:
    """Every line of a report, read as it is asked for. Raises Refusal for what is none."""
    try:
        with path.open(encoding="utf-8") as stream:
            first = stream.readline()
            if _is_line(first):
                yield _line(path, first, 1)
                for number, text in enumerate(stream, 2):
                    yield _line(path, text, number)
                return
            whole = first + stream.read()
    except (OSError, UnicodeDecodeError) as error:
        said = error.strerror if isinstance(error, OSError) else "it is not UTF-8"
        raise Refusal([Problem(str(path), f"cannot be read: {said}", _RIGHT)]) from None
    yield from _of_report(path, json_value(whole, str(path), _RIGHT))


def _is_line(text: str) -> bool:
    try:
        value = json.loads(text)
    except ValueError:
        return False
    return isinstance(value, dict) and "sites" not in value


def _line(path: Path, text: str, number: int) -> Mapping[str, Any]:
    try:
        value = json.loads(text)
    except ValueError:
        value = None
    if not isinstance(value, dict) or not {"findings", "unread"} & value.keys():
        raise Refusal([Problem(str(path), "this line is none of a site", _RIGHT, Span(number, 1))])
    return value


def _of_report(path: Path, value: object) -> Iterator[Mapping[str, Any]]:
    if not isinstance(value, dict) or not isinstance(value.get("sites"), list) or not isinstance(value.get("tool"), dict):
        raise Refusal([Problem(str(path), "this is no report of findings", _RIGHT)])
    head = {"rulebook": value["tool"].get("rulebook"), "today": value.get("today")}
    for site in value["sites"]:
        yield {**head, **site}
    by_file: dict[str, list[Any]] = {}
    for problem in value.get("unread", []):
        by_file.setdefault(problem["file"], []).append(problem)
    for file, problems in by_file.items():
        yield {"file": file, "unread": problems}
