"""What a trainer writes: question patterns, wrong methods, faults, the words of data tables; strict, as all input is.

Field descriptions are what `docs/writing-a-question.md` explains. Nothing here computes.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import Field

from coaxwright.model.common import Identifier, Strict, Text
from coaxwright.model.rules import Expression, RuleId, SourceNote

QuestionKind = Literal[
    "value", "numeric", "picture", "longest-run", "which-part", "which-change", "what-if", "true-or-open", "order",
    "spot-fault",
]  # fmt: skip
QuestionLevel = Literal["recall", "apply", "analyse"]
LEVELS: tuple[QuestionLevel, ...] = ("recall", "apply", "analyse")
PatternId = Annotated[str, Field(pattern=r"^[a-z]+/[a-z0-9]+(-[a-z0-9]+)*$", max_length=80)]


class Edit(Strict):
    """One change of a plan: where, and one of what is done there."""

    at: Text = Field(description="Path; `*` for every key, `@` for the device asked about, `kind:disk` for parts.")
    put: Any = Field(None, description="The new value.")
    times: float | None = Field(None, description="Factor on the quantity that stands there.")
    copies: Text | None = Field(None, description="Path within the same device or part whose value is taken.")
    pick: tuple[Any, ...] | None = Field(None, description="Values of which one is drawn.")
    between: tuple[Text, Text] | None = Field(None, description="Range of a quantity that is drawn.")
    step: float = Field(1.0, gt=0, description="Step of the range.")
    drop: bool = Field(False, description="Taken away.")
    maybe: bool = Field(False, description="Left out, and no mistake, where there is nothing to change.")


class Slip(Strict):
    """A named wrong method: what it does to the plan, or to the result, and what to tell who made it."""

    title: Text = Field(description="The slip in a few words.")
    feedback: Text = Field(description="What to tell who made it.")
    edits: tuple[Edit, ...] = Field((), description="The plan as the slip misreads it.")
    scale: float | None = Field(None, gt=0, description="Factor on the right result.")


class SlipUsed(Strict):
    """A wrong method of one pattern: a named one, or a named one with its own way of going wrong here."""

    slip: Identifier
    answer: Text | None = Field(None, description="What it answers with: an expression, or a sentence for `picture`.")
    edits: tuple[Edit, ...] | None = Field(None, description="Its edits here, where others than the slip's own.")
    scale: float | None = Field(None, gt=0)
    before: bool = Field(False, description="Answers for the plan before the change that a `what-if` asks about.")
    when: Expression | None = Field(
        None, description="On which subjects someone can go wrong like this; any if left out."
    )
    alone: bool = Field(False, description="Never made together with another slip of the pattern.")


class Given(Strict):
    """A further figure that is printed because tables of the trade, not the plan, hold it."""

    label: Text
    value: Text = Field(description="Sentence with placeholders.")


class Search(Strict):
    """The longest whole length at which rules still hold."""

    at: Text
    rules: tuple[RuleId, ...] = Field(min_length=1)
    most: int = Field(600, ge=10, le=5000)
    unit: Text = "m"


class Choice(Strict):
    """The first of several parts, smallest first, with which rules hold."""

    at: Text
    of: tuple[Text, ...] = Field(min_length=3)
    rules: tuple[RuleId, ...] = Field(min_length=1)


class Change(Strict):
    """A change offered as a remedy. `slip` names the thinking behind it where it does not clear the fault."""

    says: Text
    edits: tuple[Edit, ...] = Field(min_length=1)
    slip: Identifier
    cause: tuple[Edit, ...] = Field((), description="How the plan is spoiled where this change is to mend it.")
    group: Text | None = Field(None, description="Changes of one group are the same step, larger or smaller.")


class Worlds(Strict):
    """Three ways to draw a plan: one in which a rule holds, one in which it fails, one in which a fact is missing."""

    rule: RuleId
    holds: tuple[Edit, ...] = ()
    fails: tuple[Edit, ...] = Field(min_length=1)
    open: tuple[Edit, ...] = Field(min_length=1)


class Ranking(Strict):
    """Devices to be put in order of a fact, greatest first."""

    by: Expression
    count: int = Field(3, ge=3, le=4)


class Shown(Strict):
    """How a number is printed."""

    unit: str
    decimals: int = Field(1, ge=0, le=3)


class Pattern(Strict):
    """A question pattern."""

    id: PatternId
    title: Text
    kind: QuestionKind
    level: QuestionLevel
    about: Identifier = Field(description="Kind of fact sheet that is asked about.")
    when: Expression | None = Field(None, description="Which subjects are fit to be asked about.")
    vary: tuple[Edit, ...] = Field((), description="What is drawn anew for every item.")
    ask: Text = Field(description="The question, with placeholders.")
    answer: Text | None = Field(None, description="Expression; a sentence with placeholders for `picture`.")
    after: tuple[Edit, ...] = Field((), description="The change that a `what-if` asks about.")
    then: Expression | None = Field(None, description="What holds of the subject after that change; else it is not asked.")
    longest: Search | None = None
    least: Choice | None = None
    worlds: Worlds | None = None
    order: Ranking | None = None
    rule: RuleId | None = Field(None, description="The rule that a `which-change` is about.")
    changes: tuple[Change, ...] = ()
    symptom: Text | None = Field(
        None, description="What is seen, with placeholders, where the sentence of the rule would tell the cause."
    )
    faults: int = Field(1, ge=1, le=2, description="How many faults a `spot-fault` hides, where it hides any.")
    printed: Shown | None = None
    tolerance: float = Field(0.03, gt=0, le=0.1, description="Share by which an entered number may be off.")
    counts: tuple[int, int] | None = Field(None, description="For whole numbers: from where to where options may lie.")
    slips: tuple[Identifier | SlipUsed, ...] = ()
    shows: tuple[Identifier, ...] = Field(min_length=1, description="Which columns of the data tables are printed.")
    given: tuple[Given, ...] = ()
    steps: int = Field(1, ge=1, le=8, description="Steps of thought to the answer, for the estimate of difficulty.")
    options: int = Field(3, ge=3, le=4)
    sources: tuple[SourceNote, ...] = Field(min_length=1)
    working: tuple[Text, ...] = Field((), description="Sentences with placeholders; the engine's own working follows.")
    caution: Text | None = None
    status: Literal["preview", "stable"] = "stable"


class Fault(Strict):
    """A fault that can be put into a sound plan, tied to the rule that must find it."""

    rule: RuleId
    about: Identifier
    when: Expression | None = None
    edits: tuple[Edit, ...] = Field(min_length=1)
    herring: tuple[Edit, ...] = Field((), description="What looks like the fault and is none.")
    of_two: bool = Field(False, description="Two things share it: no other thing is offered where it is hidden.")
    alone: bool = Field(False, description="It leaves other rules nothing to judge, so no second fault is hidden beside it.")
    leaves_open: bool = Field(False, description="What hangs on it stays open, and is no second fault.")
    quiet: bool = Field(False, description="The working of its rule tells of failing alone: left out where it holds.")
    named: Text = Field("", description="How an option names it, where the title of the rule will not do.")
    looks: Text = Field("", description="Why the herring looks wrong, for the feedback.")
    shows: tuple[Identifier, ...] = Field(min_length=1)


class FaultFile(Strict):
    """All faults."""

    faults: tuple[Fault, ...] = Field(min_length=1)


class SlipFile(Strict):
    """All wrong methods by name."""

    slips: dict[Identifier, Slip] = Field(min_length=1)


class Column(Strict):
    """One column of a data table: whose, where in it, how it is headed and written."""

    of: Identifier
    at: Text
    label: Text
    form: Literal["text", "list", "run", "set", "modes", "accepts", "asks", "encodes", "loss", "outputs", "yes"] = (
        "text"
    )
    shows: tuple[Identifier, ...] = Field(min_length=1)


class Words(Strict):
    """The words of data tables, and what a part needs in order to be read at all."""

    titles: dict[Identifier, Text]
    columns: tuple[Column, ...] = Field(min_length=1)
    needed: dict[Identifier, dict[str, Any]]
    topics: dict[Identifier, tuple[Identifier, ...]] = Field(
        description="Columns shown by default in a question of a topic."
    )


class Names(Strict):
    """Invented names for generated plans."""

    sites: tuple[Text, ...] = Field(min_length=4)
    cameras: tuple[Identifier, ...] = Field(min_length=16, description="Places under the sky.")
    indoors: tuple[Identifier, ...] = Field((), description="Places in rooms; all serve for either where none is named.")
    buildings: tuple[Identifier, ...] = Field(min_length=2)


class Stock(Strict):
    """What generated plans are made of: parts by id, names, and ends of what may be assumed."""

    parts: dict[str, dict[str, Any]]
    names: Names
    ends: dict[str, tuple[Text, Text]] = Field(description="Both ends of each value that a plan may assume.")


class PatternCase(Strict):
    """A plan with the key and the wrong results that a pattern must come to on it, worked out outside the program."""

    name: Text
    site: dict[str, Any] = Field(default_factory=dict, description="Merged into the small plan of the cases.")
    parts: dict[str, Any] = Field(default_factory=dict)
    on: Text
    members: tuple[Text, ...] = Field((), description="The devices to be put in order, for `order`.")
    key: Text
    others: tuple[Text, ...] = Field((), alias="or", description="Further changes that clear it, for `which-change`.")
    wrong: dict[Identifier, Text] = Field(default_factory=dict)
    source: Text = Field(description="Where the expected key comes from: by hand, a table, a standard.")


class PatternCases(Strict):
    """The cases of one pattern."""

    cases: tuple[PatternCase, ...] = Field(min_length=1)


class CaseGround(Strict):
    """The small plan that cases of patterns start from."""

    site: dict[str, Any]
    parts: dict[str, Any] = Field(default_factory=dict)
