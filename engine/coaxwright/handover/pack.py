"""The whole pack: its sheets in order, and the files that hold them. Makes texts and bytes; `writing` puts them down."""

from __future__ import annotations

from coaxwright.findings import Finding, Report
from coaxwright.handover import bill, cables, commissioning, patching, upkeep
from coaxwright.handover.plan import Plan
from coaxwright.handover.sheets import Sheet, section
from coaxwright.reporting import ordering
from coaxwright.reporting.formats import Setting
from coaxwright.reporting.html import render as report_page
from coaxwright.schedules.workbook import csv_of, file_name, workbook_bytes
from coaxwright.show.figures import count
from coaxwright.show.forms import rendered
from coaxwright.show.tree import Block, Caution, Document, Paragraph, Section, Words

PAGE, WORKBOOK, REPORT = "pack.html", "pack.xlsx", "report.html"


def sheets_of(plan: Plan) -> list[Sheet]:
    """All sheets in the order in which a job needs them."""
    return [
        *cables.cable_sheets(plan), cables.pull_list(plan), cables.label_sheet(plan), patching.patch_list(plan),
        patching.output_list(plan), patching.address_list(plan), bill.bill_sheet(plan, bill.bill_of(plan)),
        commissioning.commissioning_sheet(plan), upkeep.survey_sheet(plan), upkeep.upkeep_sheet(plan),
    ]  # fmt: skip


def pack_files(plan: Plan, report: Report, version: str = "", *, workbook: bool = True) -> dict[str, bytes]:
    """Every file of the pack by its path below the folder. `version` is what the plan is called on every sheet; without
    `workbook` its sheets are the CSV files alone.
    """
    made = sheets_of(plan)
    files = {PAGE: rendered(pack_document(plan, made, version, report.today), "html").encode()}
    if workbook:
        files[WORKBOOK] = workbook_bytes([each.schedule() for each in made], WORKBOOK)
    for each in made:
        files[f"csv/{file_name(each.name)}"] = csv_of(each.schedule()).encode()
    files[REPORT] = report_page(report, Setting(exit_status=0)).encode()
    return files


def pack_document(plan: Plan, sheets: list[Sheet], version: str, today: str) -> Document:
    """The printable page."""
    name = plan.loaded.site.site
    marks = ", ".join(each for each in (version, today) if each)
    blocks: list[Block] = [*_opening(plan), *(_on_paper(plan, each) for each in sheets)]
    return Document(f"{name}: hand-over", tuple(blocks), _verdict(plan), (("plan", plan.loaded.file), ("version", marks)),
                    paper="form", foot=f"{name} · hand-over · {marks}")  # fmt: skip


def _verdict(plan: Plan) -> Words:
    summary = plan.report.summary
    if summary.error or summary.fault:
        return f"Not ready to build: the plan has {count(summary.error, 'error')}. These sheets show it as it is drawn."
    if summary.open:
        return f"No error, and {count(summary.open, 'question')} still open: what is missing here is missing in the plan."
    return "The plan holds under the rules; every sheet follows from it."


def _opening(plan: Plan) -> list[Block]:
    """What has to be known before anybody takes a sheet."""
    errors = [each for each in plan.report.findings if each.level == "error" and each.kind == "fail" and not each.waived]
    errors = [each for group in ordering.by_rule(errors) for each in group]
    told: list[Block] = [Paragraph(_said(each), "error") for each in errors[:_TOLD]]
    left = len(errors) - len(told)
    told += [Paragraph(f"And {left} more: see the report.")] if left > 0 else []
    caution = Caution(
        "Needs review by the designer and, for mains, earthing and lightning, by a licensed electrician under the local "
        "code. These sheets do not replace the makers' instructions."
    )
    return [*([Section("Errors of the plan", tuple(told))] if told else []), caution]


def _said(error: Finding) -> str:
    """An error with what it is about, where its sentence does not begin with that."""
    return error.message if error.message.startswith(error.subject) else f"{error.subject}: {error.message}"


_TOLD = 12


_FOLLOWING = ("Cables signal", "Cables power", "Supply outputs", "Device addresses")
"""Sheets that begin no page of their own: they are read with the one before."""


def _on_paper(plan: Plan, sheet: Sheet) -> Section:
    if sheet.name == "Labels":
        return _label_section(sheet)
    if sheet.name == commissioning.NAME:
        return section(sheet, commissioning.paper_tables(plan))
    return section(sheet, anew=sheet.name not in _FOLLOWING)


def _label_section(sheet: Sheet) -> Section:
    pages = cables.label_pages(sheet)
    if not pages:
        return Section(sheet.name, (Paragraph(sheet.empty),), sheet=True)
    says = Paragraph(
        "Labels of 45 × 20 mm, two for each cable: one for this end, one for the far end. Cut along the lines. Print at "
        "100 %: four of them side by side are 180 mm wide."
    )
    first = Section(f"Labels, sheet 1 of {len(pages)}", (says, pages[0]))
    rest = [
        Section(f"Labels, sheet {place} of {len(pages)}", (page,), sheet=True) for place, page in enumerate(pages[1:], 2)
    ]
    return Section("Labels", (first, *rest), sheet=True)
