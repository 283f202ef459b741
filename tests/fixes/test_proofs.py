"""No fix that is shown fails its own claim: each is written into the file, and the file is checked in full.

The full check of the written file is the outside reference; it shares nothing with judging again by
components. COAXWRIGHT_FULL=1 takes the 1,000 random faulty sites of the requirement and all examples; by default 5
sites and every third example.
"""

from __future__ import annotations

import json
import os
from random import Random

import pytest

from coaxwright.checking import check, load_site
from coaxwright.errors import Refusal
from coaxwright.fixes.advice import advice_on, advise, failing
from coaxwright.fixes.rejudging import start
from coaxwright.fixes.writing import write_patch
from coaxwright.reading.site_reader import LoadedSite
from coaxwright.reading.yaml_source import parse_document

from . import promise, random_sites
from .bills import price_of_site

FULL = bool(os.environ.get("COAXWRIGHT_FULL"))
SITES = 1000 if FULL else 5
TRIES = 150 if FULL else 12


def standing(report):
    """Fails and open judgements that nobody waived, as fixes name them."""
    fails = {
        f"{each.rule} on {each.subject}": each.level
        for each in report.findings
        if each.kind == "fail" and not each.waived
    }
    opened = {f"{each.rule} on {each.subject}" for each in report.findings if each.kind == "open" and not each.waived}
    return fails, opened


def check_claims(fix, finding, before, after, sites, rulebook):
    """All that a fix claims, against the reports on both sides."""
    def easing(found):
        return promise.eased(found, sites[0], sites[1].document.value, after, rulebook)

    was, _ = standing(before)
    now, opened = standing(after)
    assert f"{finding.rule} on {finding.subject}" in fix.clears
    assert promise.keeps_the_promise(finding.rule, finding.subject, finding.level, before, after, easing)
    assert set(fix.clears) <= {key for key in was if key not in now and key not in opened}
    worse = promise.harms(before, after)
    assert {f"{each.rule} on {each.subject}" for each in fix.worsens} == told(worse, "less-room")
    assert {each.rpartition(" (")[0] for each in fix.opens} == told(worse, "open")
    assert set(fix.introduces) == {f"{key} ({level})" for key, level in now.items() if key not in was}
    assert set(fix.stays_open) <= opened
    newly = opened - standing(before)[1]
    assert newly <= set(fix.stays_open)


def told(worse, how):
    return {f"{rule} on {subject}" for kind, rule, subject, _ in worse if kind == how}


def every_fifth(state, first):
    """Advice on every fifth finding: the others are not looked into."""
    judgements = failing(state)
    findings = [each for each in state.report().findings if each.kind == "fail" and not each.waived]
    for finding in findings[first::5]:
        if finding.key in judgements:
            yield advice_on(state, finding, judgements[finding.key], 25, 2)


@pytest.mark.parametrize("block", range(5))
def test_shown_fixes_of_random_sites_keep_their_word(block, rulebook, parts, day, tmp_path):
    shown = 0
    for seed in range(block * SITES // 5, (block + 1) * SITES // 5):
        value = random_sites.random_site(Random(7000 + seed))
        text = json.dumps(value, indent=1)
        try:
            loaded = random_sites.load(value, parts)
            state = start(loaded, rulebook=rulebook, today=day)
        except Refusal:
            continue
        path = tmp_path / "random.site.yaml"
        before = check(loaded, rulebook=rulebook, today=day)
        for advice in every_fifth(state, seed % 5):
            for fix in advice.fixes:
                path.write_text(text, encoding="utf-8")
                document = parse_document(text, str(path))
                write_patch(path, document, fix.patch)
                written = random_sites.load(parse_document(path.read_text(encoding="utf-8"), "again").value, parts)
                after = check(written, rulebook=rulebook, today=day)
                check_claims(fix, advice.finding, before, after, (loaded, written), rulebook)
                if fix.cost is not None:
                    prices = [price_of_site(each.site, parts) for each in (loaded, written)]
                    assert fix.cost == pytest.approx(prices[1] - prices[0], abs=0.01)
                shown += 1
    assert shown >= max(1, SITES // 10)


EXAMPLES = sorted((random_sites.REPO / "examples").glob("*/*.site.yaml"))


@pytest.mark.parametrize("path", EXAMPLES if FULL else EXAMPLES[1::5], ids=lambda path: path.name)
def test_every_error_of_the_examples_has_a_fix_or_a_reason(path, rulebook, day, tmp_path):
    """The best fix of every error is written into a copy of the file, and the copy is read and checked."""
    loaded = load_site(path)
    state = start(loaded, rulebook=rulebook, today=day)
    before = check(loaded, rulebook=rulebook, today=day)
    copy = tmp_path / path.name
    errors = [each for each in before.findings if each.level == "error" and each.kind == "fail" and not each.waived]
    advices = {each.finding.key: each for each in advise(state, level="error", tries=TRIES)}
    assert set(advices) == {each.key for each in errors}
    for advice in advices.values():
        assert bool(advice.fixes) != bool(advice.why)
        for fix in advice.fixes[:1]:
            copy.write_bytes(path.read_bytes())
            document = loaded.document
            write_patch(copy, document, fix.patch)
            kept = [line for line in document.text.splitlines() if line.lstrip().startswith("#")]
            assert all(line in copy.read_text(encoding="utf-8") for line in kept)
            written = read_with(copy, loaded)
            after = check(written, rulebook=rulebook, today=day)
            check_claims(fix, advice.finding, before, after, (loaded, written), rulebook)


def read_with(path, loaded) -> LoadedSite:
    """The site in a file, with parts that were read already."""
    from coaxwright.reading.site_reader import load_site_with

    return load_site_with(path.read_text(encoding="utf-8"), loaded.file, loaded.catalogue)
