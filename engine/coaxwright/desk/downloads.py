"""Files that the page offers: the same bytes as the command line writes for the same site."""

from __future__ import annotations

import datetime
import io
import zipfile
from collections.abc import Callable, Mapping
from importlib.util import find_spec

from coaxwright import __version__
from coaxwright.checking import rule_infos
from coaxwright.desk.answers import Download
from coaxwright.errors import Refusal
from coaxwright.findings import Report, SiteReport
from coaxwright.fixes.rejudging import SiteState
from coaxwright.reading.files import SITE_SUFFIX
from coaxwright.workspace.project import Workspace

_XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
_FIRST_DAY = (1980, 1, 1, 0, 0, 0)
"""The time of every file of a pack: the same pack is the same bytes."""


def _stem(work: Workspace) -> str:
    return work.site.name.rpartition("/")[2].removesuffix(SITE_SUFFIX)


def _day(work: Workspace) -> datetime.date:
    return work.today or datetime.date.today()


def _judged(work: Workspace) -> tuple[SiteState, SiteReport]:
    """The site as it is. Raises Refusal where the text cannot be judged."""
    site = work.site
    if site.problems or site.state is None or site.report is None:
        raise Refusal(site.problems)
    return site.state, site.report


def _made(work: Workspace) -> Report:
    infos, day = rule_infos(work.rulebook), _day(work).isoformat()
    return Report(__version__, work.rulebook.digest, infos, (_judged(work)[1],), today=day)


def _report(work: Workspace) -> Download:
    """The report page, as `coaxwright report` writes it."""
    from coaxwright.reporting.formats import Setting
    from coaxwright.reporting.html import render

    return Download(f"{_stem(work)}.html", "text/html", render(_made(work), Setting()).encode())


def _customer(work: Workspace) -> Download:
    """The report in plain words, as `coaxwright report --for customer` writes it."""
    from coaxwright.handover.customer import customer_document
    from coaxwright.handover.plan import Plan
    from coaxwright.show.forms import rendered

    state, report = _judged(work)
    page = rendered(customer_document(Plan(state.basis.loaded, report), _day(work).isoformat()), "html")
    return Download(f"{_stem(work)}-customer.html", "text/html", page.encode())


def _compared(work: Workspace) -> Download:
    """The saved file against the site as it is, as `coaxwright compare` writes it."""
    from coaxwright.comparing.sites import compare
    from coaxwright.comparing.words import comparison_document
    from coaxwright.show.forms import rendered

    now = _judged(work)[0].basis.loaded
    found = compare(work.site.saved_state().basis.loaded, now, rulebook=work.rulebook, today=_day(work))
    page = rendered(comparison_document(found, "html"), "html")
    return Download(f"{_stem(work)}-changes.html", "text/html", page.encode())


def _pack(work: Workspace) -> Download:
    """The hand-over, as `coaxwright pack` writes its folder; without its workbook where none can be made."""
    from coaxwright.handover.pack import pack_files
    from coaxwright.handover.plan import Plan

    state, report = _judged(work)
    with_workbook = find_spec("openpyxl") is not None
    files = pack_files(Plan(state.basis.loaded, report), _made(work), workbook=with_workbook)
    return Download(f"{_stem(work)}-handover.zip", "application/zip", zipped(files))


def zipped(files: Mapping[str, bytes]) -> bytes:
    """Files by their names as one archive; the same bytes for the same files."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        for name, data in files.items():
            entry = zipfile.ZipInfo(name, _FIRST_DAY)
            entry.compress_type, entry.external_attr = zipfile.ZIP_DEFLATED, 0o644 << 16
            archive.writestr(entry, data)
    return out.getvalue()


def _schedule(work: Workspace) -> Download:
    """The site as a workbook."""
    from coaxwright.schedules.derived import derived_schedules
    from coaxwright.schedules.exporting import site_schedules
    from coaxwright.schedules.workbook import workbook_bytes

    state, _ = _judged(work)
    loaded = state.basis.loaded
    sheets = [*site_schedules(loaded.document.value), *derived_schedules(loaded, state.facts)]
    name = f"{_stem(work)}.xlsx"
    return Download(name, _XLSX, workbook_bytes(sheets, name))


def _file(work: Workspace) -> Download:
    """The text as it is, whatever it says."""
    return Download(f"{_stem(work)}{SITE_SUFFIX}", "application/yaml", work.site.data)


KINDS: dict[str, Callable[[Workspace], Download]] = {
    "report": _report, "customer": _customer, "compared": _compared, "pack": _pack, "schedule": _schedule, "file": _file,
}  # fmt: skip
"""By the name that stands in the menu's button. Each raises Refusal where the text as it is cannot be judged."""
