"""What a result goes to, and text as wide as that.

COLUMNS is POSIX (environment variables, XBD 8.3); links are OSC 8 as terminals follow it by common practice; NO_COLOR
stays the painter's matter and is tested there.
"""

from __future__ import annotations

import io
import os
import pty
import re
from collections.abc import Iterator

import pytest
from sample import sample

from coaxwright.show.forms import rendered
from coaxwright.show.painter import Painter, columns
from coaxwright.show.screen import NARROWEST, PROSE, Screen, screen_of
from coaxwright.show.tree import Document, Facts, Item, Listing, Paragraph, Place, Section, Table
from coaxwright.show.wrapping import wrapped

LONG = "the run of camera seven is longer than the cable carries this picture " * 3
SEQUENCE = re.compile(r"\x1b\]8;;([^\x1b]*)\x1b\\|\x1b\[[0-9;]*m")


@pytest.fixture
def terminal() -> Iterator[io.TextIOWrapper]:
    """A real terminal, 72 columns wide."""
    import fcntl
    import struct
    import termios

    ours, theirs = pty.openpty()
    fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 72, 0, 0))
    with open(theirs, "w", encoding="utf-8") as stream:
        yield stream
    os.close(ours)


def test_a_file_and_a_pipe_have_no_width() -> None:
    assert screen_of(None, environ={"COLUMNS": "60"}) == Screen()
    assert screen_of(io.StringIO(), environ={}) == Screen()
    assert screen_of(io.StringIO(), environ={"COLUMNS": "60"}) == Screen()


def test_columns_comes_first(terminal: io.TextIOWrapper) -> None:
    assert screen_of(terminal, environ={}).width == 72
    assert screen_of(terminal, environ={"COLUMNS": "60"}).width == 60


@pytest.mark.parametrize("told", ["", "0", "-5", "wide", "１２０", "9" * 400])
def test_columns_that_is_no_width_is_passed_over(told: str, terminal: io.TextIOWrapper) -> None:
    assert screen_of(terminal, environ={"COLUMNS": told}).width == 72


def test_a_width_too_small_to_read_is_not_believed(terminal: io.TextIOWrapper) -> None:
    assert screen_of(terminal, environ={"COLUMNS": "3"}).width == NARROWEST


def test_links_only_where_a_terminal_follows_them(terminal: io.TextIOWrapper) -> None:
    assert screen_of(terminal, environ={"TERM": "xterm"}).links
    assert not screen_of(terminal, "never", {"TERM": "xterm"}).links
    assert not screen_of(terminal, environ={"TERM": "dumb"}).links
    assert not screen_of(terminal, environ={"TERM": "xterm", "FORCE_HYPERLINK": "0"}).links
    assert not screen_of(io.StringIO(), environ={"TERM": "xterm"}).links
    assert screen_of(io.StringIO(), environ={"FORCE_HYPERLINK": "1"}).links


def test_a_link_names_the_file_and_line_and_nothing_else_changes() -> None:
    words = ("see ", Place("a folder/yard.site.yaml", 12))
    (plain,) = wrapped(words, Screen(), None)
    (linked,) = wrapped(words, Screen(links=True), None)
    addresses = [each for each in SEQUENCE.findall(linked) if each]
    assert addresses
    assert all(each.startswith("file:///") and each.endswith("/a%20folder/yard.site.yaml#12") for each in addresses)
    assert SEQUENCE.sub("", linked) == plain == "see a folder/yard.site.yaml:12"


def test_a_hostile_file_name_cannot_end_its_link() -> None:
    (linked,) = wrapped(Place("x\x1b\\\x1b]8;;//example.invalid\x07\u202e", 1), Screen(links=True), None)
    assert "\x1b" not in SEQUENCE.sub("", linked)
    assert "\x07" not in linked
    assert "\u202e" not in linked


@pytest.mark.parametrize("width", [40, 57, 80, 100, 300])
def test_prose_keeps_to_the_screen(width: int) -> None:
    document = Document(
        "t", (Paragraph(LONG), Facts([("name", LONG)]), Listing([Item(LONG, (Paragraph(LONG),))], "number"),
              Section("s", (Listing([LONG], "none", whole=True),))))  # fmt: skip
    lines = rendered(document, "text", Screen(width)).splitlines()
    assert max(map(columns, lines)) <= min(width, PROSE)
    assert "".join(" ".join(lines).split()).count("camerasevenislonger") == 15


def test_what_is_whole_stays_on_a_line_in_a_pipe() -> None:
    document = Document("t", (Listing([LONG.strip()], "none", whole=True), Paragraph(LONG.strip())))
    lines = rendered(document, "text").splitlines()
    assert LONG.strip() in lines
    assert max(map(columns, lines[3:])) <= PROSE


WIDE = Table(("camera", "what", "why"), [("c1", LONG.strip(), "船着場の長いケーブル " * 4), ("c2", "short", "x")])


def test_a_table_is_as_wide_as_it_is_in_a_pipe() -> None:
    lines = rendered(Document("t", (WIDE,)), "text").splitlines()
    assert len(lines) == 2 + 3
    assert LONG.strip() in lines[3]


@pytest.mark.parametrize("width", [40, 60, 90])
def test_a_table_keeps_to_the_screen(width: int) -> None:
    lines = rendered(Document("t", (WIDE,)), "text", Screen(width)).splitlines()
    assert max(map(columns, lines)) <= width
    assert len({line.index("short") for line in lines if "short" in line}) == 1


def test_a_table_of_numbers_too_wide_for_the_screen_is_folded() -> None:
    names = [f"figure number {place}" for place in range(6)]
    table = Table(("camera", *names), [("c1", *map(str, range(6)))])
    lines = rendered(Document("t", (table,)), "text", Screen(40)).splitlines()
    assert lines[2:] == ["c1", *(f"  {name}: {place}" for place, name in enumerate(names))]


def test_colour_is_around_final_text_only() -> None:
    document = sample("plain")
    coloured = rendered(document, "text", Screen(80, Painter(True)))
    assert SEQUENCE.sub("", coloured) == rendered(document, "text", Screen(80))
    assert "\x1b[1;31mERROR\x1b[0m" in coloured
