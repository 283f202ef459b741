"""Makes what the program runs of the declared facts: `python -m coaxwright.facts.declared.writing --write`.

Two modules are made: names, units and sentences for the sheets (`facts/sheets/declared.py`), and the checked expressions
(`facts/declared/expressions.py`). Without `--write` it says whether they are what `rules/facts` says; exit status 1 where
they are not, or a case does not hold.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path

from coaxwright.errors import Problem, Refusal
from coaxwright.facts.declared.cases import failing
from coaxwright.facts.declared.checking import Beside, Read, read_facts
from coaxwright.model.facts import Declaration, Given
from coaxwright.resources import data_root

_HOW = "Made by `python -m coaxwright.facts.declared.writing --write`; edit `rules/facts`, not this module."
_ROW = '''
class Row(NamedTuple):
    """Type, unit and sentence of a field; the figure of a constant."""

    type: str
    unit: str
    says: str
    value: float | None = None
'''


def read_all() -> list[Read]:
    """Every file of facts of the program, in order of name. Raises Refusal with all problems, failing cases too."""
    found = read_files()
    problems = [problem for each in found for problem in failing(each)]
    if problems:
        raise Refusal(problems)
    return found


def read_files() -> list[Read]:
    """Every file of facts of the program, in order of name, its cases not run. Raises Refusal with all problems."""
    beside: Beside = {}
    found, problems = _read_files(beside)
    if problems:  # once more, now that the fields of files that stand behind are known
        found, problems = _read_files(beside)
    if problems:
        raise Refusal(problems)
    return found


def _read_files(beside: Beside) -> tuple[list[Read], list[Problem]]:
    folder = Path(str(data_root("rules"))) / "facts"
    problems: list[Problem] = []
    found: list[Read] = []
    for path in sorted(folder.glob("*.yaml")):
        try:
            found.append(read_facts(path, f"rules/facts/{path.name}", beside))
        except Refusal as refusal:
            problems += refusal.problems
    return found, problems


def modules(reads: Sequence[Read]) -> Mapping[Path, str]:
    """The text of each module that is made."""
    root = Path(__file__).parents[1]
    return {root / "sheets" / "declared.py": _sheets(reads), root / "declared" / "expressions.py": _expressions(reads)}


def _sheets(reads: Sequence[Read]) -> str:
    lines = [*_head("Fields of sheets that are declared in `rules/facts`."), "from typing import NamedTuple\n", _ROW]
    for name, sections in (("DECLARED", ("facts",)), ("STEPS", ("given", "steps"))):
        lines.append(f"\n{name}: Mapping[str, Mapping[str, Row]] = {{")
        for read in reads:
            rows = [(field, each) for section in sections for field, each in getattr(read.model, section).items()]
            lines += [f"    {_quoted(read.model.kind)}: {{", *(_row(read, *row) for row in rows), "    },"]
        lines.append("}")
    return "\n".join(lines) + "\n"


def _head(what: str) -> list[str]:
    imports = ["from __future__ import annotations\n", "from collections.abc import Mapping"]
    return [f'"""{what}\n\n{_HOW}\n"""\n', "# ruff: noqa: E501", *imports]


def _row(read: Read, name: str, field: Declaration | Given) -> str:
    told = ", ".join(_quoted(each) for each in (read.types.get(name, "float"), field.unit, field.says))
    value = field.value if isinstance(field, Given) else None
    return f"        {_quoted(name)}: Row({told}{'' if value is None else f', {value}'}),"


def _expressions(reads: Sequence[Read]) -> str:
    lines = [*_head("Checked expressions of the facts that are declared in `rules/facts`, as JSON."), ""]
    lines.append("EXPRESSIONS: Mapping[str, str] = {")
    lines += [f"    {_quoted(read.model.kind)}: {_quoted(json.dumps(read.plain, separators=(',', ':')))}," for read in reads]
    return "\n".join([*lines, "}"]) + "\n"


def _quoted(text: str) -> str:
    """A Python text in double quotes where it holds none."""
    return repr(text) if '"' in text else f'"{text}"' if "\\" not in text else repr(text)


def main(arguments: Sequence[str]) -> int:
    """Write the modules, or say which are not what the declarations say."""
    try:
        made = modules(read_all())
    except Refusal as refusal:
        print("\n".join(map(str, refusal.problems)), file=sys.stderr)  # noqa: T201
        return 1
    stale = [path for path, text in made.items() if not path.exists() or path.read_text(encoding="utf-8") != text]
    for path in stale:
        if "--write" in arguments:
            path.write_text(made[path], encoding="utf-8")
        else:
            print(f"{path.name} is not what rules/facts says: run this again with --write", file=sys.stderr)  # noqa: T201
    return 1 if stale and "--write" not in arguments else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
