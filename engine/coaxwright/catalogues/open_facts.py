"""Facts that an entry lacks and that leave rules open, found by checking a small site that uses it.

The site is a sound one whose other parts state everything; the entry takes the place of its kind. What then is open
for want of a field of this entry is what a user of it would run into. Kits and screens take no place there.
"""

from __future__ import annotations

import copy
from functools import cache
from typing import Any

from coaxwright.checking import check
from coaxwright.errors import Refusal
from coaxwright.model.parts import PartFile
from coaxwright.reading.catalogue import Catalogue, PartSource
from coaxwright.reading.site_reader import load_site_with
from coaxwright.reading.validation import validated
from coaxwright.reading.yaml_source import parse_document
from coaxwright.rulebook.cases import load_bases
from coaxwright.rulebook.library import Rulebook

BASE = "one-camera"
_IN_PLACE = ("camera", "recorder", "supply", "disk", "cable", "box", "pickup")


def open_facts(catalogue: Catalogue, name: str, rulebook: Rulebook) -> dict[str, set[str]]:
    """Fields of the entry that are not stated, each with the rules that it leaves open. Empty for other kinds."""
    kind = catalogue.kind(name)
    if kind not in _IN_PLACE:
        return {}
    value = _site_with(kind, name, catalogue)
    companions = _Companions(catalogue)
    try:
        import json

        loaded = load_site_with(json.dumps(value), name, companions)
        report = check(loaded, rulebook=rulebook)
    except Refusal:
        return {}
    found: dict[str, set[str]] = {}
    prefix = f"parts/{name}/"
    for finding in report.findings:
        for path in finding.missing if finding.kind == "open" else ():
            if path.startswith(prefix):
                found.setdefault(path.removeprefix(prefix), set()).add(finding.rule)
    return found


class _Companions(Catalogue):
    """The catalogue asked about, with the parts of the sound site beside it."""

    def __init__(self, catalogue: Catalogue) -> None:
        super().__init__()
        self.parts = {**dict(_base()[1]), **catalogue.parts}


@cache
def _base() -> tuple[dict[str, Any], dict[str, Any]]:
    """The sound site, and its parts by id."""
    import json

    base = load_bases()[BASE]
    document = parse_document(json.dumps({"parts": base.parts}), "base")
    parts = validated(PartFile, document).parts
    return dict(base.site), dict(PartSource("base", document, PartFile(parts=parts)).entries.parts)


def _site_with(kind: str, name: str, catalogue: Catalogue) -> dict[str, Any]:
    """The sound site with the entry in its place, switched and connected so that as much as possible is judged."""
    value: dict[str, Any] = copy.deepcopy(_base()[0])
    camera = value["cameras"]["c1"]
    if kind == "camera":
        camera["part"] = name
        camera.pop("set", None)
        camera.update(sound={"by": "coax"}, control={"by": "coax"})
        camera["wants"] = {**camera.get("wants", {}), "firmware": True, "sorted_motion": True}
    elif kind == "recorder":
        value["recorders"]["rec1"]["part"] = name
        camera.update(sound={"by": "coax"}, control={"by": "coax"})
        camera["wants"] = {**camera.get("wants", {}), "firmware": True, "sorted_motion": True}
    elif kind == "supply":
        value["supplies"]["psu1"]["part"] = name
    elif kind == "disk":
        value["recorders"]["rec1"]["disks"] = [name]
    elif kind == "box":
        value["boxes"] = {"box1": {"part": name}}
        camera["video"]["over"].append({"box": "box1"})
        camera.update(sound={"by": "coax"}, control={"by": "coax"})
    elif kind == "pickup":
        camera["sound"] = {"into": "rec1/audio1", "pickup": name, "over": []}
    else:
        _lay_cable(camera, name, catalogue)
    return value


def _lay_cable(camera: dict[str, Any], name: str, catalogue: Catalogue) -> None:
    """The cable where it is made for: for the picture, for power, or for both."""
    carries = catalogue.part(name).carries
    for use, media in (("video", {"coax", "pair"}), ("power", {"power"})):
        if media & set(carries):
            camera[use]["over"][0]["cable"] = name
