"""Checks of the pieces of a path: each is a run of cable or a box, and a box is in one place only."""

from __future__ import annotations

from collections.abc import Callable

from coaxwright.model.site import Hop, Site
from coaxwright.reading.suggest import did_you_mean
from coaxwright.topology.records import CablePath, Pointer

Refuse = Callable[[Pointer, str, str], None]


class HopChecks:
    """Looks at every hop once and remembers which paths name which box (`uses`, in order)."""

    def __init__(self, site: Site, refuse: Refuse) -> None:
        self.site = site
        self.refuse = refuse
        self.uses: dict[str, list[CablePath]] = {}
        self.sheaths: dict[str, list[tuple[CablePath, int]]] = {}
        self._places: dict[str, list[Pointer]] = {}

    def check(self, path: CablePath, hops: tuple[Hop, ...]) -> None:
        """Note every problem of the hops of one path."""
        for index, hop in enumerate(hops):
            if (hop.cable is None) is (hop.box is None):
                self._both_or_neither(path, index, hop)
            elif hop.box is not None:
                self._box(path, index, hop, hop.box)
            elif hop.sheath is not None:
                self.sheaths.setdefault(hop.sheath, []).append((path, index))

    def _both_or_neither(self, path: CablePath, index: int, hop: Hop) -> None:
        says = f"both cable `{hop.cable}` and box `{hop.box}`" if hop.cable else "neither a cable nor a box"
        right = "write `cable` with a `length`, or `box` with the id of a box, each as a piece of its own"
        self.refuse((*path.pointer, "over", index), f"this piece of the path names {says}", right)

    def _box(self, path: CablePath, index: int, hop: Hop, box: str) -> None:
        pointer = (*path.pointer, "over", index)
        if box not in self.site.boxes:
            near = did_you_mean(box, tuple(self.site.boxes))
            right = near or "name a box that stands under `boxes`"
            self.refuse((*pointer, "box"), f"there is no box `{box}` on this site", right)
            return
        if hop.length is not None:
            right = "leave `length` out here, or give it with a `cable` as a piece of its own"
            self.refuse((*pointer, "length"), f"box `{box}` has a length, and only cable has one", right)
        self.uses.setdefault(box, []).append(path)
        self._places.setdefault(box, []).append((*pointer, "box"))

    def refuse_shared_boxes(self) -> None:
        """A box carries the paths of one device, and each of them once: picture and power of a camera may
        share it.
        """
        for box, paths in self.uses.items():
            if len(paths) < 2:
                continue
            first = paths[0]
            seen = {first.pointer}
            for path, place in zip(paths[1:], self._places[box][1:], strict=True):
                if path.subject != first.subject or path.pointer in seen:
                    self._shared(box, first, path, place)
                seen.add(path.pointer)

    def _shared(self, box: str, first: CablePath, path: CablePath, place: Pointer) -> None:
        twice = "twice in " if path is first else f"in {first.use} of `{first.owner}` and in "
        what = f"box `{box}` stands {twice}{path.use} of `{path.owner}`"
        self.refuse(place, what, "a box is in one place: add another under `boxes` and name that one here")
