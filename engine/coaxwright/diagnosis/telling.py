"""A diagnosis in words and as plain data."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from coaxwright.diagnosis.diagnosing import Diagnosis, Explained
from coaxwright.diagnosis.forms import Row
from coaxwright.diagnosis.knowledge import Knowledge
from coaxwright.diagnosis.measuring import Predicted, Spot, Step
from coaxwright.diagnosis.observing import Reading, Seen
from coaxwright.diagnosis.suspects import Candidate, Suspect
from coaxwright.diagnosis.trying import Change
from coaxwright.findings import Finding
from coaxwright.show.tree import (
    Block,
    Caution,
    Code,
    Column,
    Document,
    Item,
    Listing,
    Note,
    Paragraph,
    Section,
    Strong,
    Table,
)

MOST_CHANGES = 4
REVIEW = "What is found this way needs review by whoever installs and maintains the system, under local codes."


def named(candidate: Candidate, known: Knowledge) -> str:
    """A cause at its device, as a sentence."""
    name = candidate.subject.partition("/")[2] or "the site"
    return known.causes[candidate.cause].says.format(name=name)


def headline(suspect: Suspect, known: Knowledge) -> str:
    """The causes of a suspect, joined."""
    return "; and ".join(named(each, known) for each in suspect.members) or "the site as drawn already shows it"


def reading(known: Knowledge, name: str, value: Reading | None) -> str:
    """A reading with its unit."""
    measurement = known.measurements[name]
    if value is None:
        return "not known"
    return value if isinstance(value, str) else f"{value:.{measurement.decimals}f} {measurement.unit}".strip()


def expected(known: Knowledge, name: str, predicted: Predicted) -> str:
    """What a suspect leads to expect: a figure, a range, or words."""
    ends = predicted.ends
    if ends is not None:
        low, high = (reading(known, name, each) for each in ends)
        return low if low == high else f"{low} to {high}"
    return " or ".join(sorted({reading(known, name, each) for each in predicted.readings}))


def diagnosis_document(diagnosis: Diagnosis, *, by_call: bool = True) -> Document:
    """The whole diagnosis, as it is read; `by_call`: what was measured is told by another call of the command."""
    known = diagnosis.search.known
    blocks: list[Block] = [Section("What is seen", (Listing([_seen(diagnosis, each) for each in diagnosis.search.seen]),))]
    if diagnosis.stop:
        blocks.append(Caution("Stop work and call a qualified electrician before anything is touched or measured."))
    causes = Listing([_cause(each, known) for each in diagnosis.causes], "number")
    nothing = Paragraph("No cause that is known explains all of it.")
    blocks.append(Section("What could cause it", (causes if diagnosis.causes else nothing,)))
    if diagnosis.excluded:
        fallen = Listing([headline(each, known) for each in diagnosis.excluded])
        blocks.append(Section("Ruled out by what was measured", (fallen,)))
    if not diagnosis.stop:
        blocks += list(_next(diagnosis, by_call))
    blocks += [Caution(each) for each in cautions(diagnosis)]
    return Document(f"Diagnosis of {diagnosis.search.state.site.site}", tuple(blocks), verdict(diagnosis))


def verdict(diagnosis: Diagnosis) -> str:
    """How things stand, in a sentence."""
    count = len(diagnosis.causes)
    if diagnosis.drawn:
        return "The site as drawn already shows what is seen: the plan has to change."
    if not count:
        return "Nothing that is known explains what is seen: look at the site again, or tell less at once."
    if count == 1:
        return f"One explanation is left: {headline(diagnosis.causes[0].suspect, diagnosis.search.known)}."
    if not diagnosis.next:
        return f"{count} explanations are left that no measurement here tells apart."
    return f"{count} explanations; next, {_where(diagnosis.search.known, diagnosis.next[0].spot)}."


def _seen(diagnosis: Diagnosis, seen: Seen) -> str:
    return f"{seen.subject}: {diagnosis.search.known.symptoms[seen.symptom].says}"


def _where(known: Knowledge, spot: Spot) -> str:
    return f"{known.measurements[spot[0]].says}, {spot[1]}"


def _cause(told: Explained, known: Knowledge) -> Item:
    below: list[Block] = [Paragraph(f"Do: {known.causes[each.cause].repair}") for each in told.suspect.members]
    if told.patch:
        below.append(Paragraph(f"Tried as: {_changes(told)}"))
    rules = list(dict.fromkeys(each.rule for each in told.finds))
    if rules:
        below.append(Paragraph(("Rules then find: ", *_spread([Code(each) for each in rules[:6]]))))
    if others := list(dict.fromkeys(each.rule for each in told.beside)):
        below.append(Paragraph(("Failing there too, of another effect: ", *_spread([Code(each) for each in others[:6]]))))
    below += [Note(f"{row.because} ({founded(row)})") for each in told.suspect.members
              for row in known.rows_of(each.cause)[:1]]  # fmt: skip
    return Item((Strong(f"{told.chance:.0%} "), headline(told.suspect, known)), tuple(below))


def founded(row: Row) -> str:
    """A row's source, and how well it is founded where the source does not say that itself."""
    return row.source if row.mark in row.source else f"{row.source}; {row.mark}"


def _spread(codes: list[Code]) -> Iterator[str | Code]:
    for place, code in enumerate(codes):
        yield from (", ", code) if place else (code,)


def _changes(told: Explained) -> str:
    more = len(told.patch) - MOST_CHANGES
    said = "; ".join(_change(each) for each in told.patch[:MOST_CHANGES])
    return f"{said}; and {more} more" if more > 0 else said


def _change(change: Change) -> str:
    path = "/".join(map(str, change.path))
    if change.new is None:
        return f"{path} taken away"
    return f"{path} {_plain(change.new)} in place of {_plain(change.old) if change.old is not None else 'nothing'}"


def _plain(value: object) -> str:
    text = ", ".join(f"{key} {_plain(each)}" for key, each in value.items()) if isinstance(value, dict) else str(value)
    return text if len(text) < 50 else f"{text[:46]} ..."


def _next(diagnosis: Diagnosis, by_call: bool) -> Iterator[Block]:
    known = diagnosis.search.known
    if not diagnosis.next:
        return
    rows = [(_where(known, each.spot), each.minutes, each.bits, each.worth * 10) for each in diagnosis.next]


    columns = (Column("measurement"), Column("time", "number", "min", 0), Column("tells", "number", "bit", 2),
               Column("in ten minutes", "number", "bit", 2))  # fmt: skip
    best = diagnosis.next[0]
    table = [(headline(each.suspect, known), expected(known, best.spot[0], predicted))
             for each, predicted in zip(diagnosis.causes, best.predicted, strict=True)]  # fmt: skip
    measurement = known.measurements[best.spot[0]]
    again = Paragraph(("Then call again with ", Code(f"--measured '{best.spot[1]}: {best.spot[0]} = ...'"), "."))
    yield Section("What to measure next", (
        Table(columns, rows, "Most told for its time first"),
        Paragraph(f"{_where(known, best.spot)}. {measurement.how}"),
        Table(("suspect", "the engine predicts"), table, f"{measurement.says}, {best.spot[1]}"),
        *((again,) if by_call else ()),
    ))  # fmt: skip


def cautions(diagnosis: Diagnosis) -> list[str]:
    """Every caution that goes with the causes and the measurements told of, each once."""
    known = diagnosis.search.known
    found = [known.causes[each.cause].caution for told in diagnosis.causes for each in told.suspect.members]
    found += [known.measurements[each.spot[0]].caution for each in diagnosis.next]
    return list(dict.fromkeys([*(each for each in found if each), REVIEW]))


def diagnosis_data(diagnosis: Diagnosis) -> dict[str, Any]:
    """The same as plain data, for programs."""
    known, state = diagnosis.search.known, diagnosis.search.state
    return {
        "tool": "coaxwright",
        "format": 2,
        "site": state.site.site,
        "file": state.basis.loaded.file,
        "seen": [{"subject": each.subject, "symptom": each.symptom, "says": known.symptoms[each.symptom].says}
                 for each in diagnosis.search.seen],
        "measured": [{"subject": each.subject, "measurement": each.measurement, "reading": each.reading}
                     for each in diagnosis.measured],
        "as_drawn": diagnosis.drawn,
        "stop": diagnosis.stop,
        "verdict": verdict(diagnosis),
        "causes": [_cause_data(each, known) for each in diagnosis.causes],
        "excluded": [[_member(each, known) for each in suspect.members] for suspect in diagnosis.excluded],
        "next": [] if diagnosis.stop else [_step_data(each, known) for each in diagnosis.next],
        "cautions": cautions(diagnosis),
    }  # fmt: skip


def _cause_data(told: Explained, known: Knowledge) -> dict[str, Any]:
    return {
        "chance": told.chance,
        "says": headline(told.suspect, known),
        "faults": [_member(each, known) for each in told.suspect.members],
        "degrees": len(told.suspect.degrees),
        "patch": [{"path": "/" + "/".join(map(str, each.path)), "from": each.old, "to": each.new} for each in told.patch],
        "finds": [_found_data(each) for each in told.finds],
        "beside": [_found_data(each) for each in told.beside],
    }


def _found_data(finding: Finding) -> dict[str, Any]:
    return {"rule": finding.rule, "subject": finding.subject, "level": finding.level, "says": finding.message}


def _member(candidate: Candidate, known: Knowledge) -> dict[str, Any]:
    cause = known.causes[candidate.cause]
    return {
        "cause": candidate.cause, "subject": candidate.subject, "says": named(candidate, known), "tried": bool(cause.tries),
        "repair": cause.repair, "caution": cause.caution,
        "rows": [{"symptom": row.symptom, "because": row.because, "measure": row.measure, "confirms": row.confirms,
                  "source": row.source, "mark": row.mark} for row in known.rows_of(candidate.cause)],
    }  # fmt: skip


def _step_data(step: Step, known: Knowledge) -> dict[str, Any]:
    measurement = known.measurements[step.spot[0]]
    return {
        "measurement": step.spot[0], "subject": step.spot[1], "says": measurement.says, "how": measurement.how,
        "unit": measurement.unit, "minutes": step.minutes, "bits": step.bits, "caution": measurement.caution,
        "predicts": [_ends(known, step.spot[0], each) for each in step.predicted],
    }  # fmt: skip


def _ends(known: Knowledge, name: str, predicted: Predicted) -> dict[str, Any]:
    low, high = predicted.ends or (None, None)
    return {"low": low, "high": high, "says": expected(known, name, predicted)}


def symptoms_document(known: Knowledge) -> Document:
    """Everything that can be said to be seen, what can be measured, and every row with its source."""
    symptoms = [(each.about, each.says, name) for name, each in known.symptoms.items()]
    measurements = [(name, each.about, each.says, each.unit, each.how) for name, each in known.measurements.items()]
    rows = [(known.symptoms[row.symptom].says, known.causes[row.cause].says.replace("{name}", "it"), row.confirms, founded(row))
            for row in known.rows]  # fmt: skip
    return Document("Symptoms", (
        Section("What can be seen", (Table(("of", "symptom", "id"), symptoms),)),
        Section("What can be measured", (Table(("id", "at", "measurement", "unit", "how"), measurements),)),
        Section("What leads to what", (Table(("symptom", "cause", "confirmed by", "source"), rows),)),
    ))  # fmt: skip


def symptoms_data(known: Knowledge) -> dict[str, Any]:
    """The same as plain data."""
    return {
        "tool": "coaxwright",
        "format": 2,
        "symptoms": [{"id": name, "about": each.about, "says": each.says} for name, each in known.symptoms.items()],
        "measurements": [{"id": name, "about": each.about, "says": each.says, "unit": each.unit, "minutes": each.minutes}
                         for name, each in known.measurements.items()],
        "rows": [row.model_dump() for row in known.rows],
    }  # fmt: skip
