"""Certificates to print, one sheet for each learner who reached the pass mark. They hold names."""

from __future__ import annotations

from collections.abc import Iterator

from coaxwright.course.pages import asset
from coaxwright.course.results import method, outcome, points
from coaxwright.course.sittings import Sat, Sitting
from coaxwright.show.markup import Markup, tag
from coaxwright.show.page import finished

LIMITS = (
    "This says what was answered on one paper on one day. It is no licence: who may work on supplies, mains, ladders and cables "
    "is settled by local rules and by those who license the work."
)


def certificates(sitting: Sitting) -> str:
    """The page; where nobody has reached the pass mark, or there is none, it says so."""
    passed = sorted((each for each in sitting.sat if outcome(sitting, each) == "pass"), key=lambda sat: sat.learner)
    title = f"{sitting.exam.title}: certificates"
    said = "No pass mark was set." if sitting.exam.pass_mark is None else "Nobody has reached the pass mark."
    body = [tag("main", [_certificate(sitting, each) for each in passed] or [tag("h1", title), tag("p", said)])]
    return finished(title, body, css=asset("certificate.css"), common=False)


def _certificate(sitting: Sitting, sat: Sat) -> Markup:
    day = sitting.exam.day
    return tag(
        "section", tag("h1", "Certificate of a passed exam"), tag("p", sitting.exam.title, class_="exam"),
        tag("p", sat.learner, class_="name"), tag("p", " ".join(_said(sitting, sat)), class_="said"),
        _topics(sitting, sat),
        tag("div", tag("span", "place"), tag("span", day or "date"),
            tag("span", "name and signature"), class_="lines"),
        tag("p", LIMITS, class_="limits"), class_="certificate", aria_label=f"Certificate of {sat.learner}",
    )  # fmt: skip


def _said(sitting: Sitting, sat: Sat) -> Iterator[str]:
    exam = sitting.exam
    when = f" on {exam.day}" if exam.day else ""
    whole = f"{exam.count * exam.points} points, with paper {sat.version} of {exam.count} questions"
    yield f"has reached {points(sitting, sat)} of {whole}{when}."
    yield f"The pass mark is {exam.pass_mark} points{method(sitting)}."


def _topics(sitting: Sitting, sat: Sat) -> Markup:
    rows = [
        tag("tr", tag("th", topic, scope="row"), tag("td", "{} of {}".format(*sitting.of_topic(sat, topic))))
        for topic in sitting.topics()
    ]
    head = tag("tr", tag("th", "topic", scope="col"), tag("th", "right", scope="col"))
    return tag("table", tag("caption", "What was asked"), tag("thead", head), tag("tbody", rows))
