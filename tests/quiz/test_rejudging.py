"""Every printed question judged again from the paper alone, by formulas that share nothing with the program.

With COAXWRIGHT_FULL=1 over 10,000 items, otherwise over one of every sixth pattern. For each item: exactly one option is
defensible and it is the one of the key file; the same at both ends of what may be assumed; every wrong option is what
its named wrong method comes to; the JSON paper prints what the Markdown paper prints.
"""

from __future__ import annotations

import ast
import json
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from coaxwright.checking import load_site
from coaxwright.errors import Refusal
from coaxwright.quiz import scenes
from coaxwright.quiz.bank import Bank
from coaxwright.quiz.checks import complaints
from coaxwright.quiz.formats import markdown
from coaxwright.quiz.items import Item
from coaxwright.quiz.making import Order, make_item
from coaxwright.quiz.papers import Paper
from coaxwright.quiz.printed import item_key, paper_data, sheet_of

from .conftest import FULL
from .rejudging.judging import CLOSE, NotReproduced, Verdict
from .rejudging.paper import Read, read_paper
from .rejudging.patterns import JUDGES
from .rejudging.plan import Missing, Plan, plan_of

COUNT = 10_000 if FULL else 17
STEP = 1 if FULL else 6
"""From one pattern to the next: the short form takes each sixth."""
EXAMPLES = Path(__file__).parents[2] / "examples" / "quiz"
ENDS = {"conductor temperature": ("20 °C", "50 °C"), "share of a disk left after formatting": ("90 %", "95 %")}
"""What a paper may assume, and between which ends its key must hold: docs/quiz.md."""


def test_every_pattern_has_a_judge_of_its_own(bank: Bank) -> None:
    """A pattern that nobody can judge from its print may not be printed."""
    assert {pattern.id for pattern in bank.patterns} <= set(JUDGES), "write a judge in rejudging/patterns.py"


def as_paper(item: Item) -> Paper:
    return Paper("A", "Print", 1, "sha256:" + "0" * 64, "0", (item,))


def printed(item: Item) -> Read:
    """The item as a stranger reads it off a sheet of paper."""
    return read_paper(markdown.paper(sheet_of(as_paper(item))))[0]


def told(pattern: str, read: Read, key: dict[str, Any], tally: Counter[str]) -> list[str]:
    """All that is wrong with one item; also that something on the paper cannot be read or judged."""
    try:
        return list(_told(pattern, read, key, tally))
    except (AssertionError, LookupError, ValueError, Missing, NotReproduced) as error:
        return [f"cannot be judged: {error!r}"]


def _told(pattern: str, read: Read, key: dict[str, Any], tally: Counter[str]) -> Iterator[str]:
    judge, plan = JUDGES[pattern], plan_of(read)
    tally["items"] += 1
    if key["entered"]:
        yield from _entered(judge, plan, key, tally)
        return
    found = judge.defensible(plan, read)
    if found != [key["key"]]:
        yield f"defensible are {found}, the key is {key['key']} of {read.options}"
    for label, ends in ENDS.items():
        for end in ends if plan.cell("Site", "", label) else ():
            found = judge.nearest(plan.put("Site", "", label, end), read)
            tally["ends"] += 1
            if found != [key["key"]]:
                yield f"with {label} {end} defensible are {found}, the key is {key['key']} of {read.options}"
    for option in key["options"].values():
        if not option["right"]:
            yield from _slip(judge, plan, option, tally)


def _entered(judge: Any, plan: Plan, key: dict[str, Any], tally: Counter[str]) -> Iterator[str]:
    value, entered = judge.answer(plan), key["entered"]
    if abs(value - entered["value"]) > min(CLOSE, entered["tolerance"] / 2) * abs(value):
        yield f"it comes to {value}, the key is {entered['value']}"
    for typical in key["typical"]:
        yield from _slip(judge, plan, typical, tally)
        if abs(typical["value"] - entered["value"]) <= 2 * entered["tolerance"] * abs(value):
            yield f"{typical['text']} cannot be told from the key"


def _slip(judge: Any, plan: Plan, option: dict[str, Any], tally: Counter[str]) -> Iterator[str]:
    slip, pair, text = option["slip"], option.get("slips"), option["text"]
    tally["slips"] += 1
    if not (judge.both(plan, pair, text) if pair else judge.follows(plan, slip, text)):
        yield f"`{', '.join(pair or [slip])}` does not come to {text}"


def _same_in_json(read: Read, data: dict[str, Any]) -> bool:
    """The JSON paper has the words and numbers of the Markdown paper."""
    item = data["items"][read.id]
    tables = {}
    for table in item["tables"]:
        heads = ["", *table["columns"][1:]] if table["of"] == "site" else table["columns"]
        tables[table["title"]] = [dict(zip(heads, row, strict=True)) for row in table["rows"]]
    options = {option["id"]: option["text"] for option in item["options"]}
    given = {row["what"]: row["value"] for row in item["given"]}
    return (tables, options, given, item["question"]) == (read.tables, read.options, read.given, read.stem)


def _items(bank: Bank) -> Iterator[tuple[int, Item]]:
    """Items of all patterns in turn; the place of the key goes round."""
    patterns = bank.patterns[::STEP]
    for number in range(COUNT):
        turn, place = divmod(number, len(patterns))
        order = Order(patterns[place], f"many/{number}", turn + place, "small" if number % 2 else "medium")
        yield number, make_item(bank, order)


def test_every_item_stands_when_judged_from_its_print(bank: Bank) -> None:
    tally: Counter[str] = Counter()
    faults: list[str] = []
    for number, item in _items(bank):
        if item.pattern not in JUDGES:
            continue  # told by the test of the registry
        read = printed(item)
        faults += [
            f"{item.pattern} {number}: {said}" for said in told(item.pattern, read, item_key(bank, 1, item), tally)
        ]
        if not _same_in_json(read, paper_data(as_paper(item))):
            faults.append(f"{item.pattern} {number}: the JSON paper differs")
        if number % 10 == 0:
            faults += [f"{item.pattern} {number}: {said}" for said in complaints(bank, item)]
        if len(faults) > 20:
            break
    print(dict(tally))
    assert not faults, "\n".join(faults[:20])
    assert tally["items"] >= COUNT * 3 // 4


@pytest.mark.parametrize(
    "file", sorted(EXAMPLES.rglob("key-*.json")), ids=lambda file: f"{file.parent.name}-{file.stem}"
)
def test_committed_papers_stand_when_judged_from_their_files(file: Path) -> None:
    """Nothing but the two files, as a trainer has them."""
    keys = json.loads(file.read_text(encoding="utf-8"))["items"]
    paper = file.with_name(f"{file.stem.replace('key', 'paper')}.md")
    reads = {read.id: read for read in read_paper(paper.read_text(encoding="utf-8"))}
    assert list(reads) == list(keys)
    tally: Counter[str] = Counter()
    for name, key in keys.items():
        assert reads[name].options == {letter: option["text"] for letter, option in key["options"].items()}
        assert told(key["pattern"], reads[name], key, tally) == [], key["pattern"]
    assert tally["items"] == len(keys)


def test_questions_on_a_site_of_ones_own_stand(bank: Bank) -> None:
    """The tables print what the site leaves to its parts, such as how a camera leaves the factory."""
    plan = scenes.given(load_site(EXAMPLES.parent / "boatyard" / "alder-wharf.site.yaml"))
    if not scenes.is_sound(bank, plan):
        pytest.skip("the example is not sound under the rules of the day")
    tally: Counter[str] = Counter()
    faults: list[str] = []
    for pattern in bank.patterns if FULL else bank.patterns[::12]:
        try:
            item = make_item(bank, Order(pattern, "own", 1, "small", plan))
        except Refusal:
            continue  # nothing to ask on this site
        faults += [f"{pattern.id}: {said}" for said in told(pattern.id, printed(item), item_key(bank, 1, item), tally)]
    assert faults == []
    assert tally["items"] >= (15 if FULL else 2)


# Nothing is shared


def test_judges_share_nothing_with_the_program() -> None:
    for path in (Path(__file__).parent / "rejudging").rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
            names += [node.module or ""] if isinstance(node, ast.ImportFrom) else []
            assert not any(name.startswith("coaxwright") for name in names), path


# The judges can fail


def test_another_key_is_refused(bank: Bank, item_of: Any) -> None:
    """With the key file's letter moved to another option the judge says so, whatever the pattern."""
    for pattern in bank.patterns[:: 7 if FULL else 14]:
        item = item_of(pattern.id, 3, 1)
        key = item_key(bank, 1, item)
        if key["entered"]:
            key["entered"]["value"] *= 1.05
        else:
            key["key"] = next(letter for letter in key["options"] if letter != key["key"])
        assert told(pattern.id, printed(item), key, Counter()), pattern.id


MISPRINTS = [
    ("power/volts-at-camera", "Supplies", "set to", "13.4 V"),
    ("power/longest-run", "Camera models", "works from", "8.1 V"),
    ("cable/loss-of-run", "Site", "conductor temperature", "90 °C"),
    ("storage/days-kept", "Cameras", "recorded at", "9.5 Mb/s"),
    ("view/pixels-on-target", "Camera models", "width of the image area", "7.1 mm"),
    ("picture/recorded-rate", "Recorder models", "records a channel up to", "3840x2160: 5 fps"),
    ("signal/what-settles", "Camera models", "heeds a recorder that asks", "no"),
    ("channels/inputs-free", "Recorder models", "coax inputs", "1-40"),
    ("place/fit-for-weather", "Camera models", "IP code", "IP64/IP67"),
    ("sound/sound-arrives", "Camera models", "microphone", "no"),
    ("network/viewers-served", "Recorder models", "remote viewers at most", "-"),
]  # fmt: skip


@pytest.mark.parametrize(("pattern", "title", "label", "text"), MISPRINTS)
def test_a_misprint_is_found(bank: Bank, item_of: Any, pattern: str, title: str, label: str, text: str) -> None:
    """A key that no longer follows from what is printed is told, in one of three items at least."""
    found: list[str] = []
    for seed in range(3):
        item = item_of(pattern, seed, seed)
        read = printed(item)
        for row in read.tables.get(title, []):
            row[label] = text
        found += told(pattern, read, item_key(bank, 1, item), Counter())
    assert found


def test_a_slip_by_another_name_is_refused(bank: Bank, item_of: Any) -> None:
    item = item_of("power/volts-at-camera", 1, 1)
    judge, plan = JUDGES[item.pattern], plan_of(printed(item))
    wrong = next(option for option in item.options if option.slip)
    assert judge.follows(plan, wrong.slip, wrong.answer.text)
    other = "feet-for-metres" if wrong.slip != "feet-for-metres" else "day-for-night"
    assert not judge.follows(plan, other, wrong.answer.text)
    with pytest.raises(NotReproduced):
        judge.follows(plan, "mirror-forgotten", wrong.answer.text)


def test_a_verdict_without_its_figure_is_open() -> None:
    read = Read("0", tables={"Recorders": [{"recorder": "rec1", "model": "m"}], "Recorder models": [{"name": "m"}]})
    judge = JUDGES["network/viewers-served"]
    assert isinstance(judge, Verdict)
    assert judge.verdict(plan_of(read)) == "A needed fact is missing"
