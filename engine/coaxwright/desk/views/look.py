"""What a page shows at the moment: which sheet, which finding is open, which subject is looked at."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field

from coaxwright.immutable import immutable
from coaxwright.workspace.columns import ALL

TEXT = "text"
FIRST = "/site/cameras"
"""The address of a page that was just opened."""
FILES = "files"
"""No sheet: the list of files of the folder."""
SHEETS = {
    "cameras": "Cameras", "recorders": "Recorders", "supplies": "Supplies", "cables": "Cables", "disks": "Disks",
    "places": "Places", "site": "Site", TEXT: "File as text",
}  # fmt: skip
_LONGEST = 8000
"""Letters of an address: a pasted list of the counter stands in one."""


@immutable
class Look:
    """One page's view of the site. `at` is its address; `finding` is rule and subject of the open one; `text_version` is
    the version of the text that the page has; `reading`: another tab edits; `have` are hashes of its fragments.
    """

    at: str = FIRST
    finding: tuple[str, str] = ("", "")
    text_version: int = -1
    reading: bool = False
    have: Mapping[str, str] = field(default_factory=dict)

    @property
    def sheet(self) -> str:
        """The sheet of the site that is shown; the first one for whatever is none."""
        name = self.at.removeprefix("/site/")
        return name if name in (*ALL, TEXT, FILES) else "cameras"


def look_of(view: object) -> Look:
    """The look that a request states; whatever is no look is the first one."""
    if not isinstance(view, dict):
        return Look()
    at, text, have, finding = (view.get(name) for name in ("at", "text", "have", "finding"))
    pair = finding if isinstance(finding, list) and len(finding) == 2 else ["", ""]
    return Look(
        at if isinstance(at, str) and len(at) < _LONGEST else FIRST,
        (pair[0], pair[1]) if all(isinstance(each, str) for each in pair) else ("", ""),
        text if isinstance(text, int) else -1,
        view.get("reading") is True,
        {key: value for key, value in have.items() if isinstance(value, str)} if isinstance(have, dict) else {},
    )
