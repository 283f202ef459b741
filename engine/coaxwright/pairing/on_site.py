"""What could take a place, proven on a whole site: every entry of the site that has the part is given the other.

The proof is that of every change (`fixes.proving`): supplies, cables, disks, networks, views and whatever else the
site states are judged again, and nothing that gets worse is passed over.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from coaxwright import pace
from coaxwright.errors import Problem, Refusal
from coaxwright.findings import LEVELS, Fix
from coaxwright.fixes.candidates.bench import DEVICE, DEVICE_GROUPS, Candidate
from coaxwright.fixes.patching import PatchError, pointer
from coaxwright.fixes.proving import change_of, harm_words, proof_of
from coaxwright.fixes.rejudging import SiteState
from coaxwright.immutable import immutable

PAIR_ONLY = (
    "Compared as a pair only. Not proven: supplies, power cables, disks, networks, views, places and the other devices of a "
    "site; `--site FILE` proves each of these parts on a site."
)


@immutable
class Placed:
    """A part in its place on a site: `change` with all that it harms, gives up and loses there; None where the site
    cannot be judged with it (`refused` says why) or the time was over (`refused` is `pace.STOPPED`).

    `harms` are in words, the gravest first; `levels` are theirs.
    """

    part: str
    entries: tuple[str, ...]
    change: Fix | None
    harms: tuple[str, ...] = ()
    levels: tuple[str, ...] = ()
    refused: str = ""


def entries_with(state: SiteState, kind: str, part: str) -> tuple[str, ...]:
    """Entries of a site that have a part, by name. Raises Refusal where none has."""
    catalogue, group = state.basis.loaded.catalogue, DEVICE_GROUPS[kind]
    named = {name: catalogue.full_id(each.part) for name, each in getattr(state.site, group).items()}
    found = tuple(name for name, each in named.items() if each == part)
    if not found:
        there = ", ".join(sorted(set(named.values()))) or "none"
        raise Refusal([Problem(state.basis.loaded.file, f"has no {kind} {part}", f"its {group} are of: {there}")])
    return found


def placed(state: SiteState, kind: str, old: str, parts: Iterable[str]) -> list[Placed]:
    """Each part in the place of `old` wherever the site has it. Raises Refusal where the site has none."""
    entries = entries_with(state, kind, old)
    return [_placed(state, kind, entries, name) for name in pace.counted(list(parts), "parts proven on the site")]


def _placed(state: SiteState, kind: str, entries: Sequence[str], part: str) -> Placed:
    if pace.out_of_time():
        return Placed(part, tuple(entries), None, refused=pace.STOPPED)
    patch = tuple(
        {"op": "replace", "path": pointer((DEVICE_GROUPS[kind], name, "part")), "value": part} for name in entries
    )
    try:
        trial = state.after(patch)
    except Refusal as refusal:
        return Placed(part, tuple(entries), None, refused=refusal.problems[0].what)
    except PatchError as error:
        return Placed(part, tuple(entries), None, refused=str(error))
    proof = proof_of(trial, Candidate(f"{part} for {', '.join(entries)}", patch, DEVICE))
    words, levels = tuple(map(harm_words, proof.harms)), tuple(harm.level for harm in proof.harms)
    return Placed(part, tuple(entries), change_of(proof), words, levels)


def weight(one: Placed) -> tuple[int, ...]:
    """Best first: what harms nothing, then least of the gravest; what could not be judged last."""
    return (one.change is None, *(one.levels.count(level) for level in LEVELS))


def placed_words(one: Placed, most: int = 3) -> str:
    """What a part does on the site, in words."""
    if one.change is None:
        return f"not judged: {one.refused}"
    worse = list(one.harms[:most]) + ([f"and {len(one.harms) - most} more"] if len(one.harms) > most else [])
    told = [f"gives up {each}" for each in one.change.gives_up] + worse
    cleared = f"clears {len(one.change.clears)}" if one.change.clears else ""
    loses = [f"loses {each}" for each in one.change.loses]
    return "; ".join([*told, *loses, *([cleared] if cleared else [])]) or "nothing gets worse"
