"""Facts that a user adds: computed, shown, kept and judged as those of the program are."""

# ruff: noqa: E501
from __future__ import annotations

import json
import re
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml

from coaxwright.checking import check, explain_subject, facts_of, load_site
from coaxwright.facts.sheets import SHEETS
from coaxwright.fixes.rejudging import start
from coaxwright.rulebook import fact_pages, own_cases, rule_checks
from coaxwright.rulebook.library import Rulebook
from coaxwright.rulebook.loading import load_rulebook

sys.path.insert(0, str(Path(__file__).resolve().parent))
from drop_files import DROP, RULE

ROOT = Path(__file__).resolve().parents[3]
SITES = sorted((ROOT / "examples").glob("*/*.site.yaml"))
BOATYARD = ROOT / "examples/boatyard/alder-wharf.site.yaml"
Book = Callable[..., Rulebook]

def _again() -> dict[str, Any]:
    """Facts of the program's own file about views, under other names: those that rest on fields of the sheet alone."""
    stated = yaml.safe_load((ROOT / "rules/facts/view.yaml").read_text(encoding="utf-8"))
    inside = {*stated["given"], *stated["steps"]}
    facts = {
        name: fact
        for name, fact in stated["facts"].items()
        if "is" in fact and not inside & set(re.findall(r"view\.(\w+)", fact["is"]))
    }
    named = {
        f"my_{name}": {**fact, "is": re.sub(r"view\.(\w+)", lambda hit: f"view.{'my_' * (hit[1] in facts)}{hit[1]}", fact["is"])}
        for name, fact in facts.items()
    }
    for fact in named.values():
        for case in fact["cases"]:
            case["given"] = {("my_" * (name in facts)) + name: value for name, value in case["given"].items()}
            if "open" in case:
                case["open"] = [("my_" * (name in facts)) + name for name in case["open"]]
    return {"kind": "view", "facts": named}


def test_a_fact_of_a_user_comes_to_what_the_same_fact_of_the_program_does(book: Book) -> None:
    """The program's facts run as generated code, those of a user apart from them: values and what is missing are equal."""
    stated = _again()
    own = book(facts__again=json.dumps(stated))
    assert not own_cases.failing(own)
    compared = 0
    for path in SITES:
        for sheet in facts_of(load_site(path), own).by_kind("view"):
            for name in stated["facts"]:
                assert sheet.known(name) == sheet.known(name.removeprefix("my_"))
                if sheet.known(name) is None:
                    assert sheet.missing(name) == sheet.missing(name.removeprefix("my_"))
                compared += 1
    assert len(stated["facts"]) >= 5
    assert compared > 50


def test_computed_shown_and_judged(book: Book) -> None:
    own = book(facts__drop=DROP, own__loses_much=RULE.replace("loses_much", "loses_much"))
    report = check(BOATYARD, rulebook=own)
    for feed in facts_of(load_site(BOATYARD), own).by_kind("feed"):
        # By hand, from the fact's sentence: what is lost of the nominal voltage, over it.
        wanted = (feed.load.volts_nominal - feed.volts_night) / feed.load.volts_nominal
        assert report.facts[feed.subject]["lost_share"] == pytest.approx(wanted)
        assert "lost" not in report.facts[feed.subject], "a step is inside workings alone"
    shown = {each.name: each for each in explain_subject(load_site(BOATYARD), "cameras/slipway", rulebook=own)}
    share = shown["feed.lost_share"]
    assert share.working[0].startswith("lost share = lost / volts nominal = ")
    assert share.working[1] == "source: common practice"
    assert share.working[2].startswith("lost = volts nominal - volts night = 12 V - ")
    assert "usual: 10 %; source: common practice" in shown["feed.loses_much"].working
    assert "feed.lost_share" not in {each.name for each in explain_subject(load_site(BOATYARD), "cameras/slipway")}


def test_two_rulebooks_of_one_process_do_not_meet(book: Book) -> None:
    own = book(facts__drop=DROP)
    loaded = load_site(BOATYARD)
    with_own, without = facts_of(loaded, own), facts_of(loaded, load_rulebook())
    assert type(without.by_kind("feed")[0]) is SHEETS["feed"]
    assert not hasattr(without.by_kind("feed")[0], "lost_share")
    assert isinstance(with_own.by_kind("feed")[0], SHEETS["feed"])
    assert own.own.onto(with_own) is with_own


def test_the_second_run_comes_from_what_is_kept(book: Book, mine: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    first = book(facts__drop=DROP, own__loses=RULE)
    monkeypatch.setattr(rule_checks, "check_folders", lambda files: pytest.fail("the cache was not used"))
    second = load_rulebook([mine()])
    assert second.digest == first.digest
    assert check(BOATYARD, rulebook=second).findings == check(BOATYARD, rulebook=first).findings
    assert [each.id for each in second.own.facts] == [each.id for each in first.own.facts]


def test_the_digest_covers_facts(book: Book) -> None:
    first = book(facts__drop=DROP, own__loses=RULE).digest
    assert book(facts__drop=DROP.replace("10 %", "12 %")).digest != first
    assert book(facts__drop=DROP).digest == first


def test_facts_of_several_sheets_and_files_read_one_another_in_any_order(book: Book) -> None:
    most = """\
        kind: output
        facts:
          most_lost:
            says: The greatest share that a camera on it loses.
            is: max(output.feeds.map(one, one.lost_share))
            cases:
              - {given: {feeds: [{lost_share: 0.1}, {lost_share: 0.2}]}, gives: 0.2}
              - {given: {feeds: [{lost_share: 0.1}, {}]}, open: [lost_share]}
        """
    own = book(facts__a=most, facts__z=DROP)
    assert not own_cases.failing(own)
    outputs = [each for each in facts_of(load_site(BOATYARD), own).by_kind("output") if each.feeds]
    assert outputs
    for output in outputs:
        assert output.most_lost == max(feed.lost_share for feed in output.feeds)


def test_an_edited_site_has_them_too(book: Book) -> None:
    own = book(facts__drop=DROP, own__loses=RULE)
    state = start(load_site(BOATYARD), rulebook=own)
    patch = [{"op": "replace", "path": "/cameras/slipway/power/over/0/length", "value": "400 m"}]
    after = state.after(patch).after
    (feed,) = [each for each in after.facts.by_kind("feed") if each.subject == "cameras/slipway"]
    assert feed.lost_share == pytest.approx((feed.load.volts_nominal - feed.volts_night) / feed.load.volts_nominal)
    assert "own/loses" in {each.rule for each in after.report().findings if each.subject == "cameras/slipway"}


def test_pages_and_list_name_them(book: Book) -> None:
    page = fact_pages.book_pages(book(facts__drop=DROP))["facts.md"]
    (row,) = [line for line in page.splitlines() if line.startswith("| `feed.lost_share`")]
    assert "Computed: `feed.lost / feed.load.volts_nominal` (source: common practice)" in row
    assert "Added by `" in row
    assert "`feed.lost`" not in page.replace("`feed.lost / ", "")
    (much,) = [line for line in page.splitlines() if line.startswith("| `feed.loses_much`")]
    assert "`limit.usual` is 10 %, source: common practice" in much


def test_a_case_that_does_not_hold_is_told_at_its_place(book: Book) -> None:
    own = book(facts__drop=DROP.replace("gives: 0.1}", "gives: 0.2}").replace("open: [lost]", "open: [load]"))
    told = [str(each) for each in own_cases.failing(own)]
    assert [re.sub(r"^.*/mine/", "", each) for each in told] == [
        "facts/drop.yaml:16:9: feed.lost_share: it is 0.1, and the case says 0.2",
        "facts/drop.yaml:17:9: feed.lost_share: it asks for lost, and the case says that it asks for load",
    ]


def test_a_case_gives_what_the_fact_does_not_read_or_no_sheet_has(book: Book) -> None:
    own = book(
        facts__drop=DROP.replace("{given: {lost_share: 0.2}", "{given: {joints: 1}").replace(
            "load: {volts_nominal: 12 V}}, gives: 0.1", "load: {volts: 12 V}}, gives: 0.1"
        )
    )
    told = [str(each).split(": ", 1)[1] for each in own_cases.failing(own)]
    assert told[0].startswith("feed.lost_share: a camera has no field `volts`")
    assert told[1] == "feed.loses_much: the fact does not read `joints`"


@pytest.mark.parametrize("length", [12, 40])
def test_a_stranger_s_facts_cannot_fill_the_memory(book: Book, length: int) -> None:
    """Each text is the one before it, twenty times over: a step too many is no value, and nothing hangs."""

    def rows() -> Iterator[str]:
        for place in range(length):
            base = f"camera.t{place - 1}" if place else "camera.name"
            yield f"  t{place}: {{says: x, is: '{' + '.join([base] * 20)}', cases: [{{given: {{}}, open: [{base.split('.')[1]}]}}]}}"

    own = book(facts__grow="kind: camera\nfacts:\n" + "\n".join(rows()))
    for camera in facts_of(load_site(BOATYARD), own).by_kind("camera"):
        assert camera.known("t0") == camera.name * 20
        assert camera.known(f"t{length - 1}") is None
        assert camera.missing(f"t{length - 1}")


def test_what_facts_lack_that_branch_over_and_over_is_found_once(book: Book) -> None:
    """Each rests on the two before it; the first is not known."""
    rows = [
        f"  m{n}: {{says: x, is: 'camera.m{n - 1} + camera.m{n - 2}', cases: [{{given: {{}}, open: [m{n - 1}, m{n - 2}]}}]}}"
        for n in range(2, 38)
    ]
    first = [f"  m{n}: {{says: x, is: 'site_label(camera)', cases: [{{given: {{}}, open: [label]}}]}}".replace("site_label(camera)", "size(camera.label)") for n in range(2)]
    own = book(facts__many="\n".join(["kind: camera", "facts:", *first, *rows]))
    cameras = (camera for path in SITES for camera in facts_of(load_site(path), own).by_kind("camera"))
    camera = next(camera for camera in cameras if camera.known("label") is None)
    assert camera.known("m37") is None
    assert camera.missing("m37") == camera.missing("label")
