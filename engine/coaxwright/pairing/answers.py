"""The answer to one pair, taken from a full check of the smallest site that it is.

Nothing is decided here: outcome, rates and features are the facts of that check, and every sentence of a rule
is a finding of it. Printing is in `telling` and below.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from coaxwright.checking import SiteFacts, check, facts_of, load_rulebook
from coaxwright.errors import Problem, Refusal
from coaxwright.findings import Finding, SiteReport
from coaxwright.immutable import immutable
from coaxwright.pairing.by_hand import ByHand, by_hand
from coaxwright.pairing.cells import Clerk
from coaxwright.pairing.extras import Power, Reach, needs, reaches
from coaxwright.pairing.own_maker import OwnMaker, own_maker
from coaxwright.pairing.small_sites import CAMERA, Question, load_value, pair_value
from coaxwright.reading.catalogue import Catalogue
from coaxwright.reading.suggest import did_you_mean
from coaxwright.rulebook.library import Rulebook

TOPICS = ("signal", "picture", "sound", "control", "cable", "channels")
"""Topics of rules that a pair is judged by; the rest of a system (power, disks, place) is not asked about."""
VOICES = "sound/voices-recorded"
FEATURES = {
    "sound": ("sound", "sound/coax-sound-broken"),
    "control": ("control", "control/coax-control-broken"),
    "firmware": ("firmware", "control/firmware-not-over-coax"),
    "sorted_motion": ("sorted motion", "control/sorted-motion-missing"),
}
"""What else is asked of a pair: its words, and the rule that judges it."""


@immutable
class Feature:
    """`yes`, `no` or `open`, why, and for `open` what would have to be supplied."""

    answer: str
    because: str
    supply: tuple[str, ...] = ()


@immutable
class Rates:
    """Acquired and recorded frames a second of this camera with so many inputs in use; None: not known."""

    channels: int
    acquired_fps: float | None
    recorded_fps: float | None
    limited_by: str | None


@immutable
class Answer:
    """Everything that is said of one pair. `settled` is as in `check`'s facts."""

    camera: str
    recorder: str
    question: Question
    number: int
    settled: Mapping[str, Any]
    facts: Mapping[str, Any]
    lost: str
    alone: Rates
    full: Rates
    features: Mapping[str, Feature]
    conditions: tuple[ByHand, ...]
    reach: tuple[Reach, ...]
    power: Power
    own: OwnMaker | None
    other_inputs: Mapping[str, str]
    findings: tuple[Finding, ...]
    supply: tuple[str, ...]
    sources: tuple[str, ...]
    cautions: tuple[str, ...]


def answer(clerk: Clerk, camera: str, recorder: str, question: Question, rulebook: Rulebook | None = None) -> Answer:
    """The answer for a camera and a recorder of the clerk's catalogue. Raises Refusal."""
    catalogue = clerk.catalogue
    camera, recorder = known(catalogue, camera, "camera"), known(catalogue, recorder, "recorder")
    _refuse_wrong_input(clerk, recorder, question)
    rules = rulebook or load_rulebook()
    number = clerk.best_input(camera, recorder, question)
    report = check(load_value(pair_value(camera, recorder, question, [number]), catalogue), rulebook=rules)
    facts = report.facts[f"cameras/{CAMERA}"]
    findings = tuple(each for each in report.findings if each.rule.partition("/")[0] in TOPICS)
    cautions = [each.caution for each in findings if each.caution and _counts(each, facts)]
    findings = tuple(each for each in findings if each.rule != VOICES)
    features = {name: _feature(report, name, number) for name in FEATURES}
    return Answer(
        camera, recorder, question, number, facts["settled"], facts, _lost(facts),
        Rates(1, facts.get("acquired_fps"), facts.get("recorded_fps"), facts.get("limited_by")),
        _full_rates(clerk, camera, recorder, question, number),
        features,
        by_hand(clerk, camera, recorder, question, number),
        reaches(catalogue, camera, recorder, question, number),
        needs(catalogue.part(camera)),
        own_maker(clerk, camera, recorder, question),
        _other_inputs(clerk, camera, recorder, question, number),
        tuple(each for each in findings if each.kind == "fail"),
        _supply(report, features, findings),
        _sources(catalogue, camera, recorder, findings),
        tuple(dict.fromkeys(cautions)),
    )  # fmt: skip


def _counts(finding: Finding, facts: Mapping[str, Any]) -> bool:
    """A caution about voices counts where sound arrives, any other where its rule fails."""
    return bool(facts.get("sound_works")) if finding.rule == VOICES else finding.kind == "fail"


def known(catalogue: Catalogue, name: str, kind: str) -> str:
    """The full id of a part of that kind. Raises Refusal with near ids otherwise."""
    if not catalogue.has(name):
        what, right = catalogue.unknown(name, kind)
        right = right if catalogue.sources else "name the part files with --parts, as in --parts 'parts/*.yaml'"
        raise Refusal([Problem(name, what, right)])
    found = catalogue.kind(name)
    if found != kind:
        near = did_you_mean(name, catalogue.ids(kind)) or f"name a {kind}"
        raise Refusal([Problem(name, f"this is a {found}, and a {kind} is asked for", near)])
    if kind == "camera" and not catalogue.part(name).emits:
        raise Refusal(
            [Problem(name, "this is a network camera, and nothing of it goes over coax", "name a coax camera")]
        )
    return catalogue.full_id(name)


def _refuse_wrong_input(clerk: Clerk, recorder: str, question: Question) -> None:
    inputs = clerk.desk(recorder).group_of
    if question.number is not None and question.number not in inputs:
        listed = f"its inputs are {min(inputs)} to {max(inputs)}"
        raise Refusal([Problem(recorder, f"there is no input {question.number}", listed)])
    if question.channels is not None and not 1 <= question.channels <= len(inputs):
        what = f"{question.channels} channels cannot be in use"
        raise Refusal([Problem(recorder, what, f"it has {len(inputs)} inputs")])


# Rates


def _full_rates(clerk: Clerk, camera: str, recorder: str, question: Question, number: int) -> Rates:
    """The same camera on as many inputs as asked for, the one asked about among them."""
    inputs = sorted(clerk.desk(recorder).group_of)
    wanted = question.channels or len(inputs)
    numbers = sorted([number, *(each for each in inputs if each != number)][:wanted])
    site = load_value(pair_value(camera, recorder, question, numbers), clerk.catalogue)
    name = CAMERA if len(numbers) == 1 else f"{CAMERA}{number}"
    link = facts_of(site).sheet(f"cameras/{name}", "link")
    read = link.known if link is not None else lambda name: None
    return Rates(len(numbers), read("acquired_fps"), read("recorded_fps"), read("limited_by"))


def _lost(facts: Mapping[str, Any]) -> str:
    """What the settled picture lacks of what the camera is switched to send; empty where nothing."""
    outcome = facts.get("outcome")
    if outcome == "reduced-width":
        return f"half the columns: {facts.get('emitted_width')} are sent, {facts.get('width')} arrive"
    if outcome == "asked-down":
        sent = f"{facts.get('emitted_width')}x{facts.get('emitted_height')} at {facts.get('emitted_fps'):g}"
        got = f"{facts.get('width')}x{facts.get('height')} at {facts.get('acquired_fps'):g}"
        return f"{sent} becomes {got}"
    return "the whole picture" if outcome in ("needs-setting", "no-picture") else ""


# What else travels


def _feature(report: SiteReport, name: str, number: int) -> Feature:
    facts = report.facts[f"cameras/{CAMERA}"]
    works = facts.get(f"{name}_works")
    if works is None:
        supply = _lacking(report, name)
        return Feature("open", f"not known until given: {', '.join(supply)}", supply)
    if works:
        return Feature("yes", _works(facts, name, number))
    broken = facts.get(f"{name}_broken_by") or _unsorted(facts, number)
    return Feature("no", broken)


def _lacking(report: SiteReport, name: str) -> tuple[str, ...]:
    sheets = report.facts.sheets if isinstance(report.facts, SiteFacts) else None
    sheet = sheets.sheet(f"cameras/{CAMERA}", "camera") if sheets else None
    missing = sheet.missing(f"{name}_works") if sheet is not None else ()
    return tuple(dict.fromkeys(_named(path) for path in missing))


def _works(facts: Mapping[str, Any], name: str, number: int) -> str:
    if name == "sorted_motion":
        return f"the recorder itself sorts motion on input {number}, whoever made the camera"
    return f"over the coax in {str(facts.get('family')).upper()}, on input {number}"


def _unsorted(facts: Mapping[str, Any], number: int) -> str:
    if facts.get("outcome") in ("needs-setting", "no-picture"):
        return "there is no picture in which motion could be sorted"
    return f"the recorder does not sort motion on input {number}"


def _other_inputs(clerk: Clerk, camera: str, recorder: str, question: Question, number: int) -> dict[str, str]:
    """What groups of inputs other than the one asked about come to, where that differs."""
    here = clerk.cell(camera, recorder, question, number)
    groups = clerk.desk(recorder, question.made).group_of
    found = {}
    for first in clerk.first_inputs(recorder):
        if groups[first] == groups[number]:
            continue
        cell = clerk.cell(camera, recorder, question, first)
        if cell != here:
            members = [each for each, group in groups.items() if group == groups[first]]
            found[_span(sorted(members))] = cell.outcome or "open"
    return found


def _span(numbers: list[int]) -> str:
    """`5-8`, or the numbers one by one where they do not follow each other."""
    if numbers[-1] - numbers[0] == len(numbers) - 1 and len(numbers) > 1:
        return f"{numbers[0]}-{numbers[-1]}"
    return ", ".join(map(str, numbers))


# What is open, and where it is from


def _supply(report: SiteReport, features: Mapping[str, Feature], findings: Iterable[Finding]) -> tuple[str, ...]:
    """What would have to be given, features' fields first; nothing twice. Places are not asked of a pair."""
    wanted = [path for each in features.values() for path in each.supply]
    wanted += [path for each in findings if each.kind == "open" for path in each.missing]
    named = dict.fromkeys(_named(path) for path in wanted)
    return tuple(each for each in named if each.startswith(("parts/", "tables/", "--")))


def _named(path: str) -> str:
    """What to give, in the words of the call where it is an option of it: `--length`, `--set mode=...`."""
    start, last = path.rpartition("/")[::2]
    if start == f"cameras/{CAMERA}/set":
        return f"--set {last}=..."
    return "--length" if last == "length" and path.startswith(f"cameras/{CAMERA}/video") else path


def _sources(catalogue: Catalogue, camera: str, recorder: str, findings: Iterable[Finding]) -> tuple[str, ...]:
    """The two datasheets, and what the findings rest on, the rules of one source together."""
    parts = [f"{name}: {catalogue.part(name).source}" for name in (camera, recorder)]
    rules: dict[str, dict[str, None]] = {}
    for each in findings:
        if each.kind == "fail":
            for source in each.sources:
                rules.setdefault(str(replace(source, basis=None)), {})[each.rule] = None
    return (*parts, *(f"{', '.join(names)}: {title}" for title, names in rules.items()))
