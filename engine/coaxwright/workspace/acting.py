"""What can be done about a finding: changes that were proven on the site as it is, or what there is to supply."""

from __future__ import annotations

from coaxwright.errors import Problem, Refusal
from coaxwright.findings import Finding, Fix
from coaxwright.fixes.advice import SHOWN, advice_on, failing
from coaxwright.immutable import immutable
from coaxwright.workspace.cells import Wrong, column_at, typed_steps
from coaxwright.workspace.site_text import OpenSite

TRIES = 60
"""Changes tried for one finding: as many as `coaxwright check --fixes` tries."""


@immutable
class Actions:
    """Proven changes for a finding, best first; `why` says why there is none; `supply` are cells that wait for a value."""

    finding: Finding
    fixes: tuple[Fix, ...]
    why: str
    supply: tuple[str, ...]


def finding_of(site: OpenSite, rule: str, subject: str) -> Finding:
    """The finding of a rule on a subject. Raises Refusal where the site as it is has none."""
    found = () if site.report is None or site.old else site.report.findings
    for finding in found:
        if finding.key == (rule, subject):
            return finding
    raise Refusal([Problem(site.name, f"{rule} finds nothing on {subject} now", "the site has changed since")])


def actions(site: OpenSite, rule: str, subject: str, tries: int = TRIES) -> Actions:
    """What can be done about a finding. Raises Refusal where there is no such finding."""
    finding = finding_of(site, rule, subject)
    judgement = failing(site.state).get(finding.key) if site.state is not None else None
    if judgement is None or finding.kind != "fail" or site.state is None:
        return Actions(finding, (), "", tuple(_cells(finding)))
    advice = advice_on(site.state, finding, judgement, tries, SHOWN)
    return Actions(finding, advice.fixes, advice.why, ())


def _cells(finding: Finding) -> list[str]:
    """Pointers of the missing values that a cell of the grid can take."""
    found = []
    for path in finding.missing:
        try:
            column_at(typed_steps(f"/{path}"))
        except Wrong:
            continue
        found.append(f"/{path}")
    return found
