"""What a run of cable makes of a settled picture: whether it reaches, by the rules that a site's cable is judged by.

The cable of a pair is judged by a check of the smallest site that holds it, once for each signal and each input that
equalises differently: loss depends on nothing else of the two devices.
"""

from __future__ import annotations

from collections.abc import Hashable
from typing import NamedTuple

from coaxwright.checking import SiteFacts, check, load_rulebook
from coaxwright.findings import SiteReport
from coaxwright.pairing.small_sites import CAMERA, Question, load_value, pair_value
from coaxwright.reading.catalogue import Catalogue
from coaxwright.rulebook.library import Rulebook

TOO_LONG, UNFIT, OPEN = "too-long", "unfit-cable", "open"
_LOSS = "cable/loss-beyond-limit"


class Run(NamedTuple):
    """The run asked about: `state` empty where it holds (or none was asked), `reach` in m, rules of error that fail."""

    state: str
    reach: float | None
    rules: tuple[str, ...]


NO_RUN = Run("", None, ())


class Runs:
    """Runs of cable judged by a rulebook (the program's own otherwise), each question once."""

    def __init__(self, catalogue: Catalogue, rulebook: Rulebook | None = None) -> None:
        self.catalogue, self._rules = catalogue, rulebook
        self._known: dict[Hashable, Run] = {}

    def run(self, signal: Hashable, camera: str, recorder: str, question: Question, number: int) -> Run:
        """What the question's cable comes to for pairs of this `signal` (and what the input equalises)."""
        key = (signal, question.cable, question.length)
        found = self._known.get(key)
        if found is None:
            self._rules = self._rules or load_rulebook()
            site = load_value(pair_value(camera, recorder, question, [number]), self.catalogue)
            found = self._known[key] = run_of(check(site, rulebook=self._rules))
        return found


def run_of(report: SiteReport) -> Run:
    """What the check of a pair says of its cable."""
    about = [each for each in report.findings if each.rule.startswith("cable/") and each.level == "error"]
    failing = tuple(dict.fromkeys(each.rule for each in about if each.kind == "fail"))
    reach = _reach(report)
    if _LOSS in failing:
        return Run(TOO_LONG, reach, failing)
    if failing:
        return Run(UNFIT, reach, failing)
    return Run(OPEN if any(each.kind == "open" for each in about) else "", reach, ())


def _reach(report: SiteReport) -> float | None:
    sheets = report.facts.sheets if isinstance(report.facts, SiteFacts) else None
    link = sheets.sheet(f"cameras/{CAMERA}", "link") if sheets else None
    metres: float | None = None if link is None else link.known("reach")
    return metres
