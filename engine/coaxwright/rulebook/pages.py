"""Rule pages: what each rule judges and why, as Markdown made from its file alone; and their index.

`coaxwright rules docs` writes them or compares; nothing here loads rules.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from coaxwright.rulebook import cautions
from coaxwright.rulebook.builtin import BuiltIn
from coaxwright.rulebook.scope import scope_of
from coaxwright.rulebook.short_rules import NO_SOURCE, sourceless

_LEVELS = {
    "error": "error: the system does not do what is wanted of it",
    "warning": "warning: it may, and there is a reason to doubt it",
    "note": "note: worth knowing",
}
_OUTCOMES = ("fails", "passes", "open", "does not apply")
NOTICE = "<!-- Made from the rule file by `coaxwright rules docs`; edit the rule, not this page. -->"


def rule_page(rule: Mapping[str, Any], cases: Sequence[Mapping[str, str]], pair: tuple[str, str] | None = None) -> str:
    """The page of one rule, from the plain data of its file and the names and outcomes of its cases; `pair` is a stretch
    of a site on which it fails, and the same mended.
    """
    blocks = [
        NOTICE,
        f"# {rule['id']}",
        f"**{_prose(rule['title'])}**",
        _facts(rule),
        "## Why",
        _prose(rule["why"]),
        *_condition(rule),
        *_limits(rule),
        "## What it says",
        f"> {_placeholders(rule['says'])}",
        *_lines("Working shown with it:", (_placeholders(line) for line in rule.get("working", ()))),
        *_pair(pair),
        *_fixes(rule),
        *([f"**Caution.** {_prose(caution)}"] if (caution := cautions.told(rule)) else []),
        *_cases(cases),
        "## Sources",
        "\n".join(f"- {_source(source)}" for source in rule["sources"]),
    ]
    return "\n\n".join(blocks) + "\n"


def builtin_page(about: BuiltIn) -> str:
    """The page of a finding that no rule file makes."""
    blocks = (
        f"# {about.id}",
        f"**{about.title}**",
        _LEVELS[about.level].capitalize() + ".",
        "## Why",
        about.why,
    )
    return "\n\n".join(blocks) + "\n"


def index_page(rules: Iterable[Mapping[str, Any]]) -> str:
    """The list of all rules by topic."""
    topics: dict[str, list[Mapping[str, Any]]] = {}
    for rule in rules:
        topics.setdefault(rule["id"].partition("/")[0], []).append(rule)
    blocks = [NOTICE, "# Rules"]
    for topic, members in sorted(topics.items()):
        rows = [
            f"| [{rule['id']}]({rule['id']}.md) | {rule['level']} | {_cell(rule['title'])} |"
            for rule in members
        ]
        blocks += [
            f"## {topic}",
            "\n".join(["| rule | level | what it finds |", "| --- | --- | --- |", *rows]),
        ]
    return "\n\n".join(blocks) + "\n"


def all_pages(
    rules: Iterable[tuple[Mapping[str, Any], Sequence[Mapping[str, str]]]], pairs: Mapping[str, tuple[str, str]]
) -> dict[str, str]:
    """Every page by its path below the folder of rule pages; `rules` are plain rules with their cases."""
    listed = list(rules)
    pages = {f"{rule['id']}.md": rule_page(rule, cases, pairs.get(rule["id"])) for rule, cases in listed}
    return {"index.md": index_page(rule for rule, _ in listed), **pages}


def write_pages(pages: Mapping[str, str], folder: Path) -> list[str]:
    """Write what differs, remove pages of rules that are gone; the names of what changed, sorted."""
    changed = stale_pages(pages, folder)
    for name in changed:
        target = folder / name
        if name in pages:
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_text(pages[name], encoding="utf-8")
        else:
            target.unlink()
    return changed


def stale_pages(pages: Mapping[str, str], folder: Path) -> list[str]:
    """Names of pages that are missing, differ from the rules, or belong to no rule."""
    on_disk = {path.relative_to(folder).as_posix(): path for path in folder.rglob("*.md")}
    differing = [
        name
        for name, text in pages.items()
        if name not in on_disk or on_disk[name].read_text("utf-8") != text
    ]
    return sorted([*differing, *(name for name in on_disk if name not in pages)])


def _prose(text: str) -> str:
    return " ".join(text.split())


def _cell(text: str) -> str:
    return _prose(text).replace("|", "\\|")


def _placeholders(text: str) -> str:
    """A sentence with its placeholders as code."""
    return _prose(text).replace("{{", "\0").replace("}}", "\1").replace("{", "`{").replace("}", "}`").replace(
        "\0", "{").replace("\1", "}")  # fmt: skip


def _facts(rule: Mapping[str, Any]) -> str:
    rows = [("level", _LEVELS[rule["level"]]), ("judges", str(scope_of(rule["about"])))]
    rows += [("source", NO_SOURCE)] if sourceless(rule) else [("since", f"{rule['since']} ({rule['status']})")]
    rows += [("replaced by", f"`{rule['replaced_by']}`")] if rule.get("replaced_by") else []
    rows += [("formerly", ", ".join(f"`{name}`" for name in rule["aliases"]))] if rule.get("aliases") else []
    return "\n".join(["| | |", "| --- | --- |", *(f"| {name} | {_cell(value)} |" for name, value in rows)])


def _condition(rule: Mapping[str, Any]) -> Iterator[str]:
    yield "## What it requires"
    if rule.get("when"):
        yield f"Applies when:\n\n```\n{rule['when'].strip()}\n```"
    yield from _silences(rule)
    yield f"Must hold:\n\n```\n{rule['require'].strip()}\n```"
    if rule.get("margin"):
        yield f"Margin, as a share:\n\n```\n{rule['margin'].strip()}\n```"


def _silences(rule: Mapping[str, Any]) -> Iterator[str]:
    """Where another rule's failing leaves nothing to ask, and why."""
    silences = rule.get("silent_when") or ()
    if silences:
        rows = [
            f"| `{each['rule']}` | `{_cell(each['while'])}` | {_cell(each['because'])} |" for each in silences
        ]
        table = "\n".join(["| rule | while | because |", "| --- | --- | --- |", *rows])
        yield f"Silent where another rule fails and leaves nothing to ask:\n\n{table}"


def _limits(rule: Mapping[str, Any]) -> Iterator[str]:
    limits = rule.get("limits") or {}
    if limits:
        yield "## Limits"
        head = ["| limit | value | what it stands for | source |", "| --- | --- | --- | --- |"]
        rows = [
            f"| `{name}` | {_shown(each['value'])} | {_cell(each.get('about', ''))} "
            f"| {_cell(each['source'])} |"
            for name, each in limits.items()
        ]
        yield "\n".join([*head, *rows])
        yield f"A site may set others under `rules: {{{rule['id']}: {{limits: ...}}}}`."


def _pair(pair: tuple[str, str] | None) -> Iterator[str]:
    """What fails, and what holds at the same places."""
    if pair is not None:
        yield "## Example"
        yield f"```yaml\n{pair[0]}```"
        yield "Use instead, for example:" if pair[1].strip() != "{}" else "Use instead: nothing of it."
        if pair[1].strip() != "{}":
            yield f"```yaml\n{pair[1]}```"


def _shown(value: object) -> str:
    return _cell(str(value).lower() if isinstance(value, bool) else str(value))


def _lines(head: str, lines: Iterable[str]) -> Iterator[str]:
    listed = [f"- {line}" for line in lines]
    if listed:
        yield head + "\n\n" + "\n".join(listed)


def _fixes(rule: Mapping[str, Any]) -> Iterator[str]:
    fixes = rule.get("fixes") or ()
    if fixes:
        yield "## Changes that may clear it"
        yield "\n".join(f"- {_fix(fix)}" for fix in fixes)


def _fix(fix: Mapping[str, Any]) -> str:
    if fix.get("says"):
        return _placeholders(fix["says"])
    of = f" of `{fix['of']}`" if fix.get("of") else ""
    to = f" to `{fix['to']}`" if fix.get("to") else ""
    prefer = f" ({fix['prefer']} first)" if fix.get("prefer") else ""
    return f"{fix['do']}".replace("_", " ").replace("-", " ") + of + to + prefer


def _cases(cases: Sequence[Mapping[str, str]]) -> Iterator[str]:
    if cases:
        yield "## Tried on"
        for outcome in _OUTCOMES:
            names = [_prose(case["name"]) for case in cases if case["outcome"] == outcome]
            if names:
                yield f"{outcome.capitalize()}: {'; '.join(names)}."


def _source(source: Mapping[str, Any]) -> str:
    head = ", ".join(source[part] for part in ("title", "edition", "clause") if source.get(part))
    return _prose(f"{head}: {source['for']}" if source.get("for") else head)
