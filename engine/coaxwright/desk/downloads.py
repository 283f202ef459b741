"""Files that the page offers: the same bytes as the command line writes for the same site."""

from __future__ import annotations

import datetime
from collections.abc import Callable

from coaxwright import __version__
from coaxwright.checking import rule_infos
from coaxwright.desk.answers import Download
from coaxwright.errors import Refusal
from coaxwright.findings import Report
from coaxwright.reading.files import SITE_SUFFIX
from coaxwright.workspace.project import Workspace


def _stem(work: Workspace) -> str:
    return work.site.name.rpartition("/")[2].removesuffix(SITE_SUFFIX)


def _report(work: Workspace) -> Download:
    """The report page. Raises Refusal where the text as it is cannot be judged."""
    from coaxwright.reporting.formats import Setting
    from coaxwright.reporting.html import render

    site = work.site
    if site.problems or site.report is None:
        raise Refusal(site.problems)
    day = (work.today or datetime.date.today()).isoformat()
    report = Report(__version__, work.rulebook.digest, rule_infos(work.rulebook), (site.report,), today=day)
    return Download(f"{_stem(work)}.html", "text/html", render(report, Setting()).encode())


def _schedule(work: Workspace) -> Download:
    """The site as a workbook. Raises Refusal where the text as it is cannot be judged."""
    from coaxwright.schedules.derived import derived_schedules
    from coaxwright.schedules.exporting import site_schedules
    from coaxwright.schedules.workbook import workbook_bytes

    site = work.site
    if site.problems or site.state is None:
        raise Refusal(site.problems)
    loaded = site.state.basis.loaded
    sheets = [*site_schedules(loaded.document.value), *derived_schedules(loaded, site.state.facts)]
    name = f"{_stem(work)}.xlsx"
    kind = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
    return Download(name, kind, workbook_bytes(sheets, name))


def _file(work: Workspace) -> Download:
    """The text as it is, whatever it says."""
    return Download(f"{_stem(work)}{SITE_SUFFIX}", "application/yaml", work.site.data)


KINDS: dict[str, Callable[[Workspace], Download]] = {"report": _report, "schedule": _schedule, "file": _file}
