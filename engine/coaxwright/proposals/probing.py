"""Small systems to be judged: one camera each on a recorder of its own and a supply of its own, many in one check.

What fails there fails in every system that holds the same, so that an option is set aside once and for all; what the
parts of a system do together only the check of the whole shows.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from coaxwright import pace
from coaxwright.checking import check, facts_of, rules_in_force
from coaxwright.facts.binding import Facts
from coaxwright.findings import LEVELS, Finding
from coaxwright.immutable import immutable
from coaxwright.proposals.wishes import Wishes
from coaxwright.reading.site_reader import with_value
from coaxwright.rulebook import judging
from coaxwright.rulebook.library import Rulebook
from coaxwright.rulebook.settings import read_settings

Counts = Callable[..., bool]
"""Whether what a rule finds on a subject counts: of its id and the subject."""
AT_ONCE = 250
"""Systems in one check: enough to share what a check costs anyway, few enough to keep memory small."""
KEPT = ("video_rate", "retention", "retention_max", "growth", "wiring_code", "rules", "assume", "parts")
"""What of the site goes into every small system."""


@immutable
class Probe:
    """A small system: entries as a site file writes them, `recorder` and `supply` None where it has none."""

    camera: Mapping[str, Any]
    recorder: Mapping[str, Any] | None = None
    supply: Mapping[str, Any] | None = None
    boxes: tuple[Mapping[str, Any], ...] = ()


@immutable
class Outcome:
    """What a check said of one small system: `broken` are (rule, level), `unknown` (rule, what is missing)."""

    broken: tuple[tuple[str, str], ...]
    unknown: tuple[tuple[str, tuple[str, ...]], ...]
    figures: Mapping[str, float]


@dataclass
class Prober:
    """Judges small systems on the terms of a site."""

    wishes: Wishes
    rulebook: Rulebook
    count: int = 0
    budget: int | None = None
    top: dict[str, Any] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """What the site says for all."""
        value = self.wishes.loaded.document.value
        self.top = {"site": value["site"], **{key: value[key] for key in KEPT if key in value}}

    @property
    def spent(self) -> bool:
        """Whether nothing more may be judged."""
        return pace.out_of_time() or (self.budget is not None and self.count >= self.budget)

    def outcomes(self, probes: Sequence[Probe], counts: Counts) -> list[Outcome]:
        """What became of each, for the rules that `counts(rule id, subject)` lets count; fewer where time ran out."""
        found: list[Outcome] = []
        for start in range(0, len(probes), AT_ONCE):
            if self.spent:
                break
            batch = probes[start : start + AT_ONCE]
            found += self._batch(batch, counts)
            self.count += len(batch)
            pace.step("small systems judged", self.count)
        return found

    def _batch(self, probes: Sequence[Probe], counts: Counts) -> list[Outcome]:
        loaded = with_value(self.wishes.loaded, self._value(probes))
        settings = read_settings(self.rulebook, loaded.site, loaded.document, loaded.file)
        facts = facts_of(loaded, self.rulebook)
        broken: list[list[tuple[str, str]]] = [[] for _ in probes]
        unknown: list[list[tuple[str, tuple[str, ...]]]] = [[] for _ in probes]
        for verdict in judging.judge(rules_in_force(self.rulebook, settings), facts, settings.limits):
            for each in verdict.judgements:
                place = _place(each.subject.subject)
                if place is None or not counts(each.rule.id, each.subject.subject):
                    continue
                if each.kind == "fail":
                    broken[place].append((each.rule.id, str(settings.level(each.rule))))
                elif each.kind == "open":
                    unknown[place].append((each.rule.id, each.missing))
        return [
            Outcome(tuple(one), tuple(other), _figures(facts, place))
            for place, (one, other) in enumerate(zip(broken, unknown, strict=True))
        ]

    def nearest(self, probes: Sequence[Probe], counts: Counts) -> tuple[Probe, Finding] | None:
        """Of systems that do not hold the one with the least wrong, and the gravest of its findings; None where nothing
        fails in the first of them.
        """
        batch = probes[:AT_ONCE]
        failing: dict[int, list[Finding]] = {}
        for finding in check(with_value(self.wishes.loaded, self._value(batch))).findings if batch else ():
            place = _place(finding.subject)
            if place is not None and finding.kind == "fail" and finding.level != "note" and counts(*finding.key):
                failing.setdefault(place, []).append(finding)
        if not failing:
            return None
        place, findings = min(failing.items(), key=lambda each: (*_wrong(each[1]), each[0]))
        gravest = min(findings, key=_gravity)
        return batch[place], replace(gravest, message=re.sub(rf"\b([crs]){place}\b", _spoken, gravest.message))

    def _value(self, probes: Sequence[Probe]) -> dict[str, Any]:
        value: dict[str, Any] = {**self.top, "cameras": {}, "recorders": {}, "supplies": {}, "boxes": {}}
        for place, probe in enumerate(probes):
            value["cameras"][f"c{place}"] = _named(probe.camera, place)
            if probe.recorder is not None:
                value["recorders"][f"r{place}"] = probe.recorder
            if probe.supply is not None:
                value["supplies"][f"s{place}"] = probe.supply
            for number, box in enumerate(probe.boxes):
                value["boxes"][f"b{place}-{number}"] = box
        return value


def _wrong(findings: Sequence[Finding]) -> tuple[int, int, float]:
    """How much is wrong with a system: its errors, its warnings, and by how much the worst of them is short."""
    errors = sum(each.level == "error" for each in findings)
    return errors, len(findings) - errors, max(-(each.margin if each.margin is not None else -1.0) for each in findings)


def _gravity(finding: Finding) -> tuple[int, float]:
    return LEVELS.index(finding.level), finding.margin if finding.margin is not None else -1.0


def _spoken(name: re.Match[str]) -> str:
    """What stands for a device of a small system in a sentence."""
    return {"c": "it", "r": "its recorder", "s": "its supply"}[name[1]]


def _named(camera: Mapping[str, Any], place: int) -> dict[str, Any]:
    """The camera with the names of its own recorder, supply and boxes where `#` stands for them."""
    made = dict(camera)
    for use, key in (("video", "into"), ("power", "from")):
        if use in made:
            hops = [{**hop, "box": f"b{place}-{hop['box']}"} if "box" in hop else hop for hop in made[use]["over"]]
            made[use] = {key: made[use][key].replace("#", str(place)), "over": hops}
    return made


def _place(subject: str) -> int | None:
    """The number of the system that a subject belongs to; None where it is the whole."""
    group, _, rest = subject.partition("/")
    if not rest or group not in ("cameras", "recorders", "supplies", "boxes"):
        return None
    return int(rest.partition("/")[0][1:].partition("-")[0])


def _figures(facts: Facts, place: int) -> dict[str, float]:
    """What a choice goes by: bytes a day on the careful side, columns and rate recorded, amperes of the supply."""
    found: dict[str, float] = {}
    for subject, kind, fields in (
        (f"recorders/r{place}", "recorder", ("bitrate_mean_high",)),
        (f"recorders/r{place}/disks", "disk_group", ("days_wanted",)),
        (f"cameras/c{place}", "link", ("width", "recorded_fps")),
        (f"supplies/s{place}", "supply", ("amps_night", "amps_day")),
    ):
        sheet = facts.sheet(subject, kind)
        for name in fields if sheet is not None else ():
            value = sheet.known(name)  # type: ignore[union-attr]
            if isinstance(value, int | float):
                found[name] = float(value)
    return found
