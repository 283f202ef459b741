"""A first plan with faults that stand apart: what is told of each, and what is offered for it.

Expectations from circuit theory (each output of a regulated supply is a source of its own) and from the trade's common
practice: coax in the place of a pair makes its baluns needless; of two settings the one that keeps the picture is shown too.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

import pytest
import yaml

from coaxwright.checking import check, load_site
from coaxwright.findings import Fix, SiteReport
from coaxwright.fixes.advice import advise
from coaxwright.fixes.rejudging import SiteState, start
from coaxwright.fixes.repair import Search
from coaxwright.reporting.to_do import things_to_do
from coaxwright.reporting.wording import change_notes

SITE = Path(__file__).parent / "riding_school" / "fernhill.site.yaml"


@pytest.fixture(scope="module")
def report() -> SiteReport:
    return check(SITE)


@pytest.fixture(scope="module")
def state() -> SiteState:
    return start(load_site(SITE))


def fixes(state: SiteState, rule: str, subject: str) -> tuple[Fix, ...]:
    (advice,) = (each for each in advise(state, level="note", on=subject) if each.finding.rule == rule)
    return advice.fixes


def test_two_feeds_that_collapse_on_outputs_of_their_own_are_two_things_to_do_with_a_camera_each(report: SiteReport) -> None:
    things = {each.roots: each for each in things_to_do(report) if each.first.rule == "power/collapse"}
    for output, camera in (("supplies/psu1/1", "gate"), ("supplies/psu1/4", "stable")):
        thing = things[(output,)]
        assert (thing.cameras, [each.subject for each in thing.findings]) == (1, [f"cameras/{camera}"])
        assert "its neighbours" not in thing.words


def test_a_feed_alone_on_its_output_is_told_by_its_own_cable(report: SiteReport) -> None:
    found = {each.subject: each for each in report.findings if each.rule == "power/collapse"}
    assert found["cameras/gate"].cause == "voltage-collapse:supplies/psu1/1"
    related = {each.message for each in found["cameras/gate"].related}
    assert "gate draws more through its cables than they can carry" in related


def test_coax_in_the_place_of_a_pair_leaves_its_baluns_out_and_gives_nothing_up(state: SiteState) -> None:
    found = fixes(state, "cable/loss-beyond-limit", "cameras/stable")
    assert found
    for fix in found:
        assert fix.title.endswith("for the video of stable, in place of cat5e and its baluns")
        assert (fix.gives_up, fix.introduces, fix.loses) == ((), (), ())
        assert {each["path"] for each in fix.patch if each["op"] == "remove"} == {"/boxes/b1", "/boxes/b2"}


def test_beside_the_setting_that_harms_nothing_stands_the_one_that_keeps_the_picture(state: SiteState) -> None:
    first, second, *_ = fixes(state, "picture/rate-below-wanted", "cameras/till")
    assert (first.title, first.worsens) == ("switch till to cvbs 960x576@25", ())
    assert second.title == "switch till to tvi 1920x1080@25"  # of the family that it sends now, so that its sound stays
    assert [each.rule for each in second.worsens] == ["storage/retention-uncertain"]


def test_a_thicker_cable_for_power_loses_no_pairs_and_no_impedance(state: SiteState) -> None:
    for fix in fixes(state, "power/collapse", "cameras/stable"):
        assert not [each for each in fix.loses if "impedance" in each or "pair" in each or "category" in each]


def test_a_need_that_is_given_up_is_told_by_the_sentence_of_its_fact(state: SiteState) -> None:
    fix = next(each for each in fixes(state, "picture/full-width-wanted", "cameras/arena-a") if each.gives_up)
    assert any('"Reduced width is not acceptable" does not hold any more' in each for each in fix.cleared_because)
    assert not any("camera." in each for each in fix.cleared_because)


def test_what_was_open_before_is_not_told_of_a_change(state: SiteState) -> None:
    notes = [note for fix in every_fix(state) for note in change_notes(fix)]
    assert notes
    assert not any(note.startswith("open ") for note in notes)


def every_fix(state: SiteState) -> Iterator[Fix]:
    for subject in ("cameras/arena-a", "cameras/till"):
        for advice in advise(state, on=subject):
            yield from advice.fixes


def alone(tmp_path: Path, *names: str) -> SiteState:
    """The riding school with these cameras only."""
    value = yaml.safe_load(SITE.read_text(encoding="utf-8"))
    value["cameras"] = {name: each for name, each in value["cameras"].items() if name in names}
    value.pop("boxes")
    (tmp_path / "parts.yaml").write_bytes((SITE.parent / "parts.yaml").read_bytes())
    file = tmp_path / "part.site.yaml"
    file.write_text(yaml.safe_dump(value, sort_keys=False, allow_unicode=True), encoding="utf-8")
    return start(load_site(file))


def test_of_two_sets_as_small_the_one_that_keeps_the_picture_is_taken(tmp_path: Path) -> None:
    plan = Search(alone(tmp_path, "till"), budget=400).run()
    assert {step.title for step in plan.steps} == {"switch till to tvi 1920x1080@25", "take the sound of till over the coax"}
    assert plan.best


@pytest.mark.skipif(not os.environ.get("COAXWRIGHT_FULL"), reason="takes some ten seconds: the long form does")
def test_one_finding_that_nothing_clears_does_not_keep_the_others_from_what_suits_them() -> None:
    plan = Search(start(load_site(SITE))).run()
    assert [key for key, _ in plan.in_the_way] == [("signal/needs-setting", "cameras/gate")]
    titles = [step.title for step in plan.steps]
    assert not [title for title in titles if "cvbs" in title]
    assert {"take the sound of arena-a over the coax", "take the sound of till over the coax"} < set(titles)
