"""Gives every YAML file of rules/ and examples/ that names no schema the line that does.

`python -m tests.editor.name_schemas`
"""

from __future__ import annotations

from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
MARK = "# yaml-language-server: $schema="
_QUIZ = {name: name for name in ("case-ground", "faults", "slips", "stock", "words")}
_FOLDERS = {"facts": "declared-facts", "cases": "bases"}


def schema_of(path: Path) -> str:
    """The name of the schema of a file of this repository, by where it stands."""
    parts, cases = path.relative_to(ROOT).parts, ".cases." in path.name
    if parts[0] != "rules":
        return "site" if path.name.endswith(".site.yaml") else "prices" if "prices" in path.stem else "parts"
    if parts[1] == "quiz":
        return _QUIZ.get(path.stem) or ("pattern-cases" if cases else "pattern")
    if parts[1] == "course":
        return path.stem if path.stem in ("languages", "lessons") else "exam"
    if parts[1] == "diagnosis":
        return path.stem
    if parts[1] == "tables":
        return "parts" if path.name.startswith("parts-") else "table"
    return _FOLDERS.get(parts[1]) or ("cases" if cases else "rule")


def files() -> list[Path]:
    """All that have to name a schema."""
    return sorted([*ROOT.glob("rules/**/*.yaml"), *ROOT.glob("examples/**/*.yaml")])


def name_all() -> list[Path]:
    """Write the lines that are missing: first in rules, last in examples, whose lines are cited in docs."""
    changed = []
    for path in files():
        text = path.read_bytes().decode()
        if MARK not in text:
            up = "/".join([".."] * (len(path.relative_to(ROOT).parts) - 1))
            line = f"{MARK}{up}/schemas/{schema_of(path)}.schema.json\n"
            path.write_bytes((line + text if path.is_relative_to(ROOT / "rules") else text.rstrip("\n") + "\n" + line).encode())
            changed.append(path)
    return changed


if __name__ == "__main__":
    for each in name_all():
        print(each.relative_to(ROOT))
