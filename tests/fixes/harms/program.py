"""The program as a black box: its command line on files, in this process, and what its JSON says."""

from __future__ import annotations

import contextlib
import io
import json
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

import yaml

from coaxwright import checking
from coaxwright.checking import load_rulebook
from coaxwright.cli.main import run

Key = tuple[str, str]
LEVELS = ("note", "warning", "error")


class Refused(Exception):
    """The program could not check the file."""


class Crashed(Exception):
    """The program found a fault in itself."""


@dataclass
class Seen:
    """What `check --format json` says of a site: what fails (level, margin), what is open (level), the facts."""

    fails: dict[Key, tuple[str, float | None]]
    opens: dict[Key, str]
    waived: set[Key]
    facts: dict[str, dict[str, Any]]


@contextlib.contextmanager
def rules_read_once() -> Iterator[None]:
    """Calls within read the rule files once a process, not once a call."""
    load = checking.load_rulebook
    checking.load_rulebook = _known
    try:
        yield
    finally:
        checking.load_rulebook = load


@lru_cache
def _loaded(folders: tuple[Path, ...]) -> Any:
    return load_rulebook(folders)


def _known(folders: Any = ()) -> Any:
    return _loaded(tuple(folders))


def told(*words: str) -> dict[str, Any]:
    """What a call prints, read as JSON. Raises Refused where it ends with status 2."""
    out, err = (io.TextIOWrapper(io.BytesIO(), encoding="utf-8", write_through=True) for _ in range(2))
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        status = run([*words, "--format", "json"])
    if status not in (0, 1):
        said = err.buffer.getvalue().decode().strip()[:300]
        raise (Crashed if "fault in the program" in said else Refused)(said)
    data: dict[str, Any] = json.loads(out.buffer.getvalue())
    return data


def checked(file: Path) -> Seen:
    """A full check of a file."""
    (site,) = told("check", str(file))["sites"]
    seen = Seen({}, {}, set(), site["facts"])
    for each in site["findings"]:
        key = (each["rule"], each["subject"])
        if each["waived"]:
            seen.waived.add(key)
        elif each["kind"] == "open":
            seen.opens[key] = each["level"]
        elif not each["rule"].startswith("waiver/"):
            seen.fails[key] = (each["level"], each["margin"])
    return seen


def written(folder: Path, site: dict[str, Any], parts: dict[str, Any] | None = None) -> Path:
    """The site file in a folder, and its part file where that is given."""
    if parts is not None:
        text = yaml.safe_dump({"currency": "EUR", "parts": parts}, sort_keys=False, allow_unicode=True)
        (folder / "parts.yaml").write_text(text, encoding="utf-8")
    path = folder / "random.site.yaml"
    path.write_text(yaml.safe_dump(site, sort_keys=False, allow_unicode=True), encoding="utf-8")
    return path
