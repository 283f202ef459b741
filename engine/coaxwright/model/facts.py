"""Files of declared facts: `rules/facts/<topic>.yaml`."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import Field

from coaxwright.model.common import Identifier, Strict, Text
from coaxwright.model.rules import Expression, Limit, SourceNote

FieldName = Annotated[str, Field(pattern=r"^[a-z][a-z0-9_]*$", max_length=40)]
FieldPath = Annotated[str, Field(pattern=r"^[a-z][a-z0-9_]*(\.[a-z][a-z0-9_]*)*$", max_length=80)]
Figure = bool | int | float | str
UnitText = Annotated[str, Field(max_length=20, description="As in `m`, `px/m`; left out for a plain number.")]


class Given(Strict):
    """A figure that stands beside the facts of a sheet: a constant, or put there by the program. Seen inside workings only."""

    says: Text
    unit: UnitText = ""
    whole: bool = Field(False, description="A count: a whole number without unit.")
    value: float | None = Field(None, description="In the unit; for a constant, the same on every sheet.")
    source: SourceNote | None = None
    assumed: Identifier | None = Field(None, description="The row of the table `assumptions` that it is taken from.")


class Branch(Strict):
    """What a fact is where a condition holds; one without a condition stands last, for all other places."""

    when: Expression | None = None
    is_: Expression = Field(alias="is")
    assumes: Identifier | None = Field(None, description="The row of the table `assumptions` that it rests on.")


class FactCase(Strict):
    """Figures, and what the fact comes to with nothing else known: a value, or what it still asks for."""

    given: dict[FieldPath, Figure | tuple[Figure, ...]] = Field(
        description="Fields by path: `supply.amps_max` is that of another sheet, `members.amps` a figure for each of a list."
    )
    gives: Figure | None = Field(None, description="Held to the decimals written.")
    open: tuple[FieldName, ...] | None = Field(None, description="The fields that would decide it, in order.")


class Declaration(Strict):
    """One derived fact. Either `is`, or `one_of` with branches of which exactly one applies."""

    says: Text
    unit: UnitText = ""
    is_: Expression | None = Field(None, alias="is")
    one_of: tuple[Branch, ...] | None = None
    source: SourceNote | None = None
    endless: bool = Field(False, description="It may come out without limit, as a time at no current does.")
    supply: Text | None = Field(
        None, description="Path of what would give it a value where all that it reads is known, as after a division by nought."
    )
    cases: Annotated[tuple[FactCase, ...], Field(min_length=1)]


class FactFile(Strict):
    """Facts of one kind of sheet."""

    kind: FieldName
    given: dict[FieldName, Given] = Field(default_factory=dict)
    steps: dict[FieldName, Declaration] = Field(
        default_factory=dict, description="Figures on the way, shown inside workings only."
    )
    facts: Annotated[dict[FieldName, Declaration], Field(min_length=1)]


Figures = dict[FieldName, Any]


class OwnCase(Strict):
    """Figures, and what the fact comes to with nothing else known: a value, or what it still asks for."""

    given: Figures = Field(
        description="Fields of the sheet; those of another sheet stand below its name, those of a list of sheets in a list."
    )
    gives: bool | int | float | str | None = Field(None, description="Held to the decimals written.")
    open: tuple[FieldName, ...] | None = Field(None, description="The fields that would decide it, in order.")


class OwnBranch(Strict):
    """What a fact is where a condition holds; one without a condition stands last, for all other places."""

    when: Expression | None = None
    is_: Expression = Field(alias="is")

    @property
    def assumes(self) -> None:
        """A user's fact rests on no assumption of the program."""
        return None


class OwnDeclaration(Strict):
    """One fact of the user's. Either `is`, or `one_of` with branches of which exactly one applies."""

    says: Text
    unit: UnitText = ""
    is_: Expression | None = Field(None, alias="is", description="What it is; the variable is the kind of sheet.")
    one_of: tuple[OwnBranch, ...] | None = None
    source: SourceNote | None = None
    endless: bool = Field(False, description="It may come out without limit, as a time at no current does.")
    cases: Annotated[tuple[OwnCase, ...], Field(min_length=1)]

    @property
    def supply(self) -> None:
        """What would give it a value is what its expression lacks."""
        return None


class OwnFactFile(Strict):
    """Facts that a user adds to one kind of sheet: `facts/<topic>.yaml` in a folder given with `--rules`."""

    kind: FieldName = Field(description="The kind of sheet that the facts belong to, as in `camera` or `feed`.")
    limits: dict[FieldName, Limit] = Field(
        default_factory=dict, description="Figures that the expressions read as `limit.NAME`, each with its source."
    )
    steps: dict[FieldName, OwnDeclaration] = Field(
        default_factory=dict, description="Figures on the way, shown inside workings only; rules cannot read them."
    )
    facts: Annotated[dict[FieldName, OwnDeclaration], Field(min_length=1)]
