"""Papers: same seed same bytes, parallel papers, nothing of the key in a paper, formats valid, marking and statistics."""

from __future__ import annotations

import csv
import io
import json
import os
import re
import subprocess
import sys
import zipfile
from collections import Counter
from collections.abc import Callable
from html.parser import HTMLParser
from itertools import combinations
from pathlib import Path
from statistics import pvariance
from typing import Any

import pytest

from coaxwright.errors import Refusal
from coaxwright.quiz import marking, spotting, statistics, writing
from coaxwright.quiz.bank import Bank
from coaxwright.quiz.cases import run_cases
from coaxwright.quiz.formats import qti_names
from coaxwright.quiz.making import Order, make_item
from coaxwright.quiz.papers import Deck, Paper, Wanted, make_papers, paper_complaints
from coaxwright.quiz.printed import key_data, sheet_of

from .conftest import FULL

QTI = Path(__file__).parents[3] / "shared" / "standards" / "qti"
WANTED = Wanted(
    seed=11, blueprint=(("power", 3), ("storage", 2), ("signal", 2), ("view", 1)), letters=("A", "B"), size="small"
)


@pytest.fixture(scope="module")
def papers(bank: Bank) -> tuple[Paper, ...]:
    return make_papers(bank, WANTED)


@pytest.fixture(scope="module")
def files(bank: Bank, papers: tuple[Paper, ...]) -> dict[str, dict[str, str | bytes]]:
    return {form: writing.files_of(bank, papers, form) for form in writing.FORMATS}


def test_the_same_seed_gives_the_same_bytes(bank: Bank) -> None:
    wanted = WANTED if FULL else Wanted(seed=11, blueprint=(("power", 1), ("view", 1)), letters=("A", "B"), size="small")
    first, again = make_papers(bank, wanted), make_papers(bank, wanted)
    for form in writing.FORMATS:
        assert writing.files_of(bank, again, form) == writing.files_of(bank, first, form)


def test_bytes_do_not_hang_on_the_hash_seed(tmp_path: Path) -> None:
    made = []
    for seed in ("0", "7"):
        run = subprocess.run(
            [sys.executable, "-m", "coaxwright", "quiz", "--topic", "sound", "--count", "2", "--format", "json"],
            capture_output=True, check=True,
            env={"PYTHONHASHSEED": seed, "PYTHONPATH": ":".join(sys.path), "PATH": "", "HOME": os.environ.get("HOME", "")},
        )  # fmt: skip
        made.append(run.stdout)
    assert made[0] == made[1]


def test_another_seed_gives_another_paper(bank: Bank, papers: tuple[Paper, ...]) -> None:
    other = make_papers(bank, Wanted(seed=12, blueprint=WANTED.blueprint, size="small"))[0]
    assert [item.id for item in other.items] != [item.id for item in papers[0].items]


def test_the_blueprint_is_kept(papers: tuple[Paper, ...]) -> None:
    assert [item.topic for item in papers[0].items] == ["power"] * 3 + ["storage"] * 2 + ["signal"] * 2 + ["view"]


def test_parallel_papers_have_other_numbers_and_the_same_difficulty(papers: tuple[Paper, ...]) -> None:
    for one, other in zip(papers[0].items, papers[1].items, strict=True):
        assert (one.pattern, one.band) == (other.pattern, other.band)
        assert one.id != other.id
        assert one.tables != other.tables


@pytest.mark.parametrize("ways", [3, 4])
@pytest.mark.parametrize("count", [1, 3, 10, 20])
def test_a_deck_deals_every_place_about_as_often(ways: int, count: int) -> None:
    deck = Deck("any", [ways] * count)
    dealt = []
    for _ in range(count):
        dealt.append(deck.deal(ways))
        deck.take(ways, dealt[-1])
    assert max(dealt.count(p) for p in range(ways)) - min(dealt.count(p) for p in range(ways)) <= 1


def test_which_place_comes_once_more_is_drawn() -> None:
    """Ten questions of three options: one place four times. Over many papers each is that place about as often."""
    more = Counter()
    for seed in range(300):
        deck, dealt = Deck(str(seed), [3] * 10), []
        for _ in range(10):
            dealt.append(deck.deal(3))
            deck.take(3, dealt[-1])
        more[max(range(3), key=dealt.count)] += 1
    assert (
        sum((more[place] - 100) ** 2 / 100 for place in range(3)) < 13.8
    )  # chi-square, 2 degrees, 0.1 % (handbook table)


def test_a_deck_makes_up_for_keys_that_stand_elsewhere() -> None:
    """Four questions whose key can stand in the middle alone, then eight that take what they are dealt."""
    deck, taken = Deck("any", [3] * 12), []
    for number in range(12):
        taken.append(1 if number < 4 else deck.deal(3))
        deck.take(3, taken[-1])
    assert [taken.count(place) for place in range(3)] == [4, 4, 4]


def test_keys_stand_in_every_place_about_as_often(bank: Bank) -> None:
    """On a paper of all topics no place has more than two keys beyond its share."""
    for seed in (1, 2, 3) if FULL else (1,):
        paper = make_papers(bank, Wanted(count=24, seed=seed, size="small"))[0]
        keys = Counter(item.key for item in paper.items if item.options)
        assert max(keys.values()) - min(keys[letter] for letter in "ABC") <= 2, keys


def test_every_topic_has_five_patterns_and_faults_to_hide(bank: Bank) -> None:
    for topic in bank.topics:
        kinds = [pattern.form.kind for pattern in bank.of([topic])]
        assert len(kinds) >= 5, topic
        assert kinds.count("spot-fault") == 2, topic
        assert "true-or-open" in kinds, topic
        assert any(fault.herring for fault in spotting.faults_of(bank, topic)), topic


def test_that_all_holds_is_offered_wherever_one_fault_is_asked_for(bank: Bank) -> None:
    """Otherwise its being there would tell that nothing fails; and in a fair share of questions nothing does."""
    keys = []
    for topic in bank.topics:
        for seed in range(3 if FULL else 1):
            item = make_item(bank, Order(bank.pattern(f"{topic}/spot-the-fault"), f"all/{topic}/{seed}", seed, "small"))
            assert spotting.SOUND in [option.answer.text for option in item.options]
            keys.append(item.posed.key.text == spotting.SOUND)
    assert len(keys) // 10 <= sum(keys) <= len(keys) // 2 or not FULL


def test_a_paper_of_twenty_is_made_while_one_waits(bank: Bank, guarded: Callable[[float], Any]) -> None:
    """Under three seconds on the machine that it was measured on; here a guard against runaway only."""
    with guarded(2000):
        make_papers(bank, Wanted(count=20, seed=9))


class Words(HTMLParser):
    """All that an HTML file says, attributes and comments too."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found += [f"{name}={value}" for name, value in attrs]

    def handle_data(self, data: str) -> None:
        self.found.append(data)

    def handle_comment(self, data: str) -> None:
        self.found.append(data)


def _all_text(name: str, content: str | bytes) -> str:
    if isinstance(content, str):
        return content
    with zipfile.ZipFile(io.BytesIO(content)) as packed:
        return "\n".join([name, *packed.namelist(), *(packed.read(each).decode() for each in packed.namelist())])


def test_a_paper_holds_no_trace_of_its_key(bank: Bank, papers: tuple[Paper, ...], files: dict) -> None:
    """No feedback, no slip, no working, no pattern id (it may name the fault), no mark on one option alone."""
    for form in writing.FORMATS:
        for paper in papers:
            key = key_data(bank, paper)
            name = next(each for each in files[form] if each.startswith(f"paper-{paper.letter}"))
            text = _all_text(name, files[form][name])
            assert "correctResponse" not in text
            assert "responseProcessing" not in text
            for item in key["items"].values():
                assert item["pattern"] not in text
                for option in item["options"].values():
                    assert option.get("slip") is None or option["slip"] not in text
                    assert not option.get("feedback") or option["feedback"] not in text


def test_options_of_a_paper_are_marked_up_alike(files: dict) -> None:
    """Right and wrong options differ in letter and words only."""
    text = str(files["html"]["paper-A.html"])
    shapes = {re.sub(r">[^<]*<", "><", each) for each in re.findall(r"<li>.*?</li>", text)}
    assert len(shapes) == 1


def test_papers_load_nothing_and_run_nothing(files: dict) -> None:
    for name, text in files["html"].items():
        if name.endswith(".html"):
            assert not re.search(r"<script|src=|href=|url\(|@import| on[a-z]+=", str(text))


def test_words_of_a_site_cannot_become_markup(bank: Bank, papers: tuple[Paper, ...]) -> None:
    from dataclasses import replace

    evil = "<img src=x onerror=alert(1)> `*_|"
    sheet = replace(sheet_of(papers[0]), title=evil)
    for form, written in (("html", writing._PAPERS["html"](sheet)), ("md", writing._PAPERS["md"](sheet))):
        assert "<img" not in written.replace("\\<img", ""), form


def test_csv_rows_and_formulas(files: dict) -> None:
    rows = list(csv.DictReader(io.StringIO(str(files["csv"]["paper-A.csv"]), newline="")))
    assert len(rows) == 8
    assert all(not cell.startswith(("=", "+", "-", "@")) for row in rows for cell in row.values())


def test_json_has_paper_and_key_with_items_by_id(bank: Bank, papers: tuple[Paper, ...]) -> None:
    data = json.loads(writing.both(bank, papers[:1]))
    assert set(data) == {"format", "paper", "key"}
    assert list(data["paper"]["items"]) == list(data["key"]["items"]) == [item.id for item in papers[0].items]
    for name, item in data["key"]["items"].items():
        options = {option["id"] for option in data["paper"]["items"][name]["options"]}
        assert item["key"] in options or item["entered"]


def test_qti_is_valid_and_names_lead_somewhere(files: dict) -> None:
    """QTI 2.1 (IMS), by the published XSD where it lies beside the repository; and what the XSD does not see."""
    for name, packed in files["qti"].items():
        if name.endswith(".zip"):
            assert list(qti_names.broken_names(packed)) == []
    if not QTI.exists():
        pytest.skip("the published QTI schema is not beside the repository")
    etree = pytest.importorskip("lxml.etree")
    schema = etree.XMLSchema(etree.parse(str(QTI / "imsqti_v2p1p2.xsd"), etree.XMLParser(no_network=True)))
    for name, packed in files["qti"].items():
        if name.endswith(".zip"):
            with zipfile.ZipFile(io.BytesIO(packed)) as package:
                for each in package.namelist():
                    if each.endswith(".xml") and each != "imsmanifest.xml":
                        schema.assertValid(etree.fromstring(package.read(each)))


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [("<value>A</value>", "<value>X</value>", "names no choice"), ("<value>B</value>", "<value>X</value>", "names no choice"),
     ('responseIdentifier="RESPONSE"', 'responseIdentifier="OTHER"', "is not declared")],
)  # fmt: skip
def test_broken_packages_are_told(files: dict, old: str, new: str, said: str) -> None:
    with zipfile.ZipFile(io.BytesIO(files["qti"]["key-A.zip"])) as package:
        held = {name: package.read(name).decode() for name in package.namelist()}
    held = {name: text.replace(old, new) if name.startswith("items/") else text for name, text in held.items()}
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w") as package:
        for name, text in held.items():
            package.writestr(name, text)
    assert any(said in each for each in qti_names.broken_names(buffer.getvalue()))


def test_a_repeated_question_is_told(papers: tuple[Paper, ...]) -> None:
    from dataclasses import replace

    twice = replace(papers[0], items=(papers[0].items[0], *papers[0].items))
    assert any("twice" in said for said in paper_complaints(twice))
    assert list(paper_complaints(papers[0])) == []


def test_topics_that_are_not_there_are_refused(bank: Bank) -> None:
    with pytest.raises(Refusal, match="powr"):
        make_papers(bank, Wanted(topics=("powr",)))


def test_cases_of_patterns(bank: Bank) -> None:
    results = list(run_cases(bank))
    assert len(results) >= 10
    assert [str(result) for result in results if result.problems] == []


def test_a_wrong_case_is_told(bank: Bank) -> None:
    from coaxwright.quiz import cases

    identifier = "storage/days-kept"
    case = (
        bank.cases[identifier][1]
        .cases[0]
        .model_copy(update={"key": "1.0 days", "wrong": {"binary-terabytes": "2.0 days"}})
    )
    problems = list(cases._problems(bank, bank.pattern(identifier), case))
    assert len(problems) == 2


def test_a_class_is_marked(bank: Bank, papers: tuple[Paper, ...], tmp_path: Path) -> None:
    key = key_data(bank, papers[0])
    items = list(key["items"])
    rows = [
        ["learner", *items],
        ["ann", *(key["items"][i]["key"] or str(key["items"][i]["entered"]["value"]) for i in items)],
    ]
    wrong = [next((o for o, v in key["items"][i]["options"].items() if not v["right"]), "999999") for i in items]
    rows.append(["bob", *wrong])
    table = tmp_path / "answers.csv"
    table.write_text("\n".join(",".join(row) for row in rows))
    result = marking.mark(key, marking.read_answers(table, key))
    assert [sum(each.right for each in row) for row in result.learners.values()] == [len(items), 0]
    assert all(each.feedback and (each.slip or key["items"][each.item]["entered"]) for each in result.learners["bob"])
    assert result.paper.verdict == statistics.TOO_FEW
    assert {item.verdict for item in result.items} == {statistics.TOO_FEW}


def test_long_and_wide_tables_say_the_same(bank: Bank, papers: tuple[Paper, ...], tmp_path: Path) -> None:
    key = key_data(bank, papers[0])
    items = list(key["items"])
    wide, long = tmp_path / "wide.csv", tmp_path / "long.csv"
    wide.write_text("learner," + ",".join(items) + "\nann," + ",".join("B" for _ in items) + "\n")
    long.write_text("learner,item,answer\n" + "".join(f"ann,{item},B\n" for item in items))
    assert marking.mark(key, marking.read_answers(wide, key)) == marking.mark(key, marking.read_answers(long, key))
    other = tmp_path / "semicolons.csv"
    other.write_text(wide.read_text().replace(",", ";"))
    assert marking.read_answers(other, key) == marking.read_answers(wide, key)


@pytest.mark.parametrize(
    ("text", "said"),
    [("name,x\na,b\n", "no column `learner`"), ("learner,nosuch\nann,A\n", "no item `nosuch`"), ("learner\n", "no answer"),
     ("learner,item,answer\n,x,A\n", "names no learner")],
)  # fmt: skip
def test_tables_that_make_no_sense_are_refused(
    bank: Bank, papers: tuple[Paper, ...], tmp_path: Path, text: str, said: str
) -> None:
    table = tmp_path / "answers.csv"
    table.write_text(text)
    with pytest.raises(Refusal, match=said):
        marking.read_answers(table, key_data(bank, papers[0]))


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("learner,{0}\nann," + "B" * 200_000 + "\n", "2:5: this is no CSV: a cell of more than 131,072 characters"),
        ("learner,{0},{0}\nann,B,Z\n", "1:{2}: there are two columns `{0}`, the first is column 2; keep one of them"),
        ("learner,{0},learner\nann,B,Z\n", "1:{2}: there are two columns `learner`, the first is column 1"),
        ('learner,{0}\n"ann,A\nbob,B\n', "2:1: this is no CSV: a quotation mark opens here and is never closed"),
        ('learner,{0}\n"ann,A\nbob",B\n', "2:1: the name of this learner goes over several lines"),
        ('learner,{0},{1}\nann,"A,B\nbob,C",D\n', "2:5: this answer goes over several lines; check the quotation marks"),
        ("learner,{0},{1}\nann,A,B\0\n", "2:7: this answer holds a control character; remove it"),
        ("learner,{0}\nann,B,C\n", "2:7: this cell stands under no heading"),
        ("learner,,{0}\nann,x,B\n", "1:9: the key has no item ``"),
        ("learner,item,answer\nann,{0},B\nann,{0},C\n", "3:1: ann answers {0} twice"),
        ("learner,item,answer\nann,{1}x,B\n", "2:5: the key has no item `{1}x`; did you mean"),
    ],
)
def test_wrong_tables_are_told_at_their_place(
    bank: Bank, papers: tuple[Paper, ...], tmp_path: Path, text: str, told: str
) -> None:
    key = key_data(bank, papers[0])
    first, second, *_ = key["items"]
    table = tmp_path / "answers.csv"
    table.write_text(text.format(first, second))
    with pytest.raises(Refusal) as caught:
        marking.read_answers(table, key)
    assert str(caught.value).startswith(f"{table}:{told.format(first, second, len(first) + 10)}")


def test_blank_columns_at_the_end_are_no_matter(bank: Bank, papers: tuple[Paper, ...], tmp_path: Path) -> None:
    """Spreadsheets write them."""
    key = key_data(bank, papers[0])
    table = tmp_path / "answers.csv"
    table.write_text(f"learner,{next(iter(key['items']))},,\nann,B,,\n,,,\n")
    assert marking.read_answers(table, key) == {"ann": {next(iter(key["items"])): "B"}}


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("[" * 200_000, ":1:65: this is no JSON that can be read: it is nested more than 64 levels deep"),
        ('{"items": {}\n', ":2:1: this is no JSON"),
        ('{"items": {}}', ": this is no key"),
        ('{"key": 3}', ": this is no key"),
        ('{"items": {"a": {"options": {}}}}', ": the item `a` is none of a key"),
        ('{"items": {"a": {"options": []}}}', ": the item `a` is none of a key"),
        ('{"items": {"a": 3}}', ": the item `a` is none of a key"),
    ],
)
def test_what_is_no_key_is_refused(tmp_path: Path, text: str, told: str) -> None:
    path = tmp_path / "key.json"
    path.write_text(text)
    with pytest.raises(Refusal) as caught:
        marking.read_key(path)
    assert str(caught.value).startswith(f"{path}{told}")
    assert str(caught.value).endswith("name the key-*.json written beside the paper")


def test_entered_numbers() -> None:
    assert marking.number_of("10,8 V", "V") == 10.8
    assert marking.number_of(" 10.8", "V") == 10.8
    assert marking.number_of("10.8 A", "V") is None
    assert marking.number_of("lots", "V") is None


def test_kr20_by_hand() -> None:
    """By hand: 4 learners, 3 items, scores 3 2 1 0: p 3/4 2/4 1/4; sum pq = 0.1875 + 0.25 + 0.1875 = 0.625; variance 1.25;
    3/2 x (1 - 0.5) = 0.75 (Kuder and Richardson 1937, formula 20).
    """
    assert statistics.kr20([[1, 1, 1], [1, 1, 0], [1, 0, 0], [0, 0, 0]]) == pytest.approx(0.75)
    assert statistics.kr20([[1, 1], [1, 1]]) is None


def test_kr20_is_the_mean_of_all_split_halves() -> None:
    """Cronbach 1951, Psychometrika 16, 297-334 (from memory): the coefficient, which is KR-20 for right and wrong, is the
    mean over all ways to split the test in two halves of 2 (1 - (var a + var b) / var total).
    """
    right = [
        [1, 1, 1, 1, 1, 0],
        [1, 1, 1, 0, 1, 1],
        [1, 1, 0, 1, 0, 0],
        [1, 0, 1, 0, 0, 0],
        [0, 1, 0, 0, 1, 0],
        [0, 0, 0, 0, 0, 0],
    ]
    spread = pvariance([sum(row) for row in right])
    found = []
    for half in combinations(range(6), 3):
        one = [sum(row[place] for place in half) for row in right]
        other = [sum(row) - part for row, part in zip(right, one, strict=True)]
        found.append(2 * (1 - (pvariance(one) + pvariance(other)) / spread))
    assert statistics.kr20(right) == pytest.approx(sum(found) / len(found))


def test_correlation_agrees_with_pearson() -> None:
    """The point-biserial correlation is Pearson's with one variable of two values (any statistics handbook)."""
    numpy = pytest.importorskip("numpy")
    marks, rest = [1, 0, 1, 1, 0, 1, 0], [5.0, 2.0, 4.0, 6.0, 3.0, 2.0, 1.0]
    assert statistics.point_biserial(marks, rest) == pytest.approx(numpy.corrcoef(marks, rest)[0, 1])


def test_discrimination_by_hand() -> None:
    """Eleven learners: 27 % are 3; the best three right, of the weakest three one."""
    marks, scores = [0, 1, 0, 1, 0, 1, 0, 1, 1, 1, 1], [float(each) for each in range(11)]
    assert statistics.discrimination(marks, scores) == pytest.approx(1 - 1 / 3)


def test_bands() -> None:
    assert statistics.verdict_of(29, 0.5, 0.5) == statistics.TOO_FEW
    assert statistics.verdict_of(50, 0.5, 0.5) == "very good (with caution)"
    assert statistics.verdict_of(200, 0.5, -0.1) == "check the key"
    assert statistics.verdict_of(200, 0.95, 0.25) == "marginal, review: almost all right"


def test_a_site_of_ones_own_is_asked_about(bank: Bank) -> None:
    """Generic cables and the makers' own parts are printed, and every key follows from that print."""
    from coaxwright.checking import load_site
    from coaxwright.quiz import scenes

    site = Path(__file__).parents[2] / "examples" / "boatyard" / "alder-wharf.site.yaml"
    plan = scenes.given(load_site(site))
    if not scenes.is_sound(bank, plan):
        pytest.skip("the example is not sound under the rules of the day")
    paper = make_papers(bank, Wanted(count=4 if FULL else 2, seed=2, topics=("power", "cable"), plan=plan))[0]
    assert {item.posed.asked.plan.site["site"] for item in paper.items} == {"Alder Wharf boatyard"}
