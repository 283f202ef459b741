"""Packages in real clients of other people: every option chosen, every number entered at the ends of what counts.

Clients come from npm (`.ci/run` installs them below .venv/clients; COAXWRIGHT_CLIENTS names another folder): a player of
QTI 3.0 items for browsers, a converter from QTI 2.1 to 3.0, a parser of GIFT. Keys are those of the JSON key.
"""

from __future__ import annotations

import functools
import http.server
import io
import json
import math
import os
import shutil
import subprocess
import threading
import zipfile
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest

from coaxwright.quiz.bank import Bank
from coaxwright.quiz.formats import gift, qti
from coaxwright.quiz.items import Item
from coaxwright.quiz.papers import Paper
from coaxwright.quiz.printed import key_data, sheet_of

ROOT = Path(__file__).parents[2]
CLIENTS = Path(os.environ.get("COAXWRIGHT_CLIENTS", ROOT / ".venv" / "clients")) / "node_modules"
PLAYER = "@citolab/qti-components/cdn/index.global.js"
CONVERTER = "@citolab/qti-convert/dist/qti-convert-pkg.mjs"
NUMBERS = 3
"""Patterns with a number to be entered that are played besides one pattern of every kind."""


def client(name: str) -> Path:
    path = CLIENTS / name
    if not path.exists():
        pytest.skip(f"no {name.split('/dist')[0].split('/cdn')[0]} here: npm install --prefix .venv/clients")
    return path


@pytest.fixture(scope="module")
def paper(bank: Bank, item_of: Callable[..., Item]) -> Paper:
    """One question of every kind, and some with numbers; all patterns in the long form."""
    kinds = {pattern.form.kind: pattern.id for pattern in bank.patterns}
    numbers = [each.id for each in bank.patterns if each.form.kind == "value" and each.form.tolerance]
    chosen = [each.id for each in bank.patterns] if os.environ.get("COAXWRIGHT_FULL") else [*kinds.values(), *numbers]
    made = [item_of(identifier) for identifier in dict.fromkeys(chosen)]
    if not os.environ.get("COAXWRIGHT_FULL"):
        entered = [item for item in made if item.numeric][:NUMBERS]
        made = [item for item in made if item.pattern in kinds.values() or item in entered]
    assert any(item.numeric for item in made)
    assert any(not item.numeric for item in made)
    return Paper("A", "One of each", 1, "sha256:" + "0" * 64, "0", tuple(made), minutes=40)


@pytest.fixture(scope="module")
def key(bank: Bank, paper: Paper) -> Mapping[str, Any]:
    return json.loads(json.dumps(key_data(bank, paper)["items"]))  # type: ignore[no-any-return]


class Quiet(http.server.SimpleHTTPRequestHandler):
    def log_message(self, *_: Any) -> None:
        pass


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Path, str]]:
    """A folder and its address on this machine."""
    folder = tmp_path_factory.mktemp("player")
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), functools.partial(Quiet, directory=str(folder)))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield folder, f"http://127.0.0.1:{server.server_address[1]}"
    server.shutdown()


STATE = """() => {
  const item = (document.querySelector('#c').shadowRoot || document.querySelector('#c')).querySelector('qti-assessment-item');
  if (!item) return null;
  return {id: item.identifier, score: Number((item.getOutcome('SCORE') || {}).value),
          feedback: (item.getOutcome('FEEDBACK') || {}).value,
          words: item.textContent, tables: item.querySelectorAll('table').length,
          pictures: [...item.querySelectorAll('img')].map(each => each.naturalWidth),
          choices: [...item.querySelectorAll('qti-simple-choice')].map(each => each.getAttribute('identifier'))};
}"""
ITEM = "(document.querySelector('#c').shadowRoot || document.querySelector('#c')).querySelector('qti-assessment-item')"


class Player:
    """The player on a page, one item after the other."""

    def __init__(self, browser: Any, address: str) -> None:
        self.page, self.address = browser.new_page(), address
        self.page.goto(f"{address}/index.html")

    def show(self, path: str, identifier: str) -> Mapping[str, Any]:
        self.page.evaluate("url => document.querySelector('#c').setAttribute('item-url', url)", path)
        ready = (
            f"id => {{const item = {ITEM}; return item && item.identifier === id"
            " && [...item.querySelectorAll('img')].every(each => each.complete)}"
        )
        self.page.wait_for_function(ready, arg=identifier, timeout=30_000)
        return self.page.evaluate(STATE)  # type: ignore[no-any-return]

    def choose(self, letter: str) -> Mapping[str, Any]:
        self.page.evaluate(f"() => {ITEM}.resetResponses()")
        self.page.locator(f"qti-simple-choice[identifier={letter}]").click()
        return self._processed()

    def enter(self, number: str) -> Mapping[str, Any]:
        self.page.evaluate(f"() => {ITEM}.resetResponses()")
        self.page.locator("qti-text-entry-interaction input").fill(number)
        self.page.keyboard.press("Tab")
        return self._processed()

    def _processed(self) -> Mapping[str, Any]:
        self.page.evaluate(f"() => {ITEM}.processResponse()")
        return self.page.evaluate(STATE)  # type: ignore[no-any-return]


@pytest.fixture(scope="module", params=["3.0", "2.1"])
def player(
    request: pytest.FixtureRequest, browser: Any, served: tuple[Path, str], bank: Bank, paper: Paper
) -> tuple[Player, str]:
    """The player with the package of an edition; 2.1 comes through the converter of its makers."""
    folder, address = served
    shutil.copy(client(PLAYER), folder / "player.js")
    (folder / "index.html").write_text(
        '<!doctype html><meta charset="utf-8"><script src="player.js"></script>'
        '<qti-item><item-container id="c"></item-container></qti-item>'
    )
    packed = qti.package(sheet_of(paper), key_data(bank, paper), request.param)
    if request.param == "2.1":
        packed = converted(packed, folder)
    place = folder / request.param
    zipfile.ZipFile(io.BytesIO(packed)).extractall(place)
    return Player(browser, address), f"/{request.param}/items"


def converted(packed: bytes, folder: Path) -> bytes:
    script = client(CONVERTER)
    node = shutil.which("node")
    if node is None:
        pytest.skip("no node here")
    (folder / "old.zip").write_bytes(packed)
    subprocess.run([node, str(script), "old.zip"], cwd=folder, check=True, capture_output=True, timeout=300)
    return (folder / "old-qti3.zip").read_bytes()


def test_every_answer_is_shown_and_scored_as_the_key_says(
    player: tuple[Player, str], paper: Paper, key: Mapping[str, Any]
) -> None:
    play, items = player
    for question in sheet_of(paper).questions:
        wanted = key[question.id]
        shown = play.show(f"{items}/q{question.id}.xml", f"q{question.id}")
        assert question.stem in " ".join(shown["words"].split()) or question.stem in shown["words"]
        assert "0.393 % a kelvin" in shown["words"]
        assert "\\n" not in shown["words"]
        assert shown["tables"] == len(question.tables) + bool(question.given)
        assert shown["pictures"] == ([640] if question.lines else [])
        if question.entered:
            numbers_are_scored(play, wanted)
        else:
            assert shown["choices"] == [letter for letter, _ in question.options]
            for letter, _ in question.options:
                after = play.choose(letter)
                assert after["score"] == (letter == wanted["key"]), (question.id, letter)
                assert after["feedback"] == letter


def numbers_are_scored(play: Player, wanted: Mapping[str, Any]) -> None:
    """Full marks at both ends of the tolerance and between, none one part in ten thousand beyond; a comma or words: none."""
    value, share = wanted["entered"]["value"], wanted["entered"]["tolerance"]
    for part, right in ((-share, 1), (0.0, 1), (share, 1), (-share - 1e-4, 0), (share + 1e-4, 0)):
        after = play.enter(repr(value * (1 + part)))
        assert (after["score"], after["feedback"] == "right") == (right, bool(right)), (wanted["pattern"], value, part)
    for place, wrong in enumerate(wanted["typical"], start=1):
        if wrong["value"] is not None and not math.isclose(wrong["value"], value, rel_tol=share):
            after = play.enter(repr(wrong["value"]))
            assert after["score"] == 0
            assert str(after["feedback"]).startswith("slip"), (wanted["pattern"], place)


PARSE = """
const [parser, file] = process.argv.slice(1);
process.stdout.write(JSON.stringify(require(parser).parse(require('fs').readFileSync(file, 'utf8'))));
"""


@pytest.mark.real("a parser of GIFT (npm)")
def test_a_parser_of_gift_reads_every_question_and_its_answers(
    paper: Paper, key: Mapping[str, Any], bank: Bank, tmp_path: Path
) -> None:
    parser = client("gift-pegjs/pegjs-gift.js")
    node = shutil.which("node")
    if node is None:
        pytest.skip("no node here")
    (tmp_path / "key.gift").write_text(gift.key(sheet_of(paper), key_data(bank, paper)), encoding="utf-8")
    call = [node, "-e", PARSE, str(parser), str(tmp_path / "key.gift")]
    ran = subprocess.run(call, check=True, capture_output=True, timeout=120)
    read = json.loads(ran.stdout)
    questions = sheet_of(paper).questions
    assert len(read) == len(questions)
    for question, found in zip(questions, read, strict=True):
        wanted = key[question.id]
        assert "0.393 % a kelvin" in found["stem"]["text"]
        right = [each for each in found["choices"] if each["isCorrect"] and each["weight"] in (None, 100)]
        assert len(right) == 1, question.id
        if question.entered:
            value, share = wanted["entered"]["value"], wanted["entered"]["tolerance"]
            span = right[0]["text"]
            assert span["numberLow"] == pytest.approx(value - abs(value) * share, rel=1e-6)
            assert span["numberHigh"] == pytest.approx(value + abs(value) * share, rel=1e-6)
        else:
            assert [each["isCorrect"] for each in found["choices"]] == [letter == wanted["key"] for letter, _ in question.options]
