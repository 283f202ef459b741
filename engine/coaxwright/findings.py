"""What a check says: findings with their working, open questions, waivers, assumptions, and the report of a site.

Records only; who makes them is `rulebook` and `checking`, who prints them is `reporting`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from typing import Any, Literal

from coaxwright.errors import Problem, Span
from coaxwright.immutable import immutable

Level = Literal["error", "warning", "note"]
Kind = Literal["fail", "open", "fault"]
LEVELS: tuple[Level, ...] = ("error", "warning", "note")
"""The gravest first."""


@immutable
class Source:
    """Where a figure or a claim comes from."""

    title: str
    clause: str | None = None
    edition: str | None = None
    basis: str | None = None

    def __str__(self) -> str:
        """One line: title, edition, clause: what for."""
        head = ", ".join(part for part in (self.title, self.edition, self.clause) if part)
        return f"{head}: {self.basis}" if self.basis else head


@immutable
class Waived:
    """Who answers for a finding, and why."""

    reason: str
    until: str | None = None
    by: str | None = None


@immutable
class Worsened:
    """What a change makes worse, and `how`: it `fails` newly, is `open` newly, fails with `less-room` than before, or is
    a waiver that is `needless` then. Margins are shares, None where there is none. `missing` are facts to state, where what
    is open only begins and counts a level lower for it.
    """

    rule: str
    subject: str
    level: str
    margin_before: float | None = None
    margin_after: float | None = None
    how: Literal["fails", "open", "less-room", "needless"] = "less-room"
    missing: tuple[str, ...] = ()

    def __str__(self) -> str:
        """Rule, subject and level."""
        return f"{self.rule} on {self.subject} ({self.level})"


@immutable
class Care:
    """A usual caution: what somebody would do, in a few words, and what is to be heeded then."""

    name: str
    words: str


@immutable
class TextEdit:
    """A change of the text of a file: the characters from `start` to `end` (offsets from 0) become `text`."""

    start: int
    end: int
    text: str


@immutable
class Fix:
    """A change: an RFC 6902 patch on the site document, and what proving it showed.

    `edit` is the same as a change of the file's text, where somebody asked for it and its layout can be edited in place.

    `clears` are findings (`rule on subject`) that pass then, or do not apply for a reason (`cleared_because`);
    `harms` all that gets worse, the gravest level first, then waivers that are needless then; `introduces`, `opens` and
    `worsens` are views of it. `gives_up` are needs that are dropped or lowered; `loses` what no rule asks for. `up_to`
    is how many metres a new run may have at most, where nobody gave its length. `proven` is false for a kind of change
    that the rule declares and nobody has tried on this site. `cautions` go with what a person does who makes the change.
    """

    title: str
    patch: tuple[Mapping[str, Any], ...] = ()
    cost: float | None = None
    currency: str | None = None
    clears: tuple[str, ...] = ()
    harms: tuple[Worsened, ...] = ()
    stays_open: tuple[str, ...] = ()
    margin: float | None = None
    hides: bool = False
    proven: bool = False
    cleared_because: tuple[str, ...] = ()
    gives_up: tuple[str, ...] = ()
    loses: tuple[str, ...] = ()
    up_to: float | None = None
    cautions: tuple[Care, ...] = ()
    edit: TextEdit | None = None

    @property
    def introduces(self) -> tuple[str, ...]:
        """What fails then and did not, with its level, and waivers that are needless then; by rule and subject."""
        found = [each for each in self.harms if each.how in ("fails", "needless")]
        return tuple(map(str, sorted(found, key=lambda each: (each.rule, each.subject))))

    @property
    def opens(self) -> tuple[str, ...]:
        """What nobody can judge any more, with its level."""
        return tuple(str(each) for each in self.harms if each.how == "open")

    @property
    def worsens(self) -> tuple[Worsened, ...]:
        """What failed before and fails worse."""
        return tuple(each for each in self.harms if each.how == "less-room")


Confidence = Literal["stated", "assumed", "from memory"]


@immutable
class Related:
    """A place that a finding has to do with, and how, in a sentence: of one drop the camera, the cable, the supply."""

    subject: str
    file: str
    pointer: str
    span: Span | None
    message: str


@immutable
class Finding:
    """One judgement that did not pass.

    `kind`: `fail`; `open` (a fact is missing: `missing` lists what to supply, as document paths); `fault` (the
    rule itself could not be carried out). Identity is `rule` + `subject`, never the line. `margin` is a share,
    negative on a fail. `cause` is a code and the subject of its root, `trunk-drop:junctions/j1`: findings with one
    `cause` come from one thing. `confidence` is that of the least sure of all that it rests on. `consequence` is a
    class of what is lost (`model.rules.Consequence`).
    """

    rule: str
    title: str
    level: Level
    kind: Kind
    subject: str
    pointer: str
    file: str
    span: Span | None
    message: str
    why: str
    working: tuple[str, ...] = ()
    margin: float | None = None
    values: Mapping[str, Any] = field(default_factory=dict)
    missing: tuple[str, ...] = ()
    sources: tuple[Source, ...] = ()
    caution: str | None = None
    fixes: tuple[Fix, ...] = ()
    waived: Waived | None = None
    related: tuple[Related, ...] = ()
    cause: str = ""
    confidence: Confidence = "stated"
    consequence: str = "neatness"

    @property
    def key(self) -> tuple[str, str]:
        """Rule and subject: what a waiver, a baseline or a fix refers to."""
        return (self.rule, self.subject)


@immutable
class Assumed:
    """A value that stood for what nobody gave."""

    what: str
    value: str
    source: str
    count: int = 1


@immutable
class Before:
    """What was said of a rule and a subject before: `level` and `kind` as of a finding, margin a share, None where there
    is none, and whether somebody answered for it.
    """

    rule: str
    subject: str
    level: Level
    kind: Kind
    margin: float | None = None
    waived: bool = False


@immutable
class Since:
    """How the findings of a site stand to those of before. `against` is what they are compared with, as shown.

    `listed`: the site is in it at all. `new` are keys (rule, subject); `worse` has keys with what was said before and why
    it is worse; `gone` what is not found any more, with a reason where its subject is gone; the others, `same`, are as
    they were or better.
    """

    against: str
    listed: bool
    new: frozenset[tuple[str, str]]
    worse: Mapping[tuple[str, str], tuple[Before, str]]
    gone: tuple[tuple[Before, str], ...]
    same: frozenset[tuple[str, str]]


@immutable
class Summary:
    """Counts of judgements: every one is in exactly one of them.

    `judged` is their sum.
    """

    error: int = 0
    warning: int = 0
    note: int = 0
    open: int = 0
    waived: int = 0
    passed: int = 0
    not_applicable: int = 0
    fault: int = 0

    @property
    def judged(self) -> int:
        """All judgements."""
        return (
            self.error + self.warning + self.note + self.open
            + self.waived + self.passed + self.not_applicable + self.fault
        )  # fmt: skip


@immutable
class NewsSummary(Summary):
    """Counts of which some, `known`, are not told since they are no news: see `Since`."""

    known: int = 0

    @property
    def judged(self) -> int:
        """All judgements."""
        return self.known + sum(int(getattr(self, name)) for name in COUNTS)


COUNTS = ("error", "warning", "note", "open", "waived", "passed", "not_applicable", "fault")


@immutable
class Stretch:
    """Values of a number at which all holds, both ends among them, in its unit. `further_down`, `further_up`: no end was
    met there, it holds at least so far."""

    low: float
    high: float
    further_down: bool = False
    further_up: bool = False


@immutable
class Held:
    """Where a number holds beside one other value: its label, the stretches, and in words what ends them or stands in the way."""

    label: str
    stretches: tuple[Stretch, ...]
    words: str
    present: bool = False


@immutable
class Extent:
    """Where one number of a subject holds beside each of several other values: `now` is the number as written, in `unit`;
    `other` names what the values are of."""

    subject: str
    name: str
    unit: str
    now: float
    other: str
    rows: tuple[Held, ...]


@immutable
class SiteReport:
    """Everything that a check says of one site.

    `facts` maps subject path to named values, made when they are asked for.
    `contradictions` are errors within the part entries that the site uses, with their places, as `parts check` has them;
    `not_used` are notes on what the site file states and nothing is worked out from. `since` is there where the site was
    compared with what was found before; `extents` where it was asked how far numbers may move.
    """

    site: str
    file: str
    text: str
    summary: Summary
    findings: tuple[Finding, ...]
    assumed: tuple[Assumed, ...]
    facts: Mapping[str, Mapping[str, Any]]
    contradictions: tuple[str, ...] = ()
    not_used: tuple[str, ...] = ()
    since: Since | None = None
    extents: tuple[Extent, ...] = ()


@immutable
class RuleInfo:
    """What reports need to know of a rule."""

    id: str
    topic: str
    title: str
    level: Level
    why: str
    sources: tuple[Source, ...]
    caution: str | None
    cases: int


@immutable
class Report:
    """The result of one call of `check` over one or more sites.

    `unread` holds what could not be read (status 2); `rulebook` is `sha256:...` of the rules that judged; `today` the
    day by which waivers were taken to hold or to have run out (ISO; empty where nobody said).
    """

    version: str
    rulebook: str
    rules: tuple[RuleInfo, ...]
    sites: tuple[SiteReport, ...]
    unread: tuple[Problem, ...] = ()
    today: str = ""
