"""Power trees: what hangs on each supply, through junctions too, with parents before children."""

from __future__ import annotations

from collections.abc import Iterable

from coaxwright.model.site import Site
from coaxwright.topology.records import GROUP_OF_KIND, CablePath, Lists, SupplyTree


def supply_trees(site: Site, lists: Lists) -> tuple[dict[str, SupplyTree], list[SupplyTree]]:
    """One tree per supply by id, and the trees whose root is no supply: a junction that nobody feeds, or a
    switch or recorder with all that its network ports power.

    A ring of junctions must have been refused before.
    """
    trees = {name: SupplyTree(name) for name in site.supplies}
    for (supply, _), paths in lists.outputs.items():
        tree = trees.get(supply)
        if tree is not None:
            _hang(tree, paths, -1, lists)
    return trees, _unfed(site, lists)


def _hang(tree: SupplyTree, paths: Iterable[CablePath], parent: int, lists: Lists) -> None:
    """Add paths and, level by level, all that hangs on the junctions among them."""
    waiting = [(path, parent) for path in paths]
    for path, above in waiting:
        tree.paths.append(path)
        tree.parents.append(above)
        if path.owner_kind == "junction" and path.owner in lists.taps:
            here = len(tree.paths) - 1
            waiting.extend((below, here) for below in lists.taps[path.owner])


def _unfed(site: Site, lists: Lists) -> list[SupplyTree]:
    found: list[SupplyTree] = []
    for name in site.junctions:
        if ("junction", name) not in lists.device_power and name in lists.taps:
            found.append(SupplyTree(f"junctions/{name}"))
            _hang(found[-1], lists.taps[name], -1, lists)
    ethernet: dict[str, SupplyTree] = {}
    for port, paths in lists.others.items():
        powered = [path for path in paths if path.use == "power"]
        if powered:
            root = f"{GROUP_OF_KIND[port.device_kind]}/{port.device}"
            _hang(ethernet.setdefault(root, SupplyTree(root)), powered, -1, lists)
    return [*found, *ethernet.values()]


def root_of(lists: Lists, path: CablePath | None) -> tuple[str, str]:
    """Kind and id of the device at the root of a way of power, through junctions: a supply, or a device whose network
    port gives it. Empty words where nobody wrote it; rings must have been refused before.
    """
    while path is not None and path.target is not None:
        kind, name = path.target.device_kind, path.target.device
        if kind != "junction":
            return kind, name
        path = lists.device_power.get((kind, name))
    return "", ""
