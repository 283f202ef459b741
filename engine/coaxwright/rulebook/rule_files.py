"""Finds rule files and their case files below a folder, and refuses what it would otherwise have to skip.

A folder of rules holds `<topic>/<name>.yaml` with `<topic>/<name>.cases.yaml` beside it. `tables`, `cases` and `quiz`
belong to the program and hold no rules, nor do its own `facts`; `facts` in an added folder holds the user's facts (a file
there that requires something is a rule all the same). Nothing is read here but the bytes.
"""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from pathlib import Path

from coaxwright.errors import Problem, Refusal
from coaxwright.immutable import immutable
from coaxwright.reading.kept import state_of
from coaxwright.reading.yaml_source import read_bytes
from coaxwright.resources import data_root

CASES_SUFFIX = ".cases.yaml"
_NOT_TOPICS = frozenset({"tables", "cases", "quiz", "diagnosis", "course"})
_FACTS = "facts"
MAX_FILE_BYTES = 2 * 1024 * 1024


@immutable
class RuleFile:
    """One rule file: its place, its name in messages, the ids that its place allows, its bytes, and those of
    its cases.

    The first of `ids` is the one that its path gives; a folder named after a topic may hold its rules
    directly. `added` tells a user's file from the program's; `in_facts` says that it stands in his folder of facts.
    """

    path: Path
    name: str
    ids: tuple[str, ...]
    data: bytes
    cases: bytes | None
    added: bool = False

    @property
    def in_facts(self) -> bool:
        """Whether it stands where a user's facts do."""
        return self.added and "/" in self.ids[-1] and self.ids[-1].startswith(f"{_FACTS}/")

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


def state_of_folders(extra: Sequence[Path] = ()) -> str | None:
    """What tells the rule and case files from any other state of them, without reading one; None where a folder
    cannot be listed.
    """
    try:
        return "\n".join(line for folder in (own_folder(), *extra) for line in _states(str(folder)))
    except OSError:
        return None


def _states(folder: str) -> Iterator[str]:
    yield f"{folder} {os.path.abspath(folder)}"
    for name in sorted(_files(folder)):
        yield f"{name} {state_of(f'{folder}/{name}')}"


def _below(folder: Path, shown: str) -> list[RuleFile]:
    """The rule files of one folder. Names are plain text here: a start reads some two hundred files."""
    if not folder.is_dir():
        raise Refusal(
            [Problem(shown, "there is no such folder of rules", "name a folder that holds rule files")]
        )
    listed = sorted(_files(str(folder)), key=lambda name: name.split("/"))
    present = set(listed)
    problems = [_stray(name, f"{shown}/{name}") for name in listed if _is_stray(name, present)]
    rules = [name for name in listed if _is_rule(name)]
    if not rules and not problems:
        problems.append(
            Problem(shown, "there are no rules in this folder", "a rule is a file <topic>/<name>.yaml")
        )
    if problems:
        raise Refusal(problems)
    topic = folder.resolve().name
    return [_rule_file(str(folder), name, shown, topic, present) for name in rules]


def _files(folder: str) -> Iterator[str]:
    """Files of the folder and of its topics, by their names from it; hidden ones and those of no YAML name are not
    looked at.
    """
    with os.scandir(folder) as entries:
        for entry in entries:
            if entry.name.startswith("."):
                continue
            if not entry.is_dir():
                yield from _if_yaml(entry.name)
            elif entry.name not in _NOT_TOPICS and not (entry.name == _FACTS and folder == str(own_folder())):
                yield from _inside(entry.path, f"{entry.name}/")


def _inside(folder: str, prefix: str) -> Iterator[str]:
    """Files below a topic, at any depth; a folder with the name of a file is told of like one."""
    with os.scandir(folder) as entries:
        for entry in entries:
            yield from _if_yaml(prefix + entry.name)
            if entry.is_dir(follow_symlinks=False):
                yield from _inside(entry.path, f"{prefix}{entry.name}/")


def _if_yaml(name: str) -> Iterator[str]:
    stem, suffix = os.path.splitext(name)
    if stem and suffix.lower() in (".yaml", ".yml", ".json"):
        yield name


def _is_rule(name: str) -> bool:
    return name.endswith(".yaml") and not name.endswith(CASES_SUFFIX)


def _is_stray(name: str, present: set[str]) -> bool:
    if name.endswith(CASES_SUFFIX):
        return name.removesuffix(CASES_SUFFIX) + ".yaml" not in present
    return not _is_rule(name)


def _stray(name: str, shown: str) -> Problem:
    if name.endswith(CASES_SUFFIX):
        rule = name.rpartition("/")[2].removesuffix(CASES_SUFFIX) + ".yaml"
        return Problem(shown, "these cases name no rule", f"there is no `{rule}` beside them")
    return Problem(
        shown, "this file is neither a rule nor cases", "name it <name>.yaml, or take it out of the folder"
    )


def _rule_file(folder: str, name: str, shown: str, topic: str, present: set[str]) -> RuleFile:
    inside = name.removesuffix(".yaml")
    ids = (f"{topic}/{inside}", inside) if "/" not in inside else (inside,)
    beside = inside + CASES_SUFFIX
    data = read_bytes(f"{folder}/{name}", f"{shown}/{name}", MAX_FILE_BYTES)
    cases = read_bytes(f"{folder}/{beside}", f"{shown}/{beside}", MAX_FILE_BYTES) if beside in present else None
    return RuleFile(Path(folder, name), f"{shown}/{name}", ids, data, cases, folder != str(own_folder()))
