"""Makes the papers of `examples/quiz` anew, by the calls that its README tells, and what `docs/quiz.md` shows of them;
`test_committed.py` compares.

Call it as `python -m tests.quiz.remake_examples` with `engine` on the path, after every change of the question bank.
"""

from __future__ import annotations

import json
import re
import shlex
from collections.abc import Iterator
from pathlib import Path

from coaxwright.cli.main import run
from coaxwright.quiz import marked_text, marking

FOLDER = Path(__file__).parents[2] / "examples" / "quiz"
DOCS = Path(__file__).parents[2] / "docs" / "quiz.md"
CLASS = {"asa": "rrrrrrwrrr", "bryn": "rrwrrwwrwr", "cleo": "rrwrrrwrwr", "dara": "rrwrrrwrww"}
"""Who is right (r) and wrong (w) in which question of the answers that go with the first paper."""


def calls() -> Iterator[list[str]]:
    """The calls of the README that make papers, as arguments."""
    text = (FOLDER / "README.md").read_text(encoding="utf-8")
    yield from (shlex.split(line)[1:] for line in re.findall(r"^coaxwright quiz --.*$", text, re.MULTILINE))


def make_into(target: Path) -> None:
    """Every file of the examples but the README, below another folder."""
    for call in calls():
        *rest, folder = call
        assert run([*rest, str(target / folder)]) == 0
    (target / "toolbox-talk" / "answers.csv").write_text(
        answers(target / "toolbox-talk" / "key-A.json"), encoding="utf-8"
    )


def answers(key: Path) -> str:
    """What a small class might have answered: right, or the first wrong option (or entered slip) of a question."""
    items = json.loads(key.read_text(encoding="utf-8"))["items"]
    rows = [["learner", *items]]
    for learner, marks in CLASS.items():
        rows.append([learner, *(_answer(item, mark == "r") for item, mark in zip(items.values(), marks, strict=True))])
    return "".join(",".join(row) + "\n" for row in rows)


def _answer(item: dict, right: bool) -> str:
    if item["entered"]:
        return item["answer"] if right else item["typical"][0]["text"]
    return item["key"] if right else next(letter for letter, option in item["options"].items() if not option["right"])


def marked(folder: Path) -> str:
    """What `quiz mark` says of the answers that go with the first paper."""
    key = marking.read_key(folder / "key-A.json")
    return marked_text.as_text(marking.mark(key, marking.read_answers(folder / "answers.csv", key)))


def docs_of(folder: Path) -> str:
    """`docs/quiz.md` with the head of the answers and the beginning and end of their marking as they are now."""
    rows = [
        ",".join(row.split(",")[:3]) for row in (folder / "answers.csv").read_text(encoding="utf-8").split("\n")[:2]
    ]
    said = marked(folder)
    scores, first = said.split("\n\n")[:2]
    blocks = ["\n".join(rows), f"{scores}\n\n{first}\n\n...\n\n{said[said.index('Paper (') :].rstrip()}"]
    text = DOCS.read_text(encoding="utf-8")
    for start, block in zip(("learner,[0-9a-f]{8},", "Scores\n"), blocks, strict=True):
        text, count = re.subn(rf"```\n{start}.*?```", lambda _, new=block: f"```\n{new}\n```", text, flags=re.DOTALL)
        assert count == 1, start
    return text


if __name__ == "__main__":
    make_into(FOLDER)
    DOCS.write_text(docs_of(FOLDER / "toolbox-talk"), encoding="utf-8")
