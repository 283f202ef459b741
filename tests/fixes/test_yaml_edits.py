"""Edits of YAML text: comments and layout stay, and the text reads as the patched value.

Reference for the values: RFC 6902 application on the plain value (tested on the standard's own examples);
reference for reading: two independent YAML readers, the program's own and PyYAML's BaseLoader.
"""

from __future__ import annotations

import os
from random import Random

import pytest
import yaml

from coaxwright.errors import Refusal
from coaxwright.fixes import writing
from coaxwright.fixes.patching import PatchError, applied, same
from coaxwright.fixes.yaml_edits import edited
from coaxwright.fixes.yaml_text import flow
from coaxwright.reading.yaml_source import parse_document, read_document

from . import random_sites

TEXT = """\
# a site, with comments
site: Alder   # the name
retention: 21 days

recorders:
  rec1:                       # in the rack
    part: a/b
    disks: [x/1, x/2]   # two
    notes:
      - first
      # between
      - second
supplies:
  p1: {part: s/p, trim: 12.6 V}
empty: {}
nothing:
long: |
  several
  lines
last: [ ]
# the end
"""
CASES = [
    ("a scalar", "replace", "/retention", "30 days", "retention: 21 days", "retention: 30 days"),
    ("a scalar with a comment", "replace", "/site", "Elm", "site: Alder   # the name", "site: Elm   # the name"),
    ("within braces", "replace", "/supplies/p1/trim", "13 V", "trim: 12.6 V}", "trim: 13 V}"),
    ("a new key in braces", "add", "/supplies/p1/label", "door", "trim: 12.6 V}", "trim: 12.6 V, label: door}"),
    ("the first key in braces", "add", "/empty/a", 1, "empty: {}", "empty: {a: 1}"),
    ("a new item in brackets", "add", "/recorders/rec1/disks/-", "x/3", "[x/1, x/2]", "[x/1, x/2, x/3]"),
    ("an item before another", "add", "/recorders/rec1/disks/0", "x/0", "[x/1, x/2]", "[x/0, x/1, x/2]"),
    ("the first item in brackets", "add", "/last/0", "z", "last: [ ]", "last: [z]"),
    (
        "an item of a list",
        "add",
        "/recorders/rec1/notes/1",
        "mid",
        "      # between\n      - second",
        "      # between\n      - mid\n      - second",
    ),
    ("a last item", "add", "/recorders/rec1/notes/-", "third", "      - second", "      - second\n      - third"),
    ("a key in a group", "add", "/recorders/rec1/label", "L", "      - second", "      - second\n    label: L"),
    ("an entry", "add", "/supplies/p2", {"part": "s/q"}, "trim: 12.6 V}", "trim: 12.6 V}\n  p2: {part: s/q}"),
    ("away from braces", "remove", "/supplies/p1/part", None, "{part: s/p, trim: 12.6 V}", "{trim: 12.6 V}"),
    ("the last of braces", "remove", "/supplies/p1/trim", None, "{part: s/p, trim: 12.6 V}", "{part: s/p}"),
    ("an item away", "remove", "/recorders/rec1/notes/0", None, "      - first\n", ""),
    ("a line away", "remove", "/retention", None, "retention: 21 days\n", ""),
    ("a value where nothing was", "replace", "/nothing", 5, "nothing:", "nothing: 5"),
    ("a text over lines", "replace", "/long", "short", "long: |\n  several\n  lines\n", "long: short\n"),
    ("a group by a group", "replace", "/supplies/p1", {"part": "s/p", "trim": "13 V"}, "12.6 V", "13 V"),
    (
        "a list by a value",
        "replace",
        "/recorders/rec1/notes",
        "none",
        "    notes:\n      - first\n      # between\n      - second\n",
        "    notes: none\n",
    ),
]


@pytest.mark.parametrize(("name", "kind", "path", "value", "was", "now"), CASES, ids=[case[0] for case in CASES])
def test_only_the_intended_characters_change(name, kind, path, value, was, now):
    document = parse_document(TEXT, "a.site.yaml")
    operation = {"op": kind, "path": path, "value": value}
    assert TEXT.count(was) == 1
    assert edited(document, [operation]).text == TEXT.replace(was, now)


def test_a_new_group_at_the_top_goes_below_the_last():
    text = "site: a\n\ncameras:\n  c1: {part: x/y}\n"
    after = edited(parse_document(text, "f"), [{"op": "add", "path": "/boxes", "value": {"b1": {"part": "g/b"}}}])
    assert after.text == text + "\nboxes:\n  b1: {part: g/b}\n"


def test_line_ends_are_kept():
    text = "site: a\r\ncameras:\r\n  c1: {part: x/y}\r\n"
    after = edited(parse_document(text, "f"), [{"op": "add", "path": "/cameras/c2", "value": {"part": "x/z"}}])
    assert after.text == text + "  c2: {part: x/z}\r\n"


def test_move_is_a_removal_and_an_addition():
    text = "a: {x: 1, y: 2}\nb: {z: 3}\n"
    after = edited(parse_document(text, "f"), [{"op": "move", "from": "/a/x", "path": "/b/x"}])
    assert after.text == "a: {y: 2}\nb: {z: 3, x: 1}\n"


@pytest.mark.parametrize(
    "text",
    [
        "no",
        "16:9",
        "12:30:00",
        "true",
        "null",
        "~",
        "1.5",
        "007",
        "a: b",
        "a #b",
        "- a",
        "[a",
        "é",
        "it's",
        'say "x"',
        "",
        " x",
        "2592x1944@20",
        "12.6 V",
        "-20 °C",
        "@x",
        "a\tb",
        "x: ",
    ],
)
def test_text_reads_back_as_that_text(text):
    """Also by the reader of YAML 1.1 texts without types, in braces as on a line of its own."""
    for written, wanted in ((f"k: {flow(text)}\n", text), (f"k: {{v: {flow(text)}}}\n", {"v": text})):
        assert parse_document(written, "f").value["k"] == wanted
        assert yaml.load(written, Loader=yaml.BaseLoader)["k"] == wanted


def test_random_patches_on_example_sites(tmp_path):
    """Random edits of the example files read as the patched value, and every comment is still there."""
    tried = 0
    for path in sorted((random_sites.REPO / "examples").glob("*/*.site.yaml")):
        document = read_document(path)
        comments = [line.partition("#")[2] for line in document.text.splitlines() if "#" in line]
        for seed in range(25):
            draw = Random(seed)
            patch = [each for each in random_sites.random_edit(draw, document.value) if each["op"] != "remove"]
            try:
                wanted = applied(document.value, patch)
            except PatchError:
                continue
            after = edited(document, patch)
            assert same(after.value, wanted), (path.name, seed)
            assert same(yaml_plain(after.text), yaml_plain_of(wanted)), (path.name, seed)
            assert all(comment in after.text for comment in comments)
            tried += 1
    assert tried > 50


def yaml_plain(text):
    return yaml.load(text, Loader=yaml.CBaseLoader)


def yaml_plain_of(value):
    """The value with every scalar as the untyped reader gives it."""
    if isinstance(value, dict):
        return {key: yaml_plain_of(each) for key, each in value.items()}
    if isinstance(value, list):
        return [yaml_plain_of(each) for each in value]
    if isinstance(value, bool):
        return "true" if value else "false"
    return "" if value is None else str(value)


def site_file(tmp_path, data: bytes):
    path = tmp_path / "a.site.yaml"
    path.write_bytes(data)
    return path


PATCH = [{"op": "replace", "path": "/retention", "value": "30 days"}]


@pytest.mark.parametrize(
    "data",
    [TEXT.encode(), b"\xef\xbb\xbf" + TEXT.encode(), TEXT.replace("\n", "\r\n").encode(), TEXT.rstrip().encode()],
    ids=["plain", "mark", "crlf", "no-end"],
)
def test_written_and_taken_back_byte_for_byte(tmp_path, data):
    path = site_file(tmp_path, data)
    diff = writing.write_patch(path, read_document(path), PATCH)
    assert "-retention: 21 days" in diff
    assert "+retention: 30 days" in diff
    assert path.read_bytes() == data.replace(b"21 days", b"30 days")
    writing.undo(path)
    assert path.read_bytes() == data
    assert os.listdir(tmp_path) == ["a.site.yaml"]


def test_a_file_that_changed_is_left_alone(tmp_path):
    path = site_file(tmp_path, TEXT.encode())
    document = read_document(path)
    path.write_bytes(TEXT.encode() + b"# more\n")
    with pytest.raises(Refusal, match="changed since it was read"):
        writing.write_patch(path, document, PATCH)
    assert path.read_bytes() == TEXT.encode() + b"# more\n"
    assert os.listdir(tmp_path) == ["a.site.yaml"]


def test_undo_does_not_overwrite_later_work(tmp_path):
    path = site_file(tmp_path, TEXT.encode())
    writing.write_patch(path, read_document(path), PATCH)
    path.write_bytes(path.read_bytes() + b"# more\n")
    with pytest.raises(Refusal, match="changed since it was written"):
        writing.undo(path)
    assert path.read_bytes().endswith(b"# more\n")


def test_nothing_to_undo(tmp_path):
    with pytest.raises(Refusal, match="nothing to undo"):
        writing.undo(site_file(tmp_path, TEXT.encode()))
