"""`coaxwright propose`: the system holds, its cost is what its parts cost, and no cheaper one is denied wrongly.

Costs are added up from the written files here, bounds are asked of another solver (mixed-integer programming of scipy)
over a model that is written down here from docs/proposals.md.
"""

from __future__ import annotations

import json
import math
import random
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import yaml
from scipy.optimize import Bounds, LinearConstraint, milp
from tests.conftest import FULL

from coaxwright import propose
from coaxwright.checking import check, load_rulebook
from coaxwright.cli.main import run
from coaxwright.errors import Refusal
from coaxwright.proposals.branching import Branching
from coaxwright.proposals.feeding import Feed, Source
from coaxwright.proposals.options import Kind, Picture
from coaxwright.proposals.problem import Problem, Stand, Unit
from coaxwright.proposals.searching import Search
from coaxwright.proposals.shopping import Way
from coaxwright.proposals.writing import write_system
from coaxwright.reading.site_reader import read_site

HERE = Path(__file__).parent / "wants"
SITES = ["six", *(["sixteen", "thirty-two", "sixty-four"] if FULL else [])]
METRES = {"m": 1.0}


def metres(text: str) -> float:
    number, unit = text.split()
    return float(number) * METRES[unit]


def prices(folder: Path, names: list[str]) -> dict[str, float]:
    """The price of every part of the files that a site names."""
    found: dict[str, float] = {}
    for name in names:
        parts = yaml.safe_load((folder / name).read_text(encoding="utf-8"))["parts"]
        found.update({part: entry["price"] for part, entry in parts.items()})
    return found


def bill(path: Path) -> float:
    """What all that a site file names costs, cable by the metre."""
    site = yaml.safe_load(path.read_text(encoding="utf-8"))
    price = prices(path.parent, site["parts"])
    total = 0.0
    for group in ("recorders", "supplies", "boxes", "cameras"):
        for entry in site.get(group, {}).values():
            total += price[entry["part"]] + sum(price[disk] for disk in entry.get("disks", ()))
            for use in ("video", "power"):
                for hop in entry.get(use, {}).get("over", ()):
                    total += price[hop["cable"]] * metres(hop["length"]) if "cable" in hop else 0.0
    return total


def by_milp(problem: Problem) -> float:
    """The least cost by the relaxation of docs/proposals.md: places, bytes and bays in all, a disk for each recorder."""
    columns: list[float] = []
    whole: list[int] = []
    rows: list[dict[int, float]] = []
    least: list[float] = []

    def column(cost: float, integral: bool) -> int:
        columns.append(cost)
        whole.append(int(integral))
        return len(columns) - 1

    units = {stand: column(unit.price, True) for stand, unit in {**problem.recorders, **problem.supplies}.items()}
    disks = [(column(price, True), usable) for usable, price in problem.disks]
    used: dict[Stand, dict[int, float]] = {stand: {index: 0.0} for stand, index in units.items()}
    held = dict(disks)
    for camera in problem.cameras:
        once: dict[int, float] = {}
        for (recorder, source), choices in problem.all_choices[camera].items():
            for choice in choices:
                index = column(choice.price, True)
                once[index] = 1.0
                used[recorder][index] = used[source][index] = -1.0
                held[index] = -choice.bytes_wanted
        rows.append(once)
        least.append(1.0)
    for stand, row in used.items():
        unit = problem.recorders.get(stand) or problem.supplies[stand]
        row[units[stand]] = float(unit.places)
        rows.append(row)
        least.append(0.0)
    scale = 1e-12
    rows.append({index: value * scale for index, value in held.items()})
    least.append(0.0)
    rows.append({**{index: 1.0 for index, _ in disks}, **{units[stand]: -1.0 for stand in problem.recorders}})
    least.append(0.0)
    bays = {units[stand]: float(unit.bays) for stand, unit in problem.recorders.items()}
    rows.append({**{index: -1.0 for index, _ in disks}, **bays})
    least.append(0.0)
    matrix = np.zeros((len(rows), len(columns)))
    for place, row in enumerate(rows):
        for index, value in row.items():
            matrix[place, index] = value
    found = milp(np.array(columns), constraints=LinearConstraint(matrix, np.array(least), np.inf),
                 integrality=np.array(whole), bounds=Bounds(0, np.inf), options={"mip_rel_gap": 1e-4})  # fmt: skip
    return float(found.fun) if found.success else math.inf


@pytest.fixture(scope="module", params=SITES)
def proposed(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Any:
    """Search, proposal and the written file of one wants file."""
    search = Search(read_site(HERE / f"{request.param}.site.yaml"), load_rulebook())
    problems: list[Problem] = []
    real = search._problem
    search._problem = lambda: problems.append(real()) or problems[-1]  # type: ignore[method-assign,func-returns-value]
    found = search.run()
    path = tmp_path_factory.mktemp("made") / f"{request.param}.site.yaml"
    assert found.best is not None, found.in_the_way
    write_system(found, found.best, path)
    return found, problems[0], path


def test_the_written_site_checks_clean(proposed: Any) -> None:
    found, _, path = proposed
    summary = check(path).summary
    assert (summary.error, summary.warning, summary.open) == (0, 0, 0)
    assert set(yaml.safe_load(path.read_text())["cameras"]) == {wish.name for wish in found.wishes.cameras}


def test_every_want_stands_in_the_written_site(proposed: Any) -> None:
    found, _, path = proposed
    asked = yaml.safe_load(Path(found.wishes.loaded.file).read_text())
    made = yaml.safe_load(path.read_text())
    assert made["retention"] == asked["retention"]
    for name, entry in asked["cameras"].items():
        assert made["cameras"][name]["wants"] == entry["wants"]
        assert made["cameras"][name]["place"] == entry["place"]
        for use, key in (("video", "into"), ("power", "from")):
            position = made["cameras"][name][use][key].rpartition("-")[0]
            runs = [metres(hop["length"]) for hop in made["cameras"][name][use]["over"] if "cable" in hop]
            assert runs == [metres(entry["distances"][position])]


def test_the_cost_is_the_sum_of_prices(proposed: Any) -> None:
    found, _, path = proposed
    assert bill(path) == pytest.approx(found.best.plan.cost, abs=0.01)
    assert found.best.plan.cost == min(each.plan.cost for each in found.systems)


def test_another_solver_finds_no_less_than_the_bound_and_the_cost_is_near(proposed: Any) -> None:
    found, problem, _ = proposed
    other = by_milp(problem)
    assert found.bound <= other + 0.5, "the bound is above what another solver finds"
    assert found.best.plan.cost <= 1.03 * found.bound
    assert found.optimal == (found.bound >= found.best.plan.cost - 0.005)


def test_alternatives_differ_in_kind(proposed: Any) -> None:
    found, _, _ = proposed
    names = [each.name for each in found.systems]
    assert names[0] == "cheapest"
    assert len(set(names)) == len(names) >= (2 if len(found.wishes.cameras) < 32 else 1), "cheapest and fewest may be one plan"
    for each in found.systems:
        assert (each.report.summary.error, each.report.summary.warning) == (0, 0)
        assert not [harm for harm in each.proof.harms if harm.level == "error"]


# The search over numbers, on small problems of which every set can be looked at.


def small(seed: int) -> Problem:
    """A small random problem: two positions, two recorder parts, two supplies, cameras of two parts."""
    draw = random.Random(seed)
    way = Way((("cable", "w"),), 0.0, 1.0, "w")
    cameras = [f"c{number}" for number in range(draw.randint(1, 4))]
    recorders = {
        Stand(part, at): Unit(Stand(part, at), price, places, bays=2)
        for part, price, places in (("r2", 40.0, 2), ("r4", 65.0, 4))
        for at in "ab"
    }
    supplies = {
        Stand(Source(part), at): Unit(Stand(Source(part), at), price, places, amps=places, amps_each=1.0)
        for part, price, places in (("s1", 11.0, 1), ("s3", 25.0, 3))
        for at in "ab"
    }
    pictures: dict[str, dict[Stand, list[Picture]]] = {}
    feeds: dict[str, dict[Stand, dict[str, Feed]]] = {}
    for camera in cameras:
        pictures[camera] = {
            stand: [
                Picture(Kind(part, {}, str(stand.what), (1,), 1, 1, draw.choice([0.0, 2e6, 5e6]), 7.0), stand.position,
                        way, 1.0, draw.randint(5, 60))
                for part in ("x", "y")
            ]
            for stand in recorders
            if draw.random() < 0.8
        }
        feeds[camera] = {
            stand: {part: Feed(stand.what, way, 1.0, draw.randint(1, 40), 0.5) for part in ("x", "y")}  # type: ignore[arg-type]
            for stand in supplies
            if draw.random() < 0.8
        }
    return Problem(cameras, recorders, supplies, pictures, feeds, [(0.9e12, 30.0), (1.8e12, 45.0)])


@pytest.mark.parametrize(("bays", "by_hand"), [(9, 65 + 41 + 150), (2, 3 * 65 + 41 + 150), (1, 5 * 65 + 41 + 150)])
def test_disks_need_bays_and_the_bound_knows_it(bays: int, by_hand: float) -> None:
    """One camera of 20 that wants 5 TB kept, a feed of 10 and a supply of 11; disks of 1 TB at 30, recorders at 65."""
    stand, source, way = Stand("r4", "a"), Stand(Source("s1"), "a"), Way((("cable", "w"),), 0.0, 1.0, "w")
    kind = Kind("x", {}, "r4", (1,), 1, 1, 5e12 * 8 / 86400 / 7, 7.0)
    problem = Problem(
        ["c"], {stand: Unit(stand, 65.0, 4, bays=bays)}, {source: Unit(source, 11.0, 1, amps=1, amps_each=1.0)},
        {"c": {stand: [Picture(kind, "a", way, 1.0, 20.0)]}}, {"c": {source: {"x": Feed(Source("s1"), way, 1.0, 10.0, 0.5)}}},
        [(1e12, 30.0)],
    )  # fmt: skip
    assert Branching(problem).bound(()) == pytest.approx(by_hand)
    assert by_milp(problem) == pytest.approx(by_hand)


@pytest.mark.parametrize("seed", range(60))
def test_on_small_problems_the_bound_is_below_and_plans_are_above_the_other_solver(seed: int) -> None:
    problem = small(seed)
    found = Branching(problem, nodes=100_000).run()
    other = by_milp(problem)
    if math.isinf(other):
        assert not found.plans
        return
    assert found.bound <= other + 1e-3 or not found.plans
    for plan in found.plans:
        assert plan.cost >= other - 1e-3
        assert set(plan.choices) == set(problem.cameras)
        for stand, names, _ in plan.recorders:
            assert 0 < len(names) <= problem.recorders[stand].places
        for stand, names in plan.supplies:
            assert 0 < len(names) <= problem.supplies[stand].places


# The command.


def two_of_six(folder: Path) -> Path:
    """A file of wants for two of the six cameras: searched in a fraction of the time."""
    site = yaml.safe_load((HERE / "six.site.yaml").read_text())
    site["cameras"] = {name: site["cameras"][name] for name in ("till1", "door1")}
    (folder / "wants").mkdir()
    (folder / "wants" / "wexcombe.parts.yaml").write_bytes((HERE / "wexcombe.parts.yaml").read_bytes())
    (folder / "wants" / "two.site.yaml").write_text(yaml.safe_dump(site))
    return folder / "wants" / "two.site.yaml"


def test_the_command_writes_a_commented_site_and_tells_json(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    wants, made = two_of_six(tmp_path), tmp_path / "out" / "made.site.yaml"
    made.parent.mkdir()
    assert run(["propose", str(wants), "--output", str(made), "--format", "json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["format"] == 2
    assert told["output"] == str(made)
    assert told["bound"] <= told["cost"]
    assert {each["name"] for each in told["systems"]} >= {"cheapest"}
    assert told["reasons"]["cameras/till1"]
    text = made.read_text()
    assert text.count("  # ") > 6
    assert "competent people" in text
    assert (made.parent / "made-parts" / "wexcombe.parts.yaml").read_bytes() == (HERE / "wexcombe.parts.yaml").read_bytes()
    assert run(["propose", str(wants), "--output", str(made)]) == 2
    assert run(["propose", str(wants), "--output", str(made), "--replace"]) == 0
    assert made.read_text() == text


def test_the_fewest_devices_are_written_where_they_are_preferred(tmp_path: Path) -> None:
    found = propose(HERE / f"{SITES[-1]}.site.yaml", prefer="fewest").found
    assert found.best is not None
    assert found.best.name == "fewest devices"
    devices = [sum(each.plan.units.values()) for each in found.systems]
    assert devices[0] == min(devices) >= (found.devices_bound or 0) > 0
    assert found.best.plan.cost >= (found.bound or 0)


def test_what_nothing_does_is_named_with_the_rule(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    wants = two_of_six(tmp_path)
    far = yaml.safe_load(wants.read_text())
    far["cameras"]["door1"]["wants"].update(see="identify", at="300 m")
    wants.write_text(yaml.safe_dump(far))
    assert run(["propose", str(wants), "--output", str(tmp_path / "none.site.yaml")]) == 1
    told = capsys.readouterr().out
    assert "cameras/door1" in told
    assert "view/density-low" in told
    assert not (tmp_path / "none.site.yaml").exists()


def test_a_budget_of_one_says_that_it_ran_out() -> None:
    found = propose(HERE / "six.site.yaml", budget=1).found
    assert found.best is None
    assert any("budget" in why for _, why in found.in_the_way)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda site: site["cameras"]["till1"].pop("distances"), "how far till1 is"),
        (lambda site: site.pop("cameras"), "no camera is known by its wants"),
        (lambda site: site.update(supplies={"p": {"part": "wexcombe/dc-5a-4"}}), "p is chosen already"),
    ],
)
def test_what_cannot_be_proposed_for_is_refused(change: Any, said: str, tmp_path: Path) -> None:
    site = yaml.safe_load((HERE / "six.site.yaml").read_text())
    change(site)
    (tmp_path / "wexcombe.parts.yaml").write_text((HERE / "wexcombe.parts.yaml").read_text())
    path = tmp_path / "w.site.yaml"
    path.write_text(yaml.safe_dump(site))
    with pytest.raises(Refusal) as refused:
        propose(path)
    assert any(said in each.what for each in refused.value.problems)
