"""Finds rule files and their case files below a folder, and refuses what it would otherwise have to skip.

A folder of rules holds `<topic>/<name>.yaml` with `<topic>/<name>.cases.yaml` beside it. `tables`, `cases` and `quiz`
belong to the program and hold no rules. Nothing is read here but the bytes, for the digest.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from coaxwright.errors import Problem, Refusal
from coaxwright.reading.yaml_source import read_bytes
from coaxwright.resources import data_root

CASES_SUFFIX = ".cases.yaml"
_NOT_TOPICS = frozenset({"tables", "cases", "quiz"})
MAX_FILE_BYTES = 2 * 1024 * 1024


@dataclass(frozen=True, slots=True)
class RuleFile:
    """One rule file: its place, its name in messages, the ids that its place allows, its bytes, and those of
    its cases.

    The first of `ids` is the one that its path gives; a folder named after a topic may hold its rules
    directly.
    """

    path: Path
    name: str
    ids: tuple[str, ...]
    data: bytes
    cases: bytes | None

    @property
    def cases_name(self) -> str:
        """Name of its case file in messages."""
        return self.name.removesuffix(".yaml") + CASES_SUFFIX


def own_folder() -> Path:
    """The folder of the program's own rules."""
    return Path(str(data_root("rules")))


def find_rule_files(extra: Sequence[Path] = ()) -> list[RuleFile]:
    """All rule files of the program and of the folders in `extra`, in order of name. Raises Refusal.

    Refused: a folder without a rule, a file of cases without its rule, a YAML file that is neither.
    """
    files: list[RuleFile] = []
    problems: list[Problem] = []
    for folder, shown in [(own_folder(), "rules"), *((Path(each), str(each)) for each in extra)]:
        try:
            files.extend(_below(folder, shown))
        except Refusal as refusal:
            problems.extend(refusal.problems)
    if problems:
        raise Refusal(problems)
    return sorted(files, key=lambda file: file.name)


def _below(folder: Path, shown: str) -> list[RuleFile]:
    if not folder.is_dir():
        raise Refusal(
            [Problem(shown, "there is no such folder of rules", "name a folder that holds rule files")]
        )
    listed = sorted(_files(folder))
    stems = {path.with_suffix("") for path in listed if _is_rule(path)}
    problems = [
        _stray(path, f"{shown}/{path.relative_to(folder).as_posix()}")
        for path in listed
        if _is_stray(path, stems)
    ]
    if not stems and not problems:
        problems.append(
            Problem(shown, "there are no rules in this folder", "a rule is a file <topic>/<name>.yaml")
        )
    if problems:
        raise Refusal(problems)
    return [_rule_file(path, folder, shown) for path in listed if _is_rule(path)]


def _files(folder: Path) -> Iterator[Path]:
    """Files of the folder and of its topics; hidden ones and those of no YAML name are not looked at."""
    for path in folder.iterdir():
        if path.name.startswith(".") or (path.is_dir() and path.name in _NOT_TOPICS):
            continue
        inside = path.rglob("*") if path.is_dir() else [path]
        yield from (each for each in inside if each.suffix.lower() in (".yaml", ".yml", ".json"))


def _is_rule(path: Path) -> bool:
    return path.name.endswith(".yaml") and not path.name.endswith(CASES_SUFFIX)


def _is_stray(path: Path, stems: set[Path]) -> bool:
    if path.name.endswith(CASES_SUFFIX):
        return path.with_name(path.name.removesuffix(CASES_SUFFIX)) not in stems
    return not _is_rule(path)


def _stray(path: Path, name: str) -> Problem:
    if path.name.endswith(CASES_SUFFIX):
        rule = path.name.removesuffix(CASES_SUFFIX) + ".yaml"
        return Problem(name, "these cases name no rule", f"there is no `{rule}` beside them")
    return Problem(
        name, "this file is neither a rule nor cases", "name it <name>.yaml, or take it out of the folder"
    )


def _rule_file(path: Path, folder: Path, shown: str) -> RuleFile:
    inside = path.relative_to(folder).with_suffix("").as_posix()
    ids = (inside, f"{folder.resolve().name}/{inside}") if "/" not in inside else (inside,)
    name = f"{shown}/{path.relative_to(folder).as_posix()}"
    cases = path.with_name(path.stem + CASES_SUFFIX)
    data = read_bytes(path, name, MAX_FILE_BYTES)
    cases_name = name.removesuffix(".yaml") + CASES_SUFFIX
    beside = read_bytes(cases, cases_name, MAX_FILE_BYTES) if cases.exists() else None
    return RuleFile(path, name, ids[::-1], data, beside)


def digest_of(files: Iterable[RuleFile]) -> str:
    """`sha256:...` over the rules, by name and content: what a report says it was made with.

    Cases do not count.
    """
    state = hashlib.sha256()
    for file in files:
        state.update(f"{len(file.name)}:{file.name}{len(file.data)}:".encode())
        state.update(file.data)
    return f"sha256:{state.hexdigest()}"


def state_of(files: Iterable[RuleFile]) -> str:
    """A digest of rules and cases, for the cache."""
    state = hashlib.sha256()
    for file in files:
        for data in (file.name.encode(), file.data, file.cases or b""):
            state.update(f"{len(data)}:".encode())
            state.update(data)
    return state.hexdigest()
