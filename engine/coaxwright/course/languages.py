"""Dates and numbers of exams as a country writes them; words stay as they are."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from functools import lru_cache
from pathlib import Path
from typing import Annotated, Any

from pydantic import Field

from coaxwright.errors import Problem, Refusal
from coaxwright.immutable import immutable
from coaxwright.model.common import Strict, Text
from coaxwright.quiz.printed import Question, Sheet
from coaxwright.quiz.tables import Table
from coaxwright.reading.suggest import did_you_mean_or_listed
from coaxwright.reading.validation import validated
from coaxwright.reading.yaml_source import read_document
from coaxwright.resources import data_root

FILE = "rules/course/languages.yaml"
_FRACTION = re.compile(r"(?<![\w.])(?<![A-Za-z]-)(\d+)\.(\d+)(?!\.?\d|\w)")
"""A number with a decimal point; no part of an address, of a version of three figures, or of a name as in `power-0.5mm2`."""
_NO_NUMBERS = ("firmware", "address", "model", "name")
"""Columns whose cells may look like numbers and are none."""


class LanguageForm(Strict):
    """How one language writes dates and fractions."""

    decimal: Text = Field(pattern="^[.,]$", description="The sign before a fraction.")
    date: Text = Field(description="A long date, with {day}, {month} and {year} in their places.")
    months: Annotated[tuple[Text, ...], Field(min_length=12, max_length=12)] = Field(
        description="The months as they stand in a date."
    )


class LanguageFile(Strict):
    """`languages.yaml`."""

    languages: Annotated[dict[Text, LanguageForm], Field(min_length=1)] = Field(
        description="By language tag (BCP 47), as in `de` or `en-US`."
    )


@lru_cache(maxsize=1)
def _read() -> Mapping[str, LanguageForm]:
    path = Path(str(data_root("rules"))) / "course" / "languages.yaml"
    found: LanguageFile = validated(LanguageFile, read_document(path, FILE))
    return found.languages


@immutable
class Language:
    """Writes dates and numbers of one language."""

    form: LanguageForm

    def day(self, day: date | str | None) -> str:
        """A long date, as in `1 December 2026`; empty for None or an empty text. ValueError for a text that is no ISO date."""
        if not day:
            return ""
        held = date.fromisoformat(day) if isinstance(day, str) else day
        return self.form.date.format(day=held.day, month=self.form.months[held.month - 1], year=held.year)

    def number(self, value: float | None, decimals: int) -> str:
        """A number with so many decimals, the minus sign a true one; empty for None."""
        if value is None:
            return ""
        shown = f"{abs(value):.{decimals}f}".replace(".", self.form.decimal)
        return f"\u2212{shown}" if value < 0 and float(f"{value:.{decimals}f}") else shown

    def text(self, words: str) -> str:
        """Words with the fractions in them as this language writes them."""
        return words if self.form.decimal == "." else _FRACTION.sub(rf"\1{self.form.decimal}\2", words)

    def data(self, value: object) -> Any:
        """Every text within JSON data likewise."""
        if isinstance(value, dict):
            return {key: self.data(each) for key, each in value.items()}
        if isinstance(value, list):
            return [self.data(each) for each in value]
        return self.text(value) if isinstance(value, str) else value

    def sheet(self, sheet: Sheet) -> Sheet:
        """A paper likewise; its foot line stays, since the paper is made again from it."""
        return replace(sheet, questions=tuple(self._question(each) for each in sheet.questions))

    def _question(self, question: Question) -> Question:
        return replace(
            question, intro=self.text(question.intro), stem=self.text(question.stem),
            tables=tuple(self._table(each) for each in question.tables),
            given=tuple((what, self.text(value)) for what, value in question.given),
            lines=tuple((start, end, self.text(over)) for start, end, over in question.lines),
            options=tuple((letter, self.text(words)) for letter, words in question.options),
        )  # fmt: skip

    def _table(self, table: Table) -> Table:
        kept = [any(word in head for word in _NO_NUMBERS) for head in table.heads]
        rows = tuple(
            tuple(cell if same else self.text(cell) for cell, same in zip(row, kept, strict=True)) for row in table.rows
        )
        return replace(table, rows=rows)


def language_of(tag: str) -> Language:
    """The language of a tag, as in `de`. Raises Refusal for one that is not in the table."""
    known = _read()
    if tag not in known:
        raise Refusal([Problem("language", f"`{tag}` is not known", did_you_mean_or_listed(tag, known))])
    return Language(known[tag])
