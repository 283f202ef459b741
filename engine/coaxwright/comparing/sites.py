"""Compares two sites: the one entry for the command and for Python callers."""

from __future__ import annotations

import datetime
from pathlib import Path

from coaxwright.checking import SiteFacts, check, facts_of, load_rulebook, load_site
from coaxwright.comparing.judged import finding_changes
from coaxwright.comparing.records import Comparison
from coaxwright.comparing.renaming import Names, renamed_entries
from coaxwright.comparing.things import device_changes, entry_changes, quantity_changes, run_changes
from coaxwright.comparing.values import fact_differences, setting_changes
from coaxwright.facts.binding import Facts
from coaxwright.findings import SiteReport
from coaxwright.immutable import immutable
from coaxwright.reading.site_reader import LoadedSite
from coaxwright.rulebook.library import Rulebook
from coaxwright.rulebook.settings import day_of_today
from coaxwright.schedules.runs import Line, Quantities, lines_of, quantities


@immutable
class _Side:
    loaded: LoadedSite
    report: SiteReport
    facts: Facts
    lines: list[Line]
    quantities: Quantities


def compare(
    old: LoadedSite | str | Path, new: LoadedSite | str | Path, *, rulebook: Rulebook | None = None,
    today: datetime.date | None = None,
) -> Comparison:  # fmt: skip
    """What differs from `old` to `new`, both judged by one rulebook (the program's own otherwise) on one day (today).

    Quantities are in pieces and metres, facts in base units. Raises Refusal when either cannot be checked.
    """
    rules, day = rulebook or load_rulebook(), today or day_of_today()
    before, after = (_side(each, rules, day) for each in (old, new))
    renamed = renamed_entries(before.loaded.site, after.loaded.site)
    names = Names(renamed)
    return Comparison(
        before.report, after.report, renamed,
        tuple(device_changes(before.loaded, after.loaded, names)),
        tuple(quantity_changes(before.quantities, after.quantities)),
        tuple(entry_changes(before.loaded, after.loaded)),
        tuple(run_changes(before.lines, after.lines, names)),
        tuple(setting_changes(before.loaded, after.loaded, names)),
        tuple(fact_differences(before.facts, after.facts, names)),
        **finding_changes(
            before.report.findings, after.report.findings, names, (before.facts.subjects(), after.facts.subjects())
        ),
    )  # fmt: skip


def _side(given: LoadedSite | str | Path, rulebook: Rulebook, day: datetime.date) -> _Side:
    loaded = given if isinstance(given, LoadedSite) else load_site(given)
    report = check(loaded, rulebook=rulebook, today=day)
    facts = report.facts.sheets if isinstance(report.facts, SiteFacts) else facts_of(loaded, rulebook)
    lines = lines_of(loaded.site, facts.context.topology.lists)
    return _Side(loaded, report, facts, lines, quantities(loaded.site, lines, loaded.catalogue))
