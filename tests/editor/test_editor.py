"""The language server over real LSP: a client of its own, texts that nobody saved, a broken one in between.

The protocol is the specification's (3.17); what findings, figures and changes have to be is what the commands say.
"""

from __future__ import annotations

import datetime
import shutil
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from tests.editor.client import Client

from coaxwright import check, load_text

pytest.importorskip("pygls")
ROOT = Path(__file__).resolve().parents[2]
COMMAND = [sys.executable, "-m", "coaxwright", "editor", "--today", "2026-11-30"]


@pytest.fixture(scope="module")
def press(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("editor") / "press"
    shutil.copytree(ROOT / "examples" / "cider-press", folder)
    return folder / "quill-orchard.site.yaml"


@pytest.fixture(scope="module")
def client(press: Path) -> Iterator[Client]:
    with Client(COMMAND, press.parent) as made:
        yield made


def _place(text: str, words: str, more: int = 0) -> dict[str, int]:
    """The editor's place of some words of a text, and so many characters on."""
    assert text.count(words) == 1, words
    start = text.index(words) + more
    line = text[text.rfind("\n", 0, start) + 1 : start]
    return {"line": text.count("\n", 0, start), "character": len(line.encode("utf-16-le")) // 2}


def _applied(text: str, edits: list[dict[str, Any]]) -> str:
    """The text after edits of an editor, by our own arithmetic of UTF-16 places."""

    def offset(place: dict[str, int]) -> int:
        lines = text.split("\n")
        before = sum(len(line) + 1 for line in lines[: place["line"]])
        return before + len(lines[place["line"]].encode("utf-16-le")[: place["character"] * 2].decode("utf-16-le"))

    for edit in sorted(edits, key=lambda each: -offset(each["range"]["start"])):
        start, end = offset(edit["range"]["start"]), offset(edit["range"]["end"])
        text = text[:start] + edit["newText"] + text[end:]
    return text


def _ask(client: Client, what: str, uri: str, place: dict[str, int], **more: Any) -> Any:
    return client.ask(f"textDocument/{what}", {"textDocument": {"uri": uri}, "position": place, **more})


def test_findings_stand_where_check_has_them(client: Client, press: Path) -> None:
    said = client.told(client.open(press))
    report = check(press, today=datetime.date(2026, 11, 30))
    expected = sorted((each.rule, each.span.line - 1) for each in report.findings if each.span and not each.waived)
    assert sorted((each["code"], each["range"]["start"]["line"]) for each in said) == expected
    assert {each["severity"] for each in said} == {1, 2, 3}
    assert any(each.get("relatedInformation") for each in said)


def test_what_is_typed_is_judged_and_a_broken_text_keeps_the_last_verdict(client: Client, press: Path) -> None:
    """Nothing is saved: the file on disk stays as it was."""
    text = press.read_text(encoding="utf-8")
    uri = client.open(press)
    before = {(each["code"], each["message"]) for each in client.told(uri)}
    longer = text.replace("length: 70 m, setting: sheltered", "length: 71 m, setting: sheltered")
    assert longer != text
    client.change(uri, longer, 2)
    after = {(each["code"], each["message"]) for each in client.told(uri)}
    assert before != after
    client.change(uri, text.replace("cameras:", "cameras: [", 1), 3)
    broken = client.told(uri)
    assert broken
    assert all(each["severity"] == 1 and "code" not in each for each in broken)
    name = next(line for line in text.splitlines() if line.startswith("cameras:"))
    assert name
    client.change(uri, text, 4)
    assert {(each["code"], each["message"]) for each in client.told(uri)} == before
    assert press.read_text(encoding="utf-8") == text


def test_completion_while_the_text_is_broken(client: Client, press: Path) -> None:
    """A camera that is being typed: part, then cable, port, mode, unit and key, in a text that nobody can read."""
    text = press.read_text(encoding="utf-8")
    uri = client.open(press)
    client.told(uri)
    for number, (typed, wanted, detail) in enumerate(
        [
            ("  new:\n    part: ", "brackwater/dome-2", ""),
            ("  new:\n    video: {into: press/1, over: [{cable: rg59", "rg59-copper", ""),
            ("  new:\n    video: {into: ", "press/1", ""),
            ("  new:\n    video: {into: press/1, over: [{cable: rg59-copper, length: 85 ", "85 m", "length"),
            ("  new:\n    wants: {ni", "night: ", "Sight by night"),
            ("  new:\n    wa", "wants: ", "asked of it"),
        ],
        2,
    ):
        begun = text.replace("cameras:\n", f"cameras:\n{typed}", 1)
        assert begun != text
        client.change(uri, begun, number)
        client.told(uri)
        line = text[: text.index("cameras:\n")].count("\n") + typed.count("\n") + 1
        place = {"line": line, "character": len(typed.rpartition("\n")[2])}
        # what follows on that line is the first camera's own line: the cursor stands before it
        found = {each["label"]: each for each in _ask(client, "completion", uri, place)}
        assert wanted in found, (typed, list(found)[:20])
        assert detail.lower() in (found[wanted].get("detail") or "").lower()


def test_rules_are_completed_in_waivers(client: Client, press: Path) -> None:
    text = press.read_text(encoding="utf-8") + "\n"
    uri = client.open(press)
    client.told(uri)
    typed = "  - {rule: power/under"
    begun = text.replace("waivers:\n", f"waivers:\n{typed}", 1) if "waivers:\n" in text else f"{text}waivers:\n{typed}"
    client.change(uri, begun, 2)
    client.told(uri)
    place = _place(begun, typed, len(typed))
    found = {each["label"]: each for each in _ask(client, "completion", uri, place)}
    assert "power/undervoltage" in found
    assert found["power/undervoltage"]["detail"]


def test_hover_tells_values_with_workings_and_words(client: Client, press: Path) -> None:
    """The volts at the camera `yard` after dark are those that `check` has under facts."""
    text = press.read_text(encoding="utf-8")
    uri = client.open(press)
    client.told(uri)
    facts = check(press).facts["cameras/yard"]
    entry = _ask(client, "hover", uri, _place(text, "\n  yard:", 4))["contents"]["value"]
    assert f"volts_night: {facts['volts_night']:.4g} V" in entry
    start = text.index("\n  yard:")
    power = text.index("power: {", start)
    line = text.count("\n", 0, power)
    shown = _ask(client, "hover", uri, {"line": line, "character": power - text.rfind("\n", 0, power) + 1})["contents"]["value"]
    assert "volts_night" in shown
    assert "```" in shown, "with its working"
    units = _ask(client, "hover", uri, {"line": line, "character": text.index("length:", power) - text.rfind("\n", 0, power)})
    assert "Units: m, " in units["contents"]["value"]


def test_definition_of_part_device_and_rule(client: Client, press: Path) -> None:
    text = press.read_text(encoding="utf-8")
    uri = client.open(press)
    client.told(uri)
    part = next(line for line in text.splitlines() if line.strip().startswith("part: brackwater") or "part: brackwater" in line)
    start = text.index(part) + part.index("brackwater") + 3
    place = {"line": text.count("\n", 0, start), "character": start - text.rfind("\n", 0, start) - 1}
    found = _ask(client, "definition", uri, place)
    file = press.parent / "parts" / "makers.yaml"
    assert found["uri"] == file.as_uri()
    name = part.partition("brackwater/")[2].split(",")[0].split("}")[0].strip()
    assert f"brackwater/{name}" in file.read_text(encoding="utf-8").splitlines()[found["range"]["start"]["line"]]
    port = text.index("from: box1/1") + len("from: b")
    place = {"line": text.count("\n", 0, port), "character": port - text.rfind("\n", 0, port) - 1}
    found = _ask(client, "definition", uri, place)
    assert found["uri"] == uri
    assert text.splitlines()[found["range"]["start"]["line"]].strip().startswith("box1:")


def test_rename_of_a_camera_is_one_edit_that_keeps_the_verdict(client: Client, press: Path) -> None:
    text = press.read_text(encoding="utf-8")
    uri = client.open(press)
    client.told(uri)
    edit = _ask(client, "rename", uri, _place(text, "\n  yard:", 4), newName="court")
    after = _applied(text, edit["changes"][uri])
    assert "\n  court:" in after
    assert "\n  yard:" not in after
    old, new = check(press), check(load_text(after, folder=press.parent))
    assert old.summary == new.summary
    assert _ask(client, "rename", uri, _place(text, "\n  yard:", 4), newName="no name!") is None


def test_a_code_action_is_proven_and_clears_its_finding(client: Client, press: Path) -> None:
    text = press.read_text(encoding="utf-8")
    uri = client.open(press)
    said = [each for each in client.told(uri) if each["severity"] == 1]
    offered = 0
    for diagnostic in said[:4]:
        ask = {"textDocument": {"uri": uri}, "range": diagnostic["range"], "context": {"diagnostics": [diagnostic]}}
        for action in client.ask("textDocument/codeAction", ask):
            offered += 1
            after = check(load_text(_applied(text, action["edit"]["changes"][uri]), folder=press.parent))
            about = (diagnostic["code"], diagnostic["data"]["subject"])
            assert about not in {each.key for each in after.failed()}, action["title"]
    assert offered


def test_hints_only_where_they_are_asked_for(press: Path) -> None:
    class Asking(Client):
        def ask(self, method: str, params: Any) -> Any:
            if method == "initialize":
                params = {**params, "initializationOptions": {"hints": True}}
            return super().ask(method, params)

    text = press.read_text(encoding="utf-8")
    whole = {"start": {"line": 0, "character": 0}, "end": {"line": text.count("\n"), "character": 0}}
    for kind, wanted in ((Asking, True), (Client, False)):
        with kind(COMMAND, press.parent) as client:
            uri = client.open(press)
            client.told(uri)
            found = client.ask("textDocument/inlayHint", {"textDocument": {"uri": uri}, "range": whole})
            assert bool(found) is wanted
            if wanted:
                volts = check(press).facts["cameras/yard"]["volts_night"]
                assert any(f"{volts:.4g} V at night" in each["label"] for each in found)


@pytest.mark.parametrize(
    ("name", "text", "line"),
    [
        ("parts/bad.yaml", "parts:\n  a/b:\n    kind: camera\n    title: x\n    source: y\n    colour: red\n", 5),
        ("rules/bad.yaml", "require: feed.volts_night > 10\nsays: x\nlevel: fatal\n", 2),
        ("questions/bad.yaml", "id: power/x\ntitle: x\nask: How much?\nkind: guess\n", 3),
        ("cases/bad.cases.yaml", "cases:\n  - name: one\n    bases: small\n", 2),
    ],
)
def test_other_files_are_looked_at_too(client: Client, press: Path, name: str, text: str, line: int) -> None:
    said = client.told(client.open(press.parent / name, text))
    assert any(each["range"]["start"]["line"] == line for each in said), said


def test_a_file_that_is_not_ours_is_left_alone(client: Client, press: Path) -> None:
    assert client.told(client.open(press.parent / "other.yaml", "services: {web: {image: x}}\n")) == []


def test_a_place_behind_signs_outside_the_basic_plane(client: Client, press: Path) -> None:
    """UTF-16 (the protocol's default): one sign of the astral planes counts two."""
    text = press.read_text(encoding="utf-8").replace("\n  yard:", "\n  # \U0001f4f7 court\n  yard:", 1)
    uri = client.open(press, text.replace("{from: box1/1,", '{  from: "box1/1", ', 1).replace("70 m", "70 \U0001f4f7", 1))
    said = client.told(uri)
    assert said
    lines = text.splitlines()
    assert all(each["range"]["end"]["line"] <= len(lines) for each in said)
