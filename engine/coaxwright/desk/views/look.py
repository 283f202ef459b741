"""What a page shows at the moment: which sheet, which finding is open, which subject is looked at."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from typing import Any

from coaxwright.immutable import immutable
from coaxwright.workspace.columns import ALL

TEXT = "text"
FILES = "files"
"""No sheet: the list of files of the folder."""
SHEETS = {
    "cameras": "Cameras", "recorders": "Recorders", "supplies": "Supplies", "cables": "Cables", "disks": "Disks",
    "places": "Places", "site": "Site", TEXT: "File as text",
}  # fmt: skip


@immutable
class Look:
    """One page's view of the site. `finding` is rule and subject of the open one; `changes`: what can be done about it is
    to be looked for; `text_version` is the version of the text that the page has; `have` are hashes of its fragments.
    """

    sheet: str = "cameras"
    finding: tuple[str, str] = ("", "")
    changes: bool = False
    text_version: int = -1
    have: Mapping[str, str] = field(default_factory=dict)


def look_of(view: Any) -> Look:
    """The look that a request states; whatever is no look is the first one."""
    if not isinstance(view, dict):
        return Look()
    sheet = view.get("sheet")
    finding = view.get("finding")
    pair = (
        finding
        if isinstance(finding, list) and len(finding) == 2 and all(isinstance(x, str) for x in finding)
        else ["", ""]
    )
    have = view.get("have")
    return Look(
        sheet if isinstance(sheet, str) and sheet in (*ALL, TEXT, FILES) else "cameras",
        (pair[0], pair[1]),
        view.get("changes") is True,
        view["text"] if isinstance(view.get("text"), int) else -1,
        {key: value for key, value in have.items() if isinstance(value, str)} if isinstance(have, dict) else {},
    )
