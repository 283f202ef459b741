"""What a finding means to the person who answers for the site, and the order in which findings are worth looking at.

No picture, no power, no recording, recordings lost, less recorded than wanted, sound or control missing, wear, neatness:
by what is lost for good before what is a nuisance. Common practice of the trade, not of any standard.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from coaxwright.findings import LEVELS, Finding
from coaxwright.reporting.page.survey import Survey, device_of

_RANKED = (
    ("No picture", ("signal/no-picture", "signal/needs-setting", "signal/family-not-taken", "signal/set-mode-not-emitted",
                    "channels/", "cable/", "network/no-such-port", "network/port-shared", "network/way-too-long",
                    "network/coax-without-converter", "network/switch-without-way", "network/address")),
    ("No power", ("power/",)),
    ("No recording", ("storage/no-disk", "network/cameras-beyond-most", "network/incoming-exceeded", "storage/write-rate")),
    ("Recordings lost", ("storage/",)),
    ("Less than is wanted", ("picture/", "signal/", "view/", "network/")),
    ("Sound or control missing", ("sound/", "control/")),
    ("Wear and weather", ("place/",)),
    ("Neatness", ("practice/", "display/", "waivers", "")),
)  # fmt: skip
_MILDER = {"No picture": "Picture at risk", "No power": "Power is tight", "No recording": "Recording at risk",
           "Recordings lost": "Recordings at risk", "Sound or control missing": "Sound and control",
           "Less than is wanted": "Less than could be"}  # fmt: skip


def consequence(finding: Finding) -> tuple[int, str]:
    """Rank, 0 the gravest, and the consequence in words."""
    for rank, (words, rules) in enumerate(_RANKED):
        if finding.rule.startswith(rules):
            return rank, words if finding.level == "error" else _MILDER.get(words, words)
    raise AssertionError("the last row takes every rule")


def in_order(groups: Iterable[Sequence[Finding]]) -> list[Sequence[Finding]]:
    """Groups of findings of one rule, gravest first: level, consequence, how many devices, rule."""

    def grave(group: Sequence[Finding]) -> tuple[int, int, int, str]:
        first = group[0]
        return LEVELS.index(first.level), consequence(first)[0], -len({device_of(each) for each in group}), first.rule

    return sorted(groups, key=grave)


def touched(survey: Survey, group: Sequence[Finding]) -> str:
    """How many cameras a group is about, where it is about cameras."""
    cameras = {device for each in group if (device := device_of(each)).startswith("cameras/")}
    if not cameras:
        return ""
    return f"{len(cameras)} of {len(survey.sheets('camera'))} cameras"
