"""Makes docs/python/reference.md from signatures and docstrings: `python -m tests.api.doc_pages` from the top."""

from __future__ import annotations

import dataclasses
import inspect
import re
from pathlib import Path
from typing import Any

import coaxwright

ROOT = Path(__file__).resolve().parents[2]
PAGE = ROOT / "docs" / "python" / "reference.md"
FUNCTIONS = ("load_site", "load_text", "check", "check_many", "load_rulebook", "pair", "fix", "repair", "limits", "what_if",
             "compare", "propose", "quiz")  # fmt: skip
RESULTS = ("Result", "Checked", "Paired", "Fixed", "Repaired", "Limits", "WhatIf", "Compared", "Proposed", "Quiz")
RECORDS = ("Finding", "Fix", "SiteReport", "Report", "LoadedSite", "Problem", "Refusal")
HEAD = """# Python reference

Made from the docstrings by `python -m tests.api.doc_pages`; [index.md](index.md) shows how it is used.
All names are imported from `coaxwright`.
"""


def render() -> str:
    parts = [HEAD, "## Functions\n", *map(_function, FUNCTIONS)]
    parts += ["## Results\n", *map(_class, RESULTS), "## Records\n", *map(_class, RECORDS)]
    return "\n".join(parts)


def _function(name: str) -> str:
    found = getattr(coaxwright, name)
    return f"### {name}\n\n{_signature(name, found)}\n{_said(found)}\n{_home(found)}"


def _signature(name: str, found: Any) -> str:
    listed = [f"    {_parameter(each)}," for each in inspect.signature(found).parameters.values() if each.name != "self"]
    keyword = [each.kind for each in inspect.signature(found).parameters.values() if each.name != "self"]
    if inspect.Parameter.KEYWORD_ONLY in keyword:
        listed.insert(keyword.index(inspect.Parameter.KEYWORD_ONLY), "    *,")
    back = _plain(str(inspect.signature(found).return_annotation))
    inside = "\n".join(listed)
    return f"```python\n{name}({chr(10) if inside else ''}{inside}{chr(10) if inside else ''}) -> {back}\n```\n"


def _parameter(each: inspect.Parameter) -> str:
    """An argument as it is written: annotations are texts here, defaults are values."""
    kind = "" if each.annotation is inspect.Parameter.empty else f": {_plain(str(each.annotation))}"
    star = {inspect.Parameter.VAR_POSITIONAL: "*", inspect.Parameter.VAR_KEYWORD: "**"}.get(each.kind, "")
    default = "" if each.default is inspect.Parameter.empty else f" = {each.default!r}".replace("'", '"')
    return f"{star}{each.name}{kind}{default}"


def _plain(text: str) -> str:
    return re.sub(r"coaxwright\.(\w+\.)*", "", text).replace("'", '"')


def _said(found: Any) -> str:
    return (inspect.getdoc(found) or "") + "\n"


def _home(found: Any) -> str:
    where = Path(inspect.getsourcefile(found) or "").resolve().relative_to(ROOT)
    return f"Source: [{where.as_posix()}](../../{where.as_posix()})\n"


def _class(name: str) -> str:
    found = getattr(coaxwright, name)
    lines = [f"### {name}\n", _said(found)]
    if dataclasses.is_dataclass(found):
        lines += ["| field | type |", "| --- | --- |"]
        lines += [f"| `{each.name}` | `{_cell(each.type)}` |" for each in dataclasses.fields(found)]
        lines.append("")
    for method, value in vars(found).items():
        if method.startswith("_") or not (inspect.isfunction(value) or isinstance(value, property)):
            continue
        said = " ".join((inspect.getdoc(value) or "").split())
        called = method if isinstance(value, property) else f"{method}({_arguments(value)})"
        lines.append(f"- `{called}`: {said}")
    return "\n".join([*lines, "", _home(found)])


def _arguments(value: Any) -> str:
    return ", ".join(_parameter(each) for each in list(inspect.signature(value).parameters.values())[1:])


def _cell(kind: Any) -> str:
    return re.sub(r"\s+", " ", _plain(str(kind))).replace("|", "\\|")


if __name__ == "__main__":
    PAGE.write_text(render(), encoding="utf-8")
