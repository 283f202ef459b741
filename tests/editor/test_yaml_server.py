"""Our files and schemas in the language server for YAML that most editors use (from npm, for tests only).

It has nothing to say of any file of ours, and finds planted mistakes at their lines in words that tell what is right.
The server is somebody else's program: what it says is the check.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from tests.editor import name_schemas
from tests.editor.client import Client

ROOT = Path(__file__).resolve().parents[2]
FOLDER = Path(os.environ.get("COAXWRIGHT_CLIENTS") or ROOT / ".venv" / "clients")
SERVER = FOLDER / "node_modules" / ".bin" / "yaml-language-server"
FULL = os.environ.get("COAXWRIGHT_FULL") == "1"
REAL = pytest.mark.real("yaml-language-server (npm)")
FILES = sorted([*ROOT.glob("rules/**/*.yaml"), *ROOT.glob("examples/**/*.yaml")])
SETTINGS = {"yaml": {"validate": True, "schemaStore": {"enable": False}, "yamlVersion": "1.2", "hover": True}}


@pytest.fixture(scope="module")
def client() -> Iterator[Client]:
    if not SERVER.exists():
        pytest.skip("yaml-language-server (npm) is not there: COAXWRIGHT_CLIENTS names the folder that it is installed in")
    with Client([str(SERVER), "--stdio"], ROOT, SETTINGS) as made:
        yield made


def _schema(path: Path) -> str:
    text = path.read_text(encoding="utf-8")
    lines = [line for line in text.splitlines() if line.startswith(name_schemas.MARK)]
    assert len(lines) == 1, f"{path.relative_to(ROOT)} names {len(lines)} schemas"
    target = (path.parent / lines[0].partition("$schema=")[2]).resolve()
    assert target.exists(), f"{path.relative_to(ROOT)} names {target}, which is not there"
    assert target.name == f"{name_schemas.schema_of(path)}.schema.json"
    return target.name


def test_every_file_names_its_schema() -> None:
    """Run `python -m tests.editor.name_schemas` after adding a file."""
    assert len(FILES) > 500
    assert len({_schema(path) for path in FILES}) >= 14


def _chosen() -> list[Path]:
    """All in the long form; else one of each schema."""
    return FILES if FULL else list({_schema(path): path for path in FILES}.values())


@REAL
def test_no_file_of_ours_is_found_fault_with(client: Client) -> None:
    said = {}
    for path in _chosen():
        uri = client.open(path)
        if client.told(uri):
            said[str(path.relative_to(ROOT))] = [each["message"] for each in client.told(uri)]
        client.tell("textDocument/didClose", {"textDocument": {"uri": uri}})
    assert said == {}


SITE = """# yaml-language-server: $schema=SCHEMAS/site.schema.json
site: Reed Quay
video_rate: 25
retention: 10 days
recorders:
  rec1:
    part: maker-a/recorder-8
    disks: [maker-c/disk-4tb]
    record: {codec: h265, schedule: continuous}
supplies:
  psu1:
    part: maker-c/supply-5a
    trim: 12 V
cameras:
  c1:
    part: maker-a/turret-5
    set: {family: tvi, mode: 2592x1944@12.5}
    video: {into: rec1/1, over: [{cable: video-6mm, length: 40 m}]}
    power: {from: psu1/1, over: [{cable: power-1.5mm2, length: 40 m}]}
    wants: {night: true}
waivers:
  - {rule: power/undervoltage, on: cameras/c1, reason: measured, until: 2027-01-01}
"""
PARTS = """# yaml-language-server: $schema=SCHEMAS/parts.schema.json
currency: EUR
parts:
  fennick/turret-5:
    kind: camera
    source: invented
    title: 5 MP turret
    emits: [{family: tvi, mode: 2592x1944@20}]
    power: {volts: 12 V, watts_day: 4 W, watts_night: 8 W}
    housing: {rated: outdoor, ip: IP66, ik: IK10}
  fennick/line-6:
    kind: cable
    source: invented
    title: coax
    carries: [coax]
"""
RULE = """# yaml-language-server: $schema=SCHEMAS/rule.schema.json
id: power/example-rule
title: An example
level: warning
consequence: no-power
about: feed
require: feed.volts_night > 10
says: "too little"
why: Because.
sources: [{title: common practice, for: the figure}]
fixes: [{do: example, says: words}]
since: "0.1"
"""
PATTERN = """# yaml-language-server: $schema=SCHEMAS/pattern.schema.json
id: power/example
title: An example
kind: numeric
level: apply
about: feed
ask: How much?
answer: feed.volts_night
shows: [models]
sources: [{title: by hand, for: an example}]
"""
CASES = """# yaml-language-server: $schema=SCHEMAS/cases.schema.json
cases:
  - name: one
    base: small
    site: {}
    passes: [cameras/c1]
"""
PLANTED = [  # the text that is changed, what stands there then, words of the message
    (SITE, "site: Reed", "sit: Reed", "sit"),
    (SITE, "video_rate: 25", "video_rate: 24", "25"),
    (SITE, "retention: 10 days", "retention: 10", "type"),
    (SITE, "retention: 10 days", "retention: 10 lightyears", "a time in days with its unit; units: days"),
    (SITE, "trim: 12 V", "trim: 12 A", "a voltage with its unit; units: V"),
    (SITE, "trim: 12 V", "trim: 12", "type"),
    (SITE, "trim: 12 V", "trimm: 12 V", "trimm"),
    (SITE, "codec: h265", "codec: h266", "h265"),
    (SITE, "schedule: continuous", "schedule: always", "continuous"),
    (SITE, "part: maker-a/turret-5", "part: Maker A Turret", "a part id"),
    (SITE, "family: tvi", "family: tvx", "tvi"),
    (SITE, "mode: 2592x1944@12.5", "mode: 2592x1944", "columns x lines @ frames a second"),
    (SITE, "length: 40 m}]}\n    power", "length: 40 mm2}]}\n    power", "a length with its unit; units: m"),
    (SITE, "length: 40 m}]}\n    power", "length: 40}]}\n    power", "type"),
    (SITE, "into: rec1/1, ", "", "into"),
    (SITE, "night: true", "night: 7", "boolean"),
    (SITE, "reason: measured, ", "", "reason"),
    (SITE, "  c1:\n    part", "  c 1:\n    part", "does not match"),
    (SITE, "disks: [maker-c/disk-4tb]", "disks: maker-c/disk-4tb", "array"),
    (PARTS, "currency: EUR", "currency: euro", "ISO 4217"),
    (PARTS, "kind: camera", "kind: camra", "camera"),
    (PARTS, "ip: IP66", "ip: 66", "type"),
    (PARTS, "ip: IP66", "ip: IP6", "IEC 60529"),
    (PARTS, "watts_day: 4 W", "watts_day: 4 V", "a power with its unit; units: W"),
    (PARTS, "watts_day: 4 W", "wats_day: 4 W", "wats_day"),
    (PARTS, "carries: [coax]", "carries: [coaxial]", "coax"),
    (RULE, "level: warning", "level: fatal", "warning"),
    (RULE, "id: power/example-rule", "id: Example", "a rule id"),
    (RULE, "why: Because.\n", "", "why"),
    (PATTERN, "kind: numeric", "kind: guess", "numeric"),
    (PATTERN, "shows: [models]\n", "", "shows"),
    (CASES, "passes: [cameras/c1]", "passes: cameras/c1", "array"),
    (CASES, "name: one\n    ", "nam: one\n    ", "nam"),
]


@REAL
@pytest.mark.parametrize("text", [SITE, PARTS, RULE, PATTERN, CASES], ids=["site", "parts", "rule", "pattern", "cases"])
def test_the_unspoiled_text_is_fine(client: Client, text: str, tmp_path: Path) -> None:
    path = tmp_path / "plain.yaml"
    said = client.told(client.open(path, text.replace("SCHEMAS", (ROOT / "schemas").as_uri())))
    assert [each["message"] for each in said] == []


@REAL
@pytest.mark.parametrize(("text", "was", "now", "says"), PLANTED, ids=[f"{was[:20]}>{now[:20]}" for _, was, now, _ in PLANTED])
def test_a_planted_mistake_is_found(client: Client, text: str, was: str, now: str, says: str, tmp_path: Path) -> None:
    assert text.count(was) == 1
    planted = text.replace(was, now)
    path = tmp_path / "planted.yaml"
    said = client.told(client.open(path, planted.replace("SCHEMAS", (ROOT / "schemas").as_uri())))
    line = text[: text.index(was)].count("\n")
    near = [each for each in said if each["range"]["start"]["line"] in (line - 1, line, line + 1)]
    missing = [each for each in said if "issing" in each["message"]]
    told = [(each["range"]["start"], each["message"]) for each in said]
    assert any(says in each["message"] for each in (near or missing)), told


@REAL
def test_hover_tells_words_and_units(client: Client, tmp_path: Path) -> None:
    path = tmp_path / "hover.yaml"
    uri = client.open(path, SITE.replace("SCHEMAS", (ROOT / "schemas").as_uri()))
    client.told(uri)
    for word, says in (("recorders:", "Recorders by name"), ("into:", "Device and port"), ("schedule:", "When it is recorded")):
        before = SITE[: SITE.index(word)]
        place = {"line": before.count("\n"), "character": len(before) - before.rfind("\n") - 1}
        shown = client.ask("textDocument/hover", {"textDocument": {"uri": uri}, "position": place})
        assert says in str(shown), (word, shown)
