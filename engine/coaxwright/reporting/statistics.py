"""Counts for each rule over all sites of a report: which faults are commonest."""

from __future__ import annotations

from collections import Counter

from coaxwright.findings import LEVELS, Report
from coaxwright.reporting.formats import Setting
from coaxwright.show.painter import visible


def render(report: Report, setting: Setting) -> str:
    """Return a line for each rule that fails or is open anywhere, the most failing first, then the sum.

    Columns, tab between: failing, open, waived, sites concerned, level, rule, title.
    """
    counted: dict[str, Counter[str]] = {}
    sites: dict[str, set[str]] = {}
    levels: dict[str, tuple[str, str]] = {}
    for site in report.sites:
        for each in site.findings:
            state = "waived" if each.waived else each.kind
            counted.setdefault(each.rule, Counter())[state] += 1
            sites.setdefault(each.rule, set()).add(site.file)
            levels[each.rule] = (each.level, each.title)
    order = sorted(counted, key=lambda rule: (-counted[rule]["fail"], LEVELS.index(levels[rule][0]), rule))
    lines = ["failing\topen\twaived\tsites\tlevel\trule\ttitle"]
    for rule in order:
        number = counted[rule]
        figures = (number["fail"], number["open"], number["waived"], len(sites[rule]))
        lines.append("\t".join([*map(str, figures), levels[rule][0], rule, visible(levels[rule][1])]))
    total = [str(sum(number[state] for number in counted.values())) for state in ("fail", "open", "waived")]
    unread = f", {len(report.unread)} not read" if report.unread else ""
    day = f", as of {report.today}" if report.today else ""
    lines.append("\t".join([*total, str(len(report.sites)), "", "", f"all of {len(report.sites)} sites{unread}{day}"]))
    return "\n".join(lines) + "\n"
