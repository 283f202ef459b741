"""What a sheet shows beside what is written: figures worked out from it, with what they are measured against."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence

from coaxwright.facts.sheets import DiskGroup, Recorder, Supply
from coaxwright.findings import Finding
from coaxwright.immutable import immutable
from coaxwright.reporting import wording
from coaxwright.reporting.page.rows import Measure, camera_rows
from coaxwright.reporting.page.survey import Survey
from coaxwright.show import figures


@immutable
class Out:
    """One worked-out figure; `level` and `find` (`rule on subject`) of the finding that it fails."""

    value: str
    against: str = ""
    level: str = ""
    find: str = ""


@immutable
class WorkedOut:
    """Names of the columns and, by subject, the figures in their order."""

    names: tuple[str, ...]
    rows: Mapping[str, Sequence[Out]]


def worked_out(survey: Survey | None, sheet: str) -> WorkedOut:
    """The worked-out columns of a sheet; none where the site was never judged, or the sheet has none."""
    made = _OF_SHEET.get(sheet)
    if survey is None or made is None:
        return WorkedOut((), {})
    return made(survey)


_VOLTS = ("power/undervoltage", "power/collapse", "power/overvoltage", "power/poe-undervoltage")
_PICTURE = ("signal/", "picture/", "network/rate-below-wanted")


def _cameras(survey: Survey) -> WorkedOut:
    rows = {}
    for row in camera_rows(survey):
        found = survey.of(row.subject)
        night = _measured(row.night, found, _VOLTS)
        recorded = _measured(row.recorded, found, _PICTURE)
        small = row.outcome if row.picture == "none" else recorded.against if recorded.level else row.picture
        rows[row.subject] = (night, Out(recorded.value, small, recorded.level, recorded.find))
    return WorkedOut(("volts, night", "recorded"), rows)


def _measured(measure: Measure, found: Iterable[Finding], rules: tuple[str, ...]) -> Out:
    """A figure with what is left, or what it falls short of; the finding on it, where there is one."""
    failing = next((each for each in found if each.rule.startswith(rules) and each.level != "note"), None)
    left = wording.margin(measure.margin.share)
    small = measure.against if failing else left
    return Out(
        measure.value, small, failing.level if failing else "", f"{failing.rule} on {failing.subject}" if failing else ""
    )


def _recorders(survey: Survey) -> WorkedOut:
    groups = {each.known("recorder").subject: each for each in survey.sheets("disk_group") if each.known("recorder")}
    rows = {
        each.subject: (_days(survey, each, groups.get(each.subject)), _encodes(survey, each))
        for each in survey.sheets("recorder")
    }
    return WorkedOut(("days kept", "encodes"), rows)


def _days(survey: Survey, recorder: Recorder, group: DiskGroup | None) -> Out:
    wanted = group.known("days_wanted") if group is not None else None
    against = f"{figures.days(wanted)} wanted" if wanted else ""
    value = figures.days(group.known("days")) if group is not None else "no disk"
    return _judged(survey, recorder, value, against, ("storage/",))


def _encodes(survey: Survey, recorder: Recorder) -> Out:
    asked, most = recorder.known("encode_demand"), recorder.known("encode_total")
    against = f"of {figures.megapixels(most)}" if most else ""
    return _judged(survey, recorder, figures.megapixels(asked), against, ("picture/encode",))


def _judged(survey: Survey, sheet: Supply | Recorder, value: str, against: str, rules: tuple[str, ...]) -> Out:
    found = survey.of(sheet.subject)
    failing = next((each for each in found if each.rule.startswith(rules) and each.level != "note"), None)
    return Out(
        value, against, failing.level if failing else "", f"{failing.rule} on {failing.subject}" if failing else ""
    )


def _supplies(survey: Survey) -> WorkedOut:
    rows = {}
    for each in survey.sheets("supply"):
        most = each.known("amps_max")
        against = f"of {figures.amps(most)}" if most else ""
        gives = Out(figures.volts(each.known("volts")), f"{each.known('cameras') or 0} cameras on it")
        loads = ("power/supply", "power/output-overloaded", "power/collapse")
        rows[each.subject] = (gives, _judged(survey, each, figures.amps(each.known("amps_night")), against, loads))
    return WorkedOut(("gives", "amps, night"), rows)


_OF_SHEET: dict[str, Callable[[Survey], WorkedOut]] = {
    "cameras": _cameras, "recorders": _recorders, "supplies": _supplies,
}  # fmt: skip
