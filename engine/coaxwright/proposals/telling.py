"""A proposal as a document and as data. Decides nothing."""

from __future__ import annotations

from collections import Counter
from typing import Any

from coaxwright.portable import added
from coaxwright.proposals.reasons import reasons
from coaxwright.proposals.searching import Proposal, System
from coaxwright.proposals.writing import bound_words, cost_words
from coaxwright.show.json_text import FORMAT
from coaxwright.show.plain_data import plain
from coaxwright.show.tree import Block, Column, Document, Listing, Paragraph, Table


def proposal_document(proposal: Proposal, output: str) -> Document:
    """What was proposed, the systems side by side, and what stands in the way where there is none."""
    loaded = proposal.wishes.loaded
    title = f"{loaded.site.site} ({loaded.file})"
    best = proposal.best
    if best is None:
        told = Listing([f"{subject}: {why}" for subject, why in proposal.in_the_way])
        verdict = f"No system was found for these wants{_stopped(proposal)}."
        return Document(title, (told,), verdict)
    count = len(proposal.wishes.cameras)
    verdict = (
        f"{output}: {best.name}, {count} cameras, {cost_words(proposal, best)}. {bound_words(proposal)} "
        f"Checked as a whole: {best.report.summary.error} errors, {best.report.summary.warning} warnings."
    )
    blocks: list[Block] = [_table(proposal)]
    if len(proposal.systems) > 1:
        blocks.append(
            Paragraph("`--prefer fewest` writes the one with the fewest devices, `--prefer cheapest` the cheapest.")
        )
    blocks.append(
        Paragraph(
            f"{proposal.judged} small systems were judged{_stopped(proposal)}. Next: `coaxwright report {output}`."
        )
    )
    return Document(title, tuple(blocks), verdict)


def _stopped(proposal: Proposal) -> str:
    return f" ({proposal.stopped})" if proposal.stopped else ""


def _table(proposal: Proposal) -> Table:
    heads: list[Column | str] = [
        "system", Column(f"cost {proposal.currency or ''}".strip(), "number"), "recorders", "supplies", "cameras", "disks",
        Column("cable", "number", "m", 0), Column("inputs free", "number", decimals=0),
        Column("outputs free", "number", decimals=0),
    ]  # fmt: skip
    return Table(heads, [_row(proposal, each) for each in proposal.systems], "Systems that were checked as a whole")


def _row(proposal: Proposal, system: System) -> list[Any]:
    figures = system_figures(proposal, system)
    lists = [_counted(figures[key]) for key in ("recorders", "supplies", "cameras", "disks")]
    return [system.name, system.plan.cost, *lists, figures["metres"], figures["inputs_free"], figures["outputs_free"]]


def _counted(parts: dict[str, int]) -> str:
    return ", ".join(f"{number} x {name}" for name, number in parts.items())


def system_figures(proposal: Proposal, system: System) -> dict[str, Any]:
    """What a system consists of: parts with their numbers, metres of cable, inputs and outputs left."""
    groups, part = system.laid.groups, proposal.wishes.loaded.catalogue.part
    recorders = Counter(entry["part"] for entry in groups["recorders"].values())
    supplies = Counter(entry["part"] for entry in groups["supplies"].values())
    inputs = sum(number * len({channel for group in part(name).inputs for channel in group.channels})
                 for name, number in recorders.items())  # fmt: skip
    outputs = sum(number * part(name).outputs for name, number in supplies.items())
    choices, count = system.plan.choices.values(), len(system.plan.choices)
    return {
        "recorders": dict(recorders),
        "supplies": dict(supplies),
        "cameras": dict(Counter(entry["part"] for entry in groups["cameras"].values())),
        "disks": dict(Counter(disk for entry in groups["recorders"].values() for disk in entry.get("disks", ()))),
        "metres": round(added(each.picture.metres + each.feed.metres for each in choices), 3),
        "inputs_free": inputs - count,
        "outputs_free": outputs - count,
    }


def proposal_data(proposal: Proposal, output: str) -> dict[str, Any]:
    """The same as JSON data."""
    best = proposal.best
    return {
        "format": FORMAT,
        "site": proposal.wishes.loaded.site.site,
        "file": proposal.wishes.loaded.file,
        "output": output if best is not None else None,
        "cost": best.plan.cost if best is not None else None,
        "currency": proposal.currency,
        "bound": proposal.bound,
        "optimal": proposal.optimal,
        "devices_bound": proposal.devices_bound,
        "unpriced": list(proposal.unpriced),
        "systems": [_system_data(proposal, each) for each in proposal.systems],
        "reasons": _reasons_data(proposal, best),
        "in_the_way": [{"subject": subject, "why": why} for subject, why in proposal.in_the_way],
        "judged": proposal.judged,
        "stopped": proposal.stopped or None,
    }


def _system_data(proposal: Proposal, system: System) -> dict[str, Any]:
    return {
        "name": system.name,
        "cost": system.plan.cost,
        "summary": plain(system.report.summary),
        **system_figures(proposal, system),
        "patch": plain(system.proof.candidate.patch),
    }


def _reasons_data(proposal: Proposal, best: System | None) -> dict[str, list[str]]:
    found = reasons(proposal, best) if best is not None else {}
    return {f"{group}/{name}": list(lines) for (group, name), lines in found.items()}
