"""The answer to one pair, taken from a full check of the smallest site that it is.

Nothing is decided here: outcome, rates and features are the facts of that check, and every sentence of a rule
is a finding of it. Printing is in `telling` and below.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from itertools import chain
from typing import Any, NamedTuple

from coaxwright.checking import SiteFacts, check, facts_of, load_rulebook
from coaxwright.errors import Problem, Refusal
from coaxwright.facts.contradictions import contradictions_of
from coaxwright.facts.picture.pair import Pair, Switched
from coaxwright.facts.picture.sound import line_sound
from coaxwright.findings import Finding, SiteReport
from coaxwright.immutable import immutable
from coaxwright.model.camera_parts import CameraPart
from coaxwright.model.part_base import Reading
from coaxwright.pairing.by_hand import ByHand, by_hand
from coaxwright.pairing.cells import Cell, Clerk
from coaxwright.pairing.extras import Power, Reach, Sold, needs, reaches, sold
from coaxwright.pairing.names import known
from coaxwright.pairing.own_maker import OwnMaker, own_maker
from coaxwright.pairing.runs import run_of
from coaxwright.pairing.small_sites import CAMERA, Question, load_value, pair_value
from coaxwright.reading.catalogue import Catalogue
from coaxwright.rulebook.cautions import apart
from coaxwright.rulebook.library import Rulebook

NO_LINE_OUTPUT = "the camera has no line output for sound"
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
    """`yes`, `no` or `open`, why, and for `open` what would have to be supplied; `cause`, the code of a no.

    `elsewhere` says on which other inputs it works, or may work, where it does not at the one asked about.
    """

    answer: str
    because: str
    supply: tuple[str, ...] = ()
    cause: str = ""
    elsewhere: str = ""


@immutable
class Rates:
    """Acquired and recorded frames a second of this camera with so many inputs in use; None: not known."""

    channels: int
    acquired_fps: float | None
    recorded_fps: float | None
    limited_by: str | None


@immutable
class Answer:
    """Everything that is said of one pair. `settled` is as in `check`'s facts.

    `findings` are the rules that fail of what was asked; `remarks` those about features that nobody asked for.
    `contradictions` are errors of the part files in what is used here.
    """

    camera: str
    recorder: str
    question: Question
    number: int
    settled: Mapping[str, Any]
    facts: Mapping[str, Any]
    lost: str
    alone: Rates
    full: Rates
    cell: Cell
    features: Mapping[str, Feature]
    line_sound: Feature
    conditions: tuple[ByHand, ...]
    reach: tuple[Reach, ...]
    power: Power
    own: OwnMaker | None
    other_inputs: Mapping[str, Cell]
    findings: tuple[Finding, ...]
    remarks: tuple[Finding, ...]
    contradictions: tuple[str, ...]
    sold: tuple[Sold, ...]
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
    cell = _cell(clerk, camera, recorder, question, number, report)
    asked, remarks, cautions = _sorted_out(report, facts, clerk.catalogue.part(camera))
    features = {
        name: _feature(report, name, _where(clerk, camera, recorder, question, number, name)) for name in FEATURES
    }
    used = [camera, recorder, *([question.cable] if question.cable else [])]
    failing = tuple(each for each in asked if each.kind == "fail")
    conditions = by_hand(clerk, camera, recorder, question, number)
    unsure = [f"parts/{camera}/switched_by"] if _unstated_switching(clerk, camera, conditions) else []
    return Answer(
        camera, recorder, question, number, facts["settled"], facts, _lost(facts),
        Rates(1, facts.get("acquired_fps"), facts.get("recorded_fps"), facts.get("limited_by")),
        _full_rates(clerk, camera, recorder, question, number),
        cell,
        features,
        _line_sound(catalogue, camera, recorder),
        conditions,
        reaches(catalogue, camera, recorder, question, number) if cell.width else (),
        needs(catalogue.part(camera)),
        own_maker(clerk, camera, recorder, question),
        _other_inputs(clerk, camera, recorder, question, number),
        failing,
        remarks,
        contradictions_of(catalogue, used),
        tuple(sold(catalogue, name) for name in (camera, recorder)),
        _supply(report, features, asked, unsure),
        _sources(catalogue, camera, recorder, (*failing, *remarks)),
        cautions,
    )  # fmt: skip


def _cell(clerk: Clerk, camera: str, recorder: str, question: Question, number: int, report: SiteReport) -> Cell:
    """The cell of the pair, with the run as this very report judges it, and on how many inputs it is so."""
    cell = clerk.cell(camera, recorder, question, number)
    if question.number is None:
        cell = cell._replace(spread=clerk.cell(camera, recorder, question).spread)
    return cell._replace(run=run_of(report)) if question.cable and cell.width else cell


ASKED_ABOUT = frozenset({"recording voices"})
"""Cautions of the table that a pair is told, beside those that its rules say themselves: nothing is changed yet."""


def _sorted_out(
    report: SiteReport, facts: Mapping[str, Any], camera: CameraPart
) -> tuple[tuple[Finding, ...], tuple[Finding, ...], tuple[str, ...]]:
    """Findings of what is asked, those of features that nobody asked for, and the cautions that count.

    Sound, firmware and sorted motion are extras of a pair, told in their own lines; control is asked for where the
    camera moves.
    """
    extras = {rule for name, (_, rule) in FEATURES.items() if name != "control" or not _moves(camera)}
    about = [each for each in report.findings if each.rule.partition("/")[0] in TOPICS and each.rule != VOICES]
    asked = tuple(each for each in about if each.rule not in extras)
    remarks = tuple(each for each in about if each.rule in extras and each.kind == "fail")
    cautions = [each.caution for each in asked if each.caution and each.kind == "fail"]
    if facts.get("sound_works"):
        cautions += [each.caution for each in report.findings if each.rule == VOICES and each.caution]
    return asked, remarks, apart(cautions, ASKED_ABOUT)


def _moves(camera: CameraPart) -> bool:
    return bool(camera.control and camera.control.moves)


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
        sent, arrive = facts.get("emitted_width"), facts.get("width")
        if facts.get("settled_mode") != facts.get("emitted_mode"):
            first = f"the recorder asks for {facts.get('settled_mode')} in place of {facts.get('emitted_mode')}"
            return f"{first}, and half the columns of that: {arrive} of {sent} arrive"
        return f"half the columns: {sent} are sent, {arrive} arrive"
    if outcome == "asked-down":
        sent = f"{facts.get('emitted_width')}x{facts.get('emitted_height')} at {facts.get('emitted_fps'):g}"
        got = f"{facts.get('width')}x{facts.get('height')} at {facts.get('acquired_fps'):g}"
        return f"{sent} becomes {got}"
    return "the whole picture" if outcome in ("needs-setting", "no-picture") else ""


# What else travels


def _feature(report: SiteReport, name: str, where: _Where) -> Feature:
    facts = report.facts[f"cameras/{CAMERA}"]
    works = facts.get(f"{name}_works")
    if works:
        return Feature("yes", _works(facts, name, where.words(where.works)))
    there = where.elsewhere(works)
    more = f"; {there}" if there else ""
    if works is None:
        supply = _lacking(report, name)
        return Feature("open", f"not known until given: {', '.join(supply)}{more}", supply, elsewhere=there)
    broken = facts.get(f"{name}_broken_by") or _unsorted(facts, where.number)
    return Feature("no", f"{broken}{more}", cause=facts.get(f"{name}_cause") or "input", elsewhere=there)


class _Where(NamedTuple):
    """The input asked about, inputs on which a feature works, those on which it may, and all that the recorder has."""

    number: int
    works: list[int]
    may: list[int]
    inputs: list[int]

    def words(self, these: list[int]) -> str:
        """`on all 8 inputs`, `on 1 of 4 inputs (1)`."""
        if len(self.inputs) == 1:
            return "on its one input"
        if these == self.inputs:
            return f"on all {len(self.inputs)} inputs"
        return f"on {len(these)} of {len(self.inputs)} inputs ({span(these)})"

    def elsewhere(self, here: bool | None) -> str:
        """`yes on 1 of 4 inputs (4)` where it does not work at the input asked about; empty where nothing else is better."""
        if self.works:
            return f"yes {self.words(self.works)}"
        return f"not known {self.words(self.may)}" if here is False and self.may else ""


def _where(clerk: Clerk, camera: str, recorder: str, question: Question, number: int, name: str) -> _Where:
    groups = clerk.alike(recorder)
    state = [(getattr(clerk.cell(camera, recorder, question, group[0]), name), group) for group in groups]
    works, may = (sorted(chain.from_iterable(group for one, group in state if one is told)) for told in (True, None))
    return _Where(number, works, may, sorted(chain.from_iterable(groups)))


def _line_sound(catalogue: Catalogue, camera: str, recorder: str) -> Feature:
    """Sound over a lead of its own, from the camera's line output to a line input of the recorder."""
    box = catalogue.part(recorder)
    verdict = line_sound(Pair(Switched(camera, catalogue.part(camera)), recorder, box), None, 1, None)
    if verdict.works is None:
        return Feature("open", f"not known until given: {', '.join(verdict.lacking)}", tuple(verdict.lacking))
    if not verdict.works:
        words = NO_LINE_OUTPUT if verdict.cause == "line-output" else verdict.broken_by
        return Feature("no", words, cause=verdict.cause)
    many = box.sound.line_inputs
    inputs = "the recorder's one line input" if many == 1 else f"one of the recorder's {many} line inputs"
    return Feature("yes", f"with a lead of its own, from the camera's line output to {inputs}")


def _lacking(report: SiteReport, name: str) -> tuple[str, ...]:
    sheets = report.facts.sheets if isinstance(report.facts, SiteFacts) else None
    sheet = sheets.sheet(f"cameras/{CAMERA}", "camera") if sheets else None
    missing = sheet.missing(f"{name}_works") if sheet is not None else ()
    return tuple(dict.fromkeys(_named(path) for path in missing))


def _works(facts: Mapping[str, Any], name: str, where: str) -> str:
    if name == "sorted_motion":
        return f"the recorder itself sorts motion {where}, whoever made the camera"
    return f"over the coax in {str(facts.get('family')).upper()}, {where}"


def _unsorted(facts: Mapping[str, Any], number: int) -> str:
    if facts.get("outcome") in ("needs-setting", "no-picture"):
        return "there is no picture in which motion could be sorted"
    return f"the recorder does not sort motion on input {number}"


def _other_inputs(clerk: Clerk, camera: str, recorder: str, question: Question, number: int) -> dict[str, Cell]:
    """What inputs other than the one asked about come to, in picture or in what else works, where that differs."""
    here = clerk.cell(camera, recorder, question, number)
    found = {}
    for numbers in clerk.alike(recorder):
        if number not in numbers:
            cell = clerk.cell(camera, recorder, question, numbers[0])
            if cell != here:
                found[span(numbers)] = cell
    return found


def span(numbers: list[int]) -> str:
    """`5-8` or `1-4, 9`: numbers that follow each other as a range."""
    ranges: list[list[int]] = []
    for number in sorted(numbers):
        if ranges and number == ranges[-1][-1] + 1:
            ranges[-1].append(number)
        else:
            ranges.append([number])
    return ", ".join(str(each[0]) if len(each) == 1 else f"{each[0]}-{each[-1]}" for each in ranges)


# What is open, and where it is from


def _unstated_switching(clerk: Clerk, camera: str, conditions: Iterable[ByHand]) -> bool:
    """Something would be gained by switching, and the part does not say how that is done."""
    return clerk.catalogue.part(camera).switched_by is None and any(not each.sure for each in conditions)


def _supply(
    report: SiteReport, features: Mapping[str, Feature], findings: Iterable[Finding], more: Iterable[str]
) -> tuple[str, ...]:
    """What would have to be given, features' fields first; nothing twice. Places are not asked of a pair."""
    wanted = [path for each in features.values() for path in each.supply]
    wanted += [path for each in findings if each.kind == "open" for path in each.missing]
    named = dict.fromkeys(_named(path) for path in (*wanted, *more))
    return tuple(each for each in named if each.startswith(("parts/", "tables/", "--")))


def _named(path: str) -> str:
    """What to give, in the words of the call where it is an option of it: `--length`, `--set mode=...`."""
    start, last = path.rpartition("/")[::2]
    if start == f"cameras/{CAMERA}/set":
        return f"--set {last}=..."
    return "--length" if last == "length" and path.startswith(f"cameras/{CAMERA}/video") else path


def reading_words(reading: Reading) -> str:
    """Where single facts were read: `power/watts_night: TW-H8, revision C, page 2, 2026-03-01, firmware from 2.1`."""
    firmware = [f"{word} {each}" for word, each in (("from", reading.firmware_from), ("to", reading.firmware_to)) if each]
    told = [
        reading.datasheet, reading.revision and f"revision {reading.revision}", reading.page and f"page {reading.page}",
        reading.date, firmware and f"firmware {' '.join(firmware)}", reading.remarks,
    ]  # fmt: skip
    return f"{', '.join(reading.facts)}: {', '.join(each for each in told if each) or 'nothing said'}"


def _sources(catalogue: Catalogue, camera: str, recorder: str, findings: Iterable[Finding]) -> tuple[str, ...]:
    """The two datasheets, and what the findings rest on, the rules of one source together."""
    parts = [f"{name}: {catalogue.part(name).source}" for name in (camera, recorder)]
    parts += [f"{name} {reading_words(each)}" for name in (camera, recorder) for each in catalogue.part(name).read]
    rules: dict[str, dict[str, None]] = {}
    for each in findings:
        if each.kind == "fail":
            for source in each.sources:
                rules.setdefault(str(replace(source, basis=None)), {})[each.rule] = None
    return (*parts, *(f"{', '.join(names)}: {title}" for title, names in rules.items()))
