"""Views, exposures, layings, areas and labels: judged again after an edit as in a full check, and no candidate crashes.

The full check is the outside reference, as in test_rejudging.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from tests.conftest import FULL

from coaxwright.checking import check
from coaxwright.findings import Report
from coaxwright.fixes.advice import failing
from coaxwright.fixes.candidates.bench import Bench
from coaxwright.fixes.candidates.words import candidates
from coaxwright.fixes.rejudging import start
from coaxwright.model.rules import Case
from coaxwright.reading.site_reader import with_value
from coaxwright.reading.yaml_source import parse_document
from coaxwright.reporting.formats import Setting
from coaxwright.reporting.json_report import render
from coaxwright.rulebook.cases import case_site, load_bases

RULES = Path(__file__).resolve().parents[2] / "rules"
TOPICS = ("view", "place", "practice", "storage")
OUT_OF_THE_ORDINARY: dict[str, Any] = {
    "/cameras/c1/label": "Edited",
    "/cameras/c1/place/coastal": True,
    "/cameras/c1/place/height": "9 m",
    "/cameras/c1/place/overlooked": True,
    "/cameras/c1/wants": {"see": "detect", "at": "30 m", "night": True},
    "/recorders/rec1/place/earth": "own",
    "/recorders/rec1/erase_after": "9 days",
    "/supplies/psu1/place/ambient_max": "60 °C",
}


def _cases(topic: str) -> list[Case]:
    found = []
    for file in sorted((RULES / topic).glob("*.cases.yaml")):
        plain = parse_document(file.read_text(encoding="utf-8"), file.name).value
        found += [Case.model_validate(case) for case in plain["cases"] if "fails" in case]
    return found


def _text(report: Any) -> str:
    return render(Report("0", "sha256:0", (), (report,)), Setting())


@pytest.mark.parametrize("topic", TOPICS)
def test_an_edit_equals_a_full_check(topic: str, rulebook: Any, day: Any) -> None:
    bases, by_component = load_bases(), 0
    for case in _cases(topic)[:: 3 if FULL or topic != "place" else 9]:
        loaded = case_site(bases, case)
        state = start(loaded, rulebook=rulebook, today=day)
        assert _text(state.report()) == _text(check(loaded, rulebook=rulebook, today=day)), case.name
        for path, value in OUT_OF_THE_ORDINARY.items():
            trial = state.after([{"op": "add", "path": path, "value": value}])
            state, by_component = trial.after, by_component + (not trial.full)
        full = check(with_value(loaded, state.value), rulebook=rulebook, today=day)
        assert _text(state.report()) == _text(full), case.name
    assert by_component > 0


def test_a_camera_put_into_an_area_is_judged_with_the_whole_site(rulebook: Any, day: Any) -> None:
    loaded = case_site(
        load_bases(), Case(name="two", base="two-makers", site={"cameras": {"c2": {"power": {"from": "psu1/1"}}}})
    )
    state = start(loaded, rulebook=rulebook, today=day)
    for name in ("c1", "c2"):
        trial = state.after([{"op": "add", "path": f"/cameras/{name}/area", "value": "slip"}])
        assert trial.full
        state = trial.after
    assert "practice/area-on-one-output" in {finding.rule for finding in state.report().findings}
    moved = state.after([{"op": "replace", "path": "/cameras/c2/power/from", "value": "psu1/2"}]).after
    assert "practice/area-on-one-output" not in {finding.rule for finding in moved.report().findings}


@pytest.mark.parametrize("topic", TOPICS)
def test_candidates_can_be_made_for_every_failing_case(topic: str, rulebook: Any, day: Any) -> None:
    bases, made = load_bases(), 0
    for case in _cases(topic):
        state = start(case_site(bases, case), rulebook=rulebook, today=day)
        for judgement in failing(state).values():
            made += sum(1 for candidate in candidates(Bench(state), judgement) if candidate.title.isprintable())
    assert made > 0
