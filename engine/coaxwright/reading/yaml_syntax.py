"""Syntax errors of YAML in plain words, whichever of the two parsers found them."""

from __future__ import annotations

import re

from yaml import MarkedYAMLError

from coaxwright.errors import Problem
from coaxwright.model.quantities import quoted
from coaxwright.reading.positions import Positions

_BLANKS = re.compile(r"[ \t]*")
_INDENT = "give the keys of one group the same indentation, with spaces"
_QUOTE = "put the whole value in quotes"

# What a parser's wording contains, what is told instead, what is right; first match holds. `{opened}` is the
# line where the surrounding thing was opened, `{found}` the character at the place.
_TOLD: tuple[tuple[tuple[str, ...], str, str], ...] = (
    (("' or ']'",), "the list `[` opened on line {opened} lacks a `,` or its `]`", "write `[a, b]`"),
    (("' or '}'",), "the group `{{` opened on line {opened} lacks a `,` or its `}}`", "write `{{a: 1}}`"),
    (("end of stream",), "the quote opened on line {opened} is never closed", "close it, or quote otherwise"),
    (("document indicator", "document separator"), "a line `---` or `...` stands inside quotes", "indent it"),
    (("escape", "hexdecimal"), "a `\\` in double quotes starts no known escape", "use single quotes"),
    (("mapping values are not allowed",), "a `:` stands where no key can be", f"{_INDENT}, or {_QUOTE}"),
    (("mapping keys are not allowed",), "a `?` stands where no key can be", _QUOTE),
    (("sequence entries are not allowed",), "a list cannot start here", "start it on the next line"),
    (("cannot start any token",), "a value cannot start with {found}", _QUOTE),
    (("node content",), "a value is missing before {found}", "write one, or remove the sign"),
    (
        ("comment or line", "chomping"),
        "only a comment may follow `|` or `>`",
        "put the text on the next line",
    ),
    (("indentation indicator",), "the digit after `|` or `>` is not an indentation", "remove it"),
    (("expected ':'",), "a key without `:` stands on line {opened}", "write `key: value`"),
    (("'-' indicator",), "this is no item of the list from line {opened}", "start it with `-`, or indent it"),
    (("expected key", "<block end>"), "this does not fit what stands before it", f"{_INDENT}, or {_QUOTE}"),
    (
        ("directive", "incompatible", "document start"),
        "only one plain document is read",
        "remove `%` and `...`",
    ),
    (("exceeded",), "the nesting is too deep", "nest less than 64 levels"),
    (("alphabetic or numeric",), "`&` or `*` starts a name here, and anchors are not used", _QUOTE),
    (("tag",), "`!` starts a tag here, and tags are not used", _QUOTE),
)


def syntax_problem(error: MarkedYAMLError, file: str, text: str, positions: Positions) -> Problem:
    """The problem that a parser's error tells of, at its place, in our words."""
    mark = error.problem_mark or error.context_mark
    offset = min(mark.index if mark else 0, len(text))
    opened = error.context_mark.index if error.context_mark else offset
    line = positions.line_column(opened)[0]
    what, right = _tab(text, offset) or _told(str(error.problem), text, offset, line)
    if (
        text[offset : offset + 1] == ":"
        and "expected" in str(error.problem)
        and "' or" not in str(error.problem)
    ):
        what, right = "a key is missing before the `:`", "write it as `key: value`"
    if offset >= len(text.rstrip()) and opened < offset:
        offset = opened
    return Problem(file, what, right, positions.span(offset, offset + 1))


def _told(problem: str, text: str, offset: int, opened: int) -> tuple[str, str]:
    for fragments, what, right in _TOLD:
        if any(fragment in problem for fragment in fragments):
            found = quoted(text[offset]) if offset < len(text) else "the end of the file"
            return what.format(opened=opened, found=found), right.format()
    return "this cannot be read as YAML", _INDENT


def _tab(text: str, offset: int) -> tuple[str, str] | None:
    """A tab in the indentation of the line is the trouble, whatever the parser calls it."""
    line_start = max(text.rfind("\n", 0, offset), text.rfind("\r", 0, offset)) + 1
    indentation = _BLANKS.match(text, line_start)
    if indentation and "\t" in indentation[0] and offset <= indentation.end():
        return "the line starts with a tab", "indent with spaces"
    return None
