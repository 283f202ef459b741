"""The sheets of a site as grids (W3C ARIA grid pattern): what is written, beside what is worked out from it.

A cell is known by the pointer of its value. Failing cells carry the level and the sentence of their gravest finding;
values that a judgement waits for say that they are not given.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from coaxwright.desk.views.figures_of import Out, worked_out
from coaxwright.desk.views.look import SHEETS, TEXT, Look
from coaxwright.desk.views.pieces import button, cell_id, head, survey_of
from coaxwright.findings import Finding
from coaxwright.fixes.patching import has_path, pointer, value_at
from coaxwright.reporting.page.survey import Survey, worst
from coaxwright.show.figures import count
from coaxwright.show.markup import Child, Markup, join, tag
from coaxwright.show.pieces import mark
from coaxwright.workspace.cells import Cell, Row, written
from coaxwright.workspace.columns import GROUPS, Column
from coaxwright.workspace.project import Workspace

_NUMBERS = ("length", "frame_rate", "volts", "count", "days", "hours", "amp_hours", "celsius", "fraction")
_NAMES = {"cameras": "camera", "recorders": "recorder", "supplies": "supply", "cables": "run", "disks": "disk",
          "places": "device", "site": "what"}  # fmt: skip
_KEYS = (
    ("← → ↑ ↓", "move"), ("Enter", "edit"), ("Esc", "put back"), ("Tab", "leave the grid"), ("F8", "next fault"),
    ("Ctrl+Z", "undo"), ("?", "all keys"),
)  # fmt: skip


def site(work: Workspace, look: Look) -> Markup:
    """The tabs and the sheet that is chosen."""
    acts = _acts(work, look.sheet)
    tabs = [_tab(work, name, words, look.sheet) for name, words in SHEETS.items()]
    panel = _text(work) if look.sheet == TEXT else _sheet(work, look.sheet)
    return tag(
        "div",
        head("h-site", "The site", *acts),
        tag("div", tabs, class_="sheets", role="tablist", aria_label="Sheets of the site"),
        tag("div", panel, role="tabpanel", id="panel", aria_labelledby=f"tab-{look.sheet}"),
    )


def _acts(work: Workspace, sheet: str) -> list[Child]:
    if sheet in GROUPS:
        kind = _NAMES[sheet]
        remove = button("remove", f"Remove this {kind}", class_="quiet-act", of_row=True) if work.rows(sheet) else None
        asks = (("limits-page", "How far can it move?"), ("figures", "Every figure")) if work.rows(sheet) else ()
        told = [button(do, words, class_="quiet-act", of_row=True, wait=words) for do, words in asks]
        return [button("add", f"Add a {kind}", group=sheet), remove, *told]
    if sheet == "disks":
        recorders = [row.name for row in work.rows("recorders")][:4]
        return [button("add", f"Add a disk to {name}", group="disks", recorder=name) for name in recorders]
    return []


def _tab(work: Workspace, name: str, words: str, chosen: str) -> Markup:
    number = f" {len(work.rows(name))}" if name not in (TEXT, "site") else ""
    on = name == chosen
    return tag(
        "button", f"{words}{number}", type="button", role="tab", id=f"tab-{name}", data_go=f"/site/{name}",
        aria_selected="true" if on else "false", aria_controls="panel", tabindex="0" if on else "-1",
    )  # fmt: skip


def _text(work: Workspace) -> Markup:
    """The file itself; every line of it may be edited."""
    note = "The file as it will be saved. Comments and layout are yours; the grid changes only what it has to."
    area = tag(
        "textarea", id="file-text", spellcheck="false", autocapitalize="off", autocomplete="off", wrap="off", rows="28",
        data_version=str(work.site.version), aria_describedby="text-note",
    )  # fmt: skip
    label = tag("label", f"{work.site.name} as text", for_="file-text")
    return tag("div", label, area, tag("p", note, class_="quiet", id="text-note"), class_="as-text")


def _sheet(work: Workspace, sheet: str) -> Markup:
    rows, survey = work.rows(sheet), survey_of(work)
    if not rows:
        return _empty(sheet)
    marks = _Marks(work, survey)
    out = worked_out(survey, sheet)
    columns = [cell.column for cell in rows[0].cells] if sheet != "site" else [Column("value", (), "text")]
    heads = [_heading(column) for column in columns] + [_out_heading(name) for name in out.names]
    first = tag("th", _NAMES[sheet], role="columnheader", scope="col")
    body = [_row(row, sheet, marks, out.rows.get(row.subject, ()), out.names) for row in rows]
    name = f"{SHEETS[sheet]}, {count(len(rows), 'row')}, {count(len(heads) + 1, 'column')}"
    table = tag(
        "table", tag("thead", tag("tr", first, heads, role="row")), tag("tbody", body),
        class_=f"grid {sheet}", role="grid", id="grid", data_sheet=sheet, aria_label=name, aria_describedby="keys",
    )  # fmt: skip
    keys = [join([tag("kbd", key), f" {words} "]) for key, words in _KEYS]
    return join([tag("div", table, class_="scroll", id="grid-frame"), tag("p", keys, class_="keys", id="keys")])


def _empty(sheet: str) -> Markup:
    if sheet == "cameras":
        words = "No cameras yet. Add one, or paste rows from a spreadsheet: name, part, input, cable, length."
    elif sheet == "disks":
        words = "No disks yet: add one to a recorder."
    else:
        words = f"No {SHEETS[sheet].lower()} yet."
    return tag("p", words, class_="nothing", id="grid", tabindex="0", data_sheet=sheet)


def _heading(column: Column) -> Markup:
    return tag("th", column.name, role="columnheader", scope="col")


def _out_heading(name: str) -> Markup:
    return tag("th", name, tag("span", "worked out", class_="quiet"), role="columnheader", scope="col")


class _Marks:
    """Which findings and which missing facts a cell has, and what it held when the file was saved."""

    def __init__(self, work: Workspace, survey: Survey | None) -> None:
        self.saved = work.site.saved_value
        self.survey = survey
        failed = [each for group in survey.groups for each in group] if survey is not None else []
        opened = [each for found in survey.open_by_device.values() for each in found] if survey is not None else []
        self.by_device: Mapping[str, list[Finding]] = survey.by_device if survey is not None else {}
        self.open_by_device: Mapping[str, list[Finding]] = survey.open_by_device if survey is not None else {}
        self.defaults = _defaults(work)
        self.missing = {f"/{path}" for each in opened for path in each.missing}
        self.failing: dict[str, list[Finding]] = {}
        for each in failed:
            self.failing.setdefault(each.pointer, []).append(each)

    def was(self, cell: Cell) -> str:
        """What a changed cell held in the saved file, in words; empty where it has not changed."""
        if cell.locked or len(cell.path) < 2 or not has_path(self.saved, cell.path[:2]):
            return ""
        old = written(value_at(self.saved, cell.path)) if has_path(self.saved, cell.path) else ""
        return "" if old == cell.text else f"was {old}" if old else "was empty"

    def anchor(self, subject: str) -> str:
        """The id that the drawing's links lead to."""
        return self.survey.anchor(subject) if self.survey is not None else f"row/{subject}"

    def of_row(self, row: Row) -> list[Finding]:
        """What failed on the row's subject, or below its place in the file."""
        if row.path[-1:] == (row.name,):
            return self.by_device.get(row.subject, [])
        place = pointer(row.path)
        return [
            each for key, found in self.failing.items() if key == place or key.startswith(f"{place}/") for each in found
        ]

    def of_cells(self, row: Row) -> dict[str, list[Finding]]:
        """Findings by the pointer of the cell that they are told at: their own, or the first one below theirs."""
        found: dict[str, list[Finding]] = {}
        places = [pointer(cell.path) for cell in row.cells]
        for finding in self.of_row(row):
            at = _told_at(finding, places, len(row.path)) if finding.level != "note" else ""
            if at:
                found.setdefault(at, []).append(finding)
        return found


def _defaults(work: Workspace) -> dict[str, str]:
    """What holds where a cell is empty, by its pointer: as the defaults of the file say it."""
    state = work.site.state
    if state is None or work.site.problems:
        return {}
    loaded, found = state.basis.loaded, {}
    for each in loaded.defaulted:
        there = tuple(each.where.split("/"))
        value = loaded.document.value
        found[pointer(each.path)] = written(value_at(value, there)) if has_path(value, there) else each.value
    return found


_OF_CABLES = ("cable/", "power/undervoltage", "power/collapse", "power/clad")


def _told_at(finding: Finding, places: Sequence[str], depth: int) -> str:
    """The cell of a row at which a finding is told: its own, or of a whole way the cable or the port; empty for none."""
    if finding.pointer in places:
        return finding.pointer
    below = [
        place for place in places if place.startswith(f"{finding.pointer}/") and depth < finding.pointer.count("/")
    ]
    cables = [place for place in below if place.endswith("/cable")] if finding.rule.startswith(_OF_CABLES) else []
    return next(iter(cables or below), "")


def _row(row: Row, sheet: str, marks: _Marks, out: Sequence[Out], names: Sequence[str]) -> Markup:
    found, told = marks.of_row(row), marks.of_cells(row)
    waiting = marks.open_by_device.get(row.subject, []) if sheet in GROUPS else []
    state = worst(found) or ("open" if waiting else "")
    place = pointer(row.path)
    words = ", ".join(filter(None, [_told(found), f"{len(waiting)} open" if waiting else ""]))
    header = tag(
        "th", mark(state) if state else None, row.name, tag("span", f", {words}", class_="ears") if words else None,
        role="rowheader", scope="row", tabindex="-1", id=cell_id(f"{place}#"), data_row=place,
        data_name=row.name if sheet in GROUPS else None, class_=state or None,
        data_find=_key(found or waiting),
    )  # fmt: skip
    cells = [_cell(row, cell, told.get(pointer(cell.path), ()), marks) for cell in row.cells]
    outs = [_out(row, place, name, each) for name, each in zip(names, out, strict=False)]
    anchor = marks.anchor(row.subject) if sheet in GROUPS else f"row{place}"
    return tag("tr", header, cells, outs, role="row", id=anchor)


def _told(found: Iterable[Finding]) -> str:
    levels = [each.level for each in found]
    return ", ".join(count(levels.count(level), level) for level in dict.fromkeys(levels))


def _key(found: Sequence[Finding]) -> str | None:
    return f"{found[0].rule} on {found[0].subject}" if found else None


def _cell(row: Row, cell: Cell, found: Sequence[Finding], marks: _Marks) -> Markup:
    place = pointer(cell.path)
    default = "" if cell.text or cell.locked else marks.defaults.get(place, "")
    gap = not cell.text and not default and place in marks.missing
    level = worst(found)
    was = marks.was(cell)
    classes = [
        "n" if cell.column.holds in _NUMBERS else "", "gap" if gap else "", f"bad {level}" if level else "",
        "out" if cell.locked else "", "was" if was else "",
        "default" if default else "",
    ]  # fmt: skip
    hint = f"default: {default}" if default else cell.column.hint
    why = tag("span", f" ({level}: {found[0].message})", class_="ears") if found else None
    shown: Child = cell.text or (tag("span", "not given") if gap else "")
    if default:
        shown = join([tag("i", default), " ", tag("small", "default")])
    elif cell.column.holds.startswith("part:"):
        shown = _broken(cell.text)
    return tag(
        "td", shown, tag("small", was) if was else None, why,
        role="gridcell", tabindex="-1", id=cell_id(place), data_path=place, data_holds=cell.column.holds,
        data_text=cell.text, data_label=cell.column.name, data_hint=hint or None,
        data_find=_key(found), aria_readonly="true" if cell.locked else None, title=cell.locked or None,
        class_=" ".join(filter(None, classes)) or None,
    )  # fmt: skip


def _broken(name: str) -> Child:
    """A part's name, which may be broken after its maker."""
    maker, slash, rest = name.partition("/")
    return join([maker + slash, tag("wbr"), rest]) if slash else name


def _out(row: Row, place: str, name: str, out: Out) -> Markup:
    small = tag("small", out.against) if out.against else None
    classes = f"n out bad {out.level}" if out.level else "n out"
    return tag(
        "td", tag("b", out.value), small, role="gridcell", tabindex="-1", aria_readonly="true", id=cell_id(f"{place}#{name}"),
        data_label=name, data_find=out.find or None, class_=classes,
    )  # fmt: skip
