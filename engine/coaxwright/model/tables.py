"""The form of a table of sourced figures (rules/tables/*.yaml): columns with units, rows, and sources.

A table is data: what the trade or a standard says, never what the engine computes. Not here: finding and
reading the files (reading/tables.py), and catalogue entries (parts.py).
"""

from __future__ import annotations

from fractions import Fraction as Ratio
from typing import Annotated, Any, Literal, NamedTuple

from pydantic import Field, model_validator

from coaxwright.model.common import Strict, Text
from coaxwright.model.quantities import KINDS

TableName = Annotated[str, Field(pattern=r"^[a-z][a-z0-9]*(-[a-z0-9]+)*$", max_length=64)]
ColumnName = Annotated[str, Field(pattern=r"^[a-z][a-z0-9_]*$", max_length=64)]
Holds = Literal["text", "number", "integer", "yes-no", "mode", "list", "quantity"]

PLAIN_UNITS = frozenset({"", "1/K", "1/s", "bit/px", "mm/px", "kg", "W/m2/K"})
"""Units that no quantity of a site file has; figures in them are given as written."""


class ColumnUnit(NamedTuple):
    """How a written figure becomes one in base units: `scale` * figure + `offset`, in `base`."""

    scale: Ratio
    offset: Ratio
    base: str

    def convert(self, written: object) -> float:
        """The figure in base units. ValueError for what is not a plain finite number."""
        return float(Ratio(str(written)) * self.scale + self.offset)


class Column(Strict):
    """One column. A column with a unit holds numbers; `""` is the unit of a count or a ratio."""

    about: Text = Field(description="What it says, and by which method where there are several.")
    unit: str | None = Field(
        None, description="Unit in which rows are written; they are given in base units."
    )
    quantity: str | None = Field(None, description="Kind of quantity, where the unit does not tell (mm).")
    holds: Holds = "text"
    one_of: tuple[str, ...] | None = Field(None, description="The only texts allowed.")
    optional: bool = Field(False, description="May be left out of a row: not known, or no limit.")

    @model_validator(mode="after")
    def _numbers_have_units(self) -> Column:
        numeric = self.holds in ("number", "integer")
        if numeric != (self.unit is not None):
            raise ValueError("a column holds numbers if and only if it has a unit")
        if self.unit is not None:
            column_unit(self.unit, self.quantity)
        return self


class TableFile(Strict):
    """A table file as it is written. Every row has a source: its own (`source:` in the row) or the table's.

    Whether every row has one, and whether its cells fit the columns, is checked where rows are read.
    """

    table: TableName
    title: Text
    about: Text | None = None
    key: tuple[ColumnName, ...] = Field(min_length=1, description="Columns whose values together name a row.")
    columns: dict[ColumnName, Column] = Field(min_length=1)
    source: Text | None = Field(None, description="Source of the rows that name none.")
    rows: tuple[dict[str, Any], ...] = Field(min_length=1)

    @model_validator(mode="after")
    def _key_is_columns(self) -> TableFile:
        unknown = [name for name in self.key if name not in self.columns]
        if unknown:
            raise ValueError(f"key names no column: {', '.join(unknown)}")
        return self


def column_unit(unit: str, quantity: str | None = None) -> ColumnUnit:
    """Scale, offset and base unit of a column's unit.

    ValueError when the unit is unknown, or means several things and no `quantity` says which.
    """
    if quantity is not None and quantity not in KINDS:
        raise ValueError(f"`{quantity}` is not a kind of quantity")
    kinds = [KINDS[quantity]] if quantity else list(KINDS.values())
    found = {
        ColumnUnit(kind.units[unit].scale, kind.units[unit].offset, kind.base)
        for kind in kinds
        if unit in kind.units
    }
    if not found and unit in PLAIN_UNITS:
        return ColumnUnit(Ratio(1), Ratio(0), unit)
    if len(found) != 1:
        raise ValueError(f"`{unit}` is {'ambiguous: name its quantity' if found else 'not a known unit'}")
    return found.pop()
