"""Schemas of the JSON that commands print: `check`, `fix`, `pair`, `limits`.

Written as entries `key: (kind, words)`: a kind is `text`, `number`, `count`, `yes`, `any`, or a record, or a list of one;
`?` behind it: it may be null. A key with a star may be absent. Keys that stand here nowhere are allowed, because keys are
added while `format` stays the same.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

Record = Mapping[str, tuple[Any, str]]

_FORMAT = ("format", "Number of this form of output, 2: under one number keys are only added.")

_SOURCE: Record = {
    "title": ("text", "Document, standard, or `common practice`."),
    "edition": ("text?", "Edition or year."),
    "clause": ("text?", "Clause, table or page."),
    "for": ("text?", "What was taken from it."),
}
_RELATED: Record = {
    "subject": ("text", "Subject path of the place."),
    "file": ("text", "The file that it stands in."),
    "pointer": ("text", "JSON Pointer (RFC 6901) into that file."),
    "line": ("count?", "Line, from 1."),
    "column": ("count?", "Column in characters, from 1."),
    "message": ("text", "What it has to do with the finding."),
}
_WORSENS: Record = {
    "rule": ("text", "Id of the rule that fails newly or worse, or is open."),
    "subject": ("text", "On which subject."),
    "level": ("text", "error, warning or note."),
    "margin_before": ("number?", "Margin before the change, a share."),
    "margin_after": ("number?", "Margin after the change, a share."),
    "missing": (["text"], "What is to be stated, where an open warning counts as a note because it only begins."),
}
_CARE: Record = {"of": ("text", "Name of the caution."), "says": ("text", "Its words.")}
_FIX: Record = {
    "title": ("text", "The change in words."),
    "patch": (["any"], "The change as RFC 6902 operations on the plain values of the site file."),
    "cost": ("number?", "What its parts cost, in the currency; negative where it saves; null: not known."),
    "currency": ("text?", "Currency of the cost, ISO 4217."),
    "clears": (["text"], "Findings that pass then, or do not apply: `rule on subject`."),
    "introduces": (["text"], "What fails then and did not, with its level."),
    "stays_open": (["text"], "What stays open in it."),
    "margin": ("number?", "Room that is left on the finding cleared, a share."),
    "hides": ("yes", "Whether the finding is gone only because its subject is no longer judged."),
    "cleared_because": (["text"], "Why a finding that is cleared does not apply any more."),
    "opens": (["text"], "What nobody can judge any more."),
    "worsens": ([_WORSENS], "What fails newly or worse, or is open."),
    "gives_up": (["text"], "Stated needs that are dropped or lowered."),
    "loses": (["text"], "What a person loses although no rule asks for it."),
    "cautions*": ([_CARE], "What can hurt somebody while the change is made, and who has to do it."),
    "up_to": ("number?", "Most metres that a new run may have, where nobody gave its length."),
}
_WAIVED: Record = {
    "reason": ("text", "Why somebody answers for it."),
    "until": ("text?", "Last day on which that holds, ISO 8601."),
    "by": ("text?", "Who answers."),
}
_FINDING: Record = {
    "rule": ("text", "Id of the rule."),
    "title": ("text", "Title of the rule."),
    "level": ("text", "error, warning or note."),
    "kind": ("text", "fail; open: something is missing; fault: the rule could not be carried out."),
    "subject": ("text", "Subject path: cameras/gate."),
    "pointer": ("text", "JSON Pointer (RFC 6901) into the site file."),
    "file": ("text", "The file that it stands in."),
    "line": ("count?", "Line, from 1."),
    "column": ("count?", "Column in characters, from 1."),
    "message": ("text", "What is wrong here, with figures and units."),
    "why": ("text", "Why it matters."),
    "working": (["text"], "Lines of the hand calculation, with units."),
    "margin": ("number?", "Room as a share of the limit; negative on a fail."),
    "values": ("any", "Named values that the judgement rests on, numbers in base units."),
    "missing": (["text"], "Document paths to supply, of an open finding."),
    "sources": ([_SOURCE], "Where the rule's claim and figures are from."),
    "caution": ("text?", "What can hurt somebody, and who has to do the work."),
    "fixes": ([_FIX], "Changes that were proven on this site, best first."),
    "could_try": (["text"], "Kinds of change that nobody has tried on this site."),
    "waived": ((_WAIVED, None), "Who answers for it; null: nobody."),
    "related": ([_RELATED], "Further places that it has to do with."),
    "cause": ("text", "Code of the cause and subject of its root: equal for findings that come from one thing."),
    "confidence": ("text", "stated, assumed or from memory: the least sure of all that it rests on."),
    "since*": ("text", "Where it was compared with what was found before: new, worse or known."),
}
_BEFORE: Record = {
    "rule": ("text", "Id of the rule."),
    "subject": ("text", "Subject path."),
    "level": ("text", "error, warning or note, as it was."),
    "kind": ("text", "fail or open, as it was."),
    "margin": ("number?", "Room as it was, a share of the limit."),
    "because": ("text", "Why it is worse, or gone; empty where only its judgement changed."),
}
_SINCE: Record = {
    "against": ("text", "What the findings are compared with."),
    "listed": ("yes", "Whether the site is in it; where it is not, all is new."),
    "new": ("count", "Findings that are new."),
    "worse": ([_BEFORE], "Findings that became worse, as they were before."),
    "gone": ([_BEFORE], "Findings of before that are not found any more."),
    "known": ("count", "Findings that are as they were, or better."),
}
_SUMMARY: Record = {
    "error": ("count", "Judgements that fail at level error."),
    "warning": ("count", "Judgements that fail at level warning."),
    "note": ("count", "Judgements that fail at level note."),
    "open": ("count", "Judgements that stay open."),
    "waived": ("count", "Judgements that somebody answers for."),
    "passed": ("count", "Judgements that pass."),
    "not_applicable": ("count", "Judgements that do not apply."),
    "fault": ("count", "Judgements that could not be carried out."),
    "judged*": ("count", "The sum of all the others."),
}
_UNREAD: Record = {
    "file": ("text", "The file."),
    "line": ("count?", "Line, from 1."),
    "column": ("count?", "Column in characters, from 1."),
    "what": ("text", "What is wrong."),
    "right": ("text", "What would be right."),
}
_ASSUMED: Record = {
    "what": ("text", "What was assumed."),
    "value": ("text", "The value, with its unit."),
    "source": ("text", "Where the value is from."),
    "count": ("count", "How often it was taken."),
}
_SITE: Record = {
    "site": ("text", "Name of the site."),
    "file": ("text", "Its file."),
    "summary": (_SUMMARY, "Counts: every judgement is in exactly one."),
    "findings": ([_FINDING], "What did not pass, in order of place."),
    "facts": ("any", "Named values by subject path, in base units (docs/rules/facts.md); `settled` of each camera."),
    "assumed": ([_ASSUMED], "Values that stood for what nobody gave."),
    "contradictions*": (["text"], "Errors within part entries that the site uses."),
    "not_used*": (["text"], "What the site file states and nothing is worked out from."),
    "since*": (_SINCE, "How the findings stand to those of before, where they were compared."),
}
_TOOL: Record = {
    "name": ("text", "coaxwright."),
    "version": ("text", "Version of the program."),
    "rulebook": ("text", "sha256 of the rules and tables that judged."),
}
CHECK: Record = {
    _FORMAT[0]: ("count", _FORMAT[1]),
    "tool": (_TOOL, "What judged."),
    "sites": ([_SITE], "The sites, in the order of the call."),
    "unread": ([_UNREAD], "Files that could not be checked; exit status 2."),
    "today*": ("text", "Day by which waivers were taken to hold, ISO 8601."),
}
_STEP: Record = {"title": ("text", "The change in words."), "patch": (["any"], "RFC 6902 operations.")}
_LEFT: Record = {
    "rule": ("text", "Id of the rule that still fails."), "subject": ("text", "On which subject."),
    "why": ("text", "Why nothing clears it."),
}  # fmt: skip
_CONFLICT: Record = {"rule": ("text", "Id of the rule."), "subject": ("text", "On which subject.")}
_DROPPED: Record = {"title": ("text", "The change in words."), "because": ("text", "What it made worse.")}
FIX: Record = {
    _FORMAT[0]: ("count", _FORMAT[1]),
    "site": ("text", "Name of the site."),
    "file": ("text", "Its file."),
    "stopped": ("text?", "That a search was stopped by time; null: it was not."),
    "findings*": ([{**_FINDING, "no_fix": ("text?", "Why no change was proven.")}], "Every finding with its changes."),
    "level*": ("text", "With --all: the least level that was to be cleared."),
    "steps*": ([_STEP], "With --all: the changes in order."),
    "patch*": (["any"], "With --all: all changes as one RFC 6902 patch."),
    "cost*": ("number?", "With --all: what the parts cost, in the currency; null: not known."),
    "currency*": ("text?", "Currency of the cost, ISO 4217."),
    "before*": (_SUMMARY, "Counts before."),
    "after*": (_SUMMARY, "Counts after."),
    "in_the_way*": ([_LEFT], "What is left, and why."),
    "trials*": ("count", "Judgements of the site that were tried."),
    "best*": ("yes", "No smaller (cheaper) set exists among the changes that were considered."),
    "optimal*": ("yes", "The same."),
    "bound*": ("number?", "Least number of changes (cost with cheapest) that any such set has; null: not known."),
    "considered*": ("count", "Changes that the sets looked at may be of."),
    "unpriced*": ("count", "With cheapest: those of them without a known price; there is no proof in money where there is one."),
    "conflict*": ([_CONFLICT], "The fewest findings that no set of them clears together, where that was shown."),
    "clears*": (["text"], "Findings that pass then, or do not apply: `rule on subject`."),
    "stays_open*": (["text"], "What stays open in them."),
    "introduces*": (["text"], "What fails then and did not."),
    "opens*": (["text"], "What nobody can judge any more."),
    "worsens*": ([_WORSENS], "What fails newly or worse, or is open."),
    "gives_up*": (["text"], "Stated needs that are dropped or lowered."),
    "loses*": (["text"], "What a person loses although no rule asks for it."),
    "dropped*": ([_DROPPED], "Changes that were taken out again, and why."),
}
_END: Record = {
    "holds": ("number?", "Last value that holds (first, of a number that fails now), in the unit; null: none found."),
    "fails": ("number?", "First value that does not, in the unit; null: all that was tried hold."),
    "rules": (["text"], "Rules that fail first: `rule on subject`."),
    "again": ("number?", "Value beyond which all holds again."),
    "opens": (["text"], "Rules that are open first."),
    "beyond": ("any", "How far it holds from there, of a number that fails now: a record like this; null: no such."),
    "stopped": ("yes", "Whether time was over before the two were a step apart."),
}
_LIMIT: Record = {
    "path": ("text", "Path of the number in the site file."),
    "name": ("text", "The number in words."),
    "unit": ("text", "Unit of all its values here."),
    "value": ("number", "The value as written, in the unit."),
    "now": ("text", "holds, fails or open."),
    "fails_now": (["text"], "Rules that fail at the value as written."),
    "open_now": (["text"], "Rules that are open there."),
    "waived_now": (["text"], "Rules that fail there and that somebody answers for."),
    "silent_now": (["text"], "Rules that are not judged there: `rule on subject, while RULE fails`."),
    "down": (_END, "Towards smaller values."),
    "up": (_END, "Towards greater values."),
}
_SMALLEST: Record = {
    "name": ("text", "What it is of."), "part": ("text", "Part id of the smallest that holds."),
    "size": ("text", "Its size, with unit."), "now": ("text", "Size of the present part, with unit."),
}  # fmt: skip
_BESIDE: Record = {
    "values": ("any", "The other values, in the order of `paths`."),
    "present": ("yes", "Whether the site file has these values now."),
    "limits": ([_LIMIT], "The ranges beside them."),
    "besides": (["text"], "What they make worse whatever the number is: rule on subject."),
    "refused": ("text?", "Why they make no site; null: they do."),
}
LIMITS: Record = {
    _FORMAT[0]: ("count", _FORMAT[1]),
    "subject": ("text", "The subject that was asked about."),
    "limits": ([_LIMIT], "Every number that the site writes for it."),
    "smallest": ([_SMALLEST], "Smallest standard sizes that hold."),
    "stopped": ("text?", "That the search was stopped by time; null: it was not."),
    "not_looked_into": (["text"], "Numbers of which nothing is told for want of time."),
    "paths*": (["text"], "With --against: paths of the other values."),
    "against*": ([_BESIDE], "With --against: the ranges beside each combination of the other values; `limits` is empty then."),
}
_SETTLED: Record = {
    "outcome": ("text?", "full, asked-down, reduced-width, needs-setting or no-picture; null: open."),
    "family": ("text?", "Signal family that both settle on."),
    "width": ("number?", "Columns of the picture, px."),
    "height": ("number?", "Lines of the picture, px."),
    "acquired_fps": ("number?", "Frames a second that arrive."),
    "recorded_fps": ("number?", "Frames a second that are recorded."),
}
_FEATURE: Record = {
    "answer": ("text", "yes, no or open."),
    "because": ("text", "Why."),
    "supply*": (["text"], "What would have to be supplied, of an open one."),
    "cause*": ("text", "Code of the cause of a no."),
}
_RATE: Record = {
    "channels": ("count", "Inputs in use."),
    "acquired_fps": ("number?", "Frames a second that arrive."),
    "recorded_fps": ("number?", "Frames a second that are recorded."),
    "limited_by": ("text?", "What limits the recorded rate."),
}
_TOLD: Record = {
    "rule": ("text", "Id of the rule."), "level": ("text", "error, warning or note."), "message": ("text", "What is wrong."),
}  # fmt: skip
_RUN: Record = {
    "part": ("text", "Part id of the cable, as asked."),
    "length": ("text?", "Length as asked, with unit."),
    "state": ("text", "holds, or what is wrong with the run."),
    "reach": ("number?", "Longest run, m."),
    "rules": (["text"], "Rules that fail on it."),
}
PAIR: Record = {
    _FORMAT[0]: ("count", _FORMAT[1]),
    "camera": ("text", "Part id of the camera."),
    "recorder": ("text", "Part id of the recorder."),
    "input": ("count", "The input that is told of, from 1."),
    "verdict": ("text", "The answer in one paragraph."),
    "settled": (_SETTLED, "What the picture comes to."),
    "because": ("text?", "Why it comes to that."),
    "lost": ("text?", "What of the camera is lost."),
    "cable": ((_RUN, None), "The run that was asked about; null: none was."),
    "rates": ({"one": (_RATE, "With this input alone."), "all": (_RATE, "With all inputs in use.")}, "Frames a second."),
    "sound": (_FEATURE, "Sound over the coax."),
    "control": (_FEATURE, "Control over the coax."),
    "firmware": (_FEATURE, "New firmware over the coax."),
    "sorted_motion": (_FEATURE, "Movement sorted into kinds."),
    "line_sound": (_FEATURE, "Sound over a line of its own."),
    "inputs": ("any", "On how many inputs of the recorder each works; null: all are alike."),
    "conditions": (["text"], "What would change the answer."),
    "by_hand": (["any"], "The same as records: how to switch the camera, and what comes of it."),
    "reach": (["any"], "Longest runs by cable: `metres` (m), `top_frequency` (Hz), what is `lacking`."),
    "power": ("any", "What the camera takes: V, W and A, by day and by night."),
    "own_maker": ("any", "What a recorder of the camera's own maker would do otherwise; null: nothing to tell."),
    "other_inputs": ("any", "Outcome by span of inputs that behave otherwise."),
    "other_inputs_told": (["text"], "The same in words."),
    "parts": (["any"], "Both parts as sold: price, currency, prices by quantity, warranty, retired."),
    "contradictions": (["text"], "Errors within the part entries."),
    "findings": ([_TOLD], "Rules that fail of what was asked."),
    "remarks": ([_TOLD], "Rules that fail of what nobody asked for."),
    "open": (["text"], "What would have to be supplied."),
    "not_judged": ("text", "What a pair does not tell of a site."),
    "cautions": (["text"], "What can hurt somebody."),
    "sources": (["text"], "Where the claims are from."),
    "reference*": ("any", "What the answer was given by: a short name of it, date, version, digests of rules and parts."),
}
OUTPUTS = {
    "check-output": (CHECK, "JSON of coaxwright check"),
    "fix-output": (FIX, "JSON of coaxwright fix"),
    "limits-output": (LIMITS, "JSON of coaxwright limits"),
    "pair-output": (PAIR, "JSON of coaxwright pair for one camera and one recorder"),
}
_TYPES = {"text": "string", "number": "number", "count": "integer", "yes": "boolean"}


def output_schema(name: str, dialect: str) -> dict[str, Any]:
    """The schema of the JSON of a command; KeyError for a name that is not in OUTPUTS."""
    record, title = OUTPUTS[name]
    made = _record(record)
    made["properties"]["format"]["const"] = 2
    return {"$schema": dialect, "$id": f"{name}.schema.json", "title": title, **made}


def _record(record: Record) -> dict[str, Any]:
    properties = {key.rstrip("*"): {**_kind(kind), "description": words} for key, (kind, words) in record.items()}
    return {"type": "object", "required": [key for key in record if not key.endswith("*")], "properties": properties}


def _kind(kind: dict[str, Any] | list[Any] | str | tuple[Any, ...]) -> dict[str, Any]:
    if isinstance(kind, list):
        return {"type": "array", "items": _kind(kind[0])}
    if isinstance(kind, tuple):
        made = _record(kind[0])
        return {**made, "type": ["object", "null"]}
    if isinstance(kind, Mapping):
        return _record(kind)
    plain = _TYPES.get(kind.rstrip("?"))
    if plain is None:
        return {}
    return {"type": [plain, "null"] if kind.endswith("?") else plain}
