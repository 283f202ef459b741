"""Sites as Python callers have them: a path, a text, plain values, or a site that was read."""

from __future__ import annotations

import datetime
import json
import os
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any, TypeAlias

from coaxwright.checking import LoadedSite, Rulebook, load_rulebook
from coaxwright.errors import Problem, Refusal
from coaxwright.fixes.rejudging import SiteState, start
from coaxwright.reading.site_reader import load_site_text, read_site

AnySite: TypeAlias = LoadedSite | str | os.PathLike[str] | Mapping[str, Any]
"""A site: what `load_site` or `load_text` gave, the path of a site file, or a mapping of plain values."""

AnyRules: TypeAlias = Rulebook | Iterable[str | os.PathLike[str]]
"""What judges: a rulebook that was loaded, or folders of rules besides those of the program."""

FROM_VALUES = "values.site.yaml"


def load_site(path: str | os.PathLike[str]) -> LoadedSite:
    """Read a site file and the part files that it names (below its own folder).

    `path` is the file. Returns the site as read: `site` (the model), `file`, `document` (places), `catalogue`
    (parts). Reading once and judging often is the point: every function here takes it.

    Raises Refusal with every problem at file, line and column where it is no site, or cannot be read.
    """
    return read_site(path)


def load_text(
    site: str | Mapping[str, Any], *, name: str = "", folder: str | os.PathLike[str] = "."
) -> LoadedSite:
    """Read a site that is in memory: the text of a site file, or its plain values.

    `name` is what problems and findings call it (`text.site.yaml`, or `values.site.yaml` for values). `folder` is
    where its part files are looked for, and nothing outside it is read. Quantities in values are texts with units, as
    in a file: `{"length": "84 m"}`.

    Raises Refusal with every problem and its place in the text (for values: in the JSON of them, two spaces deep).
    """
    if isinstance(site, str):
        return load_site_text(site, name or "text.site.yaml", folder)
    return load_site_text(_as_text(site, name or FROM_VALUES), name or FROM_VALUES, folder)


def _as_text(value: Mapping[str, Any], name: str) -> str:
    """Plain values as JSON, which is YAML whose texts are all quoted. Raises Refusal for what is no plain value."""
    try:
        return json.dumps(value, indent=2, ensure_ascii=False, allow_nan=False, default=_plain)
    except (TypeError, ValueError, RecursionError) as error:
        right = "use dict, list, str, int, float, bool and dates only"
        raise Refusal([Problem(name, f"these values cannot be written as a site: {error}", right)]) from None


def _plain(value: object) -> object:
    """Dates as they are written, other mappings and paths as theirs; TypeError for the rest."""
    if isinstance(value, datetime.date) and not isinstance(value, datetime.datetime):
        return value.isoformat()
    if isinstance(value, Mapping):
        return dict(value)
    if isinstance(value, tuple):
        return list(value)
    if isinstance(value, os.PathLike):
        return os.fspath(value)
    raise TypeError(f"a {type(value).__name__} has no place in a site")


def site_of(site: AnySite) -> LoadedSite:
    """Whatever stands for a site, read. Raises Refusal; TypeError for something else altogether."""
    if isinstance(site, LoadedSite):
        return site
    if isinstance(site, Mapping):
        return load_text(site)
    if isinstance(site, str) and "\n" in site:
        right = "use load_text for the text of a site"
        raise Refusal([Problem("", "this is a text of several lines, and no path of a file", right)])
    return load_site(site)


def rules_of(rules: AnyRules) -> Rulebook:
    """What judges. Raises Refusal where a folder holds no rules, or wrong ones; TypeError for one path alone."""
    if isinstance(rules, Rulebook):
        return rules
    if isinstance(rules, str | os.PathLike):
        raise TypeError("rules takes a list of folders, as in rules=['our-rules']")
    return load_rulebook([Path(each) for each in rules])


def state_of(site: AnySite, rules: AnyRules, today: datetime.date | None) -> SiteState:
    """A site judged, ready for trials. Raises Refusal."""
    return start(site_of(site), rulebook=rules_of(rules), today=today)
