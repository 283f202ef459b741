"""Makes findings of judgements: sentence, working, sources, place in the file; and puts them in order.

Order: faults of rules first, then fails from error to note, then what is open; within these by rule id, and by
subject as a person would sort them (c2 before c10). Nothing here judges, and nothing here prints.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import field, replace
from typing import Any, NamedTuple, cast

from coaxwright.errors import Span
from coaxwright.facts.binding import Facts
from coaxwright.facts.sheets.view import View
from coaxwright.findings import LEVELS, Confidence, Finding, Fix, Level, Related, Source, Waived
from coaxwright.immutable import immutable
from coaxwright.model.site_settings import Waiver
from coaxwright.reading.site_reader import LoadedSite
from coaxwright.rulebook import judging, related
from coaxwright.rulebook.builtin import EXPIRED, NOT_CHOSEN, RULE_OFF, UNUSED, BuiltIn
from coaxwright.rulebook.certainty import Certainty, remembered
from coaxwright.rulebook.judging import Judgement, Verdict
from coaxwright.rulebook.library import LoadedRule
from coaxwright.rulebook.settings import SiteSettings, WaiverBook
from coaxwright.rulebook.suggestions import suggestions

Pointer = tuple[str | int, ...]
Key = tuple[str | tuple[int, str], ...]

_KIND_RANK = {"fault": 0, "fail": 1, "open": 2}
_DIGITS = re.compile("([0-9]+)")


def in_order(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Findings in the order in which every report tells them."""
    keys: dict[str, Key] = {}

    def order(finding: Finding) -> tuple[int, int, str, Key]:
        key = keys.get(finding.subject)
        if key is None:
            key = keys[finding.subject] = natural_key(finding.subject)
        return _KIND_RANK[finding.kind], LEVELS.index(finding.level), finding.rule, key

    return tuple(sorted(findings, key=order))


def natural_key(text: str) -> Key:
    """A key that sorts numbers within names by their value: c2 before c10."""
    pieces: list[Any] = _DIGITS.split(text)
    # Words stand at even places, numbers at odd ones, so that like always meets like.
    pieces[1::2] = [(int(number), number) for number in pieces[1::2]]
    return tuple(pieces)


class _Common(NamedTuple):
    """What every finding of one rule at one site shares; `below` is the rule's place within its subject."""

    level: Level
    sources: tuple[Source, ...]
    below: Pointer
    remembered: bool


@immutable
class Telling:
    """Makes the findings of one site. What rules and places have in common is worked out once."""

    loaded: LoadedSite
    settings: SiteSettings
    waivers: WaiverBook
    facts: Facts | None = None
    _certainty: list[Certainty] = field(default_factory=list, init=False, repr=False, compare=False)
    _common: dict[str, _Common] = field(default_factory=dict, init=False, repr=False, compare=False)
    _places: dict[Pointer, tuple[str, Span]] = field(default_factory=dict, init=False, repr=False, compare=False)

    def findings(self, verdicts: Sequence[Verdict]) -> list[Finding]:
        """All findings of a site, its own about waivers and settings among them."""
        found = [finding for verdict in verdicts if verdict.judgements for finding in self._of(verdict)]
        found += [self._unused(use.place, use.waiver, use.rule) for use in self.waivers.unused()]
        found += [self._expired(use.place, use.waiver, use.rule) for use in self.waivers.expired()]
        found += [self._off(rule, reason) for rule, reason in self.settings.off.items()]
        found += [self._not_chosen(name) for name in self.loaded.site.wanted]
        return found

    def _of(self, verdict: Verdict) -> Iterator[Finding]:
        for judgement in verdict.judgements:
            if judgement.kind != "fault":
                yield self.finding(judgement)
        faults = verdict.of("fault")
        if faults:
            yield self._fault(faults[0], len(faults) - 1)

    def finding(self, judgement: Judgement) -> Finding:
        """What is told of a fail or of what stayed open; its waiver is counted as used."""
        rule, subject = judgement.rule, judgement.subject.subject
        failed = judgement.kind == "fail"
        waiver = self.waivers.waiver(rule.id, subject)
        common = self._common_of(rule)
        pointer, span = self._place(judgement, common.below)
        root = related.root(judgement)
        return Finding(
            rule=rule.id,
            title=rule.title,
            level=common.level,
            kind="fail" if failed else "open",
            subject=subject,
            pointer=pointer,
            file=self.loaded.file,
            span=span,
            message=_message(judgement),
            why=rule.why,
            working=_working(judgement) if failed else (),
            margin=judging.margin(judgement) if failed else None,
            values=judging.values(judgement),
            missing=judgement.missing,
            sources=_fitting(judgement, common.sources),
            caution=rule.caution,
            fixes=tuple(_declared(judgement)) if failed else (),
            waived=_waived(waiver) if waiver else None,
            related=self._related(judgement, root),
            cause=str(root),
            confidence=self._confidence(judgement, common),
            consequence=rule.consequence,
        )

    def _related(self, judgement: Judgement, root: related.Root) -> tuple[Related, ...]:
        """The root first, where it has a sentence; then the other places."""
        first = [root.place] if root.place.says else []
        found: dict[tuple[str, str], Related] = {}
        for place in (*first, *related.places(judgement)):
            written, span = self._at(self._existing(place.pointer))
            key = place.subject, written
            if key not in found:
                found[key] = Related(place.subject, self.loaded.file, written, span, place.says)
        return tuple(found.values())

    def _existing(self, pointer: Pointer) -> Pointer:
        """The longest part of a path that the document has."""
        value: Any = self.loaded.document.value
        for place, step in enumerate(pointer):
            try:
                value = value[step]
            except (KeyError, IndexError, TypeError):
                return pointer[:place]
        return pointer

    def _confidence(self, judgement: Judgement, common: _Common) -> Confidence:
        if common.remembered:
            return "from memory"
        if not self._certainty:
            self._certainty.append(Certainty(self.facts))
        return self._certainty[0].of(judgement)

    def _fault(self, judgement: Judgement, more: int) -> Finding:
        rule, subject = judgement.rule, judgement.subject.subject
        also = f", and for {more} more" if more else ""
        common = self._common_of(rule)
        pointer, span = self._place(judgement, common.below)
        return Finding(
            rule=rule.id,
            title=rule.title,
            level=common.level,
            kind="fault",
            subject=subject,
            pointer=pointer,
            file=self.loaded.file,
            span=span,
            message=f"this rule could not be carried out for {subject}{also}: {judgement.fault}",
            why=rule.why,
            sources=common.sources,
            caution=rule.caution,
            cause=f"rule-fault:{rule.id}",
            consequence=rule.consequence,
        )

    def _common_of(self, rule: LoadedRule) -> _Common:
        found = self._common.get(rule.id)
        if found is None:
            level = cast(Level, self.settings.level(rule))
            limits = self.settings.limits.get(rule.id, rule.limits).values()
            found = _Common(level, sources_of(rule, self.settings), _below(rule), remembered(rule, limits))
            self._common[rule.id] = found
        return found

    def _place(self, judgement: Judgement, below: Pointer) -> tuple[str, Span]:
        """JSON pointer and stretch of the file of what a finding is about: the hop that decides, else the
        subject and the rule's place within it.
        """
        if judgement.kind == "fail" and judgement.rule.scope.form == "path":
            for sheet in judging.deciding(judgement):
                if hasattr(sheet, "pointer"):
                    return self._at(tuple(sheet.pointer))
        return self._at((*judgement.subject.pointer, *below))

    def _at(self, pointer: Pointer) -> tuple[str, Span]:
        found = self._places.get(pointer)
        if found is None:
            place = json_pointer(pointer), self.loaded.document.nearest_span(pointer)
            found = self._places[pointer] = place
        return found

    def _own(self, about: BuiltIn, subject: str, pointer: Pointer, message: str) -> Finding:
        written, span = self._at(pointer)
        return Finding(
            rule=about.id,
            title=about.title,
            level=cast(Level, about.level),
            kind="fail",
            subject=subject,
            pointer=written,
            file=self.loaded.file,
            span=span,
            message=message,
            why=about.why,
            cause=f"{about.id.rpartition('/')[2]}:{subject}",
        )

    def _not_chosen(self, name: str) -> Finding:
        message = f"{name} is known by its wants alone: no camera is chosen for them (`coaxwright propose` does)"
        found = self._own(NOT_CHOSEN, f"cameras/{name}", ("cameras", name), message)
        return replace(found, kind="open", missing=(f"cameras/{name}/part",))

    def _unused(self, place: int, waiver: Waiver, rule: str) -> Finding:
        message = f"the waiver of {rule} on {waiver.on} answers for no finding"
        if rule in self.settings.off:
            message += ": the rule is off"
        return self._own(UNUSED, f"waivers/{place}", ("waivers", place), message)

    def _expired(self, place: int, waiver: Waiver, rule: str) -> Finding:
        message = f"the waiver of {rule} on {waiver.on} ran out on {waiver.until}"
        return self._own(EXPIRED, f"waivers/{place}", ("waivers", place, "until"), message)

    def _off(self, rule: str, reason: str) -> Finding:
        return self._own(RULE_OFF, f"rules/{rule}", ("rules", rule), f"{rule} is off at this site: {reason}")


def _message(judgement: Judgement) -> str:
    if judgement.kind == "fail":
        return judging.told(judgement, judgement.rule.says)
    return f"cannot be judged until this is given: {', '.join(judgement.missing)}"


def _working(judgement: Judgement) -> tuple[str, ...]:
    lines = [judging.told(judgement, template) for template in judgement.rule.working]
    names = [getattr(sheet, "name", sheet.subject) for sheet in judging.deciding(judgement)]
    return (*lines, f"decided by: {', '.join(names)}") if names else tuple(lines)


def _declared(judgement: Judgement) -> Iterator[Fix]:
    for fix, sentence in suggestions(judgement):
        if sentence is not None:
            yield Fix(judging.told(judgement, sentence))
        else:
            words = [
                fix["do"].replace("_", " ").replace("-", " "),
                *(f"of {fix['of']}" for _ in [0] if "of" in fix),
            ]
            yield Fix(" ".join(words) + (f": {fix['to']}" if "to" in fix else ""))


def _fitting(judgement: Judgement, sources: tuple[Source, ...]) -> tuple[Source, ...]:
    """Sources of a rule without those for other values of a fact of the subject: of two editions the one that counts."""
    notes = judgement.rule.plain["sources"]
    if not any("only" in note for note in notes):
        return sources
    kept = [source for note, source in zip(notes, sources, strict=False) if _goes_with(judgement.subject, note.get("only"))]
    return (*kept, *sources[len(notes) :])


def _goes_with(sheet: View, only: str | None) -> bool:
    name, _, value = (only or "").partition("=")
    return only is None or sheet.known(name) in (None, value)


def _waived(waiver: Waiver) -> Waived:
    return Waived(waiver.reason, waiver.until.isoformat() if waiver.until else None, waiver.by)


def sources_of(rule: LoadedRule, settings: SiteSettings) -> tuple[Source, ...]:
    """Where a rule's claims and its limits come from; a limit that the site sets comes from its file."""
    stated = [
        Source(source["title"], source.get("clause"), source.get("edition"), source.get("for"))
        for source in rule.plain["sources"]
    ]
    limits = settings.limits.get(rule.id, rule.limits).values()
    by_site = {change.what.removeprefix("limit ") for change in settings.changes if change.rule == rule.id}
    stated += [
        Source(
            "this site's file" if limit.name in by_site else limit.source,
            basis=f"{limit.about or limit.name}: {limit.written}",
        )
        for limit in limits
    ]
    return tuple(stated)


def _below(rule: LoadedRule) -> Pointer:
    """The steps of the rule's `at`."""
    steps = str(rule.plain.get("at", "")).split("/")
    return tuple(int(step) if step.isdecimal() else step for step in steps if step)


def json_pointer(path: Sequence[str | int]) -> str:
    """RFC 6901: each step after a stroke, `~` and `/` within a step written `~0` and `~1`."""
    return "".join("/" + str(step).replace("~", "~0").replace("/", "~1") for step in path)
