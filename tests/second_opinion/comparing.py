"""Both opinions on one site, and where they differ."""

from __future__ import annotations

import json
import math
from random import Random

from coaxwright.facts.binding import compute_facts
from coaxwright.model.parts import PartFile
from coaxwright.model.site import Site
from coaxwright.reading.catalogue import Catalogue, PartSource
from coaxwright.reading.site_reader import LoadedSite, with_value
from coaxwright.reading.validation import validated
from coaxwright.reading.yaml_source import parse_document
from coaxwright.rulebook.judging import frame_of, judge_exactly
from coaxwright.topology.wiring import build_topology

from . import invented, plain, verdicts
from .opinion import Opinion

LOOSE = {"margin_night": 2e-3}
NEAR = 3e-3
"""So near to collapse (share of the limit) that the naive solver is not asked."""


def loaded_of(site, parts):
    """The engine's reading of plain data."""
    document = parse_document(json.dumps({"parts": parts}), "parts.yaml")
    catalogue = Catalogue((PartSource(document.file, document, validated(PartFile, document)),))
    text = parse_document(json.dumps(site), "random.site.yaml")
    return with_value(LoadedSite(text.file, Site.model_construct(site="random"), text, catalogue), text.value)


def case_of(seed):
    """A random site and its parts, as plain data."""
    draw = Random(seed)
    parts = invented.parts(draw)
    return invented.site(draw, parts), parts


def known_case_of(seed):
    """The same with little left open."""
    return invented.settled(*case_of(seed))


def engine_facts(site, parts):
    loaded = loaded_of(site, parts)
    return compute_facts(loaded, build_topology(loaded))


def naive_facts(site, parts):
    return Opinion(site, {**plain.generic(), **parts})


def alike(name, ours, theirs):
    if isinstance(ours, bool) or isinstance(theirs, bool) or ours is None or theirs is None or isinstance(ours, str):
        return ours == theirs and (ours is None) == (theirs is None)
    return math.isclose(ours, theirs, rel_tol=LOOSE.get(name, 1e-6), abs_tol=1e-7)


def too_near(opinion):
    """Whether some network is so near to its limit that the naive answer does not count."""
    found = [each["margin_night"] for (kind, _), each in opinion.found.items() if kind == "feed"]
    return any(each is not None and abs(each - 1) < NEAR for each in found)


def differences(opinion, facts):
    """Lines that name every field on which the two differ, and how many were compared."""
    found, compared = [], 0
    for kind in {kind for kind, _ in opinion.found}:
        mine = {subject for each, subject in opinion.found if each == kind}
        theirs = {sheet.subject for sheet in facts.by_kind(kind)}
        found += [f"{kind} {subject}: of one opinion only" for subject in mine ^ theirs]
    for (kind, subject), fields in opinion.found.items():
        sheet = facts.sheet(subject, kind)
        if sheet is None:
            continue
        for name, ours in fields.items():
            if isinstance(ours, dict | list) or ours != ours:  # currents of a network that collapses are not asked
                continue
            theirs = sheet.known(name)
            compared += 1
            if not alike(name, ours, theirs):
                found.append(f"{kind}.{name} of {subject}: {ours!r} against {theirs!r}")
    return found, compared


def verdict_differences(opinion, facts, rulebook):
    """Lines that name every verdict on which the two differ; how many were compared; the rules compared."""
    naive, _ = verdicts.verdicts(opinion)
    found, frames = [], {}
    for (identifier, subject), ours in naive.items():
        rule = rulebook.rule(identifier)
        frame = frames.setdefault(identifier, frame_of(rule, facts))
        theirs = judge_exactly(rule, facts.sheet(subject, rule.scope.subject), frame).kind
        if ours != theirs:
            found.append(f"{identifier} on {subject}: {ours} against {theirs}")
    return found, len(naive), set(frames)
