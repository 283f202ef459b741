"""Each way in which a YAML file can be wrong, with the whole message, by both parsers."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from coaxwright.errors import Refusal
from coaxwright.reading import yaml_source
from coaxwright.reading.yaml_source import parse_document, read_document

QUOTE = "put the whole value in quotes"
INDENT = "give the keys of one group the same indentation, with spaces"
HIDDEN = "remove it; control and direction characters are refused"
TOP = "write keys with values, as in `site: NAME`"
NUMBER = "write a number, or quote it if it is a text"
LEAVE_OUT = "remove it; values need no tags"

# name: (text, the message at line:column, in full)
REFUSED: dict[str, tuple[str, list[str]]] = {
    "duplicate key": (
        "a: 1\nb: 2\na: 3\n",
        ["f:3:1: the key `a` is written twice, first at 1:1; keep one of the two, or rename one"],
    ),
    "duplicate key, quoted": (
        "x:\n  a: {b: 1}\n  'a': 3\n",
        ["f:3:3: the key `a` is written twice, first at 2:3; keep one of the two, or rename one"],
    ),
    "three of a key": (
        "a: 1\na: 2\na: 3\n",
        [
            "f:2:1: the key `a` is written twice, first at 1:1; keep one of the two, or rename one",
            "f:3:1: the key `a` is written twice, first at 1:1; keep one of the two, or rename one",
        ],
    ),
    "anchor and alias": (
        "a: &x 1\nb: *x\n",
        [
            "f:1:4: the anchor `&x` is not used here; remove it; write values out",
            "f:2:4: the alias `*x` is not used here; write the value out",
        ],
    ),
    "anchor on a group": (
        "a: &x {b: 1}\n",
        ["f:1:4: the anchor `&x` is not used here; remove it; write values out"],
    ),
    "anchor on a key": (
        "&x a: 1\n",
        ["f:1:1: the anchor `&x` is not used here; remove it; write values out"],
    ),
    "self reference": (
        "a: &x [*x]\n",
        [
            "f:1:4: the anchor `&x` is not used here; remove it; write values out",
            "f:1:8: the alias `*x` is not used here; write the value out",
        ],
    ),
    "merge key": ("a:\n  <<: {b: 1}\n", ["f:2:3: the merge key `<<` is not used here; write the keys out"]),
    "tag": ("a: !thing 1\n", [f"f:1:4: the tag `!thing` is not used here; {LEAVE_OUT}"]),
    "bare tag": ("a: ! 1\n", [f"f:1:4: the tag `!` is not used here; {LEAVE_OUT}"]),
    "standard tag": ("a: !!str 1\n", [f"f:1:4: the tag `!!str` is not used here; {LEAVE_OUT}"]),
    "tag on a key": ("!!str a: 1\n", [f"f:1:1: the tag `!!str` is not used here; {LEAVE_OUT}"]),
    "object tag": (
        "a: !!python/object/apply:os.system [x]\n",
        [f"f:1:4: the tag `!!python/object/apply:os.system` is not used here; {LEAVE_OUT}"],
    ),
    "binary tag": ("a: !!binary eA==\n", [f"f:1:4: the tag `!!binary` is not used here; {LEAVE_OUT}"]),
    "tag directive": (
        "%TAG ! tag:x.org,2000:\n---\na: 1\n",
        ["f:2:1: `%TAG` directives are not used here; remove the line"],
    ),
    "two documents": (
        "a: 1\n---\nb: 2\n",
        ["f:2:1: a second document starts here; keep one document in a file"],
    ),
    "list as key": (
        "[a, b]: 1\n",
        ["f:1:1: a key must be a text, not a list, group or alias; write it as `key: value`"],
    ),
    "group as key": (
        "? {a: 1}\n: 1\n",
        ["f:1:3: a key must be a text, not a list, group or alias; write it as `key: value`"],
    ),
    "no key": (": 1\n", ["f:1:1: a key is missing before the `:`; write it as `key: value`"]),
    "empty": ("", ["f:1:1: the file is empty; write at least one key, as in `site: NAME`"]),
    "only comments": (
        "# nothing\n\n# at all\n",
        ["f:4:1: the file is empty; write at least one key, as in `site: NAME`"],
    ),
    "only a document mark": ("---\n", [f"f:2:1: the file holds a single value; {TOP}"]),
    "top list": ("- a\n- b\n", [f"f:1:1: the top of the file is a list; {TOP}"]),
    "top scalar": ("hello\n", [f"f:1:1: the file holds a single value; {TOP}"]),
    "too deep": (
        "a: " + "[" * 80 + "]" * 80,
        ["f:1:67: the nesting is more than 64 levels deep; nest less"],
    ),
    "far too deep": (
        "a: " + "[" * 100_000,
        [
            "f:1:67: the nesting is more than 64 levels deep; nest less",
            "the nesting is too deep; nest less than 64",
        ],
    ),
    "no key in a group": ("a: {: 1}\n", ["f:1:5: a key is missing before the `:`; write it as `key: value`"]),
    "empty key": ("'': 1\n", ["f:1:1: a key is missing before the `:`; write it as `key: value`"]),
    "deep groups": (
        "".join(" " * level + "a:\n" for level in range(70)),
        ["f:65:65: the nesting is more than 64 levels deep; nest less"],
    ),
    "infinity": ("a: .inf\n", [f"f:1:4: `.inf` is not a finite number; {NUMBER}"]),
    "not a number": ("a: [.nan]\n", [f"f:1:5: `.nan` is not a finite number; {NUMBER}"]),
    "1e400": ("a: 1e400\n", ["f:1:4: `1e400` is too large for a number; write a smaller number"]),
    "long integer": (
        "a: " + "9" * 5000 + "\n",
        ["a number of 5000 digits cannot be kept exactly; write at most 18 digits, or quote it"],
    ),
    "escape sequence": (
        "a: 1\nb: \x1b[31m\n",
        ["f:2:4: the invisible character U+001B stands here; remove it"],
    ),
    "zero byte": (
        "a: b\0c\n",
        ["f:1:5: a zero byte stands here: this is no text in UTF-8; save the file as UTF-8"],
    ),
    "C1 control": ("a: \x9b31m\n", ["f:1:4: the invisible character U+009B stands here; remove it"]),
    "next line": ("a: x\x85y\n", ["f:1:5: the invisible character U+0085 stands here; remove it"]),
    "bidi override": ("a: \u202egnp\n", ["f:1:4: the invisible character U+202E stands here; remove it"]),
    "bidi isolate in a comment": (
        "a: 1 # \u2066x\n",
        ["f:1:8: the invisible character U+2066 stands here; remove it"],
    ),
    "byte order mark inside": (
        "a: \ufeffx\n",
        ["f:1:4: the invisible character U+FEFF stands here; remove it"],
    ),
    "lone surrogate": ("a: \ud800\n", ["f:1:4: the invisible character U+D800 stands here; remove it"]),
    "escaped escape": (
        'a: "\\e[31m"\n',
        [
            f"f:1:4: the text holds the invisible character U+001B; {HIDDEN}",
        ],
    ),
    "escaped zero": (
        'a: ["\\0"]\n',
        [
            f"f:1:5: the text holds the invisible character U+0000; {HIDDEN}",
        ],
    ),
    "escaped bidi in a key": (
        '"\\u202e": 1\n',
        [
            f"f:1:1: the text holds the invisible character U+202E; {HIDDEN}",
        ],
    ),
    "tab": ("a:\n\tb: 1\n", ["f:2:1: the line starts with a tab; indent with spaces"]),
    "tab on the first line": ("\ta: 1\n", ["f:1:1: the line starts with a tab; indent with spaces"]),
    "tab in a block text": ("a: >-\n\tx\n", ["f:2:1: the line starts with a tab; indent with spaces"]),
    "colon twice": ("a: b: c\n", [f"f:1:5: a `:` stands where no key can be; {INDENT}, or {QUOTE}"]),
    "deeper key": ("a: 1\n  b: 2\n", [f"f:2:4: a `:` stands where no key can be; {INDENT}, or {QUOTE}"]),
    "shallower key": (
        "a:\n  b: 1\n c: 2\n",
        [f"f:3:2: this does not fit what stands before it; {INDENT}, or {QUOTE}"],
    ),
    "open list": (
        "a: [1, 2\n",
        ["f:1:4: the list `[` opened on line 1 lacks a `,` or its `]`; write `[a, b]`"],
    ),
    "open group": (
        "a: {b: 1\n",
        ["f:1:4: the group `{` opened on line 1 lacks a `,` or its `}`; write `{a: 1}`"],
    ),
    "wrong bracket": (
        "x: 1\na: {b: 1]\n",
        ["f:2:9: the group `{` opened on line 2 lacks a `,` or its `}`; write `{a: 1}`"],
    ),
    "open quote": (
        "a: 'x\n",
        ["f:1:4: the quote opened on line 1 is never closed; close it, or quote otherwise"],
    ),
    "quote in quotes": (
        "x: 'it's'\n",
        [f"f:1:8: this does not fit what stands before it; {INDENT}, or {QUOTE}"],
    ),
    "unknown escape": ('a: "C:\\q"\n', ["a `\\` in double quotes starts no known escape; use single quotes"]),
    "at sign": ("a: @x\n", [f"f:1:4: a value cannot start with `@`; {QUOTE}"]),
    "backtick": ("a: `x`\n", [f"f:1:4: a value cannot start with ```; {QUOTE}"]),
    "percent": ("a: %x\n", [f"f:1:4: a value cannot start with `%`; {QUOTE}"]),
    "question mark": ("a: ? b\n", [f"f:1:4: a `?` stands where no key can be; {QUOTE}"]),
    "loose brace": ("a: }\n", ["f:1:4: a value is missing before `}`; write one, or remove the sign"]),
    "list behind key": ("a: - b\n", ["f:1:4: a list cannot start here; start it on the next line"]),
    "key in a list": (
        "- a\nb: 1\n",
        ["f:2:1: this does not fit what stands before it", "f:2:1: this is no item of the list from line 1"],
    ),
    "text behind a block mark": (
        "key: |5x\n  a\n",
        ["f:1:8: only a comment may follow `|` or `>`; put the text on the next line"],
    ),
    "key without colon": ("a: 1\nb\n", ["a key without `:` stands on line 2; write `key: value`"]),
    "old YAML": ("%YAML 3.0\n---\na: 1\n", ["f:1:1: only one plain document is read; remove `%` and `...`"]),
    "text behind the end": (
        "a: b\n...\nc: d\n",
        ["f:3:1: only one plain document is read; remove `%` and `...`"],
    ),
    "document mark in quotes": (
        "a: '\n---\n'\n",
        ["f:2:1: a line `---` or `...` stands inside quotes; indent it"],
    ),
    "loose ampersand": (
        "a: & b\n",
        [f"f:1:5: `&` or `*` starts a name here, and anchors are not used; {QUOTE}"],
    ),
}

# Where the two parsers word or place the same trouble differently, either message is right.
EITHER = {"long integer", "far too deep", "key in a list", "unknown escape", "key without colon"}


@pytest.fixture(params=["libyaml", "python"])
def parser(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> str:
    if request.param == "libyaml" and not yaml.__with_libyaml__:
        pytest.skip("PyYAML was built without libyaml")
    monkeypatch.setattr(yaml, "__with_libyaml__", request.param == "libyaml")
    return str(request.param)


@pytest.mark.usefixtures("parser")
@pytest.mark.parametrize("name", REFUSED)
def test_refused_with_place_and_advice(name: str, guarded: Callable[[float], Any]) -> None:
    text, expected = REFUSED[name]
    with guarded(2000), pytest.raises(Refusal) as caught:
        parse_document(text, "f")
    messages = [str(problem) for problem in caught.value.problems]
    if name in EITHER:
        assert any(choice in messages[0] for choice in expected)
    elif any(
        word in name for word in ("deeper", "shallower", "open", "block mark", "only a document", "directive")
    ):
        assert [message.split(": ", 1)[1] for message in messages] == [
            line.split(": ", 1)[1] for line in expected
        ]
    else:
        assert messages == expected


def test_all_troubles_of_a_file_come_together_and_in_order() -> None:
    with pytest.raises(Refusal) as caught:
        parse_document("a: !x 1\nb: &y 2\na: 3\nc: 1e999\nd: [\n", "f")
    places = [problem.span.line for problem in caught.value.problems if problem.span]
    assert places == sorted(places)
    assert len(places) == 5


def test_very_many_troubles_are_cut_off() -> None:
    with pytest.raises(Refusal) as caught:
        parse_document("a: 1\n" * 10_000, "f")
    assert len(caught.value.problems) == 50


BAD_BYTES = {
    "utf16 le": ("a: 1\n".encode("utf-16"), "the file is in UTF-16; save it as UTF-8"),
    "utf16 be": (b"\xfe\xff" + "a: 1\n".encode("utf-16-be"), "the file is in UTF-16; save it as UTF-8"),
    "utf32": ("a: 1\n".encode("utf-32"), "the file is in UTF-32; save it as UTF-8"),
    "utf16 bare": ("a: 1\n".encode("utf-16-le"), "a zero byte stands here: this is no text in UTF-8"),
    "latin-1": (
        "x: 1\nname: Müll\n".encode("latin-1"),
        "f:2:8: the file is not UTF-8 at byte 13; save it as UTF-8",
    ),
    "cut off": ("name: ü".encode()[:-1], "the file is not UTF-8 at byte 7"),
    "picture": (b"\x89PNG\r\n\x1a\n\x00\x00", "the file is not UTF-8 at byte 1"),
    "archive": (b"PK\x03\x04\x00\x00", "f:1:3: the invisible character U+0003 stands here|a zero byte"),
    "empty": (b"", "the file is empty"),
}


@pytest.mark.parametrize("name", BAD_BYTES)
def test_bytes_that_are_no_text_in_utf8(name: str, tmp_path: Path) -> None:
    data, message = BAD_BYTES[name]
    path = tmp_path / "bad.yaml"
    path.write_bytes(data)
    with pytest.raises(Refusal) as caught:
        read_document(path, "f")
    assert any(part in str(caught.value) for part in message.split("|"))


def fifo(path: Path) -> None:
    os.mkfifo(path)


def folder(path: Path) -> None:
    path.mkdir()


def loop(path: Path) -> None:
    path.symlink_to(path)


@pytest.mark.parametrize(
    ("make", "message"),
    [
        (fifo, "this is not a regular file"),
        (folder, "this is a folder"),
        (loop, "this file cannot be opened"),
        (lambda path: None, "there is no such file; check the path"),
    ],
)
def test_what_is_no_readable_file(make: Callable[[Path], None], message: str, tmp_path: Path) -> None:
    path = tmp_path / "x.yaml"
    make(path)
    with pytest.raises(Refusal, match=message):
        read_document(path)


@pytest.mark.parametrize("path", ["/dev/zero", "/dev/null"])
def test_devices_are_not_read(path: str) -> None:
    with pytest.raises(Refusal, match="not a regular file"):
        read_document(path)


def test_missing_folder_zero_byte_and_long_names() -> None:
    with pytest.raises(Refusal, match="its folder is missing too"):
        read_document("no/such/folder/x.yaml")
    with pytest.raises(Refusal, match="cannot be opened"):
        read_document("a\0b")
    with pytest.raises(Refusal, match="cannot be opened"):
        read_document("x" * 300)


def test_size_limit(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "large.yaml"
    with path.open("wb") as stream:
        stream.truncate(yaml_source.MAX_BYTES + 1)
    with pytest.raises(Refusal, match=r"larger than 64 MiB; split it"):
        read_document(path)
    monkeypatch.setattr(yaml_source, "MAX_BYTES", 4)
    with pytest.raises(Refusal, match="larger"):
        parse_document("a: 12", "f")


def test_node_limit(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("coaxwright.reading.yaml_builder.MAX_NODES", 1000)
    with pytest.raises(Refusal, match="more than 1000 values"):
        parse_document("a: [" + "[1]," * 600 + "]", "f")


ALPHABET = [*"ab:-[]{}'\"\\#&*!|>%@`,?~ \n\t.019", "\r\n", "\u2028", "é", "<<", "---", "...", "\x00", "  "]


@settings(max_examples=200)
@given(st.lists(st.sampled_from(ALPHABET), max_size=40).map("".join))
def test_any_text_is_read_or_refused_in_printable_words(text: str) -> None:
    try:
        document = parse_document(text, "f")
    except Refusal as refusal:
        problems = refusal.problems
    else:
        problems = ()
        assert isinstance(document.value, dict)
    assert all(str(problem).isprintable() and problem.span for problem in problems)
    assert not any(raw in str(problem) for problem in problems for raw in ("while ", "expected", "<block"))
