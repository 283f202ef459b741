"""How a fact came about: formula, inputs with units, result and sources, made only for what is shown.

A declared fact (`rules/facts`) is shown from its own declaration. For what is computed in Python every topic has a table
from (kind of sheet, field) to a function; here they are joined. Numbers in
a working are printed so that the reader can compute them again from the same line.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from typing import Any

from coaxwright.facts.context import Context
from coaxwright.facts.declared.book import book_of
from coaxwright.facts.declared.working import lines
from coaxwright.facts.network.lines_working import LINE_WORKINGS
from coaxwright.facts.picture.picture_working import PICTURE_WORKINGS
from coaxwright.facts.place.cabinets_working import CABINET_WORKINGS
from coaxwright.facts.place.copper_working import COPPER_WORKINGS
from coaxwright.facts.place.display_working import DISPLAY_WORKINGS
from coaxwright.facts.place.view_working import VIEW_WORKINGS
from coaxwright.facts.power.backup_working import BACKUP_WORKINGS
from coaxwright.facts.power.evening_working import EVENING_WORKINGS
from coaxwright.facts.power.power_working import POWER_WORKINGS
from coaxwright.facts.power.standby_working import STANDBY_WORKINGS
from coaxwright.facts.record.record_working import RECORD_WORKINGS
from coaxwright.facts.record.upkeep_working import UPKEEP_WORKINGS
from coaxwright.facts.sheets import Sheet
from coaxwright.facts.site_counting import SITE_WORKINGS

Explain = Callable[[Context, Any], tuple[str, ...]]
_TABLES: tuple[Mapping[tuple[str, str], Explain], ...] = (
    POWER_WORKINGS,
    BACKUP_WORKINGS,
    EVENING_WORKINGS,
    STANDBY_WORKINGS,
    COPPER_WORKINGS,
    CABINET_WORKINGS,
    DISPLAY_WORKINGS,
    PICTURE_WORKINGS,
    RECORD_WORKINGS,
    UPKEEP_WORKINGS,
    SITE_WORKINGS,
    VIEW_WORKINGS,
    LINE_WORKINGS,
)


def working(context: Context, sheet: Sheet, field: str) -> tuple[str, ...]:
    """Lines of working of one field; what would have to be supplied where it is not known.

    Empty for a field that was simply read from the site or a part.
    """
    if sheet.known(field) is None:
        return (f"not known; supply {', '.join(sheet.missing(field))}",)
    for book in (book_of(sheet.kind), sheet.own_book):
        declared = book and book.get(field)
        if book and declared:
            return lines(book, declared, sheet, context.ledger.values, partial(working, context))
    for table in _TABLES:
        explain = table.get((sheet.kind, field))
        if explain is not None:
            return explain(context, sheet)
    return ()
