"""The texts that an editor has open, each with what is wrong in it: sites judged by the engine, other files read.

What is saved on disk does not matter; a text that is broken just now keeps the verdict of the last one that could be
judged, for completion, hover and hints.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

from lsprotocol import types

from coaxwright.checking import Rulebook
from coaxwright.editor.places import range_of
from coaxwright.errors import Problem, Refusal
from coaxwright.findings import Finding
from coaxwright.model.facts import OwnFactFile
from coaxwright.model.parts import PartFile
from coaxwright.model.rules import CaseFile, Rule, ShortRule
from coaxwright.quiz.forms import Pattern
from coaxwright.reading.validation import validated
from coaxwright.reading.yaml_source import Document, parse_document
from coaxwright.workspace.site_text import OpenSite

_SEVERITY = {
    "error": types.DiagnosticSeverity.Error, "warning": types.DiagnosticSeverity.Warning,
    "note": types.DiagnosticSeverity.Information,
}  # fmt: skip
_KINDS: tuple[tuple[str, Any, Callable[[dict[str, Any]], bool]], ...] = (
    ("parts", PartFile, lambda value: "parts" in value and "site" not in value),
    ("cases", CaseFile, lambda value: "cases" in value),
    ("facts", OwnFactFile, lambda value: "facts" in value and "kind" in value),
    ("pattern", Pattern, lambda value: "ask" in value),
    ("rule", Rule, lambda value: "require" in value and "why" in value),
    ("short-rule", ShortRule, lambda value: "require" in value),
)
"""Files that are no sites: their schema, their model, and how they are known."""


class OpenText:
    """One open text. `site` is there for a site file; `schema` names what it is, empty for what is not ours."""

    def __init__(self, path: Path, text: str, rulebook: Rulebook, today: datetime.date | None = None) -> None:
        self.path, self.text = path, text
        self.schema = "site" if path.name.endswith(".site.yaml") else ""
        self.site: OpenSite | None = None
        self._problems: tuple[Problem, ...] = ()
        if self.schema == "site":
            self.site = OpenSite(path.name, text.encode(), path.parent, rulebook, today)
        else:
            self._look()

    def change(self, text: str) -> None:
        """Take another text. Raises Refusal where it is too large."""
        self.text = text
        if self.site is not None:
            self.site.set_text(text)
        else:
            self._look()

    @property
    def document(self) -> Document | None:
        """The text as values with places; None where it cannot be read at all just now."""
        try:
            return parse_document(self.text, self.path.name)
        except Refusal:
            return None

    def _look(self) -> None:
        """Find what kind of file this is, and what is wrong with it."""
        try:
            document = parse_document(self.text, self.path.name)
            for name, model, is_it in _KINDS:
                if is_it(document.value):
                    self.schema = name
                    validated(model, document)
                    break
            self._problems = ()
        except Refusal as refusal:
            self._problems = refusal.problems if self.schema else ()

    def diagnostics(self) -> list[types.Diagnostic]:
        """All that is wrong: problems of reading, or else what the rules find."""
        problems = self._problems if self.site is None else self.site.problems
        if problems:
            return [self._problem(each) for each in problems if each.file == self.path.name] or self._elsewhere(problems)
        report = None if self.site is None else self.site.report
        return [] if report is None else [self._finding(each) for each in report.findings if each.waived is None]

    def _elsewhere(self, problems: Iterable[Problem]) -> list[types.Diagnostic]:
        """Problems of other files that this one names, told at its top."""
        return [self._told(range_of(self.text, None), str(each), types.DiagnosticSeverity.Error) for each in problems]

    def _problem(self, problem: Problem) -> types.Diagnostic:
        said = f"{problem.what}; {problem.right}" if problem.right else problem.what
        return self._told(range_of(self.text, problem.span), said, types.DiagnosticSeverity.Error)

    def _told(self, where: types.Range, said: str, severity: types.DiagnosticSeverity) -> types.Diagnostic:
        return types.Diagnostic(where, said, severity, source="coaxwright")

    def _finding(self, finding: Finding) -> types.Diagnostic:
        severity = types.DiagnosticSeverity.Information if finding.kind == "open" else _SEVERITY[finding.level]
        said = f"open: {finding.message}" if finding.kind == "open" else finding.message
        caution = f"\nCaution: {finding.caution}" if finding.caution else ""
        made = self._told(range_of(self.text, finding.span), f"{said}{caution}", severity)
        made.code = finding.rule
        made.data = {"rule": finding.rule, "subject": finding.subject}
        made.related_information = [
            types.DiagnosticRelatedInformation(
                types.Location(self.file_of(each.file).as_uri(), range_of(self.text_of(each.file), each.span)), each.message
            )
            for each in finding.related
        ]
        return made

    def file_of(self, shown: str) -> Path:
        """The file that is shown under a name."""
        return self.path if shown == self.path.name else (self.path.parent / shown).resolve()

    def text_of(self, shown: str) -> str:
        """The text of a file that is shown under a name; empty where it cannot be read."""
        if shown == self.path.name:
            return self.text
        try:
            return self.file_of(shown).read_text(encoding="utf-8")
        except (OSError, UnicodeError):
            return ""
