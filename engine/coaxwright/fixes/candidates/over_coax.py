"""Candidates about a coax that carries a camera's power beside its picture: another coax for both at once."""

from __future__ import annotations

from collections.abc import Iterator

from coaxwright.fixes.candidates.bench import CABLE, Bench, Candidate, Steps, hops_of


def other_coax(bench: Bench, name: str) -> Iterator[Candidate]:
    """Every coax of known centre and braid, on the runs of picture and power that are one cable now."""
    power = [path for path in hops_of(bench, ("cameras", name, "power")) if _is_coax(bench, path)]
    if not power:
        return
    now = bench.written((*power[0], "cable"))
    picture = [path for path in hops_of(bench, ("cameras", name, "video")) if bench.written((*path, "cable")) == now]
    for cable in bench.parts("cable", now):
        part = bench.part(cable)
        if "coax" not in part.carries or part.conductor is None or part.braid_resistance is None:
            continue
        if bench.catalogue.full_id(now) != cable:
            patch = tuple(bench.write((*path, "cable"), cable) for path in (*picture, *power))
            yield Candidate(f"{cable} for picture and power of {name}, in place of {now}", patch, CABLE)


def _is_coax(bench: Bench, path: Steps) -> bool:
    return "coax" in bench.part(str(bench.written((*path, "cable")))).carries
