"""What is seen on the open site: what to tell, what could cause it, what to measure next, and fields for the readings."""

from __future__ import annotations

from collections.abc import Sequence

from coaxwright.desk.training.looking import SEEN, Looked
from coaxwright.desk.views.pieces import goes
from coaxwright.diagnosis.diagnosing import Diagnosis
from coaxwright.diagnosis.knowledge import Knowledge
from coaxwright.diagnosis.telling import diagnosis_document
from coaxwright.show.html import fragment
from coaxwright.show.markup import NOTHING, Markup, join, tag

_OF = {"camera": "Cameras", "recorder": "Recorders", "supply": "Supplies", "site": "The whole site"}


def looking(site: str, looked: Looked, devices: Sequence[str], known: Knowledge, found: Diagnosis | None) -> Markup:
    """The form, and beside it what could cause it."""
    return join([
        tag("div", tag("h2", f"{site}: what is seen?", id="h-seen", tabindex="-1"),
            tag("div", goes("/course/seen", "Begin anew") if looked.seen else None, class_="acts"), class_="head"),
        tag(
            "div",
            tag("section", _form(looked, devices, known, found), aria_label="What is seen"),
            tag("section", _answer(found), aria_label="What could cause it", id="seen-answer"),
            class_="two even",
        ),
    ])  # fmt: skip


def without_site() -> Markup:
    """Nothing can be looked into without a site."""
    return join([
        tag("h2", "What is seen?", id="h-seen", tabindex="-1"),
        tag("p", "Open a site first: what could cause what is seen is worked out on it."),
        tag("div", goes("/site/cameras", "To the sites", class_="main-act"), class_="acts"),
    ])  # fmt: skip


def _form(looked: Looked, devices: Sequence[str], known: Knowledge, found: Diagnosis | None) -> Markup:
    pairs = [looked.seen[place] if place < len(looked.seen) else ("", "") for place in range(SEEN)]
    return tag(
        "form",
        [_pair(place, device, symptom, devices, known) for place, (device, symptom) in enumerate(pairs, 1)],
        _readings(found),
        tag("label", "Measured so far, one a line", for_="q-measured"),
        tag("textarea", "\n".join(looked.measured), id="q-measured", name="measured", rows="3", maxlength="2000",
            placeholder="cameras/yard: volts-night = 10.4"),
        tag("div", tag("button", "What could it be?", type="submit", class_="main-act"), class_="acts"),
        id="seen", data_do="course-seen", class_="ask",
    )  # fmt: skip


def _pair(place: int, device: str, symptom: str, devices: Sequence[str], known: Knowledge) -> Markup:
    first = "Where" if place == 1 else "And where (if anything else is seen, or works)"
    names = [tag("option", each, value=each, selected=each == device) for each in ("", *devices, "site")]
    groups = [
        tag("optgroup", [tag("option", each.says, value=name, selected=name == symptom)
                         for name, each in known.symptoms.items() if each.about == about], label=words)
        for about, words in _OF.items()
    ]  # fmt: skip
    return tag(
        "div",
        tag("div", tag("label", first, for_=f"q-device{place}"),
            tag("select", names, id=f"q-device{place}", name=f"device{place}")),
        tag("div", tag("label", "What is seen there", for_=f"q-symptom{place}"),
            tag("select", tag("option", "", value=""), groups, id=f"q-symptom{place}", name=f"symptom{place}")),
        class_="pair even",
    )  # fmt: skip


def _readings(found: Diagnosis | None) -> Markup:
    """A field for each measurement that would tell most now."""
    if found is None or found.stop or not found.next:
        return NOTHING
    fields = []
    for place, step in enumerate(found.next):
        name, subject = step.spot
        measurement = found.search.known.measurements[name]
        unit = f" in {measurement.unit}" if measurement.unit else ""
        fields.append(tag(
            "div", tag("label", f"{measurement.says}, {subject}{unit}", for_=f"q-reading{place}"),
            tag("input", type="text", id=f"q-reading{place}", name=f"reading{place}", autocomplete="off", maxlength="40"),
            tag("input", type="hidden", name=f"spot{place}", value=f"{subject}: {name}"),
        ))  # fmt: skip
    known = found.search.known.measurements
    care = dict.fromkeys(known[step.spot[0]].caution for step in found.next)
    said = [tag("p", tag("b", "Caution. "), each, class_="caution") for each in care if each]
    return tag("fieldset", tag("legend", "Measure next, the most telling first; fill in what you have"), said, fields)


def _answer(found: Diagnosis | None) -> Markup:
    if found is None:
        return tag("p", "What could cause it stands here once you tell what is seen, and where.", class_="quiet")
    document = diagnosis_document(found, by_call=False)
    return tag("div", tag("h3", document.title, id="h-cause", tabindex="-1"), fragment(document), class_="told")
