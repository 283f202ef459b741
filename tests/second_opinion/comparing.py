"""Both opinions on one site, and where they differ."""

from __future__ import annotations

import json
import math
from random import Random

from coaxwright.facts.binding import compute_facts
from coaxwright.facts.sheets import SHEETS
from coaxwright.model.parts import PartFile
from coaxwright.model.site import Site
from coaxwright.reading.catalogue import Catalogue, PartSource
from coaxwright.reading.site_reader import LoadedSite, with_value
from coaxwright.reading.validation import validated
from coaxwright.reading.yaml_source import parse_document
from coaxwright.rulebook.judging import frame_of, judge_exactly, judge_rule
from coaxwright.topology.wiring import build_topology

from . import enriched, invented, plain
from .judged import RULES
from .opinion import Opinion

LOOSE = dict.fromkeys(("margin_night", "margin_least", "margin_working"), 1e-5)
NEARLY = 1e-6
FAR_OFF = 1000
"""A margin beyond which the naive search, whose steps double, is no longer taken at its word."""
WORDS = {
    "because", "sound_broken_by", "control_broken_by", "firmware_broken_by", "talk_back_broken_by", "settings_unknown",
    "owners", "shared_words", "speeds_words", "protocols_words", "stars_words", "uses", "subject",
}  # fmt: skip
"""Fields that are sentences or lists of names for people: no rule reads more of them than the opinion models."""


def loaded_of(site, parts):
    """The engine's reading of plain data."""
    document = parse_document(json.dumps({"parts": parts}), "parts.yaml")
    catalogue = Catalogue((PartSource(document.file, document, validated(PartFile, document)),))
    text = parse_document(json.dumps(site), "random.site.yaml")
    return with_value(LoadedSite(text.file, Site.model_construct(site="random"), text, catalogue), text.value)


def with_catalogue(loaded, catalogue):
    """The same site read with other part files."""
    return with_value(LoadedSite(loaded.file, loaded.site, loaded.document, catalogue), loaded.document.value)


def case_of(seed):
    """A random site and its parts, as plain data."""
    draw = Random(seed)
    parts = invented.parts(draw)
    return invented.site(draw, parts), parts


def known_case_of(seed):
    """The same with little left open."""
    return invented.settled(*case_of(seed))


def rich_case_of(seed):
    """A random site with everything else on it too."""
    return enriched.enriched(Random(seed + 10**9), *case_of(seed))


def rich_known_case_of(seed):
    """The same with little left open."""
    return enriched.enriched(Random(seed + 10**9), *known_case_of(seed), open_share=0.03, complete=True)


def engine_facts(site, parts):
    loaded = loaded_of(site, parts)
    return compute_facts(loaded, build_topology(loaded))


def naive_facts(site, parts):
    return Opinion(site, {**plain.generic(), **parts})


def alike(name, ours, theirs):
    if isinstance(ours, bool) or isinstance(theirs, bool) or ours is None or theirs is None or isinstance(ours, str):
        return ours == theirs and (ours is None) == (theirs is None)
    if isinstance(ours, list | tuple):
        return ours == theirs
    loose = LOOSE.get(name, NEARLY)
    if name in LOOSE and min(ours, theirs) > FAR_OFF:
        loose = 1e-2
    return math.isclose(ours, theirs, rel_tol=loose, abs_tol=1e-7)


def too_near(opinion):
    """Whether some network is so near to its limit that the naive answer does not count."""
    return opinion.near


def own_fields(kind):
    """Plain fields of a kind of sheet, as the engine declares them: no references, no words."""
    fields = SHEETS[kind].__dataclass_fields__
    return {
        name for name, each in fields.items()
        if each.metadata and name not in WORDS and not each.metadata["ref"] and not each.metadata["many"]
    }  # fmt: skip


def differences(opinion, facts):
    """Lines that name every field on which the two differ, and how many were compared."""
    found, compared = [], 0
    for kind in SHEETS:
        mine = {subject for each, subject in opinion.found if each == kind}
        theirs = {sheet.subject for sheet in facts.by_kind(kind)}
        found += [f"{kind} {subject}: of one opinion only" for subject in mine ^ theirs]
    for (kind, subject), fields in opinion.found.items():
        sheet = facts.sheet(subject, kind)
        if sheet is None:
            continue
        for name in own_fields(kind):
            ours, theirs = fields.get(name), sheet.known(name)
            compared += 1
            if not alike(name, ours, theirs):
                found.append(f"{kind}.{name} of {subject}: {ours!r} against {theirs!r}")
    return found, compared


def verdicts(opinion):
    """The opinion's verdicts by rule, then subject."""
    by_kind = {}
    for (kind, subject), facts in opinion.found.items():
        by_kind.setdefault(kind, []).append((subject, facts))
    return {
        identifier: {subject: predicate(facts) for subject, facts in by_kind.get(kind, ())}
        for identifier, (kind, predicate) in RULES.items()
    }


def verdict_differences(opinion, facts, rulebook, *, exactly=False):
    """Lines that name every verdict on which the two differ; the opinion's verdicts by rule.

    The engine's rapid sweep is asked; `exactly` asks its slow evaluator too, one subject after the other.
    """
    naive, found = verdicts(opinion), []
    for identifier, ours in naive.items():
        rule = rulebook.rule(identifier)
        verdict = judge_rule(rule, facts)
        theirs = {each.subject.subject: each.kind for each in verdict.judgements}
        mine = {subject: kind for subject, kind in ours.items() if kind in ("fail", "open")}
        for each in mine | theirs:
            if mine.get(each) != theirs.get(each):
                found.append(f"{identifier} on {each}: {mine.get(each)} against {theirs.get(each)}")
        counts = [list(ours.values()).count(kind) for kind in ("pass", "not-applicable")]
        if not found and counts != [verdict.passed, verdict.not_applicable]:
            found.append(f"{identifier}: {counts} pass, do not apply, against {verdict.passed}, {verdict.not_applicable}")
        if exactly:
            frame = frame_of(rule, facts)
            for subject, kind in ours.items():
                exact = judge_exactly(rule, facts.sheet(subject, rule.scope.subject), frame).kind
                if exact != kind:
                    found.append(f"{identifier} on {subject}: {kind} against {exact} (exactly)")
    return found, naive
