"""What is said of a kit, as a document and as plain data."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from coaxwright.findings import Finding
from coaxwright.pairing.kits import LONGEST, SHORTEST, KitAnswer
from coaxwright.show.forms import rendered
from coaxwright.show.json_text import FORMAT, to_json
from coaxwright.show.screen import Screen
from coaxwright.show.tree import Document, Facts


def render_kit(answer: KitAnswer, form: str, screen: Screen | None = None) -> str:
    """The answer in a form: text, md, html, csv or json."""
    return to_json(as_data(answer)) if form == "json" else rendered(kit_document(answer), form, screen)


def kit_document(answer: KitAnswer) -> Document:
    """What is said of a kit, name by name."""
    said: list[tuple[str, Sequence[str]]] = [
        ("Kit", [f"{answer.kit}: {answer.cameras} cameras"]),
        ("As boxed", [_boxed(answer)]),
        ("Longest run", _longest(answer)),
        ("Missing", list(answer.missing) or ["nothing"]),
        ("Left over", list(answer.left_over)),
        ("Fails", _lines(answer.fails)),
        ("Warnings", _lines(answer.warnings)),
        ("Open", list(answer.supply)),
    ]
    pairs = Facts([(heading, lines) for heading, lines in said if lines], ("asked", "answer"))
    return Document(f"Kit {answer.kit}", (pairs,), titled=False)


def _boxed(answer: KitAnswer) -> str:
    lengths = (
        "with the cables in the box" if answer.boxed else f"with runs of {SHORTEST:g} m where the box says no length"
    )
    return (
        f"works {lengths}: no rule fails"
        if answer.holds
        else f"does not work {lengths}: {len(answer.fails)} rules fail"
    )


def _longest(answer: KitAnswer) -> list[str]:
    if answer.metres is None:
        return [f"none: it fails with runs of {SHORTEST:g} m already"]
    if answer.beyond:
        return [f"{LONGEST:g} m and more, for every camera alike: nothing fails up to there"]
    first = f"{int(answer.metres)} m for every camera alike, by day and by night"
    return [first, *(f"beyond: {line}" for line in _lines(answer.ends))]


def _lines(findings: tuple[Finding, ...]) -> list[str]:
    """One line a rule, with how many subjects it is about."""
    by_rule: dict[str, list[Finding]] = {}
    for each in findings:
        by_rule.setdefault(each.rule, []).append(each)
    return [
        f"{rule}: {several[0].message}" + (f" (and {len(several) - 1} more)" if len(several) > 1 else "")
        for rule, several in by_rule.items()
    ]


def as_data(answer: KitAnswer) -> dict[str, Any]:
    """The answer as plain values."""
    return {
        "format": FORMAT,
        "kit": answer.kit,
        "cameras": answer.cameras,
        "boxed": answer.boxed,
        "holds": answer.holds,
        "complete": answer.complete,
        "longest_run": answer.metres,
        "longest_tried": LONGEST,
        "ends": [_finding(each) for each in answer.ends],
        "fails": [_finding(each) for each in answer.fails],
        "warnings": [_finding(each) for each in answer.warnings],
        "missing": list(answer.missing),
        "left_over": list(answer.left_over),
        "open": list(answer.supply),
        "assumed_cables": {"video": answer.stand_ins.video, "power": answer.stand_ins.power},
        "contradictions": list(answer.contradictions),
    }


def _finding(finding: Finding) -> dict[str, Any]:
    return {"rule": finding.rule, "level": finding.level, "subject": finding.subject, "message": finding.message}
