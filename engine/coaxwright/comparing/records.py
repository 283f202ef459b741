"""What a comparison holds. `before` and `after` are None on the side where the thing is not."""

from __future__ import annotations

from typing import Any, Literal

from coaxwright.findings import Finding, SiteReport
from coaxwright.immutable import immutable

How = Literal["new", "gone", "changed"]


@immutable
class DeviceChange:
    """A device with another part, or that is new or gone; `what` is `part`, or the place of a disk or pickup."""

    subject: str
    what: str
    before: str | None
    after: str | None


@immutable
class Renamed:
    """An entry that stands under another id and is the same in all else."""

    before: str
    after: str


@immutable
class QuantityChange:
    """A part whose count (`unit` is empty) or length in metres (`unit` is `m`) differs."""

    part: str
    unit: str
    before: float
    after: float


@immutable
class EntryChange:
    """A value of a part's entry in the catalogue that differs, in base units; `field` is its path there."""

    part: str
    field: str
    before: Any
    after: Any


@immutable
class RunChange:
    """A line of cable that differs; each side in words, from the device to its port."""

    subject: str
    use: str
    before: str | None
    after: str | None


@immutable
class SettingChange:
    """Any other value of the site file that differs, by document path, as it is written."""

    path: str
    before: str | None
    after: str | None


@immutable
class FactDifference:
    """A fact that differs; `unit` is its base unit, `doc` what it says."""

    subject: str
    name: str
    before: Any
    after: Any
    unit: str
    doc: str


@immutable
class FindingChange:
    """A finding on either side. `because` says why where that is not plain from the two."""

    before: Finding | None
    after: Finding | None
    because: str = ""

    @property
    def one(self) -> Finding:
        """The later of the two that there is; ValueError where there is none."""
        found = self.after or self.before
        if found is None:
            raise ValueError("a change of a finding has a finding")
        return found


@immutable
class Comparison:
    """All that differs between two sites, both judged by one rulebook on one day.

    Findings stand once: `new` where the older side had none, `gone`, `worse` and `better` where both have it, `waived`
    where somebody now answers for it, `told_otherwise` where only its words or values differ.
    """

    before: SiteReport
    after: SiteReport
    renamed: tuple[Renamed, ...]
    devices: tuple[DeviceChange, ...]
    quantities: tuple[QuantityChange, ...]
    entries: tuple[EntryChange, ...]
    runs: tuple[RunChange, ...]
    settings: tuple[SettingChange, ...]
    facts: tuple[FactDifference, ...]
    new: tuple[FindingChange, ...]
    gone: tuple[FindingChange, ...]
    worse: tuple[FindingChange, ...]
    better: tuple[FindingChange, ...]
    waived: tuple[FindingChange, ...]
    told_otherwise: tuple[FindingChange, ...]

    @property
    def same(self) -> bool:
        """Whether nothing differs that this program knows of; comments and layout of the files are none of it."""
        return not any(
            (self.renamed, self.devices, self.quantities, self.entries, self.runs, self.settings, self.facts, self.new,
             self.gone, self.worse, self.better, self.waived, self.told_otherwise)
        )  # fmt: skip
