"""Files made to do harm, each as a folder of files, with the call, the exit status and words of the message.

Kinds after OWASP ASVS 5.0 (chapters on validation, encoding and file handling), the YAML 1.2.2 specification and common
practice. The site and the rule that they are made from are sound: `SOUND` shows it.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

SITE = """\
site: Reed Landing
parts: [parts/*.yaml]
recorders:
  rec1: {part: tarnwell/hybrid-8, disks: [tarnwell/disk]}
supplies:
  psu1: {part: tarnwell/psu}
cameras:
  jetty:
    part: brackwater/bullet-5
    video: {into: rec1/1, over: [{cable: hollin/coax, length: 85 m}]}
    power: {from: psu1/1, over: [{cable: dc-0.75mm2, length: 80 m}]}
"""
PARTS = """\
parts:
  brackwater/bullet-5:
    kind: camera
    source: invented
    emits: [{family: tvi, mode: 2592x1944@20}]
  tarnwell/hybrid-8:
    kind: recorder
    source: invented
    inputs: [{channels: 1-8, accepts: [{family: tvi, mode: 2592x1944@20}]}]
  tarnwell/psu: {kind: supply, source: invented, volts: 12 V}
  tarnwell/disk: {kind: disk, source: invented, capacity: 4 TB}
  hollin/coax: {kind: cable, source: invented, carries: [coax]}
"""
RULE = """\
id: power/strange
title: A rule from a stranger
level: error
about: camera
require: REQUIRE
says: "SAYS"
why: To see what it does.
sources: [{title: common practice}]
since: "0.1"
"""
Files = dict[str, str | bytes]
Prepare = Callable[[Path], None]


@dataclass(frozen=True)
class Attack:
    """`status` and `words` (a pattern in what is told, on either stream) are what must come of `call` in the folder."""

    name: str
    files: Files
    words: str
    status: int = 2
    call: tuple[str, ...] = ("check", "a.site.yaml")
    prepare: Prepare | None = None


def _site(name: str, text: str | bytes, words: str) -> Attack:
    return Attack(name, {"a.site.yaml": text}, words)


def _in_site(name: str, old: str, new: str, words: str) -> Attack:
    assert old in SITE, name
    return Attack(name, {"a.site.yaml": SITE.replace(old, new)}, words)


def _parts(name: str, text: str | bytes, words: str) -> Attack:
    return Attack(name, {"parts/p.yaml": text}, words)


def _rule(name: str, require: str, words: str, says: str = "no", status: int = 2, **more: str) -> Attack:
    text = RULE.replace("REQUIRE", f"'{require}'").replace("SAYS", says)
    for old, new in more.items():
        text = text.replace(f"{old}:", new, 1)
    return Attack(name, {"rules/power/strange.yaml": text}, words, status, ("check", "a.site.yaml", "--rules", "rules"))


def _named(name: str, pattern: str, words: str, prepare: Prepare | None = None) -> Attack:
    return Attack(name, {"a.site.yaml": SITE.replace("parts/*.yaml", pattern)}, words, prepare=prepare)


def _table(name: str, data: str | bytes, words: str, file: str = "s.csv") -> Attack:
    return Attack(name, {file: data}, words, 2, ("schedule", "import", file, "--output", "b.site.yaml"))


def _laughs(levels: int) -> str:
    lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x]"]
    lines += [f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 9)}]" for n in range(1, levels)]
    return "\n".join(lines) + "\n"


YAML = [
    _site("billion laughs", _laughs(9), "anchor `&a0` is not used here"),
    _site("self reference", "a: &x [*x]\n", "anchor `&x` is not used here"),
    _site("merge bomb", "a: &x {b: 1}\nc: {<<: [*x, *x]}\n", "anchor|merge"),
    _site("deep lists", "a: " + "[" * 200_000, "nesting is too deep; nest less than 64|more than 64 levels deep"),
    _site("deep groups", "a: " + "{b: " * 100_000, "more than 64 levels deep"),
    _site("deep blocks", "".join(" " * n + "a:\n" for n in range(3_000)), "more than 64 levels deep"),
    _site("deep dashes", "a:\n  " + "- " * 50_000 + "x\n", "more than 64 levels deep"),
    _site("python object", "site: !!python/object/apply:os.system ['touch owned']\n", "tag `!!python/object"),
    _site("python name", "site: !!python/name:os.system ''\n", "tag `!!python/name"),
    _site("own tag", "site: !include /etc/passwd\n", "tag `!include`"),
    _site("tag directive", "%TAG ! tag:example.invalid,2000:\n---\nsite: x\n", "directives are not used"),
    _site("two documents", SITE + "---\n" + SITE, "a second document starts here"),
    _site("long key", "? " + "k" * 200_000 + "\n: 1\n", "a.site.yaml:"),
    _site("many keys", "site: x\n" + "".join(f"k{n}: 1\n" for n in range(4_000)), "k0"),
    _site("same key over and over", "site: x\n" + "a: 1\n" * 4_000, "written twice"),
    _site("number of 5,000 digits", "site: " + "9" * 5_000 + "\n", "digits"),
    _site("hexadecimal of a million digits", "site: x\ncameras: 0x" + "f" * 1_000_000 + "\n", "cameras"),
    _site("huge exponent", "site: 1e999999999\n", "too large for a number"),
    _site("infinity", "site: .inf\n", "not a finite number"),
    _site("not a number", "site: .nan\n", "not a finite number"),
    _site("escape sequence", "site: \x1b[2Jx\n", r"invisible character U\+001B"),
    _site("escaped escape sequence", 'site: "\\e]52;c;eA==\\a"\n', r"invisible character U\+001B"),
    _site("C1 control", "site: \x9b31mx\n", r"invisible character U\+009B"),
    _site("delete", "site: a\x7fb\n", r"invisible character U\+007F"),
    _site("zero byte", "site: a\0b\n", "a zero byte stands here"),
    _site("bidirectional override", "site: \u202egnp\n", r"invisible character U\+202E"),
    _site("bidirectional isolate in a comment", SITE + "# \u2066 x\n", r"invisible character U\+2066"),
    _site("byte order mark inside", "site: a\ufeffb\n", r"invisible character U\+FEFF"),
    _site("escaped half character", 'site: "\\ud800"\n', "a.site.yaml:1:"),
    _site("bytes that are no UTF-8", b"site: \xff\xfe\xff\n", "not UTF-8 at byte 7"),
    _site("overlong UTF-8", b"site: \xc0\xaf\n", "not UTF-8 at byte 7"),
    _site("UTF-16", SITE.encode("utf-16"), "the file is in UTF-16"),
    _site("UTF-32", SITE.encode("utf-32"), "the file is in UTF-32"),
    _site("random bytes", bytes((n * 7919 + n // 3) % 256 for n in range(100_000)), "a.site.yaml"),
    _site("only zero bytes", b"\0" * 1_000_000, "a zero byte stands here"),
    _site("empty", "", "the file is empty"),
    _site("only line ends", "\n" * 100_000, "the file is empty"),
    _site("a list", "- x\n", "the top of the file is a list"),
    _site("open quotes", "site: '" + "x" * 100_000, "never closed"),
]  # fmt: skip
MEANING = [
    _in_site("negative length", "85 m", "-85 m", "length"),
    _in_site("tower of powers", "85 m", "9**9**9 m", "length"),
    _in_site("code for a length", "85 m", "__import__('os').getcwd()", "a.site.yaml:10:63: `__import__"),
    _in_site("length of a million digits", "85 m", "'" + "1" * 1_000_000 + " m'", "1000002 characters long"),
    _in_site("digits of another script", "85 m", "'٨٥ m'", "digits other than 0 to 9"),
    _in_site("not a number of metres", "85 m", "nan m", "not a finite number"),
    _in_site("camera fed by itself", "from: psu1/1", "from: jetty/1", "jetty"),
    _in_site("endless channel", "rec1/1", "rec1/" + "9" * 400, "rec1"),
    _in_site("path for a name", "jetty:", "../../etc/passwd:", r"\.\./\.\./etc/passwd"),
    _in_site("command for a name", "jetty:", "'$(touch owned)':", "touch owned"),
    _in_site("very long name", "jetty:", f"? {'j' * 100_000}\n  :", "a.site.yaml"),
    _in_site("waiver without reason", "site: Reed Landing", "site: x\nwaive: [{rule: power/undervoltage}]", "waive|reason"),
]
PARTS_ATTACKS = [
    _parts("part: billion laughs", _laughs(9), "p.yaml:1:.*anchor `&a0`"),
    _parts("part: generic part replaced", PARTS + "  generic/rg59-solid: {kind: cable, source: x}\n", "p.yaml"),
    _parts("part: unknown kind", PARTS.replace("kind: supply", "kind: bomb"), "bomb"),
    _parts("part: unknown field", PARTS.replace("volts: 12 V", "volts: 12 V, __class__: x"), "__class__"),
    _parts("part: supply of a million gigavolts", PARTS.replace("12 V", "1e15 V"), "too large for a voltage"),
    _parts("part: channels without end", PARTS.replace("1-8", "1-999999999"), "channels"),
    _parts("part: channels backwards", PARTS.replace("1-8", "8-1"), "channels"),
    _parts("part: mode of an endless picture", PARTS.replace("2592x1944@20", "9999999x9999999@9999"), "mode"),
    _parts("part: kit of unknown parts", PARTS + "  hollin/k: {kind: kit, source: x, contains: [{part: ../x}]}\n", r"\.\./x"),
    Attack("part: the same id in two files", {"parts/q.yaml": PARTS}, "stands in parts/p.yaml"),
]


def _pipe(folder: Path) -> None:
    os.mkfifo(folder / "parts/z.yaml")


def _linked(target: str) -> Prepare:
    return lambda folder: (folder / "parts/z.yaml").symlink_to(target)


def _site_pipe(folder: Path) -> None:
    (folder / "a.site.yaml").unlink()
    os.mkfifo(folder / "a.site.yaml")


def _site_device(folder: Path) -> None:
    (folder / "a.site.yaml").unlink()
    (folder / "a.site.yaml").symlink_to("/dev/zero")


def _too_large(folder: Path) -> None:
    with (folder / "a.site.yaml").open("r+b") as stream:
        stream.truncate(3 << 30)


def _many(folder: Path) -> None:
    for number in range(120):
        (folder / f"parts/{number}.yaml").write_text("parts: {}\n")


FILES = [
    _named("absolute path", "/etc/passwd", "absolute path"),
    _named("home", "~/x.yaml", "absolute path"),
    _named("way up", "../x.yaml", r"leads out of the folder with `\.\.`"),
    _named("way up in the middle", "parts/../../x.yaml", r"leads out of the folder with `\.\.`"),
    _named("backslash", "'..\\x.yaml'", "has a backslash"),
    _named("drive", "'C:/x.yaml'", "absolute path"),
    _named("too deep", "a/b/c/d/e/f/g/h/i/j.yaml", "8 folders deep"),
    _named("stars without end", "'" + "**/" * 8 + "*.yaml'", "8 folders deep"),
    _named("pipe", "parts/*.yaml", "not a regular file", _pipe),
    _named("link to a device", "parts/*.yaml", "leads out of the folder", _linked("/dev/zero")),
    _named("link to a process", "parts/*.yaml", "leads out of the folder", _linked("/proc/self/environ")),
    _named("link out", "parts/*.yaml", "leads out of the folder", _linked("/etc/hostname")),
    _named("link to itself", "parts/*.yaml", "cannot be followed", _linked("z.yaml")),
    _named("dangling link", "parts/*.yaml", "cannot be followed", _linked("nowhere")),
    _named("many files", "parts/*.yaml", "more than 100 files", _many),
    Attack("site that is a pipe", {}, "not a regular file", prepare=_site_pipe),
    Attack("site that is a device", {}, "not a regular file", prepare=_site_device),
    Attack("site of three gigabytes", {}, "larger than 64 MiB", prepare=_too_large),
]
_TEN = "a" + "+a" * 9
_PAIRS = "[1]" + ".map(a,[a,a])" * 30
RULES = [
    _rule("rule: import", '__import__("os").system("touch owned") == 0', "not a name of the rule language|cannot stand"),
    _rule("rule: class of a value", "camera.__class__ == camera", "not a name of the rule language"),
    _rule("rule: code in a text", 'string(camera.exec("1")) == "1"', "exec"),
    _rule("rule: too long", "true" + " " * 3_999, "4000|characters"),
    _rule("rule: too many parts", "[" + "1," * 600 + "1] == []", "parts, more than 500"),
    _rule("rule: deep brackets", "!" * 400 + "true", "levels deep, more than 40"),
    _rule("rule: macros without end", "[1].all(a,[1].all(b,[1].all(c,[1].all(d,true))))", "inside one another"),
    _rule("rule: text that grows", '["x"]' + f".map(a,{_TEN})" * 9 + "[0].size() == 1", "steps of work", status=2),
    _rule("rule: list that grows", '[["x"]]' + f".map(a,{_TEN})" * 8 + "[0].size() == 1", "steps of work"),
    _rule("rule: lists of lists compared", f"{_PAIRS} == {_PAIRS}", "steps of work"),
    _rule("rule: sentence that grows", "false", "steps of work", says="{['x']" + f".map(a,{_TEN})" * 9 + "[0]}", status=1),
    _rule("rule: escape sequence in its sentence", "false", r"invisible character U\+001B", says="\\e[2J"),
    _rule("rule: way out by its id", "true", "`../../x` cannot stand here", id="id: ../../x #"),
    _rule("rule: unknown command", "true", "run", since="fixes: [{run: touch owned}]\nsince:"),
    Attack("rule: billion laughs", {"rules/power/strange.yaml": _laughs(9)}, "anchor `&a0`", 2,
           ("check", "a.site.yaml", "--rules", "rules")),
]  # fmt: skip
TABLES = [
    _table("table: zero byte", b"Camera,Model\0\n", "zero byte"),
    _table("table: open quotes", 'Camera,Model\n"open,x\n', "no CSV"),
    _table("table: half UTF-16", b"\xff\xfeC", "UTF-16"),
    _table("table: no headings", "1,2\n3,4\n", "s.csv"),
    _table("table: too many columns", "Camera,Model," + "x," * 20_000 + "\n", "column"),
    _table("table: too many rows", "Camera,Model\n" + "a,b\n" * 60_000, "rows"),
    _table("table: no workbook", b"PK\x03\x04" + b"\0" * 1_000, "s.xlsx", "s.xlsx"),
    _table("table: old workbook", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 64, "password", "s.xlsx"),
    _table("table: empty", "", "s.csv"),
    _table("table: escape sequence", "Camera,Model\n\x1b[2J,tarnwell/x\n", "s.csv"),
]
ATTACKS = [*YAML, *MEANING, *PARTS_ATTACKS, *FILES, *RULES, *TABLES]
