"""Per recorder: inputs, encoder, writing, disks and days, each with what is left, and the pictures of both."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from coaxwright.facts.sheets import DiskGroup, Recorder, Sheet
from coaxwright.reporting.page.charts.disks import disks_picture
from coaxwright.reporting.page.charts.encode import encode_picture
from coaxwright.reporting.page.margins import Margin, above, below, gauge
from coaxwright.reporting.page.pictures import disks_of, encoder_of
from coaxwright.reporting.page.sections.cameras import found
from coaxwright.reporting.page.survey import Survey
from coaxwright.show import figures
from coaxwright.show.markup import Child, Markup, join, tag
from coaxwright.show.pieces import part_name, section, table

_HEADS = ("recorder", "inputs", "encoder", "writing", "disks", "days kept", "found")


def recorders(survey: Survey) -> Markup | None:
    """The table of recorders with their pictures."""
    sheets = survey.sheets("recorder")
    if not sheets:
        return None
    made = table(
        figures.count(len(sheets), "recorder"), _HEADS, [_row(survey, each) for each in sheets], class_="stacked",
        ids=[survey.anchor(each.subject) for each in sheets],
    )  # fmt: skip
    drawn = [picture for each in sheets for picture in _pictures(survey, each)]
    return section(survey.section("recorders"), "Recorders", made, tag("div", drawn, class_="pictures long"))


def _row(survey: Survey, recorder: Recorder) -> list[Child]:
    disks = recorder.known("disks")
    return [
        join([tag("b", recorder.name), part_name(recorder.part)], " "),
        _inputs(recorder),
        _of("encode_used", "encode_total", recorder, figures.megapixels),
        _of("bitrate", "bitrate_max", recorder, figures.megabits),
        _disks(disks),
        _days(disks),
        found(survey, survey.of(recorder.subject), survey.open_by_device.get(recorder.subject, ())),
    ]


def _inputs(recorder: Recorder) -> Markup:
    used, total = recorder.known("channels_used"), recorder.known("channels")
    words = tag("b", f"{used} of {total}" if None not in (used, total) else figures.UNKNOWN)
    return join([words, gauge(below(used, total))], " ")


def _of(value: str, most: str, sheet: Sheet, shown: Callable[[Any], str]) -> Markup:
    """A figure, its limit, and what is left."""
    here, limit = sheet.known(value), sheet.known(most)
    against = tag("span", f"of {shown(limit)}", class_="quiet") if limit is not None else None
    return join([tag("b", shown(here)), against, gauge(below(here, limit))], " ")


def _disks(disks: DiskGroup | None) -> Markup:
    if disks is None or disks.known("disks") is None:
        return tag("span", figures.UNKNOWN)
    bays = disks.known("bays")
    words = f"{disks.disks} of {bays} bays" if bays is not None else figures.count(disks.disks, "disk")
    usable = figures.terabytes(disks.known("usable"))
    return join([tag("b", words), tag("span", f"{usable} usable, {_redundancy(disks)}", class_="quiet")], " ")


def _redundancy(disks: DiskGroup) -> str:
    level = disks.known("redundancy")
    return "no redundancy" if level in (None, "none") else str(level)


def _days(disks: DiskGroup | None) -> Markup:
    kept = disks.known("days") if disks is not None else None
    wanted = disks.known("days_wanted") if disks is not None else None
    against = tag("span", f"{figures.days(wanted)} wanted", class_="quiet") if wanted else None
    margin = above(kept, wanted, "no retention wanted") if disks is not None else Margin(None, "no disks")
    return join([tag("b", figures.days(kept)), against, gauge(margin)], " ")


def _pictures(survey: Survey, recorder: Recorder) -> list[Markup]:
    group = recorder.known("disks")
    disks = disks_of(survey, group) if group is not None else None
    drawn = [encode_picture(encoder_of(survey, recorder)), disks_picture(disks) if disks else None]
    return [each for each in drawn if each is not None]
