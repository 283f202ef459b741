"""`fix --all` on sites with planted faults: everything is cleared by no more changes than undoing takes, the bound is true, and
every cut of the certificate holds in full checks.

The oracles: the faults themselves (`planted`), brute force over the plain documents, an integer programme (scipy's `milp`) for
the bound, and `replaying`, which shares nothing with the search.
"""

from __future__ import annotations

import json
import os

import numpy
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp

from coaxwright.checking import check
from coaxwright.cli.main import run
from coaxwright.fixes.candidates.bench import Candidate
from coaxwright.fixes.certificates import certificate_of
from coaxwright.fixes.patching import applied
from coaxwright.fixes.rejudging import start
from coaxwright.fixes.repair import Search
from coaxwright.fixes.replaying import Certificate, Replay

from . import random_sites
from .planted import FAULTS, clean_site, planted
from .test_repair import keeps_the_promise, smallest_by_force

FULL = os.environ.get("COAXWRIGHT_FULL") == "1"
SMALL, LARGE = (150, 50) if FULL else (1, 1)
"""Sites with few cameras and with many: 200 in the long form."""
CAMERAS, FAULTY = (24, 8) if FULL else (8, 3)
"""Cameras and faults of a site with many."""


def replay(loaded, certificate, rulebook, day, **how):
    return Replay(loaded, Certificate.model_validate(certificate), rulebook, day).run(**how)


def errors_of(value, parts, rulebook, day):
    report = check(random_sites.load(value, parts), rulebook=rulebook, today=day)
    return [each for each in report.findings if each.kind == "fail" and each.level == "error"]


def repaired(made, parts, rulebook, day, budget):
    loaded = random_sites.load(made.faulty, parts)
    return loaded, Search(start(loaded, rulebook=rulebook, today=day), budget=budget).run()


def bound_by_programme(certificate, bars):
    """The fewest changes that the cuts allow, of those that write the same place one at most."""
    size, rows, least = len(certificate["changes"]), [], []
    for cut in certificate["cuts"]:
        row = numpy.zeros(size)
        row[cut["options"]] = 1
        row[cut["taken"]] = -1
        rows.append(row)
        least.append(1 - len(cut["taken"]))
    for number, mask in enumerate(bars):
        for other in range(number):
            if mask >> other & 1:
                row = numpy.zeros(size)
                row[[number, other]] = -1
                rows.append(row)
                least.append(-1)
    limits = LinearConstraint(numpy.array(rows), lb=numpy.array(least))
    found = milp(numpy.ones(size), integrality=numpy.ones(size), bounds=Bounds(0, 1), constraints=limits)
    return round(found.fun) if found.success else float("inf")


def test_clean_sites_are_clean_and_each_fault_is_an_error(parts, rulebook, day):
    assert not errors_of(clean_site(random_sites.Random(1), 8), parts, rulebook, day)
    seen = set()
    for seed in range(120):
        made = planted(seed, 4, 1)
        word = made.faults[0].partition(" at ")[0]
        if word not in seen:
            seen.add(word)
            assert errors_of(made.faulty, parts, rulebook, day), made.faults
    assert seen == set(FAULTS)


@pytest.mark.parametrize("seed", range(SMALL))
def test_small_sites_are_cleared_by_the_fewest_changes(seed, parts, rulebook, day):
    made = planted(seed, 3, 2)
    loaded, plan = repaired(made, parts, rulebook, day, 1500)
    assert not plan.in_the_way, made.faults
    assert keeps_the_promise(loaded, applied(loaded.document.value, plan.patch), rulebook, day)
    assert plan.best
    assert plan.bound == len(plan.steps) <= len(made.faults)
    if len(plan.steps) == 2:
        pool = list(plan.search.changes.pool)
        assert smallest_by_force(loaded, pool, rulebook, day, most=1) is None, made.faults
    certificate = certificate_of(plan.search, "error", plan.bound)
    replayed = replay(loaded, certificate, rulebook, day, draws=2 if FULL else 1, most=20 if FULL else 8)
    assert replayed.wrong == ()
    assert replayed.bound_shown


@pytest.mark.parametrize("seed", range(LARGE))
def test_large_sites_are_cleared_with_a_true_bound(seed, parts, rulebook, day):
    made = planted(f"large/{seed}", CAMERAS, FAULTY)
    loaded, plan = repaired(made, parts, rulebook, day, 800 if FULL else 150)
    assert not plan.in_the_way, (made.faults, plan.in_the_way)
    assert keeps_the_promise(loaded, applied(loaded.document.value, plan.patch), rulebook, day)
    certificate = certificate_of(plan.search, "error", plan.bound)
    assert 1 <= plan.bound <= bound_by_programme(certificate, plan.search.changes.bars)
    assert plan.bound <= len(plan.steps) <= len(made.faults)
    assert replay(loaded, certificate, rulebook, day, most=40 if FULL else 6).wrong == ()


def test_the_replay_finds_a_cut_that_is_wrong(parts, rulebook, day):
    """By hand: options left out of a cut, a judgement that does not stand in the way, and a bound that is too high."""
    made = planted(0, 3, 2)
    loaded, plan = repaired(made, parts, rulebook, day, 1500)
    certificate = certificate_of(plan.search, "error", plan.bound)
    steps = [plan.search.changes.pool.index(step) for step in plan.steps]
    root = next(cut for cut in certificate["cuts"] if not cut["made"] and set(cut["options"]) & set(steps))
    short = {**root, "options": [n for n in root["options"] if n not in steps], "taken": []}
    found = [replay(loaded, {**certificate, "cuts": [short]}, rulebook, day, draws=12, seed=seed).wrong for seed in range(2)]
    assert any(found)
    elsewhere = {**root, "rule": "power/collapse", "subject": "cameras/c1"}
    assert replay(loaded, {**certificate, "cuts": [elsewhere]}, rulebook, day).wrong
    assert replay(loaded, {**certificate, "bound": plan.bound + 1}, rulebook, day, most=0).wrong


def test_the_replay_finds_the_loss_of_what_may_join(parts, rulebook, day):
    """By hand: only a camera that comes to join p2 clears "nothing hangs on p2"; a cut without it is wrong."""
    site = clean_site(random_sites.Random(1), 2)
    site["supplies"]["p2"] = dict(site["supplies"]["p1"])
    loaded = random_sites.load(site, parts)
    move = {"op": "replace", "path": "/cameras/c1/power/from", "value": "p2/1"}
    certificate = {
        "level": "note",
        "bound": None,
        "changes": [{"title": "feed c1 from p2/1", "patch": [move], "weight": 1.0, "needs": []}],
        "cuts": [{"rule": "power/supply-unused", "subject": "supplies/p2", "made": [], "taken": [], "options": []}],
    }
    assert replay(loaded, certificate, rulebook, day, draws=4).wrong
    search = Search(start(loaded, rulebook=rulebook, today=day), level="note")
    search._pool = lambda: [Candidate("feed c1 from p2/1", (move,), 1)]
    learned = search.run().search.learned
    assert [each.cut.options for each in learned if each.key == ("power/supply-unused", "supplies/p2")] == [1]


def test_cheapest_says_where_money_proves_nothing(parts, rulebook, day):
    """A change without a price may be the cheapest: nothing is proven in money then, and a set is still given."""
    made = planted(3, 1, 1)
    plan = Search(start(random_sites.load(made.faulty, parts), rulebook=rulebook, today=day), prefer="cheapest", budget=120).run()
    assert not plan.in_the_way
    assert (plan.bound is None and not plan.best) == (plan.unpriced > 0)


def test_what_no_set_clears_is_named(parts, rulebook, day):
    """No camera stands 60 degrees of frost: that finding stands in the way, alone, whatever else is mended."""
    site = planted(2, 2, 1).faulty
    site["cameras"]["c1"]["place"] = {**site["cameras"]["c1"]["place"], "ambient_min": "-60 °C"}
    plan = Search(start(random_sites.load(site, parts), rulebook=rulebook, today=day), budget=250).run()
    assert plan.conflict == (("place/camera-too-cold", "cameras/c1"),)
    assert not plan.best


def test_a_certificate_is_written_and_checked_by_the_command(parts, tmp_path, capsys):
    site, kept = tmp_path / "one.site.yaml", tmp_path / "kept.json"
    made = planted(2, 2, 1)
    text = (random_sites.REPO / "examples/cider-press/parts/makers.yaml").read_text(encoding="utf-8")
    (tmp_path / "makers.yaml").write_text(text, encoding="utf-8")
    site.write_text(json.dumps({**made.faulty, "parts": ["makers.yaml"]}), encoding="utf-8")
    call = ["fix", str(site), "--all", "--budget", "150", "--certificate", str(kept)]
    assert run(call) == 0
    assert run(call) == 2, "a file that is there is not written over"
    assert run(["fix", str(site), "--replay", str(kept)]) == 0
    assert "shown again" in capsys.readouterr().out
    for wrong in ("{", "[]", '{"level": "error", "bound": 1, "changes": [], "cuts": [{}]}', "\x00"):
        kept.write_text(wrong, encoding="utf-8")
        assert run(["fix", str(site), "--replay", str(kept)]) == 2
    told = json.loads('{"rule": "a/b", "subject": "c", "made": [], "taken": [], "options": [7]}')
    kept.write_text(json.dumps({"level": "error", "bound": 1, "changes": [], "cuts": [told]}), encoding="utf-8")
    assert run(["fix", str(site), "--replay", str(kept)]) == 2
    assert "change 7 is named and there are 0" in capsys.readouterr().err
