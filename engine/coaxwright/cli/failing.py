"""What `coaxwright explain` says of failing parts: of one subject, and of a whole site."""

from __future__ import annotations

from typing import Any

from coaxwright.show.painter import visible


def _failures(loaded: Any) -> Any:
    from coaxwright.topology.failures import Failures
    from coaxwright.topology.wiring import build_topology

    return Failures(loaded.site, build_topology(loaded).lists)


def of_subject(loaded: Any, subject: str) -> list[dict[str, Any]]:
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


def lines_of_subject(loaded: Any, subject: str) -> list[str]:
    """The same for a person, with an empty line behind it; none for what is no part."""
    from coaxwright.reporting.failing import about, goes_dark_with, lost_words, part_words

    failures = _failures(loaded)
    said = [f"if {who} fails: {visible(lost_words(lost))}" for lost, who in zip(about(failures, subject), _WHO, strict=False)]
    parts = [visible(part_words(part)) for part in goes_dark_with(loaded.site, failures, subject)]
    said += [f"goes dark with any one of: {', '.join(parts)}"] if parts else []
    return [*said, ""] if said else []


_WHO = ("it", "one of its disks")


def listing(site: str, form: str) -> str:
    """Every part of a site with which something is lost, most cameras first."""
    from coaxwright.checking import load_site
    from coaxwright.reporting.failing import lost_data, not_counted
    from coaxwright.topology.wiring import build_topology

    loaded = load_site(site)
    lists = build_topology(loaded).lists
    points, unsaid = _failures(loaded).single_points(), not_counted(loaded.site, lists)
    if form == "json":
        from coaxwright.show.json_text import to_json

        data = {"format": 2, "site": loaded.site.site, "file": loaded.file, "cameras": len(loaded.site.cameras)}
        return to_json({**data, "failures": [lost_data(each) for each in points], "not_counted": unsaid})
    return "\n".join(_told(loaded.site, points, unsaid)) + "\n"


def _told(site: Any, points: list[Any], unsaid: list[str]) -> list[str]:
    from coaxwright.reporting.failing import lost_words, part_words

    lines = [f"{visible(site.site)}: what goes dark if one part fails, of {len(site.cameras)} cameras", ""]
    lines += [f"{len(each.dark):>4}  {visible(part_words(each.part))}: {visible(lost_words(each))}" for each in points]
    lines += ["   0  no part is known with which a camera goes dark"] if not points else []
    if unsaid:
        lines += ["", "Not counted, since the site file does not say it:", *(f"  - {visible(each)}" for each in unsaid)]
    return lines
