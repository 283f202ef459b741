"""Per camera: what the table says, with margins. From fact sheets and the site as written to plain records."""

from __future__ import annotations

from typing import Any

from coaxwright.facts.sheets import Camera, Feed, Link, PoePort, Sheet
from coaxwright.findings import Finding
from coaxwright.immutable import immutable
from coaxwright.reporting.page.margins import Margin, above, below, smaller
from coaxwright.reporting.page.survey import Survey
from coaxwright.show import figures

_OUTCOMES = {
    "full": "full picture",
    "asked-down": "smaller picture, asked for by the recorder",
    "reduced-width": "reduced width: every other column dropped",
    "needs-setting": "no picture until someone switches",
    "no-picture": "no picture",
}


@immutable
class Measure:
    """One figure of a camera: what it is, what it is measured against, and what is left."""

    value: str
    against: str
    margin: Margin


@immutable
class CameraRow:
    """One camera as the page tells it. `kept` is the share of the sent picture that is acquired, None for unknown."""

    subject: str
    name: str
    label: str
    part: str
    picture: str
    outcome: str
    because: str
    kept: float | None
    acquired: Measure
    recorded: Measure
    day: Measure
    night: Measure
    reach: Measure
    days: Measure
    findings: tuple[Finding, ...]
    open: tuple[Finding, ...]


def camera_rows(survey: Survey) -> list[CameraRow]:
    """One row per camera, in file order."""
    links = {each.subject: each for each in survey.sheets("link")}
    feeds = {each.subject: each for each in survey.sheets("feed")}
    ports = {each.known("device"): each for each in survey.sheets("poe_port")}
    return [
        _camera(survey, each, links.get(each.subject), _power(each, feeds.get(each.subject), ports.get(each.subject)))
        for each in survey.sheets("camera")
    ]


def _camera(survey: Survey, camera: Camera, link: Link | None, power: tuple[Measure, Measure]) -> CameraRow:
    outcome = _known(link, "outcome")
    unlit = outcome in ("needs-setting", "no-picture")
    wants = camera.known("wants_rate")
    networked = link is None and camera.known("recorded_width") is not None
    sheet, frame = (camera, ("recorded_width", "recorded_height")) if networked else (link, ("width", "height"))
    acquired = _known(sheet, "recorded_fps" if networked else "acquired_fps")
    rates = [_rate(value, wants, unlit) for value in (acquired, _known(sheet, "recorded_fps"))]
    return CameraRow(
        camera.subject,
        camera.name,
        camera.known("label") or "",
        camera.part,
        figures.frame(*(_known(sheet, name) for name in frame)) if not unlit else "none",
        "encoded by the camera, over the network" if networked else _outcome(link, outcome),
        _known(link, "because") or "",
        1.0 if networked else _kept(link, unlit),
        rates[0],
        rates[1],
        *power,
        Measure("network", "", Margin(None, "see network findings")) if networked else _reach(link),
        _days(camera, link is not None or networked),
        tuple(survey.of(camera.subject)),
        tuple(survey.open_by_device.get(camera.subject, ())),
    )


def _known(sheet: Sheet | None, name: str) -> Any:
    return None if sheet is None else sheet.known(name)


def _outcome(link: Link | None, outcome: str | None) -> str:
    if link is None:
        return "not joined to a recorder"
    return figures.UNKNOWN if outcome is None else _OUTCOMES[outcome]


def _kept(link: Link | None, unlit: bool) -> float | None:
    if unlit:
        return 0.0
    sent = [_known(link, name) for name in ("emitted_width", "emitted_height")]
    got = [_known(link, name) for name in ("width", "height")]
    if None in sent or None in got or not sent[0] * sent[1]:
        return None
    return min(1.0, float(got[0] * got[1]) / float(sent[0] * sent[1]))


def _rate(value: float | None, wanted: float | None, unlit: bool) -> Measure:
    shown = "none" if unlit else figures.fps(value)
    against = f"{figures.fps(wanted)} wanted" if wanted else ""
    return Measure(shown, against, above(0.0 if unlit and wanted else value, wanted, "no rate wanted"))


def _power(camera: Camera, feed: Feed | None, port: PoePort | None) -> tuple[Measure, Measure]:
    """Volts at the camera by day and by night; over a network cable they are worked out at the greater load alone."""
    if feed is not None:
        return _volts(camera, feed, "volts_day"), _volts(camera, feed, "volts_night")
    if port is None:
        unfed = Measure("no supply", "", Margin(None, "not fed"))
        return unfed, unfed
    value, least = port.known("volts_night"), port.known("volts_min")
    against = f"at least {figures.volts(least)}" if least else ""
    shown = "collapses" if value == 0.0 else figures.volts(value)
    by_night = Measure(shown, against, above(value, least, "its limit is not known"))
    return Measure("PoE", "", Margin(None, "as by night, or more")), by_night


def _volts(camera: Camera, feed: Feed, name: str) -> Measure:
    """Against the least and the greatest that the camera stands: whichever is nearer."""
    value = _known(feed, name)
    least, most = camera.known("volts_min"), camera.known("volts_max")
    if value == 0.0:
        return Measure("collapses", f"at least {figures.volts(least)}", above(0.0, least))
    if least is None:
        return Measure(figures.volts(value), "", Margin(None, "its limits are not known"))
    low, high = above(value, least), below(value, most)
    nearer = smaller(low, high)
    against = f"at least {figures.volts(least)}" if nearer is low else f"at most {figures.volts(most)}"
    return Measure(figures.volts(value), against, nearer)


def _reach(link: Link | None) -> Measure:
    metres, most = _known(link, "metres"), _known(link, "reach")
    if link is None:
        return Measure("no cable", "", Margin(None, "not joined"))
    against = f"of {_range(link, most)}" if most else ""
    return Measure(figures.metres(metres), against, below(metres, most, "reach not known"))


def _range(link: Link, most: float) -> str:
    """How far its cable reaches, and from where to where by the published figures of the mode, where they differ."""
    judged, *ends = (figures.metres(each) for each in (most, _known(link, "reach_low"), _known(link, "reach_high")))
    if None in (_known(link, "reach_low"), _known(link, "reach_high")) or ends[0] == ends[1]:
        return judged
    spread = f"{ends[0].removesuffix(' m')}\u2013{ends[1]}"
    return spread if judged in ends else f"{judged} ({spread})"


def _days(camera: Camera, recorded: bool) -> Measure:
    wanted = camera.known("wants_retention")
    kept = camera.known("days_kept")
    if not recorded:
        return Measure("not recorded", "", Margin(None, "not recorded"))
    against = f"{figures.days(wanted)} wanted" if wanted else ""
    return Measure(figures.days(kept), against, above(kept, wanted, "no retention wanted"))
