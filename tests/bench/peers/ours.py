"""The five rules in this project's language: checked and compiled once, judged by the code that judges a site.

Sheets of the real kinds are made from the rows, as binding makes them of a site, holding only what the rules read.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

from coaxwright.facts.sheets import SHEETS, Camera, Feed, Input, Link, Output, Recorder, Site
from coaxwright.rulebook.judging import judge_rule
from coaxwright.rulebook.library import LoadedRule
from coaxwright.rulebook.rule_checks import check_rule_files
from coaxwright.rulebook.rule_files import RuleFile
from peers.hand import Broken
from peers.rows import Rows

TEXT = """\
id: bench/{name}
title: A rule of the benchmark
level: error
about: {about}
when: "{when}"
require: "{require}"
says: It does not hold.
why: Because.
sources: [{{title: common practice, for: nothing but this benchmark}}]
since: "0.1"
"""
LIMITS = """\
limits:
  frame: {value: 1 fps, source: common practice, about: the unit}
  pixel: {value: 1 px/s, source: common practice, about: the unit}
"""
RULES = {
    "loss": (
        "link",
        "link.input.exists && link.outcome != 'no-picture' && link.outcome != 'needs-setting'",
        "link.loss <= link.loss_limit",
    ),
    "shared": ("input", "input.exists", "size(input.cameras) <= 1"),
    "encode": (
        "recorder",
        "true",
        "sum(recorder.links.map(link, double(link.pixels) * link.acquired_fps)) / limit.frame"
        " <= recorder.encode_total / limit.pixel",
    ),
    "output": (
        "output",
        "output.exists && !output.feeds.exists(feed, has(feed.collapsed) && feed.collapsed)",
        "sum(output.feeds.map(feed, feed.amps_night)) <= output.amps_max",
    ),
    "picture": (
        "link",
        "link.input.exists && link.emits_set_mode && (!has(link.family_taken) || link.family_taken)",
        "link.outcome != 'no-picture'",
    ),
}


def _rule(name: str) -> LoadedRule:
    about, when, require = RULES[name]
    text = TEXT.format(name=name, about=about, when=when, require=require) + (LIMITS if "limit." in require else "")
    file = RuleFile(Path(f"{name}.yaml"), f"rules/{name}.yaml", (f"bench/{name}",), text.encode(), None)
    return LoadedRule(check_rule_files([file])[0])


class Sheets:
    """Sheets by kind."""

    def __init__(self) -> None:
        self.kinds: dict[str, list[Any]] = {kind: [] for kind in SHEETS}

    def by_kind(self, kind: str) -> list[Any]:
        """The sheets of one kind."""
        return self.kinds[kind]


class Ours:
    """This project's rulebook."""

    name = "coaxwright"
    package = ""
    includes = "one sheet a row, joined by references; three outcomes (a value not known is told, not passed)"

    def __init__(self) -> None:
        self.rules = {name: _rule(name) for name in RULES}

    def load(self, rows: Rows) -> Sheets:
        """Sheets of all rows."""
        made = Sheets()
        kinds = made.kinds
        kinds["site"] = [Site()]
        inputs = {row[0]: _input(*row) for row in rows.inputs}
        recorders = {row[0]: _recorder(*row) for row in rows.recorders}
        outputs = {row[0]: _output(*row) for row in rows.outputs}
        kinds["link"] = [_link(row, inputs, recorders) for row in rows.links]
        kinds["feed"] = [_feed(row, outputs) for row in rows.feeds]
        kinds["input"], kinds["recorder"], kinds["output"] = (list(each.values()) for each in (inputs, recorders, outputs))
        return made

    def judge(self, made: Sheets) -> Broken:
        """What breaks each rule."""
        verdicts = {name: judge_rule(rule, made) for name, rule in self.rules.items()}
        return {name: [each.subject.subject for each in verdict.of("fail")] for name, verdict in verdicts.items()}


def _input(subject: str, exists: bool) -> Input:
    input_ = Input()
    input_.subject, input_.exists, input_.cameras = subject, exists, []
    return input_


def _recorder(subject: str, encode_total: float) -> Recorder:
    recorder = Recorder()
    recorder.subject, recorder.encode_total, recorder.links = subject, encode_total, []
    return recorder


def _output(subject: str, exists: bool, amps_max: float) -> Output:
    output = Output()
    output.subject, output.exists, output.amps_max, output.feeds = subject, exists, amps_max, []
    return output


def _link(row: Any, inputs: dict[str, Any], recorders: dict[str, Any]) -> Link:
    link, camera = Link(), Camera()
    (
        link.subject, input_, recorder, link.outcome, link.emits_set_mode, link.family_taken,
        link.loss, link.loss_limit, link.pixels, link.acquired_fps,
    ) = row  # fmt: skip
    camera.subject = link.subject
    link.camera = camera
    link.input = joined = inputs[input_]
    joined.cameras.append(camera)
    link.recorder = taken = recorders[recorder]
    taken.links.append(link)
    return link


def _feed(row: Any, outputs: dict[str, Any]) -> Feed:
    feed = Feed()
    feed.subject, output, feed.amps_night, feed.collapsed = row
    feed.output = source = outputs[output]
    source.feeds.append(feed)
    return feed
