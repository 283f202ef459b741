"""Facts and rules made by hand: loading and judging are tested apart from reading and from physics."""

from __future__ import annotations

import textwrap
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from coaxwright.facts.sheets import SHEETS
from coaxwright.rulebook.library import LoadedRule
from coaxwright.rulebook.rule_checks import check_rule_files
from coaxwright.rulebook.rule_files import RuleFile


def make(kind: str, subject: str, /, **known: Any) -> Any:
    """A sheet with only these fields known."""
    cls = SHEETS[kind]
    found = cls.__new__(cls)
    found.subject = subject
    found.pointer = tuple(subject.split("/"))
    for name, value in known.items():
        setattr(found, name, value)
    return found


class Facts:
    """Sheets by kind, in the order given."""

    def __init__(self, *sheets: Any) -> None:
        self.sheets = sheets

    def by_kind(self, kind: str) -> Sequence[Any]:
        return [sheet for sheet in self.sheets if sheet.kind == kind]


HEAD = """\
title: A title
level: error
says: "{says}"
why: Because.
sources: [{{title: common practice}}]
since: "0.1"
"""


def rule_text(identifier: str = "power/sag", says: str = "it fails", **keys: str) -> str:
    """A rule file; each key is given as the YAML of its value."""
    lines = [f"id: {identifier}", HEAD.format(says=says).rstrip()]
    return "\n".join([*lines, *(f"{name}: {value}" for name, value in keys.items())]) + "\n"


def rule_file(text: str, name: str = "power/sag", cases: str | None = None) -> RuleFile:
    """A rule file at `rules/<name>.yaml`."""
    data = textwrap.dedent(text).encode()
    return RuleFile(
        Path(f"{name}.yaml"), f"rules/{name}.yaml", (name,), data, cases.encode() if cases else None
    )


def rule(**keys: str) -> LoadedRule:
    """A loaded rule `power/sag`; each key is given as the YAML of its value."""
    return LoadedRule(check_rule_files([rule_file(rule_text(**keys))])[0])


def feeds(volts: Mapping[str, float | None], least: float = 10.8) -> Facts:
    """A site with one camera and one feed for each name; None for volts that are not known."""
    site = make("site", "site", name="Reed Quay", video_rate=25)
    sheets: list[Any] = [site]
    for name, value in volts.items():
        camera = make("camera", f"cameras/{name}", name=name, volts_min=least, site=site)
        feed = make("feed", f"cameras/{name}", load=camera)
        if value is None:
            feed.lacks("volts_night", f"cameras/{name}/power/over/0/length")
        else:
            feed.volts_night = value
        sheets += [camera, feed]
    return Facts(*sheets)
