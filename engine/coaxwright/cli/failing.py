"""What `coaxwright explain` says of failing parts: of one subject, and of a whole site."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from coaxwright.cli.handed import Failures, LoadedSite, Site
from coaxwright.cli.showing import give, lines
from coaxwright.show.tree import Document, Item, Listing


def _failures(loaded: LoadedSite) -> Failures:
    from coaxwright.topology.failures import Failures
    from coaxwright.topology.wiring import build_topology

    return Failures(loaded.site, build_topology(loaded).lists)


def of_subject(loaded: LoadedSite, subject: str) -> list[dict[str, Any]]:
    """Entries for the list of facts in JSON, each with the fields of a fact; of a part that fails also `if_it_fails`."""
    from coaxwright.reporting.failing import about, goes_dark_with, lost_data, lost_words

    failures = _failures(loaded)
    found = []
    for lost, (name, doc) in zip(about(failures, subject), _ENTRIES, strict=False):
        found.append(_entry(name, list(lost.dark), doc, lost_words(lost)) | {"if_it_fails": lost_data(lost)})
    parts = goes_dark_with(loaded.site, failures, subject)
    if parts:
        found.append(_entry("goes_dark_with", parts, "Parts with each of which it goes dark."))
    return found


_ENTRIES = (
    ("if_it_fails", "Cameras that go dark if it fails."),
    ("if_a_disk_fails", "Cameras that go dark if one of its disks fails."),
)


def _entry(name: str, value: list[str], doc: str, *working: str) -> dict[str, Any]:
    return {
        "name": name, "value": value, "unit": "", "doc": doc, "working": list(working), "source": None, "provenance": None,
    }  # fmt: skip


def lines_of_subject(loaded: LoadedSite, subject: str) -> list[str]:
    """The same for a person; none for what is no part."""
    from coaxwright.reporting.failing import about, goes_dark_with, lost_words, part_words

    failures = _failures(loaded)
    said = [f"if {who} fails: {lost_words(lost)}" for lost, who in zip(about(failures, subject), _WHO, strict=False)]
    parts = [part_words(part) for part in goes_dark_with(loaded.site, failures, subject)]
    return [*said, *([f"goes dark with any one of: {', '.join(parts)}"] if parts else ())]


_WHO = ("it", "one of its disks")


def listing(site: str, form: str, output: Path | None) -> None:
    """Show every part of a site with which something is lost, most cameras first."""
    from coaxwright.checking import load_site
    from coaxwright.reporting.failing import lost_data, not_counted
    from coaxwright.topology.wiring import build_topology

    loaded = load_site(site)
    lists = build_topology(loaded).lists
    points, unsaid = _failures(loaded).single_points(), not_counted(loaded.site, lists)
    data = {"format": 2, "site": loaded.site.site, "file": loaded.file, "cameras": len(loaded.site.cameras),
            "failures": [lost_data(each) for each in points], "not_counted": unsaid}  # fmt: skip
    give(form, output, lambda: data, lambda: _told(loaded.site, points, unsaid))


def _told(site: Site, points: list[Any], unsaid: list[str]) -> Document:
    from coaxwright.reporting.failing import lost_words, part_words

    head = f"{site.site}: what goes dark if one part fails, of {len(site.cameras)} cameras"
    told = [f"{len(each.dark):>4}  {part_words(each.part)}: {lost_words(each)}" for each in points]
    left_out = [Item("Not counted, since the site file does not say it:", (Listing(unsaid, whole=True),))] if unsaid else []
    none = ["   0  no part is known with which a camera goes dark"]
    return Document("", (lines([head]), lines(told or none), lines(left_out)))
