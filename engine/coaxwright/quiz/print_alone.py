"""Whether a question prints what no table of a plan holds: limits of rules, and figures that the program knows from tables of
the trade. Who sits in an exam has the paper and nothing else.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import fields
from typing import Any

from coaxwright.facts.sheets import Sheet
from coaxwright.model.quantities import KINDS
from coaxwright.quiz import answers, spotting
from coaxwright.quiz.bank import Bank
from coaxwright.quiz.items import Item

_NAME = re.compile(r"\b[a-z_]+(?:\.[a-z_]+)+\b")
_FIGURE = re.compile(r"-?\d+(?:\.\d+)?")
_CODE = re.compile(r"\bIP(\d)(\d)")
"""IP codes: each digit counts by itself (IEC 60529)."""
_WORDS: Mapping[str, float] = {"half": 0.5, "two or more": 2.0, "twice": 2.0, "double": 2.0, "three times": 3.0, "one": 1.0}
_CLOSE = 0.006
"""Share by which a printed figure may be rounded."""

OF_TABLES: Mapping[str, tuple[str | float, ...]] = {
    "loss_limit": ("loss_limit",), "usual_limit": ("usual_limit",), "top_frequency": ("top_frequency",),
    "loss": ("top_frequency",), "reach": ("top_frequency", "loss_limit"), "density_wanted": ("density_wanted",),
    "distance_sharp": (0.49, 0.000291),
}  # fmt: skip
"""Facts that come from tables of the trade, by name: the facts or constants that have to be printed for each."""


def lacking(bank: Bank, item: Item) -> Iterator[str]:
    """What a question needs and does not print, in words."""
    printed = list(_figures(item))
    for rule, sheet in _judged(bank, item):
        for what, value, unit in _needed(bank, rule, sheet):
            if isinstance(value, int | float) and not _stands(float(value), unit, printed):
                yield f"{what} of {rule}, {value:g}, is not printed; add it under `given`"


def _judged(bank: Bank, item: Item) -> Iterator[tuple[str, Any]]:
    """Rules that a learner has to judge by, each with what it is judged on (None where that is not one thing)."""
    asked, form = item.posed.asked, item.posed.asked.pattern.form
    if form.kind == "spot-fault":
        texts = " ".join(option.answer.text for option in item.options)
        yield from (
            (proof.rule.id, proof.subject) for proof in item.posed.proofs if spotting.label(bank, proof) in texts
        )
        return
    searched = form.longest or form.least
    rules = [form.worlds.rule] if form.worlds else [form.rule] if form.rule else searched.rules if searched else ()
    sheet = answers.find(asked.plan.facts(), form.about, asked.subject) if rules else None
    yield from ((rule, sheet) for rule in rules)


def _needed(bank: Bank, rule: str, sheet: Sheet) -> Iterator[tuple[str, Any, str]]:
    """Limits of a rule and facts of tables that it reads: in words, value, base unit."""
    loaded = bank.rulebook.rule(rule)
    for name in dict.fromkeys(found[0] for found in _NAME.finditer(loaded.plain["require"])):
        root, *_, field = name.split(".")
        limit = loaded.limits[field] if root == "limit" else None
        if limit is not None:
            yield f"limit `{field}`", limit.value, str(limit.unit or "")
        else:
            yield from _wanted(sheet, field)


def _wanted(sheet: Sheet | None, field: str) -> Iterator[tuple[str, Any, str]]:
    """What has to be printed for a fact of tables: in words, its value, its base unit."""
    for each in OF_TABLES.get(field, ()):
        if isinstance(each, float):
            yield f"`{field}`", each, ""
        elif sheet is not None and each in (own := _units(sheet)):
            yield f"`{each}`", sheet.known(each), own[each]


def _units(sheet: Sheet) -> dict[str, str]:
    return {entry.name: entry.metadata["unit"] for entry in fields(sheet)}  # type: ignore[arg-type]


def _figures(item: Item) -> Iterator[float]:
    """Every figure on the paper: in the stem, the tables and what is given, words for numbers too."""
    cells = [cell for table in item.tables for row in table.rows for cell in row]
    texts = [item.posed.stem, *cells, *(value for _, value in item.given)]
    for text in texts:
        yield from (float(found) for found in _FIGURE.findall(text))
        yield from (float(digit) for code in _CODE.findall(text) for digit in code)
    said = " ".join([item.posed.stem, *(value for _, value in item.given)])
    yield from (value for word, value in _WORDS.items() if word in said)


def _stands(value: float, unit: str, printed: Iterable[float]) -> bool:
    """Whether a figure is printed, in any unit of its quantity; a plain one as a share of a hundred too."""
    units = [each for kind in KINDS.values() if unit and str(kind.base) == unit for each in kind.units.values()]
    scales = {1.0, *([] if unit else [100.0]), *(1.0 / float(each.scale) for each in units if each.scale)}
    return any(abs(value * scale - each) <= _CLOSE * abs(each) for each in printed for scale in scales)
