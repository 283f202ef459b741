"""Rule files, their cases and the tables of sourced figures."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import Field

from coaxwright.model.common import Consequence, Identifier, Strict, Text

Level = Literal["error", "warning", "note"]
RuleId = Annotated[str, Field(pattern=r"^[a-z]+/[a-z0-9]+(-[a-z0-9]+)*$", max_length=80)]
Expression = Annotated[
    str, Field(min_length=1, max_length=4000, description="CEL subset: docs/rule-language.md.")
]


class SourceNote(Strict):
    """Where a figure or a claim comes from."""

    title: Text = Field(description="Standard, handbook; or `common practice`; or `from memory`.")
    clause: Text | None = None
    edition: Text | None = None
    basis: Text | None = Field(None, alias="for", description="What it is the source of.")
    only: Annotated[str, Field(pattern=r"^[a-z_]+=[a-z0-9-]+$")] | None = Field(
        None, description="Fact of the subject and the value under which it is the source, as in `edition=2025`."
    )


class Limit(Strict):
    """A figure that a rule compares with; a site may set another."""

    value: bool | int | float | str = Field(description="With its unit, as in `10 %` or `0.5 V`.")
    source: Text
    about: Text | None = Field(None, description="What it stands for.")


class FixDeclared(Strict):
    """A kind of change that may clear the finding; proved before it is shown."""

    do: Identifier
    of: Text | None = Field(None, description="Path expression of what is changed.")
    to: Text | None = Field(None, description="Condition on the new part, or the new value.")
    prefer: Literal["cheapest", "smallest", "nearest", "own-maker"] | None = None
    when: Text | None = Field(None, description="Condition without which it is neither told nor tried.")
    says: Text | None = Field(None, description="The change in words, with placeholders.")


class PathPattern(Strict):
    """Judges every path from one kind of thing to another."""

    source: Identifier = Field(alias="from")
    along: Literal["video", "power", "sound", "control", "network"]
    to: Identifier


class PairPattern(Strict):
    """Judges every joint of two kinds of things, such as an output and each camera that it feeds."""

    kind: Identifier
    feeding: Identifier


class Silence(Strict):
    """Where a rule says nothing because the failing of another makes its own question meaningless."""

    rule: RuleId = Field(description="The rule that fails there and says why.")
    while_: Expression = Field(
        alias="while", description="Condition on the subject: true where the other rule's failing leaves nothing to ask."
    )
    because: Text = Field(description="Why nothing is left to ask, in one sentence.")


class RelatedPlace(Strict):
    """A place that a finding of the rule leads to, beside those that follow from what it is about."""

    of: Expression = Field(description="Path expression: the thing meant, or a list of things.")
    says: Text = Field(description="What it has to do with the finding, with placeholders.")


class Cause(Strict):
    """What a finding of the rule comes from; findings with one code and one root are told together."""

    code: Identifier | None = Field(None, description="Its name; else that of the fact read that says a cause, else the rule's.")
    of: Expression = Field(description="Path expression: the thing that it comes from.")
    when: Expression | None = Field(None, description="Condition under which it is this one; the first that holds counts.")
    says: Text | None = Field(None, description="The cause in a sentence, with placeholders.")


class Rule(Strict):
    """One rule."""

    id: RuleId
    title: Text
    level: Level
    consequence: Consequence | None = Field(
        None, description="What is lost where it fails; findings are told in this order. `less-than-wanted` where none is stated."
    )
    about: Identifier | PathPattern | PairPattern
    when: Expression | None = None
    silent_when: tuple[Silence, ...] = Field((), description="Rules whose failing leaves this one nothing to ask.")
    require: Expression
    margin: Expression | None = Field(None, description="Room left, as a share; negative when it fails.")
    says: Text
    why: Text
    working: tuple[Text, ...] = ()
    limits: dict[Identifier, Limit] = Field(default_factory=dict)
    sources: tuple[SourceNote, ...] = Field(min_length=1)
    fixes: tuple[FixDeclared, ...] = ()
    related: tuple[RelatedPlace, ...] = ()
    cause: tuple[Cause, ...] = ()
    caution: Text | None = None
    at: Text | None = Field(
        None, description="Where in the subject the finding stands, as a document path below it."
    )
    since: Annotated[str, Field(pattern=r"^[0-9]+\.[0-9]+$")]
    status: Literal["preview", "stable", "deprecated"] = "stable"
    replaced_by: RuleId | None = None
    aliases: tuple[RuleId, ...] = ()


class ShortRule(Strict):
    """A rule of three lines, for a user's own folder: it names no source, and its findings and its page say so."""

    about: Identifier | PathPattern | PairPattern
    when: Expression | None = None
    require: Expression
    margin: Expression | None = Field(None, description="Room left, as a share; negative when it fails.")
    says: Text
    level: Level = "warning"
    limits: dict[Identifier, Limit] = Field(default_factory=dict)


class ExpectedFail(Strict):
    """A subject that must fail, with values to the printed digit."""

    on: Text
    values: dict[str, Any] = Field(default_factory=dict)


class ExpectedOpen(Strict):
    """A subject that must stay open, with what is missing."""

    on: Text
    missing: tuple[Text, ...] = ()


class Case(Strict):
    """A small real site and what the rule says of it; nothing else of this rule may fire."""

    name: Text
    base: Identifier | None = Field(None, description="Named base site that supplies the rest.")
    site: dict[str, Any] = Field(
        default_factory=dict, description="Merged into the base; null removes a key."
    )
    parts: dict[str, Any] = Field(default_factory=dict, description="Parts merged into the base's parts.")
    fails: tuple[ExpectedFail, ...] = ()
    passes: tuple[Text, ...] = ()
    opens: tuple[ExpectedOpen, ...] = ()
    not_applicable: tuple[Text, ...] = ()
    on_limit: bool = Field(False, description="The value stands exactly on the limit.")
    near_miss: bool = Field(False, description="One step inside the limit.")
    fixed_by: dict[str, Any] | None = None
    clears: tuple[RuleId, ...] = ()

    @property
    def outcome(self) -> str:
        """What the case shows, in a word or two: fails, open, passes or does not apply."""
        shown = (
            (self.fails, "fails"),
            (self.opens, "open"),
            (self.passes, "passes"),
            (True, "does not apply"),
        )
        return next(word for subjects, word in shown if subjects)


class CaseFile(Strict):
    """The cases of one rule."""

    cases: tuple[Case, ...] = Field(min_length=1)
    never_open: Text | None = Field(
        None, description="Why no fact that the rule reads can be missing, where that is so."
    )


class CaseBase(Strict):
    """A named site, with its parts, that cases start from."""

    site: dict[str, Any]
    parts: dict[str, Any] = Field(default_factory=dict)


class CaseBases(Strict):
    """All named bases."""

    bases: dict[Identifier, CaseBase] = Field(min_length=1)
