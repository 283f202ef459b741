"""From the text of an expression to its syntax tree, within limits; every refusal says what would be right.

Knows the grammar and the limits, not types or meaning. lark is imported on first use only.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache
from typing import Any, Protocol

from coaxwright.errors import Problem, Refusal, Span
from coaxwright.language.building import GREATEST_INT, BadSyntax, TreeBuilder
from coaxwright.language.syntax import (
    Binary,
    Call,
    Has,
    Literal,
    Logic,
    Macro,
    Name,
    Node,
    Select,
    children,
    walk,
)

MAX_CHARACTERS = 4_000
MAX_NODES = 500
MAX_DEPTH = 40
MAX_CHAIN = 100
MAX_MACROS = 3
MAX_HEIGHT = 150
"""Levels of the tree with chains counted term by term: keeps every later walk far from the interpreter's own
limit.
"""

# Common Expression Language specification, "Syntax": RESERVED and the keywords (which cannot even be fields).
KEYWORDS = frozenset({"true", "false", "null", "in"})
RESERVED = KEYWORDS | {
    *("as", "break", "const", "continue", "else", "for", "function", "if", "import"),
    *("let", "loop", "package", "namespace", "return", "var", "void", "while"),
}


def span_in(text: str, start: int, end: int) -> Span:
    """Offsets as a span with 1-based lines and columns, relative to the start of the expression text."""
    line, end_line = text.count("\n", 0, start) + 1, text.count("\n", 0, end) + 1
    column, end_column = start - text.rfind("\n", 0, start), end - text.rfind("\n", 0, end)
    return Span(line, column, end_line, end_column, start, end)


def problem_in(text: str, start: int, end: int, what: str, right: str = "") -> Problem:
    """A problem at a place of the expression; the file is left empty, since the caller knows it and shifts
    the span.
    """
    return Problem("", what, right, span_in(text, start, end))


def parse_expression(text: str) -> Node:
    """The syntax tree of `text`, operators as written. Raises `Refusal`; limits are checked before anything
    recurs.
    """
    if len(text) > MAX_CHARACTERS:
        what = f"the expression has {len(text)} characters, more than {MAX_CHARACTERS}"
        raise Refusal([problem_in(text, 0, len(text), what, "split the rule in two")])
    if not text.strip():
        raise Refusal(
            [problem_in(text, 0, len(text), "the expression is empty", "write a condition, or `true`")]
        )
    try:
        tree = _parse(text)
    except BadSyntax as bad:
        raise Refusal([problem_in(text, bad.start, bad.end, bad.what, bad.right)]) from None
    problems = [*_beyond_limits(text, tree)] or [*_bad_words(text, tree)]
    if problems:
        raise Refusal(problems)
    return tree


def _parse(text: str) -> Node:
    import lark

    try:
        tree: Node = _parser().parse(text)
    except lark.exceptions.UnexpectedCharacters as error:
        raise _unreadable(text, error.pos_in_stream or 0) from None
    except lark.exceptions.UnexpectedToken as error:
        raise _unreadable(text, _place_of(error.token, text)) from None
    return tree


class _Token(Protocol):
    """A word of the text with its place, or the end of it."""

    type: str
    start_pos: Any


def _place_of(token: _Token, text: str) -> int:
    return len(text) if token.type == "$END" else int(token.start_pos)


@lru_cache(maxsize=1)
def _parser() -> Any:
    import lark

    from coaxwright.language.grammar import GRAMMAR

    return lark.Lark(GRAMMAR, parser="lalr", transformer=TreeBuilder(), maybe_placeholders=False)


_HINTS: tuple[tuple[str, str, str], ...] = (
    (r"\d\w*[uU]\b", "unsigned numbers are not part of the rule language", "write a plain whole number"),
    (r"\d+[a-zA-Z%]+", "a number carries no unit here", "give the figure as a limit with unit and source"),
    (r"\d+\.(?!\d)", "a number needs digits after its point", "write `2.0`"),
    (r"[bB][rR]?['\"]", "bytes are not part of the rule language", "write a text in quotes"),
    (r"['\"]", "the text has no closing quote", "close it on the same line"),
    (r"=(?!=)", "`=` is not an operator", "write `==` to compare"),
    (r"&(?!&)", "`&` is not an operator", "write `&&`"),
    (r"\|(?!\|)", "`|` is not an operator", "write `||`"),
    (r"(?:and|AND)\b", "`and` is not an operator", "write `&&`"),
    (r"(?:or|OR)\b", "`or` is not an operator", "write `||`"),
    (r"not\b", "`not` is not an operator", "write `!`"),
    (r"\{", "maps are not part of the rule language", "use a list `[...]` or fields of a sheet"),
    (r"(?:true|false|in)\b", "this word cannot stand here", ""),
    (r"\Z", "the expression ends too early", "finish it, or take the last operator away"),
)


# What stands before the place, what stands at it, and what to say: for slips that span two words.
_HINTS_AFTER: tuple[tuple[str, str, str, str], ...] = (
    (
        r"[0-9.]\s*\Z",
        r"[a-zA-Z%]+",
        "a number carries no unit here",
        "give the figure as a limit with unit and source",
    ),
    (r"\b[bB]\Z", r"['\"]", "bytes are not part of the rule language", "write a text in quotes"),
    (r"[0-9]\.\s*\Z", "", "a number needs digits after its point", "write `2.0`"),
    (r"\bnot\s*\Z", "", "`not` is not an operator", "write `!`"),
)


def _unreadable(text: str, place: int) -> BadSyntax:
    hints = [(at, what, right) for before, at, what, right in _HINTS_AFTER if re.search(before, text[:place])]
    for pattern, what, right in [*_HINTS[:1], *hints, *_HINTS[1:]]:
        found = re.compile(pattern).match(text, place)
        if found:
            return BadSyntax(place, max(found.end(), min(place + 1, len(text))), what, right)
    before = (text[:place].split() or ["the start"])[-1]
    return BadSyntax(place, place + 1, f"`{text[place]}` cannot stand after `{before}`", "")


def _beyond_limits(text: str, tree: Node) -> Iterator[Problem]:
    found = dict.fromkeys(("nodes", "depth", "chain", "macros", "height"), 0)
    pending: list[tuple[Node, int, int, int, int]] = [(tree, 1, 1, 2, 0)]
    while pending:
        node, depth, height, terms, macros = pending.pop()
        macros += isinstance(node, Macro)
        chain = len(node.operands) if isinstance(node, Logic) else terms * isinstance(node, Binary)
        found["nodes"] += 1
        for kind, value in (("depth", depth), ("chain", chain), ("macros", macros), ("height", height)):
            found[kind] = max(found[kind], value)
        for child in children(node):
            linked = _is_link(node, child)
            inside = macros - (isinstance(node, Macro) and child is node.source)
            pending.append((child, depth + (not linked), height + 1, terms + 1 if linked else 2, inside))
    for kind, what, limit, right in _LIMITS:
        if found[kind] > limit:
            yield problem_in(text, 0, len(text), what.format(found[kind], limit), right)
            return


_LIMITS: tuple[tuple[str, str, int, str], ...] = (
    ("nodes", "the expression has {} parts, more than {}", MAX_NODES, "split the rule in two"),
    ("chain", "a chain has {} terms, more than {}", MAX_CHAIN, "use a list and `in`, or split the rule"),
    ("depth", "the expression is nested {} levels deep, more than {}", MAX_DEPTH, "split the rule in two"),
    (
        "macros",
        "{} list macros stand inside one another, more than {}",
        MAX_MACROS,
        "derive a fact for the inner one",
    ),
    ("height", "the expression is nested {} levels deep, more than {}", MAX_HEIGHT, "split the rule in two"),
)


_BINDING_ALIKE = (frozenset("+-"), frozenset("*/%"), frozenset({"==", "!=", "<", "<=", ">", ">=", "in"}))


def _is_link(node: Node, child: Node) -> bool:
    """Whether the child is the left part of one chain of operators that bind alike: `a + b - c`."""
    if not isinstance(node, Binary) or not isinstance(child, Binary) or child is not node.left:
        return False
    return any(node.operation in alike and child.operation in alike for alike in _BINDING_ALIKE)


def _bad_words(text: str, tree: Node) -> Iterator[Problem]:
    for node in walk(tree):
        if isinstance(node, Literal) and _too_great(node):
            what = f"{node.value} does not fit a whole number of 64 bits"
            yield problem_in(text, node.start, node.end, what, "write it with a point or exponent, as `1e30`")
        for word in _words(node):
            yield from _bad_word(text, node, word)


def _too_great(node: Literal) -> bool:
    return type(node.value) is int and not -GREATEST_INT - 1 <= node.value <= GREATEST_INT


def _words(node: Node) -> tuple[str, ...]:
    match node:
        case Name():
            return (node.name,)
        case Select() | Has():
            return (node.field,)
        case Macro():
            return (node.variable,)
        case Call():
            return (node.operation,)
    return ()


def _bad_word(text: str, node: Node, word: str) -> Iterator[Problem]:
    if word == "null":
        what, right = "null is not part of the rule language", "a field that is not known: `has(sheet.field)`"
        yield problem_in(text, node.start, node.end, what, right)
    elif word in KEYWORDS or (word in RESERVED and not isinstance(node, Select | Has)):
        what = f"`{word}` is a reserved word"
        yield problem_in(text, node.start, node.end, what, "choose another name")
    elif word.startswith("_") or "__" in word:
        what = f"`{word}` is not a name of the rule language"
        yield problem_in(
            text, node.start, node.end, what, "names begin with a letter and have no double underscore"
        )
