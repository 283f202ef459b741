"""Second opinion on failing parts: one part of a site file is broken, and each camera is walked along what is written.

From docs/how-facts-are-computed.md, "If one part fails"; common practice: what hangs on a part goes dark with it.
"""

from __future__ import annotations

from .plain import num

_OWNED = ("junctions", "recorders", "boxes")


def runs(subject, path):
    """(subject path, entry) of each piece of a path."""
    return [(f"{subject}/over/{place}", hop) for place, hop in enumerate((path or {}).get("over") or [])]


def ways(site):
    """(subject path, path) of every power, video and network path."""
    for name, entry in site["cameras"].items():
        yield from ((f"cameras/{name}/{use}", entry[use]) for use in ("video", "network", "power") if entry.get(use))
    for group in _OWNED:
        for name, entry in (site.get(group) or {}).items():
            if (entry or {}).get("power"):
                yield f"{group}/{name}/power", entry["power"]
    for name, entry in (site.get("switches") or {}).items():
        yield f"switches/{name}", entry


def parts(site):
    """Every part that may fail, but recorders: devices, outputs that something hangs on, jackets, runs without one."""
    found = dict.fromkeys(
        f"{group}/{name}" for group in ("supplies", "junctions", "boxes", "switches") for name in site.get(group) or {}
    )
    for subject, path in ways(site):
        if path.get("from", "").split("/")[0] in (site.get("supplies") or {}):
            found[f"supplies/{path['from']}"] = None
        for piece, hop in runs(subject, path):
            if "box" not in hop:
                found[f"sheaths/{hop['sheath']}" if "sheath" in hop else piece] = None
    return list(found)


def grave(part):
    """Supplies, switches, outputs, junctions, boxes, jackets, runs; then by name."""
    if "/over/" in part:
        return 6, part
    group = "outputs" if part.startswith("supplies/") and part.count("/") == 2 else part.split("/")[0]
    return ["supplies", "switches", "outputs", "junctions", "boxes", "sheaths"].index(group), part


def one_cable(site, name):
    """Whether a camera's power goes over its network cable: into one port, over the same pieces either way round."""
    entry = site["cameras"][name]
    network, power = entry.get("network"), entry.get("power")
    if not network or not power or network["into"] != power["from"]:
        return False
    one, two = ([(hop.get("cable"), num(hop.get("length"))) for _, hop in runs("", path)] for path in (network, power))
    return one == two or one == two[::-1]


class Broken:
    """A site with one part broken. Recorders and what feeds them always work here."""

    def __init__(self, site, part):
        self.site, self.part = site, part

    def passes(self, subject, path, twin=None):
        pieces = runs(subject, path)
        if twin is not None:
            same = [hop.get("cable") for _, hop in pieces], [num(hop.get("length")) for _, hop in pieces]
            others = runs(*twin)
            if same != ([hop.get("cable") for _, hop in others], [num(hop.get("length")) for _, hop in others]):
                others = others[::-1]
            pieces = [
                (there, {**hop, **({"sheath": jacket} if (jacket := own.get("sheath") or hop.get("sheath")) else {})})
                for (_, own), (there, hop) in zip(pieces, others, strict=True)
            ]
        return all(self.piece(piece, hop) for piece, hop in pieces)

    def piece(self, piece, hop):
        if "box" not in hop:
            return self.part != (f"sheaths/{hop['sheath']}" if "sheath" in hop else piece)
        power = self.site["boxes"][hop["box"]].get("power")
        return self.part != f"boxes/{hop['box']}" and (not power or self.fed(f"boxes/{hop['box']}/power", power))

    def fed(self, subject, path, twin=None):
        device = path["from"].split("/")[0]
        if not self.passes(subject, path, twin):
            return False
        if device in (self.site.get("supplies") or {}):
            return self.part not in (f"supplies/{device}", f"supplies/{path['from']}")
        if device in (self.site.get("junctions") or {}):
            power = (self.site["junctions"][device] or {}).get("power")
            return self.part != f"junctions/{device}" and (not power or self.fed(f"junctions/{device}/power", power))
        return self.part != f"switches/{device}"

    def works(self, name):
        """Power where a source is named, and the way of the picture where a recorder is."""
        entry = self.site["cameras"][name]
        network, twin = entry.get("network"), None
        if one_cable(self.site, name):
            twin = (f"cameras/{name}/network", network)
        if entry.get("power") and not self.fed(f"cameras/{name}/power", entry["power"], twin):
            return False
        if entry.get("video"):
            return self.passes(f"cameras/{name}/video", entry["video"])
        if not network or records(self.site, network) is None:
            return True
        up = self.up(network["into"].split("/")[0], records(self.site, network))
        return up and self.passes(f"cameras/{name}/network", network)

    def up(self, device, recorder):
        """From a switch to the recorder; where the way drawn ends at another recorder, up to its last switch."""
        if device not in (self.site.get("switches") or {}):
            return True
        entry = self.site["switches"][device]
        above = (entry.get("into") or "").split("/")[0]
        if self.part == f"switches/{device}":
            return False
        if not above or (above in self.site["recorders"] and above != recorder):
            return True
        return self.passes(f"switches/{device}", entry) and self.up(above, recorder)


def records(site, network):
    """The recorder of a network camera."""
    named = network.get("recorder") or network["into"].split("/")[0]
    return named if named in (site.get("recorders") or {}) else None


def unwritten(site, name):
    """Whether more parts could stand behind a camera than are written: a source, a way, a piece of it is not."""
    entry = site["cameras"][name]
    picture = entry.get("video") or entry.get("network")
    if not entry.get("power") or not picture or ("network" in entry and records(site, picture) is None):
        return True
    return open_way(site, entry["power"], "power") or open_way(site, picture, "network" if "network" in entry else "video")


def open_way(site, path, use):
    if path.get("over") is None:
        return True
    device = (path.get("from") or path.get("into") or "").split("/")[0]
    boxed = [site["boxes"][hop["box"]].get("power") for hop in path["over"] if "box" in hop]
    if any(open_way(site, power, "power") for power in boxed if power):
        return True
    if device in (site.get("junctions") or {}):
        above = (site["junctions"][device] or {}).get("power")
        return not above or open_way(site, above, "power")
    if use == "network" and device in (site.get("switches") or {}):
        above = site["switches"][device]
        return not above.get("into") or open_way(site, above, "network")
    return False
