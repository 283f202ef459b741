"""Words that several formats share: places, margins, counts, and what to do next."""

from __future__ import annotations

from collections.abc import Sequence

from coaxwright.findings import Assumed, Finding, Fix, NewsSummary, Report, SiteReport, Summary, Worsened
from coaxwright.reporting import ordering
from coaxwright.show.painter import visible
from coaxwright.show.tree import Code, Run


def place(finding: Finding) -> str:
    """File, line and column in words; the file alone when the place is not known."""
    file = visible(finding.file)
    if finding.span is None:
        return file
    return f"{file}, line {finding.span.line}, column {finding.span.column}"


def margin(value: float | None) -> str:
    """A margin, a share of the limit, in words: `short by 7 %`, `7 % to spare`, or nothing when not known."""
    if value is None or value != value or value in (float("inf"), float("-inf")):
        return ""
    share = _percent(abs(value))
    if value < 0:
        return f"short by {share}"
    return f"{share} to spare" if value > 0 else "exactly on the limit"


def _percent(share: float) -> str:
    """Two significant digits at least, and never `0 %` for what is not nothing."""
    percent = share * 100
    digits = 0 if percent >= 10 else 1 if percent >= 1 else 2
    shown = f"{percent:.{digits}f}"
    return f"{shown} %" if float(shown) else "less than 0.01 %"


def counts(summary: Summary) -> str:
    """All outcomes in one sentence, nothing left out even when it is none."""
    fails = ", ".join(_many(getattr(summary, level), level) for level in ("error", "warning", "note"))
    parts = [fails, f"{summary.open} open", f"{summary.waived} waived", f"{summary.passed} passed"]
    parts.append(f"{summary.not_applicable} not applicable")
    if summary.fault:
        parts.append(f"{_many(summary.fault, 'fault')} in rules")
    if isinstance(summary, NewsSummary):
        parts.append(f"{summary.known} known before")
    return "; ".join([parts[0], ", ".join(parts[1:])]) + f" ({_many(summary.judged, 'judgement')})"


def judged_as_of(report: Report) -> str:
    """The day by which waivers were judged, as a sentence with a space before it; empty where nobody said."""
    return f" Judged as of {report.today}." if report.today else ""


def _many(number: int, word: str) -> str:
    return f"{number} {word}" if number == 1 else f"{number} {word}s"


def next_step(report: Report) -> str:
    """The one thing worth doing next."""
    if report.unread:
        return "mend what could not be read, then check again"
    summary = ordering.total(site.summary for site in report.sites)
    if summary.fault:
        return "a rule is broken: `coaxwright rules test` says which"
    groups = ordering.by_rule(each for site in report.sites for each in ordering.failed(site))
    if groups and groups[0][0].level != "note":
        return f"`coaxwright explain {groups[0][0].rule}` tells why that rule exists"
    if summary.open:
        return "supply what is listed as open, then check again"
    known = " among what is new" if isinstance(summary, NewsSummary) else ""
    return f"nothing to mend{known} under these rules"


def since(site: SiteReport) -> list[str]:
    """What became worse and what is gone since a site was judged before, a line each; nothing where nothing was compared."""
    if site.since is None:
        return []
    lines = [] if site.since.listed else ["the site is not in it: all is new"]
    lines += [f"worse: {rule} on {subject}: {why}" for (rule, subject), (_, why) in site.since.worse.items()]
    lines += [f"gone: {was.rule} on {was.subject}{f' ({why})' if why else ''}" for was, why in site.since.gone]
    numbers = {"new": site.since.new, "worse": site.since.worse, "gone": site.since.gone, "known before": site.since.same}
    return [", ".join(f"{len(each)} {word}" for word, each in numbers.items()), *lines]


def runs(told: str) -> tuple[Run, ...]:
    """A sentence of ours, with commands in backticks, as a document takes it."""
    return tuple(Code(each) if place % 2 else each for place, each in enumerate(told.split("`")))


def fix_lines(finding: Finding) -> list[tuple[str, list[str]]]:
    """Headed lists of changes: proven ones with what they bring, then kinds that nobody has tried here."""
    proven = [_proven(fix) for fix in finding.fixes if fix.proven]
    declared = [visible(fix.title) for fix in finding.fixes if not fix.proven]
    headed = [("mends it", proven), ("could be tried (not yet proven on this site)", declared)]
    return [(head, lines) for head, lines in headed if lines]


def _proven(fix: Fix) -> str:
    notes = change_notes(fix)
    if fix.cost is not None:
        notes.append(f"costs {fix.cost:g} {fix.currency or ''}".rstrip())
    return visible(fix.title + (f" ({'; '.join(notes)})" if notes else ""))


def change_notes(fix: Fix, most: int = 0) -> list[str]:
    """What a proven change does, beginning with what it gives up; lists are cut at `most` where that is given.

    Money and the room that is left are told apart.
    """
    worse = [worse_words(each) for each in fix.worsens]
    needless = [str(each) for each in fix.harms if each.how == "needless"]
    broken = [each for each in fix.introduces if each not in needless]
    told = [
        ("gives up", fix.gives_up or (("the need",) if fix.hides else ())),
        ("clears", [_cleared(each, fix) for each in fix.clears]),
        ("newly breaks", broken),
        ("makes worse", worse),
        ("newly open", [_opened(each) for each in fix.harms if each.how == "open"]),
        ("loses", fix.loses),
        ("needless then", needless),
        ("with care:", [care.name for care in fix.cautions]),
    ]
    return [f"{word} {_cut(names, most)}" for word, names in told if names]


def _opened(open_then: Worsened) -> str:
    """What nobody can judge then; with what is to be stated, where the change did not make it unknown."""
    unstated = f"; nobody states {' or '.join(open_then.missing)}" if open_then.missing else ""
    return f"{open_then.rule} on {open_then.subject} ({open_then.level}{unstated})"


def worse_words(worse: Worsened) -> str:
    """A finding that fails worse, with its level and the room on both sides."""
    room = [margin(each) for each in (worse.margin_before, worse.margin_after)]
    told = f"; {room[0]} before, {room[1]} then" if all(room) else ""
    return f"{worse.rule} on {worse.subject} ({worse.level}{told})"


def _cleared(finding: str, fix: Fix) -> str:
    """A finding that is cleared, with the reason where it does not apply any more."""
    reason = next((each for each in fix.cleared_because if each.startswith(f"{finding}: ")), "")
    return f"{finding} ({reason.removeprefix(f'{finding}: ')})" if reason else finding



def _cut(names: Sequence[str], most: int) -> str:
    more = len(names) - most if most else 0
    return ", ".join(names[:most] if most else names) + (f" and {more} more" if more > 0 else "")


def assumption(assumed: Assumed) -> str:
    """One assumed value with its source and how often it stood in."""
    often = f", {assumed.count} times" if assumed.count > 1 else ""
    what = assumed.what.rstrip(".")
    return visible(f"{what}: {assumed.value} ({assumed.source}{often})")


def waiver(finding: Finding) -> str:
    """The reason of a waiver, who gave it and how long it holds."""
    if finding.waived is None:
        return ""
    extra = [f"by {finding.waived.by}"] if finding.waived.by else []
    extra += [f"until {finding.waived.until}"] if finding.waived.until else []
    return visible(finding.waived.reason + (f" ({', '.join(extra)})" if extra else ""))


def supply(missing: Sequence[str]) -> str:
    """What has to be supplied, in words."""
    return visible(", ".join(missing)) if missing else "what the message names"
