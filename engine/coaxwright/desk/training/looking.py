"""What is seen on the open site, and what could cause it: the answer of `coaxwright diagnose`."""

from __future__ import annotations

from collections.abc import Mapping

from coaxwright.desk.answers import Held, once
from coaxwright.desk.training.choosing import open_site
from coaxwright.diagnosis.diagnosing import Diagnosis, diagnose
from coaxwright.diagnosis.knowledge import Knowledge, load_knowledge
from coaxwright.immutable import immutable

SEEN = 2
"""Things seen that can be told at once."""
LONGEST = 2000
_MOST_KEPT = 8


@immutable
class Looked:
    """What a person tells: device and symptom of each thing seen, and measurements, one a line."""

    seen: tuple[tuple[str, str], ...] = ()
    measured: tuple[str, ...] = ()

    @property
    def said(self) -> list[str]:
        """As the command line takes it."""
        return [f"{subject}: {symptom}" for subject, symptom in self.seen]

    @property
    def fields(self) -> dict[str, str]:
        """As an address has it."""
        pairs = {f"{name}{place}": value for place, pair in enumerate(self.seen, 1)
                 for name, value in zip(("device", "symptom"), pair, strict=True)}  # fmt: skip
        return {**pairs, **({"measured": "\n".join(self.measured)} if self.measured else {})}


def looked_of(fields: Mapping[str, object]) -> Looked:
    """What the fields of the form tell: readings filled in beside what was asked for count as lines."""
    text = {name: value.strip()[:LONGEST] for name, value in fields.items() if isinstance(value, str)}
    pairs = [(text.get(f"device{place}", ""), text.get(f"symptom{place}", "")) for place in range(1, SEEN + 1)]
    lines = [line.strip() for line in text.get("measured", "").splitlines() if line.strip()]
    readings = [
        f"{text[f'spot{place}']} = {text[f'reading{place}']}" for place in range(9)
        if text.get(f"spot{place}") and text.get(f"reading{place}")
    ]  # fmt: skip
    return Looked(tuple(pair for pair in pairs if all(pair)), tuple(dict.fromkeys([*lines, *readings])))


def looked_at(held: Held, looked: Looked) -> Diagnosis:
    """What could cause it, worked out once for the text of the site. Raises Refusal."""
    known: dict[tuple[object, ...], Diagnosis] = held.kept.setdefault("looked", {})
    site = held.work.site

    def made() -> Diagnosis:
        return diagnose(open_site(held), looked.said, looked.measured, rulebook=held.work.rulebook)

    return once(known, (site.name, site.version, looked), made, _MOST_KEPT)


def choices(held: Held) -> tuple[list[str], Knowledge]:
    """Devices of the open site of which a symptom can be told, and all that is known of symptoms."""
    site, known = open_site(held).site, load_knowledge()
    groups = ("cameras", "recorders", "supplies", "monitors")
    return [f"{group}/{name}" for group in groups for name in (getattr(site, group, None) or {})], known
