"""Small dialogs: the list of keys, the name of a copy, what a proposal prefers."""

from __future__ import annotations

import re
import unicodedata

from coaxwright.desk.views.pieces import button
from coaxwright.reading.files import SITE_SUFFIX
from coaxwright.show.markup import Markup, join, tag

_KEYS = (
    ("arrows", "one cell"), ("Home, End", "ends of the row; with Ctrl, of the grid"), ("Page Up, Page Down", "ten rows"),
    ("Enter or F2", "edit, with what stands there selected"), ("a letter or digit", "edit, with that instead"),
    ("Enter", "keep what was typed, go down"), ("Tab", "keep it, leave the grid"),
    ("Esc", "close the list, then put back what stood there"), ("Delete", "empty the cell, or the block"),
    ("Shift and arrows", "select a block"), ("Ctrl+C, Ctrl+V", "copy, paste: from a spreadsheet too"),
    ("F8, Shift+F8", "next, previous cell with a finding"), ("Alt+Enter", "open that finding"), ("Ctrl+Z", "undo"),
    ("Ctrl+Y or Ctrl+Shift+Z", "redo"), ("Ctrl+S", "save"), ("?", "this list"),
)  # fmt: skip


def keys() -> Markup:
    """Every key."""
    rows = [tag("tr", tag("th", tag("kbd", key), scope="row"), tag("td", words)) for key, words in _KEYS]
    return tag("table", tag("tbody", rows), class_="tbl")


def copy(name: str) -> Markup:
    """What the copy is to be called."""
    stem = name.removesuffix(SITE_SUFFIX).removesuffix(".copy")
    return tag(
        "form",
        tag("label", "Name of the copy, in the same folder", for_="copy-name"),
        tag("input", type="text", id="copy-name", name="name", value=f"{stem}.copy{SITE_SUFFIX}", autocomplete="off"),
        tag("div", tag("button", "Save the copy", type="submit", class_="main-act"), class_="acts"),
        data_do="save",
    )  # fmt: skip


def forget(inside: bool, unsaved: int) -> Markup:
    """What goes and what stays; `inside`: the browser holds the file itself."""
    stays = "Copies that you saved stay." if inside else "Files on disk stay."
    lost = f" {unsaved} changes that are not saved are lost." if unsaved > 1 else ""
    lost = " 1 change that is not saved is lost." if unsaved == 1 else lost
    return join([
        tag("p", f"This removes the site from this browser. {stays}{lost}"),
        tag("div", button("forget-now", "Forget it", class_="main-act"), class_="acts"),
    ])  # fmt: skip


def proposal() -> Markup:
    """What is preferred where several systems hold."""
    words = (("cheapest", "the cheapest"), ("fewest", "the fewest recorders and supplies"))
    note = "Every system is checked as a whole before it is shown. Nothing is written until you take one."
    return tag(
        "form",
        tag("p", note, class_="quiet"),
        tag("label", "Preferred", for_="prefer"),
        tag("select", [tag("option", told, value=value) for value, told in words], id="prefer", name="prefer"),
        tag("div", tag("button", "Look for systems", type="submit", class_="main-act"), class_="acts"),
        data_do="propose-search", data_wait="Propose a system",
    )  # fmt: skip


def take_proposal(name: str) -> Markup:
    """The first system as a new site file."""
    return tag(
        "form",
        tag("label", "Write the first one as a new site, in the same folder", for_="take-name"),
        tag("input", type="text", id="take-name", name="name", value=name, autocomplete="off"),
        tag("div", tag("button", "Write it and open it", type="submit", class_="main-act"), class_="acts"),
        data_do="propose-take",
    )  # fmt: skip


def file_name(wanted: str, site: str) -> str:
    """The file of a new site: as it was wanted, else from the site's name in letters that every system takes."""
    plain = unicodedata.normalize("NFKD", site.lower())
    stem = wanted.strip() or re.sub(r"[^a-z0-9]+", "-", plain).strip("-") or "site"
    return stem if stem.endswith(SITE_SUFFIX) else f"{stem}{SITE_SUFFIX}"
