"""Finds systems for wants: small systems first, then the numbers, then the check of the whole, which has the last word.

Where the whole does not hold, what stands out there is set aside and the numbers are asked again: always for this
search alone, never for the bound.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, Literal

from coaxwright import pace
from coaxwright.errors import Refusal
from coaxwright.facts.assumed import assumable
from coaxwright.findings import Finding, SiteReport
from coaxwright.fixes.candidates.bench import DEVICE, Candidate
from coaxwright.fixes.patching import PatchError, replace_or_add
from coaxwright.fixes.proving import Proof, prove
from coaxwright.fixes.rejudging import SiteState, start
from coaxwright.immutable import immutable
from coaxwright.proposals.assigning import Plan, assigned
from coaxwright.proposals.branching import Bounded, Branching
from coaxwright.proposals.feeding import Feeds, Source, of_power
from coaxwright.proposals.laying_out import LaidOut, lay_out
from coaxwright.proposals.options import Picture, Pictures, asks_of_wants, of_way
from coaxwright.proposals.probing import Counts, Probe, Prober
from coaxwright.proposals.problem import Problem, Stand, Unit
from coaxwright.proposals.shopping import USABLE, Shop
from coaxwright.proposals.wishes import Wish, Wishes, read_wishes
from coaxwright.reading.site_reader import LoadedSite
from coaxwright.rulebook.library import Rulebook

Prefer = Literal["cheapest", "fewest"]
ROUNDS = 24
"""Times that a plan is mended after a check of the whole, before the next one is taken."""
MORE = 1.04
"""Factor on what disks have to hold, each time that the check of the whole found too little."""
MANY = 1e6
"""Price of a device where the fewest are looked for: more than any other difference."""


@immutable
class System:
    """A system that was checked as a whole: `name` says what sets it apart."""

    name: str
    plan: Plan
    laid: LaidOut
    state: SiteState
    proof: Proof
    report: SiteReport


@immutable
class Proposal:
    """What came of wants: systems, the wanted one first; the bound on cost; and what stands in the way of one."""

    wishes: Wishes
    systems: tuple[System, ...]
    bound: float | None
    optimal: bool
    devices_bound: int | None
    in_the_way: tuple[tuple[str, str], ...]
    judged: int
    unpriced: tuple[str, ...]
    currency: str | None
    refused: Mapping[str, Mapping[str, str]]
    considered: Mapping[str, int]
    stopped: str = ""

    def loaded_wants(self, name: str) -> Mapping[str, Any]:
        """What is wanted of a camera, as the file says it."""
        return next((wish.entry.get("wants") or {} for wish in self.wishes.cameras if wish.name == name), {})

    @property
    def best(self) -> System | None:
        """The system to be written; None where there is none."""
        return self.systems[0] if self.systems else None


@dataclass
class Search:
    """One search for systems; `budget` counts small systems judged."""

    loaded: LoadedSite
    rulebook: Rulebook
    prefer: Prefer = "cheapest"
    budget: int | None = None
    why: dict[str, str] = field(default_factory=dict)
    still_wrong: list[Finding] = field(default_factory=list)

    def __post_init__(self) -> None:
        """Read the wishes; Refusal where there is nothing to propose for."""
        self.wishes = read_wishes(self.loaded)
        self.shop = Shop(self.loaded.catalogue)
        self.prober = Prober(self.wishes, self.rulebook, budget=self.budget)
        self.pictures, self.feeds = Pictures(self.prober, self.shop), Feeds(self.prober, self.shop)
        self.base = start(self.loaded, rulebook=self.rulebook)

    def run(self) -> Proposal:
        """The proposal."""
        currency = self.shop.currency
        problem = self._problem()
        self._missing(problem)
        systems: list[System] = []
        bounded, fewest = Bounded([], math.inf, False), None
        if not self.why:
            bounded = Branching(problem).run()
            fewest = self._fewest(problem)
            systems = self._systems(problem, bounded, fewest)
            if not systems and not self.why:
                self.why["site"] = "no system was found whose check holds as a whole" + self._still_wrong()
        priced = not self.shop.unpriced_kinds
        cost = min((each.plan.cost for each in systems), default=math.inf)
        return Proposal(
            self.wishes, tuple(systems), round(bounded.bound, 2) if priced and systems else None,
            bool(systems) and priced and bounded.bound >= cost - 0.005, self._devices(fewest) if systems else None,
            tuple(sorted(self.why.items())), self.prober.count, tuple(sorted(self.shop.unpriced_kinds)), currency,
            {wish.name: self._refused(wish.alike) for wish in self.wishes.cameras},
            {wish.name: self._tried(wish.alike) for wish in self.wishes.cameras}, pace.stopped(),
        )  # fmt: skip

    def _refused(self, alike: str) -> Mapping[str, str]:
        found = self.pictures.refused.get(alike)
        return dict(found.by) if found else {}

    def _tried(self, alike: str) -> int:
        found = self.pictures.refused.get(alike)
        return found.tried if found else 0

    # The numbers.

    def _problem(self) -> Problem:
        """Options of every wish at every position that it has a way to."""
        asked = [(wish, position) for wish in self.wishes.cameras for position in wish.distances]
        options = self.pictures.options(asked)
        cameras = {
            wish.name: sorted(
                {each.kind.camera for position in wish.distances for each in options.get((wish.name, position), ())}
            )
            for wish in self.wishes.cameras
        }
        sources = self.feeds.sources()
        self.feeds.learn(
            [
                (wish, camera, source, position)
                for wish, position in asked
                for camera in cameras[wish.name]
                for source in sources
            ]
        )
        return Problem(
            [wish.name for wish in self.wishes.cameras], self._recorders(), self._supplies(sources),
            {wish.name: self._by_recorder(wish.name, wish.distances, options) for wish in self.wishes.cameras},
            {wish.name: self._by_source(wish, cameras[wish.name], sources) for wish in self.wishes.cameras},
            self._disks(),
        )  # fmt: skip

    def _recorders(self) -> dict[Stand, Unit]:
        return {
            stand: Unit(stand, self.shop.price(name), len({channel for group in part.inputs for channel in group.channels}),
                        bays=part.bays or 0)
            for name in self.shop.recorders
            for position in self.wishes.positions
            for stand, part in ((Stand(name, position), self.shop.part(name)),)
        }  # fmt: skip

    def _supplies(self, sources: Iterable[Source]) -> dict[Stand, Unit]:
        found = {}
        for source in sources:
            part = self.shop.part(source.part)
            for position in self.wishes.positions:
                stand = Stand(source, position)
                found[stand] = Unit(stand, self.shop.price(source.part), part.outputs, part.amps * USABLE,
                                    part.amps_per_output or math.inf)  # fmt: skip
        return found

    def _by_recorder(
        self, name: str, distances: Mapping[str, float], options: Mapping[tuple[str, str], list[Picture]]
    ) -> dict[Stand, list[Picture]]:
        found: dict[Stand, list[Picture]] = {}
        for position in distances:
            for each in options.get((name, position), ()):
                found.setdefault(Stand(each.kind.recorder, position), []).append(each)
        return found

    def _by_source(self, wish: Wish, cameras: list[str], sources: list[Source]) -> dict[Stand, dict[str, Any]]:
        found: dict[Stand, dict[str, Any]] = {}
        for source in sources:
            for position in wish.distances:
                feeds = {camera: feed for camera in cameras if (feed := self.feeds.of(wish, camera, source, position))}
                if feeds:
                    found[Stand(source, position)] = feeds
        return found

    @cached_property
    def _usable(self) -> float:
        """Share of a disk left after formatting and index, as the site or the assumptions have it."""
        return float(assumable(self.loaded.site.assume)["usable-share"].value)

    def _disks(self) -> list[tuple[float, float]]:
        return [(self.shop.part(name).capacity * self._usable, self.shop.price(name)) for name in self.shop.disks]

    def _still_wrong(self) -> str:
        """What the check of the last system that was tried found, in the words of its gravest findings."""
        told = [
            f"{each.rule} on {each.subject}: {each.message or '; '.join(each.missing)}" for each in self.still_wrong[:3]
        ]
        return f"; the last one failed by {' '.join(told)}" if told else ""

    def _missing(self, problem: Problem) -> None:
        """Which camera has no option, and the rule that stands in the way."""
        for wish in self.wishes.cameras:
            if problem.all_choices[wish.name]:
                continue
            if self.prober.spent:
                self.why[f"cameras/{wish.name}"] = pace.stopped() or "the budget ran out before an option was found"
            elif problem.pictures[wish.name]:
                self.why[f"cameras/{wish.name}"] = (
                    "no supply and power cable of the catalogue feeds a camera that would do"
                    + self._nearest(self.feeds.refused.get(wish.alike, ()), of_power, "power")
                )
            else:
                self.why[f"cameras/{wish.name}"] = self._in_the_way(wish.alike)

    def _in_the_way(self, alike: str) -> str:
        refused = self._refused(alike)
        if not refused:
            return "the catalogue has no camera and recorder that could be tried"
        rules: dict[str, int] = {}
        for rule in refused.values():
            rules[rule] = rules.get(rule, 0) + 1
        told = [f"{rule} ({number})" for rule, number in sorted(rules.items(), key=lambda each: (-each[1], each[0]))]
        nearest = self._nearest(self.pictures.refused[alike].probes, of_way, "video")
        return f"nothing in the catalogue does what it is there for; set aside by {', '.join(told[:4])}{nearest}"

    def _nearest(self, probes: Sequence[Probe], counts: Counts, use: str) -> str:
        """What comes nearest, and what it lacks: what to look for in another catalogue."""
        found = self.prober.nearest(probes, counts)
        if found is None:
            return ""
        probe, finding = found
        over = [str(hop.get("cable") or "a box") for hop in (probe.camera.get(use) or {}).get("over") or ()]
        way = f" over {', '.join(dict.fromkeys(over))}" if over else ""
        supply = f" from {probe.supply['part']}" if probe.supply else ""
        return f". Nearest comes {probe.camera['part']}{supply}{way}: {finding.message}"

    # The systems.

    def _fewest(self, problem: Problem) -> Bounded:
        return Branching(problem, device_price=MANY, nodes=2000).run()

    def _devices(self, fewest: Bounded | None) -> int | None:
        return None if fewest is None or math.isinf(fewest.bound) else math.floor(fewest.bound / MANY)

    def _systems(self, problem: Problem, cheapest: Bounded, fewest: Bounded) -> list[System]:
        """Systems that differ in kind, the wanted one first."""
        # Either search may come upon a plan that the other has missed: in which order plans count is a matter of their cost.
        by_cost = sorted([*cheapest.plans, *fewest.plans], key=lambda plan: plan.cost)
        asked = [("cheapest", by_cost, problem), ("fewest devices", fewest.plans, problem)]
        if self.prefer == "fewest":
            asked.reverse()
        one = self._one_model(problem)
        if one is not None:
            asked.append(("fewest kinds of camera", Branching(one, nodes=600).run().plans, one))
        found: list[System] = []
        for name, plans, of in asked:
            made = self._first_that_holds(name, plans, of)
            if made is not None and all(made.plan != each.plan for each in found):
                found.append(made)
        return found

    def _one_model(self, problem: Problem) -> Problem | None:
        """The problem with the camera part that would do for most; others only where it does not."""
        does: dict[str, set[str]] = {}
        for camera in problem.cameras:
            for pictures in problem.pictures[camera].values():
                for each in pictures:
                    does.setdefault(each.kind.camera, set()).add(camera)
        if len(does) < 2:
            return None
        model = min(does, key=lambda name: (-len(does[name]), self.shop.price(name), name))
        only = {
            camera: {
                stand: [each for each in pictures if each.kind.camera == model or camera not in does[model]]
                for stand, pictures in problem.pictures[camera].items()
            }
            for camera in problem.cameras
        }
        return Problem(problem.cameras, problem.recorders, problem.supplies, only, problem.feeds, problem.disks)

    def _first_that_holds(self, name: str, plans: list[Plan], problem: Problem) -> System | None:
        for plan in plans[:8]:
            made = self._mended(name, plan, problem)
            if made is not None:
                return made
        return None

    def _mended(self, name: str, plan: Plan | None, problem: Problem) -> System | None:
        """The plan, or the nearest to it, that a check of the whole passes."""
        aside, more = set(problem.forbidden), problem.more_bytes
        try:
            for _ in range(ROUNDS):
                if plan is None or pace.out_of_time():
                    return None
                made = self._proposed(name, plan)
                if made is None:
                    return None
                wrong = [each for each in wrong_with(made.report) if not _unavoidable(each, plan)]
                if not wrong:
                    return made
                self.still_wrong = wrong
                if not self._set_aside(wrong, made, problem):
                    return None
                numbers = _numbers(plan)
                plan = assigned(problem, plan.units, numbers)
            return None
        finally:
            problem.forbidden.clear()
            problem.forbidden |= aside
            problem.more_bytes = more

    def _proposed(self, name: str, plan: Plan) -> System | None:
        """The whole system, proven by the one proof against the wants."""
        laid = lay_out(plan, self.wishes, self.shop, self.shop.disks)
        value = self.base.value
        patch = tuple(replace_or_add(value, (group,), entries) for group, entries in laid.groups.items())
        try:
            proof = prove(self.base, Candidate(name, patch, DEVICE))
        except (Refusal, PatchError):
            return None
        if proof is None:
            return None
        return System(name, plan, laid, proof.trial.after, proof, proof.trial.after.report())

    def _set_aside(self, wrong: list[Finding], made: System, problem: Problem) -> bool:
        """Forbid what the check of the whole spoke against; whether anything was."""
        before = len(problem.forbidden), problem.more_bytes
        for each in wrong:
            if each.rule.startswith("storage/"):
                problem.more_bytes *= MORE
                continue
            for camera in self._concerned(each, made):
                choice = made.plan.choices[camera]
                kind = choice.picture.kind
                if each.rule.startswith("power/"):
                    problem.forbidden.add(("feed", camera, kind.camera, choice.feed.source.part, choice.feed.way.title))
                else:
                    problem.forbidden.add(
                        ("picture", camera, kind.camera, str(kind.said), kind.recorder, choice.picture.way.title)
                    )
        return (len(problem.forbidden), problem.more_bytes) != before

    def _concerned(self, finding: Finding, made: System) -> list[str]:
        """The camera that a finding is about; of a recorder or supply the last of its cameras."""
        group, _, rest = finding.subject.partition("/")
        name = rest.partition("/")[0]
        if group == "cameras":
            return [name] if name in made.plan.choices else []
        owners = [
            camera
            for camera, entry in made.laid.groups["cameras"].items()
            if name in (entry["video"]["into"].partition("/")[0], entry["power"]["from"].partition("/")[0])
        ]
        return owners[-1:]


def _numbers(plan: Plan) -> tuple[dict[Stand, int], dict[Stand, int]]:
    recorders = {stand for stand, _, _ in plan.recorders}
    one = {stand: number for stand, number in plan.units.items() if stand in recorders}
    return one, {stand: number for stand, number in plan.units.items() if stand not in recorders}


def wrong_with(report: SiteReport) -> list[Finding]:
    """Errors, warnings, and what is open beyond what the wants left open."""
    found = []
    for each in report.findings:
        if each.waived is not None:
            continue
        fails = each.kind != "open" and each.level in ("error", "warning")
        if fails or (each.kind == "open" and not all(map(asks_of_wants, each.missing))):
            found.append(each)
    return found


def _unavoidable(finding: Finding, plan: Plan) -> bool:
    """Whether it is a warning that every camera of the catalogue has that could be chosen there."""
    name = finding.subject.removeprefix("cameras/")
    choice = plan.choices.get(name)
    return finding.level == "warning" and choice is not None and finding.rule in choice.picture.kind.warned
