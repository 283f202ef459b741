"""What an answer that is handed over can be traced by: a reference, the day, and digests of parts and rules."""

from __future__ import annotations

import datetime
import hashlib
from collections.abc import Iterable

from coaxwright import __version__
from coaxwright.immutable import immutable
from coaxwright.pairing.small_sites import Question
from coaxwright.reading.catalogue import Catalogue

_LETTERS = 12


@immutable
class Stamp:
    """`reference` follows from the question, the part files, the rules, the version and the day: equal for equal answers.

    `parts` begins the SHA-256 over the files of the parts that are named; `rules` is the digest of what judged. For whom
    the answer is changes nothing of it.
    """

    reference: str
    date: str
    parts: str
    rules: str
    version: str
    customer: str = ""

    def pairs(self) -> tuple[tuple[str, str], ...]:
        """Names and values, as they stand on a page."""
        whom = (("for", self.customer),) if self.customer else ()
        return (
            *whom, ("reference", self.reference), ("date", self.date), ("parts, SHA-256 begins", self.parts),
            ("rules", self.rules), ("coaxwright", self.version),
        )  # fmt: skip


def stamp(
    catalogue: Catalogue, names: Iterable[str], question: Question, rules: str, day: datetime.date, customer: str = ""
) -> Stamp:
    """The stamp of an answer about these parts, judged by rules of that digest on a day, for a customer."""
    named = sorted(set(names))
    parts = parts_digest(catalogue, named)
    asked = "\0".join((*named, repr(question), parts, rules, __version__, day.isoformat()))
    reference = hashlib.sha256(asked.encode()).hexdigest()[:_LETTERS].upper()
    return Stamp(f"CX-{reference}", day.isoformat(), parts, rules, __version__, customer)


def parts_digest(catalogue: Catalogue, names: Iterable[str]) -> str:
    """The first letters of the SHA-256 over the part files in which these parts stand; generic ones are the program's."""
    wanted = {catalogue.full_id(name) for name in names}
    files = [source for source in catalogue.sources if wanted & set(source.entries.parts)]
    told = "\0".join(sorted(source.document.sha256 for source in files))
    return hashlib.sha256(told.encode()).hexdigest()[:_LETTERS]
