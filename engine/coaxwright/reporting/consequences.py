"""What a finding means to the person who answers for the site, in words; the class is its rule's own (`consequence`).

No picture, no power, no recording, recordings lost, less recorded than wanted, sound or control missing, wear, neatness:
by what is lost for good before what is a nuisance. Common practice of the trade, not of any standard.
"""

from __future__ import annotations

from collections.abc import Sequence

from coaxwright.findings import Finding
from coaxwright.reporting.ordering import CONSEQUENCES, cameras_of
from coaxwright.reporting.page.survey import Survey, device_of

_WORDS = {
    "no-picture": ("No picture", "Picture at risk"),
    "no-power": ("No power", "Power is tight"),
    "no-recording": ("No recording", "Recording at risk"),
    "evidence-lost": ("Recordings lost", "Recordings at risk"),
    "less-than-wanted": ("Less than is wanted", "Less than could be"),
    "sound-or-control": ("Sound or control missing", "Sound and control"),
    "wear": ("Wear and weather", "Wear and weather"),
    "neatness": ("Neatness", "Neatness"),
}
"""In words where a rule says error, and where it says less."""


def consequence(finding: Finding) -> tuple[int, str]:
    """Rank, 0 the gravest, and the consequence in words."""
    words = _WORDS[finding.consequence]
    return CONSEQUENCES.index(finding.consequence), words[finding.level != "error"]


def touched(survey: Survey, group: Sequence[Finding]) -> str:
    """How many cameras a group is about, where it is about cameras."""
    if not any(device_of(each).startswith("cameras/") for each in group):
        return ""
    return f"{len(cameras_of(group))} of {len(survey.sheets('camera'))} cameras"
