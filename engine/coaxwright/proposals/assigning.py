"""Which camera goes where, once the numbers of recorders and supplies are fixed: by regret, then filled evenly."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from coaxwright.portable import added
from coaxwright.proposals.problem import Choice, Problem, Stand


@dataclass(frozen=True)
class Plan:
    """A whole system in numbers: what each camera becomes, and what stands where with which disks.

    `recorders` lists each recorder with the cameras on it and its disks (as many of one), `supplies` likewise.
    """

    choices: Mapping[str, Choice]
    recorders: tuple[tuple[Stand, tuple[str, ...], tuple[int, int]], ...]
    supplies: tuple[tuple[Stand, tuple[str, ...]], ...]
    units: Mapping[Stand, int]
    cost: float


Numbers = tuple[dict[Stand, int], dict[Stand, int]]


def assigned(problem: Problem, units: Mapping[Stand, int], numbers: Numbers) -> Plan | None:
    """The plan with these numbers of recorders and supplies; None where it does not come out."""
    chosen = _chosen(problem, *numbers)
    if chosen is None:
        return None
    recorders = _filled(problem, numbers[0], {name: each[0] for name, each in chosen.items()})
    supplies = _filled(problem, numbers[1], {name: each[1] for name, each in chosen.items()})
    choices = {name: each[2] for name, each in chosen.items()}
    if any(not names for _, names in (*recorders, *supplies)):
        return None
    with_disks = []
    cost = added(each.price for each in choices.values())
    for stand, names in recorders:
        disks = _disks(problem, problem.recorders[stand].bays, [choices[name] for name in names])
        if disks is None:
            return None
        with_disks.append((stand, names, disks))
        cost += problem.recorders[stand].price + (disks[0] * problem.disks[disks[1]][1] if disks[0] else 0.0)
    cost += added(problem.supplies[stand].price for stand, _ in supplies)
    if not all(_bears(problem, stand, names, choices) for stand, names in supplies):
        return None
    return Plan(choices, tuple(with_disks), tuple(supplies), dict(units), round(cost, 2))


def _chosen(
    problem: Problem, recorders: Mapping[Stand, int], supplies: Mapping[Stand, int]
) -> dict[str, tuple[Stand, Stand, Choice]] | None:
    """For each camera its stands and what it becomes: whoever loses most by waiting chooses first."""
    room = {stand: number * problem.recorders[stand].places for stand, number in recorders.items()}
    outputs = {stand: number * problem.supplies[stand].places for stand, number in supplies.items()}
    amps = {stand: number * problem.supplies[stand].amps for stand, number in supplies.items()}
    offers = {camera: _offers(problem, camera, recorders, supplies) for camera in problem.cameras}
    found: dict[str, tuple[Stand, Stand, Choice]] = {}
    waiting = list(problem.cameras)
    while waiting:
        best: tuple[float, str, tuple[float, Stand, Stand, Choice]] | None = None
        for camera in waiting:
            free = [
                each
                for each in offers[camera]
                if room[each[1]] > 0 and outputs[each[2]] > 0 and each[3].feed.amps <= amps[each[2]] + 1e-9
            ]
            if not free:
                return None
            regret = _next_best(free) - free[0][0]
            if best is None or regret > best[0] + 1e-9:
                best = regret, camera, free[0]
        assert best is not None
        _, camera, (_, recorder, source, choice) = best
        room[recorder] -= 1
        outputs[source] -= 1
        amps[source] -= choice.feed.amps
        found[camera] = recorder, source, choice
        waiting.remove(camera)
    return {camera: found[camera] for camera in problem.cameras}


def _next_best(free: list[tuple[float, Stand, Stand, Choice]]) -> float:
    """The least worth at other stands than the best; without end where there is none."""
    first = free[0]
    return next((each[0] for each in free if each[1:3] != first[1:3]), math.inf)


def _offers(
    problem: Problem, camera: str, recorders: Mapping[Stand, int], supplies: Mapping[Stand, int]
) -> list[tuple[float, Stand, Stand, Choice]]:
    found = []
    for pair in problem.all_choices[camera]:
        if pair[0] in recorders and pair[1] in supplies:
            choices = problem.choices(camera, *pair)
            if choices:
                found.append((problem.worth(choices[0]), *pair, choices[0]))
    return sorted(found, key=lambda each: (each[0], str(each[1]), str(each[2])))


def _filled(
    problem: Problem, numbers: Mapping[Stand, int], where: Mapping[str, Stand]
) -> list[tuple[Stand, tuple[str, ...]]]:
    """The cameras of each stand shared out among its units evenly, neighbours in the file together."""
    found: list[tuple[Stand, tuple[str, ...]]] = []
    for stand, number in numbers.items():
        names = [name for name, each in where.items() if each == stand]
        for index in range(number):
            start, end = (len(names) * each // number for each in (index, index + 1))
            found.append((stand, tuple(names[start:end])))
    return found


def _disks(problem: Problem, bays: int, choices: list[Choice]) -> tuple[int, int] | None:
    """How many of which disk hold what these cameras want, the cheapest; None where no number in the bays does."""
    if not problem.disks or not bays:
        return None if problem.disks else (0, 0)
    days = max((each.picture.kind.days for each in choices), default=0.0)
    need = added(each.picture.kind.bits for each in choices) * 86400.0 * days / 8.0 * problem.more_bytes
    ways = []
    for index, (usable, price) in enumerate(problem.disks):
        number = max(1, math.ceil(need / usable - 1e-9))
        if number <= bays:
            ways.append((number * price, number, index))
    return min(ways)[1:] if ways else None


def _bears(problem: Problem, stand: Stand, names: tuple[str, ...], choices: Mapping[str, Choice]) -> bool:
    """Whether a supply gives what hangs on it, each output too."""
    unit = problem.supplies[stand]
    amps = [choices[name].feed.amps for name in names]
    return len(names) <= unit.places and added(amps) <= unit.amps + 1e-9 and max(amps) <= unit.amps_each + 1e-9
