"""The knowledge behind a diagnosis, read from `rules/diagnosis` and type-checked: whatever names what is not there, or asks
for a fact in another unit, is refused at its file.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import lru_cache
from pathlib import Path
from typing import Any

from pydantic import BaseModel

from coaxwright.diagnosis.forms import (
    Cause,
    CauseFile,
    Measurement,
    MeasurementFile,
    Row,
    RowFile,
    Symptom,
    SymptomFile,
)
from coaxwright.errors import Problem, Refusal
from coaxwright.facts.sheets import Sheet
from coaxwright.immutable import immutable
from coaxwright.language.checked import Checked
from coaxwright.language.evaluating import evaluate
from coaxwright.language.types import Bool, Type
from coaxwright.language.typing_check import check_expression
from coaxwright.reading.suggest import did_you_mean
from coaxwright.reading.validation import validated
from coaxwright.reading.yaml_source import read_document
from coaxwright.resources import data_root
from coaxwright.rulebook.environment import rule_environment
from coaxwright.rulebook.scope import kind_scope

WORKS = "works"
"""The symptom that is none: it tells causes apart, and has none itself."""
_FOLDER = "rules/diagnosis"


@immutable
class Knowledge:
    """Everything that is known of symptoms and causes, each by its id."""

    symptoms: Mapping[str, Symptom]
    measurements: Mapping[str, Measurement]
    causes: Mapping[str, Cause]
    rows: tuple[Row, ...]

    def rows_of(self, cause: str) -> list[Row]:
        """Rows that name a cause."""
        return [row for row in self.rows if row.cause == cause]


@lru_cache(maxsize=1)
def load_knowledge() -> Knowledge:
    """All of it, read once. Raises Refusal with everything that is wrong."""
    known = Knowledge(
        _read(SymptomFile, "symptoms").symptoms,
        _read(MeasurementFile, "measurements").measurements,
        _read(CauseFile, "causes").causes,
        _read(RowFile, "rows").rows,
    )
    problems = list(_problems(known))
    if problems:
        raise Refusal(problems)
    return known


def _read(form: type[BaseModel], name: str) -> Any:
    path = Path(str(data_root("rules"))) / "diagnosis" / f"{name}.yaml"
    return validated(form, read_document(path, f"{_FOLDER}/{name}.yaml"))


def _problems(known: Knowledge) -> Iterator[Problem]:
    yield from _expression_problems(known)
    for cause_id, cause in known.causes.items():
        for name in cause.shows:
            yield from _named("causes", cause_id, name, known.measurements)
        if not cause.tries and not known.rows_of(cause_id):
            what = f"nothing tells what `{cause_id}` leads to"
            yield Problem(f"{_FOLDER}/causes.yaml", what, "try it by an edit, or give it a row")
    for row in known.rows:
        for name, there in ((row.symptom, known.symptoms), (row.cause, known.causes), (row.measure, known.measurements)):
            yield from _named("rows", f"{row.symptom}, {row.cause}", name, there)


def _named(file: str, place: str, name: str, there: Mapping[str, Any]) -> Iterator[Problem]:
    if name not in there:
        right = did_you_mean(name, there) or "name one that is there"
        yield Problem(f"{_FOLDER}/{file}.yaml", f"{place}: there is no `{name}`", right)


def _expression_problems(known: Knowledge) -> Iterator[Problem]:
    asked = [(file, each.about, each.when, Bool()) for file, group in (("symptoms", known.symptoms), ("causes", known.causes))
             for each in group.values() if each.when]  # fmt: skip
    asked += [("measurements", each.about, each.reads, None) for each in known.measurements.values() if each.reads]  # type: ignore[misc]
    for file, about, text, expect in asked:
        try:
            checked(text, about, expect)
        except Refusal as refusal:
            yield from (Problem(f"{_FOLDER}/{file}.yaml", f"`{text}`: {each.what}", each.right) for each in refusal.problems)


@lru_cache(maxsize=1024)
def checked(text: str, about: str, expect: Type | None = None) -> Checked:
    """An expression over one kind of sheet. Raises Refusal."""
    return check_expression(text, rule_environment(kind_scope(about), {}), expect)


def value_of(text: str, about: str, sheet: Sheet) -> bool | float | str | None:
    """What an expression comes to on a sheet; None where a fact is missing for it, or it has no value."""
    found = evaluate(checked(text, about, None), {kind_scope(about).subject: sheet})
    return found if isinstance(found, bool | int | float | str) else None
