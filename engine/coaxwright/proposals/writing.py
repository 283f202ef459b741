"""A system as a site file with comments that say why, and its part files beside it where it could not name them."""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from coaxwright.errors import Problem, Refusal
from coaxwright.fixes.yaml_text import entry
from coaxwright.proposals.reasons import reasons
from coaxwright.proposals.searching import Proposal, System
from coaxwright.reading.atomic import write_atomically
from coaxwright.reading.catalogue import PartSource

_WIDTH = 110
_OURS = ("recorders", "supplies", "boxes", "cameras", "positions", "parts", "prices")


def write_system(proposal: Proposal, system: System | None, output: Path, replace: bool = False) -> list[Path]:
    """Write the site, and copies of part and price files that do not stand below its folder; what was written.

    Raises Refusal where there is no system, a file would be replaced, or nothing can be written.
    """
    if system is None:
        raise Refusal([Problem(str(output), "there is no system to write", "see what stands in the way of one")])
    if output.exists() and not replace:
        raise Refusal([Problem(str(output), "exists already", "name a new file, or replace it")])
    copies: dict[Path, str] = {}
    named = {key: [_named(source, output, replace, copies) for source in sources]
             for key, sources in _read(proposal).items()}  # fmt: skip
    text = site_text(proposal, system, named)
    try:
        for target, content in copies.items():
            target.parent.mkdir(parents=True, exist_ok=True)
            write_atomically(target, content)
        write_atomically(output, text)
    except OSError as error:
        raise Refusal([Problem(str(output), f"cannot be written: {error.strerror or error}")]) from error
    return [*copies, output]


def _read(proposal: Proposal) -> dict[str, tuple[Any, ...]]:
    """Part files and price files that were read, by the key that names them."""
    loaded = proposal.wishes.loaded
    return {"parts": tuple(loaded.catalogue.sources), "prices": loaded.prices.sources}


def _named(source: PartSource, output: Path, replace: bool, copies: dict[Path, str]) -> str:
    """How the new file names a file that was read; what has to be copied beside it for that."""
    path, folder = Path(os.path.realpath(source.file)), Path(os.path.realpath(output.parent))
    if path.is_relative_to(folder):
        return path.relative_to(folder).as_posix()
    beside = output.name.removesuffix(".yaml").removesuffix(".site") + "-parts"
    target, text = output.parent / beside / path.name, source.document.text
    if target in copies or (target.exists() and not replace and target.read_text(encoding="utf-8") != text):
        raise Refusal([Problem(str(target), "exists already", "name an output in a new folder, or add --replace")])
    copies[target] = text
    return f"{beside}/{path.name}"


def site_text(proposal: Proposal, system: System, named: Mapping[str, list[str]]) -> str:
    """The text of the site file."""
    value = proposal.wishes.loaded.document.value
    lines = [*_head(proposal, system), *entry("site", value["site"], "")]
    for key, each in value.items():
        if key not in (*_OURS, "site"):
            lines += entry(key, each, "")
    for key, files in named.items():
        lines += entry(key, files, "") if files else ()
    why = reasons(proposal, system)
    for group in ("recorders", "supplies", "boxes", "cameras"):
        entries = system.laid.groups.get(group)
        if entries:
            lines += ["", f"{group}:", *_entries(group, entries, why)]
    return "\n".join(lines) + "\n"


def _head(proposal: Proposal, system: System) -> Iterator[str]:
    summary = system.report.summary
    source = os.path.basename(proposal.wishes.loaded.file)
    yield f"# System from the wants in {source}: {system.name}, {cost_words(proposal, system)}."
    yield from _wrapped(bound_words(proposal), "# ")
    yield from _wrapped(
        f"Checked as a whole: {summary.error} errors, {summary.warning} warnings, {summary.note} notes; "
        f"{summary.open} open, as the wants leave them{_reviewed(system)}. "
        "Work on supplies, mains and heights is for competent people under local rules.", "# ")  # fmt: skip


def _reviewed(system: System) -> str:
    """That a specialist has to choose what stands there as a generic part."""
    asked = {path.rpartition("/")[2] for each in system.report.findings if each.kind == "open" for path in each.missing}
    return ", or until a specialist has chosen the surge arresters" if "test_categories" in asked else ""


def cost_words(proposal: Proposal, system: System) -> str:
    """The cost in words, with what it leaves out."""
    money = f"{system.plan.cost:,.2f} {proposal.currency or ''}".rstrip()
    if proposal.unpriced:
        return f"{money} without {', '.join(f'each {kind}' for kind in proposal.unpriced)}, which has no price"
    return money


def bound_words(proposal: Proposal) -> str:
    """How good the cost is known to be."""
    if proposal.unpriced:
        return "Prices are missing, so nothing is proven in money."
    if proposal.bound is None:
        return "No bound on the cost is known."
    if proposal.optimal:
        return "None of the options considered costs less."
    return (
        f"No set of the options considered costs less than {proposal.bound:,.2f} {proposal.currency or ''}".rstrip()
        + "."
    )


def _entries(group: str, entries: Mapping[str, Any], why: Mapping[tuple[str, str], tuple[str, ...]]) -> Iterator[str]:
    for name, value in entries.items():
        yield from _wrapped(" ".join(why.get((group, name), ())), "  # ")
        yield from entry(name, value, "  ")


def _wrapped(text: str, lead: str) -> Iterator[str]:
    import textwrap

    for line in textwrap.wrap(text, _WIDTH - len(lead), break_long_words=False, break_on_hyphens=False):
        yield lead + line
