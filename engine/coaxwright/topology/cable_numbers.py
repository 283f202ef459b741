"""Which ways of a site are cables that somebody lays, and the number that each has on every sheet and drawing.

They follow the order of the site file. V video, N network, P power, S sound, C control (common practice: a label says what a
cable is for before anything else).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from coaxwright.topology.records import CablePath, Lists

LETTERS = {"video": "V", "network": "N", "power": "P", "sound": "S", "control": "C"}


def laid_ways(lists: Lists) -> list[CablePath]:
    """Every way over cable of its own, in the order of the site file; none over the coax or the network cable of another."""
    return [
        path for path in lists.paths
        if path.use != "monitor" and path.target is not None and not lists.is_network_cable(path)
    ]  # fmt: skip


def numbers_by_use(uses: Sequence[str]) -> list[str]:
    """A number for each of these: `V-01`, `P-01`, `V-02`; as many figures as the last of its letter needs, two at least."""
    totals, counts = Counter(uses), Counter[str]()
    found = []
    for use in uses:
        counts[use] += 1
        found.append(f"{LETTERS[use]}-{counts[use]:0{max(2, len(str(totals[use])))}}")
    return found


def way_numbers(lists: Lists) -> dict[tuple[str, str], str]:
    """The number of each way by whose it is and for what."""
    ways = laid_ways(lists)
    numbers = numbers_by_use([path.use for path in ways])
    return {(path.subject, path.use): number for path, number in zip(ways, numbers, strict=True)}
