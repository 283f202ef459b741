"""What marking comes to, as text and as plain data."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from coaxwright.quiz.marking import Result
from coaxwright.show.painter import visible


def as_text(result: Result) -> str:
    """Scores, feedback for each learner, statistics."""
    return "\n".join([*_scores(result), "", *_feedback(result), *_statistics(result), ""])


def _scores(result: Result) -> Iterator[str]:
    yield "Scores"
    for learner, row in result.learners.items():
        right = sum(each.right for each in row)
        yield f"  {visible(learner)}: {right} of {len(row)}"


def _feedback(result: Result) -> Iterator[str]:
    for learner, row in result.learners.items():
        wrong = [each for each in row if not each.right]
        if wrong:
            yield f"{visible(learner)}"
            yield from (f"  {each.item} ({visible(each.given) or 'blank'}): {visible(each.feedback)}" for each in wrong)
            yield ""


def _number(value: float | None, digits: int = 2) -> str:
    return "-" if value is None else f"{value:.{digits}f}"


def _statistics(result: Result) -> Iterator[str]:
    paper = result.paper
    yield "Questions (share right, best less weakest 27 %, correlation with the rest)"
    for item in result.items:
        chosen = ", ".join(f"{letter} {count}" for letter, count in item.chosen.items())
        unused = f"; hardly chosen: {', '.join(item.unused)}" if item.unused else ""
        numbers = ", ".join(map(_number, (item.difficulty, item.discrimination, item.correlation)))
        yield f"  {item.item}: {numbers}: {item.verdict}{unused}" + (f" [{chosen}]" if chosen else "")
    yield ""
    said = f" ({paper.verdict})" if paper.verdict else ""
    yield f"Paper{said}: {paper.learners} learners, mean {paper.mean:.2f} of {paper.items}, deviation {paper.deviation:.2f}, "
    yield f"  KR-20 {_number(paper.reliability)}, standard error of a score {_number(paper.error)}"


def as_data(result: Result) -> dict[str, Any]:
    """The same as JSON data."""
    from coaxwright.show.plain_data import plain

    return {
        "learners": {
            learner: {"score": sum(each.right for each in row), "of": len(row), "answers": [plain(each) for each in row]}
            for learner, row in result.learners.items()
        },
        "items": [plain(item) for item in result.items],
        "paper": plain(result.paper),
    }  # fmt: skip
