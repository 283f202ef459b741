"""What is expected of the example sites: `python tests/examples/expected.py --write` after the change was read and found true.

The committed files are a record to compare with, not a proof: docs/worked-examples.md computes their figures by hand.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
EXAMPLES = sorted((ROOT / "examples").glob("*/*.site.yaml"))
FACTS = ("settled", "volts_day", "volts_night", "loss", "days_kept")


def expected_file(site: Path) -> Path:
    """`alder-wharf.site.yaml` has `alder-wharf.expected.json` beside it."""
    return site.with_name(site.name.removesuffix(".site.yaml") + ".expected.json")


def told(site: Path) -> dict[str, Any]:
    """Summary, findings and the facts that people look at first, as plain data rounded to what is printed."""
    from coaxwright import check

    report = check(site)
    summary = {name: getattr(report.summary, name) for name in ("error", "warning", "note", "open", "waived", "fault")}
    findings = [
        {"rule": each.rule, "kind": each.kind, "level": each.level, "subject": each.subject, "message": each.message}
        | ({"missing": list(each.missing)} if each.missing else {})
        | ({"waived": each.waived.reason} if each.waived else {})
        for each in report.findings
    ]
    facts = {
        subject: {name: rounded(values[name]) for name in FACTS if name in values}
        for subject, values in report.facts.items()
        if subject.startswith("cameras/") and subject.count("/") == 1
    }
    return {"summary": summary, "findings": findings, "facts": facts}


def rounded(value: Any) -> Any:
    """Numbers to four significant digits, so that the last bits of a sum do not count."""
    if isinstance(value, dict):
        return {name: rounded(each) for name, each in value.items()}
    return float(f"{value:.4g}") if isinstance(value, float) else value


def render(site: Path) -> str:
    """The text of the expected file."""
    return json.dumps(told(site), indent=1, ensure_ascii=False) + "\n"


if __name__ == "__main__" and "--write" in sys.argv:
    for example in EXAMPLES:
        expected_file(example).write_text(render(example), encoding="utf-8")
        print(expected_file(example))
