"""A YAML file as plain values, each with its place in the text.

Reading takes bytes in UTF-8 and gives dicts, lists, text, numbers, booleans and None, nothing else, or a
Refusal that names every trouble with its place. Limits: docs/limits-of-input.md. Not here: what keys mean.
"""

from __future__ import annotations

import hashlib
import os
import re
import stat
from collections.abc import Sequence
from itertools import islice
from pathlib import Path
from typing import Any

from yaml import MarkedYAMLError

from coaxwright.errors import Problem, Refusal, Span
from coaxwright.reading.collector import collector_off
from coaxwright.reading.positions import HIDDEN, Positions
from coaxwright.reading.yaml_builder import Builder, Tree
from coaxwright.reading.yaml_events import event_source
from coaxwright.reading.yaml_syntax import syntax_problem

MAX_BYTES = 64 * 1024 * 1024
_PIECE = 64 * 1024
_BYTE_ORDER_MARKS = (
    (b"\xff\xfe\x00\x00", "UTF-32"),
    (b"\x00\x00\xfe\xff", "UTF-32"),
    (b"\xff\xfe", "UTF-16"),
    (b"\xfe\xff", "UTF-16"),
)
_HIDDEN = re.compile(f"[{HIDDEN}]")
_PLAIN_BYTES = bytes([9, 10, 13, *range(32, 127)])

_READING = os.O_RDONLY
for _flag in ("O_NONBLOCK", "O_CLOEXEC", "O_BINARY"):  # each where the system has it
    _READING |= getattr(os, _flag, 0)

Steps = Sequence[str | int]


class Document:
    """One document: `value` is a dict, `text` what was read (without a byte order mark), `file` its name.

    Places are found on demand. A path is a sequence of keys and list indices; the empty path is all of it.
    `sha256` is the hash of the bytes of the file; `bom` says whether they began with a byte order mark.
    """

    __slots__ = ("_children", "_positions", "_tree", "bom", "file", "sha256", "text", "value")

    def __init__(self, file: str, text: str, value: dict[str, Any], tree: Tree, positions: Positions) -> None:
        self.file = file
        self.text = text
        self.value = value
        self.bom = False
        self.sha256 = ""
        self._tree = tree
        self._positions = positions
        self._children: dict[int, dict[str | int, int]] = {}

    def span(self, path: Steps) -> Span:
        """Where the value at this path stands. Raises KeyError if the document has no such path."""
        return self._positions.span(*self._tree.extent(self._node(path)))

    def key_span(self, path: Steps) -> Span:
        """Where the key or list item at the end of this path stands. Raises KeyError if there is none."""
        node = self._node(path)
        is_key = bool(path) and isinstance(path[-1], str)
        return self._positions.span(*self._tree.extent(node - 1 if is_key else node))

    def nearest_span(self, path: Steps) -> Span:
        """Where the longest part of this path that the document has stands, by its key where it has one."""
        for length in range(len(path), 0, -1):
            try:
                return self.key_span(path[:length]) if length < len(path) else self.span(path)
            except KeyError:
                continue
        line, column = self._positions.line_column(self._tree.starts[0])
        return Span(line, column, line, column, self._tree.starts[0], self._tree.starts[0])

    def _node(self, path: Steps) -> int:
        """The number of the node at this path."""
        value: Any = self.value
        node = 0
        for step in path:
            if not isinstance(value, (dict, list)):
                raise KeyError(step)
            node = self._entries(node, value)[step]
            value = value[step]  # type: ignore[index]
        return node

    def _entries(self, node: int, value: dict[str, Any] | list[Any]) -> dict[str | int, int]:
        """Node numbers of the values that a collection holds, by key or index."""
        known = self._children.get(node)
        if known is None:
            keyed = isinstance(value, dict)
            numbers = self._tree.entries(node, len(value), 2 if keyed else 1)
            steps: Any = value if keyed else range(len(value))
            known = {step: number + keyed for step, number in zip(steps, numbers, strict=True)}
            self._children[node] = known
        return known


def read_document(path: str | os.PathLike[str], file: str | None = None) -> Document:
    """The document in a file; `file` is the name to be shown, the path itself otherwise. Raises Refusal."""
    name = os.fspath(path) if file is None else file
    data = read_bytes(path, name)
    document = parse_document(decode(data, name), name)
    document.sha256 = hashlib.sha256(data).hexdigest()
    document.bom = data.startswith(b"\xef\xbb\xbf")
    return document


def parse_document(text: str, file: str) -> Document:
    """The document in a text. Raises Refusal with all that is wrong, in order of place."""
    text = text.removeprefix("\ufeff")
    positions = Positions(text)
    if len(text) > MAX_BYTES:
        raise Refusal([_too_large(file)])
    _refuse_hidden(text, file, positions)
    value, tree = _build(text, file, positions)
    document = Document(file, text, value, tree, positions)
    document.sha256 = hashlib.sha256(text.encode()).hexdigest()
    return document


def _build(text: str, file: str, positions: Positions) -> tuple[dict[str, Any], Tree]:
    builder = Builder(event_source(text), file, positions)
    value: object = None
    with collector_off():
        try:
            value = builder.build()
        except MarkedYAMLError as error:
            builder.problems.append(syntax_problem(error, file, text, positions))
    if not builder.problems and not isinstance(value, dict):
        what = "the top of the file is a list" if isinstance(value, list) else "the file holds a single value"
        span = positions.span(*builder.tree.extent(0))
        builder.problems.append(Problem(file, what, "write keys with values, as in `site: NAME`", span))
    if builder.problems:
        raise Refusal(sorted(builder.problems, key=lambda problem: problem.span or Span(0, 0)))
    assert isinstance(value, dict)
    return value, builder.tree


def read_bytes(path: str | os.PathLike[str], name: str, most: int = MAX_BYTES) -> bytes:
    """The bytes of a regular file, at most `most`. Raises Refusal; never waits for a pipe or a device."""
    try:
        handle = os.open(path, _READING)
    except (OSError, ValueError) as error:
        raise Refusal([Problem(name, *_unopened(error, Path(path)))]) from error
    try:
        state = os.fstat(handle)
        if not stat.S_ISREG(state.st_mode):
            what = "this is a folder" if stat.S_ISDIR(state.st_mode) else "this is not a regular file"
            raise Refusal([Problem(name, what, "name a text file")])
        data = _read(handle, state.st_size, most + 1)
    finally:
        os.close(handle)
    if len(data) > most:
        raise Refusal([_too_large(name, most)])
    return data


def _read(handle: int, size: int, most: int) -> bytes:
    """All that there is, up to `most` bytes; `size` is what the system states, and it may be wrong.

    A start reads hundreds of small files: no stream is made for them.
    """
    data = os.read(handle, min(size + 1, most))
    while len(data) < most and (more := os.read(handle, min(_PIECE, most - len(data)))):
        data += more
    return data


def _unopened(error: Exception, path: Path) -> tuple[str, str]:
    if isinstance(error, FileNotFoundError):
        there = path.parent.is_dir()
        return "there is no such file", "check the path" if there else "its folder is missing too"
    if isinstance(error, PermissionError):
        return "this file may not be read", "ask for read permission"
    reason = getattr(error, "strerror", None) or "not a path"
    return f"this file cannot be opened ({reason})", "check the path"


def _too_large(file: str, most: int = MAX_BYTES) -> Problem:
    return Problem(file, f"the file is larger than {most >> 20} MiB", "split it into several sites")


def decode(data: bytes, file: str) -> str:
    """Bytes in UTF-8, with or without a byte order mark, as text. Raises Refusal at the first wrong byte."""
    for mark, encoding in _BYTE_ORDER_MARKS:
        if data.startswith(mark):
            raise Refusal([Problem(file, f"the file is in {encoding}", "save it as UTF-8", Span(1, 1))])
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = data[: error.start].decode("utf-8-sig", "replace")
        line, column = Positions(before).line_column(len(before))
        span = Span(line, column, line, column + 1, len(before), len(before) + 1)
        what = f"the file is not UTF-8 at byte {error.start + 1}"
        raise Refusal([Problem(file, what, "save it as UTF-8", span)]) from error


def _refuse_hidden(text: str, file: str, positions: Positions) -> None:
    """Refuse characters that do not show or that turn the direction of text: they hide what a file says."""
    if text.isascii() and not text.encode().translate(None, _PLAIN_BYTES):
        return
    problems = [
        Problem(file, *_hidden(match[0]), positions.span(match.start(), match.end()))
        for match in islice(_HIDDEN.finditer(text), 20)
    ]
    if problems:
        raise Refusal(problems[:1] if "\0" in text else problems)


def _hidden(character: str) -> tuple[str, str]:
    if character == "\0":
        return "a zero byte stands here: this is no text in UTF-8", "save the file as UTF-8"
    return f"the invisible character U+{ord(character):04X} stands here", "remove it"
