"""A schedule from a spreadsheet laid over the open site, as one step that can be undone."""

from __future__ import annotations

import tempfile
from pathlib import Path

from coaxwright.desk.arriving import decoded
from coaxwright.errors import Problem, Refusal
from coaxwright.schedules.importing import imported, recognise, rest_of
from coaxwright.schedules.sources import schedule_sheets, told
from coaxwright.schedules.writing import changes
from coaxwright.workspace.project import Workspace
from coaxwright.workspace.site_text import value_of

ENDINGS = (".csv", ".txt", ".tsv", ".xlsx", ".xlsm", ".ods", ".xls")


def taken_in(work: Workspace, name: str, encoded: str) -> str:
    """Lay a schedule over the open site; returns how it was understood. Raises Refusal, and changes nothing, for one
    that cannot be read or would make a site that cannot be judged.
    """
    ending = Path(name).suffix.lower()
    if ending not in ENDINGS:
        raise Refusal([Problem(name, "is no spreadsheet", f"choose a file that ends in {', '.join(ENDINGS)}")])
    data = decoded(name, encoded)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / f"schedule{ending}"
        path.write_bytes(data)
        sheets = schedule_sheets(path)
        found = recognise(sheets, None)
        result = imported(found, rest_of(sheets), value_of(work.site), work.catalogue)
    operations = changes(work.site.document, result)
    if operations:
        work.site.patch(operations, f"{Path(name).name} imported")
    return told(found, result)
