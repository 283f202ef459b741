"""The page of planted mistakes: `python -m tests.editor.mistakes_page` plants each of them, asks the language server for
YAML (from npm) and writes docs/planted-mistakes.md with what it says.

The mistakes are those of `test_yaml_server.py`; a test there holds the page against the server.
"""

from __future__ import annotations

import difflib
from pathlib import Path

from tests.editor.client import Client
from tests.editor.test_yaml_server import CASES, PARTS, PATTERN, PLANTED, ROOT, RULE, SERVER, SETTINGS, SITE

PAGE = ROOT / "docs" / "planted-mistakes.md"
KINDS = {SITE: "a site", PARTS: "a part file", RULE: "a rule", PATTERN: "a pattern of questions", CASES: "cases of a rule"}
HEAD = """# Planted mistakes, and what an editor says

Every YAML file names its schema in its first line ([editors and hooks](editors-and-hooks.md)). These are mistakes planted
by hand, and the words of `yaml-language-server`, which most editors use, with the schemas of this version and nothing else
of the program. What a schema cannot know, whether a system works, `coaxwright editor` tells while you type
([editor](editor.md)). `python -m tests.editor.mistakes_page` writes this page anew.
"""


def page(client: Client, folder: Path) -> str:
    """The whole page."""
    lines = [HEAD]
    for text, kind in KINDS.items():
        lines += [f"## In {kind}", "", "| written | instead of | said |", "| --- | --- | --- |"]
        lines += [_row(client, folder, mistake) for mistake in PLANTED if mistake[0] is text]
        lines.append("")
    return "\n".join(lines)


def _row(client: Client, folder: Path, mistake: tuple[str, str, str, str]) -> str:
    text, was, now, says = mistake
    planted = text.replace(was, now)
    path = folder / f"{PLANTED.index((text, was, now, says))}.yaml"
    said = client.told(client.open(path, planted.replace("SCHEMAS", (ROOT / "schemas").as_uri())))
    told = "; ".join(dict.fromkeys(" ".join(each["message"].split()) for each in said))
    wrong, right = _differing(planted, text), _differing(text, planted)
    return f"| {wrong} | {right} | {_cell(told)} |"


def _differing(one: str, other: str) -> str:
    """The lines of one text that the other has not; a line that is missing is said to be."""
    lines = [each[2:].strip() for each in difflib.ndiff(other.splitlines(), one.splitlines()) if each.startswith("+ ")]
    return "<br>".join(f"`{_cell(each)}`" for each in lines) or "(left out)"


def _cell(text: str) -> str:
    return text.replace("|", "\\|")


if __name__ == "__main__":
    import tempfile

    with tempfile.TemporaryDirectory() as place, Client([str(SERVER), "--stdio"], ROOT, SETTINGS) as server:
        PAGE.write_text(page(server, Path(place)), encoding="utf-8")
